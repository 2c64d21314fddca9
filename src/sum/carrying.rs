//! Sums of what lies between a cistern and the joists: the board as a strip, a bearer over joists, nodes of trussed rafters.

use super::given::without_rounding;
use super::timber::{class_of, shares_of};
use super::{Given, Input, Quantity, Reckoned, Sum, SumError};
use crate::catalogue::{self, PlyClass};
use crate::layout::{BoardMaterial, ServiceClass};
use crate::timber::{ALONE, Check, Load, Loads, NODES_PER_TRUSS, Piece, Section, node_n, readings};
use crate::units::{STANDARD_GRAVITY_M_S2, Size};

const SPANS: Input = Input::needed("spans", "in a row, all alike", Quantity::Count("spans"), (1.0, 20.0)).usually(3.0);

pub(super) const SUMS: &[Sum] = &[
    Sum {
        name: "board-strip",
        title: "What plywood under a cistern takes of its strength as a strip over its supports, and how far it sinks",
        inputs: &[
            Input::needed("thickness", "of the plywood", Quantity::Millimetre, (6.0, 50.0)).usually(18.0),
            Input::needed("class", "bending class of the plywood, 20 for F20 E40", Quantity::Class('F'), (10.0, 30.0))
                .usually(20.0),
            Input::needed("span", "from support to support", Quantity::Millimetre, (100.0, 1200.0)),
            SPANS,
            Input::needed("pressure", "of the cistern filled to the rim", Quantity::SurfaceLoad, (0.0, 50.0))
                .usually(6.0),
        ],
        reckon: board_strip,
        source: "bending as in EN 1995-1-1; strength of plywood by its class from memory of EN 636",
        seen: false,
    },
    Sum {
        name: "bearer",
        title: "What a bearer over joists takes of its strength, how far it sinks, and what the joist under it most gets",
        inputs: &[
            Input::needed("span", "from joist to joist", Quantity::Millimetre, (100.0, 3000.0)).usually(400.0),
            SPANS,
            Input::needed("breadth", "thickness of the bearer, across", Quantity::Millimetre, (20.0, 150.0)),
            Input::needed("depth", "height of the bearer", Quantity::Millimetre, (35.0, 400.0)),
            Input::needed("class", "strength class of the timber, 16 for C16", Quantity::Class('C'), (14.0, 24.0))
                .usually(16.0),
            Input::needed("mass", "of cistern and water on this bearer", Quantity::Kilogram, (0.0, 2000.0)),
            Input::needed("from", "from the first joist to where it begins", Quantity::Metre, (0.0, 20.0)).usually(0.0),
            Input::needed("over", "the length on which it stands", Quantity::Metre, (0.05, 20.0)).usually(0.3),
            Input::needed("dead", "board and bearer, on each metre", Quantity::Plain("kN/m"), (0.0, 5.0)).usually(0.05),
        ],
        reckon: bearer,
        source: "EN 1995-1-1, 2.4.1, 3.1.3, 6.1.6 and 6.1.7, tables 2.3 and 3.1 as restated in public code (seen); k_cr, \
                 k_def and shear strength from memory",
        seen: false,
    },
    Sum {
        name: "truss-nodes",
        title: "What a cistern puts on each node of the trussed rafters under it",
        inputs: &[
            Input::needed("volume", "to the water line", Quantity::Litre, (1.0, 5000.0)),
            Input::needed("trusses", "trussed rafters under the platform", Quantity::Count("trusses"), (1.0, 50.0))
                .usually(3.0),
            Input::needed("mass", "of the empty cistern, board and bearers", Quantity::Kilogram, (0.0, 500.0))
                .usually(40.0),
        ],
        reckon: truss_nodes,
        source: "two nodes of each tie, as in the printed details for trussed rafters",
        seen: true,
    },
];

/// Places of the supports of spans that are all alike, m.
fn supports_m(given: &Given) -> Vec<f64> {
    let span_m = given.get("span") / 1000.0;
    std::iter::successors(Some(0.0), |place| Some(place + 1.0))
        .take_while(|place| *place <= given.get("spans"))
        .map(|place| place * span_m)
        .collect()
}

