//! What a file seems to be that is no layout, by how it begins, and what to do with it instead.

use super::fault::ReadError;
use super::tokens::{Kind, tokens};

/// What a file seems to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stranger {
    /// In a few words.
    pub words: &'static str,
    /// What to do.
    pub remedy: &'static str,
}

/// The signs by which files are told that begin with them.
const BEGINNINGS: [(&[u8], Stranger); 18] = [
    (b"%PDF-", PDF),
    (b"\x89PNG", PICTURE),
    (b"\xff\xd8\xff", PICTURE),
    (b"GIF8", PICTURE),
    (b"BM", PICTURE),
    (b"II*\0", PICTURE),
    (b"MM\0*", PICTURE),
    (b"RIFF", PICTURE),
    (b"<svg", PICTURE),
    (b"PK\x03\x04", ARCHIVE),
    (b"\x1f\x8b", ARCHIVE),
    (b"7z\xbc\xaf\x27\x1c", ARCHIVE),
    (b"Rar!", ARCHIVE),
    (b"BZh", ARCHIVE),
    (b"\xfd7zXZ\0", ARCHIVE),
    (b"\xd0\xcf\x11\xe0", OFFICE),
    (b"\x7fELF", PROGRAM),
    (b"<", PAGE),
];

/// Endings of packed files that are documents.
const OFFICE_ENDINGS: [&str; 6] = [".docx", ".odt", ".xlsx", ".ods", ".pptx", ".odp"];
/// What a drawing for exchange begins with.
const DXF_BEGINS: [&str; 2] = ["0", "SECTION"];
/// So many lines are looked at to tell a table.
const LINES_OF_TABLE: usize = 6;

const PDF: Stranger = Stranger {
    words: "a PDF",
    remedy: "open the .loft.ron file that it was made from; a quote is copied out of it as text, and set against a \
             layout in the view Take-off",
};
const PICTURE: Stranger =
    Stranger { words: "a picture", remedy: "open the .loft.ron file that it was drawn from, or draw the layout anew" };
const ARCHIVE: Stranger =
    Stranger { words: "an archive of packed files", remedy: "unpack it, and open the .loft.ron file that was in it" };
const OFFICE: Stranger = Stranger {
    words: "a document of an office program",
    remedy: "choose a .loft.ron file; a quote is saved as text first, and set against a layout in the view Take-off",
};
const PROGRAM: Stranger = Stranger { words: "a program", remedy: "choose a .loft.ron file" };
const PAGE: Stranger = Stranger {
    words: "a page or other text with marks in < and >",
    remedy: "open the .loft.ron file that it was made from",
};
const DXF: Stranger = Stranger {
    words: "a DXF drawing",
    remedy: "open the .loft.ron file that it was made from, or draw the layout anew",
};
const DATA: Stranger =
    Stranger { words: "data for other programs (JSON)", remedy: "open the .loft.ron file that they were made from" };
const TABLE: Stranger = Stranger {
    words: "a table",
    remedy: "choose a .loft.ron file; a quote or prices are opened in the view Take-off of a layout",
};
const TEXT: Stranger = Stranger {
    words: "plain text, such as a letter or a quote",
    remedy: "choose a .loft.ron file; a quote is opened in the view Take-off of a layout, or with takeoff --quote",
};

/// The error of a file that cannot be read as a layout, with what it seems to be where that is something else.
pub(super) fn named(error: ReadError, bytes: &[u8], name: &str) -> ReadError {
    match seems(bytes, name) {
        Some(seems) => ReadError::NotALayout { file: name.to_owned(), seems, detail: Box::new(error) },
        None => error,
    }
}

