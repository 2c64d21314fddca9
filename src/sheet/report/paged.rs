//! A document as pages: A4 standing, with page numbers, headings that stay with what follows, tables that break over pages.

use glam::{DVec2, dvec2};

use super::super::frame::Field;
use super::super::page::{Page, PageItem};
use super::super::pdf::Leaf;
use super::columns::{cell_lines, widths_mm};
use super::{Block, Document, Picture};
use crate::scene::{Ink, Outline, PenWidth, TextAnchor, Turn, width_mm, wrapped};

/// A4 standing.
const SIZE_MM: (f64, f64) = (210.0, 297.0);
pub(super) const LEFT_MM: f64 = 20.0;
pub(super) const RIGHT_MM: f64 = 195.0;
const TOP_MM: f64 = 18.0;
const BOTTOM_MM: f64 = 278.0;
/// Letter sizes, mm.
const BODY_MM: f64 = 3.4;
const TABLE_MM: f64 = 2.7;
const FOOT_MM: f64 = 2.5;
/// From line to line, as a share of the letter size.
pub(super) const PITCH: f64 = 1.4;
/// What has to stand below a heading on its page, mm.
const WITH_HEADING_MM: f64 = 26.0;
/// A heading with its clear paper, and an entry down to the first of its words, mm.
const HEADING_MM: f64 = 8.0;
const WITH_ENTRY_MM: f64 = 86.0;
/// Points stand in by this, with so much clear paper after each; lists of no more than so much are kept together, mm.
const POINT_INDENT_MM: f64 = 6.0;
const AFTER_POINT_MM: f64 = 1.2;
const SHORT_LIST_MM: f64 = 60.0;
const CELL_PAD_MM: f64 = 1.2;
const FINE: Outline = Outline::solid(Ink::Faint, PenWidth::Fine.mm());

/// The pages of a document, counted together with so many sheets before them.
pub(in crate::sheet) fn leaves(document: &Document, sheets_before: usize) -> Vec<Leaf> {
    let mut flow = Flow { pages: vec![Page::default()], y: TOP_MM };
    flow.bookmark(0, &document.title);
    flow.lines(&document.title, 6.0, Ink::Ink, 0.0);
    flow.y += 2.0;
    for (number, block) in document.blocks.iter().enumerate() {
        flow.keep_together(block, document.blocks.get(number + 1));
        flow.block(block);
    }
    let (count, name) = (flow.pages.len(), if sheets_before > 0 { "sheet" } else { "page" });
    let mut leaves = Vec::with_capacity(count);
    for (number, mut page) in flow.pages.into_iter().enumerate() {
        let foot = |page: &mut Page, x: f64, anchor, words: &str| {
            page.words(dvec2(x, 287.0), anchor, words, FOOT_MM, Ink::GreyPencil, Turn::Level);
        };
        let title = wrapped(&document.title, FOOT_MM, 130.0).into_iter().next().unwrap_or_default();
        foot(&mut page, LEFT_MM, TextAnchor::Start, &title);
        foot(
            &mut page,
            RIGHT_MM,
            TextAnchor::End,
            &format!("{name} {} of {}", sheets_before + number + 1, sheets_before + count),
        );
        leaves.push(Leaf { items: page.finish(), size_mm: SIZE_MM });
    }
    leaves
}

/// Pages under way, and how far down the last one is written.
pub(super) struct Flow {
    pages: Vec<Page>,
    pub(super) y: f64,
}

impl Flow {
    pub(super) fn page(&mut self) -> &mut Page {
        self.pages.last_mut().expect("there is always a page")
    }

    /// Begins a page unless so much is left of this one; whether it did.
    pub(super) fn need(&mut self, height: f64) -> bool {
        let is_full = self.y + height > BOTTOM_MM && self.y > TOP_MM;
        if is_full {
            self.pages.push(Page::default());
            self.y = TOP_MM;
        }
        is_full
    }

    fn bookmark(&mut self, rank: usize, words: &str) {
        let at = dvec2(LEFT_MM, self.y);
        self.page().push(PageItem::Bookmark(at, rank, words.to_owned()));
    }

    fn line(&mut self, words: &str, size_mm: f64, ink: Ink, indent: f64) {
        self.need(size_mm * PITCH);
        let at = dvec2(LEFT_MM + indent, self.y + size_mm);
        self.page().words(at, TextAnchor::Start, words, size_mm, ink, Turn::Level);
        self.y += size_mm * PITCH;
    }

    fn lines(&mut self, words: &str, size_mm: f64, ink: Ink, indent: f64) {
        for line in cell_lines(words, size_mm, RIGHT_MM - LEFT_MM - indent) {
            self.line(&line, size_mm, ink, indent);
        }
    }

