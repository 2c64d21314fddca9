//! Layouts that begin from answers: sound by the program's own rules, or a reason that is true.

use glam::DVec2;
use loftwright::finding::Findings;
use loftwright::geom::Polyline;
use loftwright::layout::{
    End, Layout, LoftHatch, OutletKind, Run, Screen, Service, StrengthClass, SupportKind, Tapping, Traces,
};
use loftwright::measure::Site;
use loftwright::outset::{
    Answers, BEGINNINGS, CisternFor, Draw, Heating, HotStore, JoistAnswers, LoftAnswers, Winter, set_out,
};
use loftwright::rules::{Profile, Verdict, Voice};
use loftwright::units::{Amount, Length, Mass, Pressure, Size};

/// What does not hold, in words; a load that nobody has confirmed may be open, and with it what a frame carries.
fn faults(layout: &Layout, profile: &Profile, is_load_confirmed: bool) -> Vec<String> {
    let findings = Findings::under(&Site::of(layout), profile);
    let counts = |finding: &&loftwright::finding::Finding| {
        let open = !is_load_confirmed && ["platform-overloaded", "frame-not-confirmed"].contains(&finding.rule.id);
        finding.judged.verdict != Verdict::Meets && !(open && finding.judged.verdict == Verdict::Unknown)
    };
    let words = |finding: &loftwright::finding::Finding| {
        format!("{} [{}] {}", finding.judged.verdict.words(), finding.rule.id, finding.words(Voice::Trade))
    };
    findings.iter().filter(counts).map(words).collect()
}

/// What no installer would lay so, though no rule asks after it.
fn misplaced(layout: &Layout) -> Vec<String> {
    let (traces, roof) =
        (Traces::of(layout), layout.building.roof.as_ref().and_then(|roof| roof.line()).expect("a roof"));
    let runs: Vec<(&Run, &Polyline, f64)> = (layout.runs.iter().enumerate())
        .map(|(number, run)| (run, traces.line(number).expect("a line"), run.size.map_or(0.0, Size::to_mm) / 2.0))
        .collect();
    let roof_mm = |x_mm: f64| {
        let (from, to) = roof.segments().find(|(_, to)| x_mm <= to.x).expect("under the roof");
        from.y + (to.y - from.y) * (x_mm - from.x) / (to.x - from.x)
    };
    let mut words = Vec::new();
    for (run, line, half_mm) in &runs {
        words.extend(line.vertices().iter().filter(|at| at.y + half_mm > roof_mm(at.x)).map(|at| {
            format!("the {} goes through the roof at {:.0}, {:.0} (roof {:.0})", run.id, at.x, at.y, roof_mm(at.x))
        }));
    }
    let uprights = |line: &Polyline| -> Vec<(DVec2, DVec2)> { line.segments().filter(|(a, b)| a.x == b.x).collect() };
    for (number, (run, line, half_mm)) in runs.iter().enumerate() {
        for (other, other_line, other_half_mm) in &runs[..number] {
            for ((a, b), (c, d)) in
                uprights(line).into_iter().flat_map(|one| uprights(other_line).into_iter().map(move |two| (one, two)))
            {
                let beside_mm = a.y.max(b.y).min(c.y.max(d.y)) - a.y.min(b.y).max(c.y.min(d.y));
                if beside_mm > 50.0 && (a.x - c.x).abs() < half_mm + other_half_mm + 10.0 {
                    words.push(format!(
                        "{} and {} stand over one another for {beside_mm:.0} mm: {:.0} and {:.0}",
                        run.id, other.id, a.x, c.x
                    ));
                }
            }
        }
    }
    words
}

/// The warning pipe falls all the way and ends outside the wall, under the eaves.
fn assert_warning_pipe_gets_out(answers: &Answers, layout: &Layout) {
    let number = layout.runs.iter().position(|run| run.service == Service::WarningPipe).expect("a warning pipe");
    let traces = Traces::of(layout);
    let points = traces.line(number).expect("a line").vertices();
    assert!(points.windows(2).all(|pair| pair[1].y < pair[0].y), "{answers:?}: {points:?}");
    let end = points[points.len() - 1];
    let eaves = layout.building.roof.as_ref().expect("a roof").underside[0];
    assert!(end.x < 0.0 && end.x > eaves.x.to_mm() && end.y < eaves.z.to_mm(), "{answers:?}: {end:?}");
}

