//! Take-off: what a layout is made of, line by line, each with its working and the parts that it comes from.
//!
//! What the layout does not tell is a line that says so. Cutting lists, prices and quotes are reckoned from the lines.

mod bill;
pub mod boards;
mod connections;
pub mod cutting;
mod lengths;
mod line;
mod pipes;
mod platforms;
pub mod prices;
pub mod quote;
mod straights;
mod stretches;
mod tally;
mod vessels;
mod weights;

pub use bill::{Bill, Reckoning};
pub use lengths::{TubeCutting, tube_cuttings};
pub use line::{Counted, Item, Line, Trade};
pub use platforms::{BoardCutting, board_cuttings};

use serde::Serialize;

use crate::measure::Site;
use tally::Tally;

/// What of tube and insulation is ordered beyond what is drawn, as a share (common practice, no source).
const ALLOWANCE: f64 = 0.10;

/// Everything that a layout is made of.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Takeoff {
    /// The lines, by trade.
    pub lines: Vec<Line>,
    /// What holds for all of them.
    pub notes: Vec<String>,
}

/// What a take-off is made with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Terms {
    /// What of tube and insulation is ordered beyond what is drawn, as a share.
    pub allowance: f64,
}

impl Default for Terms {
    fn default() -> Self {
        Self { allowance: ALLOWANCE }
    }
}

/// What is told, in words, or that it is not.
fn or_not_told<T>(told: Option<T>, what: &str, words: impl FnOnce(T) -> String) -> String {
    told.map_or_else(|| format!("{what} not told"), words)
}

impl Takeoff {
    /// Takes a layout off. Never fails: what is not told is a line that says so.
    #[must_use]
    pub fn of(site: &Site<'_>, terms: Terms) -> Self {
        let mut tally = Tally::new(terms);
        pipes::take(&mut tally, site);
        connections::take(&mut tally, site);
        vessels::take(&mut tally, site);
        platforms::take(&mut tally, site);
        weights::take(&mut tally, site);
        let notes = vec![
            format!(
                "Lengths are as drawn, from centre to centre of fittings; tube and insulation to order have {} % more (common practice, no source).",
                terms.allowance * 100.0
            ),
            "The section shows no pipe that runs front to back. It is added only where a run joins two vessels of which it is told how far behind the section they stand.".to_owned(),
            "A bend may be a fitting or be made on a machine; turns of less than 10° are set in the tube and not counted.".to_owned(),
            "Solder, jointing, screws and the like are not listed.".to_owned(),
        ];
        Self { lines: tally.into_lines(), notes }
    }

    /// The lines of an item.
    pub fn of_item(&self, item: Item) -> impl Iterator<Item = &Line> {
        self.lines.iter().filter(move |line| line.item == item)
    }

    /// The lines that cannot be ordered before something is found out.
    pub fn untold(&self) -> impl Iterator<Item = &Line> {
        self.lines.iter().filter(|line| line.find_out.is_some())
    }
}
