//! Fields of the climate: what is left empty is assumed, and the field says what.

use egui::Ui;

use super::fields::Fields;
use crate::desk::Action;
use crate::heat::Condition;
use crate::layout::{Climate, Edit};

/// The fields, and the change that is typed in them.
pub fn climate_fields(ui: &mut Ui, fields: &mut Fields, told: Climate, actions: &mut Vec<Action>) {
    let mut climate = told;
    let temperatures = [
        ("Loft, hot day", &mut climate.loft_summer_peak, Condition::LoftPeak),
        ("Loft, its night", &mut climate.loft_summer_low, Condition::LoftSummerLow),
        ("Room, hot day", &mut climate.room_summer, Condition::RoomSummer),
        ("Main, summer", &mut climate.main_summer, Condition::MainSummer),
        ("Loft, in frost", &mut climate.loft_winter_low, Condition::LoftWinterLow),
        ("Main, winter", &mut climate.main_winter, Condition::MainWinter),
        ("Heated rooms", &mut climate.room, Condition::Room),
    ];
    for (name, value, condition) in temperatures {
        fields.optional_or(ui, name, value, &format!("{} assumed", condition.assumed()));
    }
    let instead = format!("{} assumed", Condition::FrostLasts.assumed());
    fields.optional_or(ui, "Frost lasts", &mut climate.frost_lasts, &instead);
    if let Some(name) = fields.changed.take() {
        let label = format!("Change {} of the climate", name.to_lowercase());
        actions.push(Action::edit(label, Edit::Climate(climate)));
    }
}
