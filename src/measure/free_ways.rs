//! Where water can come to by a way on which nothing of a sort sits: no valve, or no pump.

use foldhash::HashSet;

use super::{Fitted, Leg, Site};
use crate::layout::{End, Id, InLineKind, Service, WhichEnd};

/// What is asked of a way.
#[derive(Clone, Copy)]
pub(super) struct Asked<'a> {
    /// Services through whose runs it may lead.
    pub through: &'a [Service],
    /// What must not sit on it.
    pub without: fn(InLineKind) -> bool,
    /// The pipes by which a part lets the water out again that comes to it by a port.
    pub onward: fn(&Site<'_>, &Id, &Id) -> Vec<(usize, WhichEnd)>,
}

impl<'a> Asked<'a> {
    /// A way through pipes alone: no part lets the water out again.
    pub(super) const fn by_pipes(through: &'a [Service], without: fn(InLineKind) -> bool) -> Self {
        Self { through, without, onward: |_, _, _| Vec::new() }
    }
}

/// How a run counts of which nobody has told what is in it.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Untold {
    Free,
    Barred,
}

/// All places to which a free way leads from some beginnings.
pub(super) struct FreeWays {
    /// For each run where it is parted by what must not sit on a way, mm along it.
    parted_mm: Vec<Vec<f64>>,
    /// Pieces of runs in reach, by run and by their place along it: where all that is not told bars the way, and where
    /// none of it does.
    surely: HashSet<(usize, usize)>,
    perhaps: HashSet<(usize, usize)>,
}

impl FreeWays {
    /// Follows the ways that begin at some ends of runs, each told by how far along its run it is.
    pub(super) fn from(site: &Site<'_>, begin: &[(usize, f64)], asked: Asked<'_>) -> Self {
        let parted_mm = (0..site.layout().runs.len()).map(|run| parted(site, run, asked.without)).collect();
        let mut ways = Self { parted_mm, surely: HashSet::default(), perhaps: HashSet::default() };
        ways.surely = ways.reach(site, begin, asked, Untold::Barred);
        ways.perhaps = ways.reach(site, begin, asked, Untold::Free);
        ways
    }

    /// Whether a free way leads to an end of a run; `None` where that hangs on what nobody has told.
    pub(super) fn lead_to(&self, run: usize, end: WhichEnd) -> Option<bool> {
        let piece = (run, self.piece_at_end(run, end));
        if self.surely.contains(&piece) { Some(true) } else { (!self.perhaps.contains(&piece)).then_some(false) }
    }

    fn piece_at_end(&self, run: usize, end: WhichEnd) -> usize {
        match end {
            WhichEnd::From => 0,
            WhichEnd::To => self.parted_mm[run].len(),
        }
    }

    fn reach(
        &self,
        site: &Site<'_>,
        begin: &[(usize, f64)],
        asked: Asked<'_>,
        untold: Untold,
    ) -> HashSet<(usize, usize)> {
        let may_lead_through = |run: usize| {
            site.leads_through(run, asked.through) && (untold == Untold::Free || site.run(run).fittings.is_some())
        };
        let mut reached = HashSet::default();
        let end_at = |at_mm: f64| if at_mm > 0.0 { WhichEnd::To } else { WhichEnd::From };
        let mut to_follow: Vec<(usize, usize)> =
            begin.iter().map(|(run, at_mm)| (*run, self.piece_at_end(*run, end_at(*at_mm)))).collect();
        while let Some((run, piece)) = to_follow.pop() {
            if !may_lead_through(run) || !reached.insert((run, piece)) {
                continue;
            }
            let piece_at = |run: usize, at_mm: f64| self.parted_mm[run].partition_point(|parted| *parted < at_mm);
            let here = site.joints(run).iter().filter(|joint| piece_at(run, joint.at_mm) == piece);
            to_follow.extend(here.map(|joint| (joint.other, piece_at(joint.other, joint.other_at_mm))));
            for end in WhichEnd::BOTH {
                if let End::Port(part, port) = site.run(run).end(end)
                    && self.piece_at_end(run, end) == piece
                {
                    let pipes = (asked.onward)(site, part, port).into_iter();
                    to_follow.extend(pipes.map(|(run, end)| (run, self.piece_at_end(run, end))));
                }
            }
        }
        reached
    }
}

/// Whether one of several things holds; `None` where that hangs on what nobody has told.
pub(super) fn any_of(known: impl Iterator<Item = Option<bool>>) -> Option<bool> {
    let mut any = Some(false);
    for one in known {
        match one {
            Some(true) => return Some(true),
            None => any = None,
            Some(false) => {}
        }
    }
    any
}

/// What is in the way along a path.
pub(super) enum InTheWay {
    /// A fitting, by its run and how far along it.
    Fitting { run: usize, at_mm: f64, kind: InLineKind },
    /// Nothing that is known, and of this run nobody has told what is in it.
    Untold(usize),
    /// Nothing.
    Nothing,
}

impl Site<'_> {
    /// The fitting nearest to the beginning of a path that `hinders`, which is asked with the run that the fitting sits in.
    pub(super) fn in_the_way(&self, path: &[Leg], hinders: impl Fn(usize, &Fitted) -> bool) -> InTheWay {
        let mut untold = None;
        for leg in path {
            let Some(fittings) = self.fitted(leg.run) else {
                untold.get_or_insert(leg.run);
                continue;
            };
            let on_leg = fittings.iter().filter(|fitting| leg.holds(fitting.at_mm) && hinders(leg.run, fitting));
            let away_mm = |fitting: &Fitted| leg.away_mm(fitting.at_mm);
            if let Some(Fitted { kind, at_mm, .. }) = on_leg.copied().min_by(|a, b| away_mm(a).total_cmp(&away_mm(b))) {
                return InTheWay::Fitting { run: leg.run, at_mm, kind };
            }
        }
        untold.map_or(InTheWay::Nothing, InTheWay::Untold)
    }
}

/// Where a run is parted, mm along it, in order.
fn parted(site: &Site<'_>, run: usize, without: fn(InLineKind) -> bool) -> Vec<f64> {
    let fittings = site.fitted(run).unwrap_or_default().iter();
    fittings.filter(|fitting| without(fitting.kind)).map(|fitting| fitting.at_mm).collect()
}