fn assert_sound(answers: &Answers, layout: &Layout, profile: &Profile) {
    let misplaced = misplaced(layout);
    assert!(misplaced.is_empty(), "{answers:?}\n{}", misplaced.join("\n"));
    assert_warning_pipe_gets_out(answers, layout);
    assert_legs_are_as_wide_as_outlets_ask(answers, layout);
    assert!(layout.broken_references().is_empty(), "{answers:?}: {:?}", layout.broken_references());
    let faults = faults(layout, profile, answers.joists.confirmed_load.is_some());
    assert!(faults.is_empty(), "{answers:?}\n{}", faults.join("\n"));
}

/// What ends at a water closet, basin or sink is no wider than a branch.
fn assert_legs_are_as_wide_as_outlets_ask(answers: &Answers, layout: &Layout) {
    let takes_little = |outlet: &&loftwright::layout::Outlet| {
        matches!(outlet.kind, OutletKind::Wc | OutletKind::Basin | OutletKind::Sink)
    };
    for outlet in layout.outlets.iter().filter(takes_little) {
        let ends_there = |run: &&Run| matches!(&run.to, End::Port(part, _) if *part == outlet.id);
        for run in layout.runs.iter().filter(ends_there) {
            let trunk_mm =
                layout.runs.iter().filter(|other| other.service == run.service).filter_map(|other| other.size);
            let widest_mm = trunk_mm.map(Size::to_mm).fold(0.0, f64::max);
            let own_mm = run.size.expect("a size").to_mm();
            assert!(own_mm < widest_mm || own_mm == 15.0, "{answers:?}: {} is of {own_mm} mm", run.id);
        }
    }
}

#[test]
fn every_beginning_is_sound() {
    let profile = Profile::usual();
    for beginning in BEGINNINGS {
        let answers = (beginning.answers)();
        match set_out(&answers, profile) {
            Ok(layout) => assert_sound(&answers, &layout, profile),
            Err(refusal) => panic!("{}: {}", beginning.name, refusal.lines().join("\n")),
        }
    }
}

#[test]
fn with_a_confirmed_load_nothing_is_unknown() {
    let mut answers = Answers::default();
    answers.joists.confirmed_load = Mass::try_kg(400.0).ok();
    let layout = set_out(&answers, Profile::usual()).unwrap_or_else(|refusal| panic!("{:?}", refusal.lines()));
    let counts = Findings::of(&Site::of(&layout)).counts();
    assert_eq!((counts.breach, counts.marginal, counts.unknown), (0, 0, 0));
    assert!(counts.meets > 100);
}

/// The cistern of a shower upstairs stands on a frame: the layout tells it, so that what carries it is judged.
#[test]
fn a_raised_cistern_stands_on_a_frame_that_is_told() {
    let beginning =
        BEGINNINGS.iter().find(|beginning| beginning.name.contains("shower upstairs")).expect("a beginning");
    let mut answers = (beginning.answers)();
    let layout = set_out(&answers, Profile::usual()).unwrap_or_else(|refusal| panic!("{:?}", refusal.lines()));
    let frame = layout.platforms[0].frame.expect("a frame");
    let height = format!("on a frame {} high over its bearers", Amount::mm(frame.height.to_mm()));
    assert!(layout.heading.notes.contains(&height), "{}", layout.heading.notes);
    let unknown = |layout: &Layout| -> Vec<&str> {
        let findings = Findings::of(&Site::of(layout));
        let open = findings.iter().filter(|finding| finding.judged.verdict == Verdict::Unknown);
        open.map(|finding| finding.rule.id).collect()
    };
    assert_eq!(unknown(&layout), ["platform-overloaded", "frame-not-confirmed"]);
    answers.joists.confirmed_load = Mass::try_kg(600.0).ok();
    let confirmed = set_out(&answers, Profile::usual()).unwrap_or_else(|refusal| panic!("{:?}", refusal.lines()));
    assert_eq!(unknown(&confirmed), Vec::<&str>::new());
}

#[test]
fn screens_are_as_fine_as_the_profile_in_force_asks() {
    let fine =
        r#"(name: "fine", change: {"lid-vent-unscreened": (limit: 0.5), "warning-pipe-unscreened": (limit: 0.4)})"#;
    let fine = Profile::parse(fine).expect("a profile");
    let answers = Answers::default();
    let layout = set_out(&answers, &fine).unwrap_or_else(|refusal| panic!("{:?}", refusal.lines()));
    assert_sound(&answers, &layout, &fine);
    assert_eq!(layout.cisterns[0].lid_screen, Some(Screen::Mesh(Size::mm(0.5))));
}

