//! Rules of the open vent.

use super::rule::NO_SOURCE;
use super::{Basis, Bound, Lever, Limit, Measure, Other, Prose, Rule, Weight};
use crate::measure::{Room, vent, vent_mouth, venting};
use crate::units::Unit;

/// What is left where the roof is too low over the vent, and the water cannot stand lower.
pub(super) const MORE_ROOM_ABOVE: Lever = Lever::Else("Lead the vent up where there is more room above it");

/// The guidance on how high a vent ends.
pub(super) const G20_3: &str = "guidance G20.3 as quoted (seen second-hand)";
pub(super) const FROM_THE_COLD_INLET: Other =
    Other { words: "the height is taken from the cold inlet of the cylinder", source: G20_3 };
pub(super) const A_SIXTEENTH: Other =
    Other { words: "1/16 of the height, without the 150 mm", source: "flash cards (seen)" };

/// This chapter's entries of the table.
pub(super) const RULES: &[Rule] = &[
    Rule {
        id: "open-vent-missing",
        measure: Measure::OfSite(venting::open_vent),
        limit: Limit::Yes,
        weight: Weight::Must,
        basis: Basis::Practice,
        source: NO_SOURCE,
        seen: false,
        others_say: &[],
        levers: &[Lever::Do("Lead an open vent from the cylinder's crown, or from the draw-off, to above the cistern")],
        prose: Prose::of(include_str!("../../assets/rules/open-vent-missing.md")),
    },
    Rule {
        id: "vent-valved",
        measure: Measure::OfSite(vent::free),
        limit: Limit::Yes,
        weight: Weight::Must,
        basis: Basis::Guidance,
        source: "no valve in an open vent, trade guides",
        seen: true,
        others_say: &[],
        levers: &[Lever::Do("Take the valve or the pump out of the way between cylinder and open end")],
        prose: Prose::of(include_str!("../../assets/rules/vent-valved.md")),
    },
    Rule {
        id: "vent-ends-elsewhere",
        measure: Measure::OfSite(vent_mouth::over_its_cistern),
        limit: Limit::Yes,
        weight: Weight::Must,
        basis: Basis::Practice,
        source: NO_SOURCE,
        seen: false,
        others_say: &[],
        levers: &[Lever::Do("Lead the open end of the vent over the cistern that feeds the same water")],
        prose: Prose::of(include_str!("../../assets/rules/vent-ends-elsewhere.md")),
    },
    Rule {
        id: "vent-too-low",
        measure: Measure::OfSite(vent::above_water_line),
        limit: Limit::AtLeast(Bound::PerMetre {
            constant_mm: 150.0,
            per_metre_mm: 40.0,
            of: "water line above the cylinder's base",
        }),
        weight: Weight::Must,
        basis: Basis::Guidance,
        source: "150 mm + 40 mm per metre, guidance G20.3 as quoted second-hand; it takes the height from the cold inlet",
        seen: true,
        others_say: &[
            FROM_THE_COLD_INLET,
            Other {
                words: "the height is taken from the base of the boiler",
                source: "second reply in the same trade forum (seen)",
            },
            A_SIXTEENTH,
        ],
        levers: &[
            Lever::Into(Room::Above, "Raise the top of the vent"),
            Lever::Into(Room::Water, "Lower the water line"),
            MORE_ROOM_ABOVE,
        ],
        prose: Prose::of(include_str!("../../assets/rules/vent-too-low.md")),
    },
    Rule {
        id: "vent-mouth-too-near",
        measure: Measure::OfSite(vent_mouth::mouth_above_fittings),
        limit: Limit::AtLeast(Bound::Times { factor: 2.0, of: "the vent's own diameter", unit: Unit::Millimetre }),
        weight: Weight::Must,
        basis: Basis::Practice,
        source: NO_SOURCE,
        seen: false,
        others_say: &[],
        levers: &[Lever::By("Raise the open end of the vent")],
        prose: Prose::of(include_str!("../../assets/rules/vent-mouth-too-near.md")),
    },
    Rule {
        id: "vent-falls",
        measure: Measure::OfSite(vent::fall),
        limit: Limit::AtMost(Bound::Constant(0.0, Unit::Millimetre)),
        weight: Weight::Must,
        basis: Basis::Practice,
        source: "pipes laid to fall so that air gets out, course deck",
        seen: true,
        others_say: &[],
        levers: &[Lever::Do("Lay the vent so that it rises all along to its top, and only falls from there")],
        prose: Prose::of(include_str!("../../assets/rules/vent-falls.md")),
    },
    Rule {
        id: "vent-offset-too-short",
        measure: Measure::OfSite(vent::offset),
        limit: Limit::AtLeast(Bound::Constant(450.0, Unit::Millimetre)),
        weight: Weight::Should,
        basis: Basis::Practice,
        source: "450 mm, do-it-yourself guide and plumbing exam notes",
        seen: true,
        others_say: &[],
        levers: &[
            Lever::By("Close to its connection, run the pipe further sideways before the vent rises,"),
            Lever::Instead("Lower the stretch that runs sideways towards the cylinder"),
        ],
        prose: Prose::of(include_str!("../../assets/rules/vent-offset-too-short.md")),
    },
];
