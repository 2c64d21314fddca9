//! The words and numbers of a line of a quote.

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

impl Words {
    /// Reads a line: small letters, numbers apart from what follows them ("22mm" is 22 and mm).
    pub fn of(text: &str) -> Self {
        let mut words: Vec<String> = Vec::new();
        let mut word = String::new();
        let mut end = |word: &mut String| {
            let done = std::mem::take(word);
            let done = done.trim_end_matches('.').to_owned();
            if !done.is_empty() {
                words.push(done);
            }
        };
        for letter in text.to_lowercase().chars() {
            let was_number = word.ends_with(|c: char| c.is_ascii_digit() || c == '.') && starts_with_digit(&word);
            if letter.is_ascii_digit() {
                if !was_number {
                    end(&mut word);
                }
                word.push(letter);
            } else if letter == '.' && was_number {
                word.push(letter);
            } else if letter.is_alphabetic() {
                if was_number {
                    end(&mut word);
                }
                word.push(letter);
            } else if !(letter == ',' && was_number) {
                end(&mut word);
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

    /// How many the line is about: a number at its beginning, or one before "x", "no" or "off"; one when it says nothing.
    pub fn count(&self) -> f64 {
        let counted = self.numbers_in(&["x", "no", "off", "nr", "pcs"]).first().copied();
        let leading = || {
            let first = number(self.words.first()?)?;
            let next = self.words.get(1)?;
            let measures = ["mm", "m", "l", "ltr", "litre", "litres", "gal", "gallon", "gallons", "kg", "cm"];
            (!measures.contains(&next.as_str()) && first.fract() == 0.0).then_some(first)
        };
        counted.or_else(leading).unwrap_or(1.0)
    }

    /// Whether the line says that what it names is not part of the quote.
    pub fn leaves_out(&self) -> bool {
        self.leaves_out_by().is_some()
    }

    /// The words by which it does.
    pub fn leaves_out_by(&self) -> Option<String> {
        let phrase = LEAVING_OUT.iter().find(|phrase| self.words.windows(phrase.len()).any(|words| words == **phrase));
        if let Some(phrase) = phrase {
            return Some(phrase.join(" "));
        }
        // "2 no gate valves" counts; "no lid" does not.
        let is_plain_no = |at: usize| self.words[at] == "no" && (at == 0 || number(&self.words[at - 1]).is_none());
        (0..self.words.len()).any(is_plain_no).then(|| "no".to_owned())
    }
}

fn starts_with_digit(word: &str) -> bool {
    word.starts_with(|c: char| c.is_ascii_digit())
}

fn number(word: &str) -> Option<f64> {
    word.parse().ok().filter(|number: &f64| number.is_finite() && starts_with_digit(word))
}

/// Whether a word is a form of a stem: the same, its plural, or, for a stem of five letters or more, one that goes on.
fn is_form_of(word: &str, stem: &str) -> bool {
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
        assert_eq!(words.count(), 2.0);
        assert!(!words.leaves_out());
    }

    #[test]
    fn what_is_left_out_is_told_from_what_is_counted() {
        assert_eq!(Words::of("Lid by others").leaves_out_by(), Some("by others".to_owned()));
        assert_eq!(Words::of("No lid").leaves_out_by(), Some("no".to_owned()));
        assert_eq!(Words::of("3 no lids").leaves_out_by(), None);
        assert_eq!(Words::of("22 mm copper tube").count(), 1.0);
    }

    #[test]
    fn a_word_is_known_in_its_forms() {
        assert!(is_form_of("insulation", "insul") && is_form_of("lids", "lid") && is_form_of("vented", "vented"));
        assert!(!is_form_of("lidded", "lid") && !is_form_of("ventilation", "vent"));
    }
}
