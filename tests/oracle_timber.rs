//! Beams, strips and ceiling joists against reference libraries: `tests/oracle/generate_timber.py` writes the fixtures
//! and names each library and its version on the first line.

use loftwright::timber::{Load, Section, Stiffness, Strip, reckoned_span_m};

fn rows(text: &str) -> Vec<Vec<&str>> {
    let rows: Vec<Vec<&str>> =
        text.lines().filter(|line| !line.starts_with('#')).skip(1).map(|row| row.split(',').collect()).collect();
    assert!(rows.len() > 25, "the fixture is too short to prove anything");
    rows
}

fn numbers(text: &str, between: char) -> Vec<f64> {
    text.split(between).map(|number| number.parse().expect("a number")).collect()
}

fn near(have: f64, expected: f64, relative: f64, what: &str) {
    assert!((have - expected).abs() <= relative * expected.abs(), "{what}: {have}, expected {expected}");
}

/// 47 × 145 mm, E 8000 and no shear, as the frame was solved.
#[test]
fn beams_over_many_supports_are_those_of_frame_finite_elements() {
    let section = Section { breadth_m: 0.047, depth_m: 0.145 };
    let stiffness = Stiffness { bending_n_m2: 8.0e9 * section.second_moment_m4(), shear_n: f64::INFINITY };
    for row in rows(include_str!("oracle/timber_beams.csv")) {
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
    for row in rows(include_str!("oracle/timber_ceiling_joists.csv")) {
        let metres: Vec<f64> = row.iter().map(|cell| cell.parse::<f64>().expect("a number") / 1000.0).collect();
        let section = Section { breadth_m: metres[0], depth_m: metres[1] };
        near(reckoned_span_m(section, metres[2]), metres[3], 1e-6, "span");
    }
}
