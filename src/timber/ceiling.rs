//! How far a ceiling joist may span without a cistern: the tables of old guidance, and the reckoning behind them.

use super::{Load, Section, Span, Stiffness};
use crate::catalogue;
use crate::units::{STANDARD_GRAVITY_M_S2, Size};

/// Mean modulus of elasticity of the tables' timber, SC3, Pa (BS 5268, from memory).
const STIFFNESS_PA: f64 = 8.8e9;
/// Its shear modulus over that.
const SHEAR_SHARE: f64 = 1.0 / 16.0;
/// Its density, kg/m³.
const DENSITY_KG_M3: f64 = 370.0;
/// Ceiling and storage together, N/m².
const EVEN_N_M2: f64 = 500.0;
/// A person on one joist, N.
const PERSON_N: f64 = 900.0;
/// Deflection allowed, as a share of the span.
const SINKS_BY: f64 = 0.003;
/// Bisections that settle a span of some metres to a micron.
const BISECTIONS: usize = 24;

/// How the greatest span was come by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SpanFrom {
    /// It stands in the table.
    Table,
    /// The table lacks the size: reckoned on the table's assumptions.
    Reckoned,
}

/// The greatest clear span of a ceiling joist of class C16 that carries no cistern, mm. The reckoning comes out a hair above
/// the table; where it stands in for it, nothing spans further than what is at least as stout and as close in the table.
#[must_use]
pub fn greatest_span_mm(breadth: Size, depth: Size, spacing: Size) -> (f64, SpanFrom) {
    match catalogue::ceiling_joist_span_mm(breadth, depth, spacing) {
        Some(span_mm) => (span_mm, SpanFrom::Table),
        None => {
            let section = Section { breadth_m: breadth.to_mm() / 1000.0, depth_m: depth.to_mm() / 1000.0 };
            let reckoned_mm = reckoned_span_m(section, spacing.to_mm() / 1000.0) * 1000.0;
            let stouter_mm = catalogue::stouter_ceiling_joists_mm(breadth, depth, spacing);
            (stouter_mm.fold(reckoned_mm, f64::min), SpanFrom::Reckoned)
        }
    }
}

/// The span at which a joist sinks by 0.003 of its span under (0.25 + 0.25) kN/m², its own weight and 0.9 kN in its
/// middle, bending and shear together (BS 5268-7.3 as remembered; it comes out at the table's figures or just above).
#[must_use]
pub fn reckoned_span_m(section: Section, spacing_m: f64) -> f64 {
    let stiffness = Stiffness {
        bending_n_m2: STIFFNESS_PA * section.second_moment_m4(),
        shear_n: STIFFNESS_PA * SHEAR_SHARE * section.area_m2() / 1.2,
    };
    let force_n_per_m = EVEN_N_M2 * spacing_m + DENSITY_KG_M3 * STANDARD_GRAVITY_M_S2 * section.area_m2();
    let sinks_too_far = |span_m: f64| {
        let loads = vec![
            Load::Spread { from_m: 0.0, to_m: span_m, force_n_per_m },
            Load::Point { at_m: span_m / 2.0, force_n: PERSON_N },
        ];
        Span::free(span_m, loads).deflection_m(span_m / 2.0, stiffness) > SINKS_BY * span_m
    };
    let (mut low, mut high) = (0.0, 20.0);
    for _ in 0..BISECTIONS {
        let middle = f64::midpoint(low, high);
        if sinks_too_far(middle) { high = middle } else { low = middle }
    }
    low
}