fn board_strip(given: &Given) -> Result<Reckoned, SumError> {
    let thickness = Size::try_mm(given.get("thickness")).map_err(SumError::impossible)?;
    let class = ply_class(given.get("class"))?;
    let kind = catalogue::board(BoardMaterial::MarinePly.words());
    let piece = kind.and_then(|kind| {
        let strength = kind.strength(Some(class), thickness)?;
        Piece::board(thickness.to_mm() / 1000.0, kind, strength, ServiceClass::Covered)
    });
    let piece = piece.ok_or_else(|| SumError::impossible("no strength is known of plywood so thick"))?;
    let supports = supports_m(given);
    let end_m = supports.last().copied().unwrap_or_default();
    let even = Load::Spread { from_m: 0.0, to_m: end_m, force_n_per_m: given.get("pressure") * 1000.0 };
    let loads = Loads { water: vec![even], ..Loads::default() };
    let check =
        Check::of(piece, &supports, &loads).map_err(|_| SumError::impossible("no sum can be made of these sizes"))?;
    let stress_mpa = check.strip.greatest_moment().1.abs() / piece.section.modulus_m3() / 1e6;
    let reckoned = Reckoned::default()
        .step(format!("a strip one metre wide, {}, {}", class.words(), ServiceClass::Covered.words()))
        .step(format!(
            "greatest moment {:.4} kN·m a metre, W = b t² / 6 = {:.1} cm³: {stress_mpa:.4} N/mm²",
            check.strip.greatest_moment().1.abs() / 1000.0,
            piece.section.modulus_m3() * 1e6
        ));
    Ok(shares_of(reckoned, &check).gives("stress", stress_mpa, "N/mm²").gives(
        "on the support with most",
        greatest_kn(&check),
        "kN/m",
    ))
}

/// The class whose number for bending was given.
fn ply_class(number: f64) -> Result<PlyClass, SumError> {
    let stamped = format!("F{number:.0} ");
    PlyClass::ALL.into_iter().find(|class| class.words().starts_with(&stamped)).ok_or_else(|| {
        let known = PlyClass::ALL.map(PlyClass::words).join(", ");
        SumError::Impossible(format!("there is no class F{number}; the classes are {known}"))
    })
}

fn greatest_kn(check: &Check) -> f64 {
    check.strip.on_n.iter().copied().fold(0.0, f64::max) / 1000.0
}

fn bearer(given: &Given) -> Result<Reckoned, SumError> {
    let supports = supports_m(given);
    let end_m = without_rounding(supports.last().copied().unwrap_or_default());
    let (from_m, kg) = (given.get("from"), given.get("mass"));
    let to_m = without_rounding(from_m + given.get("over"));
    if to_m > end_m {
        return Err(SumError::Impossible(format!(
            "the cistern stands from {from_m} to {to_m} m, and the bearer ends at {end_m} m"
        )));
    }
    let class = class_of(given.get("class"))?;
    let section = Section { breadth_m: given.get("breadth") / 1000.0, depth_m: given.get("depth") / 1000.0 };
    let piece = Piece::timber(section, class, ServiceClass::Covered, ALONE);
    let force_n = kg * STANDARD_GRAVITY_M_S2;
    let loads = Loads {
        dead: vec![Load::Spread { from_m: 0.0, to_m: end_m, force_n_per_m: given.get("dead") * 1000.0 }],
        water: vec![Load::Spread { from_m, to_m, force_n_per_m: force_n / (to_m - from_m) }],
        storage: Vec::new(),
    };
    let check =
        Check::of(piece, &supports, &loads).map_err(|_| SumError::impossible("no sum can be made of these sizes"))?;
    let reckoned = Reckoned::default()
        .step(format!(
            "{kg} kg × {STANDARD_GRAVITY_M_S2} m/s² = {:.3} kN from {from_m} to {to_m:.3} m",
            force_n / 1000.0
        ))
        .step(format!(
            "over {} joists, which it may lift off: greatest moment {:.4} kN·m, greatest shear {:.3} kN",
            supports.len(),
            check.strip.greatest_moment().1.abs() / 1000.0,
            check.strip.greatest_shear_n() / 1000.0
        ));
    Ok(shares_of(reckoned, &check).gives("on the joist with most", greatest_kn(&check), "kN"))
}

