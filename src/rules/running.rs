//! Rules of running water: what taps give, how fast, whether air gets in or stays in, what shuts off what.

use super::hot_store::{HOT_WITHIN_A_MINUTE, HOT_WITHIN_HALF_A_MINUTE};
use super::rule::NO_SOURCE;
use super::{Basis, Bound, Lever, Limit, Measure, Other, Prose, Rule, Weight};
use crate::measure::BroughtBy;
use crate::units::Unit;
use crate::water::sizing::GREATEST_M_S;
use crate::water::{arrival, main_reach, mixers, readings, shower_warms};

/// What brings more water to a side of an outlet.
const MORE_TO_A_SIDE: &[Lever] = &[
    Lever::Only(readings::KEPT_BACK, "Turn the non-return valve on the way to the {side} round"),
    Lever::Only(readings::NOT_OVER_HOLE, "Raise the water line, or lower the hole by which the water leaves"),
    Lever::Only(readings::OVER_WATER, "Lower the pipe below the water line, or raise the cistern"),
    Lever::Ease("Take a larger tube to the {side}"),
    Lever::Ease("Take fewer bends, and full-way valves, on the way to the {side}"),
    Lever::Do("Raise the cistern"),
];

/// This chapter's entries of the table.
pub(super) const RULES: &[Rule] = &[
    Rule {
        id: "outlet-starved",
        measure: Measure::OfWater(readings::flow_at_taps),
        limit: Limit::AtLeast(Bound::Times {
            factor: 1.0,
            of: "the least flow of such an outlet",
            unit: Unit::LitrePerSecond,
        }),
        weight: Weight::Should,
        basis: Basis::Standard,
        source: "least flow rates of BS 6700, as printed in a pipe-sizing text",
        seen: true,
        others_say: &[
            Other {
                words: "0.3 L/s at a bath, 0.15 at a shower or sink, 0.1 at a basin",
                source: "EN 806-3 Table 2, least draw-off flow rates (seen)",
            },
            Other {
                words: "a bath counts 10 loading units in BS 6700 and 4 in EN 806-3: the two ways of counting are never mixed",
                source: "BS 6700:1997 Table D.1 and EN 806-3 Table 2 (seen)",
            },
        ],
        levers: MORE_TO_A_SIDE,
        prose: Prose::of(include_str!("../../assets/rules/outlet-starved.md")),
    },
    Rule {
        id: "mixer-side-starved",
        measure: Measure::OfWater(mixers::what_each_side_gives),
        limit: Limit::AtLeast(Bound::Times {
            factor: 1.0,
            of: "what warm water of its least flow takes of that side",
            unit: Unit::LitrePerSecond,
        }),
        weight: Weight::Should,
        basis: Basis::Practice,
        source: "common practice, no source: water of 38 °C; the least flow is that of BS 6700",
        seen: false,
        others_say: &[],
        levers: MORE_TO_A_SIDE,
        prose: Prose::of(include_str!("../../assets/rules/mixer-side-starved.md")),
    },
    Rule {
        id: "shower-warms-when-others-open",
        measure: Measure::OfWater(shower_warms::with_a_cold_tap),
        limit: Limit::AtMost(Bound::Constant(43.0, Unit::Celsius)),
        weight: Weight::Should,
        basis: Basis::Practice,
        source: "43 °C at the most, 5 K above the 38 °C of a shower: from memory of guidance for care settings, not confirmed",
        seen: false,
        others_say: &[Other {
            words: "a mixer's cold water comes by a pipe of its own, straight from the cistern",
            source: "articles on planning showers, and a do-it-yourself page (seen)",
        }],
        levers: &[
            Lever::Do("Lead a cold pipe of its own from the cistern to the shower"),
            Lever::Do("Have a thermostatic mixing valve fitted to the shower"),
        ],
        prose: Prose::of(include_str!("../../assets/rules/shower-warms-when-others-open.md")),
    },
    Rule {
        id: "pipe-too-fast",
        measure: Measure::OfWater(readings::velocity),
        limit: Limit::AtMost(Bound::Constant(GREATEST_M_S, Unit::MetrePerSecond)),
        weight: Weight::Should,
        basis: Basis::Standard,
        source: "greatest velocity of BS 6700, as printed in a pipe-sizing text",
        seen: true,
        others_say: &[Other {
            words: "2.0 m/s in headers, risers and floor pipes, 4.0 m/s in a dead leg to one fitting",
            source: "EN 806-3 (seen)",
        }],
        levers: &[Lever::Do("Take a larger tube")],
        prose: Prose::of(include_str!("../../assets/rules/pipe-too-fast.md")),
    },
    Rule {
        id: "vent-draws-air",
        measure: Measure::OfWater(readings::air_at_vent),
        limit: Limit::AtLeast(Bound::Times {
            factor: 1.0,
            of: "the hot water likely to be drawn at one time",
            unit: Unit::LitrePerSecond,
        }),
        weight: Weight::Should,
        basis: Basis::Practice,
        source: NO_SOURCE,
        seen: false,
        others_say: &[],
        levers: &[
            Lever::Ease("Take a larger tube for the cold feed"),
            Lever::Do("Tee the vent off lower down, or raise the cistern"),
            Lever::Ease("Take fewer bends, and a full-way valve, in the cold feed"),
        ],
        prose: Prose::of(include_str!("../../assets/rules/vent-draws-air.md")),
    },
    Rule {
        id: "pipe-holds-air",
        measure: Measure::OfWater(readings::air_pockets),
        limit: Limit::AtMost(Bound::Times { factor: 0.5, of: "the bore", unit: Unit::Millimetre }),
        weight: Weight::Should,
        basis: Basis::Practice,
        source: NO_SOURCE,
        seen: false,
        others_say: &[],
        levers: &[
            Lever::By("Lower the high point of the pipe"),
            Lever::Do("Lay the pipe so that it falls, or rises, all the way to a vent, a tap or the cistern"),
            Lever::Do("Fit an air cock at the high point"),
        ],
        prose: Prose::of(include_str!("../../assets/rules/pipe-holds-air.md")),
    },
    Rule {
        id: "overflow-cannot-keep-up",
        measure: Measure::OfWater(readings::stuck_valve_level),
        limit: Limit::AtMost(Bound::Times {
            factor: 1.0,
            of: "the height of the float valve's outlet over the overflow",
            unit: Unit::Millimetre,
        }),
        weight: Weight::Should,
        basis: Basis::Practice,
        source: NO_SOURCE,
        seen: false,
        others_say: &[Other {
            words: "a bore of 19 mm at the least, which does not by itself prove that it carries what comes in",
            source: "guidance G16 in a plumbing textbook and house-building standards (seen)",
        }],
        levers: &[
            Lever::Do("Take a float valve with a smaller seat, for the pressure that stands before it"),
            Lever::Do("Take a larger warning pipe, or add an overflow beside it"),
            Lever::Do("Set the float valve higher, or the warning pipe lower"),
        ],
        prose: Prose::of(include_str!("../../assets/rules/overflow-cannot-keep-up.md")),
    },
    Rule {
        id: "hot-water-slow-to-arrive",
        measure: Measure::OfWater(arrival::waiting_time),
        limit: Limit::AtMost(Bound::Constant(60.0, Unit::Second)),
        weight: Weight::Should,
        basis: Basis::Guidance,
        source: HOT_WITHIN_A_MINUTE,
        seen: true,
        others_say: &[HOT_WITHIN_HALF_A_MINUTE],
        levers: &[
            Lever::Do("Bring the outlet and what heats its water nearer together"),
            Lever::Do("Take smaller tube for the last stretch to the outlet, if the head can bear its friction"),
        ],
        prose: Prose::of(include_str!("../../assets/rules/hot-water-slow-to-arrive.md")),
    },
    Rule {
        id: "main-does-not-reach",
        measure: Measure::OfWater(main_reach::main_above_float_valves),
        limit: Limit::MoreThan(Bound::Constant(0.0, Unit::Millimetre)),
        weight: Weight::Should,
        basis: Basis::Practice,
        source: NO_SOURCE,
        seen: false,
        others_say: &[],
        levers: &[
            Lever::Only(main_reach::KEPT_BACK, "Turn the non-return valve in the main round"),
            Lever::Do("Have the pressure at the stop valve measured and looked into, by the water supplier as well"),
            Lever::Do("Set the cistern, and its float valve with it, lower"),
            Lever::Do("Have a pump that fills the cistern considered, as the water supplier allows"),
        ],
        prose: Prose::of(include_str!("../../assets/rules/main-does-not-reach.md")),
    },
    Rule {
        id: "cistern-fills-too-slowly",
        measure: Measure::OfWater(readings::filling_time),
        limit: Limit::AtMost(Bound::Constant(60.0, Unit::Minute)),
        weight: Weight::Advice,
        basis: Basis::Standard,
        source: "BS 6700: a cistern in a dwelling fills within an hour, as printed in a pipe-sizing text",
        seen: true,
        others_say: &[],
        levers: &[
            Lever::Do("Take a float valve with a larger seat, if the overflow can carry it"),
            Lever::Where(BroughtBy::Main, "Have the pressure at the stop valve looked into"),
            Lever::Where(BroughtBy::StoredWater, "Raise the cistern that fills it, or take a larger tube from there"),
        ],
        prose: Prose::of(include_str!("../../assets/rules/cistern-fills-too-slowly.md")),
    },
    Rule {
        id: "tap-cannot-be-shut-off",
        measure: Measure::OfWater(readings::isolation),
        limit: Limit::Yes,
        weight: Weight::Should,
        basis: Basis::Practice,
        source: NO_SOURCE,
        seen: false,
        others_say: &[],
        levers: &[Lever::Do("Fit a full-way valve between the cistern and the {side}")],
        prose: Prose::of(include_str!("../../assets/rules/tap-cannot-be-shut-off.md")),
    },
    Rule {
        id: "mixer-heads-differ",
        measure: Measure::OfWater(mixers::mixer_heads),
        limit: Limit::AtMost(Bound::Constant(500.0, Unit::Millimetre)),
        weight: Weight::Should,
        basis: Basis::Practice,
        source: NO_SOURCE,
        seen: false,
        others_say: &[Other {
            words: "hot and cold at one pressure, from one cistern or from cisterns at one level",
            source: "articles on planning showers (seen)",
        }],
        levers: &[
            Lever::Do("Feed hot and cold of the mixer from one cistern"),
            Lever::Where(
                BroughtBy::Main,
                "Fit a check valve on each inlet of the mixer, which keeps main and stored water apart",
            ),
            Lever::WhereBy(BroughtBy::StoredWater, "Bring the heads of hot and cold nearer to each other"),
        ],
        prose: Prose::of(include_str!("../../assets/rules/mixer-heads-differ.md")),
    },
];
