//! Sums of timber: one joist under a cistern, and how far a ceiling joist may span without one.

use super::given::without_rounding;
use super::{Given, Input, Quantity, Reckoned, Sum, SumError};
use crate::catalogue::{StrengthClass, ceiling_joist_sizes_mm};
use crate::layout::{LoadDuration, ServiceClass};
use crate::timber::{ALONE, Check, Load, Loads, Piece, Section, SpanFrom, greatest_span_mm, readings};
use crate::units::{STANDARD_GRAVITY_M_S2, Size};

const BREADTH: Input = Input::needed("breadth", "thickness of the joist, across", Quantity::Millimetre, (20.0, 150.0));
const DEPTH: Input = Input::needed("depth", "height of the joist", Quantity::Millimetre, (50.0, 400.0));

pub(super) const SUMS: &[Sum] = &[
    Sum {
        name: "joist",
        title: "What a joist takes of its strength under its share of a cistern, reckoned both ways, and how far it sinks",
        inputs: &[
            Input::needed("span", "from support to support", Quantity::Metre, (0.3, 8.0)),
            BREADTH,
            DEPTH,
            Input::needed("class", "strength class of the timber, 16 for C16", Quantity::Class('C'), (14.0, 24.0))
                .usually(16.0),
            Input::needed("mass", "of cistern and water on this joist", Quantity::Kilogram, (0.0, 2000.0)),
            Input::needed("from", "from the support to where it begins", Quantity::Metre, (0.0, 8.0)).usually(0.0),
            Input::needed("over", "the length on which it stands", Quantity::Metre, (0.05, 8.0)).usually(0.3),
            Input::needed("dead", "timber, ceiling and insulation, on each metre", Quantity::Plain("kN/m"), (0.0, 5.0))
                .usually(0.15),
        ],
        reckon: joist,
        source: "EN 1995-1-1, 2.4.1, 3.1.3, 6.1.6 and 6.1.7, tables 2.3 and 3.1 as restated in public code (seen); k_cr, \
                 k_def and shear strength from memory",
        seen: false,
    },
    Sum {
        name: "ceiling-span",
        title: "How far a ceiling joist of C16 may span that carries no cistern",
        inputs: &[
            BREADTH,
            DEPTH,
            Input::needed("spacing", "centre to centre", Quantity::Millimetre, (200.0, 1200.0)).usually(400.0),
        ],
        reckon: ceiling_span,
        source: "ceiling-joist table of an old approved document, from memory, derived anew",
        seen: false,
    },
];

fn joist(given: &Given) -> Result<Reckoned, SumError> {
    let (span_m, from_m, kg) = (given.get("span"), given.get("from"), given.get("mass"));
    let to_m = without_rounding(from_m + given.get("over"));
    if to_m > span_m {
        return Err(SumError::Impossible(format!(
            "the cistern stands from {from_m} to {to_m} m, and the joist ends at {span_m} m"
        )));
    }
    let class = class_of(given.get("class"))?;
    let section = Section { breadth_m: given.get("breadth") / 1000.0, depth_m: given.get("depth") / 1000.0 };
    let piece = Piece::timber(section, class, ServiceClass::Covered, ALONE);
    let force_n = kg * STANDARD_GRAVITY_M_S2;
    let loads = Loads {
        dead: vec![Load::Spread { from_m: 0.0, to_m: span_m, force_n_per_m: given.get("dead") * 1000.0 }],
        water: vec![Load::Spread { from_m, to_m, force_n_per_m: force_n / (to_m - from_m) }],
        storage: Vec::new(),
    };
    let check = Check::of(piece, &[0.0, span_m], &loads)
        .map_err(|_| SumError::Impossible("no sum can be made of these sizes".to_owned()))?;
    let moment_kn_m = check.strip.greatest_moment().1 / 1000.0;
    let reckoned = Reckoned::default()
        .step(format!(
            "{kg} kg × {STANDARD_GRAVITY_M_S2} m/s² = {:.3} kN from {from_m} to {to_m:.3} m",
            force_n / 1000.0
        ))
        .step(format!("greatest moment {moment_kn_m:.3} kN·m, W = b h² / 6 = {:.0} cm³", section.modulus_m3() * 1e6))
        .step(format!(
            "{}, {}, k_sys = {ALONE}, γ_M = {}",
            class.words(),
            ServiceClass::Covered.words(),
            piece.gamma_m()
        ));
    Ok(shares_of(reckoned, &check))
}

