//! What the drawing says of heat: figures worked out by hand for an example, and what is unknown when something is untold.

use loftwright::finding::Findings;
use loftwright::geom::Point;
use loftwright::heat::{Condition, Heater, Moment, Reckoned, Warmth, cooling_curve, loft_floor_mm, readings};
use loftwright::layout::{Climate, End, Id, Layout};
use loftwright::measure::{Beneath, Have, Site};
use loftwright::rules::Verdict;
use loftwright::scene::{self, Ink, Marks, PenWidth, Shape};
use loftwright::units::{Duration, Length, Level, Temperature, Unit};

use super::example::example;
use super::near::near;

fn told<T: Clone>(outcome: &Result<Reckoned<T>, String>) -> T {
    let reckoned = outcome.as_ref().expect("reckoned");
    assert_eq!(reckoned.assumed, [], "all is told in this example");
    reckoned.value.clone()
}

fn celsius(value: f64) -> Option<Temperature> {
    Temperature::try_celsius(value).ok()
}

/// The cistern is 914 × 610 mm, filled to 410 mm, in 80 mm of mineral wool (λ 0.040) with a tight lid and nothing below.
/// By hand: top 0.5575/(1/9 + 2 + 0.16), sides 1.2497/(1/9 + 2), together 0.83745 W/K to the loft;
/// base 0.5575/(0.018/0.13 + 0.16 + 0.0125/0.21 + 0.10) = 1.21738 W/K to the room.
#[test]
fn the_cistern_exchanges_what_its_faces_let_through() {
    let layout = example("sound_indirect");
    let warmth = Warmth::of(&Site::of(&layout));
    let summer = told(&warmth.cisterns[0].summer);
    near(summer.day.to_loft_w_k, 0.837_45, 1e-4, "to the loft");
    near(summer.day.to_room_w_k, 1.217_38, 1e-4, "to the room");
    let litres = 0.914 * 0.610 * 410.0;
    near(summer.day.capacity_j_k, litres * 4187.0, 1e-9, "capacity");
    assert!(summer.peak_c < 20.0 && summer.warm_h == 0.0);
    // Between loft at −6 and room at 20 °C, weighted by the two conductances, the water tends to 9.4 °C.
    let frost = told(&warmth.cisterns[0].frost);
    near(frost.tends_to_c, (1.217_38 * 20.0 - 0.837_45 * 6.0) / (1.217_38 + 0.837_45), 1e-4, "tends to");
    assert_eq!(frost.to_freezing_h, None);
    near(warmth.cisterns[0].turned_over_days.expect("told"), litres / 300.0, 1e-9, "days");
}

/// The same cistern with loft insulation beneath: base 0.5575/(0.018/0.13 + 1/9) to the loft as well, none to the room. So it
/// tends to the −6 °C of the loft, and from 0 °C on half of it takes 0.5 × 334 kJ/kg (heat of fusion of ice, handbook
/// figure, from memory) to freeze.
#[test]
fn a_cistern_cut_off_from_the_room_freezes_with_the_loft() {
    let mut layout = example("sound_indirect");
    layout.cisterns[0].loft_insulation_below = Some(true);
    let warmth = Warmth::of(&Site::of(&layout));
    let to_loft_w_k = 0.837_45 + 0.914 * 0.610 / (0.018 / 0.13 + 1.0 / 9.0);
    near(told(&warmth.cisterns[0].summer).day.to_loft_w_k, to_loft_w_k, 1e-4, "to the loft");
    let frost = told(&warmth.cisterns[0].frost);
    near(frost.tends_to_c, -6.0, 1e-9, "tends to");
    let freezing_h = frost.to_half_ice_h.expect("it freezes") - frost.to_freezing_h.expect("it gets to 0 °C");
    let litres = 0.914 * 0.610 * 410.0;
    near(freezing_h, 0.5 * litres * 334_000.0 / (to_loft_w_k * 6.0) / 3600.0, 1e-3, "from 0 °C to half ice");
}

