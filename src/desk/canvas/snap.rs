//! Snapping: to ports, to levels and upright lines of other parts, and to a grid that follows the zoom.

use glam::{DVec2, dvec2};

use super::anchor::Way;
use super::gaps::{Evenly, Neighbours};
use super::hit::{Lines, extent};
use super::resting::Rests;
use crate::layout::{End, Id, Layout, OutletKind, PartRef, Service, suits};

/// How near a port must be to catch, in points.
const PORT_REACH: f32 = 12.0;
/// How near a port must be to catch a run of another service than the one it has, in points: only when it is meant.
const TAKEN_PORT_REACH: f32 = 3.0;
/// How near a level or an upright line must be to catch, in points.
const LINE_REACH: f32 = 6.0;
/// What lies nearer together than this is one place, mm.
const SAME_MM: f64 = 0.5;
/// The two taps of an outlet stand no further apart, mm.
const BESIDE_MM: f64 = 250.0;
/// The grid is coarse enough to stay this many points apart.
const GRID_APART: f32 = 7.0;

/// Where a point has snapped to, and to what.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Snapped {
    /// The point.
    pub at: DVec2,
    /// The port that it sits on.
    pub port: Option<(Id, Id)>,
    /// A level that it shares, where there is one.
    pub level: Option<String>,
    /// An upright line that it shares, where there is one.
    pub upright: Option<String>,
}

/// Whether snapping is wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Snapping {
    /// To whatever is near.
    On,
    /// To whole millimetres only (Alt held).
    Suspended,
}

impl Snapped {
    /// To what it snapped, for the status line.
    #[must_use]
    pub fn words(&self) -> String {
        match (&self.port, &self.level, &self.upright) {
            (Some((part, port)), _, _) => format!("on {} of {}", port.spoken(), part.spoken()),
            (None, level, upright) => line_words(level.as_ref(), upright.as_ref()),
        }
    }
}

/// By how much something must move further to snap, and to what: the places of the lines, and their names.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BoxSnap {
    /// By how much.
    pub by: DVec2,
    /// The level that it then shares.
    pub level: Option<(f64, String)>,
    /// The upright line that it then shares.
    pub upright: Option<(f64, String)>,
    /// Between which neighbours it then stands evenly, across.
    pub across: Option<Evenly>,
    /// The same upward.
    pub upward: Option<Evenly>,
    /// Whether it comes to stand on a platform.
    pub footing: Footing,
}

/// Whether something comes to stand on a platform.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Footing {
    /// It does.
    OnPlatform,
    /// It does not.
    #[default]
    Free,
}

impl BoxSnap {
    /// To what it snapped.
    #[must_use]
    pub fn words(&self) -> String {
        let lines = line_words(self.level.as_ref().map(|line| &line.1), self.upright.as_ref().map(|line| &line.1));
        let evenly = self.across.iter().chain(&self.upward).map(|evenly| evenly.words.clone());
        let all = std::iter::once(lines).chain(evenly).filter(|words| !words.is_empty());
        all.collect::<Vec<_>>().join(", ")
    }

    /// The equal gaps in which it then stands, from edge to edge.
    pub fn gaps(&self) -> impl Iterator<Item = (DVec2, DVec2)> {
        self.across.iter().chain(&self.upward).flat_map(|evenly| evenly.gaps)
    }
}

/// Where a dragged side snaps, and to what.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SideSnap {
    /// Where, along its axis.
    pub at_mm: f64,
    /// Whether it is a line to be shown.
    pub line: bool,
    /// To what, in words; empty for the grid.
    pub words: String,
}

/// With what a point is level and in line.
#[must_use]
pub fn line_words(level: Option<&String>, upright: Option<&String>) -> String {
    match (level, upright) {
        (Some(level), Some(upright)) => format!("level with {level}, in line with {upright}"),
        (Some(level), None) => format!("level with {level}"),
        (None, Some(upright)) => format!("in line with {upright}"),
        (None, None) => String::new(),
    }
}

