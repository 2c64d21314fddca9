//! Running water of which something is not drawn or not reckoned: what is in doubt, and what is not.

use loftwright::geom::Point;
use loftwright::layout::{Edit, End, Id, Layout, apply};
use loftwright::measure::Have;
use loftwright::rules::Verdict;

use super::drawn_from::layout;
use super::judged::{findings, of_rule, verdicts};
use super::odd_vents::sound;

fn without(part: &str) -> Layout {
    apply(&sound(&[]), &Edit::Remove(Id::of(part))).expect("it can be removed")
}

/// The sound example with a shower by gravity, hot off the draw-off and cold off the distribution, and a pump in its hot
/// branch.
fn with_pumped_shower() -> Layout {
    sound(&[
        ("outlets: [", "outlets: [(id: \"shower\", kind: Shower, at: (2600, 3300)),"),
        (
            "runs: [",
            r#"runs: [
                (id: "shower-hot", service: HotDistribution, material: Copper, size: 15, from: Tee("draw-off", 3000),
                    via: [(3800, 3300)], to: Port("shower", "hot"), fittings: [(kind: Pump, at: 500)], insulation: []),
                (id: "shower-cold", service: ColdDistribution, material: Copper, size: 15, from: Tee("cold-distribution", 2000),
                    to: Port("shower", "cold"), fittings: [], insulation: []),"#,
        ),
    ])
}

#[test]
fn hot_water_that_no_drawn_feed_pushes_is_unknown_and_not_starved() {
    for tap in ["bath", "basin"] {
        let found = findings(&without("cold-feed"), "outlet-starved", tap);
        let hot = found.iter().find(|finding| finding.reading.side.is_some_and(|side| side.contains("hot")));
        let hot = hot.expect("the hot tap is asked");
        assert_eq!(hot.judged.verdict, Verdict::Unknown, "{tap}");
        assert!(hot.remedies()[0].starts_with("Draw the cold feed"), "{:?}", hot.remedies());
    }
}

#[test]
fn air_in_a_draw_off_hangs_on_the_vent_that_is_not_drawn() {
    let mut layout = without("open-vent");
    // There is none for certain, and that is the fault.
    assert_eq!(verdicts(&layout, "pipe-holds-air", "draw-off"), []);
    // Elsewhere nothing hangs on it.
    assert_eq!(verdicts(&layout, "pipe-holds-air", "cold-feed"), [Verdict::Meets]);
    let draw_off = layout.runs.iter_mut().find(|run| run.id.as_str() == "draw-off").expect("a draw-off");
    draw_off.to = End::Onward(Point::mm(1660.0, 2600.0));
    assert_eq!(verdicts(&layout, "pipe-holds-air", "draw-off"), [Verdict::Unknown]);
}

#[test]
fn a_pump_in_a_branch_leaves_the_other_taps_as_they_are_while_its_own_is_shut() {
    let (pumped, plain) = (with_pumped_shower(), sound(&[]));
    for tap in ["bath", "basin"] {
        let both = [&pumped, &plain].map(|layout| verdicts(layout, "outlet-starved", tap));
        assert_eq!(both[0], both[1], "{tap}");
    }
    // What the pump takes past the vent nobody knows.
    assert_eq!(verdicts(&pumped, "vent-draws-air", "open-vent"), [Verdict::Unknown]);
    assert_eq!(verdicts(&pumped, "outlet-starved", "shower"), [Verdict::Unknown]);
    let heads = &findings(&pumped, "mixer-heads-differ", "shower")[0];
    assert_eq!(heads.judged.verdict, Verdict::Unknown);
    // Every water line is told, and not asked for.
    assert!(heads.remedies()[0].contains("pump in shower hot"), "{:?}", heads.remedies());
}

#[test]
fn how_far_a_vent_is_full_hangs_on_the_water_line() {
    let untold = sound(&[("            water_line: 410,\n", "")]);
    assert_eq!(verdicts(&untold, "one-pipe-circulation", "cylinder"), [Verdict::Unknown]);
}

