//! What nobody has told, told as it is usual: as a beginning has it, with nothing that was told changed.

use loftwright::file;
use loftwright::finding::Findings;
use loftwright::layout::{Layout, LoftHatch, Run, Survey, TapeClass, apply};
use loftwright::measure::Site;
use loftwright::outset::{Answers, edits_as_usual, set_out, told_as_usual};
use loftwright::rules::{Profile, Verdict};

/// A layout of which nobody has told more than what is drawn: where things are, how large, and what sits in the pipes.
fn as_drawn(layout: &Layout) -> Layout {
    let mut drawn = layout.clone();
    drawn.climate = Default::default();
    (drawn.building.hatch, drawn.building.mains_pressure) = (None, None);
    drawn.building.storeys.iter_mut().for_each(|storey| storey.deck = None);
    if let Some(joists) = &mut drawn.building.joists {
        (joists.kind, joists.grade, joists.notched, joists.span) = (None, None, None, None);
        (joists.span_from, joists.ceiling_load, joists.storage_load, joists.service_class) = (None, None, None, None);
    }
    for platform in &mut drawn.platforms {
        (platform.behind, platform.board, platform.bearers) = (None, None, None);
    }
    for cistern in &mut drawn.cisterns {
        (cistern.behind, cistern.dip_tube, cistern.lid, cistern.lid_screen, cistern.opaque) =
            (None, None, None, None, None);
        (cistern.jacket, cistern.loft_insulation_below, cistern.stored_temperature) = (None, None, None);
        (cistern.daily_draw, cistern.empty_mass) = (None, None);
        if let Some(valve) = &mut cistern.float_valve {
            (valve.outlet, valve.pattern, valve.seat) = (None, None, None);
        }
    }
    for cylinder in &mut drawn.cylinders {
        (cylinder.behind, cylinder.empty_mass, cylinder.grade, cylinder.coil, cylinder.immersions) =
            (None, None, None, None, None);
        (cylinder.stored_temperature, cylinder.insulation, cylinder.cover, cylinder.coil_duty) =
            (None, None, None, None);
    }
    for boiler in &mut drawn.boilers {
        (boiler.kind, boiler.output) = (None, None);
    }
    for outlet in &mut drawn.outlets {
        (outlet.supply_temperature, outlet.taps) = (None, None);
    }
    for run in &mut drawn.runs {
        (run.material, run.clips, run.screen, run.discharge) = (None, None, None, None);
        run.insulation.iter_mut().flatten().for_each(|lagging| (lagging.thickness, lagging.kind) = (None, None));
    }
    drawn
}

fn open(layout: &Layout) -> Vec<(&'static str, Verdict)> {
    let findings = Findings::of(&Site::of(layout));
    let open = findings.iter().filter(|finding| finding.judged.verdict != Verdict::Meets);
    open.map(|finding| (finding.rule.id, finding.judged.verdict)).collect()
}

#[test]
fn what_is_drawn_of_a_sound_house_is_sound_when_the_rest_is_usual() {
    for answers in [Answers::default(), Answers { storeys: 1, ..Answers::default() }] {
        let Ok(whole) = set_out(&answers, Profile::usual()) else { continue };
        let drawn = as_drawn(&whole);
        assert!(open(&drawn).len() > 40, "nobody has told much");
        let told = told_as_usual(&drawn, Profile::usual()).expect("there is something to tell");
        // A load has to be confirmed by somebody.
        assert_eq!(open(&told), [("platform-overloaded", Verdict::Unknown)]);
        for fact in [
            "joists of class C24 that span 2800 mm",
            "the floors",
            "a hatch of 750 × 600 mm",
            "300 kPa",
            "L drawn in a day",
        ] {
            assert!(told.heading.notes.contains(fact), "{fact}: {}", told.heading.notes);
        }
        assert_eq!(told_as_usual(&told, Profile::usual()), None, "it is told once");
        let edits = edits_as_usual(&drawn, Profile::usual());
        let edited = edits.iter().try_fold(drawn, |layout, edit| apply(&layout, edit)).expect("each fits");
        assert_eq!(edited, told);
    }
}