#[test]
fn a_low_loft_is_refused_with_the_height_that_is_missing() {
    let mut answers = Answers::default();
    answers.loft.ridge = Size::mm(1100.0);
    let refusal = set_out(&answers, Profile::usual()).expect_err("too low");
    let way = &refusal.reasons[0].ways_out[0];
    let by_mm = way.by.expect("a height").value;
    assert!(way.words.contains("from joists to ridge") && by_mm > 50.0, "{:?}", refusal.lines());
    assert!(refusal.reasons[0].words.contains(&format!("The loft is {by_mm} mm too low")), "{:?}", refusal.lines());
    // A step less would not do.
    let mut nearly = way.answers.clone();
    nearly.loft.ridge = Size::mm(nearly.loft.ridge.to_mm() - 10.0);
    assert!(set_out(&nearly, Profile::usual()).is_err());
    let would_do = refusal.would_do.expect("a way out of everything");
    assert!(set_out(&would_do, Profile::usual()).is_ok());
}

#[test]
fn answers_that_make_no_sense_are_named() {
    let refused = |answers: &Answers| set_out(answers, Profile::usual()).expect_err("a slip").lines().join(" ");
    assert!(refused(&Answers { storeys: 4, ..Answers::default() }).contains("4 storeys"));
    assert!(refused(&Answers { outlets: Vec::new(), ..Answers::default() }).contains("hot water"));
    let cylinder = HotStore { storey: 2, ..HotStore::default() };
    assert!(refused(&Answers { cylinder, ..Answers::default() }).contains("storey 2"));
    let cylinder = HotStore { size: Some("99".to_owned()), ..HotStore::default() };
    assert!(refused(&Answers { cylinder, ..Answers::default() }).contains("reference 99"));
}

/// A generator of numbers that are the same on every machine (xorshift64*).
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_F491_4F6C_DD1D)
    }

    fn upto(&mut self, most: u32) -> u32 {
        u32::try_from(self.next() >> 40).expect("24 bits") % (most + 1)
    }

    fn pick<T: Copy>(&mut self, from: &[T]) -> T {
        from[self.upto(u32::try_from(from.len()).expect("few") - 1) as usize]
    }

    fn between(&mut self, least: f64, most: f64, step: f64) -> f64 {
        let steps = ((most - least) / step).round();
        (least + step * (f64::from(self.upto(10_000)) / 10_000.0 * steps).round()).min(most)
    }

    fn answers(&mut self) -> Answers {
        let storeys = 1 + self.upto(2);
        let outlets = (0..=self.upto(6))
            .map(|_| Draw { kind: self.pick(&Answers::KINDS), storey: self.upto(storeys - 1) })
            .chain([Draw { kind: OutletKind::Sink, storey: 0 }])
            .collect();
        let sizes = ["3", "7", "8", "9", "10", "2"];
        Answers {
            bedrooms: 1 + self.upto(4),
            storeys,
            outlets,
            cold_taps: self.pick(&CisternFor::ALL),
            loft: LoftAnswers {
                ridge: Size::mm(self.between(1400.0, 3600.0, 50.0)),
                eaves: Length::mm(self.between(0.0, 600.0, 50.0)),
                width: Size::mm(self.between(5500.0, 10_000.0, 100.0)),
                hatch_length: Size::mm(self.between(550.0, 900.0, 50.0)),
                hatch_width: Size::mm(self.between(550.0, 750.0, 50.0)),
            },
            joists: JoistAnswers {
                kind: self.pick(&[SupportKind::Joist, SupportKind::Joist, SupportKind::TrussedRafter]),
                spacing: Size::mm(self.pick(&[300.0, 350.0, 400.0, 600.0])),
                breadth: Size::mm(self.pick(&[38.0, 47.0])),
                depth: Size::mm(self.pick(&[122.0, 147.0, 170.0])),
                span: Size::mm(self.between(1300.0, 3000.0, 100.0)),
                grade: self.pick(&[StrengthClass::C16, StrengthClass::C24]),
                confirmed_load: {
                    let enough = Mass::try_kg(600.0).ok();
                    self.pick(&[None, None, enough, enough, Mass::try_kg(250.0).ok()])
                },
            },
            cylinder: HotStore {
                heated: self.pick(&Heating::ALL),
                size: (self.upto(2) == 0).then(|| self.pick(&sizes).to_owned()),
                storey: self.upto(storeys - 1),
            },
            winter: self.pick(&[
                Winter::Throughout,
                Winter::Throughout,
                Winter::ByDay,
                Winter::ByDay,
                Winter::KeptFromFrost,
            ]),
            mains_pressure: Pressure::try_kpa(self.between(100.0, 500.0, 50.0)).expect("in range"),
        }
    }
}

