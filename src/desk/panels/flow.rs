//! The panel of the view *Flow*: which taps are open, what runs, the line of heads, trials in time, draining for a job.

use egui::{Button, Checkbox, CollapsingHeader, ComboBox, RichText, ScrollArea, Slider, Ui};
use egui_plot::{Legend, PlotPoints, VLine};

use super::choices::DropDown as _;
use super::curves::{curve, figure, plot};
use super::words::{capital, coloured, line, strong, weak, worded};
use crate::desk::flowing::{Flowing, Playing};
use crate::desk::theme::Palette;
use crate::desk::{Action, Aspect, FlowQuestion, Outlook};
use crate::layout::Layout;
use crate::units::Amount;
use crate::water::circuit::HeadAt;
use crate::water::sizing::RunSize;
use crate::water::trial::{Job, Played};
use crate::water::{Spread, TapReport, VentReport};

/// Under this name it is noted that a trial has just been picked.
const TO_BE_SHOWN: &str = "the course of a trial is to be shown";

/// Shows the panel, and asks for what is opened, shut and tried.
pub fn ui(ui: &mut Ui, layout: &Layout, found: &Flowing, outlook: &Outlook, actions: &mut Vec<Action>) {
    let palette = Palette::of(ui.visuals());
    ui.heading(Aspect::Flow.name(outlook.voice));
    if found.taps.is_empty() {
        line(ui, "No tap is joined to a pipe yet. Draw pipes from the cistern to an outlet.");
        return;
    }
    ScrollArea::vertical().id_salt("flow").auto_shrink(false).show(ui, |ui| {
        taps(ui, found, outlook, palette, actions);
        for demand in &found.report.demand {
            let supply = demand.supply.words();
            line(ui, format!("{} water likely at one time: {} (BS 6700)", capital(supply), demand.flow));
        }
        for vent in &found.report.vents {
            vent_words(ui, vent, palette);
        }
        valves(ui, found, &outlook.flow, actions);
        ui.separator();
        head_line(ui, found, &outlook.flow, palette, actions);
        ui.separator();
        trial(ui, found, outlook, palette, actions);
        ui.separator();
        CollapsingHeader::new("Draining for a job")
            .show(ui, |ui| found.jobs(layout).iter().for_each(|job| job_words(ui, job)));
        CollapsingHeader::new("Smallest tubes")
            .show(ui, |ui| found.sizes(layout).iter().for_each(|size| size_words(ui, size)));
        CollapsingHeader::new("Taken for granted").show(ui, |ui| {
            found.report.assumptions.iter().for_each(|words| line(ui, words));
        });
    });
}

/// The taps that are open under a question.
fn open_taps(found: &Flowing, question: &FlowQuestion) -> Vec<usize> {
    let chosen = || question.open.clone().unwrap_or_else(|| (0..found.taps.len()).collect());
    if question.leaves_taps_to_choose() { chosen() } else { Vec::new() }
}

fn taps(ui: &mut Ui, found: &Flowing, outlook: &Outlook, palette: Palette, actions: &mut Vec<Action>) {
    let question = &outlook.flow;
    let open = open_taps(found, question);
    let to_choose = question.leaves_taps_to_choose();
    ui.horizontal(|ui| {
        for (name, wanted) in [("Open all", None), ("Shut all", Some(Vec::new()))] {
            if ui.add_enabled(to_choose, Button::new(name)).clicked() {
                actions.push(Action::AskFlow(FlowQuestion { open: wanted, ..question.clone() }));
            }
        }
    });
    if !to_choose {
        weak(ui, "Nobody draws water in the trial that is shown: all taps are shut.");
    }
    for (number, (name, tap)) in found.taps.iter().zip(&found.report.outlets).enumerate() {
        let mut is_open = open.contains(&number);
        let name = worded(ui, &capital(name.to_string()));
        if ui.add_enabled(to_choose, Checkbox::new(&mut is_open, RichText::new(name).strong())).changed() {
            let mut open = open.clone();
            open.retain(|other| *other != number);
            if is_open {
                open.push(number);
            }
            open.sort_unstable();
            actions.push(Action::AskFlow(FlowQuestion { open: Some(open), ..question.clone() }));
        }
        tap_words(ui, tap, palette);
    }
}

