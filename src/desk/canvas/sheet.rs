//! The scene of the layout as it stands, drawn and inked anew only when the layout, its marks or the view have changed.

use glam::DVec2;

use super::View;
use super::paint::POINTS_PER_PAPER_MM;
use crate::desk::latest::Latest;
use crate::desk::mending::{Ghost, MendView};
use crate::desk::{Aspect, FlowQuestion, Outlook};
use crate::finding::{FindingKey, Findings};
use crate::heat::Warmth;
use crate::layout::{Edit, Id, Layout, PartRef, apply_all};
use crate::measure::Site;
use crate::rules::{Verdict, Voice};
use crate::scene::{self, Marks, Origin, Pace, Scene, Standing, Stroke, Which};
use crate::session::Session;
use crate::timber::LoadPath;
use crate::water::circuit::{Circuit, Conditions};
use crate::water::trial::{Event, Played};

/// The scene and its strokes, and what they were made from.
#[derive(Default)]
pub struct Sheet {
    drawn_from: Option<From>,
    trial: TrialSoFar,
    scene: Scene,
    /// The view, the ghost that its words keep clear of, and what it was inked for.
    inked_from: Option<(View, Option<Tag>, Pace)>,
    /// The view of the frame before.
    seen: Option<View>,
    /// Where labels stand, and for what they were placed so.
    standing: Standing,
    stand_for: Option<(u64, View, Aspect)>,
    strokes: Vec<Stroke>,
    /// From where to where leaders run.
    leaders: Vec<(DVec2, DVec2)>,
    ghost: Option<Ghost>,
    /// The ghosts' strokes, and what they were made from.
    ghosts: Latest<GhostOf, Vec<Stroke>>,
}

/// What the strokes of ghosts were made from: the revision of the layout, the ghost, and the view.
type GhostOf = (u64, Tag, View);

/// What tells a ghost from every other.
type Tag = (u64, Option<usize>);

/// What a scene was made from.
#[derive(PartialEq)]
struct From {
    revision: u64,
    marks: Marks,
    aspect: Aspect,
    voice: Voice,
    flow: FlowQuestion,
    trial: TrialSoFar,
    /// The ghost that is shown in place of the drawing.
    instead: Option<Tag>,
}

/// What of a trial has come so far.
#[derive(Debug, Clone, Default, PartialEq)]
struct TrialSoFar {
    /// Levels of the water, mm above the datum.
    levels_mm: Vec<(Id, f64)>,
    /// What has happened.
    events: Vec<Event>,
}

impl Sheet {
    /// Lets the water stand where it does at the moment of a trial that is played.
    pub fn show_trial(&mut self, outlook: &Outlook, played: Option<&Played>) {
        self.trial = played
            .and_then(|played| {
                let moment = played.at(outlook.playing.share)?;
                let happened = played.events.iter().filter(|event| event.time_s <= moment.time_s);
                Some(TrialSoFar { levels_mm: moment.levels_mm.clone(), events: happened.cloned().collect() })
            })
            .unwrap_or_default();
    }

    /// The strokes for a view.
    pub fn strokes(&mut self, session: &Session, outlook: &Outlook, view: &View, lit: LitFrom) -> &[Stroke] {
        let wanted = From {
            revision: session.revision(),
            marks: match (outlook.aspect, self.ghost.as_ref().filter(|ghost| ghost.showing == MendView::Both)) {
                // Ghosts have the drawing to themselves, but for what is about to be cleared.
                (Aspect::SetOut, Some(ghost)) => {
                    Marks { which: Which::None, chosen: ghost.about.clone(), first: None, voice: outlook.voice }
                }
                (Aspect::SetOut, None) => marks(session, outlook, lit),
                (Aspect::Lesson, _) => Marks { chosen: outlook.chosen.clone(), voice: outlook.voice, ..Marks::none() },
                _ => Marks::none(),
            },
            aspect: outlook.aspect,
            voice: outlook.voice,
            flow: outlook.flow.clone(),
            trial: self.trial.clone(),
            instead: self.instead(outlook).map(|ghost| ghost.tag),
        };
        if self.drawn_from.as_ref().is_some_and(|from| from.aspect != wanted.aspect) {
            self.standing = Standing::default();
        }
        if self.drawn_from.as_ref() != Some(&wanted) {
            self.scene = match outlook.aspect {
                Aspect::SetOut if let Some(ghost) = self.instead(outlook) => {
                    let site = Site::of(&ghost.after);
                    scene::draw(&site, &Findings::default(), &Marks::none())
                }
                Aspect::SetOut | Aspect::TakeOff | Aspect::Lesson | Aspect::Sheet => {
                    scene::draw(&Site::of(session.layout()), session.findings(), &wanted.marks)
                }
                Aspect::Flow => flow_scene(session.layout(), &outlook.flow, &self.trial),
                Aspect::Warmth => warmth_scene(session.layout()),
                Aspect::Timber => timber_scene(session.layout()),
            };
            self.scene.say(outlook.voice);
            self.drawn_from = Some(wanted);
            self.inked_from = None;
        }
        let over = self.ghost.as_ref().filter(|ghost| ghost.showing == MendView::Both).map(|ghost| ghost.tag);
        let is_moved = self.seen.replace(*view) != Some(*view);
        let pace = if session.in_gesture() || is_moved { Pace::InMotion } else { Pace::AtRest };
        if self.inked_from != Some((*view, over, pace)) {
            let over_it = self.ghosts(session, outlook, view).to_vec();
            let inked = self.scene.inked_clear_of(&scene_view(view), &over_it, pace, &self.standing);
            (self.strokes, self.leaders) = (inked.strokes, inked.leaders);
            self.keep_standing(inked.standing, session, outlook, view, pace);
            self.inked_from = Some((*view, over, pace));
        }
        &self.strokes
    }