#[test]
fn a_vent_that_ends_below_the_loft_does_not_freeze_in_it() {
    // The water stands at 5688; the loft above a ceiling at 5700 has none of it.
    let layout = sound(&[("ceiling: (underside: 5000", "ceiling: (underside: 5700")]);
    assert_eq!(verdicts(&layout, "loft-pipe-freezes-too-soon", "open-vent"), []);
}

#[test]
fn a_pipe_is_judged_by_what_its_taps_are_likely_to_draw_together() {
    // Four baths on one 15 mm pipe, 13.6 mm wide inside: 4 × 10 loading units likely draw far more than one of them alone.
    let baths: Vec<String> =
        (0..4).map(|n| format!(r#"(id: "bath-{n}", kind: Bath, at: ({}, 300))"#, 1600 + 400 * n)).collect();
    let branches: Vec<String> = (0..4)
        .map(|n| {
            format!(
                r#"(id: "branch-{n}", service: ColdDistribution, material: Copper, size: 22, from: Tee("pipe", {}),
                    to: Port("bath-{n}", "cold"), fittings: [], insulation: [])"#,
                7000 + n
            )
        })
        .collect();
    let text = format!(
        r#"cisterns: [(id: "cistern", role: Storage, at: (0, 7000), length: 1000, width: 500, height: 500, water_line: 400,
            connections: [(port: "cold", on: Right(50))])],
        outlets: [{}],
        runs: [
            (id: "pipe", service: ColdDistribution, material: Copper, size: 15, from: Port("cistern", "cold"),
                via: [(1200, 7050)], to: Open((1200, 200)), fittings: [], insulation: []),
            {}
        ]"#,
        baths.join(", "),
        branches.join(", ")
    );
    let layout = layout(&text);
    let found = &findings(&layout, "pipe-too-fast", "pipe")[0];
    assert_eq!(found.judged.verdict, Verdict::Breach, "{:?}", found.reading.working);
    assert!(found.working()[0].contains("likely at one time"), "{:?}", found.working());
}

#[test]
fn the_main_fills_a_cistern_with_what_its_height_leaves_of_the_pressure() {
    // The valve lets out at 5788, the main comes in at 300: 5.488 m take 53.8 kPa. Of 100 kPa 46.2 are left, and through the
    // 3.18 mm seat run 0.66 a √(2 Δp / ρ) = 0.0504 L/s: 228.6 L take 75.6 min.
    let at = |kpa: u32| sound(&[("mains_pressure: 300", &format!("mains_pressure: {kpa}"))]);
    let filling = |kpa: u32| of_rule(&at(kpa), "cistern-fills-too-slowly").remove(0);
    let Have::Amount(minutes, _) = filling(100).reading.have else { panic!("it fills") };
    let area_m2 = std::f64::consts::FRAC_PI_4 * 3.2e-3 * 3.2e-3;
    let left_pa: f64 = 100e3 - 5.488 * 999.7 * 9.806_65;
    let by_hand = 228.6e-3 / (0.66 * area_m2 * (2.0 * left_pa / 999.7).sqrt()) / 60.0;
    assert!((minutes.value / by_hand - 1.0).abs() < 2e-3, "{} min, by hand {by_hand}", minutes.value);
    assert_eq!(filling(100).judged.verdict, Verdict::Breach);
    assert_eq!(filling(300).judged.verdict, Verdict::Meets);
    // Of 50 kPa nothing is left, which is a fault by itself.
    assert!(of_rule(&at(50), "cistern-fills-too-slowly").is_empty());
    let reach = |kpa: u32| of_rule(&at(kpa), "main-does-not-reach").remove(0);
    assert_eq!((reach(50).judged.verdict, reach(100).judged.verdict), (Verdict::Breach, Verdict::Meets));
}