/// 22 mm in 25 mm of polyethylene foam (λ 0.038) from 60 to 20 °C loses 7.3301 W/m, bare 27.6460 W/m.
#[test]
fn the_draw_off_loses_by_its_lagging() {
    let layout = example("sound_indirect");
    let site = Site::of(&layout);
    let warmth = Warmth::of(&site);
    let pipe = warmth.hot_pipes.iter().find(|pipe| pipe.id == Id::of("draw-off")).expect("there");
    let loss = told(&pipe.loss);
    let length_m = site.line(pipe.run).expect("drawn").length() / 1000.0;
    let expected_w = 4.3 * 7.330_1 + (length_m - 4.3) * 27.646_0;
    near(loss.whole_w, expected_w, 1e-4, "the whole run");
    near(loss.bare_w, length_m * 27.646_0, 1e-4, "the whole run, bare");
    let (from_mm, to_mm, first_w) = loss.first_metre.expect("it is on the cylinder");
    assert_eq!((from_mm, to_mm), (0.0, 1000.0));
    near(first_w, 7.330_1, 1e-4, "its first metre");
    near(loss.worst().expect("stretches").1, 27.646_0, 1e-4, "its worst stretch");
}

/// A coil of 300 W/K with 0.25 kg/s at 75 °C behind a boiler of 15 kW: heat balance stepped by hand in tenths of a second.
#[test]
fn the_cylinder_is_heated_by_coil_and_boiler() {
    let layout = example("sound_indirect");
    let warmth = Warmth::of(&Site::of(&layout));
    let cylinder = &warmth.cylinders[0];
    assert_eq!(cylinder.reheats.len(), 1);
    assert_eq!(cylinder.reheats[0].by, Heater::Coil);
    let flow_w_k = 0.25 * 4187.0;
    let gain_w_k = flow_w_k * (1.0 - (-300.0_f64 / flow_w_k).exp());
    let (mut celsius, mut seconds) = (7.0, 0.0);
    while celsius < 60.0 {
        let power_w = (gain_w_k * (75.0 - celsius)).min(15_000.0) - 62.0 / 45.0 * (celsius - 20.0);
        celsius += power_w / (117.0 * 4187.0) * 0.1;
        seconds += 0.1;
    }
    near(told(&cylinder.reheats[0].hours).expect("it gets there"), seconds / 3600.0, 1e-3, "hours");
    let standing = told(&cylinder.standing);
    assert_eq!(standing.loss_w, 62.0);
    near(standing.greatest_w, 68.04, 1e-3, "1.633 kWh in 24 h for 117 L");
}

/// The same boiler with a second cylinder on its flow: 7.5 kW for each while both are cold.
#[test]
fn two_cylinders_on_one_boiler_share_what_it_gives() {
    let mut layout = example("sound_indirect");
    let mut second = layout.cylinders[0].clone();
    second.id = Id::of("second");
    layout.cylinders.push(second);
    let flow = layout.runs.iter().find(|run| run.id == Id::of("primary-flow")).expect("the flow");
    let mut branch = flow.clone();
    branch.id = Id::of("second-flow");
    branch.from = End::Tee(Id::of("primary-flow"), Length::mm(100.0));
    branch.to = End::Port(Id::of("second"), Id::of("coil-flow"));
    layout.runs.push(branch);
    let warmth = Warmth::of(&Site::of(&layout));
    let flow_w_k = 0.25 * 4187.0;
    let gain_w_k = flow_w_k * (1.0 - (-300.0_f64 / flow_w_k).exp());
    let (mut celsius, mut seconds) = (7.0, 0.0);
    while celsius < 60.0 {
        let power_w = (gain_w_k * (75.0 - celsius)).min(7_500.0) - 62.0 / 45.0 * (celsius - 20.0);
        celsius += power_w / (117.0 * 4187.0) * 0.1;
        seconds += 0.1;
    }
    for cylinder in &warmth.cylinders {
        near(told(&cylinder.reheats[0].hours).expect("it gets there"), seconds / 3600.0, 1e-3, "hours");
        assert_eq!(cylinder.reheats[0].shared_by, 2);
    }
}

#[test]
fn vent_and_feed_lie_between_their_bounds() {
    let layout = example("sound_indirect");
    let warmth = Warmth::of(&Site::of(&layout));
    for range in [told(&warmth.cylinders[0].vent), told(&warmth.cylinders[0].feed)] {
        assert!(range.stagnant_w > 0.0 && range.stagnant_w < range.circulating_w);
        // Lagged throughout, so that a metre loses the same everywhere.
        near(range.circulating_w, range.length_m * 7.330_1, 1e-4, "hot throughout");
    }
}

