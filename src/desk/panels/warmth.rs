//! The panel of the view *Warmth*: the climate, and what it does to cisterns, cylinders and pipes, the worst first.

use egui::{Align, Button, CollapsingHeader, Grid, Layout as Direction, RichText, ScrollArea, Ui, vec2};
use egui_plot::{Corner, HLine, Legend, PlotPoints};

use super::curves::{curve, figure, plot, points};
use super::particulars::{Fields, climate_fields};
use super::words::{capital, line, strong, weak, worded};
use crate::desk::theme::Palette;
use crate::desk::warming::Warming;
use crate::desk::{Action, Aspect, Outlook};
use crate::heat::pipe_loss::year_kwh;
use crate::heat::{
    CisternFrost, CisternWarmth, Condition, CylinderWarmth, Moment, Outcome, Parasitic, Summer, WARM_C, Warmth,
};
use crate::layout::{CisternRole, Climate, Id};
use crate::session::Session;
use crate::units::{Amount, Unit};

/// Width of a column of figures in a table, and from column to column, in points.
const COLUMN: f32 = 44.0;
const BETWEEN_COLUMNS: f32 = 6.0;
/// What a table leaves free, so that a head that is wider than its column does not push the panel out.
const SPARE: f32 = 16.0;
/// The least width of the column of names.
const LEAST_NAME: f32 = 70.0;

/// The panel, and what is being typed in it.
#[derive(Default)]
pub struct WarmthPanel {
    fields: Fields,
}

impl WarmthPanel {
    /// Shows the panel, and asks for the climate that is typed.
    pub fn ui(
        &mut self,
        ui: &mut Ui,
        session: &Session,
        warmed: &Warming,
        outlook: &Outlook,
        actions: &mut Vec<Action>,
    ) {
        let palette = Palette::of(ui.visuals());
        let warmth = &warmed.warmth;
        ui.heading(Aspect::Warmth.name(outlook.voice));
        ScrollArea::vertical().id_salt("warmth").auto_shrink(false).show(ui, |ui| {
            self.climate(ui, session.layout().climate, actions);
            if session.layout().parts().next().is_none() {
                weak(
                    ui,
                    "Nothing holds water yet. Place a cistern and a cylinder from Stores, and draw pipes to them.",
                );
                return;
            }
            assumed(ui, warmth, &session.layout().climate);
            for cistern in &warmth.cisterns {
                ui.separator();
                one_cistern(ui, cistern, palette);
            }
            ui.separator();
            loft_pipes(ui, warmth, outlook, palette, actions);
            for (cylinder, cooling) in warmth.cylinders.iter().zip(&warmed.cooling) {
                ui.separator();
                one_cylinder(ui, cylinder, cooling, palette);
            }
            ui.separator();
            hot_pipes(ui, warmth, outlook, actions);
            ui.separator();
            super::hygiene::ui(ui, session, outlook.voice, palette);
        });
    }

    fn climate(&mut self, ui: &mut Ui, told: Climate, actions: &mut Vec<Action>) {
        self.fields.changed = None;
        CollapsingHeader::new("Climate")
            .default_open(true)
            .show(ui, |ui| climate_fields(ui, &mut self.fields, told, actions));
    }
}

fn assumed(ui: &mut Ui, warmth: &Warmth, climate: &Climate) {
    let assumed = warmth.assumed();
    if assumed.is_empty() {
        let words = if climate.is_told() {
            "Everything that the figures hang on stands in the layout."
        } else {
            "No figure that is reckoned here hangs on what is assumed."
        };
        weak(ui, words);
        return;
    }
    line(ui, Condition::HEADING);
    for condition in assumed {
        weak(ui, format!("• {}", condition.assumption()));
    }
    weak(ui, "Rules that hang on these stay unknown until they are told.");
}

