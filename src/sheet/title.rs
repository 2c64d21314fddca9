//! The title block, with data fields after ISO 7200 (from memory), and beside or above it the scale bar and the caution.

use glam::{DVec2, dvec2};

use super::frame::{Field, Frame};
use super::furniture::{PAD_MM, STEPS_MM};
use super::page::Page;
use super::report::cell_lines;
use super::writer::number;
use super::{Paper, Sheet, SheetNumber};
use crate::scene::{Ink, Outline, PenWidth, TextAnchor, TextSize, Turn, width_mm, wrapped};

/// What every sheet says.
pub(super) const CAUTION: &str = "An aid, not a certificate: local codes and licensed practice come first.";
const KIND: &str = "Section to scale, checked";
const LENGTHS: &str = "lengths in mm, staff in m";

const FINE: Outline = Outline::solid(Ink::Ink, PenWidth::Fine.mm());
const MEDIUM: Outline = Outline::solid(Ink::Ink, PenWidth::Medium.mm());
/// Space beside the words of a cell, and from the top of a cell to its words below its name, mm.
const CELL_PAD_MM: f64 = 1.4;
const BELOW_NAME_MM: f64 = 3.2;
/// From line to line, as a share of the letter size.
const PITCH: f64 = 1.25;
/// The scale bar is no longer than this, mm.
const LONGEST_BAR_MM: f64 = 110.0;
const BAR_HIGH_MM: f64 = 1.4;

pub(super) fn draw(page: &mut Page, frame: &Frame, sheet: &Sheet, scale: f64, of_all: SheetNumber) {
    strip(page, frame, scale);
    block(page, frame.title(), sheet, scale, of_all);
}

fn block(page: &mut Page, field: Field, sheet: &Sheet, scale: f64, of_all: SheetNumber) {
    let heading = &sheet.heading;
    let paper = match sheet.paper {
        Paper::A4 => "A4",
        Paper::A3 => "A3",
    };
    let scale_words = format!("1 : {}", number(scale));
    let scale_words = match heading.scale_note.trim() {
        "" => scale_words,
        note => format!("{scale_words}; {note}"),
    };
    let sheet_words = format!("{} of {}", of_all.number, of_all.count);
    // What nobody has told stays open, to be filled in by hand.
    let cells: [(&str, &str, [f64; 2], [f64; 2]); 10] = [
        ("title", &heading.title, [0.0, 116.0], [0.0, 12.0]),
        ("drawn by", &heading.drawn_by, [116.0, 148.0], [0.0, 12.0]),
        ("date", &heading.date, [148.0, 180.0], [0.0, 12.0]),
        ("address", &heading.address, [0.0, 116.0], [12.0, 20.0]),
        ("approved by", "", [116.0, 148.0], [12.0, 20.0]),
        ("revision", &heading.revision, [148.0, 164.0], [12.0, 20.0]),
        ("paper", paper, [164.0, 180.0], [12.0, 20.0]),
        ("document", &format!("{KIND}; {LENGTHS}"), [0.0, 116.0], [20.0, 28.0]),
        ("scale", &scale_words, [116.0, 148.0], [20.0, 28.0]),
        ("sheet", &sheet_words, [148.0, 180.0], [20.0, 28.0]),
    ];
    page.rectangle(field, Some(Ink::Paper), None);
    for (name, words, across, down) in cells {
        let corner = |end: usize| field.low + dvec2(across[end], down[end]);
        let sizes = if name == "title" { &[TextSize::Large, TextSize::Medium, TextSize::Small][..] } else { &[] };
        cell(page, Field { low: corner(0), high: corner(1) }, name, words, sizes);
    }
    page.rectangle(field, None, Some(MEDIUM));
}

/// A cell with its name, and its words as large as they fit: in one of some sizes, else in a usual one.
fn cell(page: &mut Page, field: Field, name: &str, words: &str, larger: &[TextSize]) {
    page.rectangle(field, None, Some(FINE));
    let at = field.low + dvec2(CELL_PAD_MM, 2.3);
    page.words(at, TextAnchor::Start, name, TextSize::Tiny.mm(), Ink::GreyPencil, Turn::Level);
    let room = field.size() - dvec2(2.0 * CELL_PAD_MM, BELOW_NAME_MM + 0.6);
    let sizes = larger.iter().copied().chain([TextSize::Small, TextSize::Tiny]).map(TextSize::mm);
    let (size_mm, lines) = fitting(words, sizes, room);
    for (number_of, line) in lines.iter().enumerate() {
        let down = BELOW_NAME_MM + size_mm * (0.78 + PITCH * number_of as f64);
        let at = field.low + dvec2(CELL_PAD_MM, down);
        page.words(at, TextAnchor::Start, line, size_mm, Ink::Ink, Turn::Level);
    }
}

