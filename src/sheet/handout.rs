//! A document on upright A4 pages: headings, paragraphs, points, working and tables, with room to write in empty cells.

use glam::{DVec2, dvec2};

use super::page::{Page, PageItem};
use super::report::{Block, Document};
use crate::scene::{Drawn, Ink, Outline, PenWidth, TextAnchor, Turn, width_mm, wrapped};

/// An upright A4 page, mm.
pub(super) const PAGE_MM: (f64, f64) = (210.0, 297.0);

const MARGIN_MM: f64 = 18.0;
const FOOT_MM: f64 = 14.0;
const TEXT_MM: f64 = 3.4;
const SMALL_MM: f64 = 3.0;
/// From line to line, as a share of the letters' height.
const LEADING: f64 = 1.38;
/// Space in a cell around its words, mm.
const PAD_MM: f64 = 1.6;
/// A row with an empty cell is so high that one can write in it, mm; one with nothing else, that one can reckon in it.
const TO_WRITE_MM: f64 = 10.0;
const TO_RECKON_MM: f64 = 30.0;
/// A column is never narrower than this, mm.
const LEAST_COLUMN_MM: f64 = 14.0;
/// A box to tick, mm.
const TICK_MM: f64 = 3.2;

/// The pages of a document, each with its items in page millimetres.
pub(super) fn pages(document: &Document) -> Vec<Vec<PageItem>> {
    let mut flow = Flow { done: Vec::new(), page: Page::default(), y: MARGIN_MM, title: document.title.clone() };
    flow.lines(&document.title, 5.6, 0.0);
    flow.y += 2.0;
    document.blocks.iter().for_each(|block| flow.block(block));
    flow.finish()
}

struct Flow {
    done: Vec<Page>,
    page: Page,
    y: f64,
    title: String,
}

const fn wide() -> f64 {
    PAGE_MM.0 - 2.0 * MARGIN_MM
}

impl Flow {
    fn block(&mut self, block: &Block) {
        match block {
            Block::Chapter(words) => {
                // A heading stays with what it heads, also where that is the head of a table and a row.
                self.need(44.0);
                self.y += 4.0;
                self.lines(words, 4.6, 0.0);
                let y = self.y - 0.6;
                self.rule(dvec2(MARGIN_MM, y), dvec2(PAGE_MM.0 - MARGIN_MM, y), PenWidth::Fine);
                self.y += 2.2;
            }
            Block::Section(words) => {
                self.need(34.0);
                self.y += 2.4;
                self.lines(words, 3.9, 0.0);
                self.y += 0.6;
            }
            Block::Paragraph(words) => self.paragraph(words),
            Block::Named(name, words) => self.paragraph(&format!("{name}: {words}")),
            Block::Points(points) => points.iter().for_each(|point| self.point(point, Bullet::Dash)),
            Block::ToTick(points) => points.iter().for_each(|point| self.point(point, Bullet::Box)),
            Block::Working(lines) => {
                for line in lines {
                    self.lines(line, SMALL_MM, 6.0);
                }
                self.y += 1.4;
            }
            Block::Table(heads, rows) => self.table(heads, rows),
        }
    }

    fn paragraph(&mut self, words: &str) {
        self.lines(words, TEXT_MM, 0.0);
        self.y += 1.4;
    }

    fn point(&mut self, words: &str, bullet: Bullet) {
        self.need(TEXT_MM * LEADING);
        let at = dvec2(MARGIN_MM + 1.0, self.y);
        match bullet {
            Bullet::Dash => {
                let at = at + dvec2(0.0, 0.78 * TEXT_MM);
                self.page.words(at, TextAnchor::Start, "–", TEXT_MM, Ink::Ink, Turn::Level);
            }
            Bullet::Box => self.rectangle(at, at + DVec2::splat(TICK_MM)),
        }
        self.lines(words, TEXT_MM, 6.0);
        self.y += 0.6;
    }

    /// Words in as many lines as they take, indented by so much.
    fn lines(&mut self, words: &str, size_mm: f64, indent_mm: f64) {
        for line in words.lines().flat_map(|line| wrapped(line, size_mm, wide() - indent_mm)) {
            self.need(size_mm * LEADING);
            let at = dvec2(MARGIN_MM + indent_mm, self.y + 0.78 * size_mm);
            self.page.words(at, TextAnchor::Start, &line, size_mm, Ink::Ink, Turn::Level);
            self.y += size_mm * LEADING;
        }
    }

    fn table(&mut self, heads: &[&str], rows: &[Vec<String>]) {
        let widths = widths(heads, rows);
        let heads: Vec<String> = heads.iter().map(|head| (*head).to_owned()).collect();
        self.need(24.0);
        self.row(&heads, &widths, Ink::GreyPencil);
        for row in rows {
            let page = self.done.len();
            self.need(row_height(row, &widths));
            if self.done.len() > page {
                self.row(&heads, &widths, Ink::GreyPencil);
            }
            self.row(row, &widths, Ink::Ink);
        }
        self.y += 2.4;
    }

    fn row(&mut self, cells: &[String], widths: &[f64], ink: Ink) {
        let high = row_height(cells, widths);
        let mut left = MARGIN_MM;
        for (cell, width) in cells.iter().zip(widths) {
            self.rectangle(dvec2(left, self.y), dvec2(left + width, self.y + high));
            for (number, line) in wrapped(cell, SMALL_MM, width - 2.0 * PAD_MM).iter().enumerate() {
                let down = PAD_MM + 0.78 * SMALL_MM + number as f64 * SMALL_MM * LEADING;
                let at = dvec2(left + PAD_MM, self.y + down);
                self.page.words(at, TextAnchor::Start, line, SMALL_MM, ink, Turn::Level);
            }
            left += width;
        }
        self.y += high;
    }

