//! Every tool of Stores by name, with what is done with it, for its button and for the list that answers to typed words.

use super::{Stock, Tool};
use crate::catalogue;
use crate::layout::{InLineKind, OutletKind, Service};

/// A tool that is asked for by name.
#[derive(Debug, Clone, PartialEq)]
pub struct Named {
    /// Which.
    pub tool: Tool,
    /// Its name.
    pub name: String,
}

/// Every tool, in the order in which Stores hold them.
pub fn all() -> impl Iterator<Item = Named> {
    let houses = [Stock::House, Stock::Bungalow];
    let building = [Stock::Storey, Stock::Ceiling, Stock::Joists, Stock::Wall, Stock::Roof, Stock::Hatch];
    let cisterns = || 0..catalogue::cisterns().sizes.len();
    let cylinders = 0..catalogue::cylinders().sizes.len();
    let stocks = (houses.into_iter().chain(building))
        .chain(cisterns().map(Stock::Storage))
        .chain(cisterns().map(Stock::FeedAndExpansion))
        .chain(cylinders.map(Stock::Cylinder))
        .chain([Stock::Platform, Stock::Boiler]);
    let pipes = Service::ALL.into_iter().map(Tool::Pipe);
    let outlets = OutletKind::ALL.into_iter().map(Stock::Outlet);
    let fittings = InLineKind::ALL.into_iter().map(Tool::Fit);
    let tools = (stocks.map(Tool::Place)).chain(pipes).chain(outlets.map(Tool::Place)).chain(fittings).chain([
        Tool::Insulate,
        Tool::Bare,
        Tool::Place(Stock::Note),
        Tool::Tape,
    ]);
    tools.map(|tool| Named { name: name(&tool), tool })
}

fn name(tool: &Tool) -> String {
    match tool {
        Tool::Pick => "Pick".to_owned(),
        Tool::Place(stock) => format!("Place: {}", stock.name()),
        Tool::Pipe(service) => format!("Pipe run: {}", service.words()),
        Tool::Fit(kind) => format!("Fitting: {}", kind.words()),
        Tool::Insulate => "Insulate pipes".to_owned(),
        Tool::Bare => "Bare pipes".to_owned(),
        Tool::Tape => "Tape".to_owned(),
    }
}

impl Tool {
    /// What is done with it, for its tooltip.
    #[must_use]
    pub fn tip(&self) -> String {
        match self {
            Self::Pick => "Select and move".to_owned(),
            Self::Place(stock) => format!("Place {}: {}", stock.one(), stock.held_by()),
            Self::Pipe(_) => {
                "Draw it: click where it begins, click bends, end it on a port or a pipe, or with Enter in the open"
                    .to_owned()
            }
            Self::Fit(_) => "Put it on a pipe: click where it goes".to_owned(),
            Self::Insulate => "Insulate pipes: drag along one, or click a stretch from bend to bend".to_owned(),
            Self::Bare => "Take insulation off: drag along a pipe, or click a stretch".to_owned(),
            Self::Tape => "Measure from one feature to another: across, up and straight".to_owned(),
        }
    }
}
