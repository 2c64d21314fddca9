//! One valve, drain cock or pump by itself: what it is called, slid along its run, taken out of it.

use glam::{DVec2, dvec2};

use super::{Id, InLine, Layout, Run, Traces};
use crate::geom::Polyline;
use crate::units::Length;

impl Layout {
    /// The name of a fitting, by its number in a run; empty where there is none.
    #[must_use]
    pub fn fitting_name(&self, run: &Id, number: usize) -> String {
        let found = self.fitting(run, number);
        found.map_or_else(String::new, |(_, fitting)| format!("{} of {}", fitting.kind.words(), run.spoken()))
    }

    /// Which way a fitting can be moved where it sits: 1 along the axis along which its pipe runs there.
    #[must_use]
    pub fn way_of_fitting(&self, run: &Id, number: usize) -> DVec2 {
        let way = self.course_at_fitting(run, number).map(|(_, way)| way.abs());
        way.unwrap_or_default()
    }

    /// The run with a fitting slid along it by what of a movement lies that way, and no further than its ends.
    #[must_use]
    pub fn with_fitting_slid(&self, run: &Id, number: usize, by: DVec2) -> Option<Run> {
        let (line, way) = self.course_at_fitting(run, number)?;
        let mut slid = self.fitting(run, number)?.0.clone();
        let fitting = slid.fittings.as_mut()?.get_mut(number)?;
        fitting.at = Length::mm((fitting.at.to_mm() + by.dot(way)).clamp(0.0, line.length()));
        Some(slid)
    }

    /// The run without a fitting.
    #[must_use]
    pub fn without_fitting(&self, run: &Id, number: usize) -> Option<Run> {
        let mut left = self.fitting(run, number)?.0.clone();
        left.fittings.as_mut()?.remove(number);
        Some(left)
    }

    fn fitting(&self, run: &Id, number: usize) -> Option<(&Run, &InLine)> {
        let run = self.run(run)?;
        Some((run, run.fittings.as_ref()?.get(number)?))
    }

    /// The line of its run, and the axis along which that goes on from a fitting.
    fn course_at_fitting(&self, run: &Id, number: usize) -> Option<(Polyline, DVec2)> {
        let (_, fitting) = self.fitting(run, number)?;
        let line = Traces::of(self).of_run(run)?.clone();
        let onward = line.direction_at(fitting.at.to_mm());
        let way = if onward.x.abs() >= onward.y.abs() {
            dvec2(onward.x.signum(), 0.0)
        } else {
            dvec2(0.0, onward.y.signum())
        };
        Some((line, way))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Point;
    use crate::layout::{End, InLineKind, Service};

    /// A pipe that falls on its way to the left, then drops; a valve in either stretch.
    fn two_valves() -> Layout {
        let (from, to) = (End::Open(Point::mm(2000.0, 1000.0)), End::Open(Point::mm(0.0, 0.0)));
        let mut run = Run::new(Id::of("feed"), Service::ColdFeed, from, to);
        run.via = vec![Point::mm(0.0, 960.0)];
        let valve = |mm| InLine { kind: InLineKind::GateValve, at: Length::mm(mm) };
        run.fittings = Some(vec![valve(500.0), valve(2400.0)]);
        Layout { runs: vec![run], ..Layout::default() }
    }

    fn slid(number: usize, by: DVec2) -> f64 {
        let run = two_valves().with_fitting_slid(&Id::of("feed"), number, by).expect("there");
        run.fittings.expect("there")[number].at.to_mm()
    }

    #[test]
    fn a_fitting_slides_the_way_its_pipe_runs() {
        assert_eq!(slid(0, dvec2(-10.0, 7.0)), 510.0);
        assert_eq!(slid(1, dvec2(-10.0, 7.0)), 2393.0);
        assert_eq!(slid(0, dvec2(5000.0, 0.0)), 0.0);
        assert_eq!(two_valves().way_of_fitting(&Id::of("feed"), 1), DVec2::Y);
    }

    #[test]
    fn a_fitting_that_is_not_there_moves_and_loses_nothing() {
        let (layout, feed) = (two_valves(), Id::of("feed"));
        assert!(layout.with_fitting_slid(&feed, 2, DVec2::X).is_none() && layout.without_fitting(&feed, 2).is_none());
        assert_eq!((layout.way_of_fitting(&feed, 2), layout.fitting_name(&feed, 2)), (DVec2::ZERO, String::new()));
        assert_eq!(layout.fitting_name(&feed, 1), "gate valve of feed");
        let left = layout.without_fitting(&feed, 0).expect("there");
        assert_eq!(left.fittings.expect("told").len(), 1);
    }
}
