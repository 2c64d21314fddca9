//! Rules of timber: what board, bearers and joists bear and how far they sink; trussed rafters; floors under cylinders.

use super::rule::NO_SOURCE;
use super::{Basis, Bound, Lever, Limit, Measure, Other, Prose, Rule, Weight};
use crate::timber::readings;
use crate::units::Unit;

/// A member may take all of its strength, and no more.
const NO_MORE_THAN_IT_BEARS: Limit = Limit::AtMost(Bound::Constant(1.0, Unit::Share));
/// In the end, creep reckoned with.
const A_250TH_OF_THE_SPAN: Limit =
    Limit::AtMost(Bound::Times { factor: 1.0 / 250.0, of: "the span", unit: Unit::Millimetre });
const A_250TH_IN_THE_ANNEX: &str = "1/250 of the span with creep, from memory of the UK annex to EN 1995-1-1";
const WITHOUT_A_CEILING: &[Other] = &[Other {
    words: "1/150 of the span where no plastered ceiling hangs below",
    source: "UK annex to EN 1995-1-1, from memory",
}];
const COMPETENT_PERSON: Lever = Lever::Do("Have a competent person confirm or strengthen the structure");
const RELIEVE_JOISTS: &[Lever] = &[
    Lever::Do("Move the platform towards a support of the joists, or over a load-bearing wall"),
    Lever::Do("Lengthen the bearers so that more joists share the load"),
    Lever::Do("Double the joists below the platform"),
    COMPETENT_PERSON,
];

