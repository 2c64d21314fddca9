//! Measures of the open vent: its offset, its climb, how high it rises, and that nothing is in its way. The vent of the
//! heating climbs as that of a cylinder does.

use std::cell::OnceCell;
use std::rc::Rc;

use foldhash::HashMap;
use glam::DVec2;

use super::free_ways::{Asked, FreeWays, InTheWay};
use super::linked::highest_water;
use super::reading::{WRITTEN_WITHIN_MM, as_written_mm, difference, tenths_mm, whole_mm};
use super::vent_size::ways_out_of_fires;
use super::{Axis, Feature, Leg, Place, Reading, Room, Site, find_out, room};
use crate::layout::{COLD_INLET, Cistern, Cylinder, Id, InLineKind, PartRef, Service, WhichEnd};
use crate::units::Measured;

/// A climb up to this height at the cylinder's own connection is its elbow, not the vent's rise
/// (common practice, no source).
const CONNECTION_STUB_MM: f64 = 200.0;

/// A cylinder's vent.
pub(super) struct Vent<'a> {
    pub cylinder: &'a Cylinder,
    pub way: VentWay<'a>,
    /// The cisterns that feed the cylinder, found when one of its vents first asks.
    fed_by: Rc<OnceCell<Vec<&'a Cistern>>>,
}

impl<'a> Vent<'a> {
    pub(super) fn cisterns(&self, site: &'a Site<'_>) -> &[&'a Cistern] {
        self.fed_by.get_or_init(|| site.cisterns_of(self.cylinder))
    }
}

/// A vent's way to its open end, as it is drawn.
pub(super) struct VentWay<'a> {
    /// The run whose end is open.
    pub id: &'a Id,
    pub path: Vec<Leg>,
    points: Vec<DVec2>,
}

/// The highest point of a vent.
pub(super) struct Top {
    pub level_mm: f64,
    pub place: Place,
    /// What room there is above it, mm.
    pub room_mm: Option<f64>,
}

impl<'a> VentWay<'a> {
    /// The way along some legs; `None` where they have no length.
    pub(super) fn along(site: &'a Site<'_>, path: Vec<Leg>) -> Option<Self> {
        let id = &site.run(path.last()?.run).id;
        let points = site.points_of(&path);
        (points.len() >= 2).then_some(Self { id, path, points })
    }

    /// The open end, by name.
    pub(super) fn mouth(&self) -> Place {
        Place::of(self.id, Feature::Along(self.path.last().map_or(0.0, |leg| leg.to_mm)))
    }

    /// Where the open end is.
    pub(super) fn mouth_point(&self) -> DVec2 {
        self.points[self.points.len() - 1]
    }

    /// The end of its last run that is open.
    fn open_end(&self, site: &Site<'_>) -> Option<WhichEnd> {
        let last = self.path.last()?;
        site.ends_at(last.run, last.to_mm).next()
    }

    /// The cistern into which it is led by a hole; none where it ends in the open.
    pub(super) fn led_into<'s>(&self, site: &'s Site<'_>) -> Option<&'s Cistern> {
        let last = self.path.last()?;
        site.cistern_at(site.run(last.run).end(self.open_end(site)?))
    }

    /// The run whose end is open.
    pub(super) fn last_run(&self) -> Option<usize> {
        self.path.last().map(|leg| leg.run)
    }

    /// The highest point.
    pub(super) fn top(&self, site: &Site<'_>) -> Option<Top> {
        let top = crest(&self.points)?;
        let room_mm = self.on_run(site, top).and_then(|(run, _)| room::above_run_mm(site, run));
        Some(Top { level_mm: self.points[top].y, place: self.place(site, top), room_mm })
    }

    /// A place on the path, by the number of its point.
    fn place(&self, site: &Site<'_>, number: usize) -> Place {
        let on_run = |(run, along_mm)| Place::of(&site.run(run).id, Feature::Along(along_mm));
        self.on_run(site, number).map_or_else(|| Place::middle(self.id), on_run)
    }

    /// The run of a place on the path, by the number of its point, and how far along that run it is, mm.
    fn on_run(&self, site: &Site<'_>, number: usize) -> Option<(usize, f64)> {
        let point = self.points[number];
        let on = |leg: &Leg| {
            let (along_mm, off_mm) = site.line(leg.run)?.nearest(point);
            (off_mm < 1e-3).then_some((leg.run, along_mm))
        };
        self.path.iter().find_map(on)
    }
}