/// What a piece takes of its strength, reckoned both ways, and how far it sinks. Boards are not checked in shear.
pub(super) fn shares_of(mut reckoned: Reckoned, check: &Check) -> Reckoned {
    let piece = &check.piece;
    for duration in LoadDuration::ALL {
        let shares = check.shares(duration);
        let under = shares.under;
        reckoned = reckoned.step(format!(
            "cistern as {}: {} × dead + {} × cistern = {:.3} kN·m, of {:.2} N/mm² (k_mod {}): {:.3}",
            duration.words(),
            under.dead,
            under.water,
            shares.moment_n_m.abs() / 1000.0,
            piece.bending_design_pa(under.duration) / 1e6,
            piece.k_mod(under.duration),
            shares.bending.value
        ));
    }
    if check.leaves_shear_out() {
        reckoned = reckoned.step(format!("{}.", readings::STIFF_IN_SHEAR));
    }
    reckoned = reckoned
        .step(format!("{}.", readings::CONFIRM))
        .gives("bending, permanent", check.permanent.bending.value, "share")
        .gives("bending, long-term", check.long_term.bending.value, "share");
    if piece.shear_pa.is_some() {
        reckoned = reckoned.gives("shear, permanent", check.permanent.shear.value, "share").gives(
            "shear, long-term",
            check.long_term.shear.value,
            "share",
        );
    }
    reckoned.gives("sinks at once", check.at_once.down.value * 1000.0, "mm").gives(
        "sinks in the end",
        check.at_last.down.value * 1000.0,
        "mm",
    )
}

/// The class whose number was given.
pub(super) fn class_of(number: f64) -> Result<StrengthClass, SumError> {
    let is_it = |class: &StrengthClass| (class.strength().bending_n_mm2 - number).abs() < 0.5;
    StrengthClass::ALL.into_iter().find(is_it).ok_or_else(|| {
        let known = StrengthClass::ALL.map(StrengthClass::words).join(", ");
        SumError::Impossible(format!("there is no class C{number}; the classes are {known}"))
    })
}