/// A figure in words, with what it hangs on; or what to find out first.
fn outcome<T>(ui: &mut Ui, name: &str, outcome: &Outcome<T>, words: impl FnOnce(&T) -> String) {
    match outcome {
        Err(find_out) => weak(ui, format!("{name}: not known; {find_out}.")),
        Ok(reckoned) => {
            let tag = if reckoned.assumed.is_empty() { "" } else { " (assumed)" };
            line(ui, format!("{name}: {}{tag}", words(&reckoned.value)));
        }
    }
}

fn one_cistern(ui: &mut Ui, cistern: &CisternWarmth, palette: Palette) {
    let spoken = worded(ui, &cistern.id.spoken());
    strong(ui, capital(&spoken));
    if cistern.role == CisternRole::Storage {
        outcome(ui, "Summer day", &cistern.summer, |summer| {
            let warmest = Unit::Celsius.of(summer.peak_c);
            format!("{warmest} at the warmest, {} above {}", Unit::Hour.of(summer.warm_h), Unit::Celsius.of(WARM_C))
        });
        if let Some(told_c) = cistern.told_c {
            line(ui, format!("That is reckoned; the layout gives {} at the warmest.", Unit::Celsius.of(told_c)));
        }
        if let Ok(summer) = &cistern.summer {
            summer_plot(ui, &spoken, &summer.value, palette);
        }
        if let Some(days) = cistern.turned_over_days {
            line(ui, format!("All its water is drawn in {days:.1} days."));
        }
    }
    outcome(ui, "Frost", &cistern.frost, |frost| {
        let lasts = Unit::Hour.of(frost.lasts_h);
        match (frost.to_freezing_h, frost.to_half_ice_h) {
            (Some(freezing_h), Some(ice_h)) => {
                format!(
                    "0 °C after {}, half ice after {}; it lasts {lasts}",
                    Unit::Hour.of(freezing_h),
                    Unit::Hour.of(ice_h)
                )
            }
            (Some(freezing_h), None) => format!("0 °C after {}, no ice; it lasts {lasts}", Unit::Hour.of(freezing_h)),
            _ => format!("stays above 0 °C; it lasts {lasts}"),
        }
    });
    if let Ok(frost) = &cistern.frost {
        frost_plot(ui, &spoken, &frost.value, palette);
    }
}

fn summer_plot(ui: &mut Ui, spoken: &str, summer: &Summer, palette: Palette) {
    let loft: PlotPoints<'_> =
        summer.curve.iter().map(|moment| [moment.hour, summer.day.loft_at_c(moment.hour)]).collect();
    let response = plot(ui, ("summer", spoken), "hour of the day", "°C", palette)
        .legend(Legend::default().position(Corner::LeftTop))
        .show(ui, |plot| {
            plot.line(curve("loft", loft).color(palette.faint).width(1.5));
            plot.line(curve("water", points(&summer.curve)).color(palette.guide).width(2.0));
            plot.hline(HLine::new("warm", WARM_C).color(palette.red_pencil).width(1.0));
        });
    figure(&response.response, &format!("{spoken} and loft through a summer day"));
}

fn frost_plot(ui: &mut Ui, spoken: &str, frost: &CisternFrost, palette: Palette) {
    let colour = if frost.gives_in() { palette.red_pencil } else { palette.guide };
    let response = plot(ui, ("frost", spoken), "hours of frost", "°C", palette).include_y(0.0).show(ui, |plot| {
        plot.line(curve("water", points(&frost.curve())).color(colour).width(2.0));
    });
    figure(&response.response, &format!("{spoken} through a frost"));
}