/// One reading for each vent of each cylinder; what to find out where none is drawn, and may be there.
pub(super) fn for_vents<'a>(site: &'a Site<'_>, mut measure: impl FnMut(&Vent<'a>) -> Option<Reading>) -> Vec<Reading> {
    let readings = |cylinder: &'a Cylinder| {
        let paths = site.vent_paths(cylinder);
        if site.without_vent().contains(&cylinder.id) {
            return Vec::new();
        }
        if paths.is_empty() {
            return vec![Reading::untold(&cylinder.id, find_out::VENT).at(Place::of(&cylinder.id, Feature::Top))];
        }
        let ways = paths.iter().filter_map(|path| VentWay::along(site, path.clone()));
        let fed_by = Rc::new(OnceCell::new());
        ways.filter_map(|way| measure(&Vent { cylinder, way, fed_by: Rc::clone(&fed_by) })).collect()
    };
    each_once(site.layout().cylinders.iter().flat_map(readings))
}

/// Readings, each once: of a vent that several cylinders share the same may be said for each of them.
fn each_once(readings: impl Iterator<Item = Reading>) -> Vec<Reading> {
    let mut kept: Vec<Reading> = Vec::new();
    let mut of_part: HashMap<Id, Vec<usize>> = HashMap::default();
    for reading in readings {
        let known = of_part.entry(reading.parts[0].clone()).or_default();
        if known.iter().all(|number| kept[*number] != reading) {
            known.push(kept.len());
            kept.push(reading);
        }
    }
    kept
}

/// How far each draw-off runs sideways from the cylinder's outlet before the vent rises.
#[must_use]
pub fn offset(site: &Site<'_>) -> Vec<Reading> {
    for_vents(site, |Vent { cylinder, way, .. }| {
        let outlet = way.points[0];
        // A vent that slants all the way never rises before its crest.
        let riser = riser(&way.points).or_else(|| crest(&way.points))?;
        let aside_mm = as_written_mm((way.points[riser].x - outlet.x).abs());
        let aside = site.taped(aside_mm);
        let port = site.port_of_path(cylinder, &way.path)?;
        let places = [Place::of(&cylinder.id, Feature::Port(port.clone())), way.place(site, riser)];
        let reading = Reading::mm(way.id, aside).along_with([&cylinder.id]).between(Axis::Level, places);
        let reading = reading.working(format!(
            "vent rises at {}, cylinder's {} connection at {}: {aside_mm:.1} mm sideways",
            whole_mm(way.points[riser].x),
            port.as_str(),
            whole_mm(outlet.x)
        ));
        let lowered = lowered_to_stub(&way.points).filter(|_| riser == 0);
        Some(lowered.into_iter().fold(reading, |reading, (by_mm, aside_mm)| {
            reading.with_room(Room::Instead, Some(by_mm)).with_room(Room::Then, Some(as_written_mm(aside_mm)))
        }))
    })
}

/// Of a way that climbs straight up from its connection and then turns aside: how far the turn has to be lowered until the
/// climb is no more than an elbow, in whole mm, and how far aside the vent rises then, mm.
fn lowered_to_stub(points: &[DVec2]) -> Option<(f64, f64)> {
    let turn = (1..points.len()).find(|number| (points[*number].x - points[0].x).abs() > WRITTEN_WITHIN_MM)? - 1;
    let by_mm = (points[turn].y - points[0].y - CONNECTION_STUB_MM).ceil();
    if turn == 0 || by_mm <= 0.0 {
        return None;
    }
    let rises = (turn + 1..points.len())
        .find(|number| points[*number].y - points[turn].y > (points[*number].x - points[turn].x).abs());
    let mut lowered = points.to_vec();
    lowered[1..=turn].iter_mut().for_each(|point| point.y = point.y.min(points[turn].y - by_mm));
    lowered[turn + 1..rises.unwrap_or(points.len())].iter_mut().for_each(|point| point.y -= by_mm);
    let riser = riser(&lowered)?;
    Some((by_mm, (lowered[riser].x - points[0].x).abs()))
}

