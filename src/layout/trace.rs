//! The line that each run follows, with ports and tees resolved to points.

use foldhash::HashMap;
use glam::DVec2;

use super::{End, Id, Layout, PartRef, Run, WhichEnd};
use crate::geom::Polyline;

/// The lines of all runs of a layout, by the run's place in [`Layout::runs`].
#[derive(Debug, Clone, Default)]
pub struct Traces {
    lines: Vec<Trace>,
    numbers: HashMap<Id, usize>,
}

#[derive(Debug, Clone)]
enum Trace {
    Line(Polyline),
    /// Both ends fall on one point.
    NoLength,
    /// It waits for a run that waits for it, or refers to what is not there.
    Nowhere {
        cyclic: bool,
    },
}

impl Traces {
    /// Follows every run. Takes time in proportion to the number of parts.
    #[must_use]
    pub fn of(layout: &Layout) -> Self {
        Self::with_index(layout, &layout.index())
    }

    /// The same, when the parts have been looked up already.
    #[must_use]
    pub fn with_index(layout: &Layout, index: &HashMap<&Id, PartRef<'_>>) -> Self {
        let mut traces = Self::blank(&layout.runs);
        for number in traces.order(&layout.runs) {
            traces.follow(number, &layout.runs[number], index);
        }
        traces
    }

    /// Places for the lines of some runs, none of which is followed yet.
    pub(super) fn blank(runs: &[Run]) -> Self {
        let numbers = runs.iter().enumerate().map(|(number, run)| (run.id.clone(), number)).collect();
        Self { lines: vec![Trace::Nowhere { cyclic: true }; runs.len()], numbers }
    }

    /// The runs in an order in which each comes after those that it stands on; runs that stand in a ring are left out.
    pub(super) fn order(&self, runs: &[Run]) -> Vec<usize> {
        let mut waiting_on: Vec<usize> = vec![0; runs.len()];
        let mut waited_for: Vec<Vec<usize>> = vec![Vec::new(); runs.len()];
        for (number, run) in runs.iter().enumerate() {
            for other in run.ends().into_iter().filter_map(|end| self.number(end.teed_on()?)) {
                waiting_on[number] += 1;
                waited_for[other].push(number);
            }
        }
        // Runs that wait for none come first; each then releases those that wait for it.
        let mut ready: Vec<usize> = (0..runs.len()).filter(|number| waiting_on[*number] == 0).collect();
        let mut order = Vec::with_capacity(runs.len());
        while let Some(number) = ready.pop() {
            order.push(number);
            for &follower in &waited_for[number] {
                waiting_on[follower] -= 1;
                if waiting_on[follower] == 0 {
                    ready.push(follower);
                }
            }
        }
        order
    }

    /// Follows one run, after those that it stands on.
    pub(super) fn follow(&mut self, number: usize, run: &Run, index: &HashMap<&Id, PartRef<'_>>) {
        self.lines[number] = match self.joined(run, index).map(Polyline::through) {
            Some(Some(line)) => Trace::Line(line),
            Some(None) => Trace::NoLength,
            None => Trace::Nowhere { cyclic: false },
        };
    }

    /// The vertices of a run that joins its ends, once the runs that it may stand on have been followed.
    pub(super) fn joined(&self, run: &Run, index: &HashMap<&Id, PartRef<'_>>) -> Option<Vec<DVec2>> {
        Some(run.vertices(self.place(&run.from, index)?, self.place(&run.to, index)?))
    }

    fn place(&self, end: &End, index: &HashMap<&Id, PartRef<'_>>) -> Option<DVec2> {
        match end {
            End::Open(point) | End::Onward(point) => Some(point.vector()),
            End::Port(part, port) => Some(index.get(part)?.port(port.as_str())?.vector()),
            End::Tee(other, at) => {
                let line = self.of_run(other)?;
                Some(line.point_at(line.joined_at(at.to_mm())))
            }
        }
    }

    /// The number of a run.
    #[must_use]
    pub fn number(&self, id: &Id) -> Option<usize> {
        self.numbers.get(id).copied()
    }

    /// The line of a run by its number; `None` when it has no length or no place.
    #[must_use]
    pub fn line(&self, run: usize) -> Option<&Polyline> {
        match self.lines.get(run) {
            Some(Trace::Line(line)) => Some(line),
            _ => None,
        }
    }

    /// The line of a run by its id.
    #[must_use]
    pub fn of_run(&self, id: &Id) -> Option<&Polyline> {
        self.line(self.number(id)?)
    }

    /// Where an end of a run is.
    #[must_use]
    pub fn end_point(&self, run: usize, which: WhichEnd) -> Option<DVec2> {
        let line = self.line(run)?;
        Some(line.point_at(match which {
            WhichEnd::From => 0.0,
            WhichEnd::To => line.length(),
        }))
    }

    /// The ends of a run and every bend between, those as well that fall on one point.
    pub(super) fn vertices(&self, number: usize, run: &Run) -> Option<Vec<DVec2>> {
        let [from, to] = WhichEnd::BOTH.map(|which| self.end_point(number, which));
        Some(run.vertices(from?, to?))
    }

    /// Runs that stand on each other in a ring.
    #[must_use]
    pub fn cyclic(&self) -> Vec<usize> {
        let ring =
            |(number, trace): (usize, &Trace)| matches!(trace, Trace::Nowhere { cyclic: true }).then_some(number);
        self.lines.iter().enumerate().filter_map(ring).collect()
    }
}

impl End {
    /// The run that this end stands on, if it is a tee.
    #[must_use]
    pub const fn teed_on(&self) -> Option<&Id> {
        match self {
            Self::Tee(run, _) => Some(run),
            Self::Port(..) | Self::Open(_) | Self::Onward(_) => None,
        }
    }

    /// The part on which this end hangs, and the port of it, if it hangs on one.
    #[must_use]
    pub const fn hangs_on(&self) -> Option<(&Id, &Id)> {
        match self {
            Self::Port(part, port) => Some((part, port)),
            Self::Tee(..) | Self::Open(_) | Self::Onward(_) => None,
        }
    }
}