#[test]
fn a_pipe_freezes_first_where_it_is_bare() {
    let mut layout = example("sound_indirect");
    let number = layout.runs.iter().position(|run| run.id == Id::of("rising-main")).expect("there");
    let lagged_h = half_ice_h(&layout, "rising-main");
    let lagging = layout.runs[number].insulation.as_mut().expect("told");
    lagging[0].to = loftwright::units::Length::mm(5100.0);
    assert!(half_ice_h(&layout, "rising-main") < lagged_h / 2.0);
    let warmth = Warmth::of(&Site::of(&layout));
    let pipe = warmth.loft_pipes.iter().find(|pipe| pipe.id == Id::of("rising-main")).expect("in the loft");
    let worst = told(&pipe.worst);
    assert_eq!((worst.stretch.from_mm, worst.stretch.lagging_mm), (5100.0, 0.0));
    // What it wants is reckoned with some insulation, though it has none.
    assert!(worst.wanted_mm.expect("it can be kept from freezing") > 5.0);
}

/// Another cistern higher up, which feeds nothing, leaves the water in the vent where it stood.
#[test]
fn a_vent_is_full_up_to_the_water_line_of_its_own_cistern() {
    let mut layout = example("sound_indirect");
    let number = layout.runs.iter().position(|run| run.id == Id::of("open-vent")).expect("there");
    layout.runs[number].insulation.as_mut().expect("told")[0].to = loftwright::units::Length::mm(2000.0);
    let figures = |layout: &Layout| {
        let warmth = Warmth::of(&Site::of(layout));
        let hot = warmth.hot_pipes.iter().find(|pipe| pipe.run == number).expect("hot");
        (half_ice_h(layout, "open-vent"), told(&hot.loss).whole_w)
    };
    let alone = figures(&layout);
    let mut upper = layout.cisterns[0].clone();
    upper.id = Id::of("upper");
    upper.at = loftwright::geom::Point::mm(5200.0, 5900.0);
    layout.cisterns.push(upper);
    assert_eq!(figures(&layout), alone);
}

/// By hand it tends to 9.4 °C: water that is at 0 °C when the frost begins gets warmer.
#[test]
fn a_cistern_that_warms_from_freezing_point_does_not_freeze() {
    let mut layout = example("sound_indirect");
    layout.climate.main_winter = celsius(0.0);
    let frost = |layout: &Layout| told(&Warmth::of(&Site::of(layout)).cisterns[0].frost);
    assert_eq!(frost(&layout).to_freezing_h, None);
    assert_eq!(frost(&layout).to_half_ice_h, None);
    let reading = &readings::cistern_in_frost(&Warmth::of(&Site::of(&layout)))[0];
    assert!(matches!(reading.have, Have::Amount(hours, Unit::Hour) if hours.value == 720.0), "{:?}", reading.have);
    layout.cisterns[0].loft_insulation_below = Some(true);
    assert_eq!(frost(&layout).to_freezing_h, Some(0.0));
}

/// Whoever lags a pipe as thick as the working says has it last the frost.
#[test]
fn the_thickness_that_is_named_does_last() {
    let mut layout = example("sound_indirect");
    let number = layout.runs.iter().position(|run| run.id == Id::of("rising-main")).expect("there");
    for lasts_h in [9.0, 10.0, 11.0, 12.0, 13.0, 14.0, 15.0] {
        layout.climate.frost_lasts = Duration::try_hours(lasts_h).ok();
        layout.runs[number].insulation.as_mut().expect("told")[0].thickness = loftwright::units::Size::try_mm(9.0).ok();
        let readings = readings::pipes_in_frost(&Warmth::of(&Site::of(&layout)));
        let reading = readings.iter().find(|reading| reading.parts[0] == Id::of("rising-main")).expect("asked");
        let words = reading.working.iter().find(|words| words.contains("would last")).expect("named");
        let named_mm: f64 = words.split(' ').next().and_then(|mm| mm.parse().ok()).expect("a number");
        let lagging = &mut layout.runs[number].insulation.as_mut().expect("told")[0];
        lagging.thickness = loftwright::units::Size::try_mm(named_mm).ok();
        assert!(half_ice_h(&layout, "rising-main") >= lasts_h, "{named_mm} mm for {lasts_h} h");
    }
}

