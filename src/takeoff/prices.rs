//! Prices from the user's own list, put to the lines of a take-off. None come from anywhere else.

use serde::{Deserialize, Serialize};
use thiserror::Error;

use super::Takeoff;

/// A list of prices: a CSV file with the columns what, size, unit, price.
#[derive(Debug, Clone, PartialEq)]
pub struct PriceList {
    rows: Vec<Row>,
}

#[derive(Debug, Clone, PartialEq)]
struct Row {
    /// Line in the file.
    line: u64,
    what: String,
    /// Empty for any size.
    size: String,
    unit: String,
    price: f64,
}

#[derive(Deserialize)]
struct RawRow {
    what: String,
    #[serde(default)]
    size: String,
    unit: String,
    price: String,
}

/// Why a price list cannot be used.
#[derive(Debug, Error)]
pub enum PriceError {
    /// It is no such table.
    #[error("the price list cannot be read: {0}; it is a CSV file whose first line is what,size,unit,price")]
    Csv(#[from] csv::Error),
    /// A column is not there.
    #[error("the price list has no column '{column}'; it is a CSV file whose first line is what,size,unit,price")]
    NoColumn {
        /// Which one.
        column: &'static str,
    },
    /// A line has more or fewer cells than there are columns.
    #[error(
        "line {line} of the price list has {cells} in place of {columns} cells; words that hold a comma stand between \"\""
    )]
    Cells {
        /// Which line.
        line: u64,
        /// How many it has.
        cells: u64,
        /// How many columns there are.
        columns: u64,
    },
    /// A price is no price.
    #[error("line {line} of the price list: '{price}' is no price; write a number of at least 0, such as 12.50")]
    NoPrice {
        /// Which line.
        line: u64,
        /// What stands there.
        price: String,
    },
    /// One thing has two prices.
    #[error("lines {first} and {second} of the price list give a price for the same thing; keep one of them")]
    Twice {
        /// One line.
        first: u64,
        /// The other.
        second: u64,
    },
}

/// A take-off with prices.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Priced {
    /// The lines that have a price.
    pub lines: Vec<PricedLine>,
    /// What they cost together, in the money of the list.
    pub total: f64,
    /// Names of lines to buy that the list has no price for.
    pub unpriced: Vec<String>,
    /// Lines of the list that nothing was matched by, with why.
    pub unused: Vec<String>,
}

/// A line and its price.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PricedLine {
    /// Which line of the take-off, from nought.
    pub line: usize,
    /// Which line of the price list.
    pub by_line: u64,
    /// Price of one unit.
    pub price: f64,
    /// What the quantity to order costs.
    pub cost: f64,
}

impl PriceList {
    /// Reads a list. A row whose price is still empty prices nothing.
    ///
    /// # Errors
    /// [`PriceError`] when it is no such table, a price is no number, or one thing has two prices.
    pub fn parse(text: &str) -> Result<Self, PriceError> {
        let mut reader = csv::ReaderBuilder::new().trim(csv::Trim::All).from_reader(text.as_bytes());
        let mut rows: Vec<Row> = Vec::new();
        let headers = reader.headers()?.clone();
        if let Some(column) =
            ["what", "unit", "price"].into_iter().find(|column| !headers.iter().any(|own| own == *column))
        {
            return Err(PriceError::NoColumn { column });
        }
        let mut record = csv::StringRecord::new();
        while reader.read_record(&mut record).map_err(unread)? {
            let line = record.position().map_or(0, csv::Position::line);
            let raw: RawRow = record.deserialize(Some(&headers))?;
            if raw.price.is_empty() {
                continue;
            }
            let price = price(&raw.price).ok_or(PriceError::NoPrice { line, price: raw.price })?;
            let row = Row { line, what: folded(&raw.what), size: folded(&raw.size), unit: unit(&raw.unit), price };
            let same = |known: &&Row| (&known.what, &known.size, &known.unit) == (&row.what, &row.size, &row.unit);
            if let Some(known) = rows.iter().find(same) {
                return Err(PriceError::Twice { first: known.line, second: line });
            }
            rows.push(row);
        }
        Ok(Self { rows })
    }

