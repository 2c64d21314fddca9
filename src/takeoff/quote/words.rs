//! The words and numbers of a line of a quote.

/// Where some words of a line stand: the number of the first, and the one after the last.
pub(super) type Place = std::ops::Range<usize>;

/// What a line says, read into words.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Words {
    words: Vec<String>,
    /// Which words a comma, a bracket or the like stands before.
    breaks: Vec<usize>,
}

/// Short ways of writing that would fall apart at the stroke.
const WRITTEN_SHORT: &[(&str, &str)] =
    &[("c/w", "with"), ("w/o", "without"), ("n/a", "none"), ("re-used", "reused"), ("re-use", "reuse")];

impl Words {
    /// Reads a line: small letters, numbers apart from what follows them ("22mm" is 22 and mm). Fractions ("3/4") and
    /// money ("£25") are words, and the number of the line in a list is none.
    pub fn of(text: &str) -> Self {
        let text = with_counts_out_of_brackets(without_list_number(text));
        let text: Vec<String> = text.to_lowercase().split(' ').map(written_out).collect();
        let text = text.join(" ");
        let mut words: Vec<String> = Vec::new();
        let mut breaks: Vec<usize> = Vec::new();
        let mut word = String::new();
        let mut letters = text.chars().peekable();
        while let Some(letter) = letters.next() {
            let was_figure = word.ends_with(|c: char| c.is_ascii_digit() || ".£$€".contains(c)) && is_figure(&word);
            let goes_on = letters.peek().is_some_and(char::is_ascii_digit);
            match letter {
                '0'..='9' => {
                    if !was_figure && !word.ends_with('/') {
                        end(&mut word, &mut words);
                    }
                    word.push(letter);
                }
                '.' | '/' if was_figure => word.push(letter),
                ',' if was_figure && goes_on => {}
                '£' | '$' | '€' => {
                    end(&mut word, &mut words);
                    word.push(letter);
                }
                '×' => {
                    end(&mut word, &mut words);
                    word.push('x');
                    end(&mut word, &mut words);
                }
                _ if letter.is_alphabetic() => {
                    if word.ends_with('/') {
                        end(&mut word, &mut words);
                        word.push_str("per");
                        end(&mut word, &mut words);
                    } else if was_figure {
                        end(&mut word, &mut words);
                    }
                    word.push(letter);
                }
                _ => {
                    end(&mut word, &mut words);
                    let ends_a_sentence = letter == '.' && letters.peek().is_none_or(|next| next.is_whitespace());
                    if ends_a_sentence || BREAKS.contains(letter) {
                        breaks.push(words.len());
                    }
                }
            }
        }
        end(&mut word, &mut words);
        Self { words, breaks }
    }

    /// Where the words of the line hold all of some stems, in the order of the stems, beginning at each word that is one.
    pub fn holding(&self, stems: &[&str]) -> Vec<Vec<Place>> {
        let mut places_of_stems: Vec<Vec<Place>> = Vec::new();
        for stem in stems {
            let places = self.places_of_stem(stem);
            if places.is_empty() {
                return Vec::new();
            }
            places_of_stems.push(places);
        }
        let from = |first: usize| -> Option<Vec<Place>> {
            let next = |places: &Vec<Place>| places.iter().find(|place| place.start >= first).cloned();
            let places: Vec<Place> = places_of_stems.iter().map(next).collect::<Option<_>>()?;
            (places.iter().map(|place| place.start).min() == Some(first)).then_some(places)
        };
        (0..self.words.len()).filter_map(from).collect()
    }

    /// Where words are forms of a stem, or side by side of those of which it is made.
    fn places_of_stem(&self, stem: &str) -> Vec<Place> {
        // A word is never the form of a stem with another first letter, and nearly all words are of none.
        let begins_alike = |at: &usize| self.words[*at].as_bytes().first() == stem.as_bytes().first();
        let place = |at: usize| {
            let stems = stem.split(' ');
            let place = at..at + stems.clone().count();
            let is_form = |(at, stem): (usize, &str)| self.words.get(at).is_some_and(|word| is_form_of(word, stem));
            let is_parted = (place.start + 1..place.end).any(|at| self.breaks_before(at));
            (!is_parted && place.clone().zip(stems).all(is_form)).then_some(place)
        };
        (0..self.words.len()).filter(begins_alike).filter_map(place).collect()
    }

    /// The words of a place as they stand.
    pub fn spoken(&self, place: Place) -> String {
        self.words[place].join(" ")
    }

    /// The words, in their order.
    pub fn all(&self) -> &[String] {
        &self.words
    }

    /// A word; nothing beyond the last.
    pub fn word(&self, at: usize) -> &str {
        self.all().get(at).map_or("", String::as_str)
    }

    /// Whether a comma, a bracket or the like stands before a word.
    pub fn breaks_before(&self, at: usize) -> bool {
        self.breaks.contains(&at)
    }

    /// The words from one place to another.
    pub fn between(&self, from: usize, to: usize) -> Self {
        let breaks = self.breaks.iter().filter(|at| (from..to).contains(at)).map(|at| at - from);
        Self { words: self.words[from..to].to_vec(), breaks: breaks.collect() }
    }

    /// The words without those of which `is_cut` is true; where they stood, there is a break.
    pub fn without(&self, is_cut: impl Fn(usize) -> bool) -> Self {
        let mut kept = Self { words: Vec::new(), breaks: Vec::new() };
        for (at, word) in self.words.iter().enumerate() {
            if self.breaks_before(at) || (at > 0 && is_cut(at - 1)) {
                kept.breaks.push(kept.words.len());
            }
            if !is_cut(at) {
                kept.words.push(word.clone());
            }
        }
        kept
    }