/// The number of the point at which the vent begins to rise: the first stretch steeper than 45° that climbs higher
/// than the stub on the cylinder's own connection.
fn riser(points: &[DVec2]) -> Option<usize> {
    let mut foot = None;
    let mut climbed_mm = 0.0;
    for (number, pair) in points.windows(2).enumerate() {
        let stretch = pair[1] - pair[0];
        if stretch.y - stretch.x.abs() > WRITTEN_WITHIN_MM {
            foot.get_or_insert(number);
            climbed_mm += stretch.y;
            let at_connection = foot == Some(0);
            if !at_connection || climbed_mm > CONNECTION_STUB_MM {
                return foot;
            }
        } else {
            foot = None;
            climbed_mm = 0.0;
        }
    }
    foot
}

/// The number of the highest point.
fn crest(points: &[DVec2]) -> Option<usize> {
    (0..points.len()).max_by(|a, b| points[*a].y.total_cmp(&points[*b].y))
}

/// The greatest fall of the way from each cylinder, from a boiler behind a fire, or else from the pipes of the heating, to the
/// crest of its vent; or the greatest rise from there on, before which water stays once some has gone over.
#[must_use]
pub fn fall(site: &Site<'_>) -> Vec<Reading> {
    let of_cylinders =
        for_vents(site, |Vent { cylinder, way, .. }| Some(fall_of(site, way).along_with([&cylinder.id])));
    let from_fires = ways_out_of_fires(site);
    let of_heating = site.primary_vents().into_iter().map(|way| {
        let ends_here = |legs: &&Vec<Leg>| legs.last().map(|leg| leg.run) == way.path.last().map(|leg| leg.run);
        let from_fire = from_fires.iter().find(ends_here).and_then(|legs| VentWay::along(site, legs.clone()));
        fall_of(site, &from_fire.unwrap_or(way))
    });
    of_cylinders.into_iter().chain(of_heating).collect()
}

fn fall_of(site: &Site<'_>, way: &VentWay<'_>) -> Reading {
    // Where nothing is higher than the beginning, all of the way counts.
    let highest = crest(&way.points).filter(|highest| *highest > 0).unwrap_or(way.points.len() - 1);
    let (mut top, mut steepest) = (0, (WRITTEN_WITHIN_MM, 0, 0));
    for number in 1..=highest {
        let drop_mm = way.points[top].y - way.points[number].y;
        if drop_mm > steepest.0 {
            steepest = (drop_mm, top, number);
        }
        if way.points[number].y > way.points[top].y {
            top = number;
        }
    }
    let mut lowest = highest;
    for number in highest + 1..way.points.len() {
        let rise_mm = way.points[number].y - way.points[lowest].y;
        if rise_mm > steepest.0 {
            steepest = (rise_mm, number, lowest);
        }
        if way.points[number].y < way.points[lowest].y {
            lowest = number;
        }
    }
    let working = |drop_mm: f64| format!("greatest fall on the way up, or rise after the top: {drop_mm:.1} mm");
    match steepest {
        (_, 0, 0) => Reading::mm(way.id, Measured::exact(0.0)).working(working(0.0)).at(way.mouth()),
        (drop_mm, from, to) => Reading::mm(way.id, site.taped(drop_mm))
            .working(working(drop_mm))
            .between(Axis::Upright, [way.place(site, to), way.place(site, from)]),
    }
}

/// How far the top of each vent lies above the water line, against the height of that line above the cylinder's base:
/// water runs over its highest point, also where the open end turns down from there.
#[must_use]
pub fn above_water_line(site: &Site<'_>) -> Vec<Reading> {
    for_vents(site, |vent| {
        let (Vent { cylinder, way, .. }, cisterns) = (vent, vent.cisterns(site));
        let Some(nearest) = cisterns.first() else {
            return Some(Reading::untold(way.id, find_out::COLD_FEED).along_with([&cylinder.id]));
        };
        let Some((cistern, water)) = highest_water(cisterns) else {
            let find_out = find_out::water_line(&nearest.id);
            return Some(Reading::untold(way.id, find_out).along_with([&nearest.id]));
        };
        let Top { level_mm: top_mm, place, room_mm } = way.top(site)?;
        let line = site.level(water);
        let rise = site.taped(top_mm) - line;
        let head = line - site.level(cylinder.at.z);
        Some(
            Reading::mm(way.id, rise)
                .along_with([&cylinder.id, &cistern.id])
                .against_sharing(head, line)
                .with_room(Room::Above, room_mm)
                .with_room(Room::Water, room::under_surface_mm(site, cistern))
                .between(Axis::Upright, [Place::of(&cistern.id, Feature::WaterLine), place])
                .working(difference(("top of vent", tenths_mm(top_mm)), ("water line", tenths_mm(water.to_mm())), rise))
                .working(difference(
                    ("water line", tenths_mm(water.to_mm())),
                    ("base of cylinder", tenths_mm(cylinder.at.z.to_mm())),
                    head,
                ))
                .working(format!(
                    "counted from the cold inlet, as the guidance has it: {:.1} mm",
                    water.to_mm() - cold_inlet_mm(cylinder)
                )),
        )
    })
}