    /// The strokes as they were inked last.
    pub fn inked(&self) -> &[Stroke] {
        &self.strokes
    }

    /// Keeps in mind where labels stand. What they give way to for a while, a note that is pointed at, is forgotten, so
    /// that they come back; and so is where they stand while the view moves.
    fn keep_standing(&mut self, standing: Standing, session: &Session, outlook: &Outlook, view: &View, pace: Pace) {
        let wanted = (session.revision(), *view, outlook.aspect);
        if session.in_gesture() {
            self.standing = standing;
            self.stand_for = None;
        } else if pace == Pace::AtRest && self.stand_for != Some(wanted) {
            self.standing = standing;
            self.stand_for = Some(wanted);
        }
    }

    /// From where to where the leaders among the strokes run, section millimetres.
    #[must_use]
    pub fn leaders(&self) -> &[(DVec2, DVec2)] {
        &self.leaders
    }

    /// Whether words are where they are only until the drawing comes to rest, in the next frame or when a gesture ends.
    pub fn is_in_motion(&self) -> bool {
        matches!(self.inked_from, Some((.., Pace::InMotion)))
    }

    /// Lets the drawing show what would change, or no longer.
    pub fn show_ghost(&mut self, ghost: Option<&Ghost>) {
        self.ghost = ghost.cloned();
    }

    /// The layout that is drawn in place of that which is open.
    fn instead(&self, outlook: &Outlook) -> Option<&Ghost> {
        let set_out = outlook.aspect == Aspect::SetOut;
        self.ghost.as_ref().filter(|ghost| set_out && ghost.showing == MendView::AsMended)
    }

    /// The strokes of what would change, over the drawing as it is.
    pub fn ghosts(&mut self, session: &Session, outlook: &Outlook, view: &View) -> &[Stroke] {
        let both = |ghost: &&Ghost| ghost.showing == MendView::Both && outlook.aspect == Aspect::SetOut;
        let Some(ghost) = self.ghost.as_ref().filter(both) else { return &[] };
        self.ghosts.to((session.revision(), ghost.tag, *view), || {
            let scene = scene::ghosts(&Site::of(session.layout()), &Site::of(&ghost.after));
            scene.inked(&scene_view(view))
        })
    }

    /// The box around everything that is drawn; none on a blank sheet.
    #[must_use]
    pub fn bounds(session: &Session) -> Option<(DVec2, DVec2)> {
        let site = Site::of(session.layout());
        scene::bounds(&scene::draw(&site, &Findings::default(), &Marks::none()))
    }
}

/// The parts with their water where it stands, and what runs.
fn flow_scene(layout: &Layout, question: &FlowQuestion, trial: &TrialSoFar) -> Scene {
    let layout = layout.with_water_at(&trial.levels_mm);
    let site = Site::of(&layout);
    let circuit = Circuit::of(&site);
    let conditions = Conditions { levels_mm: trial.levels_mm.clone(), ..question.conditions() };
    let mut flows = circuit.flows(&conditions);
    // Where a trial tells how high a vent stands, its water may be colder than that which the flows are reckoned with.
    for vent in &mut flows.vents {
        let told = trial.levels_mm.iter().find(|(id, _)| *id == vent.run);
        vent.level_mm = told.map(|(_, level_mm)| *level_mm).or(vent.level_mm);
    }
    let mut scene = parts_scene(&site);
    scene::draw_running(&mut scene, &site, &circuit, &flows);
    for event in &trial.events {
        scene::draw_event(&mut scene, &site, &event.place, &event.words);
    }
    scene
}

/// The parts, and what heat and frost do to them.
fn warmth_scene(layout: &Layout) -> Scene {
    let site = Site::of(layout);
    let mut scene = parts_scene(&site);
    scene::draw_warmth(&mut scene, &site, &Warmth::of(&site));
    scene
}

/// Cisterns and platforms, and what carries them; all else stands back.
fn timber_scene(layout: &Layout) -> Scene {
    let site = Site::of(layout);
    let mut scene = parts_scene(&site);
    scene.stand_back(|origin| match origin {
        Origin::Part(id) => !matches!(site.part(id), Some(PartRef::Cistern(_) | PartRef::Platform(_))),
        Origin::Building | Origin::Mark(_) => false,
    });
    scene.leave_unnamed(|origin| *origin == Origin::Building);
    scene::timber::overlay(&mut scene, &site, &LoadPath::of(&site));
    scene
}

