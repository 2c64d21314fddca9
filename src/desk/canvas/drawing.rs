//! A pipe run being drawn: its beginning, its bends so far, and how it ends.

use glam::{DVec2, dvec2};

use super::anchor::{Anchor, Way};
use crate::layout::{Edit, End, Id, Layout, Part, PartRef, Run, Service};
use crate::units::{Amount, Gradient};

/// Which angles a stretch may have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Angles {
    /// Level and upright.
    Square,
    /// Any.
    Free,
}

/// A run under way.
#[derive(Debug, Clone)]
pub struct Drawing {
    /// What it is for.
    pub service: Service,
    /// Where it began.
    pub start: Anchor,
    /// Bends so far.
    pub bends: Vec<DVec2>,
    /// Where the pointer was when the last of them was taken, if it was clicked.
    pub clicked: Option<DVec2>,
}

impl Drawing {
    /// Begins a run.
    #[must_use]
    pub const fn begin(service: Service, start: Anchor) -> Self {
        Self { service, start, bends: Vec::new(), clicked: None }
    }

    /// The last point that stands.
    #[must_use]
    pub fn last(&self) -> DVec2 {
        self.bends.last().copied().unwrap_or_else(|| self.start.at())
    }

    /// The points from the last bend to where the pointer is; square to the axes, but for the fall of level stretches,
    /// unless the angle is free.
    #[must_use]
    pub fn onward(&self, to: &Anchor, angles: Angles, asked: Option<Gradient>) -> Vec<DVec2> {
        let (last, at) = (self.last(), to.at());
        if angles == Angles::Free {
            return vec![at];
        }
        let off = at - last;
        let straight = off.x.abs() < 0.5 || off.y.abs() < 0.5;
        let drop_mm = self.fall(asked).map_or(0.0, |fall| fall.drop_mm(off.x));
        match to.way() {
            None => match Way::of(off) {
                Way::Level => vec![dvec2(at.x, last.y - drop_mm)],
                Way::Upright => vec![dvec2(last.x, at.y)],
            },
            Some(_) if straight => vec![at],
            // One elbow, so that the pipe comes in the way in which it can be joined.
            Some(Way::Level) => vec![dvec2(last.x, at.y + drop_mm), at],
            Some(Way::Upright) => vec![dvec2(at.x, last.y - drop_mm), at],
        }
    }

    /// What level stretches fall by on the way that is drawn. Where nobody has asked for any fall, a warning pipe falls
    /// from where it begins, and climbs to the cistern when it is begun in the open.
    #[must_use]
    pub fn fall(&self, asked: Option<Gradient>) -> Option<Gradient> {
        let usual = || {
            let way = if matches!(self.start, Anchor::Free { .. }) { -1.0 } else { 1.0 };
            usual_fall(self.service).and_then(|fall| Gradient::falling(way * fall.fall_mm_per_m()))
        };
        asked.or_else(usual)
    }

    /// Takes a bend where the pointer is.
    pub fn bend(&mut self, to: &Anchor, angles: Angles, fall: Option<Gradient>) {
        self.go_through(&self.onward(to, angles, fall));
    }

    /// Takes these points as bends.
    pub fn go_through(&mut self, points: &[DVec2]) {
        self.clicked = None;
        for &point in points {
            if point.distance(self.last()) > 0.5 {
                self.straighten(point);
                self.bends.push(point);
            }
        }
    }

    /// Takes back a last bend that would be none, or from which the pipe would double back on itself.
    fn straighten(&mut self, next: DVec2) {
        let [.., before, last] = self.points()[..] else { return };
        let (came, goes) = ((last - before).normalize_or_zero(), (next - last).normalize_or_zero());
        if came.perp_dot(goes).abs() < 1e-6 {
            self.bends.pop();
        }
    }

    /// The way from the start through all bends.
    #[must_use]
    pub fn points(&self) -> Vec<DVec2> {
        std::iter::once(self.start.at()).chain(self.bends.iter().copied()).collect()
    }

    /// Length and fall of what would be drawn to the pointer, stretch by stretch where it bends, and the length in all.
    #[must_use]
    pub fn words(&self, onward: &[DVec2]) -> String {
        let way: Vec<DVec2> = std::iter::once(self.last()).chain(onward.iter().copied()).collect();
        let stretches: Vec<DVec2> = way.windows(2).map(|pair| pair[1] - pair[0]).collect();
        let here: f64 = stretches.iter().map(|stretch| stretch.length()).sum();
        let here_words = match &stretches[..] {
            [stretch] => format!("{}, {}", Amount::mm(here), slope_words(*stretch)),
            several => several.iter().map(|stretch| stretch_words(*stretch)).collect::<Vec<_>>().join(", then "),
        };
        let so_far: f64 = self.points().windows(2).map(|pair| pair[0].distance(pair[1])).sum();
        let in_all = if self.bends.is_empty() && stretches.len() < 2 {
            String::new()
        } else {
            format!("\nin all {}", Amount::mm(so_far + here))
        };
        format!("{here_words}{in_all}")
    }

