//! The words and numbers of a line of a quote.

use super::counts::{self, Count};

/// What a line says, read into words.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Words {
    words: Vec<String>,
}

/// Words that leave a thing out, each as it has to stand.
const LEAVING_OUT: &[&[&str]] = &[
    &["not", "included"],
    &["not", "including"],
    &["not", "supplied"],
    &["excluded"],
    &["excluding"],
    &["excludes"],
    &["excl"],
    &["without"],
    &["omitted"],
    &["by", "others"],
    &["by", "customer"],
    &["by", "client"],
    &["no", "allowance"],
];

/// Words that say that a thing is part of the quote.
const TAKING_IN: &[&str] = &["include", "includes", "included", "including", "incl", "inclusive"];

/// What "no" and "without" before it leave out is money, and no thing.
const MONEY: &[&str] = &["charge", "charges", "cost", "costs", "extra", "vat", "fee"];
/// How many words may stand between, as in "no additional charge".
const WORDS_BETWEEN: usize = 1;

impl Words {
    /// Reads a line: small letters, numbers apart from what follows them ("22mm" is 22 and mm). Fractions ("3/4") and
    /// money ("£25") are words, and the number of the line in a list is none.
    pub fn of(text: &str) -> Self {
        let text = with_counts_out_of_brackets(without_list_number(text));
        let mut words: Vec<String> = Vec::new();
        let mut word = String::new();
        let mut end = |word: &mut String| {
            let done = std::mem::take(word);
            let done = done.trim_end_matches(['.', '/']).to_owned();
            if !done.is_empty() {
                words.push(done);
            }
        };
        for letter in text.to_lowercase().chars() {
            let was_figure = word.ends_with(|c: char| c.is_ascii_digit() || ".£$€".contains(c)) && is_figure(&word);
            match letter {
                '0'..='9' => {
                    if !was_figure && !word.ends_with('/') {
                        end(&mut word);
                    }
                    word.push(letter);
                }
                '.' | '/' if was_figure => word.push(letter),
                ',' if was_figure => {}
                '£' | '$' | '€' => {
                    end(&mut word);
                    word.push(letter);
                }
                '×' => {
                    end(&mut word);
                    word.push('x');
                    end(&mut word);
                }
                _ if letter.is_alphabetic() => {
                    if word.ends_with('/') {
                        end(&mut word);
                        word.push_str("per");
                        end(&mut word);
                    } else if was_figure {
                        end(&mut word);
                    }
                    word.push(letter);
                }
                _ => end(&mut word),
            }
        }
        end(&mut word);
        Self { words }
    }

    /// The words of the line that hold all of some stems, in the order of the stems; none when one is missing.
    pub fn holding(&self, stems: &[&str]) -> Option<Vec<&str>> {
        stems.iter().map(|stem| self.words.iter().map(String::as_str).find(|word| is_form_of(word, stem))).collect()
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

    /// How many pieces the line is about.
    pub fn count(&self) -> Count {
        counts::count(&self.words)
    }

    /// The line where it says that one thing is left out and another is not, parted between them: "excludes X but includes
    /// Y". Elsewhere all of it.
    pub fn parts(&self) -> Vec<Self> {
        let part = |words: &[String]| Self { words: words.to_vec() };
        let takes_in =
            |part: &Self| !part.leaves_out() && part.words.iter().any(|word| TAKING_IN.contains(&word.as_str()));
        let parted = |at: usize| {
            let (before, after) = (part(&self.words[..at]), part(&self.words[at + 1..]));
            let differ = (before.leaves_out() && takes_in(&after)) || (takes_in(&before) && after.leaves_out());
            differ.then(|| vec![before, after])
        };
        let mut buts = (0..self.words.len()).filter(|at| self.words[*at] == "but");
        buts.find_map(parted).unwrap_or_else(|| vec![self.clone()])
    }

    /// Whether the line says that what it names is not part of the quote.
    pub fn leaves_out(&self) -> bool {
        self.leaves_out_by().is_some()
    }

    /// The words by which it does.
    pub fn leaves_out_by(&self) -> Option<String> {
        let of_money = |at: usize| {
            let mut after = self.words.iter().skip(at + 1).take(WORDS_BETWEEN + 1);
            after.any(|word| MONEY.contains(&word.as_str()))
        };
        let stands = |phrase: &[&str]| {
            let mut windows = self.words.windows(phrase.len()).enumerate();
            windows.any(|(at, words)| words == phrase && !(phrase == ["without"] && of_money(at)))
        };
        if let Some(phrase) = LEAVING_OUT.iter().find(|phrase| stands(phrase)) {
            return Some(phrase.join(" "));
        }
        // "2 no gate valves" and "gate valves no. 2" count; "no lid" does not.
        let counts = |at: usize| counts::counts_before(&self.words, at) || counts::counts_after(&self.words, at);
        let is_plain_no = |at: usize| self.words[at] == "no" && !counts(at) && !of_money(at);
        (0..self.words.len()).any(is_plain_no).then(|| "no".to_owned())
    }
}

/// A line without its number in a list: "2. Lid" and "2) Lid" are "Lid", "2.5 m" is what it is.
fn without_list_number(text: &str) -> &str {
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
            None => line.extend([" ", part]),
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
        assert!(!words.leaves_out());
    }

    #[test]
    fn what_is_left_out_is_told_from_what_is_counted() {
        assert_eq!(Words::of("Lid by others").leaves_out_by(), Some("by others".to_owned()));
        assert_eq!(Words::of("No lid").leaves_out_by(), Some("no".to_owned()));
        assert_eq!(Words::of("3 no lids").leaves_out_by(), None);
        assert_eq!(Words::of("gate valves no. 2").leaves_out_by(), None);
        for free in ["No charge for lid", "lid without extra cost", "lid, no additional charge"] {
            assert_eq!(Words::of(free).leaves_out_by(), None, "{free}");
        }
        assert_eq!(Words::of("Cistern without lid").leaves_out_by(), Some("without".to_owned()));
        assert_eq!(Words::of("float valve part 2, no lid").leaves_out_by(), Some("no".to_owned()));
        assert_eq!(Words::of("22 mm copper tube").count(), Count::One);
    }

    #[test]
    fn what_is_left_out_ends_where_something_is_taken_in() {
        let out = |text: &str| -> Vec<bool> { Words::of(text).parts().iter().map(Words::leaves_out).collect() };
        assert_eq!(out("Price excludes jacket but includes lid"), [true, false]);
        assert_eq!(out("No jacket, but lid included"), [true, false]);
        assert_eq!(out("Includes lid but not the jacket: by others"), [false, true]);
        // Nothing is taken in on either side, or all of it is left out.
        assert_eq!(out("Excludes jacket but not lid"), [true]);
        assert_eq!(out("Lid, but not included"), [true]);
        assert_eq!(out("Excludes jacket but also excludes lid"), [true]);
        assert_eq!(out("Small cistern but including lid"), [false]);
    }

    #[test]
    fn a_word_is_known_in_its_forms() {
        assert!(is_form_of("insulation", "insul") && is_form_of("lids", "lid") && is_form_of("vented", "vented"));
        assert!(!is_form_of("lidded", "lid") && !is_form_of("ventilation", "vent"));
    }
}
