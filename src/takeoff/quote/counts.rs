//! How many pieces a line of a quote is about: before its words or after them, in figures or in words.

use super::words::{Words, is_form_of, number};

/// How many pieces a line is about.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Count {
    /// So many.
    Told(f64),
    /// It names one piece, and no number.
    One,
    /// It has a number that may be a count, several that differ, or names several pieces without a number.
    Unclear,
}

const NUMBER_WORDS: [&str; 12] =
    ["one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];
/// What stands after a count.
const AFTER: &[&str] = &["no", "nos", "nr", "off", "pc", "pcs"];
/// What stands before one.
const BEFORE: &[&str] = &["qty", "quantity", "no", "nos", "nr"];
/// What stands before a number that is a name.
const NAMED: &[&str] =
    &["part", "grade", "class", "type", "bs", "en", "item", "line", "byelaw", "pattern", "phase", "ref"];
/// Units, and what makes of a number before it a kind or a share: a two port valve, a 4 way manifold, 2 pairs.
const MEASURES: &[&str] = &[
    "mm", "cm", "m", "metre", "metres", "mtr", "mtrs", "meter", "meters", "in", "inch", "inches", "ft", "feet", "l",
    "lt", "ltr", "ltrs", "litre", "litres", "liter", "liters", "gal", "gals", "gall", "gallon", "gallons", "kg", "kw",
    "w", "bar", "hour", "hours", "hr", "hrs", "day", "days", "port", "ports", "way", "part", "piece", "turn", "stage",
    "year", "years",
];
/// What several pieces come in.
const GROUPS: &[&str] = &["pair", "set", "pack", "box", "boxes", "bag"];
/// Joins the name of a thing to what stands before it, so that a number word after it counts.
const JOINING: &[&str] = &["fit", "supply", "install", "and", "with", "plus", "of"];
/// Pieces that are counted.
const PIECES: &[&str] = &[
    "valve",
    "gatevalve",
    "stopvalve",
    "ballvalve",
    "cock",
    "stopcock",
    "draincock",
    "isolator",
    "pump",
    "cistern",
    "tank",
    "cylinder",
];
/// A number beside another with "x" between them counts up to this; what is larger is a size (assumption).
const MOST_BESIDE_A_SIZE: f64 = 12.0;
/// Outside diameters of copper tube of a house, mm (BS EN 1057).
pub(super) const TUBE_SIZES_MM: &[f64] = &[15.0, 22.0, 28.0, 35.0, 42.0, 54.0];

impl Words {
    /// How many pieces the line is about.
    pub fn count(&self) -> Count {
        let mut found = Found { line: self, counts: Vec::new(), is_unclear: false };
        found.look();
        found.count()
    }

    /// Whether a number stands before a word such as "no", so that it counts.
    pub fn counts_before(&self, at: usize) -> bool {
        at > 0 && self.figure(at - 1).is_some()
    }

    /// Whether a number stands after a word such as "no", so that it counts.
    pub fn counts_after(&self, at: usize) -> bool {
        self.figure(at + 1).is_some()
    }

    fn before(&self, at: usize) -> &str {
        at.checked_sub(1).map_or("", |before| self.word(before))
    }

    /// A whole number in figures that is neither measured nor a name.
    fn figure(&self, at: usize) -> Option<f64> {
        let is_whole = self.word(at).chars().all(|letter| letter.is_ascii_digit());
        number(self.word(at)).filter(|number| is_whole && *number >= 1.0 && self.is_free(at))
    }

    /// A number written out that is neither measured nor a name.
    fn written_out(&self, at: usize) -> Option<f64> {
        let number = NUMBER_WORDS.iter().position(|word| *word == self.word(at))? + 1;
        self.is_free(at).then_some(number as f64)
    }

    fn is_free(&self, at: usize) -> bool {
        !MEASURES.contains(&self.word(at + 1)) && !NAMED.contains(&self.before(at))
    }

    /// Whether a word says that what follows is two: "twin tanks", "a pair of tanks".
    fn is_two(&self, at: usize) -> bool {
        (self.word(at) == "twin" && self.names_several()) || (self.word(at) == "pair" && self.word(at + 1) == "of")
    }

    fn names_several(&self) -> bool {
        self.all().iter().any(|word| PIECES.iter().any(|piece| word.strip_suffix('s') == Some(piece)))
    }

    fn is_measured(&self, at: usize) -> bool {
        MEASURES.contains(&self.word(at + 1))
    }
}

struct Found<'a> {
    line: &'a Words,
    counts: Vec<f64>,
    is_unclear: bool,
}