/// Levels and upright lines to snap to, gathered once for a layout.
#[derive(Debug, Default)]
pub struct SnapMarks {
    ports: Vec<(DVec2, Id, Id)>,
    /// Ports that have runs, and what these are for.
    taken: Vec<(Id, Id, Service)>,
    levels: Vec<(f64, String)>,
    /// Floors, and how far over its floor what is moved is told to be.
    floors: Vec<(f64, String)>,
    over_floors_mm: f64,
    uprights: Vec<(f64, String)>,
    /// How long and how high parts are.
    lengths: Vec<(f64, String)>,
    heights: Vec<(f64, String)>,
    /// What a vessel that is moved may stand on.
    rests: Rests,
    neighbours: Neighbours,
}

impl SnapMarks {
    /// Gathers what there is to snap to, leaving out the parts that are being moved.
    #[must_use]
    pub fn of(layout: &Layout, without: &[Id]) -> Self {
        let mut marks = Self { neighbours: Neighbours::of(layout, without), ..Self::default() };
        marks.gather_building(layout);
        let lines = Lines::of(layout);
        for part in layout.parts().filter(|part| !without.contains(part.id())) {
            let name = part.id().spoken();
            for (port, at) in part.ports() {
                let at = at.vector();
                marks.levels.push((at.y, format!("{} of {name}", port.spoken())));
                marks.uprights.push((at.x, format!("{} of {name}", port.spoken())));
                marks.ports.push((at, part.id().clone(), port));
            }
            if let PartRef::Run(run) = part {
                for end in run.ends() {
                    if let End::Port(on, port) = end {
                        marks.taken.push((on.clone(), port.clone(), run.service));
                    }
                }
                for vertex in lines.line(&run.id).map_or(&[][..], crate::geom::Polyline::vertices) {
                    marks.levels.push((vertex.y, format!("a bend of {name}")));
                    marks.uprights.push((vertex.x, format!("a bend of {name}")));
                }
            } else if let Some((low, high)) = extent(part) {
                let (foot, head) = feature_words(part);
                if matches!(part, PartRef::Note(_)) {
                    continue;
                }
                if !matches!(part, PartRef::Outlet(_)) {
                    marks.lengths.push((high.x - low.x, name.clone()));
                    if !matches!(part, PartRef::Platform(_)) {
                        marks.heights.push((high.y - low.y, name.clone()));
                    }
                    marks.levels.push((low.y, format!("the {foot} of {name}")));
                    marks.levels.push((high.y, format!("the {head} of {name}")));
                    marks.uprights.push((low.x, format!("the left side of {name}")));
                    marks.uprights.push((high.x, format!("the right side of {name}")));
                }
                if !matches!(part, PartRef::Outlet(_)) {
                    marks.levels.push(((low.y + high.y) / 2.0, format!("the middle of {name}")));
                }
                marks.uprights.push(((low.x + high.x) / 2.0, format!("the middle of {name}")));
                if let PartRef::Cistern(cistern) = part
                    && let Some(water) = cistern.water_level()
                {
                    marks.levels.push((water.to_mm(), format!("the water line of {name}")));
                }
            }
        }
        marks
    }

    /// The same for an outlet, which stands on its floor while its place is told where water leaves it.
    #[must_use]
    pub fn for_outlet(mut self, kind: OutletKind) -> Self {
        self.over_floors_mm = kind.usual_height_mm();
        for (level, name) in &mut self.floors {
            *level += self.over_floors_mm;
            *name = format!("its usual height over {name}");
        }
        self
    }

    /// The same for a vessel, which stands on a platform rather than close above it.
    #[must_use]
    pub fn for_vessel(mut self, layout: &Layout, without: &[Id]) -> Self {
        self.rests = Rests::of(layout, without);
        self
    }

    /// Every level to snap to.
    fn levels(&self) -> impl Iterator<Item = &(f64, String)> {
        self.levels.iter().chain(&self.floors)
    }

