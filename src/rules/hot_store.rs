//! Rules of hot stores and outlets: temperatures, cut-outs, heads, bare pipe.

use super::{Basis, Bound, Lever, Limit, Measure, Other, Prose, Rule, Weight};
use crate::layout::CutOut;
use crate::measure::{Room, hot_store};
use crate::units::Unit;

/// How soon a hot tap is to run hot.
pub(super) const HOT_WITHIN_A_MINUTE: &str =
    "50 °C within 1 min, health and safety guidance for hot and cold water (it binds landlords and workplaces)";
pub(super) const HOT_WITHIN_HALF_A_MINUTE: Other =
    Other { words: "50 °C within 30 s, where practicable", source: "G18.4 in a plumbing textbook, p. 360 (seen)" };

/// This chapter's entries of the table.
pub(super) const RULES: &[Rule] = &[
    Rule {
        id: "cold-store-too-warm",
        measure: Measure::OfSite(hot_store::cold_store_temperature),
        limit: Limit::AtMost(Bound::Constant(25.0, Unit::Celsius)),
        weight: Weight::Must,
        basis: Basis::Law,
        source: "25 °C at a domestic tap, as far as reasonably practicable: official guide to Schedule 2, paragraph 9 (England and Wales)",
        seen: true,
        others_say: &[Other {
            words: "20 °C in Scotland and Northern Ireland, and as a target for design",
            source: "water-industry guidance (seen)",
        }],
        levers: &[Lever::Do("Insulate the cistern, keep it from the heat of the loft, and let more water through it")],
        prose: Prose::of(include_str!("../../assets/rules/cold-store-too-warm.md")),
    },
    Rule {
        id: "immersion-without-cut-out",
        measure: Measure::OfSite(hot_store::cut_outs),
        limit: Limit::OneOf(&[CutOut::ResetByHand.words()]),
        weight: Weight::Must,
        basis: Basis::Guidance,
        source: "direct heat: a cut-out that does not reset itself, Approved Document G in building-control answers on requirement G3",
        seen: true,
        others_say: &[Other {
            words: "an overheat cut-out for indirect heat may reset itself; one for direct heat may not",
            source: "Approved Document G, 3.13a, in the same answers (seen)",
        }],
        levers: &[Lever::Do("Have an electrician fit an immersion heater with a cut-out that must be reset by hand")],
        prose: Prose::of(include_str!("../../assets/rules/immersion-without-cut-out.md")),
    },
    Rule {
        id: "store-too-cool",
        measure: Measure::OfSite(hot_store::hot_store_temperature),
        limit: Limit::AtLeast(Bound::Constant(60.0, Unit::Celsius)),
        weight: Weight::Should,
        basis: Basis::Guidance,
        source: "60 °C at the outflow of the store: health and safety guidance for hot and cold water, and G18.2",
        seen: true,
        others_say: &[],
        levers: &[Lever::Do("Set the cylinder thermostat to {need} or a little above")],
        prose: Prose::of(include_str!("../../assets/rules/store-too-cool.md")),
    },
    Rule {
        id: "store-too-hot",
        measure: Measure::OfSite(hot_store::hot_store_temperature),
        limit: Limit::AtMost(Bound::Constant(100.0, Unit::Celsius)),
        weight: Weight::Must,
        basis: Basis::Law,
        source: "100 °C anywhere in the store: Schedule 2, paragraph 18, plumbing textbook, p. 360",
        seen: true,
        others_say: &[],
        levers: &[Lever::Do("Turn the heat off and have the controls seen to")],
        prose: Prose::of(include_str!("../../assets/rules/store-too-hot.md")),
    },
    Rule {
        id: "store-hotter-than-needed",
        measure: Measure::OfSite(hot_store::hot_store_temperature),
        limit: Limit::AtMost(Bound::Constant(65.0, Unit::Celsius)),
        weight: Weight::Advice,
        basis: Basis::Practice,
        source: "60 to 65 °C, from memory, not confirmed",
        seen: false,
        others_say: &[],
        levers: &[Lever::Do("Set the cylinder thermostat to 60 °C or a little above, and measure again")],
        prose: Prose::of(include_str!("../../assets/rules/store-hotter-than-needed.md")),
    },
    Rule {
        id: "bath-too-hot",
        measure: Measure::OfSite(hot_store::bath_temperature),
        limit: Limit::AtMost(Bound::Constant(48.0, Unit::Celsius)),
        weight: Weight::Should,
        basis: Basis::Law,
        source: "48 °C in new dwellings, building-control answers on requirement G3(4)",
        seen: true,
        others_say: &[],
        levers: &[Lever::Do("Have a thermostatic mixing valve fitted to the bath supply")],
        prose: Prose::of(include_str!("../../assets/rules/bath-too-hot.md")),
    },
    Rule {
        id: "hot-tap-too-cool",
        measure: Measure::OfSite(hot_store::hot_outlet_temperature),
        limit: Limit::AtLeast(Bound::Constant(50.0, Unit::Celsius)),
        weight: Weight::Should,
        basis: Basis::Guidance,
        source: HOT_WITHIN_A_MINUTE,
        seen: true,
        others_say: &[
            HOT_WITHIN_HALF_A_MINUTE,
            Other { words: "55 °C in the distribution pipes", source: "G18.2 in the same textbook (seen)" },
        ],
        levers: &[
            Lever::Do("Insulate or shorten the hot pipe to the tap"),
            Lever::Do("Set the cylinder thermostat higher"),
            Lever::Do("Where a mixing valve limits it on purpose, measure the water that comes to the valve"),
        ],
        prose: Prose::of(include_str!("../../assets/rules/hot-tap-too-cool.md")),
    },
    Rule {
        id: "cylinder-head-too-great",
        measure: Measure::OfSite(hot_store::head_on_cylinder),
        limit: Limit::AtMost(Bound::Times { factor: 1.0, of: "the head that its grade bears", unit: Unit::Millimetre }),
        weight: Weight::Must,
        basis: Basis::Standard,
        source: "25, 15 and 10 m for grades 1, 2 and 3, BS 1566-1 on a cylinder maker's data page",
        seen: true,
        others_say: &[Other {
            words: "the head is taken from cistern base to cylinder base",
            source: "one cylinder maker's data page (seen)",
        }],
        levers: &[Lever::Do("Use a cylinder of a stronger grade"), Lever::Into(Room::Below, "Lower the cistern")],
        prose: Prose::of(include_str!("../../assets/rules/cylinder-head-too-great.md")),
    },
    Rule {
        id: "dead-leg-too-long",
        measure: Measure::OfSite(hot_store::dead_legs),
        limit: Limit::AtMost(Bound::BySize(&[
            (12.0, 20_000.0),
            (22.0, 12_000.0),
            (28.0, 8_000.0),
            (f64::INFINITY, 3_000.0),
        ])),
        weight: Weight::Should,
        basis: Basis::Guidance,
        source: "20, 12, 8 and 3 m by size of uninsulated pipe, guidance table 8.1 in plumbing exam notes",
        seen: true,
        others_say: &[],
        levers: &[
            Lever::By("Insulate more of the hot pipe, at least"),
            Lever::Do("Bring the outlet and what heats its water nearer together"),
        ],
        prose: Prose::of(include_str!("../../assets/rules/dead-leg-too-long.md")),
    },
    Rule {
        id: "shower-head-too-small",
        measure: Measure::OfSite(hot_store::shower_head),
        limit: Limit::AtLeast(Bound::Constant(1000.0, Unit::Millimetre)),
        weight: Weight::Should,
        basis: Basis::Practice,
        source: "1 m from cistern base to rose, articles on planning showers",
        seen: true,
        others_say: &[Other { words: "1.5 m is preferred", source: "the same articles (seen)" }],
        levers: &[
            Lever::Into(Room::Above, "Raise the cistern"),
            Lever::By("Lower the rose"),
            Lever::Do("Have a pump for the shower considered"),
        ],
        prose: Prose::of(include_str!("../../assets/rules/shower-head-too-small.md")),
    },
];