    /// The changes that make the run, ending at `to`, with what `new` tells of it besides; none when it would have no length.
    #[must_use]
    pub fn finish(
        mut self,
        to: &Anchor,
        (angles, fall): (Angles, Option<Gradient>),
        layout: &Layout,
        new: Run,
    ) -> Option<(Id, Vec<Edit>)> {
        self.bend(to, angles, fall);
        let end_at = self.bends.pop()?;
        // A free end keeps the square angle; anything else is where it is.
        let to = match to {
            Anchor::Free { .. } => Anchor::free(end_at),
            other => other.clone(),
        };
        self.make(&to, layout, new)
    }

    /// Ends the run in the open at its last bend; none when it has no bend yet.
    #[must_use]
    pub fn finish_here(mut self, layout: &Layout, new: Run) -> Option<(Id, Vec<Edit>)> {
        let at = self.bends.pop()?;
        self.make(&Anchor::free(at), layout, new)
    }

    fn make(&self, to: &Anchor, layout: &Layout, new: Run) -> Option<(Id, Vec<Edit>)> {
        if self.bends.is_empty() && self.start.at().distance(to.at()) < 0.5 {
            return None;
        }
        let mut edits = Vec::new();
        let mut now = layout.clone();
        let mut ends = Vec::new();
        for anchor in [&self.start, to] {
            let (end, hole) = anchor.end(&now, self.service);
            if let Some(hole) = hole {
                // Both ends may need a hole in one cistern.
                now = crate::layout::apply(&now, &hole).ok()?;
                edits.push(hole);
            }
            ends.push(end);
        }
        let (mut to_end, mut from_end) = (ends.pop()?, ends.pop()?);
        let mut via: Vec<crate::geom::Point> = self.bends.iter().map(|bend| (*bend).into()).collect();
        if runs_backwards(self.service, &from_end, &to_end, layout) {
            std::mem::swap(&mut from_end, &mut to_end);
            via.reverse();
        }
        if let (Service::RisingMain, End::Open(point)) = (self.service, &from_end) {
            from_end = End::Onward(*point);
        }
        let id = layout.free_id(&wish(self.service, &from_end, &to_end, layout));
        let run = Run { id: id.clone(), service: self.service, from: from_end, via, to: to_end, ..new };
        edits.push(Edit::put(Part::Run(run)));
        Some((id, edits))
    }
}

/// What level stretches of a run fall by where nobody asks for anything else; common practice, no source.
#[must_use]
pub fn usual_fall(service: Service) -> Option<Gradient> {
    (service == Service::WarningPipe).then(|| Gradient::falling(WARNING_PIPE_FALLS_MM_PER_M)).flatten()
}

/// A fall that is seen with the eye.
const WARNING_PIPE_FALLS_MM_PER_M: f64 = 25.0;

/// What rises or falls by less than this is level, and what goes aside by less is upright, mm.
const STRAIGHT_MM: f64 = 0.5;

/// How a stretch of pipe lies: level, falling 1:40, or by how much it rises.
fn slope_words(stretch: DVec2) -> String {
    let (rise_mm, aside_mm) = (stretch.y, stretch.x.abs());
    match Gradient::falling(-1000.0 * rise_mm / aside_mm.max(1e-9)).map(Gradient::words) {
        _ if rise_mm.abs() < STRAIGHT_MM => "level".to_owned(),
        Some(words) => words,
        None if rise_mm > 0.0 => format!("rises {}", Amount::mm(rise_mm)),
        None => format!("falls {}", Amount::mm(-rise_mm)),
    }
}

/// One of several stretches: "38 mm up", "900 mm level".
fn stretch_words(stretch: DVec2) -> String {
    let long = Amount::mm(stretch.length());
    match (stretch.x.abs() < STRAIGHT_MM, stretch.y > 0.0) {
        (true, true) => format!("{long} up"),
        (true, false) => format!("{long} down"),
        (false, _) => format!("{long} {}", slope_words(stretch)),
    }
}

/// Whether a run was drawn against the flow of its service.
fn runs_backwards(service: Service, from: &End, to: &End, layout: &Layout) -> bool {
    let is_source = |end: &End| match end {
        End::Port(part, _) => match (service, layout.part(part)) {
            (
                Service::ColdFeed | Service::ColdDistribution | Service::WarningPipe | Service::PrimaryFeed,
                Some(PartRef::Cistern(_)),
            )
            | (Service::HotDistribution | Service::OpenVent | Service::PrimaryReturn, Some(PartRef::Cylinder(_)))
            | (Service::PrimaryFlow | Service::PrimaryVent, Some(PartRef::Boiler(_))) => true,
            (Service::RisingMain, found) => found.is_none(),
            _ => false,
        },
        End::Open(_) | End::Onward(_) => service == Service::RisingMain,
        End::Tee(..) => false,
    };
    is_source(to) && !is_source(from)
}

