//! The list as it grows: what is alike comes on one line.

use foldhash::{HashMap, HashSet};

use super::{Counted, Item, Line, Terms, Trade};
use crate::layout::Id;

/// The lines so far.
pub(super) struct Tally {
    terms: Terms,
    lines: Vec<Line>,
    /// The line of what is alike: item, words, size, and whether something has to be found out.
    numbers: HashMap<(Item, String, String, bool), usize>,
    /// Which parts a line comes from, and what has to be found out for it.
    parts: HashSet<(usize, Id)>,
    find_outs: HashSet<(usize, String)>,
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

    /// A line of it that comes from no part yet.
    fn line(self, quantity: Option<f64>) -> Line {
        let Self { trade, item, what, size, unit, find_out, tag } = self;
        let (to_order, tags) = (quantity, tag.into_iter().collect());
        let (working, parts) = (Vec::new(), Vec::new());
        Line { trade, item, what, size, quantity, to_order, unit, find_out, working, parts, tags }
    }
}

impl Tally {
    pub fn new(terms: Terms) -> Self {
        let (numbers, parts, find_outs) = Default::default();
        Self { terms, lines: Vec::new(), numbers, parts, find_outs }
    }

    /// Adds a quantity of something that comes from a part.
    pub fn add(&mut self, mut entry: Entry, quantity: f64, working: String, part: &Id) {
        let more = match entry.item {
            Item::Tube | Item::Lagging => quantity * (1.0 + self.terms.allowance),
            _ => quantity,
        };
        let (find_out, tag) = (entry.find_out.take(), entry.tag.take());
        let alike = (entry.item, entry.what.clone(), entry.size.clone(), find_out.is_some());
        let number = match self.numbers.get(&alike) {
            Some(number) => *number,
            None => {
                self.lines.push(entry.line(Some(0.0)));
                *self.numbers.entry(alike).or_insert(self.lines.len() - 1)
            }
        };
        let line = &mut self.lines[number];
        line.quantity = line.quantity.map(|so_far| so_far + quantity);
        line.to_order = line.to_order.map(|so_far| so_far + more);
        line.working.push(working);
        line.tags.extend(tag);
        if self.parts.insert((number, part.clone())) {
            line.parts.push(part.clone());
        }
        if let Some(find_out) = find_out
            && self.find_outs.insert((number, find_out.clone()))
        {
            match &mut line.find_out {
                Some(known) => known.push_str(&format!("; {find_out}")),
                None => line.find_out = Some(find_out),
            }
        }
    }

    /// Says that it is not known whether, or how much of, something belongs to a part.
    pub fn untold(&mut self, entry: Entry, find_out: impl Into<String>, part: &Id) {
        let mut line = entry.finding_out(Some(find_out.into())).line(None);
        line.parts.push(part.clone());
        self.lines.push(line);
    }

    /// The lines by trade and, within a trade, by what they are; what is alike in the order in which it came.
    pub fn into_lines(mut self) -> Vec<Line> {
        self.lines.sort_by_key(|line| (line.trade, line.item.place()));
        self.lines
    }
}