/// This chapter's entries of the table.
pub(super) const RULES: &[Rule] = &[
    Rule {
        id: "board-overstressed",
        measure: Measure::OfTimber(readings::board_stress),
        limit: NO_MORE_THAN_IT_BEARS,
        weight: Weight::Must,
        basis: Basis::Practice,
        source: "bending as in EN 1995-1-1, strength of boards from memory of EN 636 and EN 12369-1",
        seen: false,
        others_say: &[],
        levers: &[
            Lever::Do("Lay a thicker or stronger board"),
            Lever::Do("Add a bearer where the board spans furthest"),
            COMPETENT_PERSON,
        ],
        prose: Prose::of(include_str!("../../assets/rules/board-overstressed.md")),
    },
    Rule {
        id: "board-sags",
        measure: Measure::OfTimber(readings::board_sag),
        limit: A_250TH_OF_THE_SPAN,
        weight: Weight::Must,
        basis: Basis::Practice,
        source: NO_SOURCE,
        seen: false,
        others_say: &[],
        levers: &[
            Lever::Do("Lay a thicker or stiffer board"),
            Lever::Do("Add a bearer where the board spans furthest"),
            COMPETENT_PERSON,
        ],
        prose: Prose::of(include_str!("../../assets/rules/board-sags.md")),
    },
    Rule {
        id: "bearer-overstressed",
        measure: Measure::OfTimber(readings::bearer_stress),
        limit: NO_MORE_THAN_IT_BEARS,
        weight: Weight::Must,
        basis: Basis::Standard,
        source: "EN 1995-1-1, tables 2.3 and 3.1 as restated in public code; k_cr and shear strength from memory",
        seen: true,
        others_say: &[],
        levers: &[
            Lever::Do("Deepen the bearers to the next size"),
            Lever::Do("Add a bearer, so that each carries less"),
            Lever::Do("Use bearers of C24"),
            COMPETENT_PERSON,
        ],
        prose: Prose::of(include_str!("../../assets/rules/bearer-overstressed.md")),
    },
    Rule {
        id: "bearer-sags",
        measure: Measure::OfTimber(readings::bearer_sag),
        limit: A_250TH_OF_THE_SPAN,
        weight: Weight::Must,
        basis: Basis::Practice,
        source: A_250TH_IN_THE_ANNEX,
        seen: false,
        others_say: WITHOUT_A_CEILING,
        levers: &[
            Lever::Do("Deepen the bearers to the next size"),
            Lever::Do("Add a bearer, so that each carries less"),
            COMPETENT_PERSON,
        ],
        prose: Prose::of(include_str!("../../assets/rules/bearer-sags.md")),
    },
    Rule {
        id: "joist-overstressed",
        measure: Measure::OfTimber(readings::joist_bending),
        limit: NO_MORE_THAN_IT_BEARS,
        weight: Weight::Must,
        basis: Basis::Standard,
        source: "EN 1995-1-1, tables 2.3 and 3.1 as restated in public code",
        seen: true,
        others_say: &[Other {
            words: "a cistern counts as a long-term load",
            source: "UK annex to EN 1995-1-1, from memory",
        }],
        levers: RELIEVE_JOISTS,
        prose: Prose::of(include_str!("../../assets/rules/joist-overstressed.md")),
    },
    Rule {
        id: "joist-overstressed-in-shear",
        measure: Measure::OfTimber(readings::joist_shear),
        limit: NO_MORE_THAN_IT_BEARS,
        weight: Weight::Must,
        basis: Basis::Practice,
        source: "shear as in EN 1995-1-1; k_cr = 0.67 and shear strength from memory",
        seen: false,
        others_say: &[],
        levers: &[
            Lever::Do("Lengthen the bearers so that more joists share the load"),
            Lever::Do("Double the joists below the platform"),
            COMPETENT_PERSON,
        ],
        prose: Prose::of(include_str!("../../assets/rules/joist-overstressed-in-shear.md")),
    },
    Rule {
        id: "joist-sags",
        measure: Measure::OfTimber(readings::joist_sag),
        limit: A_250TH_OF_THE_SPAN,
        weight: Weight::Must,
        basis: Basis::Practice,
        source: A_250TH_IN_THE_ANNEX,
        seen: false,
        others_say: WITHOUT_A_CEILING,
        levers: RELIEVE_JOISTS,
        prose: Prose::of(include_str!("../../assets/rules/joist-sags.md")),
    },
    Rule {
        id: "joist-span-too-long",
        measure: Measure::OfSite(readings::joist_span),
        limit: Limit::AtMost(Bound::Times {
            factor: 1.0,
            of: "what the table of ceiling joists allows",
            unit: Unit::Millimetre,
        }),
        weight: Weight::Advice,
        basis: Basis::Guidance,
        source: "ceiling-joist table of an old approved document, from memory, derived anew",
        seen: false,
        others_say: &[],
        levers: &[Lever::By("Shorten the span"), Lever::Do("Have a competent person look at the joists as they are")],
        prose: Prose::of(include_str!("../../assets/rules/joist-span-too-long.md")),
    },
    Rule {
        id: "truss-node-overloaded",
        measure: Measure::OfTimber(readings::truss_node),
        limit: Limit::AtMost(Bound::Constant(450.0, Unit::Newton)),
        weight: Weight::Must,
        basis: Basis::Maker,
        source: "450 N at each node of a ceiling tie, a truss maker's note on water tanks",
        seen: true,
        others_say: &[],
        levers: &[
            Lever::Do("Spread the load over more trussed rafters with longer bearers, and have an engineer confirm"),
            Lever::Do("Set up a smaller cistern"),
        ],
        prose: Prose::of(include_str!("../../assets/rules/truss-node-overloaded.md")),
    },
    Rule {
        id: "too-few-trusses",
        measure: Measure::OfTimber(readings::stored_over_trusses),
        limit: Limit::AtMost(Bound::ByCount {
            rows: &[(3.0, 230.0), (4.0, 300.0)],
            known_to: 4.0,
            of: "trussed rafters",
            unit: Unit::Litre,
        }),
        weight: Weight::Must,
        basis: Basis::Standard,
        source: "BS 5268-3:2002 as told on an architecture reference page; over three at least, a truss maker's note on water tanks",
        seen: true,
        others_say: &[],
        levers: &[
            Lever::Do("Spread the load over more trussed rafters with longer bearers, and have an engineer confirm"),
            Lever::Do("Spread the storage over two cisterns, each on a platform over trussed rafters of its own"),
        ],
        prose: Prose::of(include_str!("../../assets/rules/too-few-trusses.md")),
    },
    Rule {
        id: "cylinder-too-heavy-for-floor",
        measure: Measure::OfTimber(readings::cylinder_on_floor),
        limit: Limit::AtMost(Bound::Constant(2.0, Unit::Kilonewton)),
        weight: Weight::Advice,
        basis: Basis::Standard,
        source: "2 kN as a single load on the floor of a house, EN 1991-1-1 with the UK annex, from memory",
        seen: false,
        others_say: &[],
        levers: &[Lever::Do(
            "Have a competent person confirm what the floor carries, and tell it as the load confirmed for a platform below \
             the cylinder",
        )],
        prose: Prose::of(include_str!("../../assets/rules/cylinder-too-heavy-for-floor.md")),
    },
];
