//! What stands around a drawing: border, levelling staff, legend, scale bar, title block, caution.

use glam::{DVec2, dvec2};

use super::frame::{Field, Frame};
use super::legend;
use super::page::Page;
use super::writer::number;
use super::{Sheet, SheetScale};
use crate::layout::InLineKind;
use crate::scene::{
    Drawn, Ink, Outline, PenWidth, Scene, Shape, Symbol, TextAnchor, TextSize, Turn, fitting_symbol, service_ink,
    service_words, width_mm, wrapped,
};

/// What every sheet says.
const CAUTION: &str = "An aid, not a certificate: local codes and licensed practice come first.";
/// Steps that a staff may be numbered in, mm.
const STAFF_STEPS_MM: [f64; 12] =
    [10.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0, 5000.0, 10_000.0, 20_000.0, 50_000.0, 100_000.0];
/// Numbers on the staff stand at least this far apart, mm.
const STAFF_APART_MM: f64 = 9.0;
/// Space around words in the column, mm.
pub(super) const PAD_MM: f64 = 3.0;

const FINE: Outline = Outline::solid(Ink::Ink, PenWidth::Fine.mm());
const MEDIUM: Outline = Outline::solid(Ink::Ink, PenWidth::Medium.mm());

/// Which of how many sheets.
#[derive(Clone, Copy)]
pub(super) struct Number {
    pub number: usize,
    pub count: usize,
}

pub(super) fn draw(
    page: &mut Page,
    frame: &Frame,
    scene: &Scene,
    sheet: &Sheet,
    scale: f64,
    middle: DVec2,
    of_all: Number,
) {
    staff(page, frame, scale, middle);
    rule(page, frame.field().low, dvec2(frame.field().low.x, frame.field().high.y), FINE);
    column(page, frame, scene, sheet, scale, of_all);
    rectangle(page, frame.inside, None, Some(Outline::solid(Ink::Ink, PenWidth::Heavy.mm())));
}

/// Levels in metres from the datum, with blocks by which heights are read.
fn staff(page: &mut Page, frame: &Frame, scale: f64, middle: DVec2) {
    let (staff, field) = (frame.staff(), frame.field());
    let level_at = |y: f64| middle.y - (y - field.middle().y) * scale;
    let y_at = |level: f64| field.middle().y - (level - middle.y) / scale;
    let step = STAFF_STEPS_MM.into_iter().find(|step| step / scale >= STAFF_APART_MM).unwrap_or(1e6);
    let block = step / 5.0;
    let (lowest, highest) = (level_at(staff.high.y), level_at(staff.low.y));
    let right = staff.high.x;
    let first = (lowest / block).floor();
    let count = ((highest - lowest) / block).ceil().clamp(0.0, 2000.0) as u32;
    for number_of in 0..=count {
        let place = first + f64::from(number_of);
        let bottom = y_at(place * block).clamp(staff.low.y, staff.high.y);
        let top = y_at((place + 1.0) * block).clamp(staff.low.y, staff.high.y);
        if place.rem_euclid(2.0) < 0.5 && bottom > top {
            let area = Field { low: dvec2(right - 1.8, top), high: dvec2(right, bottom) };
            rectangle(page, area, Some(Ink::Faint), None);
        }
    }
    rule(page, dvec2(right - 1.8, staff.low.y), dvec2(right - 1.8, staff.high.y), FINE);
    let decimals = if step >= 1000.0 { 1 } else { 2 };
    let mut level = (lowest / step).ceil() * step;
    while level <= highest && step > 0.0 {
        let y = y_at(level);
        if y > staff.low.y + 8.0 && y < staff.high.y - 2.0 {
            rule(page, dvec2(right - 3.0, y), dvec2(right, y), FINE);
            let words = format!("{:.decimals$}", level / 1000.0).replace("-0.0", "0.0");
            let at = dvec2(right - 3.8, y + 0.7);
            page.words(at, TextAnchor::End, &words, TextSize::Tiny.mm(), Ink::Ink, Turn::Level);
        }
        level += step;
    }
    let at = dvec2(staff.low.x + 1.6, staff.low.y + 4.2);
    page.words(at, TextAnchor::Start, "m", TextSize::Small.mm(), Ink::Ink, Turn::Level);
}

fn column(page: &mut Page, frame: &Frame, scene: &Scene, sheet: &Sheet, scale: f64, of_all: Number) {
    let column = frame.column();
    rectangle(page, column, Some(Ink::Paper), Some(MEDIUM));
    let bottom = title_block(page, column, sheet, scale, of_all);
    let mut y = column.low.y + PAD_MM;
    y = services(page, column, scene, y);
    y = fittings(page, column, scene, y);
    y = legend::signs(page, column, scene, y);
    if !sheet.counts.is_empty() {
        y += 3.0;
        y = heading(page, column, "Findings", y);
        y = paragraph(page, column, &sheet.counts, TextSize::Small, y);
        for line in &sheet.judged_by {
            y = paragraph(page, column, line, TextSize::Small, y);
        }
    }
    if !sheet.heading.notes.is_empty() && y + 14.0 < bottom {
        y += 3.0;
        y = heading(page, column, "Notes", y);
        y = paragraph_until(page, column, &sheet.heading.notes, TextSize::Small, y, bottom);
    }
    legend::levels(page, column, scene, y, bottom);
}

