//! Lists for other programs: the bill as JSON, the take-off as CSV, with no cell that a spreadsheet would take for a formula.

use std::collections::HashSet;

use serde::Serialize;

use crate::takeoff::prices::Priced;
use crate::takeoff::{Bill, Takeoff, Trade};

/// Signs by which a spreadsheet takes a cell for a formula, and blanks that it looks through.
const FORMULA_SIGNS: [char; 6] = ['=', '+', '-', '@', '\t', '\r'];

/// A bill as one JSON object on a line, with the name of the layout's file; empty when it has none.
#[must_use]
pub fn bill_json(file: &str, bill: &Bill) -> String {
    #[derive(Serialize)]
    struct Named<'a> {
        file: &'a str,
        #[serde(flatten)]
        bill: &'a Bill,
    }
    serde_json::to_string(&Named { file, bill }).expect("a bill holds numbers, words and lists only") + "\n"
}

/// A take-off as CSV, with price and cost where there are prices.
#[must_use]
pub fn takeoff_csv(takeoff: &Takeoff, priced: Option<&Priced>) -> String {
    let mut heads = vec![
        "trade", "what", "size", "quantity", "to order", "unit", "price", "cost", "find out", "tags", "parts",
        "working",
    ];
    if priced.is_none() {
        heads.retain(|head| !matches!(*head, "price" | "cost"));
    }
    let mut table = Table::default();
    table.row(heads.into_iter().map(str::to_owned));
    for (number, line) in takeoff.lines.iter().enumerate() {
        let mut cells = vec![
            line.trade.words().to_owned(),
            line.what.clone(),
            line.size.clone(),
            line.quantity_words(),
            line.order_words(),
            line.unit.sign().to_owned(),
        ];
        if let Some(priced) = priced {
            let found = priced.lines.iter().find(|priced| priced.line == number);
            cells.push(found.map_or_else(String::new, |priced| priced.price.to_string()));
            cells.push(found.map_or_else(String::new, |priced| format!("{:.2}", priced.cost)));
        }
        cells.push(line.find_out.clone().unwrap_or_default());
        cells.push(line.tags.join(" "));
        cells.push(line.parts.iter().map(ToString::to_string).collect::<Vec<_>>().join(" "));
        cells.push(line.working.join("; "));
        table.row(cells);
    }
    table.finish()
}

/// A price list to be filled in, as CSV: a row for each thing of a take-off that is bought, with its price where that is
/// known.
#[must_use]
pub fn price_list_csv(takeoff: &Takeoff, priced: Option<&Priced>) -> String {
    let mut table = Table::default();
    table.row(["what", "size", "unit", "price"].map(str::to_owned));
    let mut listed = HashSet::new();
    let bought = takeoff.lines.iter().enumerate().filter(|(_, line)| line.trade != Trade::Weights);
    for (number, line) in bought.filter(|(_, line)| listed.insert((&line.what, &line.size, line.unit.sign()))) {
        let known = priced.and_then(|priced| priced.lines.iter().find(|priced| priced.line == number));
        let price = known.map_or_else(String::new, |priced| priced.price.to_string());
        table.row([line.what.clone(), line.size.clone(), line.unit.sign().to_owned(), price]);
    }
    table.finish()
}

/// A table on its way to CSV.
pub(super) struct Table(csv::Writer<Vec<u8>>);

impl Default for Table {
    fn default() -> Self {
        Self(csv::WriterBuilder::new().from_writer(Vec::new()))
    }
}

impl Table {
    pub fn row(&mut self, cells: impl IntoIterator<Item = String>) {
        let cells = cells.into_iter().map(|cell| guarded(&cell));
        self.0.write_record(cells).expect("rows of one length go into memory");
    }

    pub fn finish(self) -> String {
        let bytes = self.0.into_inner().expect("memory can be flushed");
        String::from_utf8(bytes).expect("the cells are text")
    }
}

/// A cell that stays words in a spreadsheet.
fn guarded(cell: &str) -> String {
    if cell.starts_with(FORMULA_SIGNS) { format!("'{cell}") } else { cell.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_cell_is_a_formula() {
        for cell in ["=1+1", "+44", "-2", "@name", "\t=1"] {
            assert_eq!(guarded(cell), format!("'{cell}"));
        }
        assert_eq!(guarded("22 mm"), "22 mm");
    }
}