    fn rule(&mut self, y: f64, outline: Outline) {
        self.page().rule(dvec2(LEFT_MM, y), dvec2(RIGHT_MM, y), outline);
    }

    /// Begins a page where a heading would stand alone at the foot of one, or a short list be torn apart.
    fn keep_together(&mut self, block: &Block, next: Option<&Block>) {
        let of_its_own = match block {
            Block::Chapter(_) | Block::Section(_) => HEADING_MM,
            Block::Entry(..) => WITH_ENTRY_MM,
            Block::Points(points) => self.short_list_mm(points),
            _ => return,
        };
        let with_it = match (block, next) {
            (Block::Chapter(_), Some(Block::Entry(..))) => WITH_ENTRY_MM,
            (Block::Chapter(_) | Block::Section(_), Some(Block::Points(points))) => {
                self.short_list_mm(points).max(WITH_HEADING_MM)
            }
            (Block::Chapter(_) | Block::Section(_), _) => WITH_HEADING_MM,
            _ => 0.0,
        };
        self.need(of_its_own + with_it);
    }

    /// How high a list is that is short enough to be kept together; nothing for a long one.
    fn short_list_mm(&self, points: &[String]) -> f64 {
        let wide = RIGHT_MM - LEFT_MM - POINT_INDENT_MM;
        let high = |point: &String| cell_lines(point, BODY_MM, wide).len() as f64 * BODY_MM * PITCH + AFTER_POINT_MM;
        Some(points.iter().map(high).sum()).filter(|high| *high <= SHORT_LIST_MM).unwrap_or(0.0)
    }

    fn block(&mut self, block: &Block) {
        match block {
            Block::Chapter(words) => {
                self.y += 5.0;
                self.bookmark(0, words);
                self.lines(words, 4.8, Ink::Ink, 0.0);
                let y = self.y + 0.4;
                self.rule(y, Outline::solid(Ink::Ink, PenWidth::Medium.mm()));
                self.y += 3.0;
            }
            Block::Entry(name, words) => self.entry(name, words),
            Block::Section(words) => {
                self.y += 3.0;
                self.lines(words, 3.9, Ink::Ink, 0.0);
                self.y += 1.4;
            }
            Block::Paragraph(words) => self.paragraph(words),
            Block::Named(name, words) => self.named(name, words),
            Block::Points(points) => points.iter().for_each(|point| self.point(point, Bullet::Dot)),
            Block::ToTick(points) => points.iter().for_each(|point| self.point(point, Bullet::Box)),
            Block::Pictures(pictures) => self.pictures(pictures),
            Block::Working(lines) => {
                lines.iter().for_each(|line| self.lines(line, 3.0, Ink::GreyPencil, 6.0));
                self.y += 1.2;
            }
            Block::Table(heads, rows) => {
                let rows: Vec<(&[String], &str)> = rows.iter().map(|row| (row.as_slice(), "")).collect();
                self.table(heads, &rows);
            }
            Block::Worked(heads, rows) => {
                let rows = rows.iter().map(|row| (row.cells.as_slice(), row.working.as_str()));
                self.table(heads, &rows.collect::<Vec<_>>());
            }
            Block::Form(heads, rows) => self.form(heads, rows),
        }
    }

    /// A heading that a mark leads to, and that leads back to the drawing.
    fn entry(&mut self, name: &str, words: &str) {
        self.y += 3.0;
        self.bookmark(1, words);
        let top = self.y;
        let at = dvec2(LEFT_MM, top - 2.0);
        self.page().push(PageItem::Target(at, name.to_owned()));
        self.lines(words, 3.9, Ink::Ink, 0.0);
        let area = Field { low: dvec2(LEFT_MM, top), high: dvec2(RIGHT_MM, self.y) };
        self.page().push(PageItem::Link(area, super::drawn_name(name)));
        self.y += 1.4;
    }

    fn paragraph(&mut self, words: &str) {
        self.lines(words, BODY_MM, Ink::Ink, 0.0);
        self.y += 1.6;
    }

    fn named(&mut self, name: &str, words: &str) {
        let name = format!("{name}: ");
        let indent = width_mm(&name, BODY_MM).max(20.0);
        self.need(BODY_MM * PITCH);
        let at = dvec2(LEFT_MM, self.y + BODY_MM);
        self.page().words(at, TextAnchor::Start, name.trim_end(), BODY_MM, Ink::GreyPencil, Turn::Level);
        self.lines(words, BODY_MM, Ink::Ink, indent);
        self.y += 1.2;
    }