/// Words in lines, in the first size in which they fit; in the last as many as there is room for, and dots.
fn fitting(words: &str, sizes: impl Iterator<Item = f64>, room: DVec2) -> (f64, Vec<String>) {
    let mut last = (0.0, Vec::new());
    for size_mm in sizes {
        let most = ((room.y - size_mm) / (size_mm * PITCH)).floor().max(0.0) as usize + 1;
        let mut lines = cell_lines(words, size_mm, room.x);
        if lines.len() <= most {
            return (size_mm, lines);
        }
        lines.truncate(most);
        if let Some(end) = lines.last_mut() {
            *end = fitted(&format!("{end} …"), size_mm, room.x);
        }
        last = (size_mm, lines);
    }
    last
}

/// Words that are too wide end in dots.
pub(super) fn fitted(words: &str, size_mm: f64, widest_mm: f64) -> String {
    if width_mm(words, size_mm) <= widest_mm {
        return words.to_owned();
    }
    let mut kept = words.trim_end_matches('…').trim_end().to_owned();
    while !kept.is_empty() && width_mm(&kept, size_mm) + width_mm("…", size_mm) > widest_mm {
        kept.pop();
    }
    kept + "…"
}

/// Scale bar and caution: one below the other where the strip is high enough, else beside each other.
fn strip(page: &mut Page, frame: &Frame, scale: f64) {
    let field = frame.strip();
    page.rectangle(field, Some(Ink::Paper), Some(MEDIUM));
    let size_mm = TextSize::Tiny.mm();
    let caution_wide = width_mm(CAUTION, size_mm);
    let beside = frame.paper == Paper::A4;
    let taken = if beside { caution_wide + 2.0 * PAD_MM } else { 0.0 };
    let wide = (field.size().x - 2.0 * PAD_MM - taken).min(LONGEST_BAR_MM);
    scale_bar(page, field.low + dvec2(PAD_MM, 2.0), wide, scale);
    let at = if beside {
        dvec2(field.high.x - PAD_MM - caution_wide, field.middle().y + 0.28 * size_mm)
    } else {
        dvec2(field.low.x + PAD_MM, field.high.y - PAD_MM)
    };
    for (number_of, line) in wrapped(CAUTION, size_mm, field.size().x - 2.0 * PAD_MM).iter().enumerate() {
        let at = at + dvec2(0.0, size_mm * PITCH * number_of as f64);
        page.words(at, TextAnchor::Start, line, size_mm, Ink::Ink, Turn::Level);
    }
}

/// A bar of whole metres, or tenths where the drawing is large.
fn scale_bar(page: &mut Page, at: DVec2, wide: f64, scale: f64) {
    let pieces = STEPS_MM.into_iter().rev();
    let step = pieces.map(|step| step / scale).find(|piece| piece * 4.0 <= wide - 10.0);
    let Some(piece) = step else { return };
    for number_of in 0..4_u32 {
        let low = at + dvec2(2.0 + piece * f64::from(number_of), 0.0);
        let fill = if number_of % 2 == 0 { Ink::Ink } else { Ink::Paper };
        page.rectangle(Field { low, high: low + dvec2(piece, BAR_HIGH_MM) }, Some(fill), Some(FINE));
    }
    for number_of in [0_u32, 1, 2, 4] {
        let metres = piece * scale * f64::from(number_of) / 1000.0;
        let words = if number_of == 4 { format!("{} m", number(metres)) } else { number(metres) };
        let place = at + dvec2(2.0 + piece * f64::from(number_of), BAR_HIGH_MM + 2.8);
        if number_of != 1 || piece > width_mm(&words, TextSize::Tiny.mm()) + 3.0 {
            page.words(place, TextAnchor::Middle, &words, TextSize::Tiny.mm(), Ink::Ink, Turn::Level);
        }
    }
}
