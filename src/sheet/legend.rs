//! The legend of a sheet: services, signs of the drawing, tags, counts of findings, notes, the table of levels.

use glam::{DVec2, dvec2};

use super::Sheet;
use super::frame::Field;
use super::furniture::PAD_MM;
use super::page::Page;
use super::title::fitted;
use crate::layout::InLineKind;
use crate::rules::{Verdict, Voice, said};
use crate::scene::{
    Ink, Outline, PenWidth, Scene, Shape, Symbol, TextAnchor, TextSize, Turn, fitting_symbol, service_ink,
    service_words, width_mm, wrapped,
};

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
const MEDIUM: Outline = Outline::solid(Ink::Ink, PenWidth::Medium.mm());
/// Clear paper above a piece of the legend, and how high its heading is, mm.
const APART_MM: f64 = 2.5;
const HEADING_MM: f64 = 5.2;
/// From line to line of services, of signs and of the table of levels, mm.
const SERVICE_PITCH_MM: f64 = 4.0;
const SIGN_PITCH_MM: f64 = 4.6;
const LEVEL_PITCH_MM: f64 = 2.9;
/// A table of fewer levels than this is not begun in a column.
const LEAST_LEVELS: usize = 3;

/// Fills the columns of a legend from the first on.
pub(super) fn draw(page: &mut Page, columns: &[Field], scene: &Scene, sheet: &Sheet) {
    for column in columns {
        page.rectangle(*column, Some(Ink::Paper), Some(MEDIUM));
    }
    let Some((first, rest)) = columns.split_first() else { return };
    let mut legend = Legend { page, column: *first, rest, y: first.low.y, voice: sheet.voice };
    legend.services(scene);
    legend.signs("Fittings", &fittings(scene));
    legend.signs("Signs", &signs(scene));
    legend.tags(scene);
    legend.findings(sheet);
    legend.notes(&sheet.heading.notes);
    legend.levels(&scene.levels);
}

/// A legend under way: the column that is filled, those that follow, and how far down it is filled.
struct Legend<'a> {
    page: &'a mut Page,
    column: Field,
    rest: &'a [Field],
    y: f64,
    voice: Voice,
}