/// What a file seems to be; none where it may be a layout, though a damaged one, or nothing can be told.
fn seems(bytes: &[u8], name: &str) -> Option<Stranger> {
    let text = String::from_utf8_lossy(bytes);
    if begins_like_a_layout(&text) {
        return None;
    }
    let start = text.trim_start().as_bytes();
    let begins = |sign: &[u8]| bytes.starts_with(sign) || start.starts_with(sign);
    let is_office = || OFFICE_ENDINGS.iter().any(|ending| name.to_lowercase().ends_with(ending));
    match BEGINNINGS.iter().find(|(sign, _)| begins(sign)).map(|(_, stranger)| *stranger) {
        Some(ARCHIVE) if is_office() => Some(OFFICE),
        // A page may begin with what kind of page it is, and a picture that is written as text is one.
        Some(PAGE) if text.contains("<svg") => Some(PICTURE),
        // Two letters begin many words as well.
        Some(PICTURE) if begins(b"BM") && std::str::from_utf8(bytes).is_ok() => Some(TEXT),
        Some(known) => Some(known),
        // Text of an older kind is no UTF-8, but has no bytes that nothing stands for.
        None => bytes.iter().all(|byte| *byte >= b' ' || b"\t\r\n\x0c".contains(byte)).then(|| kind_of_text(&text)),
    }
}

fn kind_of_text(text: &str) -> Stranger {
    let mut lines = text.lines().map(str::trim);
    if lines.by_ref().take(DXF_BEGINS.len()).eq(DXF_BEGINS) {
        return DXF;
    }
    if text.trim_start().starts_with(['{', '[']) {
        return DATA;
    }
    let is_table = [',', ';', '\t'].into_iter().any(|between| {
        let counts = text.lines().take(LINES_OF_TABLE).filter(|line| !line.trim().is_empty());
        let mut counts = counts.map(|line| line.matches(between).count());
        let first = counts.next().unwrap_or_default();
        let mut others = counts.peekable();
        first > 0 && others.peek().is_some() && others.all(|count| count == first)
    });
    if is_table { TABLE } else { TEXT }
}

/// Whether a text begins as a layout does, as far as it goes: a bracket and the name of a field. One that has lost its
/// bracket still states its format.
fn begins_like_a_layout(text: &str) -> bool {
    // A comment that is never closed hides what stands in it.
    if text.trim_start().starts_with("/*") {
        return true;
    }
    let mut words = tokens(text).skip_while(|token| token.is("Layout"));
    match [words.next(), words.next(), words.next()] {
        [Some(first), second, third] if first.is("(") => {
            second.is_none_or(|second| second.kind != Kind::Word || third.is_none_or(|third| third.is(":")))
        }
        // Comments alone are what is left of a layout as well.
        [None, ..] => true,
        _ => tokens(text).zip(tokens(text).skip(1)).any(|(word, sign)| word.is("format") && sign.is(":")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_layout_is_told_by_how_it_begins() {
        for (bytes, name, expected) in [
            (b"%PDF-1.7\n%\xe2\xe3".as_slice(), "quote.pdf", Some(PDF)),
            (b"\x89PNG\r\n\x1a\n", "loft.png", Some(PICTURE)),
            (b"<?xml version=\"1.0\"?><svg width=\"1\">", "a.svg", Some(PICTURE)),
            (b"<!doctype html><html>", "report.html", Some(PAGE)),
            (b"PK\x03\x04rest", "house.zip", Some(ARCHIVE)),
            (b"PK\x03\x04rest", "quote.odt", Some(OFFICE)),
            (b"  0\nSECTION\n  2\nHEADER\n", "house.dxf", Some(DXF)),
            (b"{\"findings\": []}", "house.json", Some(DATA)),
            (b"item,count\ncistern,1\nlid,1\n", "prices.csv", Some(TABLE)),
            (b"BMS Heating\nTo one cistern at 1:1 of the plan", "quote.txt", Some(TEXT)),
            (b"Cistern \xa340", "quote.txt", Some(TEXT)),
            (b"(1) Cistern 50 gal, with lid", "quote.txt", Some(TEXT)),
            (b"(format: 1, cisterns: [", "house.loft.ron", None),
            (b"format: 1, cisterns: [])", "house.loft.ron", None),
            (b"((((", "house.loft.ron", None),
            (b"// of number 3\n(for", "house.loft.ron", None),
            (b"// of number 3\n", "house.loft.ron", None),
            (b"\x00\x01\xfe", "house.loft.ron", None),
        ] {
            assert_eq!(seems(bytes, name), expected, "{name}: {}", String::from_utf8_lossy(bytes));
        }
    }
}
