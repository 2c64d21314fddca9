//! Particulars: every number and choice of the selected part, or of the house when nothing is selected.

mod building;
mod climate;
mod ends;
mod fields;
mod held;
mod notes;
mod outlets;
mod runs;
mod typed;
mod unseen;
mod vessels;

use egui::{RichText, ScrollArea, Ui};

pub use self::climate::climate_fields;
pub use self::fields::{Fields, Tell, row};
pub use self::unseen::Unseen;
use crate::desk::canvas;
use crate::desk::naming::Name;
use crate::desk::panels::words::worded;
use crate::desk::{Action, Command, Grip, Outlook};
use crate::finding::ToldOf;
use crate::layout::{Connection, Edit, EditError, Id, Layout, Part, PartRef, Piece, Tapping};
use crate::rules::Voice;
use crate::session::Session;
use crate::units::Length;

/// The panel, and what is being typed in it.
#[derive(Default)]
pub struct Particulars {
    subject: Option<Id>,
    piece: Option<Piece>,
    fitting: Option<usize>,
    fields: Fields,
}

impl Particulars {
    /// Gives the keyboard to the first field.
    pub fn take_keyboard(&mut self) {
        self.fields.keyboard_wanted = true;
    }

    /// Scrolls to where something is told of the building, once that is shown.
    pub const fn show(&mut self, told_of: ToldOf) {
        self.fields.section_wanted = Some(told_of);
    }

    /// Marks those of the untold fields that are asked for, and brings the first of them into view.
    pub fn ask_for(&mut self, fields: &[usize]) {
        self.fields.asked = fields.to_vec();
        self.fields.asked_wanted = !fields.is_empty();
    }

    /// Shows the fields, and asks for the changes that are typed.
    pub fn ui(&mut self, ui: &mut Ui, session: &Session, outlook: &Outlook, actions: &mut Vec<Action>) {
        let piece = outlook.piece.map(Piece::whole);
        let is_another = self.subject != outlook.selected || self.piece != piece;
        if is_another {
            self.subject.clone_from(&outlook.selected);
            self.piece = piece;
            self.fields.clear();
        }
        if is_another || self.fitting != outlook.fitting {
            self.fitting = outlook.fitting;
            self.fields.choose_fitting(outlook.fitting);
        }
        self.fields.begin();
        self.fields.measures = outlook.settings.measures;
        ui.heading(Name::Particulars.said(outlook.voice));
        let part = outlook.selected.as_ref().and_then(|id| session.layout().part(id));
        let several = outlook.selection();
        if several.len() > 1 {
            ScrollArea::vertical()
                .id_salt("several")
                .auto_shrink(false)
                .show(ui, |ui| held::several(ui, session.layout(), &several, actions));
            return;
        }
        let scope = match (&outlook.selected, piece) {
            (Some(id), _) => id.as_str(),
            (None, Some(_)) => "piece",
            (None, None) => "house",
        };
        let mut area = ScrollArea::vertical().id_salt(("particulars", scope)).auto_shrink(false);
        if is_another {
            area = area.vertical_scroll_offset(0.0);
        }
        area.show(ui, |ui| {
            ui.push_id(scope, |ui| match part {
                Some(part) => self.part_ui(ui, session.layout(), part, outlook.voice, actions),
                None => building::ui(ui, &mut self.fields, session.layout(), outlook, actions),
            });
        });
        self.fields.section_wanted = None;
    }

    fn part_ui(&mut self, ui: &mut Ui, layout: &Layout, found: PartRef<'_>, voice: Voice, actions: &mut Vec<Action>) {
        let id = found.id().clone();
        ui.add(egui::Label::new(RichText::new(canvas::name(found, voice)).strong()).truncate());
        // Of a note its words are asked for, not its name.
        let words_wanted = matches!(found, PartRef::Note(_)) && std::mem::take(&mut self.fields.keyboard_wanted);
        let renamed = self.fields.words(ui, "Name", id.as_str(), |text| {
            let name = name_in(text)?;
            let is_taken = name != id && layout.part(&name).is_some();
            if is_taken { Err(EditError::IdTaken(name).to_string()) } else { Ok(name) }
        });
        if let Some(to) = renamed.filter(|to| *to != id) {
            let edit = Edit::Rename { from: id.clone(), to: to.clone() };
            actions.push(Action::edit(format!("Rename {}", id.spoken()), edit));
            actions.push(Action::Select(Some(to)));
            return;
        }
        self.fields.changed = None;
        self.fields.keyboard_wanted |= words_wanted;
        if let PartRef::Platform(platform) = found
            && let Some(edit) = ends::alone(ui, &mut self.fields, platform)
        {
            actions.push(Action::edit(format!("Change one end of {}", id.spoken()), edit));
            self.fields.changed = None;
        }
        let mut part = found.to_part();
        part_fields(ui, &mut self.fields, &mut part, layout);
        if let Some(name) = self.fields.changed.take() {
            let label = format!("Change {} of {}", name.to_lowercase(), id.spoken());
            actions.push(Action::Edit { label, edits: changes(layout, found, part) });
        }
        held::held(ui, layout, &id, actions);
        ui.add_space(8.0);
        let remove = ui.button(worded(ui, &format!("Remove {}", id.spoken())));
        if remove.on_hover_text(Command::Delete.about().description).clicked() {
            // Of a pipe a fitting may be chosen by itself.
            actions.push(Action::Select(Some(id)));
            actions.push(Action::Command(Command::Delete));
        }
    }
}

