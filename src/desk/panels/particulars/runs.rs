//! Fields of a pipe run: tube, ends, bends, fittings, insulation, screen.

use egui::Ui;

use super::fields::{Fields, heading, row};
use super::vessels::screen;
use crate::catalogue::{Insulant, TubeMaterial};
use crate::desk::panels::words::{weak, worded};
use crate::geom::Polyline;
use crate::layout::{Clips, Discharge, End, Held, InLine, InLineKind, Lagging, Layout, Run, Service, Traces, WhichEnd};
use crate::units::{Amount, Gradient, Length, Size};

/// A new fitting goes this far along the run, or to the middle of a shorter one, mm.
const NEW_FITTING_AT_MM: f64 = 500.0;

/// A new drain cock goes this far before the lowest point of the run, mm.
const COCK_BEFORE_FOOT_MM: f64 = 60.0;

/// Fields of a run.
pub fn run(ui: &mut Ui, fields: &mut Fields, run: &mut Run, layout: &Layout) {
    let traces = Traces::of(layout);
    let line = traces.of_run(&run.id);
    let length_mm = line.map_or(0.0, Polyline::length);
    ui.weak(format!("{} long", Amount::mm(length_mm)));
    fields.one_of(ui, "Service", &mut run.service, &Service::ALL.map(|service| (service, service.words())));
    fall(ui, fields, run, layout);
    tube(ui, fields, run);
    for (which, name) in [(WhichEnd::From, "From"), (WhichEnd::To, "To")] {
        ui.push_id(name, |ui| end(ui, fields, name, run.end_mut(which)));
    }
    fittings(ui, fields, run, line);
    insulation(ui, fields, run, length_mm);
    if matches!(run.to, End::Open(_)) || matches!(run.from, End::Open(_)) {
        heading(ui, "Open end");
        screen(ui, fields, "Screen", &mut run.screen);
        if run.service == Service::WarningPipe {
            let places = Discharge::ALL.map(|discharge| (discharge, discharge.words()));
            fields.choice(ui, "Lets its water go", &mut run.discharge, &places);
        }
    }
    clips(ui, fields, run);
    bends(ui, fields, run);
}

/// The fall of the near-level stretches: read off, and typed as 1:40 or 25 mm/m.
fn fall(ui: &mut Ui, fields: &mut Fields, run: &mut Run, layout: &Layout) {
    let Some(now) = layout.fall_of(&run.id) else { return };
    let read = |text: &str| {
        let typed = Gradient::parse(text).map_err(|error| error.to_string())?;
        let held = layout.is_held(&run.id, &Held::Fall);
        if held { Err("the fall is held; let it go first".to_owned()) } else { Ok(typed) }
    };
    if let Some(typed) = fields.words(ui, "Fall of the run", &now.typed(), read)
        && let Some(changed) = layout.with_fall(&run.id, typed)
    {
        *run = changed;
    }
}

fn tube(ui: &mut Ui, fields: &mut Fields, run: &mut Run) {
    let materials = TubeMaterial::ALL.map(|material| (material, material.words()));
    fields.choice(ui, "Tube", &mut run.material, &materials);
    let sizes = run.material.map(TubeMaterial::sizes).unwrap_or_default();
    let names: Vec<String> = sizes.iter().map(|size| format!("{} mm", size.to_mm())).collect();
    if sizes.is_empty() {
        fields.optional(ui, "Outside diameter", &mut run.size);
    } else {
        let offered: Vec<(Size, &str)> = sizes.iter().copied().zip(names.iter().map(String::as_str)).collect();
        fields.choice(ui, "Outside diameter", &mut run.size, &offered);
    }
    fields.optional(ui, "Bends and valves, K", &mut run.loss_coefficient);
}

/// Distances between clips; both empty is the same as not told.
fn clips(ui: &mut Ui, fields: &mut Fields, run: &mut Run) {
    heading(ui, "Between clips");
    let mut clips = run.clips.unwrap_or_default();
    fields.optional(ui, "Level pipe", &mut clips.level);
    fields.optional(ui, "Upright pipe", &mut clips.upright);
    if let Some(allowed) = run.clips_allowed()
        && allowed != clips
        && ui
            .button("As far apart as allowed")
            .on_hover_text("The greatest distances of the table for this tube")
            .clicked()
    {
        clips = allowed;
        fields.changed = Some("clips".to_owned());
    }
    run.clips = (clips != Clips::default()).then_some(clips);
}

fn end(ui: &mut Ui, fields: &mut Fields, name: &str, end: &mut End) {
    match end {
        End::Port(part, port) => {
            joined(ui, name, &format!("{} of {}", port.spoken(), part.spoken()));
        }
        End::Tee(run, along) => {
            joined(ui, name, &format!("tee on {}", run.spoken()));
            fields.quantity(ui, "Along it", along);
        }
        End::Open(point) | End::Onward(point) => {
            fields.quantity(ui, &format!("{name}, right"), &mut point.x);
            fields.quantity(ui, &format!("{name}, up"), &mut point.z);
            let point = *point;
            let mut open = matches!(end, End::Open(_));
            let kinds = [(true, "open to the air"), (false, "goes on elsewhere")];
            fields.one_of(ui, &format!("{name}, it is"), &mut open, &kinds);
            *end = if open { End::Open(point) } else { End::Onward(point) };
        }
    }
}

