//! The loft carried along when the ceiling below it gets another level: all that lies above is raised or lowered by as much.

use glam::{DVec2, dvec2};

use super::{Building, Edit, End, Id, Layout, Part, PartRef, Traces, WhichEnd};
use crate::geom::Point;
use crate::units::{Length, Level};

/// What is raised: all from a level on, by so much.
#[derive(Clone, Copy)]
struct Raised {
    from_mm: f64,
    by_mm: f64,
}

impl Raised {
    const fn is_above(self, level: Level) -> bool {
        level.to_mm() >= self.from_mm
    }

    fn level(self, level: Level) -> Level {
        if self.is_above(level) { Level::mm(level.to_mm() + self.by_mm) } else { level }
    }

    fn place(self, place: DVec2) -> DVec2 {
        if place.y >= self.from_mm { place + dvec2(0.0, self.by_mm) } else { place }
    }

    fn point(self, point: Point) -> Point {
        if self.is_above(point.z) { point.moved(dvec2(0.0, self.by_mm)) } else { point }
    }
}

/// A run's vertices as they were and as they are raised.
struct Course {
    was: Vec<DVec2>,
    is: Vec<DVec2>,
    raised: Raised,
}

impl Course {
    /// Where along the raised run lies what lay so far along it.
    fn along(&self, at: Length) -> Length {
        let (mut old_mm, mut new_mm) = (0.0, 0.0);
        for (was, is) in self.was.windows(2).zip(self.is.windows(2)) {
            let (old_stretch, new_stretch) = (was[0].distance(was[1]), is[0].distance(is[1]));
            if at.to_mm() <= old_mm + old_stretch {
                let share = (at.to_mm() - old_mm) / old_stretch.max(f64::MIN_POSITIVE);
                let place = self.raised.place(was[0].lerp(was[1], share));
                return Length::mm((new_mm + is[0].distance(place)).min(new_mm + new_stretch));
            }
            (old_mm, new_mm) = (old_mm + old_stretch, new_mm + new_stretch);
        }
        Length::mm(at.to_mm() - old_mm + new_mm)
    }
}

impl Layout {
    /// The changes that put another building in place. Where its ceiling has another level, joists, roof, heads of
    /// walls and all that stands and runs above the ceiling go up or down with it.
    #[must_use]
    pub fn with_loft_carried(&self, mut building: Building) -> Vec<Edit> {
        let levels = [&self.building, &building].map(|building| building.ceiling.map(|ceiling| ceiling.underside));
        let [Some(was), Some(is)] = levels else { return vec![Edit::Building(Box::new(building))] };
        if was == is {
            return vec![Edit::Building(Box::new(building))];
        }
        let raised = Raised { from_mm: was.to_mm(), by_mm: is.to_mm() - was.to_mm() };
        if let Some(joists) = &mut building.joists {
            joists.top = raised.level(joists.top);
        }
        for point in building.roof.iter_mut().flat_map(|roof| &mut roof.underside) {
            *point = raised.point(*point);
        }
        for wall in &mut building.walls {
            (wall.foot, wall.head) = (raised.level(wall.foot), raised.level(wall.head));
        }
        let mut parts = self.parts_raised(raised);
        parts.extend(self.runs_raised(raised));
        vec![Edit::Building(Box::new(building)), Edit::Arrange(parts)]
    }

    /// Parts that stand above, and notes that are written or point there.
    fn parts_raised(&self, raised: Raised) -> Vec<Part> {
        let mut parts = Vec::new();
        for was in self.parts().filter(|part| !matches!(part, PartRef::Run(_))).map(|part| part.to_part()) {
            let mut part = was.clone();
            if let Part::Note(note) = &mut part {
                note.points_at = note.points_at.map(|point| raised.point(point));
            }
            if let Some(at) = part.at_mut() {
                *at = raised.point(*at);
            }
            if part != was {
                parts.push(part);
            }
        }
        parts
    }

