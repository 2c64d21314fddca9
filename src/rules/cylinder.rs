//! Rules of cylinders: height below the cistern, cold feed, heating, lagging.

use super::rule::NO_SOURCE;
use super::{Basis, Bound, Lever, Limit, Prose, Rule, Weight};
use crate::measure::cylinder;
use crate::units::Unit;

/// This chapter's entries of the table.
pub(super) const RULES: &[Rule] = &[
    Rule {
        id: "cylinder-too-near-cistern",
        measure: cylinder::below_cistern,
        limit: Limit::AtLeast(Bound::Constant(1000.0, Unit::Millimetre)),
        weight: Weight::Should,
        basis: Basis::Practice,
        source: "1 m in a home-heating article",
        seen: true,
        levers: &[
            Lever::By("Raise the cistern"),
            Lever::By("Lower the cylinder"),
        ],
        prose: Prose(include_str!("../../assets/rules/cylinder-too-near-cistern.md")),
    },
    Rule {
        id: "cold-feed-without-valve",
        measure: cylinder::cold_feed_valve,
        limit: Limit::Yes,
        weight: Weight::Must,
        basis: Basis::Guidance,
        source: "servicing valves on cistern outlets, water-industry page; full-way within about a metre, course deck",
        seen: true,
        levers: &[
            Lever::Do("Fit a full-way gate valve in the cold feed, above the top of the cylinder"),
        ],
        prose: Prose(include_str!("../../assets/rules/cold-feed-without-valve.md")),
    },
    Rule {
        id: "cold-feed-valve-too-low",
        measure: cylinder::cold_feed_valve_above_cylinder,
        limit: Limit::MoreThan(Bound::Constant(0.0, Unit::Millimetre)),
        weight: Weight::Should,
        basis: Basis::Practice,
        source: NO_SOURCE,
        seen: false,
        levers: &[
            Lever::By("Move the cold feed valve above the top of the cylinder: raise it"),
        ],
        prose: Prose(include_str!("../../assets/rules/cold-feed-valve-too-low.md")),
    },
    Rule {
        id: "cold-feed-without-drain",
        measure: cylinder::cold_feed_drain,
        limit: Limit::AtMost(Bound::Constant(150.0, Unit::Millimetre)),
        weight: Weight::Should,
        basis: Basis::Practice,
        source: "system must be drainable, official guide to the fittings regulations; 150 mm is common practice",
        seen: true,
        levers: &[
            Lever::Do("Fit a drain cock at the low end of the cold feed"),
            Lever::By("Lower the drain cock"),
        ],
        prose: Prose(include_str!("../../assets/rules/cold-feed-without-drain.md")),
    },
    Rule {
        id: "cold-feed-non-return",
        measure: cylinder::cold_feed_free_to_expand,
        limit: Limit::Yes,
        weight: Weight::Must,
        basis: Basis::Practice,
        source: "expansion goes back up the feed, Approved Document G definition as quoted",
        seen: true,
        levers: &[
            Lever::Do("Take the non-return valve out of the cold feed"),
        ],
        prose: Prose(include_str!("../../assets/rules/cold-feed-non-return.md")),
    },
    Rule {
        id: "cylinder-heating-unknown",
        measure: cylinder::heating,
        limit: Limit::Told,
        weight: Weight::Should,
        basis: Basis::Practice,
        source: NO_SOURCE,
        seen: false,
        levers: &[
            Lever::Do("Draw what heats the cylinder: immersion heater, coil with primary pipes, or boiler"),
        ],
        prose: Prose(include_str!("../../assets/rules/cylinder-heating-unknown.md")),
    },
    Rule {
        id: "primary-joins-stored",
        measure: cylinder::waters_apart,
        limit: Limit::Yes,
        weight: Weight::Must,
        basis: Basis::Practice,
        source: NO_SOURCE,
        seen: false,
        levers: &[
            Lever::Do("Part the primary pipes from the stored water"),
        ],
        prose: Prose(include_str!("../../assets/rules/primary-joins-stored.md")),
    },
    Rule {
        id: "cylinder-pipe-uninsulated",
        measure: cylinder::pipe_insulation,
        limit: Limit::AtLeast(Bound::Times(1.0, Unit::Millimetre)),
        weight: Weight::Should,
        basis: Basis::Practice,
        source: "first metre at the cylinder, from memory of a compliance guide",
        seen: false,
        levers: &[
            Lever::By("Insulate the pipe further from the cylinder,"),
        ],
        prose: Prose(include_str!("../../assets/rules/cylinder-pipe-uninsulated.md")),
    },
];
