//! What is put on a run by hand: insulation from here to there, and valves, at distances along it.

use super::{InLine, InLineKind, Lagging, Run};
use crate::catalogue::Insulant;
use crate::units::{Length, Size};

/// A stretch no longer than this, lagged or bare, is none, mm: no tape and no eye tells it at a joint or at an end (common
/// practice, no source).
const SEAM_MM: f64 = 1.0;
/// Sums of binary fractions are off by less than this, mm.
const TRACE_MM: f64 = 1e-6;

impl Run {
    /// The run insulated from one place along it to another, whichever comes first. What it had there gives way; what
    /// is alike and touches becomes one stretch.
    #[must_use]
    pub fn lagged(&self, from_mm: f64, to_mm: f64, thickness: Option<Size>, kind: Option<Insulant>) -> Self {
        let (low, high) = (from_mm.min(to_mm).max(0.0), from_mm.max(to_mm));
        if high - low < SEAM_MM {
            return self.clone();
        }
        let mut run = self.stripped(low, high);
        let mut new = Lagging { from: Length::mm(low), to: Length::mm(high), thickness, kind };
        let list = run.insulation.get_or_insert_with(Vec::new);
        let joins = |other: &Lagging| {
            let apart_mm = (other.from.to_mm() - high).max(low - other.to.to_mm());
            (other.thickness, other.kind) == (thickness, kind) && apart_mm <= SEAM_MM
        };
        for other in list.iter().filter(|other| joins(other)) {
            new.from = if other.from < new.from { other.from } else { new.from };
            new.to = if other.to > new.to { other.to } else { new.to };
        }
        list.retain(|other| !joins(other));
        list.push(new);
        list.sort_by(|a, b| a.from.to_mm().total_cmp(&b.from.to_mm()));
        run
    }

    /// The run bare from one place along it to another; what is over of a stretch on either side stays.
    #[must_use]
    pub fn stripped(&self, from_mm: f64, to_mm: f64) -> Self {
        let (low, high) = (from_mm.min(to_mm), from_mm.max(to_mm));
        let mut run = self.clone();
        let list = run.insulation.get_or_insert_with(Vec::new);
        let left_over = |lagging: &Lagging| {
            let (from, to) = (lagging.from.to_mm(), lagging.to.to_mm());
            let before = Lagging { to: Length::mm(to.min(low)), ..*lagging };
            let after = Lagging { from: Length::mm(from.max(high)), ..*lagging };
            [before, after].into_iter().filter(|left| left.to.to_mm() - left.from.to_mm() >= SEAM_MM)
        };
        *list = list.iter().flat_map(left_over).collect();
        run
    }

    /// How much of the run is bare between two distances along it, mm; `None` where nobody has told.
    #[must_use]
    pub fn bare_mm(&self, from_mm: f64, to_mm: f64) -> Option<f64> {
        let (mut reached_mm, end_mm) = (from_mm.min(to_mm), from_mm.max(to_mm));
        let mut covers: Vec<(f64, f64)> =
            self.insulation.as_ref()?.iter().map(|cover| (cover.from.to_mm(), cover.to.to_mm())).collect();
        covers.push((end_mm, end_mm));
        covers.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut bare_mm = 0.0;
        for (begins_mm, ends_mm) in covers {
            let gap_mm = begins_mm.min(end_mm) - reached_mm;
            bare_mm += if gap_mm > SEAM_MM + TRACE_MM { gap_mm } else { 0.0 };
            reached_mm = reached_mm.max(ends_mm.min(end_mm));
        }
        Some(bare_mm)
    }

    /// How far the run is lagged without a gap, from a distance along it to another; the whole way where there is none.
    /// `None` where nobody has told.
    #[must_use]
    pub fn lagged_from_mm(&self, from_mm: f64, to_mm: f64) -> Option<f64> {
        let sign = (to_mm - from_mm).signum();
        let outward = |cover: &Lagging| {
            let ends = [cover.from, cover.to].map(|end| (end.to_mm() - from_mm) * sign);
            (ends[0].min(ends[1]), ends[0].max(ends[1]))
        };
        let mut covers: Vec<(f64, f64)> = self.insulation.as_ref()?.iter().map(outward).collect();
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
        list.sort_by(|a, b| a.at.to_mm().total_cmp(&b.at.to_mm()));
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
    fn another_thickness_stands_beside() {
        let run = bare().lagged(0.0, 2000.0, Some(Size::mm(13.0)), None).lagged(500.0, 1000.0, None, None);
        assert_eq!(spans(&run), [(0.0, 500.0), (500.0, 1000.0), (1000.0, 2000.0)]);
        assert_eq!(run.insulation.as_ref().and_then(|list| list[1].thickness), None);
    }
}
