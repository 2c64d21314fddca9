//! Fields of the title block, the survey and the building, shown when no part is selected.

use std::ops::Range;

use egui::Ui;

use super::fields::{Fields, heading};
use super::vessels::{LIES, board};
use super::{climate_fields, name_in};
use crate::desk::panels::words::{weak, worded};
use crate::desk::{Action, Aspect, Outlook};
use crate::finding::ToldOf;
use crate::geom::Point;
use crate::layout::{
    Building, Edit, Heading, Layout, LoadDuration, LoftHatch, Piece, ServiceClass, StrengthClass, SupportKind, Survey,
    TapeClass,
};
use crate::rules::Profile;

/// The fields of the house, or of one piece of the building.
pub fn ui(ui: &mut Ui, fields: &mut Fields, layout: &Layout, outlook: &Outlook, actions: &mut Vec<Action>) {
    let mut building = layout.building.clone();
    if let Some(piece) = outlook.piece {
        one_piece(ui, fields, &mut building, piece.whole());
        push_building(fields, layout, building, actions);
        return;
    }
    weak(ui, "Nothing is selected: this is the drawing itself.");
    let mut title_block = layout.heading.clone();
    title(ui, fields, &mut title_block);
    if let Some(name) = fields.changed.take() {
        actions.push(Action::edit(format!("Change {}", name.to_lowercase()), Edit::Heading(title_block)));
    }
    let mut asked = layout.heading.clone();
    judged_by(ui, fields, &mut asked);
    if fields.changed.take().is_some() {
        actions.push(Action::edit("Change the rules it is judged by", Edit::Heading(asked)));
    }
    let mut survey = layout.survey;
    let surveys = [
        (Survey::Designed, "designed, exact"),
        (Survey::Surveyed(TapeClass::I), "measured, tape class I"),
        (Survey::Surveyed(TapeClass::II), "measured, tape class II"),
        (Survey::Surveyed(TapeClass::III), "measured, tape class III"),
    ];
    fields.one_of(ui, "Dimensions are", &mut survey, &surveys);
    if fields.changed.take().is_some() {
        actions.push(Action::edit("Change how it was measured", Edit::Survey(survey)));
    }
    pieces(ui, fields, &mut building);
    push_building(fields, layout, building, actions);
    // The view of warmth has them beside its figures.
    if outlook.aspect != Aspect::Warmth {
        fields.section(ui, ToldOf::Climate);
        climate_fields(ui, fields, layout.climate, actions);
    }
}

fn push_building(fields: &mut Fields, layout: &Layout, building: Building, actions: &mut Vec<Action>) {
    if let Some(name) = fields.changed.take() {
        let label = format!("Change {} of the building", name.to_lowercase());
        actions.push(Action::Edit { label, edits: layout.with_loft_carried(building) });
    }
}

fn one_piece(ui: &mut Ui, fields: &mut Fields, building: &mut Building, piece: Piece) {
    match piece {
        Piece::Storey(number) => storeys(ui, fields, building, &(number..number + 1)),
        Piece::Ceiling => ceiling(ui, fields, building),
        Piece::Joists | Piece::JoistsFoot => joists(ui, fields, building),
        Piece::Roof | Piece::RoofPoint(_) => roof(ui, fields, building),
        Piece::Hatch | Piece::HatchLeft | Piece::HatchRight => hatch(ui, fields, building),
        Piece::Wall(number) | Piece::WallFoot(number) | Piece::WallHead(number) | Piece::WallFace(number) => {
            walls(ui, fields, building, &(number..number + 1));
        }
    }
}

fn title(ui: &mut Ui, fields: &mut Fields, heading: &mut Heading) {
    let lines = [
        ("Title", &mut heading.title),
        ("Address", &mut heading.address),
        ("Drawn by", &mut heading.drawn_by),
        ("Date", &mut heading.date),
        ("Revision", &mut heading.revision),
        ("Scale note", &mut heading.scale_note),
    ];
    for (name, line) in lines {
        if let Some(words) = fields.words(ui, name, line, |text| Ok(text.trim().to_owned())) {
            *line = words;
        }
    }
    fields.prose(ui, "Notes", &mut heading.notes);
}

