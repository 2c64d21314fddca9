//! What cases measure and what they are asked, worked by hand.

use loftwright::measure::Have;
use loftwright::rules::Verdict;

use super::cases;

/// The number of the heaviest finding of a case, and the bound that it was held against.
fn have_and_need(name: &str) -> (f64, f64) {
    let case = cases().into_iter().find(|case| case.name == name).unwrap_or_else(|| panic!("no case {name}"));
    let findings = case.findings();
    let finding = findings.iter().min_by_key(|finding| finding.judged.verdict).expect("a finding");
    let Have::Amount(value, _) = finding.reading.have else { panic!("{name}: no number") };
    (value.value, finding.judged.need.expect("a bound").value)
}

#[test]
fn measures_and_bounds_are_those_worked_by_hand() {
    // Tube of 22 mm copper has a bore of 20.2: inverts lie 10.1 below the centre of the connection.
    let by_hand = [
        // 1000 × 500 × 450 mm³ / 10⁶ = 225 L.
        ("storage-too-small-for-taps/breach", 225.0, 227.0),
        // 1000 × 500 × 230 mm³ / 10⁶ = 115 L; the cylinder holds 117.
        ("storage-less-than-cylinder/breach", 115.0, 117.0),
        // The roof rises from 2695 at −1000 by 150 in each 1000: 2845 at 0. 2845 − (2000 + 500).
        ("headroom-too-low-at-float-valve/breach", 345.0, 350.0),
        // The same roof is at 2995 over 1000. 2995 − 2500.
        ("headroom-too-low-opposite/breach", 495.0, 500.0),
        // 2005 − 2000.
        ("feed-and-expansion-too-high/breach", 5.0, 0.0),
        // 410 − 415.
        ("warning-pipe-dip-tube-too-short/breach", -5.0, 0.0),
        // 445.1 − 10.1 − 413.
        ("water-line-too-near-overflow/breach", 22.0, 25.0),
        // 455 − (445.1 − 10.1).
        ("float-valve-too-near-overflow/breach", 20.0, 25.0),
        // 70 − 50.
        ("cold-feed-too-low/breach", 20.0, 25.0),
        // 0 − (−145).
        ("platform-overhang-too-small/breach", 145.0, 150.0),
        // Joists at 0, 355 and 710.
        ("joists-too-far-apart/breach", 355.0, 350.0),
        // 1000 × 500 × 600 mm³ = 300 L = 300 kg; 300 + 16.
        ("platform-overloaded/breach", 316.0, 310.0),
        // 1990 − 1000.
        ("cylinder-too-near-cistern/breach", 990.0, 1000.0),
        // 250 along the level, the rest down from 2050: 2050 − (1305 − 250) = 995; 995 − 1000.
        ("cold-feed-valve-too-low/breach", -5.0, 0.0),
        // 2050 − (2035 − 250) = 265; the cold inlet is at 0.11 × 1000 = 110; 265 − 110.
        ("cold-feed-without-drain/breach", 155.0, 150.0),
        // Lagged from 0 to 990 of the first 1000.
        ("cylinder-pipe-uninsulated/breach", 990.0, 1000.0),
        // 3269 − (2600 + 400); 150 + 40 × (3000 − 0) / 1000.
        ("vent-too-low/breach", 269.0, 270.0),
        // 3100 − (2600 + 460); 2 × 22.
        ("vent-mouth-too-near/breach", 40.0, 44.0),
        // 1100 − 1095.
        ("vent-falls/breach", 5.0, 0.0),
        // 645 − 400 / 2.
        ("vent-offset-too-short/breach", 445.0, 450.0),
        // 1005 along the pipe.
        ("cold-distribution-valve-too-far/breach", 1005.0, 1000.0),
        // 2450 − 2445.
        ("warning-pipe-rises/breach", 5.0, 0.0),
    ];
    for (name, have, need) in by_hand {
        let (found, asked) = have_and_need(name);
        assert!((found - have).abs() < 1e-9, "{name}: measured {found}, by hand {have}");
        assert!((asked - need).abs() < 1e-9, "{name}: asked {asked}, by hand {need}");
    }
}

/// Class II tape, k = 2. A level of 3270 mm: 0.3 + 0.2 × 4 = 1.1 mm, one of 3000: 0.3 + 0.2 × 3 = 0.9 mm, one of 0:
/// 0.3 mm, each read to 0.5 mm. have: u² = (1.1² + 0.9² + 2 × 0.5²) / 3 = 0.84. need: 0.04² × (0.9² + 0.3² +
/// 2 × 0.5²) / 3 = 0.000 747. U = 2 √0.840 747 = 1.833 84.
#[test]
fn the_margin_of_a_taped_vent_is_the_one_worked_by_hand() {
    let case = cases().into_iter().find(|case| case.name == "vent-too-low/marginal").expect("the case");
    let findings = case.findings();
    assert_eq!(findings[0].judged.verdict, Verdict::Marginal);
    assert!((findings[0].judged.margin - 1.833_84).abs() < 1e-4, "{}", findings[0].judged.margin);
}
