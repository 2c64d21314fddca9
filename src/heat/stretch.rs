//! Stretches of a run by what is around them: lagged or bare, in the loft or below.

use super::conditions::{Condition, Grounds};
use super::pipe_loss::Cover;
use crate::geom::{Polyline, SAME_PLACE_MM};
use crate::layout::Run;
use crate::measure::{Site, find_out};

/// A stretch of a run with one cover.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    /// Where it begins, mm along the run.
    pub from_mm: f64,
    /// Where it ends, mm along the run.
    pub to_mm: f64,
    /// Thickness of its insulation, mm; 0 for a bare stretch.
    pub lagging_mm: f64,
    /// Conductivity of its insulation, W/(m K).
    pub conductivity_w_m_k: f64,
}

impl Stretch {
    /// Length in m.
    #[must_use]
    pub fn length_m(&self) -> f64 {
        self.length_mm() / 1000.0
    }

    pub(super) fn length_mm(&self) -> f64 {
        self.to_mm - self.from_mm
    }

    /// Whether a distance along the run, mm, is on it.
    pub(super) fn holds(&self, at_mm: f64) -> bool {
        at_mm >= self.from_mm - SAME_PLACE_MM && at_mm <= self.to_mm + SAME_PLACE_MM
    }

    /// Whether it has the same insulation as another, or both have none.
    pub(super) fn is_covered_like(&self, other: &Self) -> bool {
        (self.lagging_mm, self.conductivity_w_m_k) == (other.lagging_mm, other.conductivity_w_m_k)
    }

    /// It and the air around it, on a tube of an outside diameter.
    #[must_use]
    pub fn cover(&self, outside_m: f64, films: Films) -> Cover {
        Cover {
            outside_m,
            thickness_m: self.lagging_mm / 1000.0,
            conductivity_w_m_k: self.conductivity_w_m_k,
            film_w_m2_k: if self.lagging_mm > 0.0 { films.lagged_w_m2_k } else { films.bare_w_m2_k },
        }
    }
}

/// Films outside bare and lagged pipe.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Films {
    /// Outside bare pipe.
    pub bare_w_m2_k: f64,
    /// Outside insulation.
    pub lagged_w_m2_k: f64,
}

/// A run between two distances along it, cut where its insulation changes, in order.
pub(super) fn stretches(run: &Run, between_mm: (f64, f64), grounds: &mut Grounds<'_>) -> Result<Vec<Stretch>, String> {
    let (from_mm, to_mm) = (between_mm.0.min(between_mm.1), between_mm.0.max(between_mm.1));
    let laggings = run.lagged_parts(from_mm, to_mm).ok_or_else(|| find_out::insulation(&run.id))?;
    let mut stretches: Vec<Stretch> = Vec::new();
    let mut put = |stretch: Stretch| match stretches.last_mut() {
        Some(last) if last.is_covered_like(&stretch) => last.to_mm = stretch.to_mm,
        _ => stretches.push(stretch),
    };
    let bare = |from_mm: f64, to_mm: f64| Stretch { from_mm, to_mm, lagging_mm: 0.0, conductivity_w_m_k: 0.0 };
    let mut reached_mm = from_mm;
    for lagging in laggings {
        let (begins_mm, ends_mm) = lagging.ends_mm();
        if begins_mm > reached_mm {
            put(bare(reached_mm, begins_mm));
        }
        let mut stretch = bare(begins_mm, ends_mm);
        let thickness = lagging
            .thickness
            .ok_or_else(|| format!("measure how thick the insulation of {} is", run.id.with_article()))?;
        if thickness.to_mm() > 0.0 {
            let told = lagging.kind.map(crate::catalogue::Insulant::conductivity_w_m_k);
            stretch.lagging_mm = thickness.to_mm();
            stretch.conductivity_w_m_k = grounds.or_assume(Condition::Conductivity, told);
        }
        put(stretch);
        reached_mm = ends_mm;
    }
    if to_mm > reached_mm {
        put(bare(reached_mm, to_mm));
    }
    Ok(stretches)
}

/// Level in mm from which upward a pipe is in the loft: the top of the ceiling, or the underside of the joists where no
/// ceiling is told, since that is where one would lie; `None` when neither is.
#[must_use]
pub fn loft_floor_mm(site: &Site<'_>) -> Option<f64> {
    let building = site.building();
    let ceiling = building.ceiling.map(|ceiling| ceiling.underside.to_mm() + ceiling.thickness.to_mm());
    ceiling.or_else(|| building.joists.as_ref().map(|joists| joists.top.to_mm() - joists.depth.to_mm()))
}

/// The parts of a line between two levels, as distances along it, in order.
pub(super) fn between_levels(line: &Polyline, low_mm: f64, high_mm: f64) -> Vec<(f64, f64)> {
    let mut parts: Vec<(f64, f64)> = Vec::new();
    if high_mm <= low_mm {
        return parts;
    }
    for (index, (start, end)) in line.segments().enumerate() {
        let along_mm = line.along()[index];
        let length_mm = start.distance(end);
        let (mut first, mut last) = (0.0_f64, 1.0_f64);
        let rise_mm = end.y - start.y;
        if rise_mm.abs() < 1e-9 {
            if start.y < low_mm || start.y > high_mm {
                continue;
            }
        } else {
            let at = |level_mm: f64| (level_mm - start.y) / rise_mm;
            let (a, b) = (at(low_mm), at(high_mm));
            first = first.max(a.min(b));
            last = last.min(a.max(b));
        }
        if last <= first {
            continue;
        }
        let part = (along_mm + first * length_mm, along_mm + last * length_mm);
        match parts.last_mut() {
            Some(before) if (before.1 - part.0).abs() < 1e-6 => before.1 = part.1,
            _ => parts.push(part),
        }
    }
    parts
}

#[cfg(test)]
mod tests {
    use glam::dvec2;

    use super::*;

    #[test]
    fn a_line_is_cut_at_levels() {
        let points = [dvec2(0.0, 0.0), dvec2(0.0, 100.0), dvec2(50.0, 100.0), dvec2(50.0, 0.0)];
        let line = Polyline::through(points).expect("a line");
        assert_eq!(between_levels(&line, 60.0, 1e9), vec![(60.0, 190.0)]);
        assert_eq!(between_levels(&line, -10.0, 40.0), vec![(0.0, 40.0), (210.0, 250.0)]);
        assert!(between_levels(&line, 200.0, 300.0).is_empty());
    }
}
