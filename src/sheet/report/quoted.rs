//! The chapter of a report that sets a quote against the drawing.

use super::Block;
use crate::finding::capital;
use crate::rules::{Voice, said};
use crate::takeoff::quote::{Compared, Comparison, LINES_NOT_UNDERSTOOD, LINES_SET_ASIDE, QuoteLine, State, TO_ASK};

/// What the quote contradicts, leaves out, does not mention and covers, and what to ask.
pub(super) fn chapter(quote: &Comparison, voice: Voice) -> Vec<Block> {
    let mut blocks =
        vec![Block::Chapter("The quote".to_owned()), Block::Paragraph(format!("{}.", quote.how_matched()))];
    for state in State::ALL {
        let mut topics = quote.topics.iter().filter(|compared| compared.state == state).peekable();
        if topics.peek().is_some() {
            blocks.push(Block::Section(capital(state.words())));
        }
        for compared in topics {
            blocks.push(Block::Paragraph(said(capital(compared.topic), voice)));
            blocks.push(Block::Points(points(compared, voice)));
        }
    }
    let spoken = |line: &QuoteLine| capital(line.spoken());
    let aside = quote.set_aside.iter().map(|aside| format!("{} ({})", spoken(&aside.line), said(&aside.why, voice)));
    let asked = quote.questions.iter().map(|question| said(capital(question), voice));
    for (heading, points) in [
        (LINES_NOT_UNDERSTOOD, quote.not_understood.iter().map(spoken).collect::<Vec<String>>()),
        (LINES_SET_ASIDE, aside.collect()),
        (TO_ASK, asked.collect()),
    ] {
        if !points.is_empty() {
            blocks.extend([Block::Section(heading.to_owned()), Block::Points(points)]);
        }
    }
    blocks
}

/// What is drawn of a thing, which rules ask for it, and what the quote says of it; the quote's own words stay as they are.
fn points(compared: &Compared, voice: Voice) -> Vec<String> {
    let named = |name: &'static str, all: &[String]| -> Vec<String> {
        all.iter().map(|words| format!("{name}: {}", said(words, voice))).collect()
    };
    let mut points = named("Drawn", &compared.drawn);
    points.extend(compared.asked_by.iter().map(|rule| format!("Rule: {}", said(rule.spoken(voice), voice))));
    points.extend(compared.matches.iter().map(|matched| {
        let confirmed = if matched.confirmed { "confirmed" } else { "not confirmed" };
        format!("Quoted, {confirmed}: {}", matched.spoken())
    }));
    points.extend(named("But", &compared.contradictions));
    points.extend(named("Other", &compared.differences));
    points
}
