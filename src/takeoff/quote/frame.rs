//! Lines of a quote that are its frame and quote nothing: headings, addresses, dates, totals, terms.

use super::QuoteLine;
use super::words::{Words, without_list_number};

/// What a line of the frame is, with the words by which that is known.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Frame {
    /// A heading, an address, a date or a total: what it names is quoted elsewhere or not at all.
    Heading(String),
    /// Tax or terms, which are nothing by themselves; where a thing is named as well, the line is about that.
    Remark(String),
}

/// The first word of a line by which it is a heading.
const HEADING: &[&str] =
    &["to", "re", "ref", "reference", "subject", "dear", "attn", "address", "site", "date", "job", "project"];
/// These as well, with a colon after them.
const HEADING_WITH_COLON: &[&str] =
    &["for", "from", "work", "works", "description", "quotation", "quote", "estimate", "name", "title"];
/// The first word of a line by which it adds others up, or speaks of paying.
const TOTAL: &[&str] = &["total", "totals", "subtotal", "vat", "deposit", "balance", "amount", "sum", "grand", "net"];
/// The same in two words.
const TO_ADD_UP: &[&[&str]] = &[&["sub", "total"], &["to", "pay"]];
/// What is paid for work alone.
const LABOUR: &[&str] = &["labour", "labor"];
/// What a paper is called. With a number or a name after it, it heads the paper.
const PAPER: &[&str] = &["quote", "quotation", "estimate", "invoice"];
const AFTER_A_PAPER: &[&str] = &["no", "number", "nr", "ref", "reference", "for", "to", "date", "dated"];
/// The first word of a line that ends a letter, or says how to reach someone or to pay.
const TERMS: &[&str] = &[
    "yours",
    "regards",
    "kind",
    "thank",
    "thanks",
    "signed",
    "terms",
    "payment",
    "payable",
    "valid",
    "validity",
    "tel",
    "telephone",
    "phone",
    "mobile",
    "mob",
    "email",
    "web",
    "www",
    "page",
    "company",
    "registered",
];
/// The columns of a table.
const COLUMNS: &[&str] = &[
    "item",
    "description",
    "qty",
    "quantity",
    "number",
    "no",
    "price",
    "unit",
    "units",
    "rate",
    "total",
    "cost",
    "amount",
    "each",
    "what",
    "size",
    "vat",
    "ref",
];
const MONTHS: &[&str] = &[
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
    "jan",
    "feb",
    "mar",
    "apr",
    "jun",
    "jul",
    "aug",
    "sep",
    "sept",
    "oct",
    "nov",
    "dec",
];
const STREETS: &[&str] = &[
    "lane", "road", "street", "avenue", "close", "drive", "way", "terrace", "crescent", "grove", "gardens", "fold",
    "row", "court", "rd", "ave", "place", "hill", "walk", "mews",
];
/// Work that is quoted, and no heading.
const QUOTED: &[&str] = &["supply", "fit", "install", "provide", "allow", "include", "lag", "replace"];
/// A list is numbered where so many lines are.
const NUMBERED: usize = 3;

/// A quote, read for its frame.
pub(super) struct Paper {
    /// Number of the line with which a numbered list begins.
    list_from: Option<usize>,
    is_all_capitals: bool,
}

impl Paper {
    pub fn of(quote: &[QuoteLine]) -> Self {
        let is_numbered = |line: &&QuoteLine| without_list_number(&line.text).len() < line.text.len();
        let numbered: Vec<usize> = quote.iter().filter(is_numbered).map(|line| line.number).collect();
        Self {
            list_from: numbered.first().copied().filter(|_| numbered.len() >= NUMBERED),
            is_all_capitals: quote.iter().all(|line| is_in_capitals(&line.text)),
        }
    }

    /// What of the frame a line is; nothing where it seems to quote something.
    pub fn frame(&self, line: &QuoteLine, words: &Words) -> Option<Frame> {
        let text = line.text.trim();
        let said = |what: &str| Some(what.to_owned());
        let heading = || {
            let first = words.all().first()?.as_str();
            let has_colon = words.breaks_before(1);
            let has_price = text.contains(['£', '$', '€']);
            let is_numbered = without_list_number(text).len() < text.len();
            if TOTAL.contains(&first) || TO_ADD_UP.iter().any(|words_of| words.places_of(words_of).any(|at| at == 0)) {
                return said("it adds up or speaks of paying");
            }
            if is_table_head(words) {
                return said("it names the columns of a table");
            }
            if HEADING.contains(&first) && (has_colon || !matches!(first, "to" | "job" | "site"))
                || (has_colon && HEADING_WITH_COLON.contains(&first))
            {
                return Some(format!("it begins with '{first}'"));
            }
            if text.ends_with(':') || (is_in_capitals(text) && !self.is_all_capitals && !has_digit(text)) {
                return said("it is written as a heading");
            }
            if has_price || is_numbered {
                return None;
            }
            if let Some(paper) = heads_a_paper(words) {
                return Some(format!("it says '{paper}'"));
            }
            let quotes = words.hold_any(QUOTED);
            match (date(words), address(text)) {
                (Some(date), _) if !quotes => Some(format!("it holds the date '{date}'")),
                (_, Some(address)) if !quotes => Some(format!("it holds the address '{address}'")),
                _ if self.list_from.is_some_and(|from| line.number < from) && !quotes && !has_digit(text) => {
                    said("it stands before the numbered list")
                }
                _ => None,
            }
        };
        heading().map(Frame::Heading).or_else(|| remark(text, words).map(Frame::Remark))
    }
}

