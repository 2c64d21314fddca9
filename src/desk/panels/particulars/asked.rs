//! Which fields the chosen finding asks for: each one that is not told is told for once, in a panel that nobody sees.

use egui::{Context, RawInput, Ui};

use super::{Fields, changes, part_fields};
use crate::desk::Outlook;
use crate::finding::{FindingKey, Question};
use crate::layout::{Id, Layout, Part, PartRef, apply};
use crate::session::Session;

/// The fields of the selected part that would answer the chosen finding; found anew only when one of them changes.
#[derive(Default)]
pub struct Asked {
    of: Option<(u64, FindingKey, Id)>,
    fields: Vec<usize>,
    unseen: Option<Context>,
}

impl Asked {
    /// Looks whether the question is another one; `true` when it has an answer that has not been shown yet.
    pub fn is_new(&mut self, session: &Session, outlook: &Outlook) -> bool {
        let of = outlook.chosen.clone().zip(outlook.selected.clone());
        let of = of.map(|(key, part)| (session.revision(), key, part));
        if self.of == of {
            return false;
        }
        let answer = |(_, key, part): &(u64, FindingKey, Id)| {
            let question = Question::of(key, session.layout(), session.profile())?;
            Some(self.answering(&question, session.layout(), session.layout().part(part)?))
        };
        let fields = of.as_ref().and_then(answer).unwrap_or_default();
        (self.of, self.fields) = (of, fields);
        !self.fields.is_empty()
    }

    /// Which of the fields that are not told are asked for, counted as they come.
    pub fn fields(&self) -> &[usize] {
        &self.fields
    }

    fn answering(&mut self, question: &Question, layout: &Layout, part: PartRef<'_>) -> Vec<usize> {
        let unseen = self.unseen.get_or_insert_with(Context::default);
        let mut asked = Vec::new();
        let mut output = unseen.run_ui(RawInput::default(), |ui| asked = trying_each(ui, question, layout, part));
        output.textures_delta.clear();
        asked
    }
}

fn trying_each(ui: &mut Ui, question: &Question, layout: &Layout, part: PartRef<'_>) -> Vec<usize> {
    let mut told = |number: usize| {
        let mut fields = Fields::telling_only(number);
        let mut told = part.to_part();
        ui.push_id(number, |ui| part_fields(ui, &mut fields, &mut told, layout));
        fields.has_told().then_some(told)
    };
    let answers = |told: Part| {
        let edits = changes(layout, part, told);
        let taken = edits.iter().try_fold(layout.clone(), |layout, edit| apply(&layout, edit));
        taken.is_ok_and(|layout| question.is_answered_by(&layout))
    };
    let each = (0..).map_while(|number| Some((number, told(number)?)));
    each.filter_map(|(number, told)| answers(told).then_some(number)).collect()
}