    /// Where a phrase stands.
    pub fn places_of<'a>(&'a self, phrase: &'a [&str]) -> impl Iterator<Item = usize> + 'a {
        let windows = self.words.windows(phrase.len().max(1)).enumerate();
        windows.filter(move |(_, words)| *words == phrase).map(|(at, _)| at)
    }

    /// Whether any of some stems is among the words.
    pub fn hold_any(&self, stems: &[&str]) -> bool {
        stems.iter().any(|stem| self.words.iter().any(|word| is_form_of(word, stem)))
    }

    /// The numbers that stand before one of some words: `22` in "22 mm".
    pub fn numbers_in(&self, units: &[&str]) -> Vec<f64> {
        let pairs = self.words.windows(2).filter(|pair| units.contains(&pair[1].as_str()));
        pairs.filter_map(|pair| number(&pair[0])).collect()
    }

    /// The numbers that stand after a word: `2` in "part 2".
    pub fn numbers_after(&self, word: &str) -> Vec<f64> {
        let pairs = self.words.windows(2).filter(|pair| pair[0] == word);
        pairs.filter_map(|pair| number(&pair[1])).collect()
    }
}

/// What parts a line into clauses.
const BREAKS: &str = ",;:()–—";

/// A word as it is spoken, where it is written short.
fn written_out(word: &str) -> String {
    let bare = word.trim_matches(|c: char| !c.is_alphanumeric());
    let long = WRITTEN_SHORT.iter().find(|(short, _)| *short == bare);
    long.map_or_else(|| word.to_owned(), |(short, long)| word.replace(short, long))
}

/// Ends a word that is being read.
fn end(word: &mut String, words: &mut Vec<String>) {
    let done = std::mem::take(word);
    let done = done.trim_end_matches(['.', '/']);
    if !done.is_empty() {
        words.push(done.to_owned());
    }
}

/// A line without its number in a list: "2. Lid" and "2) Lid" are "Lid", "2.5 m" is what it is.
pub(super) fn without_list_number(text: &str) -> &str {
    let rest = text.trim_start().trim_start_matches(|c: char| c.is_ascii_digit());
    let is_number = rest.len() < text.trim_start().len();
    match rest.strip_prefix(['.', ')']) {
        Some(line) if is_number && line.starts_with(char::is_whitespace) => line,
        _ => text,
    }
}

/// A larger number in brackets is a year or a page, and no count.
const MOST_IN_BRACKETS: u32 = 100;

/// A line in which a whole number alone in brackets is said to be a quantity; at the beginning it is that of a list.
fn with_counts_out_of_brackets(text: &str) -> String {
    let mut parts = text.split('(');
    let mut line = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        let alone = part.split_once(')').and_then(|(inside, after)| Some((inside.trim().parse::<u32>().ok()?, after)));
        match alone {
            Some((count, after)) if count <= MOST_IN_BRACKETS && !line.trim().is_empty() => {
                line.extend([" qty ", &count.to_string(), " ", after]);
            }
            Some((_, after)) => line.extend([" ", after]),
            None => line.extend([" (", part]),
        }
    }
    line
}

/// Whether a word is a number or money so far.
fn is_figure(word: &str) -> bool {
    word.starts_with(|c: char| c.is_ascii_digit() || "£$€".contains(c))
}

fn starts_with_digit(word: &str) -> bool {
    word.starts_with(|c: char| c.is_ascii_digit())
}

pub(super) fn number(word: &str) -> Option<f64> {
    word.parse().ok().filter(|number: &f64| number.is_finite() && starts_with_digit(word))
}

/// Whether a word is a form of a stem: the same, its plural, or, for a stem of five letters or more, one that goes on.
pub(super) fn is_form_of(word: &str, stem: &str) -> bool {
    word == stem || word.strip_suffix('s') == Some(stem) || (stem.len() >= 5 && word.starts_with(stem))
}

#[cfg(test)]
mod tests {
    use super::super::counts::Count;
    use super::*;

    #[test]
    fn numbers_stand_apart_from_their_units() {
        let words = Words::of("2no. 22mm gate valves, 1,000 L (28.5 kg)");
        assert_eq!(words.words, ["2", "no", "22", "mm", "gate", "valves", "1000", "l", "28.5", "kg"]);
        assert_eq!(words.numbers_in(&["mm"]), [22.0]);
        assert_eq!(
            Words::of("3/4 in, £8.20/m, 2.5m × 3").words,
            ["3/4", "in", "£8.20", "per", "m", "2.5", "m", "x", "3"]
        );
        assert_eq!(words.count(), Count::Told(2.0));
    }

    #[test]
    fn a_comma_parts_a_line_and_not_a_number() {
        let words = Words::of("1,000 L tank, lid (rigid)");
        assert_eq!(words.words, ["1000", "l", "tank", "lid", "rigid"]);
        assert_eq!((0..5).map(|at| words.breaks_before(at)).collect::<Vec<_>>(), [false, false, false, true, true]);
        let without = words.without(|at| at == 2);
        assert_eq!(without.words, ["1000", "l", "lid", "rigid"]);
        assert!(without.breaks_before(2) && !without.breaks_before(1));
        assert_eq!(Words::of("tank c/w lid").words, ["tank", "with", "lid"]);
    }

    #[test]
    fn a_word_is_known_in_its_forms() {
        assert!(is_form_of("insulation", "insul") && is_form_of("lids", "lid") && is_form_of("vented", "vented"));
        assert!(!is_form_of("lidded", "lid") && !is_form_of("ventilation", "vent"));
    }
}