impl Found<'_> {
    fn look(&mut self) {
        let last = self.line.all().len().saturating_sub(1);
        let mut at = 0;
        while at <= last {
            let line = self.line;
            if line.is_two(at) {
                self.counts.push(2.0);
                at += 1;
                continue;
            }
            let in_words = line.written_out(at);
            let Some(number) = line.figure(at).or(in_words) else {
                at += self.size_from(at);
                continue;
            };
            let next = line.word(at + 1);
            let leads = at == 0 || BEFORE.contains(&line.before(at)) || JOINING.contains(&line.before(at));
            let ends = at == last || AFTER.contains(&next);
            if GROUPS.iter().any(|group| is_form_of(next, group)) {
                self.is_unclear = true;
            } else if next == "x" {
                at += self.beside(at, number);
                continue;
            } else if in_words.is_some() {
                // "One" and "two" in the middle of a line may be anything.
                if leads || ends { self.counts.push(number) } else { self.is_unclear = true }
            } else {
                let is_marked = AFTER.contains(&next) || BEFORE.contains(&line.before(at)) || line.before(at) == "x";
                let is_alone_in_front = at == 0 && line.figure(1).is_none();
                if is_marked || is_alone_in_front { self.counts.push(number) } else { self.is_unclear = true }
            }
            at += 1;
        }
    }

    /// Goes on from what is measured, past what stands beside it: `22 mm x 2` counts, and `600 mm x 400` is a size.
    fn size_from(&mut self, at: usize) -> usize {
        let line = self.line;
        let is_beside = number(line.word(at)).is_some() && line.is_measured(at) && line.word(at + 2) == "x";
        if !is_beside {
            return 1;
        }
        match line.figure(at + 3) {
            Some(number) if number <= MOST_BESIDE_A_SIZE && line.word(at + 4) != "x" => {
                self.counts.push(number);
                4
            }
            Some(_) => 4,
            None => 3,
        }
    }

    /// Goes on from a number with "x" after it, past what stands there: `2 x 22 mm` counts, and `600 x 400` is a size.
    fn beside(&mut self, at: usize, first: f64) -> usize {
        let line = self.line;
        let Some(second) = number(line.word(at + 2)) else {
            self.counts.push(first);
            return 2;
        };
        let is_chain = line.word(at + 3) == "x" && number(line.word(at + 4)).is_some();
        if is_chain {
            // Three sides, or a count and two: nothing is lost where it counts nothing.
            self.is_unclear = true;
            let chain =
                line.all()[at..].iter().take_while(|word| *word == "x" || *word == "mm" || number(word).is_some());
            return chain.count();
        }
        let is_size_of_tube = line.is_measured(at + 2) || TUBE_SIZES_MM.contains(&second);
        if first <= MOST_BESIDE_A_SIZE && is_size_of_tube {
            self.counts.push(first);
        } else if TUBE_SIZES_MM.contains(&first) && !line.is_measured(at + 2) && second <= MOST_BESIDE_A_SIZE {
            self.counts.push(second);
        } else if first <= MOST_BESIDE_A_SIZE {
            self.is_unclear = true;
        }
        3
    }

    fn count(&self) -> Count {
        match self.counts.first() {
            Some(first) if !self.is_unclear && self.counts.iter().all(|other| other == first) => Count::Told(*first),
            None if !self.is_unclear && !self.line.names_several() => Count::One,
            _ => Count::Unclear,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Count::{One, Told, Unclear};
    use super::*;

    fn counted(cases: &[(&str, Count)]) {
        for (text, expected) in cases {
            assert_eq!(Words::of(text).count(), *expected, "{text}");
        }
    }

    #[test]
    fn a_count_stands_before_the_words_or_after_them() {
        counted(&[
            ("gate valves 22mm x 2", Told(2.0)),
            ("gate valves 22 mm x2", Told(2.0)),
            ("gate valves 22 ×2", Told(2.0)),
            ("gate valves x 2", Told(2.0)),
            ("x2 gate valves", Told(2.0)),
            ("2 x 22mm gate valves", Told(2.0)),
            ("2 x 22 gate valves", Told(2.0)),
            ("20 x gate valves", Told(20.0)),
            ("gate valves (2)", Told(2.0)),
            ("Two gate valves 22mm", Told(2.0)),
            ("gate valves 22mm, two", Told(2.0)),
            ("Supply twelve gate valves", Told(12.0)),
            ("gate valves 22mm, qty 2", Told(2.0)),
            ("gate valves, quantity: 2", Told(2.0)),
            ("gate valves no. 2", Told(2.0)),
            ("gate valves 22mm - 2 no", Told(2.0)),
            ("servicing valves 15mm - 4 off", Told(4.0)),
            ("two off gate valves", Told(2.0)),
            ("2 gate valves 22mm @ 12.50 each", Told(2.0)),
            ("2 no 22mm gate valves x 2", Told(2.0)),
            ("a pair of gate valves 22mm", Told(2.0)),
            ("twin gate valves 22mm", Told(2.0)),
            ("gate valve 22mm", One),
            ("gate valve 22mm £25", One),
            ("1. Gate valve 22mm", One),
            ("2) Gate valves 22mm x 2", Told(2.0)),
        ]);
    }

    #[test]
    fn a_size_is_no_count() {
        counted(&[
            ("direct cylinder 900 x 450", One),
            ("cistern 600 x 400 mm", One),
            ("cistern 600mm x 400mm", One),
            ("18 x 6 boards", One),
            ("cold water cistern 25 gallon", One),
            ("3/4 gate valve", One),
            ("float valve part 2", One),
            ("cylinder grade 3", One),
            ("Two port valve", One),
            ("cylinder (2024)", One),
        ]);
    }

    #[test]
    fn what_may_be_a_count_or_not_is_unclear() {
        counted(&[
            ("gate valves 22mm", Unclear),
            ("2 pairs of gate valves", Unclear),
            ("2 no gate valves and 3 no drain cocks", Unclear),
            ("cylinder 3 x 900 x 450", Unclear),
            ("gate valve 22mm 25", Unclear),
            ("gate valve fitted in one go", Unclear),
        ]);
    }
}