/// What a new run would be called.
fn wish(service: Service, from: &End, to: &End, layout: &Layout) -> String {
    let branch_to = match (from, to) {
        (End::Tee(..), End::Port(part, port)) => match layout.part(part) {
            Some(PartRef::Outlet(_)) => Some(format!("{part}-{port}")),
            _ => None,
        },
        _ => None,
    };
    branch_to.unwrap_or_else(|| match service {
        Service::HotDistribution => "draw-off".to_owned(),
        other => other.words().replace(' ', "-"),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::desk::Outlook;
    use crate::geom::Point;
    use crate::layout::{Outlet, OutletKind};

    fn free(x: f64, z: f64) -> Anchor {
        Anchor::free(dvec2(x, z))
    }

    fn basin() -> (Layout, Anchor) {
        let basin = Outlet::new(Id::of("basin"), OutletKind::Basin, Point::mm(1000.0, 900.0));
        let cold =
            Anchor::Port { part: Id::of("basin"), port: Id::of("cold"), at: dvec2(1040.0, 900.0), way: Way::Upright };
        (Layout { outlets: vec![basin], ..Layout::default() }, cold)
    }

    #[test]
    fn stretches_are_square_unless_the_angle_is_free() {
        let drawing = Drawing::begin(Service::ColdFeed, free(0.0, 0.0));
        assert_eq!(drawing.onward(&free(900.0, 40.0), Angles::Square, None), vec![dvec2(900.0, 0.0)]);
        assert_eq!(drawing.onward(&free(900.0, 40.0), Angles::Free, None), vec![dvec2(900.0, 40.0)]);
        assert_eq!(drawing.words(&[dvec2(300.0, -400.0)]), "500 mm, falls 400 mm");
    }

    #[test]
    fn a_warning_pipe_falls_away_from_the_cistern_unless_asked() {
        let (_, port) = basin();
        let away = Drawing::begin(Service::WarningPipe, port);
        assert_eq!(away.onward(&free(40.0, 900.0), Angles::Square, None), vec![dvec2(40.0, 875.0)]);
        assert_eq!(away.onward(&free(40.0, 900.0), Angles::Square, Gradient::falling(0.0)), vec![dvec2(40.0, 900.0)]);
        let back = Drawing::begin(Service::WarningPipe, free(40.0, 875.0));
        assert_eq!(back.onward(&free(1040.0, 875.0), Angles::Square, None), vec![dvec2(1040.0, 900.0)]);
    }

    #[test]
    fn an_elbow_is_told_stretch_by_stretch() {
        // The port lies 38 mm higher: the pipe goes level to below it, and then up.
        let (_, cold) = basin();
        let drawing = Drawing::begin(Service::ColdDistribution, free(140.0, 862.0));
        let onward = drawing.onward(&cold, Angles::Square, None);
        assert_eq!(onward, vec![dvec2(1040.0, 862.0), dvec2(1040.0, 900.0)]);
        assert_eq!(drawing.words(&onward), "900 mm level, then 38 mm up\nin all 938 mm");
        assert_eq!(drawing.words(&onward[..1]), "900 mm, level");
        // With a fall it lies 9 mm lower by then.
        let falling = drawing.onward(&cold, Angles::Square, Gradient::falling(10.0));
        assert_eq!(drawing.words(&falling), "900 mm falls 1:100 (10 mm per m), then 47 mm up\nin all 947 mm");
    }

    #[test]
    fn a_run_ends_on_a_port_with_an_elbow_before_it() {
        let (layout, cold) = basin();
        let drawing = Drawing::begin(Service::ColdDistribution, free(0.0, 2400.0));
        let (id, edits) = drawing
            .finish(&cold, (Angles::Square, None), &layout, Outlook::default().new_run(Service::ColdDistribution))
            .expect("a run");
        let made = crate::layout::apply(&layout, &edits[0]).expect("fits");
        assert_eq!(id.as_str(), "cold-distribution");
        assert_eq!(made.runs[0].via, vec![Point::mm(1040.0, 2400.0)]);
        assert_eq!(made.runs[0].to, End::Port(Id::of("basin"), Id::of("cold")));
    }

    #[test]
    fn a_bend_a_little_too_far_leaves_no_spur() {
        let (_, cold) = basin();
        let mut drawing = Drawing::begin(Service::ColdDistribution, free(1040.0, 2400.0));
        drawing.bend(&free(1040.0, 880.0), Angles::Square, None);
        drawing.bend(&cold, Angles::Square, None);
        assert_eq!(drawing.bends, vec![dvec2(1040.0, 900.0)]);
    }

    #[test]
    fn a_rising_main_comes_from_beyond_the_drawing() {
        let (layout, cold) = basin();
        let drawing = Drawing::begin(Service::RisingMain, cold);
        let (_, edits) = drawing
            .finish(
                &free(1040.0, 0.0),
                (Angles::Square, None),
                &layout,
                Outlook::default().new_run(Service::ColdDistribution),
            )
            .expect("a run");
        let made = crate::layout::apply(&layout, &edits[0]).expect("fits");
        assert_eq!(made.runs[0].from, End::Onward(Point::mm(1040.0, 0.0)));
    }

    #[test]
    fn a_run_without_length_is_none() {
        let (layout, cold) = basin();
        assert!(
            Drawing::begin(Service::ColdFeed, cold.clone())
                .finish(&cold, (Angles::Square, None), &layout, Outlook::default().new_run(Service::ColdDistribution))
                .is_none()
        );
    }
}
