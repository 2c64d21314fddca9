//! Rules of warmth and frost: what the loft does to stored water and pipes, what a cylinder loses and how fast it is back.

use super::rule::NO_SOURCE;
use super::{Basis, Bound, Lever, Limit, Measure, Other, Prose, Rule, Weight};
use crate::heat::readings;
use crate::measure::turn_over;
use crate::units::Unit;

/// This chapter's entries of the table.
pub(super) const RULES: &[Rule] = &[
    Rule {
        id: "cistern-warms-in-summer",
        measure: Measure::OfHeat(readings::cistern_in_summer),
        limit: Limit::AtMost(Bound::Constant(20.0, Unit::Celsius)),
        weight: Weight::Should,
        basis: Basis::Guidance,
        source: "20 °C as a target for stored cold water, water-industry guidance and health and safety guidance",
        seen: true,
        others_say: &[Other {
            words: "25 °C at a domestic tap is the limit of the law in England and Wales",
            source: "official guide to Schedule 2, paragraph 9 (seen)",
        }],
        levers: &[
            Lever::Do(
                "Insulate sides and top of the cistern more thickly, and leave nothing between it and the room below",
            ),
            Lever::Do("Store no more than a day's water"),
            Lever::Do("Ventilate the loft"),
        ],
        prose: Prose::of(include_str!("../../assets/rules/cistern-warms-in-summer.md")),
    },
    Rule {
        id: "cistern-turns-over-too-slowly",
        measure: Measure::OfSite(turn_over),
        limit: Limit::AtMost(Bound::Constant(24.0, Unit::Hour)),
        weight: Weight::Advice,
        basis: Basis::Practice,
        source: NO_SOURCE,
        seen: false,
        others_say: &[Other {
            words: "circulation without stagnation, and a cistern no larger than is needed",
            source: "water-industry guidance on cistern size and outlets (seen)",
        }],
        levers: &[
            Lever::Do("Set the water line lower, or take a smaller cistern, as far as the taps and the cylinder allow"),
            Lever::Do("Feed more of the cold taps from the cistern, none of them for drinking"),
        ],
        prose: Prose::of(include_str!("../../assets/rules/cistern-turns-over-too-slowly.md")),
    },
    Rule {
        id: "cistern-freezes-too-soon",
        measure: Measure::OfHeat(readings::cistern_in_frost),
        limit: Limit::AtLeast(Bound::Times { factor: 1.0, of: "the frost", unit: Unit::Hour }),
        weight: Weight::Should,
        basis: Basis::Practice,
        source: NO_SOURCE,
        seen: false,
        others_say: &[],
        levers: &[
            Lever::Do("Insulate sides and top of the cistern more thickly"),
            Lever::Do(
                "Take the loft insulation out from beneath it where it stands low over the joists, so that warmth comes up from the room below",
            ),
        ],
        prose: Prose::of(include_str!("../../assets/rules/cistern-freezes-too-soon.md")),
    },
    Rule {
        id: "loft-pipe-freezes-too-soon",
        measure: Measure::OfHeat(readings::pipes_in_frost),
        limit: Limit::AtLeast(Bound::Times { factor: 1.0, of: "the frost", unit: Unit::Hour }),
        weight: Weight::Should,
        basis: Basis::Practice,
        source: NO_SOURCE,
        seen: false,
        others_say: &[Other {
            words: "no single thickness: it follows from the time and the temperatures",
            source: "water-industry guidance, after BS 5422 and ISO 12241 (seen)",
        }],
        levers: &[
            Lever::Do("Insulate the pipe more thickly, or with an insulant that conducts less"),
            Lever::Do("Lay the pipe below the loft insulation, where the room keeps it warm"),
        ],
        prose: Prose::of(include_str!("../../assets/rules/loft-pipe-freezes-too-soon.md")),
    },
    Rule {
        id: "reheat-too-slow",
        measure: Measure::OfHeat(readings::reheat),
        limit: Limit::AtMost(Bound::Constant(3.0, Unit::Hour)),
        weight: Weight::Advice,
        basis: Basis::Practice,
        source: NO_SOURCE,
        seen: false,
        others_say: &[Other {
            words: "a time of reheat by volume, rise and power, V T / (14.3 P) minutes, to be weighed against what is drawn",
            source: "BS 6700:2006 Annex C in an extract (seen)",
        }],
        levers: &[
            Lever::Only(readings::KEPT_BACK, "Turn the non-return valve in the pipes of the heating round"),
            Lever::Do("Heat through a coil from the boiler, or fit a stronger heater"),
            Lever::Do("Use a cylinder no larger than the household needs"),
        ],
        prose: Prose::of(include_str!("../../assets/rules/reheat-too-slow.md")),
    },
    Rule {
        id: "cylinder-loses-too-much",
        measure: Measure::OfHeat(readings::standing_loss),
        limit: Limit::AtMost(Bound::Times { factor: 1.0, of: "what BS 1566-1 allows its size", unit: Unit::Watt }),
        weight: Weight::Advice,
        basis: Basis::Standard,
        source: "1.15 (0.2 + 0.051 V^⅔) kWh in 24 h, BS 1566-1:2002, from memory",
        seen: false,
        others_say: &[Other {
            words: "the factor was 1.28 in older editions; the energy classes of stores run from A+ to G",
            source: "from memory; Regulation (EU) 812/2013 in public tables (seen)",
        }],
        levers: &[Lever::Do("Fit a cylinder with thicker foam")],
        prose: Prose::of(include_str!("../../assets/rules/cylinder-loses-too-much.md")),
    },
    Rule {
        id: "one-pipe-circulation",
        measure: Measure::OfHeat(readings::one_pipe_circulation),
        limit: Limit::AtMost(Bound::Times { factor: 1.0, of: "what the cylinder itself may lose", unit: Unit::Watt }),
        weight: Weight::Advice,
        basis: Basis::Practice,
        source: NO_SOURCE,
        seen: false,
        others_say: &[],
        levers: &[
            Lever::Do("Insulate vent and cold feed from the cylinder up"),
            Lever::Do(
                "Take the vent further sideways before it rises, and bring the cold feed to its inlet from below",
            ),
        ],
        prose: Prose::of(include_str!("../../assets/rules/one-pipe-circulation.md")),
    },
];