pub(super) fn heading(page: &mut Page, column: Field, words: &str, y: f64) -> f64 {
    let at = dvec2(column.low.x + PAD_MM, y + 3.0);
    page.words(at, TextAnchor::Start, words, TextSize::Medium.mm(), Ink::Ink, Turn::Level);
    y + 5.2
}

fn paragraph(page: &mut Page, column: Field, words: &str, size: TextSize, y: f64) -> f64 {
    paragraph_until(page, column, words, size, y, column.high.y)
}

/// Words in lines, as many as there is room for.
fn paragraph_until(page: &mut Page, column: Field, words: &str, size: TextSize, mut y: f64, bottom: f64) -> f64 {
    for line in wrapped(words, size.mm(), column.size().x - 2.0 * PAD_MM) {
        if y + size.mm() > bottom {
            break;
        }
        let at = dvec2(column.low.x + PAD_MM, y + 0.78 * size.mm());
        page.words(at, TextAnchor::Start, &line, size.mm(), Ink::Ink, Turn::Level);
        y += size.mm() * 1.3;
    }
    y
}

/// The services of the runs that are drawn, with their colours.
fn services(page: &mut Page, column: Field, scene: &Scene, mut y: f64) -> f64 {
    if scene.services.is_empty() {
        return y;
    }
    y = heading(page, column, "Pipes", y);
    for &service in &scene.services {
        let (left, middle) = (column.low.x + PAD_MM, y + 1.4);
        rule(page, dvec2(left, middle), dvec2(left + 11.0, middle), Outline::solid(service_ink(service), 0.8));
        let (short, full) = (service_words(service), service.words());
        let words = if short == full { full.to_owned() } else { format!("{short}: {full}") };
        let at = dvec2(left + 14.0, middle + 0.8);
        page.words(at, TextAnchor::Start, &words, TextSize::Small.mm(), Ink::Ink, Turn::Level);
        y += 4.2;
    }
    y
}

/// The symbols of what sits in the pipes that are drawn, in two columns.
fn fittings(page: &mut Page, column: Field, scene: &Scene, y: f64) -> f64 {
    let stands = |symbol: Symbol| {
        scene.items.iter().any(|item| matches!(item.shape, Shape::Symbol { symbol: other, .. } if other == symbol))
    };
    let shown: Vec<InLineKind> = InLineKind::ALL.into_iter().filter(|kind| stands(fitting_symbol(*kind))).collect();
    if shown.is_empty() {
        return y;
    }
    let y = heading(page, column, "Fittings", y + 2.5);
    let half = (column.size().x - PAD_MM) / 2.0;
    for (number_of, kind) in shown.iter().enumerate() {
        let row = (number_of / 2) as f64;
        let at = dvec2(column.low.x + PAD_MM + 2.0 + half * (number_of % 2) as f64, y + 1.8 + 4.6 * row);
        let pipe = Outline::solid(Ink::Faint, 0.5);
        rule(page, at - dvec2(2.0, 0.0), at + dvec2(2.6, 0.0), pipe);
        // Symbols are figured with y upward; the page counts downward.
        for drawn in fitting_symbol(*kind).strokes(Ink::Ink) {
            page.drawn(&drawn, &|point| at + dvec2(0.3 + point.x, -point.y));
        }
        page.words(at + dvec2(4.4, 0.8), TextAnchor::Start, kind.words(), TextSize::Tiny.mm(), Ink::Ink, Turn::Level);
    }
    y + 4.6 * shown.len().div_ceil(2) as f64
}

