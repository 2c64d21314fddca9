//! Which faults an exercise is to have: the rules of which one can be planted, to be ticked.

use egui::{CollapsingHeader, RichText, ScrollArea, Ui};

use super::wrapped;
use crate::desk::LessonAction;
use crate::desk::lessons::{ExerciseForm, Plantable};
use crate::desk::panels::words::worded;
use crate::rules::{CHAPTERS, Chapter, Voice, chapter, rule};
use crate::session::Session;

/// So high may the list be, points: what begins the exercise stays near.
const LIST_HIGH: f32 = 260.0;

/// Shows the list; what can be planted is found out once it is opened.
pub(super) fn ui(
    ui: &mut Ui,
    form: &mut ExerciseForm,
    plantable: &Plantable,
    open: &Session,
    voice: Voice,
    asked: &mut Option<LessonAction>,
) {
    let words = match form.rules.len() {
        0 => "Which faults: any".to_owned(),
        count => format!("Which faults: {count} chosen"),
    };
    CollapsingHeader::new(words).id_salt("which faults").show(ui, |ui| {
        wrapped(
            ui,
            "Chance takes any of the topic. Or tick those that are to be found: then chance takes of these alone.",
        );
        // It stands there from the first, or the list would move under the pointer that ticks.
        if ui.add_enabled(!form.rules.is_empty(), egui::Button::new("Tick none")).clicked() {
            form.choose_any();
        }
        match plantable.of(open) {
            None if plantable.is_wanted(open) => *asked = Some(LessonAction::FindPlantable),
            None => wrapped(ui, "It is being found out what can be planted…"),
            Some(Err(reason)) => wrapped(ui, worded(ui, reason)),
            Some(Ok(rules)) => {
                let list_of_its_own = ScrollArea::vertical().id_salt("plantable").max_height(LIST_HIGH);
                list_of_its_own.auto_shrink([false, true]).show(ui, |ui| list(ui, form, rules, voice));
            }
        }
    });
}

/// The rules of the topic that is chosen, or of each topic that has any.
fn list(ui: &mut Ui, form: &mut ExerciseForm, rules: &[&'static str], voice: Voice) {
    let is_wanted = |(place, _): &(usize, &Chapter)| form.topic.is_none_or(|topic| topic == *place);
    let topics: Vec<&Chapter> = CHAPTERS.iter().enumerate().filter(is_wanted).map(|(_, topic)| topic).collect();
    for topic in topics {
        let is_of_it = |id: &&&'static str| chapter(id).is_some_and(|other| other.name == topic.name);
        let of_it: Vec<&'static str> = rules.iter().filter(is_of_it).copied().collect();
        if of_it.is_empty() {
            continue;
        }
        wrapped(ui, RichText::new(topic.name.replace('-', " ")).weak());
        for id in of_it {
            let mut is_chosen = form.rules.contains(&id);
            let title = rule(id).map_or(id, |rule| rule.prose.title(voice));
            if ui.checkbox(&mut is_chosen, title).changed() {
                form.turn(id);
            }
        }
    }
}
