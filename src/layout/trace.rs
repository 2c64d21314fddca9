//! The line that each run follows, with ports and tees resolved to points.

use foldhash::HashMap;
use glam::DVec2;

use super::{End, Id, Layout, PartRef, Run};
use crate::geom::Polyline;

/// The lines of all runs of a layout, by the run's place in [`Layout::runs`].
#[derive(Debug, Clone, Default)]
pub struct Traces {
    lines: Vec<Trace>,
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
        let number_of: HashMap<&Id, usize> = layout.runs.iter().enumerate().map(|(n, run)| (&run.id, n)).collect();
        let mut traces = Self::blank(layout.runs.len());
        for number in in_order(&layout.runs, &number_of) {
            traces.set(number, &layout.runs[number], index, &number_of);
        }
        traces
    }

    /// Places for so many lines, none of which is followed yet.
    pub(super) fn blank(runs: usize) -> Self {
        Self { lines: vec![Trace::Nowhere { cyclic: true }; runs] }
    }

    /// The runs in an order in which each comes after those that it stands on; runs that stand in a ring are left out.
    pub(super) fn order(runs: &[Run]) -> Vec<usize> {
        in_order(runs, &runs.iter().enumerate().map(|(n, run)| (&run.id, n)).collect())
    }

    /// Follows one run, after those that it stands on.
    pub(super) fn set(
        &mut self,
        number: usize,
        run: &Run,
        index: &HashMap<&Id, PartRef<'_>>,
        number_of: &HashMap<&Id, usize>,
    ) {
        self.lines[number] = self.follow(run, index, number_of);
    }

    /// Where an end is, once the run that it may stand on has been followed.
    pub(super) fn end(
        &self,
        end: &End,
        index: &HashMap<&Id, PartRef<'_>>,
        number_of: &HashMap<&Id, usize>,
    ) -> Option<DVec2> {
        match end {
            End::Open(point) | End::Onward(point) => Some(point.vector()),
            End::Port(part, port) => Some(index.get(part)?.port(port.as_str())?.vector()),
            End::Tee(other, at) => {
                let line = self.line(*number_of.get(other)?)?;
                Some(line.point_at(line.joined_at(at.to_mm())))
            }
        }
    }

    /// The line of a run; `None` when it has no length or no place.
    #[must_use]
    pub fn line(&self, run: usize) -> Option<&Polyline> {
        match self.lines.get(run) {
            Some(Trace::Line(line)) => Some(line),
            _ => None,
        }
    }

    /// Runs that stand on each other in a ring.
    #[must_use]
    pub fn cyclic(&self) -> Vec<usize> {
        let ring =
            |(number, trace): (usize, &Trace)| matches!(trace, Trace::Nowhere { cyclic: true }).then_some(number);
        self.lines.iter().enumerate().filter_map(ring).collect()
    }

    fn follow(&self, run: &Run, index: &HashMap<&Id, PartRef<'_>>, number_of: &HashMap<&Id, usize>) -> Trace {
        let place = |end| self.end(end, index, number_of);
        let (Some(from), Some(to)) = (place(&run.from), place(&run.to)) else {
            return Trace::Nowhere { cyclic: false };
        };
        let via = run.via.iter().map(|point| point.vector());
        match Polyline::through(std::iter::once(from).chain(via).chain(std::iter::once(to))) {
            Some(line) => Trace::Line(line),
            None => Trace::NoLength,
        }
    }
}

/// See [`Traces::order`].
fn in_order(runs: &[Run], number_of: &HashMap<&Id, usize>) -> Vec<usize> {
    let mut waiting_on: Vec<usize> = vec![0; runs.len()];
    let mut waited_for: Vec<Vec<usize>> = vec![Vec::new(); runs.len()];
    for (number, run) in runs.iter().enumerate() {
        for other in run.ends().into_iter().filter_map(|end| number_of.get(end.teed_on()?)) {
            waiting_on[number] += 1;
            waited_for[*other].push(number);
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