    fn gather_building(&mut self, layout: &Layout) {
        self.levels.push((0.0, "the datum".to_owned()));
        let building = &layout.building;
        for storey in &building.storeys {
            self.floors.push((storey.floor.to_mm(), storey.id.spoken()));
        }
        if let Some(ceiling) = &building.ceiling {
            self.levels.push((ceiling.underside.to_mm(), "the ceiling".to_owned()));
            self.levels
                .push((ceiling.underside.to_mm() + ceiling.thickness.to_mm(), "the back of the ceiling".to_owned()));
        }
        if let Some(joists) = &building.joists {
            self.levels.push((joists.top.to_mm(), "the top of the joists".to_owned()));
        }
        for point in building.roof.iter().flat_map(|roof| &roof.underside) {
            self.levels.push((point.z.to_mm(), "a point of the roof".to_owned()));
            self.uprights.push((point.x.to_mm(), "a point of the roof".to_owned()));
        }
        for wall in &building.walls {
            self.levels.push((wall.head.to_mm(), "the head of a wall".to_owned()));
            self.uprights.push((wall.x.to_mm(), "a wall".to_owned()));
            self.uprights.push((wall.x.to_mm() + wall.thickness.to_mm(), "a wall".to_owned()));
        }
    }

    /// Adds a point to be in line with, such as the last bend of a run being drawn.
    pub fn add(&mut self, point: DVec2, name: &str) {
        self.levels.push((point.y, name.to_owned()));
        self.uprights.push((point.x, name.to_owned()));
    }

    /// The nearest port within reach; one that has a run of another service, or is for another, is hardly within reach.
    #[must_use]
    pub fn port_near(&self, point: DVec2, mm_per_point: f64, service: Option<Service>) -> Option<(DVec2, Id, Id)> {
        let is_taken = |part: &Id, port: &Id| {
            let mut runs = self.taken.iter().filter(|(on, hole, _)| on == part && hole == port).peekable();
            runs.peek().is_some() && service.is_some_and(|service| runs.all(|(.., other)| *other != service))
        };
        let reach = |part: &Id, port: &Id| {
            let unfit = service.is_some_and(|service| !suits(port.as_str(), service));
            let points = if unfit || is_taken(part, port) { TAKEN_PORT_REACH } else { PORT_REACH };
            f64::from(points) * mm_per_point
        };
        let by_distance =
            |a: &&(DVec2, Id, Id), b: &&(DVec2, Id, Id)| a.0.distance(point).total_cmp(&b.0.distance(point));
        let near = self.ports.iter().filter(|(at, part, port)| at.distance(point) <= reach(part, port));
        let nearest = near.min_by(by_distance)?;
        let fits = |port: &Id| service.is_none_or(|service| suits(port.as_str(), service));
        // Of two taps beside each other the one is meant that the pipe is for.
        let beside = self.ports.iter().filter(|(at, part, port)| {
            !fits(&nearest.2) && *part == nearest.1 && fits(port) && at.distance(nearest.0) <= BESIDE_MM
        });
        beside.min_by(by_distance).or(Some(nearest)).cloned()
    }

    /// Snaps a point to what is near it at this zoom: a port, else a level and an upright line, else the grid.
    #[must_use]
    pub fn snap(&self, point: DVec2, mm_per_point: f64, snapping: Snapping) -> Snapped {
        if snapping == Snapping::Suspended {
            return Snapped { at: point.round(), ..Snapped::default() };
        }
        if let Some((at, part, port)) = self.port_near(point, mm_per_point, None) {
            return Snapped { at, port: Some((part, port)), ..Snapped::default() };
        }
        self.snap_lines(point, mm_per_point)
    }

