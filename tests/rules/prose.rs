//! The words of each rule keep to what the program can fill in.

use loftwright::rules::{self, Limit, Piece, Term, Voice, pieces};

use super::is_number;
use super::none_of;

/// A title longer than this, in letters, is broken into three lines on the drawing.
const LONGEST_TITLE: usize = 64;

/// What stands between braces in a text.
fn gaps(text: &str) -> Vec<&str> {
    text.split('{').skip(1).map(|rest| rest.split_once('}').map_or(rest, |(gap, _)| gap)).collect()
}

#[test]
fn the_trade_words_leave_only_gaps_that_are_filled() {
    let mut complaints = Vec::new();
    for rule in rules::table() {
        let trade = rule.prose.section(Voice::Trade);
        let gaps = gaps(trade);
        let mut complain = |words: &str| complaints.push(format!("{}: {words}: {trade}", rule.id));
        let filled = [
            "part",
            "have",
            "have of",
            "have above",
            "have below",
            "have beyond",
            "have smaller",
            "at side",
            "need",
            "short",
        ];
        if gaps.iter().any(|gap| !filled.contains(gap)) {
            complain("a gap that nothing fills");
        }
        if trade.matches('{').count() != trade.matches('}').count() {
            complain("a brace without its other half");
        }
        if !gaps.contains(&"part") || !gaps.iter().any(|gap| gap.starts_with("have")) {
            complain("it does not say which part, or what was found");
        }
        if gaps.contains(&"short") && !is_number(rule) {
            complain("only a number falls short");
        }
        if gaps.contains(&"need") && matches!(rule.limit, Limit::Yes | Limit::YesWithin(_) | Limit::Told) {
            complain("it asks nothing that could be named");
        }
        if trade.lines().count() != 1 {
            complain("the trade reads one line");
        }
    }
    none_of(&complaints);
}

#[test]
fn the_trade_words_read_well_without_a_finding() {
    let mut complaints = Vec::new();
    for rule in rules::table() {
        let words = rule.words_in_general(Voice::Trade);
        let begins_small = words.starts_with(char::is_lowercase);
        let broken = ["the the", "The the", "what is there", "what is asked", "  ", " ;", "{", "}"];
        if begins_small || !words.ends_with('.') || broken.iter().any(|broken| words.contains(broken)) {
            complaints.push(format!("{}: {words}", rule.id));
        }
    }
    none_of(&complaints);
    let of = |id| rules::rule(id).expect("in the table").words_in_general(Voice::Trade);
    assert_eq!(
        of("board-overstressed"),
        "The board of the part takes so much of its bending strength with what stands on it filled to the rim; at \
         most 1. Have a competent person confirm."
    );
    assert_eq!(
        of("vent-offset-too-short"),
        "The way runs so many mm sideways from the cylinder before the vent rises; it needs 450 mm."
    );
    assert_eq!(
        of("cold-feed-without-valve"),
        "The drawing shows this or that; a full-way gate valve belongs in the cylinder's cold feed."
    );
}

#[test]
fn the_other_readings_have_no_gaps() {
    let mut complaints = Vec::new();
    for rule in rules::table() {
        for voice in [Voice::Teaching, Voice::Plain] {
            let text = rule.prose.section(voice);
            if text.is_empty() || !gaps(text).is_empty() {
                complaints.push(format!("{}: {}: '{text}'", rule.id, voice.heading()));
            }
        }
    }
    none_of(&complaints);
}

#[test]
fn every_title_stands_alone_in_its_reading() {
    let mut complaints = Vec::new();
    for voice in Voice::ALL {
        let mut titles: Vec<&str> = Vec::new();
        for rule in rules::table() {
            let title = rule.prose.title(voice);
            if title.is_empty() || title.contains('{') || title.ends_with('.') || title.chars().count() > LONGEST_TITLE
            {
                complaints.push(format!("{}: {}: '{title}' is no title", rule.id, voice.heading()));
            }
            if titles.contains(&title) {
                complaints.push(format!("{}: {}: '{title}' stands twice", rule.id, voice.heading()));
            }
            titles.push(title);
        }
    }
    none_of(&complaints);
}

/// Words of a text that stand in the glossary and are not said by everybody.
fn words_of_the_trade(text: &str) -> impl Iterator<Item = (&str, &'static Term)> {
    pieces(text).into_iter().filter_map(|piece| match piece {
        Piece::Term(word, term) if !term.is_everyday() => Some((word, term)),
        _ => None,
    })
}

#[test]
fn plain_titles_need_no_explaining() {
    let mut complaints = Vec::new();
    for rule in rules::table() {
        let title = rule.prose.title(Voice::Plain);
        complaints.extend(words_of_the_trade(title).map(|(word, _)| format!("{}: '{word}' in '{title}'", rule.id)));
    }
    none_of(&complaints);
}

#[test]
fn plain_takes_everyday_words_where_there_are_any() {
    let mut complaints = Vec::new();
    for rule in rules::table() {
        let avoidable = words_of_the_trade(rule.prose.section(Voice::Plain)).filter(|(_, term)| term.plain.is_some());
        complaints.extend(avoidable.map(|(word, _)| format!("{}: '{word}'", rule.id)));
    }
    none_of(&complaints);
}