/// Answers as they come are often refused; what would do instead is then tried as well, so both sides are seen.
#[test]
fn hundreds_of_answers_are_sound_or_refused_for_a_reason_that_is_true() {
    let profile = Profile::usual();
    let mut dice = Dice(0x005E_ED0F_10F7);
    let (mut sound, mut refused) = (0, 0);
    for _ in 0..200 {
        let answers = dice.answers();
        match set_out(&answers, profile) {
            Ok(layout) => {
                sound += 1;
                assert_sound(&answers, &layout, profile);
            }
            Err(refusal) => {
                refused += 1;
                let lines = refusal.lines().join("\n");
                for reason in &refusal.reasons {
                    assert!(!reason.words.is_empty());
                    assert!(!reason.ways_out.is_empty(), "no way out: {answers:?}\n{lines}");
                }
                let would_do = refusal.would_do.unwrap_or_else(|| panic!("nothing would do: {answers:?}\n{lines}"));
                match set_out(&would_do, profile) {
                    Ok(layout) => assert_sound(&would_do, &layout, profile),
                    Err(again) => panic!("{answers:?}\n{lines}\nstill: {}", again.lines().join("\n")),
                }
            }
        }
    }
    assert!(sound > 20 && refused > 20, "{sound} sound, {refused} refused");
}

#[test]
fn the_same_answers_give_the_same_text() {
    let text = || {
        let layout = set_out(&Answers::default(), Profile::usual()).expect("sound");
        loftwright::file::write_text(&layout)
    };
    let first = text();
    assert_eq!(first, text());
    let again = loftwright::file::parse(&first, "written").expect("reads again");
    assert_sound(&Answers::default(), &again, Profile::usual());
}

#[test]
fn the_notes_name_the_warmth_of_stored_water_that_nobody_told() {
    let layout =
        set_out(&Answers::default(), Profile::usual()).unwrap_or_else(|refusal| panic!("{:?}", refusal.lines()));
    assert!(layout.heading.notes.contains("stored water at 20 °C cold and 60 °C hot"), "{}", layout.heading.notes);
}

