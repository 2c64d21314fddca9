//! The list as it grows: what is alike comes on one line.

use super::{Counted, Item, Line, Terms, Trade};
use crate::layout::Id;

/// The lines so far.
pub(super) struct Tally {
    terms: Terms,
    lines: Vec<Line>,
}

/// What is put on the list.
pub(super) struct Entry {
    pub trade: Trade,
    pub item: Item,
    pub what: String,
    pub size: String,
    pub unit: Counted,
    /// What has to be found out before it can be ordered.
    pub find_out: Option<String>,
    /// Its tag on the drawing.
    pub tag: Option<String>,
}

impl Entry {
    /// Something counted in pieces.
    pub fn each(trade: Trade, item: Item, what: impl Into<String>, size: impl Into<String>) -> Self {
        Self { trade, item, what: what.into(), size: size.into(), unit: Counted::Each, find_out: None, tag: None }
    }

    pub fn counted_in(mut self, unit: Counted) -> Self {
        self.unit = unit;
        self
    }

    pub fn tagged(mut self, tag: &str) -> Self {
        self.tag = Some(tag.to_owned());
        self
    }

    pub fn finding_out(mut self, find_out: Option<String>) -> Self {
        self.find_out = find_out;
        self
    }
}

impl Tally {
    pub const fn new(terms: Terms) -> Self {
        Self { terms, lines: Vec::new() }
    }

    /// Adds a quantity of something that comes from a part.
    pub fn add(&mut self, entry: Entry, quantity: f64, working: String, part: &Id) {
        let more = match entry.item {
            Item::Tube | Item::Lagging => quantity * (1.0 + self.terms.allowance),
            _ => quantity,
        };
        let is_same = |line: &&mut Line| {
            line.item == entry.item
                && line.what == entry.what
                && line.size == entry.size
                && line.quantity.is_some()
                && line.find_out.is_some() == entry.find_out.is_some()
        };
        if let Some(line) = self.lines.iter_mut().find(is_same) {
            line.quantity = line.quantity.map(|so_far| so_far + quantity);
            line.to_order = line.to_order.map(|so_far| so_far + more);
            line.working.push(working);
            line.tags.extend(entry.tag);
            if let (Some(known), Some(new)) = (&mut line.find_out, entry.find_out)
                && !known.contains(&new)
            {
                known.push_str("; ");
                known.push_str(&new);
            }
            if !line.parts.contains(part) {
                line.parts.push(part.clone());
            }
            return;
        }
        self.push(entry, Some(quantity), Some(more), vec![working], part);
    }

    /// Says that it is not known whether, or how much of, something belongs to a part.
    pub fn untold(&mut self, entry: Entry, find_out: impl Into<String>, part: &Id) {
        let entry = entry.finding_out(Some(find_out.into()));
        self.push(entry, None, None, Vec::new(), part);
    }

    fn push(&mut self, entry: Entry, quantity: Option<f64>, to_order: Option<f64>, working: Vec<String>, part: &Id) {
        let Entry { trade, item, what, size, unit, find_out, tag } = entry;
        let (parts, tags) = (vec![part.clone()], tag.into_iter().collect());
        self.lines.push(Line { trade, item, what, size, quantity, to_order, unit, find_out, working, parts, tags });
    }

    /// The lines by trade and, within a trade, by what they are; what is alike in the order in which it came.
    pub fn into_lines(mut self) -> Vec<Line> {
        self.lines.sort_by_key(|line| (line.trade, line.item.place()));
        self.lines
    }
}
