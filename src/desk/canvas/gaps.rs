//! Equal gaps: a part that is dragged between two others stands as far from the one as from the other.

use glam::{DVec2, Vec2Swizzles};

use super::anchor::Way;
use super::hit::extent;
use crate::layout::{Id, Layout, PartRef};

/// What a part may stand between: other parts and walls.
#[derive(Debug, Default)]
pub struct Neighbours {
    boxes: Vec<Neighbour>,
}

#[derive(Debug)]
struct Neighbour {
    low: DVec2,
    high: DVec2,
    name: String,
}

/// How a box would stand as far from one neighbour as from another.
#[derive(Debug, Clone, PartialEq)]
pub struct Evenly {
    /// By how much it must move further, mm.
    pub by_mm: f64,
    /// From which, in words.
    pub words: String,
    /// Both gaps from edge to edge once it has moved, mm.
    pub gaps: [(DVec2, DVec2); 2],
}

impl Neighbours {
    /// Gathers them, leaving out the parts that are being moved. Pipes and notes are no neighbours.
    #[must_use]
    pub fn of(layout: &Layout, without: &[Id]) -> Self {
        let is_one = |part: &PartRef<'_>| !matches!(part, PartRef::Note(_)) && !without.contains(part.id());
        let parts = layout.parts().filter(is_one).filter_map(|part| {
            let (low, high) = extent(part)?;
            Some(Neighbour { low, high, name: part.id().spoken() })
        });
        let walls = layout.building.walls.iter().map(|wall| {
            let low = DVec2::new(wall.x.to_mm(), wall.foot.to_mm());
            let high = DVec2::new(wall.x.to_mm() + wall.thickness.to_mm(), wall.head.to_mm());
            Neighbour { low, high, name: "a wall".to_owned() }
        });
        Self { boxes: parts.chain(walls).collect() }
    }

    /// Where a box would stand evenly between the nearest neighbours on both sides, level or upright; none where it has
    /// no neighbour on one side, or no room.
    #[must_use]
    pub fn between(&self, way: Way, low: DVec2, high: DVec2) -> Option<Evenly> {
        // Upright is level with the axes exchanged.
        let turned = |point: DVec2| if way == Way::Level { point } else { point.yx() };
        let (low, high) = (turned(low), turned(high));
        let middle = low.midpoint(high);
        let beside = || {
            let boxes = self.boxes.iter().map(|one| (turned(one.low), turned(one.high), &one.name));
            boxes.filter(|(other_low, other_high, _)| other_low.y < high.y && low.y < other_high.y)
        };
        let (_, before, before_name) =
            beside().filter(|(_, other, _)| other.x <= middle.x).max_by(|a, b| a.1.x.total_cmp(&b.1.x))?;
        let (after, _, after_name) =
            beside().filter(|(other, ..)| other.x >= middle.x).min_by(|a, b| a.0.x.total_cmp(&b.0.x))?;
        let gap_mm = (after.x - before.x - (high.x - low.x)) / 2.0;
        if gap_mm <= 0.0 {
            return None;
        }
        let gap =
            |from_mm: f64| (turned(DVec2::new(from_mm, middle.y)), turned(DVec2::new(from_mm + gap_mm, middle.y)));
        Some(Evenly {
            by_mm: before.x + gap_mm - low.x,
            words: format!("as far from {before_name} as from {after_name}"),
            gaps: [gap(before.x), gap(after.x - gap_mm)],
        })
    }
}

impl Evenly {
    /// The same, where the box moves across its gaps as well.
    #[must_use]
    pub fn shifted(self, by: DVec2) -> Self {
        Self { gaps: self.gaps.map(|(from, to)| (from + by, to + by)), ..self }
    }
}

#[cfg(test)]
mod tests {
    use glam::dvec2;

    use super::*;
    use crate::geom::Point;
    use crate::layout::{Boiler, Wall};
    use crate::units::{Length, Level, Size};

    /// Two boilers of 400 × 700 mm, from 1000 and from 3000 across, at the same level, and a wall far to the right.
    fn boilers() -> Layout {
        let boiler = |name: &str, x_mm: f64| Boiler {
            id: Id::of(name),
            at: Point::mm(x_mm, 0.0),
            length: Size::mm(400.0),
            height: Size::mm(700.0),
            kind: None,
            output: None,
        };
        let mut layout = Layout { boilers: vec![boiler("one", 1000.0), boiler("other", 3000.0)], ..Layout::default() };
        layout.building.walls.push(Wall {
            x: Length::mm(6000.0),
            thickness: Size::mm(250.0),
            foot: Level::mm(0.0),
            head: Level::mm(3000.0),
        });
        layout
    }

    #[test]
    fn the_gaps_on_both_sides_become_equal() {
        let evenly = Neighbours::of(&boilers(), &[]).between(Way::Level, dvec2(1900.0, 100.0), dvec2(2400.0, 300.0));
        let evenly = evenly.expect("it stands between them");
        // Of the 1600 mm between them 500 are taken up: 550 are left on each side.
        assert_eq!(evenly.by_mm, 50.0);
        assert_eq!(evenly.words, "as far from one as from other");
        let level = |x_mm: f64| dvec2(x_mm, 200.0);
        assert_eq!(evenly.gaps, [(level(1400.0), level(1950.0)), (level(2450.0), level(3000.0))]);
    }

    #[test]
    fn walls_are_neighbours_and_the_nearest_one_counts() {
        let evenly = Neighbours::of(&boilers(), &[]).between(Way::Level, dvec2(4500.0, 100.0), dvec2(4700.0, 300.0));
        let evenly = evenly.expect("it stands between boiler and wall");
        assert_eq!((evenly.by_mm, evenly.words.as_str()), (100.0, "as far from other as from a wall"));
    }

    #[test]
    fn above_and_below_are_reckoned_alike() {
        let mut layout = boilers();
        layout.boilers[1].at = Point::mm(1100.0, 2000.0);
        let evenly = Neighbours::of(&layout, &[]).between(Way::Upright, dvec2(1200.0, 1000.0), dvec2(1300.0, 1400.0));
        let evenly = evenly.expect("it stands between them");
        assert_eq!((evenly.by_mm, evenly.words.as_str()), (150.0, "as far from one as from other"));
        let up = |z_mm: f64| dvec2(1250.0, z_mm);
        assert_eq!(evenly.gaps, [(up(700.0), up(1150.0)), (up(1550.0), up(2000.0))]);
        assert_eq!(evenly.shifted(dvec2(5.0, 0.0)).gaps[0], (dvec2(1255.0, 700.0), dvec2(1255.0, 1150.0)));
    }

    #[test]
    fn without_a_neighbour_on_each_side_or_without_room_there_is_none() {
        let neighbours = Neighbours::of(&boilers(), &[]);
        let across = |low: DVec2, high: DVec2| neighbours.between(Way::Level, low, high);
        assert_eq!(across(dvec2(200.0, 100.0), dvec2(400.0, 300.0)), None, "nothing stands to its left");
        assert_eq!(across(dvec2(1900.0, 800.0), dvec2(2400.0, 900.0)), None, "it is above both");
        assert_eq!(across(dvec2(1300.0, 100.0), dvec2(3100.0, 300.0)), None, "it is longer than there is room");
        let alone = Neighbours::of(&boilers(), &[Id::of("one")]);
        assert_eq!(alone.between(Way::Level, dvec2(1900.0, 100.0), dvec2(2400.0, 300.0)), None, "one is moved too");
    }
}