    fn point(&mut self, words: &str, bullet: Bullet) {
        let lines = cell_lines(words, BODY_MM, RIGHT_MM - LEFT_MM - POINT_INDENT_MM);
        self.need(BODY_MM * PITCH * lines.len().min(4) as f64);
        let middle = dvec2(LEFT_MM + 1.9, self.y + BODY_MM * 0.68);
        let (half, fill, outline) = match bullet {
            Bullet::Dot => (0.45, Some(Ink::Ink), None),
            Bullet::Box => (1.6, None, Some(Outline::solid(Ink::Ink, PenWidth::Fine.mm()))),
        };
        self.page().rectangle(Field { low: middle - half, high: middle + half }, fill, outline);
        lines.iter().for_each(|line| self.line(line, BODY_MM, Ink::Ink, POINT_INDENT_MM));
        self.y += AFTER_POINT_MM;
    }

    fn pictures(&mut self, pictures: &[Picture]) {
        const APART_MM: f64 = 4.0;
        self.y += 1.0;
        let mut left = LEFT_MM;
        let mut row_high = 0.0_f64;
        for picture in pictures {
            if left > LEFT_MM && left + picture.size_mm.x > RIGHT_MM + 1e-6 {
                self.y += row_high + APART_MM;
                (left, row_high) = (LEFT_MM, 0.0);
            }
            if left <= LEFT_MM {
                self.need(picture.size_mm.y);
            }
            let at = dvec2(left, self.y);
            self.page().placed(&picture.items, at);
            left += picture.size_mm.x + APART_MM;
            row_high = row_high.max(picture.size_mm.y);
        }
        if row_high > 0.0 {
            self.y += row_high + 2.0;
        }
    }

    /// Rows of cells, each with words that stand below it across the page.
    fn table(&mut self, heads: &[&'static str], rows: &[(&[String], &str)]) {
        let cells: Vec<&[String]> = rows.iter().map(|(cells, _)| *cells).collect();
        let widths = widths_mm(heads, &cells, TABLE_MM, RIGHT_MM - LEFT_MM - 2.0 * CELL_PAD_MM * heads.len() as f64);
        let heads: Vec<String> = heads.iter().map(|head| (*head).to_owned()).collect();
        let below = LEFT_MM + widths[0] + 3.0 * CELL_PAD_MM;
        self.need(16.0);
        let heads = broken(&heads, &widths);
        self.row(&heads, &widths, Ink::GreyPencil);
        self.close_row();
        for (cells, words) in rows {
            let cells = broken(cells, &widths);
            let words = cell_lines(words, TABLE_MM, RIGHT_MM - CELL_PAD_MM - below);
            let high = (most(&cells).max(1) + words.len()) as f64 * TABLE_MM * PITCH + 2.0 * CELL_PAD_MM;
            // A row that fits on no page runs on from one to the next.
            if self.y + high > BOTTOM_MM && high < (BOTTOM_MM - TOP_MM) / 2.0 {
                self.need(high);
                self.row(&heads, &widths, Ink::GreyPencil);
                self.close_row();
            }
            self.row(&cells, &widths, Ink::Ink);
            words.iter().for_each(|line| self.line(line, TABLE_MM, Ink::GreyPencil, below - LEFT_MM));
            self.close_row();
        }
        self.y += 2.5;
    }

    /// Cells, each in lines that fit its column.
    fn row(&mut self, lines: &[Vec<String>], widths: &[f64], ink: Ink) {
        self.y += CELL_PAD_MM;
        for number in 0..most(lines) {
            self.need(TABLE_MM * PITCH);
            let mut left = LEFT_MM + CELL_PAD_MM;
            for (cell, width) in lines.iter().zip(widths) {
                if let Some(words) = cell.get(number) {
                    let at: DVec2 = dvec2(left, self.y + TABLE_MM);
                    self.page().words(at, TextAnchor::Start, words, TABLE_MM, ink, Turn::Level);
                }
                left += width + 2.0 * CELL_PAD_MM;
            }
            self.y += TABLE_MM * PITCH;
        }
    }

    fn close_row(&mut self) {
        self.y += CELL_PAD_MM;
        let y = self.y;
        self.rule(y, FINE);
    }
}

/// Cells in lines that fit their columns.
fn broken(cells: &[String], widths: &[f64]) -> Vec<Vec<String>> {
    cells.iter().zip(widths).map(|(cell, width)| cell_lines(cell, TABLE_MM, *width)).collect()
}

fn most(cells: &[Vec<String>]) -> usize {
    cells.iter().map(Vec::len).max().unwrap_or(0)
}

/// What stands before a point.
#[derive(Clone, Copy)]
enum Bullet {
    Dot,
    Box,
}
