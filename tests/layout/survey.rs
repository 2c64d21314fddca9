//! Surveys: what a tape has found becomes a layout, and what it has not found stays unknown.

use loftwright::finding::Findings;
use loftwright::layout::{Survey, TapeClass};
use loftwright::measure::Site;
use loftwright::outset::{FOUND, Found, FoundField, surveyed};
use loftwright::rules::Verdict;

/// A whole survey, in the order of the form.
const WHOLE: [f64; 27] = [
    2600.0, 100.0, 900.0, 450.0, 500.0, 2400.0, 750.0, 600.0, 160.0, 47.0, 147.0, 400.0, 3.0, 118.0, 1240.0, 960.0,
    914.0, 610.0, 584.0, 410.0, 450.0, 500.0, 80.0, 50.0, 700.0, 800.0, 140.0,
];

fn found(tells: impl Fn(usize) -> bool) -> Found {
    let told = FOUND.iter().zip(WHOLE).enumerate().filter(|(number, _)| tells(*number));
    told.fold(Found::by(TapeClass::II), |found, (_, (asked, mm))| found.with(asked.field, mm))
}

#[test]
fn every_thing_to_measure_is_asked_once() {
    assert_eq!(FOUND.len(), WHOLE.len());
    for (number, asked) in FOUND.iter().enumerate() {
        assert!(FOUND[..number].iter().all(|other| other.field != asked.field && other.name != asked.name));
    }
}

#[test]
fn a_whole_survey_is_judged_by_its_numbers_and_leaves_the_rest_unknown() {
    let (layout, left_out) = surveyed(&found(|_| true));
    assert!(left_out.is_empty(), "{left_out:?}");
    assert_eq!(layout.survey, Survey::Surveyed(TapeClass::II));
    let findings = Findings::of(&Site::of(&layout));
    let verdict = |rule: &str| findings.iter().find(|finding| finding.rule.id == rule).map(|f| f.judged.verdict);
    // Mouth 584 + 140 − 410 = 314 over the water line; asked 150 + 40 × 2.988 = 270.
    assert_eq!(verdict("vent-too-low"), Some(Verdict::Meets));
    assert_eq!(verdict("headroom-too-low-at-float-valve"), Some(Verdict::Meets));
    assert_eq!(verdict("cylinder-too-near-cistern"), Some(Verdict::Meets));
    assert_eq!(verdict("cistern-lid-not-tight"), Some(Verdict::Unknown));
    assert_eq!(verdict("cold-feed-without-valve"), Some(Verdict::Unknown));
    assert_eq!(verdict("cylinder-heating-unknown"), Some(Verdict::Unknown));
}

#[test]
fn without_a_level_on_the_way_up_the_cistern_is_left_out_and_that_is_said() {
    let (layout, left_out) = surveyed(&found(|number| FOUND[number].field != FoundField::JoistTop));
    assert!(layout.cisterns.is_empty());
    assert!(left_out[0].contains("cistern is left out"), "{left_out:?}");
}

/// Whatever is left empty, the layout holds together and can be judged; each single thing missing is tried, and many more.
#[test]
fn whatever_is_left_empty_the_layout_holds_together() {
    let check = |found: &Found| {
        let (layout, _) = surveyed(found);
        assert!(layout.broken_references().is_empty(), "{found:?}");
        let text = loftwright::file::write_text(&layout);
        assert_eq!(loftwright::file::parse(&text, "survey").expect("reads again"), layout);
        Findings::of(&Site::of(&layout)).counts()
    };
    for missing in 0..FOUND.len() {
        check(&found(|number| number != missing));
    }
    let mut bits = 0x9E37_79B9_u32;
    for _ in 0..200 {
        bits = bits.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        check(&found(|number| (bits >> (number % 32)) & 1 == 1));
    }
}