/// Level of a cylinder's cold inlet in mm; its base where it has none.
fn cold_inlet_mm(cylinder: &Cylinder) -> f64 {
    PartRef::Cylinder(cylinder).port(COLD_INLET).map_or(cylinder.at.z, |point| point.z).to_mm()
}

/// Whether nothing is in the way from each cylinder to its vent's open end.
#[must_use]
pub fn free(site: &Site<'_>) -> Vec<Reading> {
    for_vents(site, |Vent { cylinder, way, .. }| {
        let yes = "neither valve nor pump";
        let reading = match site.in_the_way(&way.path, |_, fitting| fitting.kind.hinders()) {
            InTheWay::Fitting { .. } if leads_there_freely(site, cylinder, way) => {
                Reading::yes(way.id, yes).at(way.mouth())
            }
            InTheWay::Fitting { run, at_mm, kind } => {
                let no = match kind {
                    InLineKind::Pump => "a pump between cylinder and open end",
                    _ => "a valve between cylinder and open end",
                };
                let (run, along) = (&site.run(run).id, Feature::Along(at_mm));
                Reading::no(way.id, no).along_with([run]).at(Place::of(run, along))
            }
            InTheWay::Untold(run) => {
                let run = &site.run(run).id;
                let find_out = format!("see whether there is a valve or a pump in {}", run.with_article());
                Reading::untold(way.id, find_out).along_with([run])
            }
            InTheWay::Nothing => Reading::yes(way.id, yes).at(way.mouth()),
        };
        Some(reading)
    })
}

/// Whether vents alone lead from the crown of a cylinder to the open end of one, with neither valve nor pump: a way through
/// hot pipes may fall, and lets no air out.
fn leads_there_freely(site: &Site<'_>, cylinder: &Cylinder, way: &VentWay<'_>) -> bool {
    let crown = site.hot_ports(cylinder).into_iter().filter(|port| cylinder.gathers_air_at(port.as_str()));
    let pipes = crown.flat_map(|port| site.on_port(&cylinder.id, port.as_str()));
    let begin: Vec<(usize, f64)> = pipes.filter_map(|pipe| site.end_of(pipe)).collect();
    let asked = Asked::by_pipes(&[Service::OpenVent], InLineKind::hinders);
    let ways = FreeWays::from(site, &begin, asked);
    way.last_run().zip(way.open_end(site)).is_some_and(|(run, end)| ways.lead_to(run, end) == Some(true))
}

#[cfg(test)]
mod tests {
    use glam::dvec2;

    use super::*;

    #[test]
    fn the_rise_begins_past_the_stub_on_the_connection() {
        let straight_up = [dvec2(0.0, 0.0), dvec2(0.0, 2000.0), dvec2(450.0, 2000.0), dvec2(450.0, 3000.0)];
        assert_eq!(riser(&straight_up), Some(0));
        let stub = [dvec2(0.0, 0.0), dvec2(0.0, 100.0), dvec2(450.0, 110.0), dvec2(450.0, 3000.0)];
        assert_eq!(riser(&stub), Some(2));
        let level = [dvec2(0.0, 0.0), dvec2(450.0, 10.0), dvec2(450.0, 3000.0)];
        assert_eq!(riser(&level), Some(1));
        // What is written at 45° is no steeper, whatever the binary fractions make of it.
        for aside_mm in [0.0, 0.1, 0.3, 33.3, 1234.7] {
            let at = |x: f64, y: f64| dvec2(aside_mm + x, aside_mm + y);
            let slanting = [at(0.0, 0.0), at(500.0, 500.0), at(500.0, 3000.0)];
            assert_eq!(riser(&slanting), Some(1), "{aside_mm}");
        }
    }
}