    /// Begins another page when so much does not fit on this one.
    fn need(&mut self, high_mm: f64) {
        if self.y + high_mm > PAGE_MM.1 - MARGIN_MM - FOOT_MM / 2.0 && self.y > MARGIN_MM {
            self.done.push(std::mem::take(&mut self.page));
            self.y = MARGIN_MM;
        }
    }

    fn finish(mut self) -> Vec<Vec<PageItem>> {
        self.done.push(self.page);
        let count = self.done.len();
        let foot = |(number, mut page): (usize, Page)| {
            let y = PAGE_MM.1 - FOOT_MM;
            let small = 2.6;
            let title = wrapped(&self.title, small, wide() - 30.0).into_iter().next().unwrap_or_default();
            page.words(dvec2(MARGIN_MM, y), TextAnchor::Start, &title, small, Ink::GreyPencil, Turn::Level);
            let words = format!("page {} of {count}", number + 1);
            page.words(dvec2(PAGE_MM.0 - MARGIN_MM, y), TextAnchor::End, &words, small, Ink::GreyPencil, Turn::Level);
            page.finish()
        };
        self.done.into_iter().enumerate().map(foot).collect()
    }

    fn rule(&mut self, from: DVec2, to: DVec2, width: PenWidth) {
        let outline = Outline::solid(Ink::Ink, width.mm());
        self.page.drawn(&Drawn::Line { points: vec![from, to], outline }, &|point| point);
    }

    fn rectangle(&mut self, low: DVec2, high: DVec2) {
        let points = vec![low, dvec2(high.x, low.y), high, dvec2(low.x, high.y)];
        let outline = Some(Outline::solid(Ink::Ink, PenWidth::Fine.mm()));
        self.page.drawn(&Drawn::Area { points, fill: None, outline }, &|point| point);
    }
}

#[derive(Clone, Copy)]
enum Bullet {
    Dash,
    Box,
}

fn row_height(cells: &[String], widths: &[f64]) -> f64 {
    let lines = |(cell, width): (&String, &f64)| wrapped(cell, SMALL_MM, width - 2.0 * PAD_MM).len().max(1);
    let most = cells.iter().zip(widths).map(lines).max().unwrap_or(1);
    let words = 2.0 * PAD_MM + SMALL_MM + (most - 1) as f64 * SMALL_MM * LEADING;
    match (cells.iter().all(String::is_empty), cells.iter().any(String::is_empty)) {
        (true, _) => TO_RECKON_MM,
        (false, true) => words.max(TO_WRITE_MM),
        (false, false) => words,
    }
}

/// Columns as wide as their words ask; what is missing is taken from the widest, what is left goes to those to write in.
fn widths(heads: &[&str], rows: &[Vec<String>]) -> Vec<f64> {
    let asked = |column: usize| {
        let cells = rows.iter().filter_map(|row| row.get(column)).map(String::as_str);
        let widest = cells.chain([heads[column]]).map(|words| width_mm(words, SMALL_MM)).fold(0.0, f64::max);
        (widest + 2.0 * PAD_MM + 0.5).max(LEAST_COLUMN_MM)
    };
    let mut widths: Vec<f64> = (0..heads.len()).map(asked).collect();
    let to_write = |column: usize| rows.iter().any(|row| row.get(column).is_some_and(String::is_empty));
    let open: Vec<usize> = (0..heads.len()).filter(|column| to_write(*column)).collect();
    let whole: f64 = widths.iter().sum();
    if whole > wide() {
        // What everyone may have when the widest are cut to it: the level is lowered until the columns fit.
        let mut level = wide();
        while widths.iter().map(|width| width.min(level)).sum::<f64>() > wide() && level > LEAST_COLUMN_MM {
            level -= 0.5;
        }
        widths.iter_mut().for_each(|width| *width = width.min(level));
    } else if !open.is_empty() {
        let more = (wide() - whole) / open.len() as f64;
        open.iter().for_each(|column| widths[*column] += more);
    }
    widths
}

#[cfg(test)]
mod tests {
    use super::*;

    fn document(rows: usize) -> Document {
        let row = |number: usize| {
            vec![number.to_string(), "some words that take a line or more of a narrow column ".repeat(4)]
        };
        let rows = (0..rows).map(row).collect();
        Document { title: "A handout".to_owned(), blocks: vec![Block::Table(vec!["number", "words"], rows)] }
    }

    #[test]
    fn a_long_table_goes_on_over_the_page_with_its_heads() {
        let pages = pages(&document(80));
        assert!(pages.len() > 1);
        for page in &pages {
            let mut heads = 0;
            for item in page {
                let PageItem::Drawn(Drawn::Words { at, words, .. }) = item else { continue };
                assert!((0.0..PAGE_MM.1).contains(&at.y) && (0.0..PAGE_MM.0).contains(&at.x), "{words} at {at}");
                heads += u32::from(words == "number");
            }
            assert_eq!(heads, 1);
        }
    }

    #[test]
    fn columns_fill_the_page_and_no_more() {
        let rows = vec![vec!["1".to_owned(), String::new(), "x".repeat(300)]];
        let widths = widths(&["no.", "part", "words"], &rows);
        assert!(widths.iter().sum::<f64>() <= wide() + 1e-9, "{widths:?}");
        let rows = vec![vec!["1".to_owned(), String::new()]];
        assert!((super::widths(&["no.", "part"], &rows).iter().sum::<f64>() - wide()).abs() < 1e-9);
    }
}
