//! Rules of warning pipes, overflows and air gaps.

use super::rule::NO_SOURCE;
use super::{Basis, Bound, Lever, Limit, Measure, Other, Prose, Rule, Weight};
use crate::layout::Discharge;
use crate::measure::{Room, overflow};
use crate::units::Unit;

/// What is left where each of them would come too near to the next.
pub(super) const SET_ANEW: Lever =
    Lever::Else("Set water line, warning pipe and float valve anew, each as far from the next as its rule asks");

pub(super) const GAIN_AIR_GAP: &[Lever] =
    &[Lever::Into(Room::Rise, "Raise the float valve"), Lever::Into(Room::Sink, "Lower the warning pipe"), SET_ANEW];

/// Above this volume a cistern counts as large, and its overflow is set higher (guidance G16 in a plumbing textbook,
/// p. 297, seen).
const LARGE_CISTERN_L: f64 = 1000.0;

/// This chapter's entries of the table.
pub(super) const RULES: &[Rule] = &[
    Rule {
        id: "air-gap-too-small",
        measure: Measure::OfSite(overflow::air_gap),
        limit: Limit::AtLeast(Bound::TimesButAtLeast { factor: 2.0, floor_mm: 20.0, of: "the bore of the supply" }),
        weight: Weight::Must,
        basis: Basis::Guidance,
        source: "water-industry glossary, air gap: 20 mm or twice the inlet bore, whichever is larger",
        seen: true,
        others_say: &[
            Other { words: "25 mm from valve outlet to overflow", source: "plumbing textbook drawing (seen)" },
            Other {
                words: "rounded to 30 mm for 15 mm and 40 mm for 22 mm connections",
                source: "water-industry page on WC cisterns (seen)",
            },
        ],
        levers: GAIN_AIR_GAP,
        prose: Prose::of(include_str!("../../assets/rules/air-gap-too-small.md")),
    },
    Rule {
        id: "warning-pipe-missing",
        measure: Measure::OfSite(overflow::warning_pipe),
        limit: Limit::Yes,
        weight: Weight::Must,
        basis: Basis::Law,
        source: "an overflow that warns wherever a float valve is fitted: interpretation I16 of the fittings regulations (2003)",
        seen: true,
        others_say: &[],
        levers: &[Lever::Do("Fit a warning pipe to the cistern")],
        prose: Prose::of(include_str!("../../assets/rules/warning-pipe-missing.md")),
    },
    Rule {
        id: "small-warning-pipe-over-storage",
        measure: Measure::OfSite(overflow::clear_of_storage),
        limit: Limit::Yes,
        weight: Weight::Must,
        basis: Basis::Practice,
        source: NO_SOURCE,
        seen: false,
        others_say: &[Other {
            words: "a primary vent ends over no storage cistern",
            source: "SI 1999/1148, Schedule 2, paragraph 20(1) (seen); of warning pipes it says nothing",
        }],
        levers: &[Lever::Do("Lead the warning pipe of the feed-and-expansion cistern out to where people see it run")],
        prose: Prose::of(include_str!("../../assets/rules/small-warning-pipe-over-storage.md")),
    },
    Rule {
        id: "overflow-above-rim",
        measure: Measure::OfSite(overflow::overflow_below_rim),
        limit: Limit::MoreThan(Bound::Constant(0.0, Unit::Millimetre)),
        weight: Weight::Must,
        basis: Basis::Practice,
        source: NO_SOURCE,
        seen: false,
        others_say: &[],
        levers: &[Lever::Into(Room::Sink, "Lower the warning pipe"), SET_ANEW],
        prose: Prose::of(include_str!("../../assets/rules/overflow-above-rim.md")),
    },
    Rule {
        id: "warning-pipe-hidden",
        measure: Measure::OfSite(overflow::discharge),
        limit: Limit::OneOf(&[Discharge::Conspicuous.words()]),
        weight: Weight::Must,
        basis: Basis::Guidance,
        source: "conspicuous, normally outside: house-building standard 8.1.4 and a plumbing textbook",
        seen: true,
        others_say: &[Other {
            words: "it may end indoors where it is conspicuous",
            source: "house-building standard 8.1.4 (seen)",
        }],
        levers: &[Lever::Do("Lead the end of the warning pipe to where people soon see it run")],
        prose: Prose::of(include_str!("../../assets/rules/warning-pipe-hidden.md")),
    },
    Rule {
        id: "warning-pipe-too-narrow",
        measure: Measure::OfSite(overflow::warning_bore),
        limit: Limit::AtLeast(Bound::Constant(19.0, Unit::Millimetre)),
        weight: Weight::Must,
        basis: Basis::Guidance,
        source: "19 mm internal: house-building standard 8.1.4 and guidance G16 as quoted",
        seen: true,
        others_say: &[
            Other { words: "22 mm", source: "building-construction handbook (seen)" },
            Other { words: "twice the inlet bore, for a type AG air gap", source: "plumbing textbook, p. 297 (seen)" },
        ],
        levers: &[Lever::Do("Use tube of at least {need} bore for the warning pipe")],
        prose: Prose::of(include_str!("../../assets/rules/warning-pipe-too-narrow.md")),
    },
    Rule {
        id: "warning-pipe-not-larger-than-inlet",
        measure: Measure::OfSite(overflow::warning_bore_against_inlet),
        limit: Limit::MoreThan(Bound::Times { factor: 1.0, of: "the bore of the supply", unit: Unit::Millimetre }),
        weight: Weight::Should,
        basis: Basis::Practice,
        source: "larger than the inlet pipe, merchant guide",
        seen: true,
        others_say: &[Other {
            words: "twice the inlet bore, where the air gap is to count as type AG: whether it is meant to is not drawn, so this is shown and not judged",
            source: "plumbing textbook, p. 297 (seen)",
        }],
        levers: &[Lever::Do("Use a larger tube for the warning pipe than for the supply")],
        prose: Prose::of(include_str!("../../assets/rules/warning-pipe-not-larger-than-inlet.md")),
    },
    Rule {
        id: "warning-pipes-coupled",
        measure: Measure::OfSite(overflow::warning_pipes_apart),
        limit: Limit::Yes,
        weight: Weight::Should,
        basis: Basis::Guidance,
        source: "not coupled to another cistern's, house-building standard 8.1.4 and plumbing textbook, p. 299",
        seen: true,
        others_say: &[],
        levers: &[Lever::Do("Lead each cistern's warning pipe out by itself")],
        prose: Prose::of(include_str!("../../assets/rules/warning-pipes-coupled.md")),
    },
    Rule {
        id: "warning-pipe-joins-other-water",
        measure: Measure::OfSite(overflow::warning_pipe_by_itself),
        limit: Limit::Yes,
        weight: Weight::Must,
        basis: Basis::Practice,
        source: NO_SOURCE,
        seen: false,
        others_say: &[],
        levers: &[Lever::Do("Part the warning pipe from the pipe that joins it")],
        prose: Prose::of(include_str!("../../assets/rules/warning-pipe-joins-other-water.md")),
    },
    Rule {
        id: "overflow-too-low-in-large-cistern",
        measure: Measure::OfSite(|site| overflow::overflow_above_water_in_large(site, LARGE_CISTERN_L)),
        limit: Limit::AtLeast(Bound::Constant(50.0, Unit::Millimetre)),
        weight: Weight::Should,
        basis: Basis::Guidance,
        source: "cistern of more than 1000 L, plumbing textbook after G16, p. 297",
        seen: true,
        others_say: &[],
        levers: &[
            Lever::Into(Room::Rise, "Raise the overflow"),
            Lever::Into(Room::Water, "Lower the water line"),
            SET_ANEW,
        ],
        prose: Prose::of(include_str!("../../assets/rules/overflow-too-low-in-large-cistern.md")),
    },
];