    /// Snaps a point as [`SnapMarks::snap`] does, but to no port. An outlet stands on a floor that is pointed at.
    #[must_use]
    pub fn snap_lines(&self, point: DVec2, mm_per_point: f64) -> Snapped {
        let grid = grid_mm(mm_per_point);
        let reach = f64::from(LINE_REACH) * mm_per_point;
        // Whatever else lies at that level, such as the datum.
        let stands = (self.over_floors_mm > 0.0).then(|| nearest(&self.floors, point.y + self.over_floors_mm, reach));
        let level = stands.flatten().or_else(|| nearest(self.levels(), point.y, reach));
        let upright = nearest(&self.uprights, point.x, reach);
        let on_grid = (point / grid).round() * grid;
        Snapped {
            at: dvec2(upright.map_or(on_grid.x, |line| line.0), level.map_or(on_grid.y, |line| line.0)),
            port: None,
            level: level.map(|line| line.1.clone()),
            upright: upright.map(|line| line.1.clone()),
        }
    }
}

impl SnapMarks {
    /// By how much a box must move further so that its foot, head, a side or its middle snaps, and to what.
    #[must_use]
    pub fn snap_box(&self, low: DVec2, high: DVec2, mm_per_point: f64, snapping: Snapping) -> BoxSnap {
        if snapping == Snapping::Suspended {
            return BoxSnap { by: low.round() - low, ..BoxSnap::default() };
        }
        let grid = grid_mm(mm_per_point);
        let reach = f64::from(LINE_REACH) * mm_per_point;
        let off = |feature: f64, line: Option<&(f64, String)>| line.map(|line| (line.0 - feature, line.clone()));
        let least = |a: &(f64, (f64, String)), b: &(f64, (f64, String))| a.0.abs().total_cmp(&b.0.abs());
        let levels = [low.y, high.y].map(|level| off(level, nearest(self.levels(), level, reach)));
        let rest = self.rests.under(f64::midpoint(low.x, high.x), low.y, mm_per_point);
        let footing = if rest.is_some() { Footing::OnPlatform } else { Footing::Free };
        let rest = rest.map(|rest| (rest.0 - low.y, rest));
        let level = rest.or_else(|| levels.into_iter().flatten().min_by(least));
        let uprights = [low.x, (low.x + high.x) / 2.0, high.x];
        let uprights = uprights.map(|upright| off(upright, nearest(&self.uprights, upright, reach)));
        let upright = uprights.into_iter().flatten().min_by(least);
        let on_grid = (low / grid).round() * grid - low;
        let by =
            dvec2(upright.as_ref().map_or(on_grid.x, |line| line.0), level.as_ref().map_or(on_grid.y, |line| line.0));
        let (level, upright) = (level.map(|line| line.1), upright.map(|line| line.1));
        BoxSnap { by, level, upright, footing, ..BoxSnap::default() }
    }

    /// Snaps a part's box as [`SnapMarks::snap_box`] does, or to stand evenly between two neighbours where that is no farther.
    #[must_use]
    pub fn snap_part(&self, low: DVec2, high: DVec2, mm_per_point: f64, snapping: Snapping) -> BoxSnap {
        let mut snapped = self.snap_box(low, high, mm_per_point, snapping);
        if snapping == Snapping::Suspended {
            return snapped;
        }
        let reach = f64::from(LINE_REACH) * mm_per_point;
        let evenly = |way: Way, line: Option<f64>| {
            let within = line.map_or(reach, |by| by.abs() + SAME_MM);
            self.neighbours.between(way, low, high).filter(|evenly| evenly.by_mm.abs() <= within)
        };
        let settle = |by: &mut f64, line: &mut Option<(f64, String)>, evenly: Option<&Evenly>| {
            let Some(evenly) = evenly else { return };
            if (*by - evenly.by_mm).abs() > SAME_MM {
                *line = None;
            }
            *by = evenly.by_mm;
        };
        let across = evenly(Way::Level, snapped.upright.as_ref().map(|_| snapped.by.x));
        let upward = match snapped.footing {
            Footing::OnPlatform => None,
            Footing::Free => evenly(Way::Upright, snapped.level.as_ref().map(|_| snapped.by.y)),
        };
        settle(&mut snapped.by.x, &mut snapped.upright, across.as_ref());
        settle(&mut snapped.by.y, &mut snapped.level, upward.as_ref());
        snapped.across = across.map(|evenly| evenly.shifted(dvec2(0.0, snapped.by.y)));
        snapped.upward = upward.map(|evenly| evenly.shifted(dvec2(snapped.by.x, 0.0)));
        snapped
    }

