//! The scene: drawing primitives in section millimetres, each with its origin. One scene feeds the window and every sheet.
//!
//! [`draw`] makes the scene, which holds for every scale; [`Scene::inked`] turns it into plain lines, areas and words
//! for one scale, and finds places for labels and marks on the way. Painters know only the three kinds of [`Stroke`].

mod building;
mod cistern;
mod cylinder;
mod detail;
mod dimension_line;
mod dimensions;
mod figures;
mod ghosts;
mod inked;
mod jotted;
mod labels;
mod lettering;
mod marks;
mod notes;
mod outlets;
mod outline;
mod parts;
mod pencil;
mod pipes;
mod places;
mod primitive;
mod room;
mod running;
mod squares;
mod standing;
mod symbol;
mod theme;
pub mod timber;
mod turns;
mod warmth;

pub use building::reach;
pub use detail::{Detail, detail, struck_through};
pub use dimensions::{Dimension, draw_dimensions};
pub use ghosts::ghosts;
pub use inked::{Drawn, Inked, Outline, Pace, PlacedDimension, Stroke, Turn, View};
pub use lettering::{is_lettered, width_mm, wrapped};
pub use marks::{Marks, Which, marked, written_out};
pub use pipes::{draw_tags, fitting_symbol, run_width, run_words, service_ink, service_words};
pub use primitive::{
    About, Emphasis, Ink, Item, Label, LineStyle, Mark, MarkFigure, Origin, Pen, PenWidth, PipeWidth, Rank, Scene,
    Shape, Slant, Symbol, TextAnchor, TextSize,
};
pub use running::{draw_event, draw_running};
pub use standing::Standing;
pub use symbol::Figure;
pub use theme::{Colour, Theme};
pub use warmth::draw_warmth;

use glam::DVec2;

use crate::finding::Findings;
use crate::measure::Site;
use crate::rules::{Voice, said};

/// Draws a site and the marks of its findings. Never fails: what has no place is left out.
#[must_use]
pub fn draw(site: &Site<'_>, findings: &Findings, marks: &Marks) -> Scene {
    let mut scene = Scene::default();
    building::draw(&mut scene, site);
    parts::draw(&mut scene, site);
    pipes::draw(&mut scene, site);
    jotted::held(&mut scene, site.layout());
    scene.say(marks.voice);
    marks::draw(&mut scene, site, findings, marks);
    scene
}

impl Scene {
    /// Names things as a reading does.
    pub fn say(&mut self, voice: Voice) {
        for item in &mut self.items {
            if let Shape::Label(label) = &mut item.shape {
                label.lines.iter_mut().for_each(|line| *line = said(std::mem::take(line), voice));
                label.lines.dedup();
            }
        }
    }
}

/// The least box around everything that is drawn, in section millimetres; `None` when nothing is.
#[must_use]
pub fn bounds(scene: &Scene) -> Option<(DVec2, DVec2)> {
    let boxes = scene.items.iter().filter_map(|item| item.shape.bounds());
    boxes.reduce(|(low, high), (other_low, other_high)| (low.min(other_low), high.max(other_high)))
}

impl Shape {
    /// The points that it is drawn through.
    #[must_use]
    pub fn points(&self) -> Vec<DVec2> {
        let mut points = Vec::new();
        self.each_point(&mut |point| points.push(point));
        points
    }

    /// The least box around the points that it is drawn through.
    #[must_use]
    pub fn bounds(&self) -> Option<(DVec2, DVec2)> {
        let mut bounds: Option<(DVec2, DVec2)> = None;
        self.each_point(&mut |point| {
            bounds = Some(bounds.map_or((point, point), |(low, high)| (low.min(point), high.max(point))));
        });
        bounds
    }

    fn each_point(&self, visit: &mut dyn FnMut(DVec2)) {
        match self {
            Self::Line { points, .. }
            | Self::Area { points, .. }
            | Self::Hatch { points, .. }
            | Self::Pipe { points, .. }
            | Self::Label(Label { about: About::Course(points), .. })
            | Self::Mark(Mark { figure: MarkFigure::Stretch(points), .. }) => points.iter().copied().for_each(visit),
            Self::Symbol { at, .. }
            | Self::Words { at, .. }
            | Self::Label(Label { about: About::Spot(at), .. })
            | Self::Mark(Mark { figure: MarkFigure::Ring(at), .. }) => visit(*at),
            Self::Label(Label {
                about:
                    About::Thing { low: from, high: to }
                    | About::Picture { low: from, high: to }
                    | About::Floor { from, to },
                ..
            })
            | Self::Dimension(Dimension { from, to, .. })
            | Self::Mark(Mark { figure: MarkFigure::Dimension { from, to, .. }, .. }) => {
                [*from, *to].into_iter().for_each(visit);
            }
        }
    }
}
