//! Rules of platforms: overhang, board, timbers below, load, frame.

use super::rule::NO_SOURCE;
use super::{Basis, Bound, Lever, Limit, Measure, Other, Prose, Rule, Weight};
use crate::layout::BoardMaterial;
use crate::measure::{Room, platform};
use crate::units::Unit;

/// This chapter's entries of the table.
pub(super) const RULES: &[Rule] = &[
    Rule {
        id: "platform-overhang-too-small",
        measure: Measure::OfSite(platform::overhang),
        limit: Limit::AtLeast(Bound::Constant(150.0, Unit::Millimetre)),
        weight: Weight::Must,
        basis: Basis::Guidance,
        source: "150 mm all round, plumbing textbook; said to stand in Approved Document G",
        seen: true,
        others_say: &[],
        levers: &[
            Lever::By("Widen the platform at the {side}"),
            Lever::Into(Room::Opposite, "Move the cistern away from the {side}"),
        ],
        prose: Prose::of(include_str!("../../assets/rules/platform-overhang-too-small.md")),
    },
    Rule {
        id: "platform-board-too-thin",
        measure: Measure::OfSite(platform::board_thickness),
        limit: Limit::AtLeast(Bound::Constant(18.0, Unit::Millimetre)),
        weight: Weight::Must,
        basis: Basis::Practice,
        source: NO_SOURCE,
        seen: false,
        others_say: &[Other {
            words: "at least 15 mm marine ply",
            source: "BS 4213:2004 as quoted second-hand in a trade forum (seen)",
        }],
        levers: &[Lever::Do("Board the platform with marine ply of at least {need}")],
        prose: Prose::of(include_str!("../../assets/rules/platform-board-too-thin.md")),
    },
    Rule {
        id: "platform-of-chipboard",
        measure: Measure::OfSite(platform::board_material),
        limit: Limit::NoneOf(platform::CHIPBOARD),
        weight: Weight::Must,
        basis: Basis::Practice,
        source: "common practice, no source; a house-building standard lists P5 chipboard",
        seen: false,
        others_say: &[
            Other {
                words: "P5 chipboard and OSB/3 are listed as boards for cistern platforms",
                source: "house-building standard 8.1.4, 2020 (seen)",
            },
            Other { words: "25 mm moisture-resistant chipboard", source: "plumbing exam notes (seen)" },
        ],
        levers: &[Lever::Do("Board the platform with marine ply instead of chipboard")],
        prose: Prose::of(include_str!("../../assets/rules/platform-of-chipboard.md")),
    },
    Rule {
        id: "platform-not-marine-ply",
        measure: Measure::OfSite(platform::board_material),
        limit: Limit::OneOf(&[BoardMaterial::MarinePly.words()]),
        weight: Weight::Advice,
        basis: Basis::Practice,
        source: "marine ply is one of the boards in house-building standard 8.1.4",
        seen: true,
        others_say: &[
            Other {
                words: "softwood boarding, P5 chipboard and OSB/3 are listed beside marine ply",
                source: "house-building standard 8.1.4, 2020 (seen)",
            },
            Other {
                words: "moisture-resistant ply, or 21 mm tongued and grooved boarding",
                source: "plumbing textbook, p. 291 (seen)",
            },
        ],
        levers: &[Lever::Do("Board the platform with marine ply")],
        prose: Prose::of(include_str!("../../assets/rules/platform-not-marine-ply.md")),
    },
    Rule {
        id: "too-few-joists",
        measure: Measure::OfSite(platform::timber_count),
        limit: Limit::AtLeast(Bound::Constant(3.0, Unit::Count)),
        weight: Weight::Must,
        basis: Basis::Practice,
        source: "three bearers for a typical domestic cistern, plumbing exam notes",
        seen: true,
        others_say: &[Other {
            words: "on trussed rafters 230 L over three and 300 L over four or more, and only by the design of the roof",
            source: "from memory, not confirmed",
        }],
        levers: &[Lever::Do("Move the platform over more joists, or lay at least {need} bearers across them")],
        prose: Prose::of(include_str!("../../assets/rules/too-few-joists.md")),
    },
    Rule {
        id: "joists-too-far-apart",
        measure: Measure::OfSite(platform::timber_spacing),
        limit: Limit::AtMost(Bound::Constant(350.0, Unit::Millimetre)),
        weight: Weight::Should,
        basis: Basis::Practice,
        source: NO_SOURCE,
        seen: false,
        others_say: &[],
        levers: &[Lever::Do("Lay bearers across the joists, not more than {need} apart")],
        prose: Prose::of(include_str!("../../assets/rules/joists-too-far-apart.md")),
    },
    Rule {
        id: "platform-overloaded",
        measure: Measure::OfSite(platform::load),
        limit: Limit::AtMost(Bound::Times {
            factor: 1.0,
            of: "the load confirmed for the platform",
            unit: Unit::Kilogram,
        }),
        weight: Weight::Must,
        basis: Basis::Practice,
        source: "1 kg per litre, plumbing textbook; filled to the rim from memory of Approved Document G",
        seen: false,
        others_say: &[],
        levers: &[
            Lever::By("Lighten the load"),
            Lever::Do("Have a competent person strengthen what carries the platform"),
            Lever::Do("Spread the storage over two cisterns on separate platforms"),
        ],
        prose: Prose::of(include_str!("../../assets/rules/platform-overloaded.md")),
    },
    Rule {
        id: "frame-not-confirmed",
        measure: Measure::OfSite(platform::frame_confirmed),
        limit: Limit::Told,
        weight: Weight::Must,
        basis: Basis::Practice,
        source: NO_SOURCE,
        seen: false,
        others_say: &[],
        levers: &[Lever::Do(
            "Have a competent person design the frame, its uprights and bracing, and confirm the load",
        )],
        prose: Prose::of(include_str!("../../assets/rules/frame-not-confirmed.md")),
    },
    Rule {
        id: "cylinder-on-chipboard",
        measure: Measure::OfSite(platform::below_cylinder),
        limit: Limit::NoneOf(platform::CHIPBOARD),
        weight: Weight::Should,
        basis: Basis::Practice,
        source: NO_SOURCE,
        seen: false,
        others_say: &[],
        levers: &[Lever::Do("Stand the cylinder on marine ply laid across the joists")],
        prose: Prose::of(include_str!("../../assets/rules/cylinder-on-chipboard.md")),
    },
];