fn remark(text: &str, words: &Words) -> Option<String> {
    let first = words.all().first()?.as_str();
    if TERMS.contains(&first) || text.contains('@') && !text.contains(['£', '$', '€']) && text.contains('.') {
        return Some("it holds terms, or how to reach someone".to_owned());
    }
    let of_price = ["vat", "total", "subtotal"].iter().chain(LABOUR).find(|word| words.hold_any(&[word]));
    of_price.map(|word| format!("it says '{word}'"))
}

fn has_digit(text: &str) -> bool {
    text.chars().any(|letter| letter.is_ascii_digit())
}

fn is_in_capitals(text: &str) -> bool {
    text.chars().any(char::is_alphabetic) && !text.chars().any(char::is_lowercase)
}

fn is_table_head(words: &Words) -> bool {
    words.all().len() > 1 && words.all().iter().all(|word| COLUMNS.contains(&word.as_str()))
}

fn heads_a_paper(words: &Words) -> Option<String> {
    let all = words.all();
    let heads = |at: &usize| {
        let is_paper = PAPER.contains(&all[*at].as_str());
        is_paper && all.get(at + 1).is_none_or(|after| AFTER_A_PAPER.contains(&after.as_str()) || is_whole(after))
    };
    (0..all.len()).find(heads).map(|at| all[at..(at + 2).min(all.len())].join(" "))
}

fn is_whole(word: &str) -> bool {
    !word.is_empty() && word.chars().all(|letter| letter.is_ascii_digit())
}

/// A day with its month in words, or in figures.
fn date(words: &Words) -> Option<String> {
    let all = words.all();
    let is_day = |word: &String| word.parse().is_ok_and(|day: u32| (1..=31).contains(&day));
    let in_words = all.windows(3).find_map(|three| {
        let is_ending = |word: &String| matches!(word.as_str(), "st" | "nd" | "rd" | "th");
        let month = if is_ending(&three[1]) { &three[2] } else { &three[1] };
        (is_day(&three[0]) && MONTHS.contains(&month.as_str())).then(|| format!("{} {month}", three[0]))
    });
    let last_two = || {
        let [.., day, month] = all else { return None };
        (is_day(day) && MONTHS.contains(&month.as_str())).then(|| format!("{day} {month}"))
    };
    let in_figures = |word: &&String| word.split(['/', '.']).count() == 3 && word.split(['/', '.']).all(is_whole);
    in_words.or_else(last_two).or_else(|| all.iter().find(in_figures).cloned())
}

/// A number with the name of a street after it, both written as names are.
fn address(text: &str) -> Option<String> {
    let all: Vec<&str> =
        text.split_whitespace().map(|word| word.trim_matches(|c: char| !c.is_alphanumeric())).collect();
    /// "4 Old Cobble Lane": so many words may stand between.
    const NAME: usize = 2;
    let is_name = |word: &&str| word.starts_with(char::is_uppercase);
    let from = |at: usize| {
        let is_street = |end: &usize| all.get(*end).is_some_and(|word| STREETS.contains(&word.to_lowercase().as_str()));
        let street = (at + 2..=at + 1 + NAME).find(is_street)?;
        all[at + 1..=street].iter().all(is_name).then(|| all[at..=street].join(" "))
    };
    (0..all.len()).filter(|at| is_whole(all[*at])).find_map(from)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn heading(text: &str) -> bool {
        let line = QuoteLine { number: 1, text: text.to_owned() };
        let others = QuoteLine { number: 2, text: "and so on".to_owned() };
        let paper = Paper::of(&[line.clone(), others]);
        matches!(paper.frame(&line, &Words::of(text)), Some(Frame::Heading(_)))
    }

    #[test]
    fn headings_addresses_dates_and_totals_quote_nothing() {
        for text in [
            "To: Mrs J. Penny, 4 Cobble Lane. Loft tank and hot water cylinder",
            "D. Harker Plumbing & Heating   Quote no. 417   14 November 2026",
            "Quotation for new loft tank",
            "COLD WATER TANK",
            "Hot water cylinder:",
            "Re: loft tank",
            "14th November 2026",
            "Tank visit 14/11/2026",
            "4 Cobble Lane, tank in loft",
            "Total £1,838 plus VAT",
            "Sub-total for tank and cylinder £695",
            "To pay 1,589.40",
            "item ; number",
        ] {
            assert!(heading(text), "{text}");
        }
        for text in [
            "Cold water tank 25 gallon £180",
            "Indirect cylinder 117 L",
            "Lid for cistern £12 plus VAT",
            "Supply and fit tank by 14 November",
            "This quote includes a lid",
            "2 way valve",
            "1 cistern with close-fitting lid",
            "Lid",
        ] {
            assert!(!heading(text), "{text}");
        }
    }
}
