//! Where the chosen finding can be told what it asks for; found anew only when the layout or the choice changes.

use super::Outlook;
use super::panels::{Tell, Unseen};
use crate::finding::{FindingKey, Question, ToldOf};
use crate::layout::{End, Id, Layout, PartRef};
use crate::session::Session;

/// So many of the parts that are not selected are tried: beyond that the answer would be waited for.
const MOST_TRIED: usize = 150;

/// Where something can be told.
#[derive(Default)]
pub struct Where {
    /// Under these headings of the building.
    pub building: Vec<ToldOf>,
    /// In these fields of the selected part, counted among those that are not told.
    pub fields: Vec<usize>,
    /// Of this part, where neither of those will do.
    pub elsewhere: Option<Id>,
}

/// The last answer, and what it holds for.
#[derive(Default)]
pub struct Telling {
    of: Option<(u64, FindingKey, Option<Id>)>,
    found: Where,
    unseen: Unseen,
}

impl Telling {
    /// Looks where the chosen finding can be told what it asks for; `true` when that has not been looked for before.
    pub fn looks_anew(&mut self, session: &Session, outlook: &Outlook) -> bool {
        let asked = outlook.chosen.clone().map(|key| (session.revision(), key, outlook.selected.clone()));
        if self.of == asked {
            return false;
        }
        self.found =
            asked.as_ref().and_then(|(_, key, part)| self.answer(session, key, part.as_ref())).unwrap_or_default();
        self.of = asked;
        true
    }

    /// What was found.
    pub const fn found(&self) -> &Where {
        &self.found
    }

    fn answer(&mut self, session: &Session, key: &FindingKey, selected: Option<&Id>) -> Option<Where> {
        let layout = session.layout();
        let question = Question::of(key, layout, session.profile())?;
        let building = ToldOf::answering(key, layout, session.profile());
        let part = selected.and_then(|id| layout.part(id));
        let fields = part.map(|part| self.fields(&question, layout, part)).unwrap_or_default();
        let found = !building.is_empty() || !fields.is_empty();
        let elsewhere = if found { None } else { self.elsewhere(&question, layout, selected) };
        Some(Where { building, fields, elsewhere })
    }

    /// The untold fields of a part any of which would do, or else those which only together do.
    fn fields(&mut self, question: &Question, layout: &Layout, part: PartRef<'_>) -> Vec<usize> {
        let untold = 0..self.unseen.untold(layout, part);
        let mut answers =
            |tell| self.unseen.telling(tell, layout, part).is_some_and(|told| question.is_answered_by(&told));
        if !answers(Tell::All) {
            return Vec::new();
        }
        let each: Vec<usize> = untold.clone().filter(|number| answers(Tell::Only(*number))).collect();
        if each.is_empty() { untold.filter(|number| !answers(Tell::AllBut(*number))).collect() } else { each }
    }

    /// The first part that can tell it, of those that are joined to the selected one before all others.
    fn elsewhere(&mut self, question: &Question, layout: &Layout, selected: Option<&Id>) -> Option<Id> {
        let others = layout.parts().filter(|part| Some(part.id()) != selected);
        let (mut near, far): (Vec<_>, Vec<_>) = others.partition(|part| is_joined(*part, selected));
        near.extend(far);
        let mut told = |part: PartRef<'_>| self.unseen.telling(Tell::All, layout, part);
        let mut answered = near.into_iter().take(MOST_TRIED).map(|part| (part.id(), told(part)));
        answered
            .find(|(_, told)| told.as_ref().is_some_and(|told| question.is_answered_by(told)))
            .map(|(id, _)| id.clone())
    }
}

/// Whether a part is a run that ends on another.
fn is_joined(part: PartRef<'_>, other: Option<&Id>) -> bool {
    let PartRef::Run(run) = part else { return false };
    let ends_on = |end: &End| matches!(end, End::Port(part, _) if Some(part) == other);
    ends_on(&run.from) || ends_on(&run.to)
}