/// By which profile the layout asks to be judged. One that does not ship with the program stays until another is picked.
fn judged_by(ui: &mut Ui, fields: &mut Fields, heading: &mut Heading) {
    let named = heading.profile.clone();
    let mut picked = named.as_deref();
    let usual = format!("{}, as usual", Profile::usual().name);
    let mut offered = vec![(None, usual.as_str())];
    offered.extend(Profile::shipped_titles().iter().map(|(name, title)| (Some(*name), title.as_str())));
    if let Some(name) = picked.filter(|name| offered.iter().all(|(offered, _)| *offered != Some(*name))) {
        offered.push((Some(name), name));
    }
    fields.one_of(ui, "Judged by", &mut picked, &offered);
    if fields.changed.is_some() {
        heading.profile = picked.map(str::to_owned);
    }
}

fn pieces(ui: &mut Ui, fields: &mut Fields, building: &mut Building) {
    fields.section(ui, ToldOf::Main);
    fields.optional(ui, "Mains pressure", &mut building.mains_pressure);
    storeys(ui, fields, building, &(0..usize::MAX));
    ceiling(ui, fields, building);
    joists(ui, fields, building);
    roof(ui, fields, building);
    hatch(ui, fields, building);
    walls(ui, fields, building, &(0..usize::MAX));
}

fn nothing(ui: &mut Ui) {
    weak(ui, "None drawn; take it from Stores.");
}

/// Those of a row that are shown, each with a button that takes it away, whose words `show` gives.
fn row_of<T>(
    ui: &mut Ui,
    fields: &mut Fields,
    (one, all): (&str, &str),
    row: &mut Vec<T>,
    shown: &Range<usize>,
    show: impl Fn(&mut Ui, &mut Fields, usize, &mut T) -> String,
) {
    if row.is_empty() {
        nothing(ui);
    }
    let mut gone = None;
    for (number, part) in row.iter_mut().enumerate().filter(|(number, _)| shown.contains(number)) {
        ui.push_id((one, number), |ui| {
            let button = show(ui, fields, number, part);
            if ui.small_button(button).clicked() {
                gone = Some(number);
            }
        });
    }
    if let Some(number) = gone {
        row.remove(number);
        fields.changed = Some(all.to_owned());
    }
}

/// What there is at most once, with a button that takes it away.
fn the_one<T>(
    ui: &mut Ui,
    fields: &mut Fields,
    (name, button): (&str, &str),
    part: &mut Option<T>,
    show: impl FnOnce(&mut Ui, &mut Fields, &mut T),
) {
    let Some(there) = part else { return nothing(ui) };
    let mut kept = true;
    ui.push_id(name, |ui| {
        show(ui, fields, there);
        kept = !ui.small_button(button).clicked();
    });
    if !kept {
        *part = None;
        fields.changed = Some(name.to_owned());
    }
}

fn storeys(ui: &mut Ui, fields: &mut Fields, building: &mut Building, shown: &Range<usize>) {
    heading(ui, ToldOf::Storey(0).heading());
    row_of(ui, fields, ("storey", "storeys"), &mut building.storeys, shown, |ui, fields, number, storey| {
        let renamed = fields.words(ui, &format!("Storey {}", number + 1), storey.id.as_str(), name_in);
        if let Some(id) = renamed {
            storey.id = id;
        }
        fields.quantity(ui, "Finished floor", &mut storey.floor);
        board(ui, fields, "Deck", &mut storey.deck);
        format!("Remove {}", storey.id.spoken())
    });
}

fn ceiling(ui: &mut Ui, fields: &mut Fields, building: &mut Building) {
    heading(ui, "Ceiling");
    the_one(ui, fields, ("ceiling", "Remove the ceiling"), &mut building.ceiling, |ui, fields, ceiling| {
        fields.quantity(ui, "Underside", &mut ceiling.underside);
        weak(
            ui,
            "All above it goes along: joists, roof, heads of walls, what stands in the loft. Dragging moves the ceiling alone.",
        );
        fields.quantity(ui, "Thickness", &mut ceiling.thickness);
    });
}