fn truss_nodes(given: &Given) -> Result<Reckoned, SumError> {
    let (litres, trusses, kg) = (given.get("volume"), given.get("trusses"), given.get("mass"));
    let newtons = node_n(litres, kg * STANDARD_GRAVITY_M_S2, trusses);
    Ok(Reckoned::default()
        .step(format!(
            "({litres} kg + {kg} kg) × {STANDARD_GRAVITY_M_S2} m/s² / ({trusses} × {NODES_PER_TRUSS} nodes) = {newtons:.0} N"
        ))
        .step(format!("{}.", readings::ENGINEER))
        .gives("on each node", newtons, "N"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn reckon(name: &str, values: &[(&str, f64)]) -> Result<Reckoned, SumError> {
        let sum = SUMS.iter().find(|sum| sum.name == name).expect("there");
        Given::of(sum, values).and_then(|given| (sum.reckon)(&given))
    }

    fn near(reckoned: &Reckoned, name: &str, expected: f64) {
        let have = reckoned.value(name).unwrap_or_else(|| panic!("no {name}"));
        assert!((have / expected - 1.0).abs() < 1e-3, "{name}: {have}, expected {expected}");
    }

    /// 18 mm of E 4000 under 6 kN/m²: single span and three spans, by the worked example of the strip.
    #[test]
    fn a_strip_of_plywood_is_that_of_the_worked_example() {
        for (spans, sinks_mm, stress_mpa, most_kn) in [(1.0, 1.0288, 2.2222, 1.2), (3.0, 0.5439, 1.7778, 2.64)] {
            let reckoned = reckon("board-strip", &[("span", 400.0), ("spans", spans)]).expect("reckoned");
            near(&reckoned, "sinks at once", sinks_mm);
            near(&reckoned, "stress", stress_mpa);
            near(&reckoned, "on the support with most", most_kn);
            assert!(!reckoned.working.iter().any(|line| line.contains("= -")), "{:?}", reckoned.working);
        }
        assert!(
            reckon("board-strip", &[("span", 400.0), ("class", 22.0)])
                .expect_err("none")
                .to_string()
                .contains("F20 E40")
        );
    }

    /// Loaded evenly over three spans: 0.1 q L², 1.1 q L.
    #[test]
    fn a_bearer_over_four_joists_is_that_of_the_textbook() {
        let values = [("breadth", 47.0), ("depth", 100.0), ("mass", 120.0), ("over", 1.2), ("dead", 0.0)];
        let reckoned = reckon("bearer", &values).expect("reckoned");
        let (load_n_per_m, span_m) = (120.0 * STANDARD_GRAVITY_M_S2 / 1.2, 0.4);
        near(&reckoned, "on the joist with most", 1.1 * load_n_per_m * span_m / 1000.0);
        let stress_mpa = 1.35 * 0.1 * load_n_per_m * span_m * span_m * 1000.0 / (47.0 * 100.0 * 100.0 / 6.0);
        near(&reckoned, "bending, permanent", stress_mpa / (0.6 * 16.0 * 1.5_f64.powf(0.2) / 1.3));
    }

    #[test]
    fn what_is_left_out_of_a_bearer_over_several_joists_is_told() {
        let tells = |name: &str, values: &[(&str, f64)]| {
            let reckoned = reckon(name, values).expect("reckoned");
            reckoned.working.iter().any(|line| line.starts_with(readings::STIFF_IN_SHEAR))
        };
        let bearer = |spans: f64| {
            tells(
                "bearer",
                &[("breadth", 47.0), ("depth", 97.0), ("mass", 120.0), ("spans", spans), ("over", 0.4 * spans)],
            )
        };
        assert!(bearer(2.0) && !bearer(1.0));
        // A board is reckoned stiff in shear altogether.
        assert!(!tells("board-strip", &[("span", 400.0), ("spans", 3.0)]));
    }

    /// 230 L over three trusses with some 0.4 kN besides come to the 450 N that are printed for a node.
    #[test]
    fn a_cistern_over_three_trusses_comes_near_the_printed_node_load() {
        let reckoned = reckon("truss-nodes", &[("volume", 230.0), ("mass", 45.3)]).expect("reckoned");
        near(&reckoned, "on each node", 450.0);
    }
}
