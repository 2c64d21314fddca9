//! Beams, strips and ceiling joists against reference libraries: `tests/oracle/generate_timber.py` writes the fixtures
//! and names each library and its version on the first line.

use loftwright::catalogue::StrengthClass;
use loftwright::layout::{LoadDuration, ServiceClass};
use loftwright::timber::{Check, HELPED, Load, Loads, Piece, Section, Stiffness, Strip, reckoned_span_m};

use crate::near::near;

fn rows(text: &str) -> Vec<Vec<&str>> {
    let rows: Vec<Vec<&str>> =
        text.lines().filter(|line| !line.starts_with('#')).skip(1).map(|row| row.split(',').collect()).collect();
    assert!(rows.len() > 25, "the fixture is too short to prove anything");
    rows
}

fn numbers(text: &str, between: char) -> Vec<f64> {
    text.split(between).map(|number| number.parse().expect("a number")).collect()
}

/// 47 × 145 mm, E 8000 and no shear, as the frame was solved.
#[test]
fn beams_over_many_supports_are_those_of_frame_finite_elements() {
    let section = Section { breadth_m: 0.047, depth_m: 0.145 };
    let stiffness = Stiffness { bending_n_m2: 8.0e9 * section.second_moment_m4(), shear_n: f64::INFINITY };
    for row in rows(include_str!("../oracle/timber_beams.csv")) {
        let supports = numbers(row[0], ' ');
        let points = row[1].split_terminator(' ').map(|point| {
            let [at_m, force_n] = numbers(point, ':')[..] else { panic!("{point}") };
            Load::Point { at_m, force_n }
        });
        let spreads = row[2].split_terminator(' ').map(|spread| {
            let [from_m, to_m, force_n_per_m] = numbers(spread, ':')[..] else { panic!("{spread}") };
            Load::Spread { from_m, to_m, force_n_per_m }
        });
        let loads: Vec<Load> = points.chain(spreads).collect();
        let strip = Strip::over(&supports, &loads).expect("supported");
        for (force, expected) in strip.reactions_n.iter().zip(numbers(row[3], ' ')) {
            near(*force, expected, 1e-6, "reaction");
        }
        near(strip.greatest_moment().1.abs(), row[4].parse().expect("a number"), 1e-3, "moment");
        let deepest = strip.spans.iter().map(|span| span.greatest_deflection(stiffness).1).fold(0.0, f64::max);
        near(deepest * 1000.0, row[5].parse().expect("a number"), 1e-3, "deflection");
    }
}

#[test]
fn ceiling_joists_span_as_far_as_a_root_finder_lets_them() {
    for row in rows(include_str!("../oracle/timber_ceiling_joists.csv")) {
        let metres: Vec<f64> = row.iter().map(|cell| cell.parse::<f64>().expect("a number") / 1000.0).collect();
        let section = Section { breadth_m: metres[0], depth_m: metres[1] };
        near(reckoned_span_m(section, metres[2]), metres[3], 1e-6, "span");
    }
}

/// A joist of 47 × 145 mm under a cistern at its thirds, and plywood of 18 mm and E 4000 over one span and over three.
#[test]
fn the_worked_cases_are_those_of_frame_finite_elements() {
    let mut strips = vec![("joist".to_owned(), vec![0.0, 3.0], JOIST_LOADS.to_vec(), (0.047, 0.145, 8.0e9))];
    for span_m in [0.35, 0.4, 0.6] {
        for spans in [1_u32, 3] {
            let supports: Vec<f64> = (0..=spans).map(|number| span_m * f64::from(number)).collect();
            let even = Load::Spread { from_m: 0.0, to_m: span_m * f64::from(spans), force_n_per_m: 6000.0 };
            strips.push((format!("ply {span_m} {spans}"), supports, vec![even], (1.0, 0.018, 4.0e9)));
        }
    }
    let text = include_str!("../oracle/timber_worked.csv");
    let rows: Vec<Vec<&str>> = text.lines().skip(2).map(|row| row.split(',').collect()).collect();
    assert_eq!(rows.len(), strips.len());
    for (row, (name, supports, loads, (breadth_m, depth_m, stiffness_pa))) in rows.into_iter().zip(strips) {
        assert_eq!(row[0], name);
        let section = Section { breadth_m, depth_m };
        let stiffness = Stiffness { bending_n_m2: stiffness_pa * section.second_moment_m4(), shear_n: f64::INFINITY };
        let strip = Strip::over(&supports, &loads).expect("supported");
        for (force, expected) in strip.reactions_n.iter().zip(numbers(row[1], ' ')) {
            near(*force, expected, 1e-3, &name);
        }
        let moment = strip.greatest_moment().1.abs();
        near(moment, row[2].parse().expect("a number"), 1e-3, &name);
        near(strip.greatest_deflection(stiffness).1 * 1000.0, row[3].parse().expect("a number"), 1e-3, &name);
        near(moment / section.modulus_m3() / 1e6, row[4].parse().expect("a number"), 1e-3, &name);
    }
}

const JOIST_LOADS: [Load; 3] = [
    Load::Point { at_m: 1.0, force_n: 900.0 },
    Load::Point { at_m: 2.0, force_n: 900.0 },
    Load::Spread { from_m: 0.0, to_m: 3.0, force_n_per_m: 150.0 },
];

/// The same joist by the formulas of EN 1995-1-1: design moment, stress, strength, and the shares of both.
#[test]
fn design_values_of_the_joist_are_those_of_the_generator() {
    let text = include_str!("../oracle/timber_design.csv");
    let piece =
        Piece::timber(Section { breadth_m: 0.047, depth_m: 0.145 }, StrengthClass::C16, ServiceClass::Covered, HELPED);
    let loads = Loads { dead: vec![JOIST_LOADS[2]], water: vec![JOIST_LOADS[0], JOIST_LOADS[1]], storage: Vec::new() };
    let check = Check::of(piece, &[0.0, 3.0], &loads).expect("supported");
    let rows: Vec<Vec<&str>> = text.lines().skip(2).map(|row| row.split(',').collect()).collect();
    assert_eq!(rows.len(), LoadDuration::ALL.len());
    for (row, duration) in rows.into_iter().zip(LoadDuration::ALL) {
        assert_eq!(row[0], duration.words());
        let shares = check.shares(duration);
        let have = [
            shares.moment_n_m,
            shares.moment_n_m / piece.section.modulus_m3() / 1e6,
            piece.bending_design_pa(shares.under.duration) / 1e6,
            shares.bending.value,
            shares.shear.value,
        ];
        for (have, expected) in have.into_iter().zip(&row[1..]) {
            near(have, expected.parse().expect("a number"), 1e-3, row[0]);
        }
    }
}