    /// Puts the prices to a take-off. A row prices a line when their words are the same; a row without a size prices
    /// every size that has no row of its own.
    #[must_use]
    pub fn put_to(&self, takeoff: &Takeoff) -> Priced {
        let mut priced = Priced { lines: Vec::new(), total: 0.0, unpriced: Vec::new(), unused: Vec::new() };
        let mut used = vec![false; self.rows.len()];
        for (number, line) in takeoff.lines.iter().enumerate() {
            let Some(quantity) = line.to_order.filter(|_| line.trade != super::Trade::Weights) else { continue };
            let (what, size, unit) = (folded(&line.what), folded(&line.size), line.unit.sign());
            let fits = |(_, row): &(usize, &Row)| row.what == what && row.unit == unit;
            let fitting = || self.rows.iter().enumerate().filter(fits);
            let exact = fitting().find(|(_, row)| row.size == size);
            match exact.or_else(|| fitting().find(|(_, row)| row.size.is_empty())) {
                Some((at, row)) => {
                    used[at] = true;
                    // To the hundredth, as a bill has it.
                    let cost = (quantity * row.price * 100.0).round() / 100.0;
                    priced.total += cost;
                    priced.lines.push(PricedLine { line: number, by_line: row.line, price: row.price, cost });
                }
                None => priced.unpriced.push(line.name()),
            }
        }
        for (row, _) in self.rows.iter().zip(&used).filter(|(_, used)| !**used) {
            let is_bought = |line: &&super::Line| line.trade != super::Trade::Weights;
            let same_thing = takeoff.lines.iter().filter(is_bought).find(|line| folded(&line.what) == row.what);
            let why = match same_thing {
                Some(line) if line.unit.sign() != row.unit => {
                    format!("the take-off counts it in {}, the list in {}", line.unit.sign(), row.unit)
                }
                Some(_) => format!("no line of the take-off has the size '{}'", row.size),
                None => "no line of the take-off has these words".to_owned(),
            };
            priced.unused.push(format!("line {}: {}: {why}", row.line, row.what));
        }
        priced
    }
}

/// Why a line cannot be read.
fn unread(error: csv::Error) -> PriceError {
    match error.kind() {
        csv::ErrorKind::UnequalLengths { pos: Some(place), expected_len: columns, len: cells } => {
            PriceError::Cells { line: place.line(), cells: *cells, columns: *columns }
        }
        _ => error.into(),
    }
}

/// A price with a point or a comma before the hundredths.
fn price(text: &str) -> Option<f64> {
    let text = if text.contains('.') { text.to_owned() } else { text.replacen(',', ".", 1) };
    text.parse().ok().filter(|price: &f64| price.is_finite() && *price >= 0.0)
}

/// A unit as it is compared: few keyboards have a raised two.
fn unit(text: &str) -> String {
    folded(text).replace('²', "2")
}

/// Words as they are compared: small letters, one space between.
fn folded(text: &str) -> String {
    text.to_lowercase().split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_price_list_is_named_by_its_line() {
        let complaint = |text: &str| PriceList::parse(text).expect_err("no price list").to_string();
        assert!(complaint("what,size,unit,price\ntee,22 mm,no,cheap\n").contains("line 2 of the price list: 'cheap'"));
        assert!(complaint("what,size,unit,price\ntee,,no,1\nTee,,no,2\n").contains("lines 2 and 3"));
        assert!(
            complaint("thing,cost\ntee,1\n")
                .contains("no column 'what'; it is a CSV file whose first line is what,size,unit,price")
        );
        assert!(
            complaint("what,size,unit,price\ntee,,no,1\ntee,22,no,5,50\n")
                .contains("line 3 of the price list has 5 in place of 4 cells")
        );
        assert!(complaint("what,size,unit,price\ntee,,no,-1\n").contains("'-1'"));
    }

    #[test]
    fn a_comma_may_stand_before_the_hundredths() {
        assert_eq!((price("12,50"), price("12.50"), price("inf")), (Some(12.5), Some(12.5), None));
    }
}
