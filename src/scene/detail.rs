//! A cut-out of the drawing around the marks of some findings, for a picture beside their words.

use glam::{DVec2, dvec2};

use super::{Emphasis, Item, Origin, Scene, Shape, bounds, marks};
use crate::finding::{Finding, FindingKey};
use crate::measure::Site;
use crate::rules::Voice;

/// How much of the section is shown around marks at the least, mm.
const LEAST_SHOWN_MM: f64 = 1300.0;
/// How much is shown beyond the outermost mark on each side, mm.
const BEYOND_MM: f64 = 350.0;

/// A cut-out: what is drawn in it, and which box of the section it shows at the least.
pub struct Detail {
    /// The items near the marks, and the marks.
    pub scene: Scene,
    /// The middle of the cut-out in the section.
    pub middle: DVec2,
    /// What has to be seen of the section, across and up, mm.
    pub size_mm: DVec2,
}

/// Cuts out what lies around the marks of some findings; none when no mark has a place.
#[must_use]
pub fn detail(parts: &Scene, site: &Site<'_>, of: &[(FindingKey, &Finding, Emphasis)], voice: Voice) -> Option<Detail> {
    let mut scene = Scene::default();
    for (key, finding, emphasis) in of {
        if let Some(mark) = marks::mark(site, finding, *emphasis, None, voice) {
            scene.add(&Origin::Mark(key.clone()), Shape::Mark(mark));
        }
    }
    let (low, high) = bounds(&scene)?;
    let size_mm = (high - low + 2.0 * BEYOND_MM).max(dvec2(LEAST_SHOWN_MM, LEAST_SHOWN_MM * 0.6));
    let middle = low.midpoint(high);
    // What lies just outside may reach in: pens are broad, and the picture may show more than it has to.
    let (low, high) = (middle - 1.5 * size_mm, middle + 1.5 * size_mm);
    let is_near = |item: &&Item| {
        item.shape.bounds().is_some_and(|(least, most)| least.cmple(high).all() && most.cmpge(low).all())
    };
    let marks = std::mem::take(&mut scene.items);
    scene.items = parts.items.iter().filter(is_near).cloned().collect();
    scene.items.extend(marks);
    Some(Detail { scene, middle, size_mm })
}