fn loft_pipes(ui: &mut Ui, warmth: &Warmth, outlook: &Outlook, palette: Palette, actions: &mut Vec<Action>) {
    strong(ui, "Pipes in the loft, the first to freeze first");
    let pipes = warmth.loft_pipes_worst_first();
    if pipes.is_empty() && warmth.homeless_pipes.is_empty() {
        weak(ui, "None holds water.");
    }
    if !warmth.homeless_pipes.is_empty() {
        weak(ui, "Draw the ceiling: it tells which pipes are in the loft.");
    }
    let known = pipes.iter().filter_map(|pipe| Some((&pipe.id, &pipe.worst.as_ref().ok()?.value)));
    table(ui, "loft pipes", ["0 °C h", "½ ice h", "mm"], |ui, width| {
        for (id, exposure) in known {
            part_name(ui, width, id, outlook, actions);
            let figure = |value: Option<f64>| value.map_or_else(|| "never".to_owned(), |value| format!("{value:.1}"));
            ui.label(figure(exposure.to_freezing_h));
            let ice = RichText::new(figure(exposure.to_half_ice_h));
            ui.label(if exposure.gives_in() { ice.color(palette.red_pencil).strong() } else { ice });
            let wanted = exposure.wanted_mm.map_or_else(|| "none".to_owned(), |mm| format!("{:.0}", mm.ceil()));
            ui.label(wanted).on_hover_text(format!(
                "Insulation with which half is ice only when the frost ends; there is {} mm",
                exposure.stretch.lagging_mm
            ));
            ui.end_row();
        }
    });
    if pipes.iter().any(|pipe| pipe.worst.is_ok()) {
        weak(ui, "h: hours to 0 °C and to half ice; mm: insulation with which half is ice only when the frost ends.");
    }
    for pipe in pipes {
        if let Err(find_out) = &pipe.worst {
            weak(ui, format!("{}: not known; {find_out}.", capital(pipe.id.spoken())));
        }
    }
}

fn hot_pipes(ui: &mut Ui, warmth: &Warmth, outlook: &Outlook, actions: &mut Vec<Action>) {
    strong(ui, "Hot pipes, what loses most for its length first");
    let pipes = warmth.hot_pipes_worst_first();
    if pipes.is_empty() {
        weak(ui, "None is drawn.");
    }
    let known: Vec<_> = pipes.iter().filter_map(|pipe| Some((&pipe.id, &pipe.loss.as_ref().ok()?.value))).collect();
    table(ui, "hot pipes", ["W", "W/m", "kWh/yr"], |ui, width| {
        for (id, loss) in &known {
            part_name(ui, width, id, outlook, actions);
            let worst_w_m = loss.worst().map_or(0.0, |(_, per_m_w)| *per_m_w);
            ui.label(format!("{:.1}", loss.whole_w));
            ui.label(format!("{worst_w_m:.1}"));
            let tip = format!("Bare it would lose {:.0} kWh in a year", year_kwh(loss.bare_w));
            ui.label(format!("{:.0}", year_kwh(loss.whole_w))).on_hover_text(tip);
            ui.end_row();
        }
    });
    if !known.is_empty() {
        weak(ui, "W/m: where the pipe loses most for its length; kWh/yr: the whole pipe, hot all the year.");
        let (whole_w, bare_w) =
            known.iter().fold((0.0, 0.0), |sum, (_, loss)| (sum.0 + loss.whole_w, sum.1 + loss.bare_w));
        let (whole, bare) = (year_kwh(whole_w), year_kwh(bare_w));
        line(
            ui,
            format!("Together {whole:.0} kWh in a year if they are always hot; bare they would lose {bare:.0} kWh."),
        );
    }
    for (id, loss) in &known {
        if let Some((from_mm, to_mm, first_w)) = loss.first_metre {
            let length_m = (to_mm - from_mm) / 1000.0;
            let loses = Unit::Watt.of(first_w);
            let (name, year) = (capital(id.spoken()), year_kwh(first_w));
            line(
                ui,
                format!("{name}: the first {length_m:.1} m at the cylinder loses {loses}, {year:.0} kWh in a year."),
            );
        }
    }
    for pipe in pipes {
        if let Err(find_out) = &pipe.loss {
            weak(ui, format!("{}: not known; {find_out}.", capital(pipe.id.spoken())));
        }
    }
}