fn joists(ui: &mut Ui, fields: &mut Fields, building: &mut Building) {
    fields.section(ui, ToldOf::Joists);
    let button = worded(ui, "Remove the joists");
    the_one(ui, fields, ("joists", &button), &mut building.joists, |ui, fields, joists| {
        fields.quantity(ui, "Top", &mut joists.top);
        fields.quantity(ui, "First at", &mut joists.first);
        fields.quantity(ui, "Spacing", &mut joists.spacing);
        fields.quantity(ui, "How many", &mut joists.count);
        fields.quantity(ui, "Joist thickness", &mut joists.breadth);
        fields.quantity(ui, "Joist height", &mut joists.depth);
        fields.one_of(ui, "They run", &mut joists.lie, &LIES);
        let kinds = [(SupportKind::Joist, "solid joists"), (SupportKind::TrussedRafter, "trussed rafters")];
        fields.choice(ui, "Kind", &mut joists.kind, &kinds);
        let grades = StrengthClass::ALL.map(|class| (class, class.words()));
        fields.choice(ui, "Strength class", &mut joists.grade, &grades);
        fields.yes_or_no(ui, "Notched or drilled", &mut joists.notched);
        fields.optional(ui, "Clear span", &mut joists.span);
        fields.optional(ui, "Span begins at", &mut joists.span_from);
        fields.optional(ui, "Ceiling load", &mut joists.ceiling_load);
        fields.optional(ui, "Storage load", &mut joists.storage_load);
        let classes = ServiceClass::ALL.map(|class| (class, class.words()));
        fields.choice(ui, "How damp", &mut joists.service_class, &classes);
        let durations = LoadDuration::ALL.map(|duration| (duration, duration.words()));
        fields.choice(ui, "Cisterns count as", &mut joists.load_duration, &durations);
    });
}

fn roof(ui: &mut Ui, fields: &mut Fields, building: &mut Building) {
    heading(ui, "Roof, underside");
    let Some(roof) = &mut building.roof else { return nothing(ui) };
    row_of(ui, fields, ("roof", "roof"), &mut roof.underside, &(0..usize::MAX), |ui, fields, number, point| {
        fields.quantity(ui, &format!("Point {}, right", number + 1), &mut point.x);
        fields.quantity(ui, &format!("Point {}, up", number + 1), &mut point.z);
        format!("Remove point {}", number + 1)
    });
    let mut kept = true;
    ui.horizontal_wrapped(|ui| {
        if ui.button("Add a point").clicked() {
            let last = roof.underside.last().copied().unwrap_or(Point::mm(0.0, 0.0));
            roof.underside.push(last.moved(glam::dvec2(500.0, 0.0)));
            fields.changed = Some("roof".to_owned());
        }
        kept = !ui.button("Remove the roof").clicked();
    });
    if !kept || roof.underside.len() < 2 {
        building.roof = None;
        fields.changed = Some("roof".to_owned());
    }
}

fn hatch(ui: &mut Ui, fields: &mut Fields, building: &mut Building) {
    fields.section(ui, ToldOf::Hatch);
    let mut there = building.hatch.map(|hatch| matches!(hatch, LoftHatch::Opening(_)));
    if building.opening().is_none() {
        weak(ui, "An opening is taken from Stores.");
        let ways = [(false, "there is none")];
        fields.choice(ui, "Way into the loft", &mut there, &ways);
        building.hatch = there.map(|_| LoftHatch::Missing);
        return;
    }
    the_one(ui, fields, ("hatch", "Remove the hatch"), &mut building.hatch, |ui, fields, hatch| {
        let LoftHatch::Opening(hatch) = hatch else { return };
        fields.quantity(ui, "Left edge", &mut hatch.x);
        fields.quantity(ui, "Clear length", &mut hatch.length);
        fields.quantity(ui, "Clear width", &mut hatch.width);
    });
}

fn walls(ui: &mut Ui, fields: &mut Fields, building: &mut Building, shown: &Range<usize>) {
    heading(ui, "Walls");
    row_of(ui, fields, ("wall", "walls"), &mut building.walls, shown, |ui, fields, number, wall| {
        fields.quantity(ui, &format!("Wall {}, left face", number + 1), &mut wall.x);
        fields.quantity(ui, "Wall thickness", &mut wall.thickness);
        fields.quantity(ui, "Foot", &mut wall.foot);
        fields.quantity(ui, "Head", &mut wall.head);
        format!("Remove wall {}", number + 1)
    });
}