/// Caution, scale bar, title, address, who and when, from the bottom up. Returns where it begins.
fn title_block(page: &mut Page, column: Field, sheet: &Sheet, scale: f64, of_all: Number) -> f64 {
    let wide = column.size().x - 2.0 * PAD_MM;
    let heading = &sheet.heading;
    let caution = wrapped(CAUTION, TextSize::Tiny.mm(), wide);
    let title: Vec<String> = wrapped(&heading.title, TextSize::Medium.mm(), wide).into_iter().take(4).collect();
    let rows: Vec<(&str, Vec<String>)> = [
        ("address", heading.address.clone()),
        ("drawn by", heading.drawn_by.clone()),
        ("date", heading.date.clone()),
        ("revision", heading.revision.clone()),
        ("scale", scale_words(sheet, scale, of_all) + &after_semicolon(&heading.scale_note)),
    ]
    .into_iter()
    // An empty line for a revision would say that there ought to be one.
    .filter(|(name, words)| *name != "revision" || !words.is_empty())
    .map(|(name, words)| (name, wrapped(&words, TextSize::Small.mm(), wide - 14.0).into_iter().take(3).collect()))
    .collect();
    let row_height = |lines: usize| 1.8 + 3.2 * lines.max(1) as f64;
    let rows_high: f64 = rows.iter().map(|(_, lines)| row_height(lines.len())).sum();
    let caution_high = 3.0 + 2.6 * caution.len() as f64;
    let title_high = if title.is_empty() { 0.0 } else { 4.0 + 4.4 * title.len() as f64 };
    let bar_high = 12.0;
    let top = column.high.y - caution_high - rows_high - title_high - bar_high;
    let mut y = top;
    let left = column.low.x;
    scale_bar(page, dvec2(left + PAD_MM, y + 3.0), wide, scale);
    y += bar_high;
    rule(page, dvec2(left, y), dvec2(column.high.x, y), MEDIUM);
    for (number_of, line) in title.iter().enumerate() {
        let at = dvec2(left + PAD_MM, y + 5.2 + 4.4 * number_of as f64);
        page.words(at, TextAnchor::Start, line, TextSize::Medium.mm(), Ink::Ink, Turn::Level);
    }
    y += title_high;
    for (name, lines) in rows {
        rule(page, dvec2(left, y), dvec2(column.high.x, y), FINE);
        let at = dvec2(left + PAD_MM, y + 3.3);
        page.words(at, TextAnchor::Start, name, TextSize::Tiny.mm(), Ink::GreyPencil, Turn::Level);
        for (number_of, line) in lines.iter().enumerate() {
            let at = dvec2(left + PAD_MM + 14.0, y + 3.4 + 3.2 * number_of as f64);
            page.words(at, TextAnchor::Start, line, TextSize::Small.mm(), Ink::Ink, Turn::Level);
        }
        y += row_height(lines.len());
    }
    rule(page, dvec2(left, y), dvec2(column.high.x, y), FINE);
    for (number_of, line) in caution.iter().enumerate() {
        let at = dvec2(left + PAD_MM, y + 3.2 + 2.6 * number_of as f64);
        page.words(at, TextAnchor::Start, line, TextSize::Tiny.mm(), Ink::Ink, Turn::Level);
    }
    top
}

fn after_semicolon(note: &str) -> String {
    if note.is_empty() { String::new() } else { format!("; {note}") }
}

fn scale_words(sheet: &Sheet, scale: f64, of_all: Number) -> String {
    let paper = match sheet.paper {
        super::Paper::A4 => "A4",
        super::Paper::A3 => "A3",
    };
    let how = match sheet.scale {
        SheetScale::Fit => "",
        SheetScale::OneTo(_) => " as asked",
    };
    let which = match of_all.count {
        1 => String::new(),
        count => format!(", sheet {} of {count}", of_all.number),
    };
    format!("1 : {} on {paper}{how}{which}", number(scale))
}

/// A bar of whole metres, or tenths where the drawing is large.
fn scale_bar(page: &mut Page, at: DVec2, wide: f64, scale: f64) {
    let pieces = STAFF_STEPS_MM.into_iter().rev();
    let step = pieces.map(|step| step / scale).find(|piece| piece * 4.0 <= wide - 10.0);
    let Some(piece) = step else { return };
    for number_of in 0..4_u32 {
        let low = at + dvec2(2.0 + piece * f64::from(number_of), 0.0);
        let fill = if number_of % 2 == 0 { Ink::Ink } else { Ink::Paper };
        rectangle(page, Field { low, high: low + dvec2(piece, 1.4) }, Some(fill), Some(FINE));
    }
    for number_of in [0_u32, 1, 2, 4] {
        let metres = piece * scale * f64::from(number_of) / 1000.0;
        let words = if number_of == 4 { format!("{} m", number(metres)) } else { number(metres) };
        let place = at + dvec2(2.0 + piece * f64::from(number_of), 4.2);
        if number_of != 1 || piece > width_mm(&words, TextSize::Tiny.mm()) + 3.0 {
            page.words(place, TextAnchor::Middle, &words, TextSize::Tiny.mm(), Ink::Ink, Turn::Level);
        }
    }
}

fn rule(page: &mut Page, from: DVec2, to: DVec2, outline: Outline) {
    page.drawn(&Drawn::Line { points: vec![from, to], outline }, &|point| point);
}

fn rectangle(page: &mut Page, field: Field, fill: Option<Ink>, outline: Option<Outline>) {
    let (low, high) = (field.low, field.high);
    let points = vec![low, dvec2(high.x, low.y), high, dvec2(low.x, high.y)];
    page.drawn(&Drawn::Area { points, fill, outline }, &|point| point);
}
