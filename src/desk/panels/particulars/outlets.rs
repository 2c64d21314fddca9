//! Fields of outlets and boilers.

use egui::Ui;

use super::fields::Fields;
use super::place;
use super::typed::{Typed, plain_number};
use crate::layout::{Boiler, BoilerKind, Outlet, OutletKind, Passes, Taps};
use crate::units::{Flow, Pressure};

/// Between the flow and the pressure of a rating.
const AT: &str = " at ";

/// Fields of a boiler.
pub fn boiler(ui: &mut Ui, fields: &mut Fields, boiler: &mut Boiler) {
    place(ui, fields, &mut boiler.at, "Left side", "Underside level");
    fields.quantity(ui, "Length", &mut boiler.length);
    fields.quantity(ui, "Height", &mut boiler.height);
    fields.choice(ui, "Kind", &mut boiler.kind, &BoilerKind::ALL.map(|kind| (kind, kind.words())));
    fields.optional(ui, "Output", &mut boiler.output);
}

/// Fields of an outlet.
pub fn outlet(ui: &mut Ui, fields: &mut Fields, outlet: &mut Outlet) {
    fields.one_of(ui, "Kind", &mut outlet.kind, &OutletKind::ALL.map(|kind| (kind, kind.words())));
    place(ui, fields, &mut outlet.at, "Distance right", "Outlet level");
    fields.optional(ui, "Hot water at it", &mut outlet.supply_temperature);
    fields.choice(ui, "Hot and cold by", &mut outlet.taps, &Taps::ALL.map(|taps| (taps, taps.words())));
    let shown = outlet.passes.map(rating_words).unwrap_or_default();
    fields.optional_words(ui, "Passes", &shown, &mut outlet.passes, rating);
}

fn rating_words(passes: Passes) -> String {
    let (flow, pressure) = (plain_number(passes.flow.number()), plain_number(passes.at.number()));
    format!("{flow} {}{AT}{pressure} {}", Flow::UNIT, Pressure::UNIT)
}

/// "0.15 L/s at 10 kPa": neither says anything without the other.
fn rating(text: &str) -> Result<Passes, String> {
    let (flow, pressure) =
        text.split_once(AT).ok_or_else(|| format!("'{text}' is no rating; type for example 0.15 L/s{AT}10 kPa"))?;
    Ok(Passes { flow: Flow::typed(flow)?, at: Pressure::typed(pressure)? })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rating_is_typed_as_it_is_shown() {
        let read = rating("9 L/min at 0.1 bar").expect("reads");
        assert_eq!(rating_words(read), "0.15 L/s at 10 kPa");
        assert_eq!(rating(&rating_words(read)), Ok(read));
        assert!(rating("0.15").expect_err("half of it").contains("0.15 L/s at 10 kPa"));
    }
}