#[test]
fn limits_on_what_nobody_is_asked_are_followed() {
    for change in [
        r#""bath-too-hot": (limit: 44)"#,
        r#""hot-tap-too-cool": (limit: 57)"#,
        r#""store-too-cool": (limit: 65)"#,
        r#""float-valve-service-valve-too-far": (limit: 100)"#,
        r#""vent-too-narrow": (limit: 28)"#,
        r#""warning-pipe-dip-tube-too-short": (limit: 100)"#,
        r#""too-few-joists": (limit: 6)"#,
    ] {
        let profile = Profile::parse(&format!(r#"(name: "other", change: {{{change}}})"#)).expect("a profile");
        let answers = Answers::default();
        let layout = set_out(&answers, &profile).unwrap_or_else(|refusal| panic!("{change}: {:?}", refusal.lines()));
        assert_sound(&answers, &layout, &profile);
    }
}

#[test]
fn a_limit_that_no_answer_reaches_says_so() {
    let twice =
        Profile::parse(r#"(name: "twice", change: {"cylinder-pipe-uninsulated": (limit: 2)})"#).expect("a profile");
    let refusal = set_out(&Answers::default(), &twice).expect_err("more than can be insulated");
    assert!(refusal.lines().join(" ").contains("No answer that is asked for changes this"), "{:?}", refusal.lines());
}

#[test]
fn a_house_that_stands_empty_in_frost_is_told_to_be_drained_down() {
    let answers = Answers { winter: Winter::KeptFromFrost, ..Answers::default() };
    let refusal = set_out(&answers, Profile::usual()).expect_err("pipes freeze");
    assert!(refusal.lines().join(" ").contains("drained down"), "{:?}", refusal.lines());
}

#[test]
fn a_small_cylinder_on_the_ground_floor_is_insulated_until_little_circulates() {
    let cylinder = HotStore { storey: 0, ..HotStore::default() };
    let answers = Answers { bedrooms: 1, cylinder, ..Answers::default() };
    let layout = set_out(&answers, Profile::usual()).unwrap_or_else(|refusal| panic!("{:?}", refusal.lines()));
    assert_sound(&answers, &layout, Profile::usual());
}

#[test]
fn rafters_that_lie_on_the_joists_leave_no_way_out() {
    let mut answers = Answers::default();
    answers.loft.eaves = Length::mm(-300.0);
    let refusal = set_out(&answers, Profile::usual()).expect_err("no way for the warning pipe");
    assert!(refusal.lines().join(" ").contains("over the wall"), "{:?}", refusal.lines());
    let would_do = refusal.would_do.expect("rafters higher");
    let layout = set_out(&would_do, Profile::usual()).unwrap_or_else(|refusal| panic!("{:?}", refusal.lines()));
    assert_sound(&would_do, &layout, Profile::usual());
}

/// Backnuts of 22 mm connectors are some 50 mm across (from memory).
const HOLES_APART_MM: f64 = 60.0;

#[test]
fn holes_in_one_side_leave_room_for_their_backnuts() {
    for beginning in BEGINNINGS {
        let layout = set_out(&(beginning.answers)(), Profile::usual()).unwrap_or_else(|no| panic!("{:?}", no.lines()));
        let right_mm = layout.cisterns[0].connections.iter().filter_map(|hole| match hole.on {
            Tapping::Right(up) => Some(up.to_mm()),
            _ => None,
        });
        let mut right_mm: Vec<f64> = right_mm.collect();
        right_mm.sort_by(f64::total_cmp);
        let is_apart = |pair: &[f64]| pair[1] - pair[0] >= HOLES_APART_MM;
        assert!(right_mm.windows(2).all(is_apart), "{}: {right_mm:?}", beginning.name);
    }
}

/// Somebody who comes up finds neither board nor pipe over the hatch, nor the low end of the roof where another is free.
#[test]
fn the_hatch_is_clear_of_platform_and_pipes() {
    for beginning in BEGINNINGS {
        let layout = set_out(&(beginning.answers)(), Profile::usual()).unwrap_or_else(|no| panic!("{:?}", no.lines()));
        let Some(LoftHatch::Opening(hatch)) = layout.building.hatch else { panic!("no hatch") };
        let (left_mm, right_mm) = (hatch.x.to_mm(), hatch.x.to_mm() + hatch.length.to_mm());
        let ceiling_mm = layout.building.ceiling.expect("a ceiling").underside.to_mm();
        let traces = Traces::of(&layout);
        let in_loft =
            |(from, to): &(DVec2, DVec2)| from.y.max(to.y) > ceiling_mm && from.y.min(to.y) < ceiling_mm + 800.0;
        for (number, run) in layout.runs.iter().enumerate() {
            let mut stretches = traces.line(number).expect("a line").segments().filter(in_loft);
            let over = stretches.find(|(from, to)| from.x.min(to.x) < right_mm && from.x.max(to.x) > left_mm);
            assert_eq!(over, None, "{}: the {} over {left_mm} to {right_mm}", beginning.name, run.id);
        }
        let board = &layout.platforms[0];
        let board_mm = (board.at.x.to_mm(), board.at.x.to_mm() + board.length.to_mm());
        assert!(board_mm.0 > right_mm || board_mm.1 < left_mm, "{}", beginning.name);
    }
}

/// A shower that shares its hot pipe goes cold when a bath runs.
#[test]
fn a_shower_has_hot_and_cold_pipes_of_its_own() {
    let beginning =
        BEGINNINGS.iter().find(|beginning| beginning.name.contains("shower upstairs")).expect("a beginning");
    let layout = set_out(&(beginning.answers)(), Profile::usual()).unwrap_or_else(|no| panic!("{:?}", no.lines()));
    let run = |id: &str| layout.runs.iter().find(|run| run.id.as_str() == id).unwrap_or_else(|| panic!("no {id}"));
    let along = |run: &Run| match &run.from {
        End::Tee(on, at) if on.as_str() == "draw-off" => at.to_mm(),
        other => panic!("{} begins at {other:?}", run.id),
    };
    assert!(along(run("shower-draw-off")) < along(run("open-vent")));
    for (leg, trunk) in [("shower-hot", "shower-draw-off"), ("shower-cold", "shower-distribution")] {
        assert!(matches!(&run(leg).from, End::Tee(on, _) if on.as_str() == trunk), "{:?}", run(leg).from);
        let on_trunk =
            |other: &&Run| other.ends().iter().any(|end| matches!(end, End::Tee(on, _) if on.as_str() == trunk));
        assert_eq!(layout.runs.iter().filter(on_trunk).count(), 1, "{trunk}");
    }
    let up_mm = |port: &str| {
        let mut holes = layout.cisterns[0].connections.iter();
        holes.find(|hole| hole.port.as_str() == port).map(|hole| hole.on.distance().to_mm())
    };
    assert!(up_mm("shower").expect("a hole") <= up_mm("cold-feed").expect("a hole"));
    assert!(layout.heading.notes.contains("pipes of their own"), "{}", layout.heading.notes);
}