fn tap_words(ui: &mut Ui, tap: &TapReport, palette: Palette) {
    let spread = |flow: &Spread| {
        let [least, greatest] = flow.ends();
        format!("{:.2} L/s ({least} to {greatest})", flow.value)
    };
    let mut words = match (&tap.flow, tap.open) {
        (Some(flow), true) => spread(flow),
        (_, false) => "shut".to_owned(),
        (None, true) => String::new(),
    };
    if let Some(head) = tap.residual_head {
        words.push_str(&format!(", {head} in front"));
    }
    if let Some(mixed) = tap.mixed {
        words.push_str(&format!(", {mixed}"));
    }
    if let (Some(alone), true) = (&tap.alone, words.is_empty() || tap.open) {
        words.push_str(&format!("; alone {:.2} L/s", alone.value));
    }
    ui.indent(("tap", &tap.id, tap.supply.words()), |ui| {
        if !words.is_empty() {
            line(ui, words.trim_start_matches("; "));
        }
        if !tap.words.is_empty() {
            let colour = if tap.on_main { palette.faint } else { palette.verdict(crate::rules::Verdict::Breach) };
            coloured(ui, capital(&tap.words), colour);
        }
    });
}

fn vent_words(ui: &mut Ui, vent: &VentReport, palette: Palette) {
    let threshold = |amount: Amount| format!(" Beyond {amount} of hot water drawn together it draws air.");
    let threshold = vent.threshold.map_or_else(String::new, threshold);
    let (words, colour) = match (vent.draws_air, vent.level) {
        (true, _) => ("draws air now.".to_owned(), palette.verdict(crate::rules::Verdict::Breach)),
        (false, Some(level)) => (format!("stands full to {level} above the datum."), palette.ink),
        (false, None) => ("has no level that can be told.".to_owned(), palette.faint),
    };
    coloured(ui, capital(format!("{} {words}{threshold}", vent.id.with_article())), colour);
}

fn valves(ui: &mut Ui, found: &Flowing, question: &FlowQuestion, actions: &mut Vec<Action>) {
    CollapsingHeader::new("Valves").show(ui, |ui| {
        for (valve, name) in &found.valves {
            let mut is_open = !question.shut.contains(valve);
            let name = worded(ui, &format!("{} open", capital(name)));
            if ui.checkbox(&mut is_open, name).changed() {
                let mut shut = question.shut.clone();
                shut.retain(|other| other != valve);
                if !is_open {
                    shut.push(valve.clone());
                }
                actions.push(Action::AskFlow(FlowQuestion { shut, ..question.clone() }));
            }
        }
    });
}

fn head_line(ui: &mut Ui, found: &Flowing, question: &FlowQuestion, palette: Palette, actions: &mut Vec<Action>) {
    ui.horizontal(|ui| {
        let heads = worded(ui, "Heads on the way to");
        ui.label(&heads);
        let names: Vec<String> = found.taps.iter().map(|tap| worded(ui, &tap.to_string())).collect();
        let mut chosen = question.head_at;
        pick(ui, &heads, names.get(chosen).map_or("", String::as_str), |ui| {
            for (number, name) in names.iter().enumerate() {
                ui.selectable_value(&mut chosen, number, name);
            }
        });
        if chosen != question.head_at {
            actions.push(Action::AskFlow(FlowQuestion { head_at: chosen, ..question.clone() }));
        }
    });
    if found.head_line.is_empty() {
        weak(ui, "No heads are reckoned on this way.");
        return;
    }
    let points = |level: fn(&HeadAt) -> f64| -> PlotPoints<'_> {
        found.head_line.iter().map(|place| [place.along_m, level(place)]).collect()
    };
    let (above, head) = (worded(ui, "m above datum"), worded(ui, "head"));
    let plot = plot(ui, "heads", "m along", &above, palette).legend(Legend::default());
    let response = plot.show(ui, |plot| {
        plot.line(curve("pipe", points(|place| place.pipe_m)).color(palette.faint).width(2.0));
        plot.line(curve(head, points(|place| place.head_m)).color(palette.ink).width(1.5));
    });
    figure(&response.response, &worded(ui, "level of the pipe and of the head along the way"));
}

/// A choice that takes the rest of its line.
fn pick(ui: &mut Ui, name: &str, shown: &str, offered: impl FnOnce(&mut Ui)) {
    let combo = ComboBox::from_id_salt(name).width(ui.available_width() - 4.0);
    combo.drop_down_from(ui, shown, offered).accessible_name(name);
}

fn trial(ui: &mut Ui, found: &Flowing, outlook: &Outlook, palette: Palette, actions: &mut Vec<Action>) {
    let question = &outlook.flow;
    ui.horizontal(|ui| {
        ui.label("Trial");
        let known = found.trials.iter().find(|(trial, _)| Some(*trial) == question.trial);
        let mut chosen = question.trial;
        let shown = worded(ui, known.map_or("none", |(_, name)| name.as_str()));
        pick(ui, "Trial", &shown, |ui| {
            ui.selectable_value(&mut chosen, None, "none");
            for (trial, name) in &found.trials {
                let name = worded(ui, name);
                ui.selectable_value(&mut chosen, Some(*trial), name);
            }
        });
        if chosen != question.trial {
            ui.data_mut(|data| data.insert_temp(egui::Id::unique(TO_BE_SHOWN), true));
            actions.push(Action::AskFlow(FlowQuestion { trial: chosen, ..question.clone() }));
        }
    });
    match &found.played {
        Some(Ok(played)) => played_trial(ui, played, outlook.playing, palette, actions),
        Some(Err(find_out)) => line(ui, format!("Not known: {find_out}.")),
        None => {}
    }
}

