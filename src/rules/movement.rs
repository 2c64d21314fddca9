//! Rules of how water moves through cisterns, what shuts, and how one gets there.

use super::pipework::VALVE_WITHIN_MM;
use super::rule::NO_SOURCE;
use super::{Basis, Bound, Lever, Limit, Measure, Other, Prose, Rule, Weight};
use crate::measure::{Room, linked_cisterns, linked_water_lines, movement};
use crate::units::Unit;

/// Joists of this depth or less are left whole (plumbing textbook, p. 336, seen).
const SHALLOW_JOIST_MM: f64 = 100.0;

/// This chapter's entries of the table.
pub(super) const RULES: &[Rule] = &[
    Rule {
        id: "outlet-without-service-valve",
        measure: Measure::OfSite(movement::outlet_service_valve),
        limit: Limit::YesWithin(VALVE_WITHIN_MM),
        weight: Weight::Must,
        basis: Basis::Guidance,
        source: "servicing valves on all outlets but vents and warning pipes, water-industry page on outlets",
        seen: true,
        others_say: &[],
        levers: &[Lever::Do("Fit a full-way valve in the pipe, as close to the cistern as it can be")],
        prose: Prose::of(include_str!("../../assets/rules/outlet-without-service-valve.md")),
    },
    Rule {
        id: "inlet-and-outlet-on-one-side",
        measure: Measure::OfSite(movement::leaves_opposite),
        limit: Limit::Yes,
        weight: Weight::Should,
        basis: Basis::Guidance,
        source: "inlet and outlet on opposite sides, water-industry pages on inlet and outlet",
        seen: true,
        others_say: &[Other {
            words: "with two outlet connections, the higher one opposite the float valve",
            source: "plumbing textbook, p. 293 (seen)",
        }],
        levers: &[Lever::Do("Take water out on the side away from the float valve")],
        prose: Prose::of(include_str!("../../assets/rules/inlet-and-outlet-on-one-side.md")),
    },
    Rule {
        id: "side-outlet-too-low",
        measure: Measure::OfSite(movement::side_outlet_height),
        limit: Limit::AtLeast(Bound::Constant(25.0, Unit::Millimetre)),
        weight: Weight::Advice,
        basis: Basis::Practice,
        source: "25 mm in a plumbing textbook, p. 293, and a course deck",
        seen: true,
        others_say: &[
            Other { words: "30 mm to the lowest point", source: "merchant guide and a heating handbook (seen)" },
            Other { words: "an outlet in the bottom is preferred", source: "water-industry page on outlets (seen)" },
        ],
        levers: &[
            Lever::Into(Room::Rise, "Raise the connection"),
            Lever::Else("Raise the connection, and first what has to stay above it: cold feed or water line"),
        ],
        prose: Prose::of(include_str!("../../assets/rules/side-outlet-too-low.md")),
    },
    Rule {
        id: "water-line-below-outlet",
        measure: Measure::OfSite(movement::water_over_outlet),
        limit: Limit::MoreThan(Bound::Constant(0.0, Unit::Millimetre)),
        weight: Weight::Should,
        basis: Basis::Practice,
        source: NO_SOURCE,
        seen: false,
        others_say: &[],
        levers: &[
            Lever::Into(Room::Rise, "Raise the water line"),
            Lever::Into(Room::Sink, "Lower the connection"),
            Lever::Else("Set the water line anew, and first what has to stay above it: warning pipe and float valve"),
        ],
        prose: Prose::of(include_str!("../../assets/rules/water-line-below-outlet.md")),
    },
    Rule {
        id: "linked-cistern-without-inlet",
        measure: Measure::OfSite(linked_cisterns),
        limit: Limit::Yes,
        weight: Weight::Should,
        basis: Basis::Guidance,
        source: "avoid linking; else in parallel, inlet and outlet at opposite ends, delayed-action float valves: water-industry page on linked cisterns",
        seen: true,
        others_say: &[Other {
            words: "also one behind the other, in by the first and out by the last, so that all of the water moves",
            source: "common practice, no source",
        }],
        levers: &[
            Lever::Do("Give each linked cistern an inlet and an outlet connection of its own"),
            Lever::Do("Where a non-return valve in the link keeps the water back, take it out"),
        ],
        prose: Prose::of(include_str!("../../assets/rules/linked-cistern-without-inlet.md")),
    },
    Rule {
        id: "linked-water-lines-differ",
        measure: Measure::OfSite(linked_water_lines),
        limit: Limit::AtMost(Bound::Constant(10.0, Unit::Millimetre)),
        weight: Weight::Should,
        basis: Basis::Practice,
        source: "common practice, no source: water in linked cisterns stands at one level, and float arms are set no closer",
        seen: false,
        others_say: &[],
        levers: &[Lever::By("Set the float valves so that the water lines come nearer to one level,")],
        prose: Prose::of(include_str!("../../assets/rules/linked-water-lines-differ.md")),
    },
    Rule {
        id: "main-joins-stored",
        measure: Measure::OfSite(movement::main_apart_from_stored),
        limit: Limit::Yes,
        weight: Weight::Must,
        basis: Basis::Law,
        source: "backflow has to be prevented: water fittings regulations, Schedule 2, paragraph 15, as in those of Northern Ireland, SR 2009/255",
        seen: true,
        others_say: &[Other {
            words: "a double check valve holds back water with chemicals of low toxicity (category 3)",
            source: "water-industry answers on installation (seen)",
        }],
        levers: &[Lever::Do(
            "Take out the pipe that joins the main to stored water, or to that of the heating: the main ends at float valves",
        )],
        prose: Prose::of(include_str!("../../assets/rules/main-joins-stored.md")),
    },
    Rule {
        id: "no-way-to-the-cistern",
        measure: Measure::OfSite(movement::way_in),
        limit: Limit::Yes,
        weight: Weight::Should,
        basis: Basis::Guidance,
        source: "access to roof spaces that hold cisterns, house-building standard 8.1.4",
        seen: true,
        others_say: &[],
        levers: &[Lever::Do("Make a hatch to the loft")],
        prose: Prose::of(include_str!("../../assets/rules/no-way-to-the-cistern.md")),
    },
    Rule {
        id: "cistern-too-big-for-hatch",
        measure: Measure::OfSite(movement::through_hatch),
        limit: Limit::AtLeast(Bound::Constant(0.0, Unit::Millimetre)),
        weight: Weight::Should,
        basis: Basis::Practice,
        source: NO_SOURCE,
        seen: false,
        others_say: &[],
        levers: &[
            Lever::Do("Use two smaller cisterns, linked in parallel, that go through the hatch"),
            Lever::By("Have both sides of the hatch enlarged"),
        ],
        prose: Prose::of(include_str!("../../assets/rules/cistern-too-big-for-hatch.md")),
    },
    Rule {
        id: "shallow-joist-notched",
        measure: Measure::OfSite(|site| movement::shallow_joists(site, SHALLOW_JOIST_MM)),
        limit: Limit::Yes,
        weight: Weight::Should,
        basis: Basis::Practice,
        source: "no notching or drilling of joists of 100 mm or less, plumbing textbook, p. 336",
        seen: true,
        others_say: &[],
        levers: &[Lever::Do("Leave shallow joists whole; have a competent person look at those that are cut")],
        prose: Prose::of(include_str!("../../assets/rules/shallow-joist-notched.md")),
    },
];