#[test]
fn what_is_told_stays() {
    let text = r#"(format: 1,
        building: (storeys: [(id: "ground", floor: 0)], mains_pressure: 150),
        cisterns: [(id: "cistern", role: Storage, at: (0, 3000), length: 900, width: 600, height: 600, lid: Loose,
            water_line: 450, jacket: (sides: false, top: false), float_valve: (shank: Left(520), seat: 4.8))],
        runs: [(id: "feed", service: ColdFeed, material: Polybutylene, size: 28, from: Open((0, 3000)), to: Open((0, 1000)),
            insulation: [(from: 0, to: 100, thickness: 9)])])"#;
    let layout = file::parse(text, "told in part").expect("reads");
    let told = told_as_usual(&layout, Profile::usual()).expect("there is something to tell");
    assert_eq!(told.building.mains_pressure, layout.building.mains_pressure);
    let (was, cistern) = (&layout.cisterns[0], &told.cisterns[0]);
    assert_eq!((cistern.lid, cistern.jacket, cistern.water_line), (was.lid, was.jacket, was.water_line));
    let valve = cistern.float_valve.expect("a valve");
    assert_eq!(
        (valve.seat, valve.outlet.map(|mm| mm.to_mm())),
        (was.float_valve.and_then(|valve| valve.seat), Some(530.0))
    );
    let Run { material, size, insulation, clips, .. } = &told.runs[0];
    assert_eq!((material, size), (&layout.runs[0].material, &layout.runs[0].size));
    let lagging = insulation.as_ref().expect("told")[0];
    assert_eq!(
        (lagging.to, lagging.thickness, lagging.kind.is_some()),
        (
            layout.runs[0].insulation.as_ref().expect("told")[0].to,
            layout.runs[0].insulation.as_ref().expect("told")[0].thickness,
            true
        )
    );
    assert_eq!(*clips, told.runs[0].clips_allowed());
    assert!(
        told.heading.notes.contains("drawn in a day") && !told.heading.notes.contains("kPa"),
        "{}",
        told.heading.notes
    );
}

#[test]
fn the_notes_name_no_fact_that_was_told_or_is_not_asked() {
    let text = r#"(format: 1, building: (mains_pressure: 200),
        cisterns: [(id: "expansion", role: FeedAndExpansion, at: (0, 3000), length: 450, width: 300, height: 300)])"#;
    let told = told_as_usual(&file::parse(text, "the heating alone").expect("reads"), Profile::usual()).expect("a lid");
    assert!(
        !told.heading.notes.contains("drawn in a day") && !told.heading.notes.contains("kPa"),
        "{}",
        told.heading.notes
    );
}

#[test]
fn nothing_is_told_that_answers_nothing_and_told_facts_are_not_in_the_notes() {
    let low_loft = file::read(std::path::Path::new("examples/low_loft.loft.ron")).expect("an example reads");
    assert_eq!(told_as_usual(&low_loft, Profile::usual()), None, "two are unknown, and neither has a usual answer");
    let mut whole =
        set_out(&Answers::default(), Profile::usual()).unwrap_or_else(|refusal| panic!("{:?}", refusal.lines()));
    whole.building.mains_pressure = None;
    if let Some(joists) = &mut whole.building.joists {
        joists.notched = None;
    }
    let notes = told_as_usual(&whole, Profile::usual()).expect("there is something to tell").heading.notes;
    assert!(notes.contains("joists without notches") && !notes.contains("C24"), "{notes}");
}

#[test]
fn of_what_was_found_only_what_was_found_is_told() {
    let drawn = as_drawn(
        &set_out(&Answers::default(), Profile::usual()).unwrap_or_else(|refusal| panic!("{:?}", refusal.lines())),
    );
    let surveyed = Layout { survey: Survey::Surveyed(TapeClass::II), ..drawn };
    assert_eq!(told_as_usual(&surveyed, Profile::usual()), None);
}

#[test]
fn a_hatch_is_put_where_nothing_is_in_its_way() {
    let whole =
        set_out(&Answers::default(), Profile::usual()).unwrap_or_else(|refusal| panic!("{:?}", refusal.lines()));
    let told = told_as_usual(&as_drawn(&whole), Profile::usual()).expect("there is something to tell");
    let Some(LoftHatch::Opening(hatch)) = told.building.hatch else { panic!("no hatch") };
    let (left_mm, right_mm) = (hatch.x.to_mm(), hatch.x.to_mm() + hatch.length.to_mm());
    let walls_mm: Vec<f64> = told.building.walls.iter().map(|wall| wall.x.to_mm()).collect();
    assert!(walls_mm.iter().any(|wall| *wall < left_mm) && walls_mm.iter().any(|wall| *wall > right_mm));
    let platform = &told.platforms[0];
    assert!(platform.at.x.to_mm() > right_mm || platform.at.x.to_mm() + platform.length.to_mm() < left_mm);
}
