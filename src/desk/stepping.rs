//! Going through parts and findings one by one, and through the marks that a class is shown.

use glam::DVec2;

use super::Outlook;
use super::action::Grip;
use super::app::Desk;
use crate::finding::FindingKey;
use crate::layout::Layout;
use crate::measure::Site;
use crate::scene;
use crate::session::Session;

/// Which way through a list.
#[derive(Clone, Copy)]
pub(super) enum Step {
    Onward,
    Back,
}

impl Outlook {
    /// Goes through the parts, then through the pieces of the building.
    pub(super) fn step_part(&mut self, layout: &Layout, step: Step) {
        let parts = layout.parts().map(|part| Grip::Part(part.id().clone()));
        let all: Vec<Grip> = parts.chain(layout.building.pieces().map(Grip::Piece)).collect();
        let single = self.selected.clone().map(Grip::Part).or_else(|| self.grip());
        let now = single.and_then(|grip| all.iter().position(|other| *other == grip));
        if let Some(next) = stepped(now, all.len(), step) {
            self.let_go();
            match all[next].clone() {
                Grip::Part(id) => self.selected = Some(id),
                Grip::Piece(piece) => self.piece = Some(piece),
                Grip::Group(_) | Grip::Fitting(..) => {}
            }
        }
    }
}

impl Desk {
    /// Goes through the findings that are listed.
    pub(super) fn step_finding(&mut self, step: Step) {
        let Self { work, outlook, .. } = self;
        let listed = work.session.findings().keyed();
        let listed = listed.filter(|(_, finding)| outlook.shown.contains(&finding.judged.verdict));
        let keys: Vec<&FindingKey> = listed.map(|(key, _)| key).collect();
        let now = outlook.chosen.as_ref().and_then(|key| keys.iter().position(|other| *other == key));
        match stepped(now, keys.len(), step) {
            Some(next) => {
                let chosen = keys[next].clone();
                self.choose(Some(chosen));
            }
            None => "No finding is listed: choose above the list which are".clone_into(&mut outlook.said),
        }
    }

    /// Shows a class one mark more or one less; once all are shown, it begins anew with none.
    pub(super) fn reveal(&mut self, step: Step) {
        let marked: Vec<&FindingKey> = scene::marked(self.work.session.findings()).map(|(key, _)| key).collect();
        let shown = match (self.outlook.revealed, step) {
            (None, Step::Onward) => 0,
            (None, Step::Back) => marked.len().saturating_sub(1),
            (Some(shown), Step::Onward) => shown + 1,
            (Some(shown), Step::Back) => shown.saturating_sub(1),
        };
        self.outlook.revealed = (shown < marked.len()).then_some(shown);
        self.outlook.said =
            format!("{} of {} marks shown; . shows one more, , one less", shown.min(marked.len()), marked.len());
        let last = shown.checked_sub(1).and_then(|last| marked.get(last).copied().cloned());
        self.choose(last);
    }

    /// Chooses a finding, and brings its place into view.
    pub(super) fn choose(&mut self, key: Option<FindingKey>) {
        let Self { work, outlook, canvas, .. } = self;
        if let Some(wanted) = &key {
            canvas.show_wanted = place_of(wanted, &work.session);
            // Its particulars are where it is put right.
            if let Some(part) = wanted.parts.first().filter(|id| work.session.layout().part(id).is_some()) {
                outlook.let_go();
                outlook.selected = Some(part.clone());
            }
        }
        outlook.chosen = key;
    }
}

/// The first place of a finding that can be shown.
fn place_of(key: &FindingKey, session: &Session) -> Option<DVec2> {
    let site = Site::of(session.layout());
    session.findings().find(key)?.reading.places.iter().find_map(|place| site.locate(place))
}

/// The place after or before another in a list that goes round.
fn stepped(now: Option<usize>, count: usize, step: Step) -> Option<usize> {
    let last = count.checked_sub(1)?;
    Some(match (now, step) {
        (None, Step::Onward) => 0,
        (None, Step::Back) => last,
        (Some(now), Step::Onward) => (now + 1) % count,
        (Some(now), Step::Back) => now.checked_sub(1).unwrap_or(last),
    })
}
