//! A form in a document: a ruled grid with room to write in its empty cells.

use glam::{DVec2, dvec2};

use super::super::frame::Field;
use super::columns::cell_lines;
use super::paged::{Flow, LEFT_MM, PITCH, RIGHT_MM};
use crate::scene::{Ink, Outline, PenWidth, TextAnchor, Turn, width_mm};

const LETTERS_MM: f64 = 3.0;
/// Space in a cell around its words, mm.
const PAD_MM: f64 = 1.6;
/// A row with an empty cell is so high that one can write in it, mm; one with nothing else, that one can reckon in it.
const TO_WRITE_MM: f64 = 10.0;
const TO_RECKON_MM: f64 = 30.0;
/// A column is never narrower than this, mm.
const LEAST_COLUMN_MM: f64 = 14.0;
const WIDE_MM: f64 = RIGHT_MM - LEFT_MM;

impl Flow {
    pub(super) fn form(&mut self, heads: &[&'static str], rows: &[Vec<String>]) {
        let widths = widths(heads, rows);
        let heads: Vec<String> = heads.iter().map(|head| (*head).to_owned()).collect();
        let first = rows.first().map_or(0.0, |row| row_height(row, &widths));
        self.need(row_height(&heads, &widths) + first);
        self.form_row(&heads, &widths, Ink::GreyPencil);
        for row in rows {
            if self.need(row_height(row, &widths)) {
                self.form_row(&heads, &widths, Ink::GreyPencil);
            }
            self.form_row(row, &widths, Ink::Ink);
        }
        self.y += 2.4;
    }

    fn form_row(&mut self, cells: &[String], widths: &[f64], ink: Ink) {
        let high = row_height(cells, widths);
        let (top, mut left) = (self.y, LEFT_MM);
        for (cell, width) in cells.iter().zip(widths) {
            let cell_field = Field { low: dvec2(left, top), high: dvec2(left + width, top + high) };
            self.page().rectangle(cell_field, None, Some(Outline::solid(Ink::Ink, PenWidth::Fine.mm())));
            for (number, line) in lines(cell, *width).iter().enumerate() {
                let down = PAD_MM + 0.78 * LETTERS_MM + number as f64 * LETTERS_MM * PITCH;
                let at: DVec2 = dvec2(left + PAD_MM, top + down);
                self.page().words(at, TextAnchor::Start, line, LETTERS_MM, ink, Turn::Level);
            }
            left += width;
        }
        self.y += high;
    }
}

fn lines(cell: &str, width: f64) -> Vec<String> {
    cell_lines(cell, LETTERS_MM, width - 2.0 * PAD_MM)
}

fn row_height(cells: &[String], widths: &[f64]) -> f64 {
    let lines_in = |(cell, width): (&String, &f64)| lines(cell, *width).len().max(1);
    let most = cells.iter().zip(widths).map(lines_in).max().unwrap_or(1);
    let words = 2.0 * PAD_MM + LETTERS_MM + (most - 1) as f64 * LETTERS_MM * PITCH;
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
        let widest = cells.chain([heads[column]]).map(|words| width_mm(words, LETTERS_MM)).fold(0.0, f64::max);
        (widest + 2.0 * PAD_MM + 0.5).max(LEAST_COLUMN_MM)
    };
    let mut widths: Vec<f64> = (0..heads.len()).map(asked).collect();
    let to_write = |column: usize| rows.iter().any(|row| row.get(column).is_some_and(String::is_empty));
    let open: Vec<usize> = (0..heads.len()).filter(|column| to_write(*column)).collect();
    let whole: f64 = widths.iter().sum();
    if whole > WIDE_MM {
        // What everyone may have when the widest are cut to it: the level is lowered until the columns fit.
        let mut level = WIDE_MM;
        while widths.iter().map(|width| width.min(level)).sum::<f64>() > WIDE_MM && level > LEAST_COLUMN_MM {
            level -= 0.5;
        }
        widths.iter_mut().for_each(|width| *width = width.min(level));
    } else if !open.is_empty() {
        let more = (WIDE_MM - whole) / open.len() as f64;
        open.iter().for_each(|column| widths[*column] += more);
    }
    widths
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_fill_the_page_and_no_more() {
        let rows = vec![vec!["1".to_owned(), String::new(), "x".repeat(300)]];
        let widest = widths(&["no.", "part", "words"], &rows);
        assert!(widest.iter().sum::<f64>() <= WIDE_MM + 1e-9, "{widest:?}");
        let rows = vec![vec!["1".to_owned(), String::new()]];
        assert!((widths(&["no.", "part"], &rows).iter().sum::<f64>() - WIDE_MM).abs() < 1e-9);
    }

    #[test]
    fn an_empty_cell_leaves_room_to_write_and_an_empty_row_to_reckon() {
        let row = |cells: [&str; 2]| row_height(&cells.map(str::to_owned), &[60.0, 60.0]);
        assert!(row(["words", "more"]) < row(["words", ""]));
        assert!(row(["words", ""]) < row(["", ""]));
    }
}