impl Legend<'_> {
    fn room_mm(&self) -> f64 {
        self.column.high.y - 1.0 - self.y
    }

    /// Begins a piece with a heading: in this column, or in the next when there is no room for so much below it.
    fn begin(&mut self, words: &str, high_mm: f64) {
        let first_in_column = |legend: &Self| legend.y <= legend.column.low.y;
        let head = APART_MM + HEADING_MM;
        while self.room_mm() < head + high_mm && !first_in_column(self) && self.next_column() {}
        self.y += APART_MM;
        let at = dvec2(self.column.low.x + PAD_MM, self.y + 3.0);
        self.page.words(at, TextAnchor::Start, words, TextSize::Medium.mm(), Ink::Ink, Turn::Level);
        self.y += HEADING_MM;
    }

    fn next_column(&mut self) -> bool {
        let Some((next, rest)) = self.rest.split_first() else { return false };
        (self.column, self.rest, self.y) = (*next, rest, next.low.y);
        true
    }

    fn words(&mut self, at: DVec2, words: &str, size: TextSize) {
        self.page.words(at, TextAnchor::Start, words, size.mm(), Ink::Ink, Turn::Level);
    }

    /// The services of the runs that are drawn, with their colours.
    fn services(&mut self, scene: &Scene) {
        if scene.services.is_empty() {
            return;
        }
        self.begin("Pipes", SERVICE_PITCH_MM * scene.services.len() as f64);
        for &service in &scene.services {
            let at = dvec2(self.column.low.x + PAD_MM, self.y + 1.4);
            self.page.rule(at, at + dvec2(11.0, 0.0), Outline::solid(service_ink(service), 0.8));
            let (short, full) = (said(service_words(service), self.voice), said(service.words(), self.voice));
            let words = if short == full { full } else { format!("{short}: {full}") };
            self.words(at + dvec2(14.0, 0.8), &words, TextSize::Small);
            self.y += SERVICE_PITCH_MM;
        }
    }

    /// Signs with what they stand for, two in a row.
    fn signs(&mut self, heading: &str, signs: &[(Symbol, &str)]) {
        if signs.is_empty() {
            return;
        }
        let rows = signs.len().div_ceil(2);
        self.begin(heading, SIGN_PITCH_MM * rows as f64);
        let half = (self.column.size().x - PAD_MM) / 2.0;
        for row in signs.chunks(2) {
            for (place, (symbol, words)) in row.iter().enumerate() {
                let at = dvec2(self.column.low.x + PAD_MM + 2.0 + half * place as f64, self.y + 1.8);
                self.sign(at, *symbol);
                let words = fitted(&said(*words, self.voice), TextSize::Tiny.mm(), half - 7.0);
                self.words(at + dvec2(4.4, 0.8), &words, TextSize::Tiny);
            }
            self.y += SIGN_PITCH_MM;
        }
    }

    fn sign(&mut self, at: DVec2, symbol: Symbol) {
        let ink = match symbol {
            Symbol::Verdict(_) => Ink::RedPencil,
            Symbol::WaterLevel => Ink::ColdPipe,
            _ => Ink::Ink,
        };
        if is_fitting(symbol) {
            self.page.rule(at - dvec2(2.0, 0.0), at + dvec2(2.6, 0.0), Outline::solid(Ink::Faint, 0.5));
        }
        // Symbols are figured with y upward; the page counts downward.
        for drawn in symbol.strokes(ink) {
            self.page.drawn(&drawn, &|point| at + dvec2(0.3 + point.x, -point.y));
        }
    }

    /// What the tags beside fittings are.
    fn tags(&mut self, scene: &Scene) {
        let first: Vec<&str> = scene.tags.iter().map(String::as_str).filter(|tag| tag[1..] == *"1").collect();
        if first.is_empty() {
            return;
        }
        let words = format!("{} …: tags, as on check sheet and take-off", first.join(" …, "));
        self.y += 0.6;
        self.paragraph(&words, TextSize::Tiny);
    }

    fn findings(&mut self, sheet: &Sheet) {
        if sheet.counts.is_empty() {
            return;
        }
        self.begin("Findings", TextSize::Small.mm() * 2.6);
        self.paragraph(&sheet.counts, TextSize::Small);
        sheet.judged_by.iter().for_each(|line| self.paragraph(line, TextSize::Small));
    }

    fn notes(&mut self, notes: &str) {
        if !notes.trim().is_empty() {
            self.begin("Notes", TextSize::Small.mm() * 2.6);
            self.paragraph(notes, TextSize::Small);
        }
    }

    /// Words in lines, as many as there is room for; dots say that there are more.
    fn paragraph(&mut self, words: &str, size: TextSize) {
        let wide = self.column.size().x - 2.0 * PAD_MM;
        let pitch = size.mm() * 1.3;
        let lines = wrapped(words, size.mm(), wide);
        let count = lines.len();
        for (number, line) in lines.into_iter().enumerate() {
            if self.room_mm() < size.mm() {
                return;
            }
            let is_cut = number + 1 < count && self.room_mm() < pitch + size.mm();
            let line = if is_cut { fitted(&format!("{line} …"), size.mm(), wide) } else { line };
            self.words(dvec2(self.column.low.x + PAD_MM, self.y + 0.78 * size.mm()), &line, size);
            self.y += pitch;
        }
    }

    /// Levels, highest first, through as many columns as there are; it is said when there are more.
    fn levels(&mut self, levels: &[(String, f64)]) {
        let mut left = levels;
        while !left.is_empty() {
            let fit =
                |legend: &Self| ((legend.room_mm() - APART_MM - HEADING_MM) / LEVEL_PITCH_MM).floor().max(0.0) as usize;
            if fit(self) < LEAST_LEVELS.min(left.len()) {
                if self.next_column() {
                    continue;
                }
                return;
            }
            let fit = fit(self);
            let is_last = self.rest.is_empty();
            let shown = if left.len() > fit && is_last { fit - 1 } else { fit.min(left.len()) };
            self.begin("Levels above datum, mm", 0.0);
            left[..shown].iter().for_each(|(what, level)| self.level(what, *level));
            left = &left[shown..];
            if !left.is_empty() && is_last {
                let more = format!("and {} more, lower down", left.len());
                let at = dvec2(self.column.low.x + PAD_MM, self.y + 1.8);
                self.page.words(at, TextAnchor::Start, &more, TextSize::Tiny.mm(), Ink::GreyPencil, Turn::Level);
                return;
            }
        }
    }

    fn level(&mut self, what: &str, level: f64) {
        let size = TextSize::Tiny.mm();
        let (left, right) = (self.column.low.x + PAD_MM, self.column.high.x - PAD_MM);
        let digits = format!("{level:.0}");
        let words = fitted(&said(what, self.voice), size, right - left - width_mm(&digits, size) - 2.0);
        self.words(dvec2(left, self.y + 1.8), &words, TextSize::Tiny);
        self.page.words(dvec2(right, self.y + 1.8), TextAnchor::End, &digits, size, Ink::Ink, Turn::Level);
        self.y += LEVEL_PITCH_MM;
    }
}

fn is_fitting(symbol: Symbol) -> bool {
    InLineKind::ALL.into_iter().any(|kind| fitting_symbol(kind) == symbol)
}

/// The kinds of fittings that are drawn.
fn fittings(scene: &Scene) -> Vec<(Symbol, &'static str)> {
    let all = InLineKind::ALL.into_iter().map(|kind| (fitting_symbol(kind), kind.words()));
    all.filter(|(symbol, _)| stands(scene, *symbol)).collect()
}

/// The other signs that stand on the drawing.
fn signs(scene: &Scene) -> Vec<(Symbol, &'static str)> {
    SIGNS.into_iter().filter(|(symbol, _)| stands(scene, *symbol)).collect()
}

fn stands(scene: &Scene, wanted: Symbol) -> bool {
    scene.items.iter().any(|item| match (&item.shape, wanted) {
        (Shape::Mark(mark), Symbol::Verdict(verdict)) => mark.verdict == verdict,
        (Shape::Symbol { symbol, .. }, _) => *symbol == wanted,
        _ => false,
    })
}
