//! A cut-out of the drawing around the marks of some findings, for a picture beside their words.

use glam::{DVec2, dvec2};

use super::inked::{Drawn, Stroke};
use super::room::PaperBox;
use super::{Emphasis, Ink, Item, Origin, Scene, Shape, bounds, marks};
use crate::finding::{Finding, FindingKey};
use crate::measure::Site;
use crate::rules::Voice;

/// How much of the section is shown around marks at the least, mm.
const LEAST_SHOWN_MM: f64 = 1300.0;
/// How much is shown beyond the outermost mark on each side, mm.
const BEYOND_MM: f64 = 350.0;
/// The box around letters is larger than they are by so much on each side, mm of paper.
const AROUND_LETTERS_MM: f64 = 0.15;

/// A cut-out: what is marked in it, and which box of the section it shows at the least.
pub struct Detail<'a> {
    parts: &'a Scene,
    marks: Vec<Item>,
    /// The middle of the cut-out in the section.
    pub middle: DVec2,
    /// What has to be seen of the section, across and up, mm.
    pub size_mm: DVec2,
}

/// Cuts out what lies around the marks of some findings; none when no mark has a place.
#[must_use]
pub fn detail<'a>(
    parts: &'a Scene,
    site: &Site<'_>,
    of: &[(&FindingKey, &Finding, Emphasis)],
    voice: Voice,
) -> Option<Detail<'a>> {
    let mut scene = Scene::default();
    for (key, finding, emphasis) in of {
        if let Some(mark) = marks::mark(site, finding, *emphasis, None, voice) {
            scene.add(&Origin::Mark((*key).clone()), Shape::Mark(mark));
        }
    }
    let (low, high) = bounds(&scene)?;
    let size_mm = (high - low + 2.0 * BEYOND_MM).max(dvec2(LEAST_SHOWN_MM, LEAST_SHOWN_MM * 0.6));
    Some(Detail { parts, marks: scene.items, middle: low.midpoint(high), size_mm })
}

impl Detail<'_> {
    /// What is drawn in a picture that shows so much of the section: the parts near it, and the marks.
    #[must_use]
    pub fn scene(&self, shown_mm: DVec2) -> Scene {
        // What lies just outside may reach in: pens are broad.
        let (low, high) = (self.middle - shown_mm, self.middle + shown_mm);
        let is_near = |item: &&Item| {
            item.shape.bounds().is_some_and(|(least, most)| least.cmple(high).all() && most.cmpge(low).all())
        };
        let near = self.parts.items.iter().filter(is_near);
        Scene { items: near.chain(&self.marks).cloned().collect(), ..Scene::default() }
    }
}

/// How many lines of the words of marks are struck through by a line of the drawing.
#[must_use]
pub fn struck_through(strokes: &[Stroke], scale: f64) -> usize {
    let points = |stroke: &Stroke| match &stroke.drawn {
        Drawn::Line { points, outline } if outline.ink != Ink::Paper => points.clone(),
        Drawn::Area { points, outline: Some(_), .. } => points.iter().chain(points.first()).copied().collect(),
        Drawn::Line { .. } | Drawn::Area { .. } | Drawn::Words { .. } => Vec::new(),
    };
    let lines: Vec<Vec<DVec2>> = strokes.iter().map(points).collect();
    let of_marks = strokes.iter().filter(|stroke| matches!(stroke.origin, Origin::Mark(_)));
    let letters = of_marks
        .filter_map(|stroke| stroke.drawn.words_box(scale))
        .map(|(low, high)| PaperBox { low: low / scale, high: high / scale }.grown(-AROUND_LETTERS_MM));
    letters
        .filter(|area| {
            lines.iter().flat_map(|line| line.windows(2)).any(|at| area.is_crossed(at[0] / scale, at[1] / scale))
        })
        .count()
}
