//! What is put on a run by hand: insulation from here to there, and valves, at distances along it.

use super::{InLine, InLineKind, Lagging, Run};
use crate::catalogue::Insulant;
use crate::units::{Length, Size};

/// A stretch no longer than this, lagged or bare, is none, mm: no tape and no eye tells it at a joint or at an end (common
/// practice, no source).
const SEAM_MM: f64 = 1.0;
/// Sums of binary fractions are off by less than this, mm.
const TRACE_MM: f64 = 1e-6;

impl Lagging {
    /// Where it begins and where it ends along the run, mm, from whichever end it is told.
    #[must_use]
    pub const fn ends_mm(&self) -> (f64, f64) {
        let (from_mm, to_mm) = (self.from.to_mm(), self.to.to_mm());
        (from_mm.min(to_mm), from_mm.max(to_mm))
    }

    /// Whether it is of the same kind and thickness as another.
    #[must_use]
    pub fn is_like(&self, other: &Self) -> bool {
        (self.thickness, self.kind) == (other.thickness, other.kind)
    }

    /// By what it counts where several lie over one another: its thickness, and before all one that nobody has told.
    fn counts_mm(&self) -> f64 {
        self.thickness.map_or(f64::INFINITY, Size::to_mm)
    }
}

impl Run {
    /// Its insulation between two distances along it, mm: in order, and each place once. Where several lie over one another
    /// the thickest counts; what is alike and touches is one. `None` where nobody has told.
    #[must_use]
    pub fn lagged_parts(&self, from_mm: f64, to_mm: f64) -> Option<Vec<Lagging>> {
        let (low, high) = (from_mm.min(to_mm), from_mm.max(to_mm));
        let clipped = |lagging: &Lagging| {
            let (from_mm, to_mm) = lagging.ends_mm();
            let (from_mm, to_mm) = (from_mm.max(low), to_mm.min(high));
            (to_mm > from_mm).then(|| Lagging { from: Length::mm(from_mm), to: Length::mm(to_mm), ..*lagging })
        };
        let laid: Vec<Lagging> = self.insulation.as_ref()?.iter().filter_map(clipped).collect();
        let mut cuts: Vec<Length> = laid.iter().flat_map(|lagging| [lagging.from, lagging.to]).collect();
        cuts.sort();
        cuts.dedup();
        let mut parts: Vec<Lagging> = Vec::new();
        for pair in cuts.windows(2) {
            let over = laid.iter().filter(|lagging| lagging.from <= pair[0] && pair[1] <= lagging.to);
            let Some(thickest) = over.reduce(|a, b| if b.counts_mm() > a.counts_mm() { b } else { a }) else {
                continue;
            };
            match parts.last_mut().filter(|last| last.to == pair[0] && last.is_like(thickest)) {
                Some(last) => last.to = pair[1],
                None => parts.push(Lagging { from: pair[0], to: pair[1], ..*thickest }),
            }
        }
        Some(parts)
    }

    /// The run insulated from one place along it to another, whichever comes first. What it had there gives way; what
    /// is alike and touches becomes one stretch.
    #[must_use]
    pub fn lagged(&self, from_mm: f64, to_mm: f64, thickness: Option<Size>, kind: Option<Insulant>) -> Self {
        let (low, high) = (from_mm.min(to_mm).max(0.0), from_mm.max(to_mm));
        if high - low < SEAM_MM {
            return self.clone();
        }
        let mut run = self.stripped(low, high);
        let laid = Lagging { from: Length::mm(low), to: Length::mm(high), thickness, kind };
        let list = run.insulation.get_or_insert_with(Vec::new);
        let joins = |other: &Lagging| {
            let apart_mm = (other.from.to_mm() - high).max(low - other.to.to_mm());
            other.is_like(&laid) && apart_mm <= SEAM_MM
        };
        let mut new = laid;
        for other in list.iter().filter(|other| joins(other)) {
            (new.from, new.to) = (new.from.min(other.from), new.to.max(other.to));
        }
        list.retain(|other| !joins(other));
        list.push(new);
        list.sort_by_key(|lagging| lagging.from);
        run
    }

