//! What every command does in the house: what has to be so before, what is so after, and how a blank sheet offers it.

use egui::{OutputCommand, Theme, ViewportCommand, ViewportId};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use glam::dvec2;
use loftwright::desk::{Action, Arrange, Aspect, Command, Scope};
use loftwright::finding::FindingKey;
use loftwright::layout::{Align, Cistern, Edit, Id, Layout, Lid, Part, Survey};
use loftwright::rules::{Profile, Voice};
use loftwright::scene;
use loftwright::session::settings::{Measures, SidePanels};

use crate::example::example;

use super::room::{Room, house, title_of_recent};

/// What a command does.
pub struct Case {
    /// What is done in the house before it is given.
    pub ready: Vec<Action>,
    /// What is not so before, and is so after.
    pub effect: Box<dyn Fn(&Room) -> bool>,
    /// How it is offered where nothing is drawn, selected or saved.
    pub on_blank_sheet: OnBlankSheet,
}

/// How a command is offered on a blank sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OnBlankSheet {
    Offered,
    Greyed,
    NotShown,
}

/// The examples, in the order in which they are offered.
const EXAMPLES: [&str; 6] =
    ["sound_indirect", "sound_direct", "low_loft", "level_connections", "feed_and_expansion", "half_described"];

/// What every command does. A command that is new has no arm here, and this is not compiled.
pub fn case(command: Command) -> Case {
    match command {
        Command::New => does(|room| room.layout() == &Layout::default() && room.desk().session().path().is_none()),
        Command::Start => does(|room| room.reads("Draw the system")),
        Command::EnterSurvey => does(|room| room.reads("Draw what was found")),
        Command::Variants => does(|room| room.reads("Variants side by side")),
        Command::Example(number) => does(move |room| room.layout() == &example(EXAMPLES[number])),
        Command::Open => does(|room| room.reads("Open a layout") && room.has_field("Path of the file")),
        Command::Recent(place) => {
            let is_open = move |room: &Room| room.layout().heading.title == title_of_recent(place);
            does(is_open).on_blank_sheet(OnBlankSheet::NotShown)
        }
        // What is read anew has no steps behind it.
        Command::Reload => does(|room| room.desk().session().undo_label().is_none() && has(room, "bath"))
            .after([remove("basin"), Action::Command(Command::Save)])
            .on_blank_sheet(OnBlankSheet::Greyed),
        Command::Save => does(|room| {
            let on_disk = loftwright::file::read(&room.path()).expect("reads");
            on_disk.part(&Id::of("basin")).is_none() && !room.desk().session().is_dirty()
        })
        .after([remove("basin")]),
        Command::SaveAs => does(|room| room.reads("Save the layout") && room.has_field("Path of the file")),
        Command::Quit => does(|room| {
            room.window.output().viewport_output[&ViewportId::ROOT].commands.contains(&ViewportCommand::Close)
        }),
        Command::Undo => {
            does(|room| room.layout() == &house()).after([remove("basin")]).on_blank_sheet(OnBlankSheet::Greyed)
        }
        Command::Redo => does(|room| !has(room, "basin"))
            .after([remove("basin"), Action::Command(Command::Undo)])
            .on_blank_sheet(OnBlankSheet::Greyed),
        Command::Delete => does(|room| !has(room, "basin") && has(room, "bath"))
            .after([select("basin")])
            .on_blank_sheet(OnBlankSheet::Greyed),
        Command::Arrange(arrange) => arranging(arrange),
        Command::Escape => does(|room| room.desk().outlook().grip().is_none()).after([select("basin")]),
        Command::NextPart => does(|room| room.desk().outlook().selected.as_ref() == first_part().as_ref()),
        Command::PreviousPart => does(|room| {
            let last = room.layout().building.pieces().last();
            last.is_some() && room.desk().outlook().piece == last
        }),
        Command::Numbers => does(|room| {
            let heading = room.window.get_by_label("Particulars").rect();
            let mut fields = room.window.query_all_by_role(egui::Role::TextInput);
            fields.any(|field| {
                field.accesskit_node().is_focused()
                    && heading.left() <= field.rect().left()
                    && heading.bottom() < field.rect().top()
            })
        })
        .after([select("cistern")]),
        Command::Fit => does(|room| {
            let drawing = room.window.get_by_label("Section drawing").rect();
            [dvec2(3500.0, 6660.0), dvec2(-400.0, 0.0), dvec2(7400.0, 0.0)]
                .iter()
                .all(|corner| drawing.contains(room.desk().screen_from_section(*corner)))
        })
        .after([Command::ZoomIn; 6].map(Action::Command)),
        Command::ZoomIn => does(|room| room.scale() > 1.2 * room.before.scale),
        Command::ZoomOut => does(|room| room.scale() < room.before.scale / 1.2),
        Command::MendAll => does(|room| scope(room) == Some(&Scope::All)).on_blank_sheet(OnBlankSheet::Greyed),
        Command::MendFinding => does(|room| {
            let chosen = room.desk().outlook().chosen.clone();
            chosen.is_some() && scope(room) == chosen.map(Scope::Finding).as_ref()
        })
        .after([Action::Command(Command::NextFinding)])
        .on_blank_sheet(OnBlankSheet::Greyed),
        Command::MendSelection => does(|room| scope(room) == Some(&Scope::Parts(vec![Id::of("cistern")])))
            .after([select("cistern")])
            .on_blank_sheet(OnBlankSheet::Greyed),
        Command::TellUsual => does(|room| {
            room.layout().cisterns[0].lid == Some(Lid::Tight) && room.layout().heading.notes.contains("taken as usual")
        })
        .after([designed(), untold_lid()])
        .on_blank_sheet(OnBlankSheet::Greyed),
        Command::Look(aspect) => {
            let other = if aspect == Aspect::Flow { Aspect::SetOut } else { Aspect::Flow };
            does(move |room| room.desk().outlook().aspect == aspect).after([Action::Command(Command::Look(other))])
        }
        Command::Panels => does(|room| {
            let status = room.reads("Show panels");
            status && room.desk().outlook().settings.side_panels == SidePanels::Hidden && !room.reads("Particulars")
        }),
        Command::Appearance => does(|room| room.window.ctx.theme() == Theme::Dark),
        Command::LargerText => does(|room| room.window.ctx.zoom_factor() > 1.05),
        Command::SmallerText => does(|room| room.window.ctx.zoom_factor() < 0.95),
        Command::UsualText => does(|room| (room.window.ctx.zoom_factor() - 1.0).abs() < 1e-3)
            .after([Action::Command(Command::LargerText)]),
        Command::Units(measures) => {
            let other = match measures {
                Measures::Metric => Measures::Imperial,
                Measures::Imperial => Measures::Metric,
            };
            does(move |room| room.desk().outlook().settings.measures == measures)
                .after([Action::Command(Command::Units(other))])
        }
        Command::Reading(voice) => {
            let other = if voice == Voice::Plain { Voice::Trade } else { Voice::Plain };
            does(move |room| room.desk().outlook().voice == voice).after([Action::Command(Command::Reading(other))])
        }
        Command::Judge(number) => {
            let profile = |number: usize| Profile::shipped_names().nth(number).and_then(Profile::shipped);
            let other = (number + 1) % Profile::shipped_names().count();
            does(move |room| profile(number).as_ref() == Some(room.desk().session().profile()))
                .after([Action::Command(Command::Judge(other))])
        }
        Command::NextFinding => does(|room| chosen(room).is_some() && chosen(room) == listed(room).first()),
        Command::PreviousFinding => does(|room| chosen(room).is_some() && chosen(room) == listed(room).last()),
        Command::RevealMore => does(|room| room.desk().outlook().revealed == Some(0))
            .after([Action::Command(Command::Reading(Voice::Teaching))])
            .on_blank_sheet(OnBlankSheet::Greyed),
        Command::RevealLess => does(|room| {
            let marks = scene::marked(room.desk().session().findings()).count();
            marks > 1 && room.desk().outlook().revealed == Some(marks - 1)
        })
        .after([Action::Command(Command::Reading(Voice::Teaching))])
        .on_blank_sheet(OnBlankSheet::Greyed),
        Command::Ask => does(|room| room.has_field("A few letters of what should be done")),
        Command::Rules => does(|room| room.has_field("Letters of a rule")),
        Command::Glossary => does(|room| room.has_field("Letters of a word")),
        Command::Tour => does(|room| room.reads("1 of 4")),
        Command::Keys => does(|room| room.reads("Keys and gestures")),
        Command::About => does(|room| room.reads("What it cannot tell")),
    }
}