fn joined(ui: &mut Ui, name: &str, words: &str) {
    let words = worded(ui, words);
    row(ui, name, |ui| ui.add(egui::Label::new(&words).truncate())).on_hover_text(&words);
}

fn bends(ui: &mut Ui, fields: &mut Fields, run: &mut Run) {
    heading(ui, "Bends");
    if run.via.is_empty() {
        weak(ui, "None; double-click on the run to add one.");
    }
    let mut gone = None;
    for (number, bend) in run.via.iter_mut().enumerate() {
        ui.push_id(("bend", number), |ui| {
            fields.quantity(ui, &format!("Bend {}, right", number + 1), &mut bend.x);
            fields.quantity(ui, &format!("Bend {}, up", number + 1), &mut bend.z);
            if ui.small_button(format!("Remove bend {}", number + 1)).clicked() {
                gone = Some(number);
            }
        });
    }
    if let Some(number) = gone {
        run.via.remove(number);
        fields.changed = Some("bends".to_owned());
    }
}

fn fittings(ui: &mut Ui, fields: &mut Fields, run: &mut Run, line: Option<&Polyline>) {
    let length_mm = line.map_or(0.0, Polyline::length);
    heading(ui, "Valves, drain cocks, pump");
    let mut told = run.fittings.is_some();
    fields.one_of(ui, "Fittings", &mut told, &[(false, "not told"), (true, "as listed")]);
    if !told {
        run.fittings = None;
        return;
    }
    let list = run.fittings.get_or_insert_with(Vec::new);
    let mut gone = None;
    for (number, fitting) in list.iter_mut().enumerate() {
        fields.fitting(ui, number, |fields, ui| {
            let kinds = InLineKind::ALL.map(|kind| (kind, kind.words()));
            fields.one_of(ui, &format!("Fitting {}", number + 1), &mut fitting.kind, &kinds);
            fields.quantity(ui, "Along the run", &mut fitting.at);
            if ui.small_button(format!("Remove fitting {}", number + 1)).clicked() {
                gone = Some(number);
            }
        });
    }
    if list.is_empty() {
        ui.weak("None.");
    }
    if let Some(number) = gone {
        list.remove(number);
        fields.changed = Some("fittings".to_owned());
    }
    ui.menu_button("Add a fitting", |ui| {
        for kind in InLineKind::ALL {
            if ui.button(worded(ui, kind.words())).clicked() {
                let near_start_mm = (length_mm / 2.0).min(NEW_FITTING_AT_MM).round();
                let at_mm = match (kind, line) {
                    (InLineKind::DrainCock, Some(line)) => by_the_foot_mm(line).unwrap_or(near_start_mm),
                    _ => near_start_mm,
                };
                let at = Length::mm(at_mm);
                list.push(InLine { kind, at });
                fields.changed = Some("fittings".to_owned());
                ui.close();
            }
        }
    });
}

/// A little before the lowest vertex, where a drain cock is wanted; none where the lowest is the beginning.
fn by_the_foot_mm(line: &Polyline) -> Option<f64> {
    let numbered = line.vertices().iter().zip(line.along());
    let (_, along) = numbered.min_by(|a, b| a.0.y.total_cmp(&b.0.y))?;
    (*along > COCK_BEFORE_FOOT_MM).then(|| (along - COCK_BEFORE_FOOT_MM).round())
}

/// What insulation may be made of.
pub fn insulants() -> [(Insulant, &'static str); 5] {
    Insulant::ALL.map(|insulant| (insulant, insulant.words()))
}

fn insulation(ui: &mut Ui, fields: &mut Fields, run: &mut Run, length_mm: f64) {
    heading(ui, "Insulation");
    let mut told = run.insulation.is_some();
    fields.one_of(ui, "Insulation", &mut told, &[(false, "not told"), (true, "as listed")]);
    if !told {
        run.insulation = None;
        return;
    }
    let list = run.insulation.get_or_insert_with(Vec::new);
    let mut gone = None;
    for (number, stretch) in list.iter_mut().enumerate() {
        ui.push_id(("stretch", number), |ui| {
            fields.quantity(ui, &format!("Stretch {} from", number + 1), &mut stretch.from);
            fields.quantity(ui, "To", &mut stretch.to);
            fields.optional(ui, "Thickness", &mut stretch.thickness);
            fields.choice(ui, "Made of", &mut stretch.kind, &insulants());
            if ui.small_button(format!("Remove stretch {}", number + 1)).clicked() {
                gone = Some(number);
            }
        });
    }
    if list.is_empty() {
        ui.weak("Bare.");
    }
    if let Some(number) = gone {
        list.remove(number);
        fields.changed = Some("insulation".to_owned());
    }
    let thickness = list.first().and_then(|stretch| stretch.thickness);
    let kind = list.first().and_then(|stretch| stretch.kind);
    let whole = Lagging { from: Length::ZERO, to: Length::mm(length_mm.ceil()), thickness, kind };
    ui.horizontal_wrapped(|ui| {
        if ui.button("Insulate the whole run").clicked() {
            *list = vec![whole];
            fields.changed = Some("insulation".to_owned());
        }
        if ui.button("Add a stretch").clicked() {
            list.push(Lagging { to: Length::mm((length_mm / 2.0).round()), ..whole });
            fields.changed = Some("insulation".to_owned());
        }
    });
}