fn ceiling_span(given: &Given) -> Result<Reckoned, SumError> {
    let size = |name: &str| Size::try_mm(given.get(name)).map_err(|error| SumError::Impossible(error.to_string()));
    let (span_mm, from) = greatest_span_mm(size("breadth")?, size("depth")?, size("spacing")?);
    let how = match from {
        SpanFrom::Table => "it stands in the table",
        SpanFrom::Reckoned => "reckoned as the table is, which lacks this size",
    };
    let asked = ["breadth", "depth", "spacing"].map(|name| given.get(name));
    let names = ["breadth", "depth", "spacing"].into_iter().zip(asked).zip(ceiling_joist_sizes_mm());
    // What stands closer than the table has it is no worse than it.
    let is_beyond = |(name, value, (least, most)): &(&str, f64, (f64, f64))| {
        *value > *most || (*value < *least && *name != "spacing")
    };
    let beyond = names.map(|((name, value), range)| (name, value, range)).filter(is_beyond);
    let warnings = beyond.map(|(name, value, (least, most))| {
        format!("beware: the table goes from {least} to {most} mm of {name}; with {value} mm nothing in print bears this out")
    });
    let reckoned = warnings.fold(Reckoned::default(), Reckoned::step);
    Ok(reckoned
        .step("0.25 kN/m² of ceiling, 0.25 kN/m² of storage and 0.9 kN of a person: sinks by 0.003 of the span")
        .step(how)
        .gives("span", span_mm / 1000.0, "m"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn reckon(name: &str, values: &[(&str, f64)]) -> Result<Reckoned, SumError> {
        let sum = SUMS.iter().find(|sum| sum.name == name).expect("there");
        Given::of(sum, values).and_then(|given| (sum.reckon)(&given))
    }

    /// 3 m of 47 × 147 mm, C24, loaded evenly: 100 kg with 0.15 kN/m beside it, by hand.
    #[test]
    fn a_joist_loaded_along_its_whole_span_is_that_by_hand() {
        let values =
            [("span", 3.0), ("breadth", 47.0), ("depth", 147.0), ("class", 24.0), ("mass", 100.0), ("over", 3.0)];
        let reckoned = reckon("joist", &values).expect("reckoned");
        let moment_n_m = 1.35 * (150.0 + 980.665 / 3.0) * 9.0 / 8.0;
        let modulus_mm3 = 47.0 * 147.0 * 147.0 / 6.0;
        let design_mpa = 0.6 * 24.0 * (150.0_f64 / 147.0).powf(0.2) / 1.3;
        let expected = moment_n_m * 1000.0 / modulus_mm3 / design_mpa;
        let have = reckoned.value("bending, permanent").expect("there");
        assert!((have / expected - 1.0).abs() < 1e-9, "{have}, by hand {expected}");
    }

    #[test]
    fn a_cistern_may_reach_to_the_very_end_of_a_joist() {
        let values =
            [("span", 2.8), ("breadth", 47.0), ("depth", 147.0), ("mass", 100.0), ("from", 2.2), ("over", 0.6)];
        let reckoned = reckon("joist", &values).expect("2.2 m and 0.6 m are 2.8 m");
        assert!(reckoned.working.iter().any(|line| line.ends_with("from 2.2 to 2.800 m")), "{:?}", reckoned.working);
        let beyond = values.map(|(name, value)| (name, if name == "over" { 0.601 } else { value }));
        assert!(reckon("joist", &beyond).expect_err("a millimetre beyond").to_string().contains("to 2.801 m"));
    }

    #[test]
    fn what_does_not_go_together_is_refused_in_words() {
        let values = [("span", 2.0), ("breadth", 47.0), ("depth", 147.0), ("mass", 100.0), ("from", 1.9)];
        assert!(reckon("joist", &values).expect_err("beyond it").to_string().contains("the joist ends at 2 m"));
        let values = [("span", 2.0), ("breadth", 47.0), ("depth", 147.0), ("mass", 100.0), ("class", 17.0)];
        assert!(reckon("joist", &values).expect_err("no such class").to_string().contains("C16, C18"));
    }

    #[test]
    fn a_size_beyond_the_table_is_told_to_be_so() {
        let warnings = |values: &[(&str, f64)]| {
            let reckoned = reckon("ceiling-span", values).expect("reckoned");
            reckoned.working.into_iter().filter(|line| line.starts_with("beware")).collect::<Vec<_>>()
        };
        let beyond = warnings(&[("breadth", 150.0), ("depth", 400.0)]);
        assert!(beyond.len() == 2 && beyond[1].contains("of depth; with 400 mm"), "{beyond:?}");
        assert_eq!(warnings(&[("breadth", 47.0), ("depth", 147.0), ("spacing", 350.0)]), Vec::<String>::new());
        assert_eq!(warnings(&[("breadth", 47.0), ("depth", 147.0), ("spacing", 700.0)]).len(), 1);
    }

    #[test]
    fn a_size_of_the_table_spans_what_stands_in_it() {
        let reckoned = reckon("ceiling-span", &[("breadth", 47.0), ("depth", 147.0)]).expect("reckoned");
        assert_eq!(reckoned.value("span"), Some(3.3));
    }
}