/// The name nearest to what is typed.
fn name_in(text: &str) -> Result<Id, String> {
    Id::nearest(text).ok_or_else(|| "a name has letters or digits, such as cold-feed".to_owned())
}

fn part_fields(ui: &mut Ui, fields: &mut Fields, part: &mut Part, layout: &Layout) {
    match part {
        Part::Platform(platform) => vessels::platform(ui, fields, platform, layout),
        Part::Cistern(cistern) => vessels::cistern(ui, fields, cistern),
        Part::Cylinder(cylinder) => vessels::cylinder(ui, fields, cylinder),
        Part::Boiler(boiler) => outlets::boiler(ui, fields, boiler),
        Part::Outlet(outlet) => outlets::outlet(ui, fields, outlet),
        Part::Run(run) => runs::run(ui, fields, run, layout),
        Part::Note(note) => notes::note(ui, fields, note),
    }
}

/// The changes that bring a part to what the fields say. A platform takes along what stands on it.
fn changes(layout: &Layout, found: PartRef<'_>, part: Part) -> Vec<Edit> {
    let mut edits = Vec::new();
    if let (PartRef::Platform(before), Part::Platform(platform)) = (found, &part)
        && before.at != platform.at
    {
        edits.push(Grip::Part(before.id.clone()).moved(layout, platform.at.vector() - before.at.vector()));
    }
    edits.push(Edit::put(part));
    edits
}

/// Where a part stands.
fn place(ui: &mut Ui, fields: &mut Fields, at: &mut crate::geom::Point, across: &str, up: &str) {
    fields.quantity(ui, across, &mut at.x);
    fields.quantity(ui, up, &mut at.z);
}

/// The holes of a part, one to a block.
fn connections(ui: &mut Ui, fields: &mut Fields, holes: &mut Vec<Connection>) {
    fields::heading(ui, "Connections");
    let mut gone = None;
    let ports: Vec<Id> = holes.iter().map(|hole| hole.port.clone()).collect();
    for (number, hole) in holes.iter_mut().enumerate() {
        ui.push_id(("hole", number), |ui| {
            let others = || ports.iter().enumerate().filter(|(other, _)| *other != number);
            let renamed = fields.words(ui, &format!("Port {}", number + 1), hole.port.as_str(), |text| {
                let name = name_in(text)?;
                let is_taken = others().any(|(_, port)| *port == name);
                if is_taken { Err(format!("'{name}' is the name of another connection here")) } else { Ok(name) }
            });
            if let Some(port) = renamed {
                hole.port = port;
            }
            tapping(ui, fields, &mut hole.on);
            if ui.small_button(worded(ui, &format!("Remove {}", hole.port.spoken()))).clicked() {
                gone = Some(number);
            }
        });
    }
    if let Some(number) = gone {
        holes.remove(number);
        fields.changed = Some("connections".to_owned());
    }
    if ui.button("Add a connection").clicked() {
        let taken = |name: &str| holes.iter().any(|hole| hole.port.as_str() == name);
        let name = (1..).map(|number| format!("hole-{number}")).find(|name| !taken(name));
        let port = Id::of(name.as_deref().unwrap_or("hole"));
        holes.push(Connection { port, on: Tapping::Right(Length::mm(50.0)) });
        fields.changed = Some("connections".to_owned());
    }
}

/// Side and distance of a hole.
fn tapping(ui: &mut Ui, fields: &mut Fields, on: &mut Tapping) {
    let mut along = on.distance();
    let mut side = on.with_distance(Length::ZERO);
    let sides = [
        (Tapping::Left(Length::ZERO), "left side"),
        (Tapping::Right(Length::ZERO), "right side"),
        (Tapping::Base(Length::ZERO), "base"),
        (Tapping::Top(Length::ZERO), "top"),
    ];
    fields.one_of(ui, "In the", &mut side, &sides);
    let name = match side {
        Tapping::Left(_) | Tapping::Right(_) => "Above the base",
        Tapping::Base(_) | Tapping::Top(_) => "From the left",
    };
    fields.quantity(ui, name, &mut along);
    *on = side.with_distance(along);
}
