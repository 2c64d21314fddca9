//! What cases measure and what they are asked, worked by hand.

use loftwright::layout::DipTube;
use loftwright::measure::Have;
use loftwright::rules::{Verdict, Voice};
use loftwright::scene::written_out;
use loftwright::units::Unit;

use super::cases;
use super::none_of;

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
        // 2620 − 2400.
        ("feed-and-expansion-headroom-too-low/breach", 220.0, 225.0),
        // (2005 + 100) − (2000 + 100).
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
        // 1000 − 1020.
        ("cylinder-off-its-platform/breach", -20.0, 0.0),
        // 1100 − 1095.
        ("vent-falls/breach", 5.0, 0.0),
        // 645 − 400 / 2.
        ("vent-offset-too-short/breach", 445.0, 450.0),
        // 1005 along the pipe.
        ("cold-distribution-valve-too-far/breach", 1005.0, 1000.0),
        // 2450 − 2445.
        ("warning-pipe-rises/breach", 5.0, 0.0),
    ];
    check(&by_hand);
}

#[test]
fn measures_and_bounds_of_overflows_and_stores_are_those_worked_by_hand() {
    check(&[
        // 427.2 − (410.1 − 10.1); 2 × 13.6, the bore of 15 mm copper.
        ("air-gap-too-small/meets", 27.2, 27.2),
        // 440 − 400; 2 × 20.2, the bore of 22 mm copper.
        ("air-gap-too-small/breach", 40.0, 40.4),
        // 420 − 400; 2 × 8.8, the bore of 10 mm copper, is 17.6, and 20 is the least.
        ("air-gap-too-small/marginal", 20.0, 20.0),
        // The bore of 22 mm polybutylene.
        ("warning-pipe-too-narrow/breach", 17.7, 19.0),
        // Overflow plastic is no narrower than is asked.
        ("warning-pipe-too-narrow/meets", 19.0, 19.0),
        // 22 mm copper in, 22 mm copper out.
        ("warning-pipe-not-larger-than-inlet/breach", 20.2, 20.2),
        // 510.1 − 10.1 − 455.
        ("overflow-too-low-in-large-cistern/breach", 45.0, 50.0),
        ("side-outlet-too-low/breach", 20.0, 25.0),
        ("vent-too-narrow/breach", 15.0, 22.0),
        ("cold-feed-narrower-than-vent/breach", 15.0, 22.0),
        // 2545 − (2000 + 100).
        ("primary-vent-too-low/breach", 445.0, 450.0),
        // 351 − 200 along the flow.
        ("primary-feed-too-far-from-vent/breach", 151.0, 150.0),
        // 2599 + 100 − 2250.
        ("feed-and-expansion-too-low/breach", 449.0, 450.0),
        // (1500 + 1200) / 2 − (1055 + 300).
        ("boiler-above-coil/breach", -5.0, 0.0),
        // 1499 + 100 − 600.
        ("boiler-head-too-small/breach", 999.0, 1000.0),
        // 400 × 300 × (155.1 − 10.1) mm³ / 10⁶.
        ("expansion-cistern-too-small/breach", 17.4, 18.0),
        // 500 × 400 × (130.1 − 10.1 − 105) mm³ / 10⁶; 0.04 × 100 L.
        ("expansion-room-too-small/breach", 3.0, 4.0),
        // 9600 + 405 − 0; grade 3 bears 10 m.
        ("cylinder-head-too-great/breach", 10_005.0, 10_000.0),
        // 13005 − 1000; 12 m for tube of more than 12 and up to 22 mm.
        ("dead-leg-too-long/breach", 12_005.0, 12_000.0),
        // 3000 − 2005.
        ("shower-head-too-small/breach", 995.0, 1000.0),
        // 1000 × 500 × 400 mm³ / 10⁶ = 200 L; 200 / 160 × 24.
        ("cistern-turns-over-too-slowly/breach", 30.0, 24.0),
        ("store-too-cool/breach", 55.0, 60.0),
        ("bath-too-hot/breach", 50.0, 48.0),
        ("hot-tap-too-cool/breach", 45.0, 50.0),
        // 5445 − 5100; 150 + 40 × (5100 − 100) / 1000.
        ("gravity-primary-vent-too-low/breach", 345.0, 350.0),
        ("float-valve-service-valve-too-far/breach", 1005.0, 1000.0),
        // 500 − 510, the lesser side turned to the lesser.
        ("cistern-too-big-for-hatch/breach", -10.0, 0.0),
        ("primary-vent-too-narrow/breach", 15.0, 22.0),
        ("primary-feed-too-narrow/breach", 10.0, 15.0),
        // 22 mm copper: 1.8 m on the level, 2.4 m upright.
        // (260 + 16 + 1.3 × 0.8 × 0.018 × 600) kg × 9.80665 / (3 × 2).
        ("truss-node-overloaded/breach", 287.232 * 9.806_65 / 6.0, 450.0),
        // 1000 × 500 × 470 mm³ / 10⁶; 230 L over three.
        ("too-few-trusses/breach", 235.0, 230.0),
        // (190 + 32) kg × 9.80665 / 1000.
        ("cylinder-too-heavy-for-floor/breach", 2.177_076_3, 2.0),
        ("joist-span-too-long/breach", 1935.0, 1930.0),
        // 2011 − 2000; half of 20.2.
        ("pipe-holds-air/breach", 11.0, 10.1),
        ("clips-too-far-apart-level/breach", 1850.0, 1800.0),
        ("clips-too-far-apart-upright/breach", 2450.0, 2400.0),
    ]);
}

