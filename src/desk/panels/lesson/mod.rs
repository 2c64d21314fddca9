//! The panel of the view *Lesson*: spot the fault, demonstrations, sums, papers to mark, the course record.

mod faults;
mod mark;
mod marked;
mod record;
mod show;
mod spot;
mod sums;

use egui::{Key, Label, Response, RichText, ScrollArea, Ui};

use crate::desk::lessons::{LessonPage, Lessons};
use crate::desk::theme::Palette;
use crate::desk::{Action, Aspect, LessonAction};
use crate::rules::Voice;
use crate::session::Session;

/// Shows the panel, and asks for what is begun, claimed and handed in.
pub fn ui(ui: &mut Ui, lessons: &mut Lessons, open: &Session, voice: Voice, actions: &mut Vec<Action>) {
    ui.heading(Aspect::Lesson.name(voice));
    ui.horizontal_wrapped(|ui| {
        for page in LessonPage::ALL {
            ui.selectable_value(&mut lessons.page, page, page.words());
        }
    });
    ui.separator();
    let mut asked = None;
    // What is marked begins at its top, however far down it was handed in.
    let is_marked = lessons.spot.as_ref().is_some_and(|spot| spot.marks.is_some());
    // The room of the bar is left free while there is none: with it lines would break anew, and move what is pointed at.
    let room = ui.available_width() - ui.spacing().scroll.allocated_width();
    ScrollArea::vertical().id_salt(("lesson", lessons.page.words(), is_marked)).auto_shrink(false).show(ui, |ui| {
        ui.set_max_width(room);
        asked = match lessons.page {
            LessonPage::Spot => spot::ui(ui, lessons, open, voice),
            LessonPage::Demonstrations => show::ui(ui, lessons, voice),
            LessonPage::Sums => sums::ui(ui, lessons),
            LessonPage::Mark => mark::ui(ui, lessons, voice, actions),
            LessonPage::Record => record::ui(ui, lessons),
        };
        if !lessons.said.is_empty() {
            ui.add_space(6.0);
            wrapped(ui, RichText::new(&lessons.said).color(Palette::of(ui.visuals()).select));
        }
    });
    actions.extend(asked.map(Action::Lesson));
}

/// Words that are broken where the panel ends.
fn wrapped(ui: &mut Ui, words: impl Into<RichText>) {
    ui.add(Label::new(words.into()).wrap());
}

/// A button that asks for something; greyed where there is nothing that it could ask for.
fn button(ui: &mut Ui, words: &str, action: impl Into<Option<LessonAction>>, asked: &mut Option<LessonAction>) {
    let action = action.into();
    if ui.add_enabled(action.is_some(), egui::Button::new(words)).clicked() {
        *asked = action;
    }
}

/// Whether Enter has just ended what was typed in a field.
fn entered(ui: &Ui, field: &Response) -> bool {
    field.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter))
}