/// Told from its far end, and in two pieces that overlap, it is the same insulation.
#[test]
fn lagging_is_read_alike_from_either_end() {
    let mut layout = example("sound_indirect");
    let number = layout.runs.iter().position(|run| run.id == Id::of("rising-main")).expect("there");
    let hours = half_ice_h(&layout, "rising-main");
    let whole = layout.runs[number].insulation.as_ref().expect("told")[0];
    let turned = loftwright::layout::Lagging { from: whole.to, to: whole.from, ..whole };
    let thin = loftwright::units::Size::try_mm(9.0).ok();
    for list in [vec![turned], vec![loftwright::layout::Lagging { thickness: thin, ..turned }, whole]] {
        layout.runs[number].insulation = Some(list);
        near(half_ice_h(&layout, "rising-main"), hours, 1e-12, "half ice");
    }
}

fn half_ice_h(layout: &Layout, run: &str) -> f64 {
    let warmth = Warmth::of(&Site::of(layout));
    let pipe = warmth.loft_pipes.iter().find(|pipe| pipe.id == Id::of(run)).expect("in the loft");
    told(&pipe.worst).to_half_ice_h.expect("it freezes")
}

/// What is judged of circulation in one pipe is what vent and feed can carry away together.
#[test]
fn vent_and_feed_are_judged_together() {
    let layout = example("sound_indirect");
    let warmth = Warmth::of(&Site::of(&layout));
    let cylinder = &warmth.cylinders[0];
    let together_w = told(&cylinder.vent).circulating_w + told(&cylinder.feed).circulating_w;
    let readings = readings::one_pipe_circulation(&warmth);
    let Have::Amount(judged_w, Unit::Watt) = readings[0].have else { panic!("told") };
    near(judged_w.value, together_w, 1e-12, "together");
}

/// Untold weather is never passed: every verdict that hangs on it is unknown, and the figure is still there to be shown.
#[test]
fn what_is_assumed_is_never_passed() {
    let layout = Layout { climate: Climate::default(), ..example("sound_indirect") };
    let site = Site::of(&layout);
    let hangs_on_it = [
        "cistern-warms-in-summer",
        "cistern-freezes-too-soon",
        "loft-pipe-freezes-too-soon",
        "reheat-too-slow",
        "one-pipe-circulation",
    ];
    let findings = Findings::of(&site);
    for rule in hangs_on_it {
        let of_rule: Vec<_> = findings.iter().filter(|finding| finding.rule.id == rule).collect();
        assert!(!of_rule.is_empty(), "{rule}");
        for finding in of_rule {
            assert_eq!(finding.judged.verdict, Verdict::Unknown, "{rule}");
            assert!(finding.remedies()[0].contains("assuming"), "{rule}: {:?}", finding.remedies());
        }
    }
    let summer = Warmth::of(&site).cisterns[0].summer.clone().expect("reckoned");
    assert!(summer.assumed.contains(&Condition::LoftPeak) && !summer.assumed.contains(&Condition::DailyDraw));
}

#[test]
fn a_loft_that_never_freezes_is_not_asked_about_frost() {
    let mut layout = example("sound_indirect");
    layout.climate.loft_winter_low = celsius(3.0);
    let findings = Findings::of(&Site::of(&layout));
    assert!(findings.iter().all(|finding| finding.rule.id != "loft-pipe-freezes-too-soon"));
}

#[test]
fn a_longer_frost_and_a_hotter_loft_break_what_was_sound() {
    let verdict = |layout: &Layout, rule: &str| {
        let findings = Findings::of(&Site::of(layout));
        findings.iter().filter(|finding| finding.rule.id == rule).map(|finding| finding.judged.verdict).min()
    };
    let mut layout = example("sound_indirect");
    assert_eq!(verdict(&layout, "loft-pipe-freezes-too-soon"), Some(Verdict::Meets));
    layout.climate.frost_lasts = Duration::try_hours(48.0).ok();
    assert_eq!(verdict(&layout, "loft-pipe-freezes-too-soon"), Some(Verdict::Breach));
    assert_eq!(verdict(&layout, "cistern-warms-in-summer"), Some(Verdict::Meets));
    layout.climate.main_summer = celsius(21.0);
    assert_eq!(verdict(&layout, "cistern-warms-in-summer"), Some(Verdict::Breach));
}