fn check(by_hand: &[(&str, f64, f64)]) {
    for &(name, have, need) in by_hand {
        let (found, asked) = have_and_need(name);
        assert!((found - have).abs() < 1e-9, "{name}: measured {found}, by hand {have}");
        assert!((asked - need).abs() < 1e-9, "{name}: asked {asked}, by hand {need}");
    }
}

/// Sums with the properties of water, worked by hand to five figures: densities 999.7025 and 983.1958 kg/m³.
#[test]
fn measures_of_running_water_are_those_worked_by_hand() {
    for (name, have, need) in [
        // Cold column 4400 − 1099, hot column 1099 to 2000, less 3700 − 2000 of cold; all as metres of cold water.
        ("mixer-heads-differ/breach", (3.301 - 983.1958 / 999.7025 * 0.901 - 1.7) * 1000.0, 500.0),
        // 200 L / (0.66 × π/4 × 3.18² mm² × √(2 × 40 000 / 999.7025) m/s) / 60.
        ("cistern-fills-too-slowly/breach", 71.086, 60.0),
    ] {
        let (found, asked) = have_and_need(name);
        assert!((found / have - 1.0).abs() < 1e-4, "{name}: measured {found}, by hand {have}");
        assert_eq!(asked, need, "{name}");
    }
}

/// Class II tape, k = 2. A level of 3270 mm: 0.3 + 0.2 × 4 = 1.1 mm, one of 3000: 0.3 + 0.2 × 3 = 0.9 mm, one of 0:
/// 0.3 mm, each read to 0.5 mm. Clear by 3270 − 3000 − (150 + 0.04 × (3000 − 0)), so that the line counts 1.04 times:
/// u² = ((1.1² + 0.5²) + 1.04² × (0.9² + 0.5²) + 0.04² × (0.3² + 0.5²)) / 3 = 0.869 013. U = 2 √0.869 013 = 1.864 42.
#[test]
fn the_margin_of_a_taped_vent_is_the_one_worked_by_hand() {
    let case = cases().into_iter().find(|case| case.name == "vent-too-low/marginal").expect("the case");
    let findings = case.findings();
    assert_eq!(findings[0].judged.verdict, Verdict::Marginal);
    assert!((findings[0].judged.margin - 1.864_42).abs() < 1e-4, "{}", findings[0].judged.margin);
}

/// Class II tape, k = 2. 500, 400, 130.1 and 100 mm: 0.3 + 0.2 × 1 = 0.5 mm each, read to 0.5 mm:
/// u² = (0.5² + 0.5²) / 3 = 0.166 667 each. The room is 500 × 400 × 20 mm³, and one plan bounds it above and below:
/// u² = ((400 × 20)² + (500 × 20)² + 2 × (500 × 400)²) × 0.166 667 = 1.336 067 × 10¹⁰ mm⁶, U = 2 × 0.115 588 L.
#[test]
fn the_margin_of_taped_room_for_expansion_is_the_one_worked_by_hand() {
    let case = cases().into_iter().find(|case| case.name == "expansion-room-too-small/marginal").expect("the case");
    let findings = case.findings();
    assert_eq!(findings[0].judged.verdict, Verdict::Marginal);
    assert!((findings[0].judged.margin - 0.231_177).abs() < 1e-6, "{}", findings[0].judged.margin);
}

/// Whether words hold a length with a minus before it.
fn has_length_below_nothing(words: &str) -> bool {
    let digits =
        |rest: &str| rest.trim_start_matches(|letter: char| letter.is_ascii_digit() || letter == '.').to_owned();
    words
        .split(" -")
        .skip(1)
        .any(|rest| rest.starts_with(|letter: char| letter.is_ascii_digit()) && digits(rest).starts_with(" mm"))
}

#[test]
fn a_distance_the_other_way_is_said_in_words_and_not_with_a_minus() {
    let mut found = 0;
    let mut complaints = Vec::new();
    for case in cases() {
        for finding in case.findings().iter() {
            let is_below = matches!(finding.reading.have, Have::Amount(value, Unit::Millimetre) if value.value < 0.0);
            found += usize::from(is_below && finding.judged.verdict == Verdict::Breach);
            if finding.judged.verdict == Verdict::Meets {
                continue;
            }
            // A mark of the trade sets figure against figure.
            let said = [written_out(finding, Voice::Plain), finding.words(Voice::Trade)].into_iter();
            complaints.extend(
                said.filter(|words| has_length_below_nothing(words)).map(|words| format!("{}: {words}", case.name)),
            );
        }
    }
    assert!(found > 3, "no case tells of a distance the other way");
    none_of(&complaints);
    let words = |name: &str| {
        let case = cases().into_iter().find(|case| case.name == name).unwrap_or_else(|| panic!("no case {name}"));
        let findings = case.findings();
        let finding = findings.iter().find(|finding| finding.judged.verdict == Verdict::Breach).expect("a breach");
        finding.words(Voice::Trade)
    };
    assert!(words("cold-feed-valve-too-low/breach").contains("its valve is 5 mm below the cylinder's top"));
    assert!(words("warning-pipe-dip-tube-too-short/breach").contains("against the water line: 5 mm above;"));
    assert!(words("platform-overhang-too-small/breach").contains("145 mm beyond the cistern's edge at the"));
}

#[test]
fn a_dip_tube_that_is_not_there_is_no_distance_from_the_water() {
    let mut case =
        cases().into_iter().find(|case| case.name == "warning-pipe-dip-tube-too-short/breach").expect("a case");
    case.layout.cisterns[0].dip_tube = Some(DipTube::Missing);
    let words = case.findings()[0].words(Voice::Trade);
    assert!(words.contains("against the water line: no dip tube; it should reach"), "{words}");
}