    /// Runs of which anything lies above.
    fn runs_raised(&self, raised: Raised) -> Vec<Part> {
        let traces = Traces::of(self);
        let course = |number: usize| {
            let run = self.runs.get(number)?;
            let was = traces.vertices(number, run)?;
            let mut is: Vec<DVec2> = was.iter().map(|vertex| raised.place(*vertex)).collect();
            for (end, vertex) in [(&run.from, 0), (&run.to, was.len() - 1)] {
                // A port goes where its part goes, wherever it is on that.
                if let End::Port(part, _) = end {
                    let base = self.part(part).and_then(|part| part.at()).map(Point::vector);
                    is[vertex] = was[vertex] + base.map_or(DVec2::ZERO, |base| raised.place(base) - base);
                }
            }
            Some(Course { was, is, raised })
        };
        let courses: Vec<Option<Course>> = (0..self.runs.len()).map(course).collect();
        let on = |host: &Id| courses[traces.number(host)?].as_ref();
        let mut parts = Vec::new();
        for (was, course) in self.runs.iter().zip(&courses) {
            let Some(course) = course.as_ref() else { continue };
            let mut run = was.clone();
            run.via = run.via.iter().map(|bend| raised.point(*bend)).collect();
            for which in WhichEnd::BOTH {
                match run.end_mut(which) {
                    End::Open(point) | End::Onward(point) => *point = raised.point(*point),
                    End::Tee(host, at) => *at = on(host).map_or(*at, |course| course.along(*at)),
                    End::Port(..) => {}
                }
            }
            for fitting in run.fittings.iter_mut().flatten() {
                fitting.at = course.along(fitting.at);
            }
            for lagging in run.insulation.iter_mut().flatten() {
                (lagging.from, lagging.to) = (course.along(lagging.from), course.along(lagging.to));
            }
            if run != *was || course.was != course.is {
                parts.push(Part::Run(run));
            }
        }
        parts
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::{Ceiling, InLine, InLineKind, Run, Service, apply_all};
    use crate::units::Size;

    fn open(name: &str, from: (f64, f64), to: End) -> Run {
        Run::new(Id::of(name), Service::ColdFeed, End::Open(Point::mm(from.0, from.1)), to)
    }

    /// A pipe up through the ceiling with a bend above it and a valve on either side, and a tee below it.
    fn through_the_ceiling() -> Layout {
        let mut riser = open("riser", (1000.0, 500.0), End::Open(Point::mm(2000.0, 3000.0)));
        riser.via = vec![Point::mm(1000.0, 3000.0)];
        let valve = |mm| InLine { kind: InLineKind::GateValve, at: Length::mm(mm) };
        riser.fittings = Some(vec![valve(1800.0), valve(2000.0), valve(2700.0)]);
        let branch = open("branch", (3000.0, 2300.0), End::Tee(Id::of("riser"), Length::mm(1800.0)));
        let ceiling = Some(Ceiling { underside: Level::mm(2400.0), thickness: Size::mm(12.5) });
        let building = Building { ceiling, ..Building::default() };
        Layout { building, runs: vec![riser, branch], ..Layout::default() }
    }

    #[test]
    fn what_lies_above_the_ceiling_goes_up_with_it() {
        let before = through_the_ceiling();
        let mut building = before.building.clone();
        if let Some(ceiling) = &mut building.ceiling {
            ceiling.underside = Level::mm(2700.0);
        }
        let edits = before.with_loft_carried(building);
        let now = apply_all(&before, &edits).expect("it fits");
        let riser = &now.runs[0];
        assert_eq!((riser.via[0], &riser.to), (Point::mm(1000.0, 3300.0), &End::Open(Point::mm(2000.0, 3300.0))));
        assert_eq!(riser.from, before.runs[0].from);
        let along: Vec<f64> = riser.fittings.iter().flatten().map(|fitting| fitting.at.to_mm()).collect();
        assert_eq!(along, [1800.0, 2300.0, 3000.0]);
        assert_eq!(now.runs[1], before.runs[1]);
    }

    #[test]
    fn a_ceiling_that_stays_takes_nothing_along() {
        let before = through_the_ceiling();
        let building = Building { ceiling: None, ..before.building.clone() };
        assert_eq!(before.with_loft_carried(building.clone()), [Edit::Building(Box::new(building))]);
        let same = before.building.clone();
        assert_eq!(before.with_loft_carried(same.clone()), [Edit::Building(Box::new(same))]);
    }
}