#[test]
fn a_cylinder_cools_towards_the_room() {
    let layout = example("sound_indirect");
    let site = Site::of(&layout);
    let curve = told(&cooling_curve(&site, &layout.cylinders[0], 24.0));
    let first = curve[0];
    assert_eq!(first, Moment { hour: 0.0, celsius: 60.0 });
    assert!(curve.windows(2).all(|pair| pair[1].celsius < pair[0].celsius && pair[1].celsius > 20.0));
    let next_day_c = told(&Warmth::of(&site).cylinders[0].next_day_c);
    near(curve[curve.len() - 1].celsius, next_day_c, 1e-12, "the next day");
    // U = 62/45 W/K, C = 117 × 4187 J/K.
    near(next_day_c, 20.0 + 40.0 * (-86_400.0_f64 * 62.0 / 45.0 / (117.0 * 4187.0)).exp(), 1e-9, "by hand");
}

#[test]
fn the_loft_begins_at_the_ceiling() {
    let mut layout = example("sound_indirect");
    assert_eq!(loft_floor_mm(&Site::of(&layout)), Some(5012.5));
    layout.building.ceiling = None;
    assert_eq!(loft_floor_mm(&Site::of(&layout)), Some(5013.0), "the underside of the joists");
    layout.building.joists = None;
    let site = Site::of(&layout);
    assert_eq!(loft_floor_mm(&site), None);
    let warmth = Warmth::of(&site);
    assert!(warmth.loft_pipes.is_empty() && !warmth.homeless_pipes.is_empty());
}

#[test]
fn the_view_marks_the_worst_stretches_and_labels_the_rest() {
    let layout = example("sound_indirect");
    let site = Site::of(&layout);
    let plain = scene::draw(&site, &Findings::default(), &Marks::none());
    let mut warm = plain.clone();
    scene::draw_warmth(&mut warm, &site, &Warmth::of(&site));
    let added = &warm.items[plain.items.len()..];
    let lines = added.iter().filter_map(|item| match &item.shape {
        Shape::Label(label) => Some(label.lines.join(" / ")),
        _ => None,
    });
    let words: Vec<String> = lines.collect();
    for wanted in ["first 1.0 m: 7.3 W", "half ice after", "stays above 0 °C", "stands: 62 W, class C", "coil: "] {
        assert!(words.iter().any(|words| words.contains(wanted)), "{wanted}: {words:?}");
    }
    let heavy = added.iter().filter(|item| match &item.shape {
        Shape::Line { pen, .. } => pen.ink == Ink::RedPencil && pen.width == PenWidth::Heavy,
        _ => false,
    });
    assert!(heavy.count() >= 1, "the bare stretches are marked");
    assert!(words.iter().all(|words| !words.contains("assumed")), "all is told in this example");
    let untold = Layout { climate: Climate::default(), ..example("sound_indirect") };
    let site = Site::of(&untold);
    let mut warm = scene::draw(&site, &Findings::default(), &Marks::none());
    scene::draw_warmth(&mut warm, &site, &Warmth::of(&site));
    let labels = warm.items.iter().filter_map(|item| match &item.shape {
        Shape::Label(label) => Some(&label.lines),
        _ => None,
    });
    let (tagged, listed): (Vec<_>, Vec<_>) = labels
        .filter(|lines| lines.iter().any(|line| line.to_lowercase().contains("assumed")))
        .partition(|lines| lines.iter().any(|line| line.ends_with("(assumed)")));
    assert!(tagged.len() > 3, "every figure that hangs on an assumption says so");
    assert_eq!(listed.len(), 1, "and what is assumed is listed once");
    assert!(listed[0].contains(&"a loft at 35 °C on a summer afternoon".to_owned()));
}

/// On bearers over the joists the room warms its base; on a platform 1 m above them loft air does, whatever lies below it.
#[test]
fn a_cistern_high_above_the_joists_is_not_warmed_from_below() {
    let mut layout = example("sound_indirect");
    let frost_of = |layout: &Layout| {
        let warmth = Warmth::of(&Site::of(layout));
        let reading = readings::cistern_in_frost(&warmth).remove(0);
        (told(&warmth.cisterns[0].frost), warmth.cisterns[0].beneath, reading.working)
    };
    let (near_joists, beneath, working) = frost_of(&layout);
    assert!(near_joists.tends_to_c > 0.0 && beneath == Beneath::Room);
    assert!(working.iter().any(|line| line.contains("warmed by the room below")), "{working:?}");
    layout.cisterns[0].at.z = Level::mm(6178.0);
    for below in [Some(false), Some(true), None] {
        layout.cisterns[0].loft_insulation_below = below;
        let (high, beneath, working) = frost_of(&layout);
        near(high.tends_to_c, -6.0, 1e-9, "tends to the loft");
        assert_eq!(beneath, Beneath::LoftAir(1018.0, "joists"));
        let told = "its base is in loft air, 1018 mm above the joists";
        assert!(working.iter().any(|line| line.starts_with(told)), "{working:?}");
    }
}

