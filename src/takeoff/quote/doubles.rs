//! Lines of a quote that quote the same thing twice.

use super::matching::Matched;
use super::numbers::pieces;
use super::told::plain;
use super::topics::Topic;
use super::words::without_list_number;
use crate::takeoff::{Counted, Item, Line};

/// Where lines quote the same things more than once; each line is firmly quoted.
pub(super) fn doubles(topic: &Topic, lines: &[&Line], kept: &[&Matched<'_>]) -> Option<String> {
    let drawn: f64 = lines.iter().filter(|line| is_piece(line)).filter_map(|line| line.quantity).sum();
    let is_counted = lines.iter().any(|line| matches!(line.item, Item::Valve(_)));
    if lines.is_empty() || lines.iter().any(|line| matches!(line.item, Item::Tube | Item::Clip)) {
        return None;
    }
    let priced: Vec<&Matched<'_>> = kept.iter().copied().filter(|matched| matched.has_price()).collect();
    // Where some lines have a price, the others only say more of the same.
    let quoting = if priced.is_empty() { kept.to_vec() } else { priced };
    let same: Vec<usize> = same_words(&quoting);
    let pieces = |matched: &&Matched<'_>| if is_counted { pieces(topic, &matched.words) } else { Some(1.0) };
    let counts: Option<Vec<f64>> = quoting.iter().map(pieces).collect();
    let numbers = match counts {
        Some(counts) if drawn == 1.0 || (is_counted && drawn > 0.0) => {
            let enough = quoting.iter().zip(&counts).filter(|(_, pieces)| **pieces >= drawn);
            let whole: Vec<usize> = enough.map(|(matched, _)| matched.line.number).collect();
            let is_more = counts.iter().sum::<f64>() > drawn;
            if whole.len() > 1 {
                whole
            } else if is_more && counts.len() > 1 {
                quoting.iter().map(|matched| matched.line.number).collect()
            } else {
                Vec::new()
            }
        }
        _ => same,
    };
    said(numbers)
}

/// Lines of which the words are the same.
fn same_words(quoting: &[&Matched<'_>]) -> Vec<usize> {
    let words = |matched: &Matched<'_>| plain(without_list_number(&matched.line.text)).to_lowercase();
    let again = |one: &&&Matched<'_>| quoting.iter().any(|other| other.line != one.line && words(other) == words(one));
    quoting.iter().filter(again).map(|matched| matched.line.number).collect()
}

fn said(mut numbers: Vec<usize>) -> Option<String> {
    numbers.dedup();
    let (last, first) = numbers.split_last().filter(|(_, first)| !first.is_empty())?;
    let first: Vec<String> = first.iter().map(ToString::to_string).collect();
    let times = if first.len() == 1 { "quoted twice" } else { "quoted more than once" };
    Some(format!("{times}: lines {} and {last} of the text", first.join(", ")))
}

fn is_piece(line: &Line) -> bool {
    line.unit == Counted::Each
}