    /// The run bare from one place along it to another; what is over of a stretch on either side stays.
    #[must_use]
    pub fn stripped(&self, from_mm: f64, to_mm: f64) -> Self {
        let (low, high) = (from_mm.min(to_mm), from_mm.max(to_mm));
        let mut run = self.clone();
        let list = run.insulation.get_or_insert_with(Vec::new);
        let left_over = |lagging: &Lagging| {
            let (from, to) = lagging.ends_mm();
            let before = Lagging { from: Length::mm(from), to: Length::mm(to.min(low)), ..*lagging };
            let after = Lagging { from: Length::mm(from.max(high)), to: Length::mm(to), ..*lagging };
            [before, after].into_iter().filter(|left| left.to.to_mm() - left.from.to_mm() >= SEAM_MM)
        };
        *list = list.iter().flat_map(left_over).collect();
        run
    }

    /// How much of the run is bare between two distances along it, mm; `None` where nobody has told.
    #[must_use]
    pub fn bare_mm(&self, from_mm: f64, to_mm: f64) -> Option<f64> {
        let mut reached_mm = from_mm.min(to_mm);
        let ends = self.lagged_parts(from_mm, to_mm)?.into_iter().map(|part| part.ends_mm());
        let mut bare_mm = 0.0;
        for (begins_mm, ends_mm) in ends.chain([(from_mm.max(to_mm), f64::INFINITY)]) {
            let gap_mm = begins_mm - reached_mm;
            bare_mm += if gap_mm > SEAM_MM + TRACE_MM { gap_mm } else { 0.0 };
            reached_mm = ends_mm;
        }
        Some(bare_mm)
    }

    /// How far the run is lagged without a gap, from a distance along it to another; the whole way where there is none.
    /// `None` where nobody has told.
    #[must_use]
    pub fn lagged_from_mm(&self, from_mm: f64, to_mm: f64) -> Option<f64> {
        let outward = |part: &Lagging| {
            let (a, b) = part.ends_mm();
            let (a, b) = ((a - from_mm).abs(), (b - from_mm).abs());
            (a.min(b), a.max(b))
        };
        let mut covers: Vec<(f64, f64)> = self.lagged_parts(from_mm, to_mm)?.iter().map(outward).collect();
        covers.sort_by(|a, b| a.0.total_cmp(&b.0));
        let whole_mm = (to_mm - from_mm).abs();
        let mut reached_mm = 0.0_f64;
        for (begins_mm, ends_mm) in covers {
            if begins_mm > reached_mm + SEAM_MM + TRACE_MM {
                break;
            }
            reached_mm = reached_mm.max(ends_mm);
        }
        Some(if reached_mm >= whole_mm - SEAM_MM - TRACE_MM { whole_mm } else { reached_mm })
    }

