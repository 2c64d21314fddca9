//! The bill: list, cutting lists, prices and quote together, as window and command line hand them over alike.

use serde::Serialize;

use super::boards::SheetStock;
use super::cutting::Stock;
use super::prices::{PriceList, Priced};
use super::quote::{Comparison, QuoteLine, Told, compare_told};
use super::{BoardCutting, Takeoff, Terms, TubeCutting, board_cuttings, tube_cuttings};
use crate::finding::Findings;
use crate::measure::Site;

/// What a bill is reckoned with.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Reckoning {
    /// How much more to order than is drawn.
    pub terms: Terms,
    /// Bars of tube.
    pub stock: Stock,
    /// Sheets that boards are cut from.
    pub sheet: SheetStock,
    /// The user's prices.
    pub prices: Option<PriceList>,
    /// The lines of a quote; none when there is no quote.
    pub quote: Vec<QuoteLine>,
    /// What has been said of its lines.
    pub told: Vec<Told>,
}

/// A bill.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Bill {
    /// What the layout is called.
    pub title: String,
    /// The list.
    #[serde(flatten)]
    pub takeoff: Takeoff,
    /// How tube is cut.
    pub cutting: Vec<TubeCutting>,
    /// The bars that it is cut from.
    pub stock: Stock,
    /// How boards are cut.
    pub boards: Vec<BoardCutting>,
    /// The sheets that they are cut from.
    pub sheet: SheetStock,
    /// The list with prices.
    pub prices: Option<Priced>,
    /// The quote set against the list.
    pub quote: Option<Comparison>,
}

impl Bill {
    /// Reckons the bill of a layout with its findings. Never fails: what is not told is a line that says so.
    #[must_use]
    pub fn of(site: &Site<'_>, findings: &Findings, with: &Reckoning) -> Self {
        let layout = site.layout();
        let takeoff = Takeoff::of(site, with.terms);
        let compared = || compare_told(layout, &takeoff, findings, &with.quote, &with.told);
        Self {
            title: layout.heading.title.clone(),
            cutting: tube_cuttings(site, with.stock),
            stock: with.stock,
            boards: board_cuttings(layout, with.sheet),
            sheet: with.sheet,
            prices: with.prices.as_ref().map(|list| list.put_to(&takeoff)),
            quote: (!with.quote.is_empty()).then(compared),
            takeoff,
        }
    }
}
