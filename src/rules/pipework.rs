//! Rules of distribution pipes, isolation and warning pipes.

use super::rule::NO_SOURCE;
use super::{Basis, Bound, Lever, Limit, Measure, Prose, Rule, Weight};
use crate::measure::{along_pipe, distribution, overflow, supplies};
use crate::units::Unit;

/// A valve that is near the cistern is within so much pipe of it, mm: about 1 m, course deck.
pub(super) const VALVE_WITHIN_MM: f64 = 1000.0;

/// This chapter's entries of the table.
pub(super) const RULES: &[Rule] = &[
    Rule {
        id: "cold-distribution-without-valve",
        measure: Measure::OfSite(distribution::distribution_valve),
        limit: Limit::Yes,
        weight: Weight::Must,
        basis: Basis::Guidance,
        source: "servicing valves on cistern outlets, water-industry page",
        seen: true,
        others_say: &[],
        levers: &[Lever::Do("Fit a full-way valve in the cold distribution pipe, close to the cistern")],
        prose: Prose::of(include_str!("../../assets/rules/cold-distribution-without-valve.md")),
    },
    Rule {
        id: "cold-distribution-valve-too-far",
        measure: Measure::OfSite(distribution::distribution_valve_distance),
        limit: Limit::AtMost(Bound::Constant(VALVE_WITHIN_MM, Unit::Millimetre)),
        weight: Weight::Advice,
        basis: Basis::Practice,
        source: "within about 1 m of the cistern, course deck",
        seen: true,
        others_say: &[],
        levers: &[Lever::By("Move the valve nearer to the cistern")],
        prose: Prose::of(include_str!("../../assets/rules/cold-distribution-valve-too-far.md")),
    },
    Rule {
        id: "appliance-without-service-valve",
        measure: Measure::OfSite(distribution::appliance_service_valve),
        limit: Limit::Yes,
        weight: Weight::Must,
        basis: Basis::Practice,
        source: NO_SOURCE,
        seen: false,
        others_say: &[],
        levers: &[Lever::Do("Fit a service valve in the pipe to the appliance")],
        prose: Prose::of(include_str!("../../assets/rules/appliance-without-service-valve.md")),
    },
    Rule {
        id: "place-beyond-pipe",
        measure: Measure::OfSite(along_pipe::all_on_their_pipe),
        limit: Limit::Told,
        weight: Weight::Should,
        basis: Basis::Practice,
        source: NO_SOURCE,
        seen: false,
        others_say: &[],
        levers: &[Lever::Do("Measure along the pipe where the valve or the tee is")],
        prose: Prose::of(include_str!("../../assets/rules/place-beyond-pipe.md")),
    },
    Rule {
        id: "outlet-without-pipe",
        measure: Measure::OfSite(supplies::pipe_to_outlet),
        limit: Limit::Told,
        weight: Weight::Should,
        basis: Basis::Practice,
        source: NO_SOURCE,
        seen: false,
        others_say: &[],
        levers: &[Lever::Do("Draw the pipe that brings its water")],
        prose: Prose::of(include_str!("../../assets/rules/outlet-without-pipe.md")),
    },
    Rule {
        id: "hot-and-cold-crossed",
        measure: Measure::OfSite(supplies::own_water),
        limit: Limit::Yes,
        weight: Weight::Should,
        basis: Basis::Practice,
        source: NO_SOURCE,
        seen: false,
        others_say: &[],
        levers: &[Lever::Do("Change the pipes over: hot water to the hot side, and cold water to the cold side")],
        prose: Prose::of(include_str!("../../assets/rules/hot-and-cold-crossed.md")),
    },
    Rule {
        id: "warning-pipe-valved",
        measure: Measure::OfSite(overflow::warning_pipe_free),
        limit: Limit::Yes,
        weight: Weight::Must,
        basis: Basis::Practice,
        source: NO_SOURCE,
        seen: false,
        others_say: &[],
        levers: &[Lever::Do("Take the valve out of the warning pipe")],
        prose: Prose::of(include_str!("../../assets/rules/warning-pipe-valved.md")),
    },
    Rule {
        id: "warning-pipe-rises",
        measure: Measure::OfSite(overflow::warning_pipe_rise),
        limit: Limit::AtMost(Bound::Constant(0.0, Unit::Millimetre)),
        weight: Weight::Must,
        basis: Basis::Practice,
        source: "continuous fall, no rise, do-it-yourself guide",
        seen: true,
        others_say: &[],
        levers: &[Lever::By("Lay the pipe falling all the way out, its high point lower")],
        prose: Prose::of(include_str!("../../assets/rules/warning-pipe-rises.md")),
    },
];