    /// Where a side that is dragged to `edge_mm` snaps: to a level or an upright, else to where the part is as large as
    /// another (its other side is at `other_mm`), else to the grid. With it, to what.
    #[must_use]
    pub fn snap_side(&self, way: Way, edge_mm: f64, other_mm: f64, mm_per_point: f64, snapping: Snapping) -> SideSnap {
        if snapping == Snapping::Suspended {
            return SideSnap { at_mm: edge_mm.round(), ..SideSnap::default() };
        }
        let reach = f64::from(LINE_REACH) * mm_per_point;
        let (line, sizes, sharing, as_large) = match way {
            Way::Level => (nearest(&self.uprights, edge_mm, reach), &self.lengths, "in line with", "as long as"),
            Way::Upright => (nearest(self.levels(), edge_mm, reach), &self.heights, "level with", "as high as"),
        };
        if let Some((at_mm, name)) = line {
            return SideSnap { at_mm: *at_mm, line: true, words: format!("{sharing} {name}") };
        }
        let size_mm = edge_mm - other_mm;
        if let Some((size, name)) = nearest(sizes, size_mm.abs(), reach) {
            let at_mm = other_mm + size.copysign(size_mm);
            return SideSnap { at_mm, line: false, words: format!("{as_large} {name}") };
        }
        let grid = grid_mm(mm_per_point);
        SideSnap { at_mm: (edge_mm / grid).round() * grid, ..SideSnap::default() }
    }
}

/// The grid's spacing: 1, 5, 10, 50, 100 or 500 mm, whichever is not too fine to see.
#[must_use]
pub fn grid_mm(mm_per_point: f64) -> f64 {
    let apart = f64::from(GRID_APART) * mm_per_point;
    [1.0, 5.0, 10.0, 50.0, 100.0].into_iter().find(|spacing| *spacing >= apart).unwrap_or(500.0)
}

fn nearest<'a>(lines: impl IntoIterator<Item = &'a (f64, String)>, to: f64, reach: f64) -> Option<&'a (f64, String)> {
    let near = lines.into_iter().filter(|line| (line.0 - to).abs() <= reach);
    near.min_by(|a, b| (a.0 - to).abs().total_cmp(&(b.0 - to).abs()))
}