/// What is done with all that is selected; the basin is selected first, and the boiler with it where two are asked for.
/// How many bends the cold feed has.
fn bends(layout: &Layout) -> usize {
    let feed = layout.runs.iter().find(|run| run.id.as_str() == "cold-feed");
    feed.map_or(0, |run| run.via.len())
}

/// The house as one that is yet to be built.
fn designed() -> Action {
    Action::edit("Design it".to_owned(), Edit::Survey(Survey::Designed))
}

/// The cistern of the house, of whose lid nobody has told.
fn untold_lid() -> Action {
    let cistern = Cistern { lid: None, ..house().cisterns[0].clone() };
    Action::edit("Leave the lid untold".to_owned(), Edit::Put(Box::new(Part::Cistern(cistern))))
}

fn arranging(arrange: Arrange) -> Case {
    let pair = || Action::SelectAll(vec![Id::of("basin"), Id::of("boiler")]);
    match arrange {
        Arrange::SelectEverything => {
            does(|room| room.desk().outlook().selection().len() == room.layout().parts().count())
        }
        Arrange::Cut => does(|room| !has(room, "basin") && has(room, "bath"))
            .after([select("basin")])
            .on_blank_sheet(OnBlankSheet::Greyed),
        Arrange::Copy => does(|room| {
            let commands = &room.window.output().platform_output.commands;
            let is_basin = |text: &str| {
                loftwright::file::parse(text, "copied").is_ok_and(|copy| copy.part(&Id::of("basin")).is_some())
            };
            commands.iter().any(|command| matches!(command, OutputCommand::CopyText(text) if is_basin(text)))
        })
        .after([select("basin")])
        .on_blank_sheet(OnBlankSheet::Greyed),
        Arrange::Paste => {
            does(one_outlet_more).after([select("basin"), Action::Command(Command::Arrange(Arrange::Copy))])
        }
        Arrange::Duplicate => does(one_outlet_more).after([select("basin")]).on_blank_sheet(OnBlankSheet::Greyed),
        // Each stands where the other's far side was; so does the box around both.
        Arrange::Mirror => does(|room| {
            let [basin, boiler] = boxes(room.layout());
            let [basin_before, boiler_before] = boxes(&room.before.layout);
            near(boiler.0.x, basin_before.0.x) && near(basin.1.x, boiler_before.1.x)
        })
        .after([pair()])
        .on_blank_sheet(OnBlankSheet::Greyed),
        Arrange::AddBend => does(|room| bends(room.layout()) == bends(&room.before.layout) + 1)
            .after([select("cold-feed")])
            .on_blank_sheet(OnBlankSheet::Greyed),
        Arrange::Align(align) => {
            let level = move |room: &Room| {
                let [first, other] = boxes(room.layout());
                let [(low, high), (other_low, other_high)] = [first, other];
                let aligned = match align {
                    Align::Bases => near(low.y, other_low.y),
                    Align::Tops => near(high.y, other_high.y),
                    Align::Heights => near(low.y + high.y, other_low.y + other_high.y),
                    Align::LeftSides => near(low.x, other_low.x),
                    Align::RightSides => near(high.x, other_high.x),
                    Align::Middles => near(low.x + high.x, other_low.x + other_high.x),
                };
                aligned && first == boxes(&room.before.layout)[0]
            };
            does(level).after([pair()]).on_blank_sheet(OnBlankSheet::Greyed)
        }
    }
}

