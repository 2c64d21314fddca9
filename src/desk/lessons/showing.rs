//! A demonstration under way: its scene, the layout as that scene has it, and the trial that it plays.

use std::path::Path;

use glam::DVec2;

use crate::desk::{Aspect, FlowQuestion, Outlook, Playing, Trial};
use crate::file;
use crate::layout::{Id, Layout};
use crate::lesson::demonstration::{Demonstration, Ground, Play, SHIPPED, Scene};
use crate::measure::Site;
use crate::session::Session;
use crate::water::circuit::Circuit;
use crate::water::trial::Played;

/// A demonstration under way.
pub struct Showing {
    /// The script.
    pub script: Demonstration,
    /// The scene in view, by its place.
    pub number: usize,
    /// The layout as the scene has it.
    pub session: Session,
    /// The trial that the scene plays.
    pub played: Option<Played>,
    ground: Layout,
}

impl Showing {
    pub(super) fn shipped(number: usize) -> Result<Self, String> {
        let (name, text) = SHIPPED.get(number).ok_or("there is no such demonstration")?;
        Self::of(text, name, None)
    }

    pub(super) fn read(path: &Path) -> Result<Self, String> {
        let text = file::read_text(path).map_err(|error| error.to_string())?;
        Self::of(&text, &path.display().to_string(), path.parent())
    }

    fn of(text: &str, name: &str, folder: Option<&Path>) -> Result<Self, String> {
        let script = Demonstration::parse(text, name).map_err(|error| error.to_string())?;
        let ground = match &script.layout {
            Ground::Example(example) => Demonstration::example(example)?,
            Ground::File(file) => {
                let path = folder.unwrap_or_else(|| Path::new(".")).join(file);
                crate::file::read(&path).map_err(|error| error.to_string())?
            }
        };
        script.check(&ground, name).map_err(|error| error.to_string())?;
        let session = Session::new(ground.clone());
        Ok(Self { script, number: 0, session, played: None, ground })
    }

    /// The scene in view.
    #[must_use]
    pub fn scene(&self) -> &Scene {
        &self.script.scenes[self.number]
    }

    /// Goes to a scene; says whether there is one.
    pub(super) fn go_to(&mut self, number: usize) -> bool {
        let Some(scene) = self.script.scenes.get(number) else { return false };
        // Every scene was tried when the script was opened.
        let layout = scene.layout(&self.ground).unwrap_or_else(|_| self.ground.clone());
        self.played = scene.played(&layout).ok().flatten();
        self.session = Session::new(layout);
        self.number = number;
        true
    }

    /// How the scene is looked at: what runs while a trial plays, and otherwise the finding that it looks at.
    pub(super) fn outlook(&self) -> Outlook {
        let scene = self.scene();
        let mut outlook = Outlook { aspect: Aspect::Lesson, ..Outlook::default() };
        if let Some(play) = &scene.play {
            outlook.aspect = Aspect::Flow;
            outlook.flow = self.question(play);
            outlook.playing = Playing { share: 0.0, runs: false };
        } else {
            let looked_at = |rule: &str| scene.look.iter().any(|wanted| wanted == rule);
            outlook.chosen =
                self.session.findings().keyed().map(|(key, _)| key).find(|key| looked_at(key.rule)).cloned();
        }
        outlook
    }

    /// The box around what the scene speaks of: what differs and is marked, and of a trial the vessel, the taps that are
    /// open and whatever has a level that is followed.
    pub(super) fn spoken_of(&self) -> Option<(DVec2, DVec2)> {
        let scene = self.scene();
        let layout = self.session.layout();
        let opened = scene.open.iter().filter_map(|tap| tap.split_whitespace().next()).map(Id::of);
        let played = match &scene.play {
            Some(Play::ValveStuck(id) | Play::HeatUp(id)) => Some(id.clone()),
            Some(Play::MainOff) | None => None,
        };
        let first = self.played.as_ref().and_then(|played| played.moments.first());
        let levels = first.into_iter().flat_map(|moment| &moment.levels_mm).map(|(id, _)| id.clone());
        let differs = scene.change.iter().map(|change| change.about().clone());
        let parts: Vec<Id> = differs.chain(opened).chain(played).chain(levels).collect();
        let site = Site::of(layout);
        let marked = self.session.findings().iter().filter(|finding| scene.look.iter().any(|id| id == finding.rule.id));
        let marked = marked.flat_map(|finding| &finding.reading.places).filter_map(|place| site.locate(place));
        let boxes = layout.extent_of_all(&parts).into_iter().chain(marked.map(|at| (at, at)));
        boxes.reduce(|(low, high), (other_low, other_high)| (low.min(other_low), high.max(other_high)))
    }

    fn question(&self, play: &Play) -> FlowQuestion {
        let site = Site::of(self.session.layout());
        let circuit = Circuit::of(&site);
        let open = self.scene().open_numbers(&circuit).ok().flatten();
        let trial = match play {
            Play::MainOff => Some(Trial::MainsOff),
            Play::ValveStuck(id) => circuit.cisterns().position(|part| part.id == *id).map(Trial::ValveStuck),
            Play::HeatUp(id) => circuit.cylinders().position(|part| part.id == *id).map(Trial::HeatUp),
        };
        FlowQuestion { open, trial, ..FlowQuestion::default() }
    }
}
