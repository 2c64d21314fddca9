//! Rules of pipes as they are fixed: clips and drain cocks.

use super::{Basis, Bound, Lever, Limit, Measure, Prose, Rule, Weight};
use crate::measure::pipe_fixing;
use crate::units::Unit;

/// This chapter's entries of the table.
pub(super) const RULES: &[Rule] = &[
    Rule {
        id: "distribution-without-drain",
        measure: Measure::OfSite(pipe_fixing::drainable),
        limit: Limit::Yes,
        weight: Weight::Should,
        basis: Basis::Law,
        source: "systems must be drainable: official guide to Schedule 2, section 4 (content seen, paragraph number from memory)",
        seen: true,
        others_say: &[],
        levers: &[Lever::Do("Fit a drain cock at the lowest point")],
        prose: Prose::of(include_str!("../../assets/rules/distribution-without-drain.md")),
    },
    Rule {
        id: "clips-too-far-apart-level",
        measure: Measure::OfSite(pipe_fixing::level_clips),
        limit: Limit::AtMost(Bound::Times { factor: 1.0, of: "the spacing for the tube", unit: Unit::Millimetre }),
        weight: Weight::Advice,
        basis: Basis::Standard,
        source: "pipe-fixing tables by material and size; the working says which were seen",
        seen: true,
        others_say: &[],
        levers: &[Lever::Do("Fit more clips on the level stretches")],
        prose: Prose::of(include_str!("../../assets/rules/clips-too-far-apart-level.md")),
    },
    Rule {
        id: "clips-too-far-apart-upright",
        measure: Measure::OfSite(pipe_fixing::upright_clips),
        limit: Limit::AtMost(Bound::Times { factor: 1.0, of: "the spacing for the tube", unit: Unit::Millimetre }),
        weight: Weight::Advice,
        basis: Basis::Standard,
        source: "pipe-fixing tables by material and size; the working says which were seen",
        seen: true,
        others_say: &[],
        levers: &[Lever::Do("Fit more clips on the upright stretches")],
        prose: Prose::of(include_str!("../../assets/rules/clips-too-far-apart-upright.md")),
    },
];