const fn feature_words(part: PartRef<'_>) -> (&'static str, &'static str) {
    match part {
        PartRef::Cistern(_) => ("base", "rim"),
        PartRef::Platform(_) => ("underside", "upper face"),
        _ => ("base", "top"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Point;
    use crate::layout::Outlet;
    use crate::units::Level;

    fn with_basin() -> Layout {
        let basin = Outlet::new(Id::of("basin"), OutletKind::Basin, Point::mm(1000.0, 905.0));
        Layout { outlets: vec![basin], ..Layout::default() }
    }

    #[test]
    fn a_port_catches_before_anything_else() {
        let snapped = SnapMarks::of(&with_basin(), &[]).snap(dvec2(1045.0, 911.0), 2.0, Snapping::On);
        assert_eq!(snapped.at, dvec2(1040.0, 905.0));
        assert_eq!(snapped.words(), "on cold of basin");
    }

    #[test]
    fn of_two_taps_the_one_is_caught_that_the_pipe_is_for() {
        let layout = with_basin();
        let marks = SnapMarks::of(&layout, &[]);
        for (service, caught) in [(Service::HotDistribution, "hot"), (Service::ColdDistribution, "cold")] {
            for port in ["hot", "cold"] {
                let at = PartRef::Outlet(&layout.outlets[0]).port(port).expect("a tap").vector();
                let found = marks.port_near(at, 10.0, Some(service)).expect("it catches");
                assert_eq!(found.2.as_str(), caught, "{} at the {port} tap", service.words());
            }
        }
    }

    #[test]
    fn a_level_catches_and_the_grid_does_the_rest() {
        let snapped = SnapMarks::of(&with_basin(), &[]).snap(dvec2(2003.0, 909.0), 1.0, Snapping::On);
        assert_eq!(snapped.at, dvec2(2000.0, 905.0));
        assert_eq!(snapped.words(), "level with hot of basin");
    }

    #[test]
    fn suspended_snapping_keeps_whole_millimetres() {
        let snapped = SnapMarks::of(&with_basin(), &[]).snap(dvec2(1041.4, 905.6), 2.0, Snapping::Suspended);
        assert_eq!(snapped.at, dvec2(1041.0, 906.0));
        assert!(snapped.words().is_empty());
    }

    #[test]
    fn a_part_stands_evenly_between_two_unless_a_line_is_nearer() {
        let mut layout = with_basin();
        layout.outlets.push(Outlet::new(Id::of("other"), OutletKind::Basin, Point::mm(3000.0, 905.0)));
        let marks = SnapMarks::of(&layout, &[]);
        let at = |x: f64| marks.snap_part(dvec2(x, 905.0), dvec2(x, 905.0), 2.0, Snapping::On);
        let evenly = at(2007.0);
        assert_eq!((evenly.by.x, evenly.gaps().count()), (-7.0, 2));
        assert!(evenly.words().ends_with("as far from basin as from other"), "{}", evenly.words());
        assert_eq!((at(2013.0).across, at(2013.0).upright), (None, None));
        // In line with something that is nearer, it is not moved away from there.
        layout.outlets.push(Outlet::new(Id::of("bath"), OutletKind::Bath, Point::mm(2009.0, 3000.0)));
        let marks = SnapMarks::of(&layout, &[]);
        let snapped = marks.snap_part(dvec2(2007.0, 905.0), dvec2(2007.0, 905.0), 2.0, Snapping::On);
        assert_eq!((snapped.by.x, snapped.across), (2.0, None));
        let suspended = marks.snap_part(dvec2(2000.2, 905.0), dvec2(2000.2, 905.0), 2.0, Snapping::Suspended);
        assert_eq!(suspended.across, None);
    }

    #[test]
    fn an_outlet_stands_on_a_floor_that_is_pointed_at() {
        let mut layout = with_basin();
        let floor = |id: &str, mm: f64| crate::layout::Storey { id: Id::of(id), floor: Level::mm(mm), deck: None };
        layout.building.storeys = vec![floor("ground-floor", 0.0), floor("first-floor", 2600.0)];
        let marks = SnapMarks::of(&layout, &[]).for_outlet(OutletKind::Bath);
        // At the floor line, and at the height at which its taps are.
        for pointed_at in [2603.0, 3195.0] {
            let snapped = marks.snap_lines(dvec2(3000.0, pointed_at), 2.0);
            assert_eq!(snapped.at, dvec2(3000.0, 3200.0), "pointed at {pointed_at}");
            assert_eq!(snapped.words(), "level with its usual height over first floor");
        }
        // The ground floor lies at the datum.
        assert_eq!(marks.snap_lines(dvec2(3000.0, 4.0), 2.0).at, dvec2(3000.0, 600.0));
        let anything_else = SnapMarks::of(&layout, &[]).snap_lines(dvec2(3000.0, 2603.0), 2.0);
        assert_eq!((anything_else.at.y, anything_else.words().as_str()), (2600.0, "level with first floor"));
    }

    #[test]
    fn a_part_never_snaps_to_itself() {
        let marks = SnapMarks::of(&with_basin(), &[Id::of("basin")]);
        assert_eq!(marks.snap(dvec2(1038.0, 906.0), 1.0, Snapping::On).at, dvec2(1040.0, 910.0));
    }
}