#[test]
fn water_leaves_by_the_holes_that_it_covers() {
    let rule = "water-line-below-outlet";
    // The water of the sound example stands at 410; its cold feed leaves at 80 and its cold water at 50.
    let over = |layout: &Layout| -> Vec<(f64, Verdict)> {
        let found = of_rule(layout, rule).into_iter();
        let amount = |have: &Have| match have {
            Have::Amount(mm, _) => mm.value,
            _ => f64::NAN,
        };
        found.map(|finding| (amount(&finding.reading.have), finding.judged.verdict)).collect()
    };
    assert!(over(&sound(&[])).iter().all(|(mm, verdict)| *mm > 0.0 && *verdict == Verdict::Meets));
    // Alone, a cistern whose water stands at 100 has nothing for a hole at 150. Linked with one whose water stands 200
    // higher it has 150 more than that.
    let text = |link: &str| {
        format!(
            r#"cisterns: [
                (id: "cistern", role: Storage, at: (0, 4000), length: 1000, height: 500, water_line: 100,
                    connections: [(port: "cold", on: Right(150)), (port: "link", on: Left(60))]),
                (id: "other", role: Storage, at: (-2000, 4000), length: 1000, height: 500, water_line: 300,
                    connections: [(port: "link", on: Right(60))])],
            runs: [
                {link}
                (id: "cold", service: ColdDistribution, from: Port("cistern", "cold"), to: Open((2000, 1000)))]"#
        )
    };
    let link = r#"(id: "link", service: Link, from: Port("cistern", "link"), to: Port("other", "link")),"#;
    assert_eq!(over(&layout(&text(""))), [(-50.0, Verdict::Breach)]);
    assert_eq!(over(&layout(&text(link))), [(150.0, Verdict::Meets)]);
}

#[test]
fn a_tap_is_dry_where_the_water_of_its_cistern_stands_below_the_hole() {
    // The hole of the cold feed is at 80, that of the cold water at 50.
    let at = |line: &str| sound(&[("            water_line: 410,\n", line)]);
    let taps = |line: &str| {
        let found = of_rule(&at(line), "outlet-starved").into_iter();
        found.map(|finding| (finding.reading.side.expect("a side"), finding.judged.verdict)).collect::<Vec<_>>()
    };
    let of = |line: &str, side: &str| -> Vec<Verdict> {
        taps(line).into_iter().filter(|(tap, _)| *tap == side).map(|(_, verdict)| verdict).collect()
    };
    let line = "            water_line: 60,\n";
    let hot = of(line, "hot tap");
    assert!(!hot.is_empty() && hot.iter().all(|verdict| *verdict == Verdict::Breach), "{:?}", taps(line));
    let found = findings(&at(line), "outlet-starved", "bath");
    let dry = found.iter().find(|finding| finding.reading.side == Some("hot tap")).expect("asked");
    assert_eq!(
        dry.reading.have,
        Have::No("no water: it stands no higher than the hole by which it should leave the cistern")
    );
    assert_eq!(dry.remedies(), ["Raise the water line, or lower the hole by which the water leaves"]);
    // Where nobody has told the water line, nobody knows.
    assert!(of("", "hot tap").iter().all(|verdict| *verdict == Verdict::Unknown));
    // A tap to which no way from a cistern is drawn stays unknown, whatever stands in the cistern.
    let apart = loftwright::layout::apply(&at(line), &Edit::Remove(Id::of("cold-feed"))).expect("it can be removed");
    let found = findings(&apart, "outlet-starved", "bath");
    let hot = found.iter().find(|finding| finding.reading.side == Some("hot tap")).expect("asked");
    assert_eq!(hot.judged.verdict, Verdict::Unknown);
}