fn played_trial(ui: &mut Ui, played: &Played, playing: Playing, palette: Palette, actions: &mut Vec<Action>) {
    let whole_min = played.moments.last().map_or(0.0, |moment| moment.time_s / 60.0);
    ui.horizontal(|ui| {
        let (name, next) = match (playing.runs, playing.share >= 1.0) {
            (true, _) => ("Hold", Playing { runs: false, ..playing }),
            (false, true) => ("Play again", Playing { share: 0.0, runs: true }),
            (false, false) => ("Play", Playing { runs: true, ..playing }),
        };
        if ui.button(name).clicked() {
            actions.push(Action::Play(next));
        }
        let mut now_min = playing.share * whole_min;
        let slider = Slider::new(&mut now_min, 0.0..=whole_min.max(1e-9)).suffix(" min");
        // Rounding the value instead of its words would look like somebody moved it, and hold the trial.
        let slider = slider.custom_formatter(|minutes, _| format!("{minutes:.1}"));
        let name = "How far the trial has gone";
        if ui.add(slider).on_hover_text(name).accessible_name(name).changed() {
            actions.push(Action::Play(Playing { share: now_min / whole_min.max(1e-9), runs: false }));
        }
    });
    let above = worded(ui, "mm above datum");
    let plot = plot(ui, "levels", "min", &above, palette).legend(Legend::default());
    let levels_mm = played.moments.first().map(|moment| moment.levels_mm.as_slice()).unwrap_or_default();
    let names: Vec<String> = levels_mm.iter().map(|(id, _)| worded(ui, &id.spoken())).collect();
    let response = plot.show(ui, |plot| {
        for (place, name) in names.into_iter().enumerate() {
            let points: PlotPoints<'_> =
                played.moments.iter().map(|moment| [moment.time_s / 60.0, moment.levels_mm[place].1]).collect();
            plot.line(curve(name, points).width(1.5));
        }
        plot.vline(VLine::new("now", playing.share * whole_min).color(palette.select));
    });
    figure(&response.response, "levels of the water in time");
    // Whoever picks a trial looks for what comes of it, which may lie below what is in view.
    if ui.data_mut(|data| data.remove_temp::<bool>(egui::Id::unique(TO_BE_SHOWN))).is_some() {
        // Its numbers along the foot as well.
        ui.scroll_to_cursor(None);
    }
    strong(ui, "What happens");
    for event in &played.events {
        let words = format!("{:.1} min: {}", event.time_s / 60.0, event.words);
        let happened = event.time_s / 60.0 <= playing.share * whole_min;
        if happened { line(ui, words) } else { weak(ui, words) }
    }
    strong(ui, "What it comes to");
    for total in &played.totals {
        line(ui, format!("{}: {}", capital(&total.words), total.amount));
    }
    CollapsingHeader::new("Taken for granted in this trial")
        .show(ui, |ui| played.assumptions.iter().for_each(|words| line(ui, words)));
}

fn size_words(ui: &mut Ui, size: &RunSize) {
    let smallest = size.smallest_mm.map_or_else(|| "none serves".to_owned(), |mm| format!("{mm} mm serves"));
    let why = if size.words.is_empty() { String::new() } else { format!(": {}", size.words) };
    line(ui, format!("{}: {} mm drawn, {smallest}{why}", capital(&size.run), size.drawn_mm));
}

fn job_words(ui: &mut Ui, job: &Job) {
    CollapsingHeader::new(worded(ui, &capital(&job.task))).show(ui, |ui| {
        let listed = |list: &[String]| if list.is_empty() { "nothing".to_owned() } else { list.join("; ") };
        line(ui, format!("Shut: {}.", listed(&job.shut)));
        line(ui, format!("Still runs: {}.", listed(&job.still_runs)));
        let time = job.minutes.map_or_else(String::new, |minutes| format!(", about {minutes:.0} min"));
        let words = match job.drain_l {
            Some(0.0) => "Nothing needs to be let out.".to_owned(),
            Some(litres) => format!("Let out {} by {}{time}.", Amount::litres(litres), job.drain_by),
            None => format!("Let out, by {}: how much is not known.", job.drain_by),
        };
        line(ui, words);
        job.notes.iter().for_each(|note| line(ui, capital(note)));
    });
}
