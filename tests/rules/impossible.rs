//! Figures that cannot be: asked about, and never played with.

use loftwright::finding::Findings;
use loftwright::heat::heat_up;
use loftwright::layout::Layout;
use loftwright::measure::Site;
use loftwright::rules::Verdict;
use loftwright::units::{Length, Size};
use loftwright::water::circuit::Circuit;

use super::odd_vents::sound;

/// What the cylinder's heating has to ask, and what the rules of a cistern's water ask.
fn asked(layout: &Layout) -> (String, Vec<String>) {
    let site = Site::of(layout);
    let trial = heat_up(&Circuit::of(&site), &layout.cylinders[0]).expect_err("it cannot be played");
    let findings = Findings::of(&site);
    let unknown = findings.iter().filter(|finding| finding.judged.verdict == Verdict::Unknown);
    (trial, unknown.flat_map(|finding| finding.remedies()).collect())
}

#[test]
fn a_water_line_below_the_base_is_measured_again() {
    let mut layout = sound(&[]);
    layout.cisterns[0].water_line = Some(Length::mm(-50.0));
    let (trial, unknown) = asked(&layout);
    assert!(trial.contains("water line"), "{trial}");
    assert!(unknown.iter().any(|words| words.contains("again: at -50 mm it lies below the base")), "{unknown:?}");
}

#[test]
fn sides_that_meet_above_the_base_are_measured_again() {
    let mut layout = sound(&[]);
    for stated in [true, false] {
        let cistern = &mut layout.cisterns[0];
        cistern.draft = Length::mm(400.0);
        cistern.width = Some(Size::mm(610.0));
        if !stated {
            (cistern.rim_volume, cistern.water_volume) = (None, None);
        }
        let (trial, unknown) = asked(&layout);
        assert!(trial.contains("lean in again"), "{trial}");
        assert!(unknown.iter().any(|words| words.contains("lean in again")), "{unknown:?}");
    }
}