fn does(effect: impl Fn(&Room) -> bool + 'static) -> Case {
    Case { ready: Vec::new(), effect: Box::new(effect), on_blank_sheet: OnBlankSheet::Offered }
}

impl Case {
    fn after<const N: usize>(self, ready: [Action; N]) -> Self {
        Self { ready: ready.to_vec(), ..self }
    }

    fn on_blank_sheet(self, on_blank_sheet: OnBlankSheet) -> Self {
        Self { on_blank_sheet, ..self }
    }
}

fn remove(part: &str) -> Action {
    Action::edit("Remove", Edit::Remove(Id::of(part)))
}

fn select(part: &str) -> Action {
    Action::Select(Some(Id::of(part)))
}

fn has(room: &Room, part: &str) -> bool {
    room.layout().part(&Id::of(part)).is_some()
}

fn first_part() -> Option<Id> {
    house().parts().next().map(|part| part.id().clone())
}

fn one_outlet_more(room: &Room) -> bool {
    let outlets = &room.layout().outlets;
    let newest = outlets.last().map(|outlet| &outlet.id);
    outlets.len() == room.before.layout.outlets.len() + 1 && room.desk().outlook().selected.as_ref() == newest
}

/// The boxes around basin and boiler, low and high corner, mm.
fn boxes(layout: &Layout) -> [(glam::DVec2, glam::DVec2); 2] {
    ["basin", "boiler"].map(|part| layout.extent(&Id::of(part)).expect("it is there"))
}

fn near(one_mm: f64, other_mm: f64) -> bool {
    (one_mm - other_mm).abs() < 0.01
}

fn scope(room: &Room) -> Option<&Scope> {
    room.desk().outlook().mend.as_ref().map(|look| &look.scope)
}

fn chosen(room: &Room) -> Option<&FindingKey> {
    room.desk().outlook().chosen.as_ref()
}

/// The findings that are listed, from the top.
fn listed(room: &Room) -> Vec<FindingKey> {
    let shown = &room.desk().outlook().shown;
    let keyed = room.desk().session().findings().keyed();
    keyed.filter(|(_, finding)| shown.contains(&finding.judged.verdict)).map(|(key, _)| key.clone()).collect()
}
