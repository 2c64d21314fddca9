//! The scene of the layout as it stands, drawn anew only when the layout or what is marked has changed.

use crate::desk::Outlook;
use crate::finding::FindingKey;
use crate::layout::{Edit, Layout, apply};
use crate::measure::Site;
use crate::scene::Scene;
use crate::session::Session;

/// The scene, and what it was drawn from.
#[derive(Default)]
pub struct Sheet {
    drawn_from: Option<(u64, Option<FindingKey>, Option<FindingKey>)>,
    scene: Scene,
}

impl Sheet {
    /// The scene, as it stands.
    pub fn scene(&mut self, session: &Session, outlook: &Outlook) -> &Scene {
        let wanted = (session.revision(), outlook.chosen.clone(), outlook.lit.clone());
        if self.drawn_from.as_ref() != Some(&wanted) {
            self.scene = draw(session, outlook);
            self.drawn_from = Some(wanted);
        }
        &self.scene
    }
}

fn draw(session: &Session, _outlook: &Outlook) -> Scene {
    stand_in(session.layout())
}

fn stand_in(layout: &Layout) -> Scene {
    use crate::scene::{Ink, Item, Origin, Pen, PenWidth, Shape};
    let lines = super::hit::Lines::of(layout);
    let mut scene = Scene::default();
    for part in layout.parts() {
        let origin = Origin::Part(part.id().clone());
        if let crate::layout::PartRef::Run(run) = part {
            if let Some(line) = lines.line(&run.id) {
                let points = line.vertices().to_vec();
                scene.items.push(Item { origin, shape: Shape::Pipe { points, diameter_mm: 22.0, ink: Ink::Water } });
            }
        } else if let Some((low, high)) = super::hit::extent(part) {
            let points = vec![low, glam::dvec2(high.x, low.y), high, glam::dvec2(low.x, high.y)];
            let pen = Some(Pen { ink: Ink::Ink, width: PenWidth::Medium, dashed: false });
            scene.items.push(Item { origin, shape: Shape::Area { points, fill: Some(Ink::Timber), pen } });
        }
    }
    scene
}

/// The scene of something that is not placed yet.
#[must_use]
pub fn ghost(edit: &Edit) -> Scene {
    let Ok(layout) = apply(&Layout::default(), edit) else { return Scene::default() };
    let _ = Site::of(&layout);
    stand_in(&layout)
}
