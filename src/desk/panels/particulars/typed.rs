//! Quantities as they stand in fields and are typed there, in the units that are shown.

use crate::session::settings::Measures;
use crate::units::{
    Conductance, Duration, Entry, Flow, HeatLoss, LITRES_IN_A_GALLON, Length, Level, LossCoefficient, MM_IN_AN_INCH,
    Mass, Power, Pressure, Size, SurfaceLoad, Temperature, Volume,
};

/// A quantity that can be typed.
pub trait Typed: Copy + PartialEq {
    /// The unit that is shown behind it.
    const UNIT: &'static str;
    /// The number in that unit.
    fn number(self) -> f64;
    /// The quantity in typed text, or what is wrong with the text.
    fn typed(text: &str) -> Result<Self, String>;
}

macro_rules! typed {
    ($quantity:ty, $unit:literal, $get:ident, $make:ident, $entry:expr) => {
        impl Typed for $quantity {
            const UNIT: &'static str = $unit;
            fn number(self) -> f64 {
                self.$get()
            }
            fn typed(text: &str) -> Result<Self, String> {
                let number = $entry.parse(text).map_err(|error| error.to_string())?;
                Self::$make(number).map_err(|error| error.to_string())
            }
        }
    };
}
typed!(Length, "mm", to_mm, try_mm, Entry::Length);
typed!(Level, "mm", to_mm, try_mm, Entry::Length);
typed!(Size, "mm", to_mm, try_mm, Entry::Length);
typed!(Volume, "L", to_litres, try_litres, Entry::Volume);
typed!(Mass, "kg", to_kg, try_kg, Entry::Mass);
typed!(Temperature, "°C", to_celsius, try_celsius, Entry::Temperature);
typed!(Power, "kW", to_kw, try_kw, Entry::Power);
typed!(Pressure, "kPa", to_kpa, try_kpa, Entry::Pressure);
typed!(Flow, "L/s", to_l_s, try_l_s, Entry::Flow);
typed!(Duration, "h", to_hours, try_hours, Entry::Time);
typed!(HeatLoss, "W", to_watts, try_watts, Entry::HeatLoss);
typed!(Conductance, "W/K", to_w_k, try_w_k, Entry::Conductance);
typed!(SurfaceLoad, "kN/m²", to_kn_per_m2, try_kn_per_m2, Entry::SurfaceLoad);
typed!(LossCoefficient, "", to_k, try_k, Entry::Number);

/// A count of things.
impl Typed for u32 {
    const UNIT: &'static str = "";
    fn number(self) -> f64 {
        f64::from(self)
    }
    fn typed(text: &str) -> Result<Self, String> {
        let bad = || format!("'{text}' is not a count; type for example 3");
        text.trim().parse().ok().filter(|count| (1..=999).contains(count)).ok_or_else(bad)
    }
}

/// The unit in which a quantity is shown, and how many of its own units make one of these.
pub fn shown_in(unit: &'static str, measures: Measures) -> (&'static str, f64) {
    match (measures, unit) {
        (Measures::Imperial, "mm") => ("in", MM_IN_AN_INCH),
        (Measures::Imperial, "L") => ("gal", LITRES_IN_A_GALLON),
        _ => (unit, 1.0),
    }
}

/// Typed text with the unit that is shown, where it names none and another would be taken.
pub fn with_unit(text: &str, shown: &str, own: &str) -> String {
    let bare = text.trim().chars().next_back().is_some_and(|letter| letter.is_numeric() || letter == '.');
    if shown != own && bare { format!("{} {shown}", text.trim()) } else { text.to_owned() }
}

/// A number with no more decimals than it needs.
pub fn plain_number(number: f64) -> String {
    let text = format!("{number:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_shows_only_the_decimals_it_needs() {
        for (number, text) in [(450.0, "450"), (21.5, "21.5"), (-0.0001, "0"), (457.2, "457.2")] {
            assert_eq!(plain_number(number), text);
        }
    }

    #[test]
    fn a_bare_number_means_the_unit_that_is_shown() {
        let (unit, per_unit) = shown_in(<Size as Typed>::UNIT, Measures::Imperial);
        assert_eq!(plain_number(Size::mm(457.2).number() / per_unit), "18");
        for (text, mm) in [("18", 457.2), ("18 in", 457.2), ("450 mm", 450.0)] {
            assert_eq!(<Size as Typed>::typed(&with_unit(text, unit, "mm")), Ok(Size::mm(mm)));
        }
        assert_eq!(with_unit("450", "mm", "mm"), "450");
    }

    #[test]
    fn wrong_text_is_refused_in_words() {
        assert_eq!(<Size as Typed>::typed("18 in"), Ok(Size::mm(457.2)));
        assert!(<Size as Typed>::typed("-3").expect_err("negative").contains("more than 0"));
        assert!(<Power as Typed>::typed("3 kW").is_ok());
        assert!(<u32 as Typed>::typed("0").is_err());
        assert_eq!(<Pressure as Typed>::typed("3 bar"), <Pressure as Typed>::typed("300 kPa"));
        assert!(<Pressure as Typed>::typed("much").is_err());
    }
}
