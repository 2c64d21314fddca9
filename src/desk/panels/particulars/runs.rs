//! Fields of a pipe run: tube, ends, bends, fittings, insulation, screen.

use egui::Ui;

use super::fields::{Fields, heading, row};
use super::vessels::screen;
use crate::catalogue::TubeMaterial;
use crate::layout::{Clips, Discharge, End, InLine, InLineKind, Lagging, Layout, Run, Service, Traces, WhichEnd};
use crate::units::{Amount, Length, Size};

/// A new fitting goes this far along the run, or to the middle of a shorter one, mm.
const NEW_FITTING_AT_MM: f64 = 500.0;

/// Fields of a run.
pub fn run(ui: &mut Ui, fields: &mut Fields, run: &mut Run, layout: &Layout) {
    let number = layout.runs.iter().position(|other| other.id == run.id);
    let traces = Traces::of(layout);
    let length_mm = number.and_then(|number| traces.line(number)).map_or(0.0, crate::geom::Polyline::length);
    ui.weak(format!("{} long", Amount::mm(length_mm)));
    fields.one_of(ui, "Service", &mut run.service, &Service::ALL.map(|service| (service, service.words())));
    tube(ui, fields, run);
    for (which, name) in [(WhichEnd::From, "From"), (WhichEnd::To, "To")] {
        ui.push_id(name, |ui| end(ui, fields, name, run.end_mut(which)));
    }
    fittings(ui, fields, run, length_mm);
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
}

/// Distances between clips; both empty is the same as not told.
fn clips(ui: &mut Ui, fields: &mut Fields, run: &mut Run) {
    heading(ui, "Between clips");
    let mut clips = run.clips.unwrap_or_default();
    fields.optional(ui, "Level pipe", &mut clips.level);
    fields.optional(ui, "Upright pipe", &mut clips.upright);
    run.clips = (clips != Clips::default()).then_some(clips);
}

fn end(ui: &mut Ui, fields: &mut Fields, name: &str, end: &mut End) {
    match end {
        End::Port(part, port) => {
            row(ui, name, |ui| ui.label(format!("{} of {}", port.spoken(), part.spoken())));
        }
        End::Tee(run, along) => {
            row(ui, name, |ui| ui.label(format!("tee on {}", run.spoken())));
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

fn bends(ui: &mut Ui, fields: &mut Fields, run: &mut Run) {
    heading(ui, "Bends");
    if run.via.is_empty() {
        ui.weak("None; double-click on the run to add one.");
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

fn fittings(ui: &mut Ui, fields: &mut Fields, run: &mut Run, length_mm: f64) {
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
        ui.push_id(("fitting", number), |ui| {
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
            if ui.button(kind.words()).clicked() {
                let at = Length::mm((length_mm / 2.0).min(NEW_FITTING_AT_MM).round());
                list.push(InLine { kind, at });
                fields.changed = Some("fittings".to_owned());
                ui.close();
            }
        }
    });
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
