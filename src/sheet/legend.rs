//! The lower part of a sheet's legend: signs of the drawing, badges of its marks, the table of levels.

use glam::dvec2;

use super::frame::Field;
use super::furniture::{PAD_MM, heading};
use super::page::Page;
use crate::rules::Verdict;
use crate::scene::{Ink, Scene, Shape, Symbol, TextAnchor, TextSize, Turn, width_mm};

/// Signs that are not fittings, in the order in which they are explained.
const SIGNS: [(Symbol, &str); 7] = [
    (Symbol::WaterLevel, "water line"),
    (Symbol::Tee, "tee"),
    (Symbol::OpenEnd, "open end"),
    (Symbol::Screen, "screened end"),
    (Symbol::Onward, "goes on"),
    (Symbol::Verdict(Verdict::Breach), "breach"),
    (Symbol::Verdict(Verdict::Marginal), "too near to tell"),
];
/// From line to line of the table of levels, mm.
const LEVEL_PITCH_MM: f64 = 2.9;
const SIGN_PITCH_MM: f64 = 4.6;

/// The signs that stand on the drawing, in two columns.
pub(super) fn signs(page: &mut Page, column: Field, scene: &Scene, y: f64) -> f64 {
    let stands = |wanted: Symbol| {
        scene.items.iter().any(|item| match (&item.shape, wanted) {
            (Shape::Mark(mark), Symbol::Verdict(verdict)) => mark.verdict == verdict,
            (Shape::Symbol { symbol, .. }, _) => *symbol == wanted,
            _ => false,
        })
    };
    let shown: Vec<(Symbol, &str)> = SIGNS.into_iter().filter(|(symbol, _)| stands(*symbol)).collect();
    if shown.is_empty() {
        return y;
    }
    let y = heading(page, column, "Signs", y + 2.5);
    let half = (column.size().x - PAD_MM) / 2.0;
    for (number, (symbol, words)) in shown.iter().enumerate() {
        let row = (number / 2) as f64;
        let at = dvec2(column.low.x + PAD_MM + 2.0 + half * (number % 2) as f64, y + 1.8 + SIGN_PITCH_MM * row);
        let ink = match symbol {
            Symbol::Verdict(_) => Ink::RedPencil,
            Symbol::WaterLevel => Ink::ColdPipe,
            _ => Ink::Ink,
        };
        for drawn in symbol.strokes(ink) {
            page.drawn(&drawn, &|point| at + dvec2(0.3 + point.x, -point.y));
        }
        page.words(at + dvec2(4.4, 0.8), TextAnchor::Start, words, TextSize::Tiny.mm(), Ink::Ink, Turn::Level);
    }
    y + SIGN_PITCH_MM * shown.len().div_ceil(2) as f64
}

/// Levels, highest first, as many as there is room for; it is said when there are more.
pub(super) fn levels(page: &mut Page, column: Field, scene: &Scene, y: f64, bottom: f64) {
    let head_mm = 2.5 + 5.2;
    let room = ((bottom - y - head_mm - 1.0) / LEVEL_PITCH_MM).floor();
    if scene.levels.is_empty() || room < 3.0 {
        return;
    }
    let mut y = heading(page, column, "Levels above datum, mm", y + 2.5);
    let size = TextSize::Tiny.mm();
    let room = room as usize;
    let shown = if scene.levels.len() > room { room - 1 } else { scene.levels.len() };
    let (left, right) = (column.low.x + PAD_MM, column.high.x - PAD_MM);
    for (what, level) in &scene.levels[..shown] {
        let digits = format!("{level:.0}");
        let widest = right - left - width_mm(&digits, size) - 2.0;
        let words = fitted(what, size, widest);
        page.words(dvec2(left, y + 1.8), TextAnchor::Start, &words, size, Ink::Ink, Turn::Level);
        page.words(dvec2(right, y + 1.8), TextAnchor::End, &digits, size, Ink::Ink, Turn::Level);
        y += LEVEL_PITCH_MM;
    }
    if shown < scene.levels.len() {
        let more = format!("and {} more, lower down", scene.levels.len() - shown);
        page.words(dvec2(left, y + 1.8), TextAnchor::Start, &more, size, Ink::GreyPencil, Turn::Level);
    }
}

/// Words that are too wide end in dots.
fn fitted(words: &str, size_mm: f64, widest_mm: f64) -> String {
    if width_mm(words, size_mm) <= widest_mm {
        return words.to_owned();
    }
    let mut kept: String = words.to_owned();
    while !kept.is_empty() && width_mm(&kept, size_mm) + width_mm("…", size_mm) > widest_mm {
        kept.pop();
    }
    kept + "…"
}
