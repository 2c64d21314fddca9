//! The scene of the layout as it stands, drawn and inked anew only when the layout, its marks or the view have changed.

use super::View;
use super::paint::POINTS_PER_PAPER_MM;
use crate::desk::Outlook;
use crate::finding::{FindingKey, Findings};
use crate::layout::{Edit, Layout, apply};
use crate::measure::Site;
use crate::rules::Verdict;
use crate::scene::{self, Marks, Scene, Stroke, Which};
use crate::session::Session;

/// The scene and its strokes, and what they were made from.
#[derive(Default)]
pub struct Sheet {
    drawn_from: Option<(u64, Marks)>,
    scene: Scene,
    inked_from: Option<View>,
    strokes: Vec<Stroke>,
}

impl Sheet {
    /// The strokes for a view.
    pub fn strokes(&mut self, session: &Session, outlook: &Outlook, view: &View) -> &[Stroke] {
        let wanted = (session.revision(), marks(session, outlook));
        if self.drawn_from.as_ref() != Some(&wanted) {
            let site = Site::of(session.layout());
            self.scene = scene::draw(&site, session.findings(), &wanted.1);
            self.drawn_from = Some(wanted);
            self.inked_from = None;
        }
        if self.inked_from != Some(*view) {
            self.strokes = self.scene.inked(&scene_view(view));
            self.inked_from = Some(*view);
        }
        &self.strokes
    }

    /// The box around everything that is drawn; none on a blank sheet.
    #[must_use]
    pub fn bounds(session: &Session) -> Option<(glam::DVec2, glam::DVec2)> {
        let site = Site::of(session.layout());
        scene::bounds(&scene::draw(&site, &Findings::default(), &Marks::none()))
    }
}

/// What is marked. While a finding is chosen it has the drawing to itself, unless another is pointed at in the list.
/// While none is, all breaches are marked, and whatever else is pointed at; one that is marked anyway is left where it
/// is, so that its note does not run away from the pointer.
fn marks(session: &Session, outlook: &Outlook) -> Marks {
    if outlook.chosen.is_some() {
        return Marks { which: Which::None, chosen: outlook.lit.as_ref().or(outlook.chosen.as_ref()).cloned() };
    }
    let verdict = |key: &FindingKey| {
        let found = session.findings().keyed().find(|(other, _)| other == key);
        found.map(|(_, finding)| finding.judged.verdict)
    };
    let unmarked = |key: &&FindingKey| matches!(verdict(key), Some(Verdict::Unknown | Verdict::Meets));
    Marks { which: Which::BreachesAndMarginals, chosen: outlook.lit.as_ref().filter(unmarked).cloned() }
}

fn scene_view(view: &View) -> scene::View {
    let low = view.section_from_screen(view.rect.left_bottom());
    let high = view.section_from_screen(view.rect.right_top());
    scene::View { scale: view.mm_per_point * POINTS_PER_PAPER_MM, within: Some((low, high)) }
}

/// The strokes of something that is not placed yet.
#[must_use]
pub fn ghost(edit: &Edit, view: &View) -> Vec<Stroke> {
    let Ok(layout) = apply(&Layout::default(), edit) else { return Vec::new() };
    let scene = scene::draw(&Site::of(&layout), &Findings::default(), &Marks::none());
    scene.inked(&scene_view(view))
}