/// The parts with their bare names: room is wanted for other words.
fn parts_scene(site: &Site<'_>) -> Scene {
    let mut scene = scene::draw(site, &Findings::default(), &Marks::none());
    scene.leave_bare_names();
    scene
}

/// Where the finding that is pointed at is pointed at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LitFrom {
    /// On the drawing.
    Drawing,
    /// In the list.
    List,
}

/// What is marked. While a finding is chosen it has the drawing to itself, unless another is pointed at in the list.
/// While none is, all breaches are marked, and whatever else is pointed at in the list; one that is written out anyway,
/// or that is pointed at on the drawing, is left as it is, so that its note does not run away from the pointer.
fn marks(session: &Session, outlook: &Outlook, lit: LitFrom) -> Marks {
    if outlook.revealed.is_some() {
        let chosen = outlook.chosen.clone();
        return Marks { which: Which::HeaviestWrittenOut, chosen, first: outlook.revealed, voice: outlook.voice };
    }
    if outlook.chosen.is_some() {
        let chosen = outlook.lit.as_ref().or(outlook.chosen.as_ref()).cloned();
        return Marks { which: Which::None, chosen, first: None, voice: outlook.voice };
    }
    let plain = Marks { which: Which::HeaviestWrittenOut, voice: outlook.voice, ..Marks::default() };
    let verdict = |key: &FindingKey| session.findings().find(key).map(|finding| finding.judged.verdict);
    let unwritten = |key: &&FindingKey| {
        matches!(verdict(key), Some(Verdict::Unknown | Verdict::Meets)) || plain.is_small(session.findings(), key)
    };
    let chosen = outlook.lit.as_ref().filter(|_| lit == LitFrom::List).filter(unwritten).cloned();
    Marks { chosen, ..plain }
}

/// What a mark that is only a number says when it is pointed at.
#[must_use]
pub fn words_of_small(session: &Session, outlook: &Outlook) -> Option<String> {
    let key = outlook.lit.as_ref().filter(|_| outlook.chosen.is_none())?;
    let plain = Marks { which: Which::HeaviestWrittenOut, voice: outlook.voice, ..Marks::default() };
    plain.is_small(session.findings(), key).then_some(())?;
    session.findings().find(key).map(|finding| scene::written_out(finding, outlook.voice))
}

fn scene_view(view: &View) -> scene::View {
    let low = view.section_from_screen(view.rect.left_bottom());
    let high = view.section_from_screen(view.rect.right_top());
    scene::View { scale: view.mm_per_point * POINTS_PER_PAPER_MM, within: Some((low, high)) }
}

/// The strokes of something that is not placed yet.
#[must_use]
pub fn ghost(edits: &[Edit], view: &View) -> Vec<Stroke> {
    let Ok(layout) = apply_all(&Layout::default(), edits) else { return Vec::new() };
    let scene = scene::draw(&Site::of(&layout), &Findings::default(), &Marks::none());
    scene.inked(&scene_view(view))
}

#[cfg(test)]
mod tests {
    use egui::{Rect, pos2};

    use super::*;
    use crate::layout::Service;

    /// Before it is heated nothing is lighter, and a vent stands level with its cistern.
    #[test]
    fn a_trial_tells_how_high_a_vent_stands() {
        let session = Session::new(crate::desk::examples::first());
        let layout = session.layout();
        let words = |trial: &TrialSoFar| format!("{:?}", flow_scene(layout, &FlowQuestion::default(), trial).items);
        let vent = layout.runs.iter().find(|run| run.service == Service::OpenVent).expect("there");
        let cistern = &layout.cisterns[0];
        let line_mm = cistern.surface().expect("told").to_mm();
        let level = format!("stands at {line_mm:.0} mm");
        assert!(!words(&TrialSoFar::default()).contains(&level), "hot water stands higher");
        let levels_mm = vec![(cistern.id.clone(), line_mm), (vent.id.clone(), line_mm)];
        assert!(words(&TrialSoFar { levels_mm, events: Vec::new() }).contains(&level));
    }

    #[test]
    fn words_are_placed_with_care_once_the_view_stands() {
        let session = Session::new(crate::desk::examples::first());
        let outlook = Outlook::default();
        let (low, high) = Sheet::bounds(&session).expect("something is drawn");
        let mut view = View { rect: Rect::from_min_max(pos2(0.0, 0.0), pos2(900.0, 700.0)), ..View::default() };
        view.fit(low, high);
        let mut sheet = Sheet::default();
        let mut in_motion = |view: &View| {
            sheet.strokes(&session, &outlook, view, LitFrom::Drawing);
            sheet.is_in_motion()
        };
        assert_eq!([in_motion(&view), in_motion(&view), in_motion(&view)], [true, false, false]);
        view.mm_per_point *= 1.1;
        assert_eq!([in_motion(&view), in_motion(&view)], [true, false]);
    }
}
