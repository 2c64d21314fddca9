//! What a layout would look like after changes: the outlines of whatever would be drawn differently, in dashes.

use glam::DVec2;

use super::{Ink, LineStyle, Marks, Origin, Pen, PenWidth, Scene, Shape, draw};
use crate::finding::Findings;
use crate::measure::Site;

/// What is drawn within this of where it was has not moved, mm.
const SAME_WITHIN_MM: f64 = 0.05;
/// The pen of what would be.
const DASHES: Pen = Pen { ink: Ink::GreyPencil, width: PenWidth::Medium, stroke: LineStyle::Dashed };

/// The outlines of what is drawn after some changes and was not drawn there before. No words, no marks.
#[must_use]
pub fn ghosts(before: &Site<'_>, after: &Site<'_>) -> Scene {
    let plain = |site: &Site<'_>| draw(site, &Findings::default(), &Marks::none()).items;
    let (was, will_be) = (plain(before), plain(after));
    let stays =
        |origin: &Origin, shape: &Shape| was.iter().any(|item| item.origin == *origin && same(&item.shape, shape));
    let mut scene = Scene::default();
    for item in will_be.iter().filter(|item| !stays(&item.origin, &item.shape)) {
        if let Some(shape) = outline(&item.shape) {
            scene.add(&item.origin, shape);
        }
    }
    scene
}

/// The outline of a shape; none of what only fills or names.
fn outline(shape: &Shape) -> Option<Shape> {
    match shape {
        Shape::Line { points, .. } | Shape::Pipe { points, .. } => {
            Some(Shape::Line { points: points.clone(), pen: DASHES })
        }
        Shape::Area { points, .. } => Some(Shape::Area { points: points.clone(), fill: None, pen: Some(DASHES) }),
        Shape::Symbol { at, along, symbol, .. } => {
            Some(Shape::Symbol { at: *at, along: *along, symbol: *symbol, ink: Ink::GreyPencil })
        }
        Shape::Hatch { .. } | Shape::Words { .. } | Shape::Label(_) | Shape::Dimension(_) | Shape::Mark(_) => None,
    }
}

fn same(one: &Shape, other: &Shape) -> bool {
    let near = |a: &[DVec2], b: &[DVec2]| {
        a.len() == b.len() && a.iter().zip(b).all(|(a, b)| (*a - *b).abs().max_element() <= SAME_WITHIN_MM)
    };
    match (one, other) {
        (Shape::Line { points: a, .. }, Shape::Line { points: b, .. })
        | (Shape::Area { points: a, .. }, Shape::Area { points: b, .. }) => near(a, b),
        (Shape::Pipe { points: a, width: wide, .. }, Shape::Pipe { points: b, width: other, .. }) => {
            near(a, b) && wide == other
        }
        (Shape::Symbol { at: a, symbol: one, .. }, Shape::Symbol { at: b, symbol: other, .. }) => {
            near(&[*a], &[*b]) && one == other
        }
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::{Edit, Id, Layout, Outlet, OutletKind, Part, apply};
    use crate::units::Length;

    #[test]
    fn only_what_moves_has_a_ghost() {
        let put = |layout: &Layout, id: &str, x_mm: f64| {
            let outlet = Outlet::new(Id::of(id), OutletKind::Basin, crate::geom::Point::mm(x_mm, 900.0));
            apply(layout, &Edit::Put(Box::new(Part::Outlet(outlet)))).expect("fits")
        };
        let before = put(&put(&Layout::default(), "basin", 0.0), "sink", 2000.0);
        let raise = Edit::Shift { parts: vec![Id::of("sink")], right: Length::ZERO, up: Length::mm(80.0) };
        let after = apply(&before, &raise).expect("fits");
        assert!(ghosts(&Site::of(&before), &Site::of(&before)).items.is_empty());
        let scene = ghosts(&Site::of(&before), &Site::of(&after));
        assert!(!scene.items.is_empty());
        assert!(scene.items.iter().all(|item| item.origin == Origin::Part(Id::of("sink"))));
    }
}