    /// The run with one more valve, drain cock or pump.
    #[must_use]
    pub fn fitted(&self, kind: InLineKind, at_mm: f64) -> Self {
        let mut run = self.clone();
        let list = run.fittings.get_or_insert_with(Vec::new);
        list.push(InLine { kind, at: Length::mm(at_mm) });
        list.sort_by_key(|fitting| fitting.at);
        run
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Point;
    use crate::layout::{End, Id, Service};

    fn bare() -> Run {
        let ends = [0.0, 3000.0].map(|x| End::Open(Point::mm(x, 0.0)));
        let [from, to] = ends;
        Run { insulation: Some(Vec::new()), ..Run::new(Id::of("feed"), Service::ColdFeed, from, to) }
    }

    fn spans(run: &Run) -> Vec<(f64, f64)> {
        run.insulation.iter().flatten().map(|lagging| (lagging.from.to_mm(), lagging.to.to_mm())).collect()
    }

    #[test]
    fn what_touches_becomes_one_and_what_is_erased_falls_in_two() {
        let foam = |run: &Run, from, to| run.lagged(from, to, Some(Size::mm(25.0)), None);
        let run = foam(&foam(&bare(), 0.0, 1000.0), 2000.0, 900.0);
        assert_eq!(spans(&run), [(0.0, 2000.0)]);
        assert_eq!(spans(&run.stripped(500.0, 700.0)), [(0.0, 500.0), (700.0, 2000.0)]);
        assert_eq!(run.stripped(0.0, 3000.0), bare());
    }

    #[test]
    fn a_seam_is_no_gap_and_what_is_wider_is_one() {
        let lagged = |spans: &[(f64, f64)]| {
            let whole = |(from, to): &(f64, f64)| Lagging {
                from: Length::mm(*from),
                to: Length::mm(*to),
                thickness: None,
                kind: None,
            };
            Run { insulation: Some(spans.iter().map(whole).collect()), ..bare() }
        };
        let butted = lagged(&[(0.8, 1000.0), (1001.0, 2000.0), (2000.7, 2999.2)]);
        assert_eq!(butted.bare_mm(0.0, 3000.0), Some(0.0));
        assert_eq!(butted.lagged_from_mm(0.0, 3000.0), Some(3000.0));
        assert_eq!(butted.lagged_from_mm(3000.0, 0.0), Some(3000.0));
        let gaping = lagged(&[(0.0, 1000.0), (1001.5, 2000.0)]);
        assert_eq!(gaping.bare_mm(0.0, 3000.0), Some(1001.5));
        assert_eq!(gaping.bare_mm(1900.0, 500.0), Some(1.5));
        assert_eq!(gaping.lagged_from_mm(0.0, 3000.0), Some(1000.0));
        assert_eq!(gaping.lagged_from_mm(2000.0, 1000.0), Some(998.5));
        assert_eq!(gaping.lagged_from_mm(3000.0, 2000.0), Some(0.0));
        assert_eq!(gaping.lagged_from_mm(600.0, 1000.5), Some(400.5));
        assert_eq!(Run { insulation: None, ..bare() }.bare_mm(0.0, 1.0), None);
    }

    #[test]
    fn lagging_is_read_alike_from_either_end_and_each_place_once() {
        let told = |spans: &[(f64, f64, f64)]| {
            let whole = |(from, to, thick): &(f64, f64, f64)| Lagging {
                from: Length::mm(*from),
                to: Length::mm(*to),
                thickness: Some(Size::mm(*thick)),
                kind: None,
            };
            Run { insulation: Some(spans.iter().map(whole).collect()), ..bare() }
        };
        let parts = |run: &Run| {
            let parts = run.lagged_parts(3000.0, 0.0).expect("told");
            let mm = |part: &Lagging| (part.from.to_mm(), part.to.to_mm(), part.thickness.map_or(0.0, Size::to_mm));
            parts.iter().map(mm).collect::<Vec<_>>()
        };
        let turned = told(&[(3000.0, 0.0, 25.0)]);
        assert_eq!(parts(&turned), [(0.0, 3000.0, 25.0)]);
        assert_eq!(turned.bare_mm(0.0, 3000.0), Some(0.0));
        assert_eq!(turned.lagged_from_mm(2000.0, 0.0), Some(2000.0));
        assert_eq!(spans(&turned.stripped(1000.0, 2000.0)), [(0.0, 1000.0), (2000.0, 3000.0)]);
        let twice = told(&[(2500.0, 500.0, 13.0), (1000.0, 2000.0, 25.0), (3500.0, 2000.0, 25.0)]);
        assert_eq!(parts(&twice), [(500.0, 1000.0, 13.0), (1000.0, 3000.0, 25.0)]);
        assert_eq!(twice.bare_mm(3000.0, 0.0), Some(500.0));
    }

    #[test]
    fn another_thickness_stands_beside() {
        let run = bare().lagged(0.0, 2000.0, Some(Size::mm(13.0)), None).lagged(500.0, 1000.0, None, None);
        assert_eq!(spans(&run), [(0.0, 500.0), (500.0, 1000.0), (1000.0, 2000.0)]);
        assert_eq!(run.insulation.as_ref().and_then(|list| list[1].thickness), None);
    }
}
