//! Tags beside valves, drain cocks and pumps: for sheets that are built and checked from.

use super::{About, Ink, Label, Origin, Rank, Scene, Shape, TextSize};
use crate::measure::Site;

/// Adds the tag of each fitting that has a place.
pub fn draw_tags(scene: &mut Scene, site: &Site<'_>) {
    for tagged in site.layout().tagged_fittings() {
        let line = site.run_number(&tagged.run.id).and_then(|number| site.line(number));
        let Some(line) = line else { continue };
        let label = Label {
            lines: vec![tagged.tag.clone()],
            size: TextSize::Tiny,
            ink: Ink::Ink,
            about: About::Spot(line.point_at(tagged.fitting.at.to_mm())),
            rank: Rank::Tag,
        };
        scene.add(&Origin::Part(tagged.run.id.clone()), Shape::Label(label));
        scene.tags.push(tagged.tag);
    }
}
