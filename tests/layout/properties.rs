//! What holds for every layout: files come back as they were written, undo leads back, the check never panics.

use crate::generated::{layouts, length};
use loftwright::file;
use loftwright::finding::{FileReport, Findings};
use loftwright::heat::heat_up;
use loftwright::layout::{Edit, Heading, Layout, Survey, TapeClass};
use loftwright::measure::Site;
use loftwright::rules::{Profile, Voice};
use loftwright::session::Session;
use loftwright::units::Length;
use loftwright::water::FlowReport;
use loftwright::water::circuit::{Circuit, Conditions, Open};
use loftwright::water::sizing::sizes;
use loftwright::water::trial::{Played, jobs, mains_off, valve_stuck};
use proptest::collection::vec;
use proptest::prelude::*;

fn comes_back(layout: &Layout) {
    let text = file::write_text(layout);
    let read = file::parse(&text, "again").unwrap_or_else(|error| panic!("{error}\n{}\n{text}", error.caret()));
    assert_eq!(&read, layout, "{text}");
    assert_eq!(file::write_text(&read), text, "the same layout gives the same text");
}

#[test]
fn every_example_comes_back_as_it_was_written() {
    for entry in std::fs::read_dir("examples").expect("examples") {
        let path = entry.expect("entry").path();
        if path.extension().is_some_and(|ending| ending == "ron") {
            comes_back(&file::read(&path).unwrap_or_else(|error| panic!("{error}\n{}", error.caret())));
        }
    }
}

/// An edit still to be fitted to the layout it meets: which kind, which part, how far.
type EditSeed = (u8, u16, Length, Length, String);

fn edits() -> impl Strategy<Value = Vec<EditSeed>> {
    vec((any::<u8>(), any::<u16>(), length(), length(), "[a-z]{1,8}"), 1..20)
}

fn fitted((kind, which, right, up, word): &EditSeed, layout: &Layout) -> Edit {
    let parts: Vec<_> = layout.parts().collect();
    let part = (!parts.is_empty()).then(|| parts[usize::from(*which) % parts.len()]);
    match (kind % 7, part) {
        (0, Some(part)) => Edit::Remove(part.id().clone()),
        (1 | 2, Some(part)) => {
            let others = parts.iter().step_by(3).map(|part| part.id().clone());
            let all = std::iter::once(part.id().clone()).chain(others).collect();
            Edit::Shift { parts: all, right: *right, up: *up }
        }
        (3, Some(part)) => Edit::Rename { from: part.id().clone(), to: layout.free_id(word) },
        (4, Some(part)) => {
            let mut copy = part.to_part();
            if let Some(at) = copy.at_mut() {
                at.x = *right;
            }
            Edit::Put(Box::new(copy))
        }
        (5, _) => Edit::Survey(Survey::Surveyed(TapeClass::II)),
        _ => Edit::Heading(Heading { title: word.clone(), ..Heading::default() }),
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn every_layout_comes_back_as_it_was_written(layout in layouts()) {
        comes_back(&layout);
    }

    #[test]
    fn the_check_never_panics_and_counts_what_it_lists(layout in layouts()) {
        let site = Site::of(&layout);
        let findings = Findings::of(&site);
        let counts = findings.counts();
        let sum = counts.breach + counts.marginal + counts.unknown + counts.meets;
        prop_assert_eq!(sum, findings.iter().count());
        for voice in Voice::ALL {
            let report = FileReport::new("generated", &site, Profile::usual(), &findings, voice);
            let json = serde_json::to_value(&report).expect("a report is plain data");
            prop_assert_eq!(json["findings"].as_array().map(Vec::len), Some(sum));
        }
    }

    #[test]
    fn undoing_every_edit_leads_back_and_redoing_leads_forth(layout in layouts(), edits in edits()) {
        let mut session = Session::new(layout.clone());
        let mut steps = 0;
        for seed in &edits {
            let edit = fitted(seed, session.layout());
            // An edit that does not fit leaves no step and no trace.
            let before = session.layout().clone();
            match session.edit("Edit", &edit) {
                Ok(()) => steps += 1,
                Err(_) => prop_assert_eq!(session.layout(), &before),
            }
        }
        let edited = session.layout().clone();
        (0..steps).for_each(|_| session.undo());
        prop_assert_eq!(session.layout(), &layout);
        prop_assert!(!session.is_dirty());
        (0..steps).for_each(|_| session.redo());
        prop_assert_eq!(session.layout(), &edited);
    }

    #[test]
    fn no_text_makes_the_reader_panic(text in any::<String>(), cut in any::<prop::sample::Index>()) {
        let _ = file::parse(&text, "any").map_err(|error| (error.to_string(), error.caret()));
        let example = include_str!("../../examples/sound_indirect.loft.ron");
        let at = example.floor_char_boundary(cut.index(example.len()));
        let spoilt = format!("{}{text}{}", &example[..at], &example[at..]);
        if let Err(error) = file::parse(&spoilt, "spoilt") {
            prop_assert!(!error.to_string().contains('\n'));
            prop_assert!(error.to_string().starts_with("spoilt"));
            let _ = error.caret();
        }
    }
}

proptest! {
    // A trial takes its time.
    #![proptest_config(ProptestConfig { cases: 40, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn whatever_is_drawn_water_is_reckoned_or_not_told(layout in layouts()) {
        reckons(&layout)?;
    }

    #[test]
    fn a_sound_system_pulled_about_is_reckoned_or_not_told(edits in edits()) {
        let example = include_str!("../../examples/sound_indirect.loft.ron");
        let mut session = Session::new(file::parse(example, "the example").expect("reads"));
        for seed in &edits {
            // What does not fit is left out.
            let _ = session.edit("Edit", &fitted(seed, session.layout()));
        }
        reckons(session.layout())?;
    }
}

/// Water is reckoned or the reason is told why not; every number that is told is one.
fn reckons(layout: &Layout) -> Result<(), TestCaseError> {
    let site = Site::of(layout);
    let circuit = Circuit::of(&site);
    let report = FlowReport::new("", &circuit, &Conditions::with(Open::Everything));
    for outlet in &report.outlets {
        prop_assert!(outlet.flow.is_some() || !outlet.words.is_empty(), "{:?}", outlet);
        prop_assert!(outlet.flow.is_none_or(|flow| flow.value.is_finite() && flow.value >= 0.0), "{:?}", outlet);
    }
    let mut played: Vec<Played> = mains_off(&circuit, Open::Everything).into_iter().collect();
    played.extend(circuit.cisterns().filter_map(|cistern| valve_stuck(&site, cistern).ok()));
    played.extend(circuit.cylinders().filter_map(|cylinder| heat_up(&circuit, cylinder).ok()));
    for played in &played {
        let levels = played.moments.iter().flat_map(|moment| &moment.levels_mm).map(|(_, level_mm)| *level_mm);
        let times = played.moments.iter().map(|moment| moment.time_s);
        prop_assert!(levels.chain(times).all(f64::is_finite), "{}", played.title);
    }
    let litres = jobs(&circuit).into_iter().filter_map(|job| job.drain_l);
    prop_assert!(litres.into_iter().all(|litres| litres.is_finite() && litres >= 0.0));
    prop_assert!(sizes(layout).iter().all(|size| size.smallest_mm.is_some() || !size.words.is_empty()));
    Ok(())
}