/// A table whose first column names parts; `rows` gets the width of their names.
fn table(ui: &mut Ui, id: &str, heads: [&str; 3], rows: impl FnOnce(&mut Ui, f32)) {
    let width = (ui.available_width() - 3.0 * (COLUMN + BETWEEN_COLUMNS) - SPARE).max(LEAST_NAME).floor();
    let grid = Grid::new(id).num_columns(4).min_col_width(COLUMN).striped(true).spacing([BETWEEN_COLUMNS, 3.0]);
    grid.show(ui, |ui| {
        ui.label(RichText::new("pipe").small().weak());
        for head in heads {
            ui.label(RichText::new(head).small().weak());
        }
        ui.end_row();
        rows(ui, width);
    });
}

/// The name of a part, which selects it.
fn part_name(ui: &mut Ui, width: f32, id: &Id, outlook: &Outlook, actions: &mut Vec<Action>) {
    let size = vec2(width, ui.spacing().interact_size.y);
    ui.allocate_ui_with_layout(size, Direction::left_to_right(Align::Center), |ui| {
        ui.set_min_width(width);
        let spoken = worded(ui, &id.spoken());
        let name = Button::selectable(outlook.selected.as_ref() == Some(id), &spoken).truncate();
        if ui.add(name).on_hover_text(&spoken).clicked() {
            actions.push(Action::Select(Some(id.clone())));
        }
    });
}

fn one_cylinder(ui: &mut Ui, cylinder: &CylinderWarmth, cooling: &Outcome<Vec<Moment>>, palette: Palette) {
    let spoken = worded(ui, &cylinder.id.spoken());
    strong(ui, capital(&spoken));
    outcome(ui, "Standing", &cylinder.standing, |standing| {
        format!(
            "loses {}, class {}; {} is allowed its size",
            Unit::Watt.of(standing.loss_w),
            standing.class.words(),
            Unit::Watt.of(standing.greatest_w)
        )
    });
    for way in &cylinder.reheats {
        outcome(ui, &capital(way.by.words()), &way.hours, |taken_h| match taken_h {
            Some(taken_h) => format!("hot from cold in {}", Unit::Hour.of(*taken_h)),
            None => "never gets it hot".to_owned(),
        });
    }
    if cylinder.reheats.iter().any(|way| !way.curve.is_empty()) {
        let colours = [palette.red_pencil, palette.guide, palette.select, palette.ink];
        let plot = plot(ui, ("reheat", &spoken), "hours from cold", "°C", palette)
            .legend(Legend::default().position(Corner::LeftTop));
        let response = plot.show(ui, |plot| {
            for (way, colour) in cylinder.reheats.iter().zip(colours.into_iter().cycle()) {
                plot.line(curve(way.by.words(), points(&way.curve)).color(colour).width(2.0));
            }
        });
        figure(&response.response, &format!("{spoken} heated from cold"));
    }
    outcome(ui, "Expansion", &cylinder.expansion_l, |litres| {
        format!("{} go back up the feed while it is heated", Amount::litres(*litres))
    });
    outcome(ui, "After a day without heat", &cylinder.next_day_c, |celsius| Unit::Celsius.of(*celsius).to_string());
    if let Ok(cooling) = cooling {
        let response = plot(ui, ("cooling", &spoken), "hours without heat", "°C", palette).show(ui, |plot| {
            plot.line(curve("water", points(&cooling.value)).color(palette.guide).width(2.0));
        });
        figure(&response.response, &format!("{spoken} through a day without heat"));
    }
    let range = |pipe: &Parasitic| {
        let (least, most) = (Unit::Watt.of(pipe.stagnant_w), Unit::Watt.of(pipe.circulating_w));
        format!("carries away {least} if its water stands, {most} if it circulates within the pipe")
    };
    outcome(ui, "Open vent", &cylinder.vent, range);
    outcome(ui, "Cold feed", &cylinder.feed, range);
}
