//! The Plain reading from one end of the window to the other: no word of the trade that has an everyday one.

use std::collections::BTreeSet;
use std::time::{Duration, Instant};

use egui::accesskit::Role;
use egui_kittest::Harness;
use egui_kittest::kittest::NodeT as _;
use loftwright::desk::{Action, Aspect, Command, Desk};
use loftwright::finding::{Findings, capital};
use loftwright::layout::{Heading, Id};
use loftwright::measure::Site;
use loftwright::rules::{self, Piece, Profile, Rule, Voice, pieces};
use loftwright::session::Session;
use loftwright::sheet::report::{Block, report};

use crate::asking::{ask, give};
use crate::example::example;
use crate::reading::layout;
use crate::screen;

/// Longer than this nobody waits, even on a machine that does much else.
const PATIENCE: Duration = Duration::from_secs(60);

fn window(name: &str) -> Harness<'static, Desk> {
    // High enough that nothing is left out because it lies below the edge.
    let mut harness = screen::show(Desk::new(Session::new(example(name))), [1360.0, 2400.0]);
    give(&mut harness, Command::Reading(Voice::Plain));
    harness
}

/// What a source is called stays as it is.
fn names_a_source(text: &str) -> bool {
    let text = capital(text);
    let ends = |source: &str| text.ends_with(source) || text.ends_with(&capital(source));
    let of_others = |rule: &Rule| rule.others_say.iter().any(|other| ends(other.source));
    rules::table().iter().any(|rule| text.starts_with(&capital(rule.authority())) || of_others(rule))
}

/// Everything that the window says, but what somebody has typed.
fn spoken(harness: &Harness<'_, Desk>) -> BTreeSet<String> {
    let Heading { title, notes, .. } = &layout(harness).heading;
    let is_id = |text: &str| layout(harness).parts().any(|part| part.id().as_str() == text);
    let is_field = |role| matches!(role, Role::TextInput | Role::MultilineTextInput);
    let said = harness.root().children_recursive().flat_map(|node| {
        let node = node.accesskit_node();
        [node.label(), node.value().filter(|_| !is_field(node.role()))]
    });
    let typed = |text: &String| text.contains(title.as_str()) || notes.contains(text.trim()) || is_id(text);
    said.flatten().filter(|text| !typed(text) && !names_a_source(text)).collect()
}

/// Words of the trade in a text, where everyday words could stand.
fn of_the_trade(text: &str) -> Vec<&str> {
    let word = |piece| match piece {
        Piece::Term(word, term) if term.plain.is_some() && !term.is_everyday() => Some(word),
        _ => None,
    };
    pieces(text).into_iter().filter_map(word).collect()
}

/// What the window says now that is no everyday language.
fn jargon(harness: &Harness<'_, Desk>, where_at: &str) -> Vec<String> {
    let texts = spoken(harness).into_iter().filter(|text| !of_the_trade(text).is_empty());
    texts.map(|text| format!("{where_at}: {:?} in '{text}'", of_the_trade(&text))).collect()
}

fn none_of(complaints: Vec<String>) {
    let complaints: BTreeSet<String> = complaints.into_iter().collect();
    let listed: Vec<String> = complaints.into_iter().collect();
    assert!(listed.is_empty(), "{}\n{}", listed.len(), listed.join("\n"));
}

#[test]
fn plain_speaks_no_word_of_the_trade_in_any_view() {
    let mut complaints = Vec::new();
    for example in ["sound_indirect", "low_loft", "half_described", "feed_and_expansion"] {
        let mut harness = window(example);
        for aspect in Aspect::ALL {
            give(&mut harness, Command::Look(aspect));
            complaints.extend(jargon(&harness, &format!("{example}, {aspect:?}")));
        }
    }
    none_of(complaints);
}

#[test]
fn nor_of_any_part() {
    let mut complaints = Vec::new();
    for example in ["low_loft", "half_described", "feed_and_expansion"] {
        let mut harness = window(example);
        let ids: Vec<Id> = layout(&harness).parts().map(|part| part.id().clone()).collect();
        for id in ids {
            let name = id.to_string();
            ask(&mut harness, Action::Select(Some(id)));
            complaints.extend(jargon(&harness, &name));
        }
    }
    none_of(complaints);
}

#[test]
fn nor_of_any_finding() {
    let mut complaints = Vec::new();
    for example in ["low_loft", "half_described"] {
        let mut harness = window(example);
        let findings: Vec<_> = harness.state().session().findings().keyed().map(|(key, _)| key.clone()).collect();
        for key in findings {
            let rule = key.rule;
            ask(&mut harness, Action::Choose(Some(key)));
            complaints.extend(jargon(&harness, rule));
        }
    }
    none_of(complaints);
}

#[test]
fn nor_of_what_would_put_it_right() {
    let mut harness = window("low_loft");
    harness.state_mut().push(Action::Command(Command::MendAll));
    let begun = Instant::now();
    while !spoken(&harness).iter().any(|text| text.starts_with("Take 1:")) {
        assert!(begun.elapsed() < PATIENCE, "nothing was offered");
        std::thread::sleep(Duration::from_millis(5));
        harness.step();
    }
    none_of(jargon(&harness, "mending"));
}

#[test]
fn nor_in_what_opens_over_the_drawing() {
    let mut complaints = Vec::new();
    for command in [Command::Start, Command::EnterSurvey, Command::Variants, Command::Ask, Command::Keys, Command::Tour]
    {
        let mut harness = window("low_loft");
        harness.state_mut().push(Action::Command(command));
        // What opens over the drawing comes in by degrees.
        harness.run_steps(10);
        complaints.extend(jargon(&harness, &format!("{command:?}")));
    }
    none_of(complaints);
}

#[test]
fn nor_in_a_report() {
    let mut complaints = Vec::new();
    for example in ["low_loft", "half_described", "feed_and_expansion"] {
        let path = format!("{}/examples/{example}.loft.ron", env!("CARGO_MANIFEST_DIR"));
        let layout = loftwright::file::read(std::path::Path::new(&path)).expect("an example reads");
        let site = Site::of(&layout);
        let document = report(&site, Profile::usual(), &Findings::of(&site), Voice::Plain);
        let typed = |text: &str| layout.heading.notes.contains(text);
        let texts = document.blocks.iter().flat_map(words_of).filter(|text| !typed(text) && !names_a_source(text));
        let texts = texts.filter(|text| !of_the_trade(text).is_empty());
        complaints.extend(texts.map(|text| format!("{example}: {:?} in '{text}'", of_the_trade(&text))));
    }
    none_of(complaints);
}

/// Each text of a block of a report.
fn words_of(block: &Block) -> Vec<String> {
    match block {
        Block::Chapter(words) | Block::Entry(_, words) | Block::Section(words) | Block::Paragraph(words) => {
            vec![words.clone()]
        }
        Block::Named("Source", _) => Vec::new(),
        Block::Named(_, words) => vec![words.clone()],
        Block::Points(points) | Block::ToTick(points) | Block::Working(points) => points.clone(),
        Block::Pictures(pictures) => pictures.iter().map(|picture| picture.words.clone()).collect(),
        Block::Table(heads, rows) | Block::Form(heads, rows) => {
            heads.iter().map(ToString::to_string).chain(rows.iter().flatten().cloned()).collect()
        }
        Block::Worked(heads, rows) => {
            let cells = rows.iter().flat_map(|row| row.cells.iter().chain([&row.working]).cloned());
            heads.iter().map(ToString::to_string).chain(cells).collect()
        }
    }
}