#[test]
fn water_stands_no_higher_than_the_rim_whatever_line_is_told() {
    // The rim is 584 above the base.
    let at = |line: u32| sound(&[("water_line: 410", &format!("water_line: {line}"))]);
    let amount = |line: u32, rule: &str| match of_rule(&at(line), rule).remove(0).reading {
        loftwright::measure::Reading { have: Have::Amount(have, _), against, .. } => {
            (have.value, against.map(|against| against.value))
        }
        other => panic!("{rule}: {other:?}"),
    };
    for rule in ["vent-too-low", "cylinder-head-too-great", "water-line-below-outlet"] {
        assert_eq!(amount(700, rule), amount(584, rule), "{rule}");
        assert_ne!(amount(580, rule), amount(584, rule), "{rule}");
    }
    // By how much the float has to be set lower, hangs on where it is set.
    let (told, rim) = (amount(700, "water-line-too-near-overflow").0, amount(584, "water-line-too-near-overflow").0);
    assert!((rim - told - 116.0).abs() < 1e-6, "{rim} − {told}");
}

#[test]
fn linked_cisterns_fill_as_one_water() {
    // Each holds 1.0 × 0.5 × 0.4 m = 200 L. Through the 3.2 mm seat at 300 − 4.5 × 9.804 = 255.9 kPa run
    // 0.66 a √(2 Δp / ρ) = 0.1201 L/s: one takes 27.8 min, two through one valve twice as long, through two as long.
    let valve = "float_valve: (shank: Left(450), outlet: 500, seat: 3.2),";
    let text = |second: &str, run: &str| {
        format!(
            r#"building: (mains_pressure: 300),
            cisterns: [
                (id: "cistern", role: Storage, at: (0, 4000), length: 1000, width: 500, height: 500, water_line: 400, {valve}
                    connections: [(port: "link", on: Right(60)), (port: "cold", on: Base(500))]),
                (id: "other", role: Storage, at: (2000, 4000), length: 1000, width: 500, height: 500, {second}
                    connections: [(port: "link", on: Left(60))])],
            runs: [
                (id: "main", service: RisingMain, from: Onward((-100, 0)), to: Port("cistern", "inlet")),
                {run}
                (id: "cold", service: ColdDistribution, from: Port("cistern", "cold"), to: Open((500, 1000)))]"#
        )
    };
    let link = r#"(id: "link", service: Link, from: Port("cistern", "link"), to: Port("other", "link")),"#;
    let minutes = |second: &str, run: &str| -> Vec<(usize, f64)> {
        let layout = layout(&text(second, run));
        let found = of_rule(&layout, "cistern-fills-too-slowly").into_iter();
        let amount = |have: &Have| match have {
            Have::Amount(time, _) => time.value,
            other => panic!("{other:?}"),
        };
        found.map(|finding| (finding.reading.subjects, amount(&finding.reading.have))).collect()
    };
    let area_m2 = std::f64::consts::FRAC_PI_4 * 3.2e-3 * 3.2e-3;
    let left_pa: f64 = 300e3 - 4.5 * 999.7 * 9.806_65;
    let one_min = 0.2 / (0.66 * area_m2 * (2.0 * left_pa / 999.7).sqrt()) / 60.0;
    let is = |found: &[(usize, f64)], subjects: usize, times: f64| {
        assert_eq!(found.len(), 1, "{found:?}");
        assert_eq!(found[0].0, subjects);
        assert!((found[0].1 / (times * one_min) - 1.0).abs() < 2e-3, "{found:?}, one alone {one_min}");
    };
    is(&minutes("", ""), 1, 1.0);
    is(&minutes("", link), 2, 2.0);
    is(&minutes("water_line: 400,", link), 2, 2.0);
    is(&minutes(&format!("water_line: 400, {valve}"), link), 2, 1.0);
    // The other stands 100 lower: its water comes up to 500 there, which is its rim.
    let lower = text("", link).replace("at: (2000, 4000)", "at: (2000, 3900)");
    let found = of_rule(&layout(&lower), "cistern-fills-too-slowly");
    let Have::Amount(time, _) = found[0].reading.have else { panic!("it fills") };
    assert!((time.value / (2.25 * one_min) - 1.0).abs() < 2e-3, "{}", time.value);
}