/// Where no joists are told the ceiling tells how high a cistern stands, as far as it can; nothing is taken for near.
#[test]
fn how_high_a_cistern_stands_is_read_off_the_ceiling_or_asked() {
    let mut layout = example("sound_indirect");
    layout.building.joists = None;
    let ceiling = layout.building.ceiling.expect("the example has a ceiling");
    let over_mm = |mm: f64| Level::mm(ceiling.underside.to_mm() + ceiling.thickness.to_mm() + mm);
    let mut beneath_at = |level: Level| {
        layout.cisterns[0].at.z = level;
        Warmth::of(&Site::of(&layout)).cisterns[0].beneath
    };
    assert_eq!(beneath_at(over_mm(250.0)), Beneath::Room, "on joists of whatever depth it is no higher over them");
    assert_eq!(beneath_at(over_mm(400.0)), Beneath::Untold("measure how high the joists lie below it"));
    assert_eq!(beneath_at(over_mm(800.0)), Beneath::LoftAir(800.0, "ceiling"));
    (layout.building.ceiling, layout.building.storeys) = (None, Vec::new());
    let warmth = Warmth::of(&Site::of(&layout));
    assert_eq!(warmth.cisterns[0].beneath, Beneath::Untold("draw the joists or the ceiling below it"));
    assert!(warmth.cisterns[0].frost.is_err() && warmth.cisterns[0].summer.is_err());
}

/// Over a flat roof a cistern is in the open: it loses no less than in a loft, and nobody knows that it keeps from frost.
#[test]
fn a_cistern_over_the_roof_has_no_room_below_it() {
    let mut layout = example("sound_indirect");
    let roof = layout.building.roof.as_mut().expect("the example has a roof");
    roof.underside = [-1000.0, 20_000.0].map(|x_mm| Point::mm(x_mm, 5100.0)).to_vec();
    let frost = |layout: &Layout| {
        let warmth = Warmth::of(&Site::of(layout));
        (warmth.cisterns[0].beneath, readings::cistern_in_frost(&warmth).remove(0))
    };
    let (beneath, reading) = frost(&layout);
    assert_eq!(beneath, Beneath::OpenAir);
    assert!(reading.rest().is_some_and(|rest| rest.contains("outside")), "{reading:?}");
}

/// What gives in before the frost ends is what the rules call a breach, and the curve ends at whichever comes first.
#[test]
fn what_gives_in_is_what_breaks_the_rule() {
    let of = |text: &str| {
        let layout = loftwright::file::parse(text, "a case").expect("reads");
        Warmth::of(&Site::of(&layout))
    };
    for (text, gives_in) in [
        (include_str!("../cases/loft-pipe-freezes-too-soon/breach.loft.ron"), true),
        (include_str!("../cases/loft-pipe-freezes-too-soon/meets.loft.ron"), false),
    ] {
        let warmth = of(text);
        let exposures = warmth.loft_pipes.iter().filter_map(|pipe| pipe.worst.as_ref().ok());
        assert_eq!(exposures.map(|exposure| exposure.value.gives_in()).collect::<Vec<_>>(), [gives_in]);
    }
    for (text, gives_in) in [
        (include_str!("../cases/cistern-freezes-too-soon/breach.loft.ron"), true),
        (include_str!("../cases/cistern-freezes-too-soon/meets.loft.ron"), false),
    ] {
        let frost = of(text).cisterns[0].frost.as_ref().expect("reckoned").value;
        assert_eq!(frost.gives_in(), gives_in);
        let curve = frost.curve();
        let (first, last) = (&curve[0], &curve[curve.len() - 1]);
        near(first.celsius, frost.begins_c, 1e-9, "begins");
        let ends_h = if gives_in { frost.to_freezing_h.expect("it freezes") } else { frost.lasts_h };
        near(last.hour, ends_h, 1e-9, "ends");
        assert!(if gives_in { last.celsius.abs() < 1e-6 } else { last.celsius > 0.0 }, "{}", last.celsius);
        assert!(curve.is_sorted_by(|a, b| a.hour < b.hour));
    }
}
