//! Pieces of the building that can be taken hold of by themselves: where each is, and how it moves.

use glam::{DVec2, dvec2};

use super::resize::grown;
use super::{Building, Hatch, LoftHatch, Wall};
use crate::geom::Point;
use crate::units::Length;

/// A piece of the building, by its kind and its place in the building's lists.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Piece {
    /// A storey, with its floor.
    Storey(usize),
    /// The ceiling below the loft.
    Ceiling,
    /// The loft's joists.
    Joists,
    /// The whole of the roof.
    Roof,
    /// One vertex of the roof's underside.
    RoofPoint(usize),
    /// The way into the loft.
    Hatch,
    /// A wall.
    Wall(usize),
    /// The foot of a wall.
    WallFoot(usize),
    /// The head of a wall.
    WallHead(usize),
    /// The right face of a wall, by which it gets thicker.
    WallFace(usize),
    /// The left edge of the loft hatch.
    HatchLeft,
    /// The right edge of the loft hatch.
    HatchRight,
    /// The foot of the joists, by which they get deeper.
    JoistsFoot,
}

impl Piece {
    /// Which ways it can be moved: 1 across or up where it can, 0 where it cannot.
    #[must_use]
    pub const fn freedom(self) -> DVec2 {
        match self {
            Self::Storey(_)
            | Self::Ceiling
            | Self::Joists
            | Self::WallFoot(_)
            | Self::WallHead(_)
            | Self::JoistsFoot => DVec2::Y,
            Self::Hatch | Self::Wall(_) | Self::WallFace(_) | Self::HatchLeft | Self::HatchRight => DVec2::X,
            Self::Roof | Self::RoofPoint(_) => DVec2::ONE,
        }
    }

    /// The piece that it is a handle of, or itself.
    #[must_use]
    pub const fn whole(self) -> Self {
        match self {
            Self::RoofPoint(_) => Self::Roof,
            Self::WallFoot(number) | Self::WallHead(number) | Self::WallFace(number) => Self::Wall(number),
            Self::HatchLeft | Self::HatchRight => Self::Hatch,
            Self::JoistsFoot => Self::Joists,
            other => other,
        }
    }
}

impl Building {
    /// Every whole piece, from the ground up.
    pub fn pieces(&self) -> impl Iterator<Item = Piece> {
        let storeys = (0..self.storeys.len()).map(Piece::Storey);
        let ceiling = self.ceiling.map(|_| Piece::Ceiling);
        let joists = self.joists.as_ref().map(|_| Piece::Joists);
        let roof = self.roof.as_ref().map(|_| Piece::Roof);
        let hatch = self.opening().map(|_| Piece::Hatch);
        let walls = (0..self.walls.len()).map(Piece::Wall);
        storeys.chain(ceiling).chain(joists).chain(hatch).chain(roof).chain(walls)
    }

    /// The name of a piece.
    #[must_use]
    pub fn name(&self, piece: Piece) -> String {
        match piece {
            Piece::Storey(number) => self.storeys.get(number).map_or_else(String::new, |storey| storey.id.spoken()),
            Piece::Ceiling => "ceiling".to_owned(),
            Piece::Joists => "joists".to_owned(),
            Piece::Roof => "roof".to_owned(),
            Piece::RoofPoint(number) => format!("point {} of the roof", number + 1),
            Piece::Hatch => "loft hatch".to_owned(),
            Piece::Wall(number) => format!("wall {}", number + 1),
            Piece::WallFoot(number) => format!("foot of wall {}", number + 1),
            Piece::WallHead(number) => format!("head of wall {}", number + 1),
            Piece::WallFace(number) => format!("right face of wall {}", number + 1),
            Piece::HatchLeft => "left edge of the loft hatch".to_owned(),
            Piece::HatchRight => "right edge of the loft hatch".to_owned(),
            Piece::JoistsFoot => "foot of the joists".to_owned(),
        }
    }

    /// The box around a piece, in mm; along a way in which it cannot be moved it may be as wide as nothing.
    /// `None` when there is no such piece.
    #[must_use]
    pub fn extent(&self, piece: Piece) -> Option<(DVec2, DVec2)> {
        let across = |low: f64, high: f64| (dvec2(low, 0.0), dvec2(high, 0.0));
        let up = |low: f64, high: f64| (dvec2(0.0, low), dvec2(0.0, high));
        Some(match piece {
            Piece::Storey(number) => {
                let floor = self.storeys.get(number)?.floor.to_mm();
                up(floor, floor)
            }
            Piece::Ceiling => {
                let ceiling = self.ceiling?;
                up(ceiling.underside.to_mm(), ceiling.underside.to_mm() + ceiling.thickness.to_mm())
            }
            Piece::Joists => {
                let joists = self.joists.as_ref()?;
                up(joists.top.to_mm() - joists.depth.to_mm(), joists.top.to_mm())
            }
            Piece::Roof => {
                let points = || self.roof.iter().flat_map(|roof| &roof.underside).map(|point| point.vector());
                (points().reduce(DVec2::min)?, points().reduce(DVec2::max)?)
            }
            Piece::RoofPoint(number) => {
                let point = self.roof.as_ref()?.underside.get(number)?.vector();
                (point, point)
            }
            Piece::Hatch => {
                let hatch = self.opening()?;
                across(hatch.x.to_mm(), hatch.x.to_mm() + hatch.length.to_mm())
            }
            Piece::Wall(number) => {
                let wall = self.walls.get(number)?;
                across(wall.x.to_mm(), wall.x.to_mm() + wall.thickness.to_mm())
            }
            Piece::WallFoot(number) => {
                let foot = self.walls.get(number)?.foot.to_mm();
                up(foot, foot)
            }
            Piece::WallHead(number) => {
                let head = self.walls.get(number)?.head.to_mm();
                up(head, head)
            }
            Piece::WallFace(_) | Piece::HatchRight => {
                let (_, high) = self.extent(piece.whole())?;
                across(high.x, high.x)
            }
            Piece::HatchLeft => {
                let (low, _) = self.extent(Piece::Hatch)?;
                across(low.x, low.x)
            }
            Piece::JoistsFoot => {
                let (low, _) = self.extent(Piece::Joists)?;
                up(low.y, low.y)
            }
        })
    }

    /// The building with one piece moved, as far as that piece can be.
    #[must_use]
    pub fn with_moved(&self, piece: Piece, by: DVec2) -> Self {
        let mut moved = self.clone();
        let up = Length::mm(by.y);
        match piece {
            Piece::Storey(number) => {
                if let Some(storey) = moved.storeys.get_mut(number) {
                    storey.floor = storey.floor + up;
                }
            }
            Piece::Ceiling => {
                if let Some(ceiling) = &mut moved.ceiling {
                    ceiling.underside = ceiling.underside + up;
                }
            }
            Piece::Joists => {
                if let Some(joists) = &mut moved.joists {
                    joists.top = joists.top + up;
                }
            }
            Piece::JoistsFoot => {
                if let Some(joists) = &mut moved.joists {
                    joists.depth = grown(joists.depth, -by.y);
                }
            }
            Piece::Roof => {
                for point in moved.roof.iter_mut().flat_map(|roof| &mut roof.underside) {
                    *point = point.moved(by);
                }
            }
            Piece::RoofPoint(number) => {
                if let Some(roof) = &mut moved.roof {
                    move_roof_point(&mut roof.underside, number, by);
                }
            }
            Piece::Hatch | Piece::HatchLeft | Piece::HatchRight => {
                if let Some(LoftHatch::Opening(hatch)) = &mut moved.hatch {
                    move_hatch(hatch, piece, by.x);
                }
            }
            Piece::Wall(number) | Piece::WallFoot(number) | Piece::WallHead(number) | Piece::WallFace(number) => {
                if let Some(wall) = moved.walls.get_mut(number) {
                    move_wall(wall, piece, by);
                }
            }
        }
        moved
    }

    /// The building without a piece; a handle goes with the whole of it, save that a roof of three points and more
    /// loses one of them only.
    #[must_use]
    pub fn without(&self, piece: Piece) -> Self {
        let mut left = self.clone();
        match piece {
            Piece::RoofPoint(number) if left.roof.as_ref().is_some_and(|roof| roof.underside.len() > 2) => {
                if let Some(roof) = left.roof.as_mut().filter(|roof| number < roof.underside.len()) {
                    roof.underside.remove(number);
                }
            }
            Piece::Storey(number) => {
                left.storeys = without_one(&left.storeys, number);
            }
            Piece::Wall(number) | Piece::WallFoot(number) | Piece::WallHead(number) | Piece::WallFace(number) => {
                left.walls = without_one(&left.walls, number);
            }
            Piece::Ceiling => left.ceiling = None,
            Piece::Joists | Piece::JoistsFoot => left.joists = None,
            Piece::Roof | Piece::RoofPoint(_) => left.roof = None,
            Piece::Hatch | Piece::HatchLeft | Piece::HatchRight => left.hatch = None,
        }
        left
    }
}

/// Moves a wall, or whichever of its ends and faces the piece is.
fn move_wall(wall: &mut Wall, piece: Piece, by: DVec2) {
    match piece {
        Piece::WallFoot(_) => wall.foot = wall.foot + Length::mm(by.y),
        Piece::WallHead(_) => wall.head = wall.head + Length::mm(by.y),
        Piece::WallFace(_) => wall.thickness = grown(wall.thickness, by.x),
        _ => wall.x = wall.x + Length::mm(by.x),
    }
}

/// Moves the hatch, or whichever of its edges the piece is; the other edge then stays where it is.
fn move_hatch(hatch: &mut Hatch, piece: Piece, right_mm: f64) {
    match piece {
        Piece::HatchLeft => {
            let right_edge = hatch.x + Length::from(hatch.length);
            hatch.length = grown(hatch.length, -right_mm);
            hatch.x = right_edge - Length::from(hatch.length);
        }
        Piece::HatchRight => hatch.length = grown(hatch.length, right_mm),
        _ => hatch.x = hatch.x + Length::mm(right_mm),
    }
}

/// A roof's vertices run from left to right: one goes no further than its neighbours.
fn move_roof_point(points: &mut [Point], number: usize, by: DVec2) {
    let x_of = |point: &Point| point.x.to_mm();
    let least = number.checked_sub(1).and_then(|before| points.get(before)).map_or(f64::NEG_INFINITY, x_of);
    let most = points.get(number + 1).map_or(f64::INFINITY, x_of);
    if let Some(point) = points.get_mut(number) {
        let wanted = point.vector() + by;
        *point = dvec2(wanted.x.clamp(least, most), wanted.y).into();
    }
}

fn without_one<T: Clone>(all: &[T], number: usize) -> Vec<T> {
    all.iter().enumerate().filter(|(other, _)| *other != number).map(|(_, kept)| kept.clone()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::{Ceiling, Roof};
    use crate::units::{Level, Size};

    fn house() -> Building {
        let wall =
            |x| Wall { x: Length::mm(x), thickness: Size::mm(250.0), foot: Level::DATUM, head: Level::mm(5000.0) };
        let roof = vec![Point::mm(0.0, 5000.0), Point::mm(3500.0, 8000.0), Point::mm(7000.0, 5000.0)];
        Building {
            ceiling: Some(Ceiling { underside: Level::mm(5000.0), thickness: Size::mm(12.5) }),
            roof: Some(Roof { underside: roof }),
            walls: vec![wall(0.0), wall(6750.0)],
            ..Building::default()
        }
    }

    #[test]
    fn each_piece_moves_the_way_it_can() {
        let by = dvec2(120.0, 300.0);
        let up = house().with_moved(Piece::Ceiling, by);
        assert_eq!(up.ceiling.map(|ceiling| ceiling.underside), Some(Level::mm(5300.0)));
        let across = house().with_moved(Piece::Wall(1), by);
        assert_eq!((across.walls[1].x, across.walls[1].head), (Length::mm(6870.0), Level::mm(5000.0)));
        let head = house().with_moved(Piece::WallHead(0), by);
        assert_eq!((head.walls[0].x, head.walls[0].head), (Length::mm(0.0), Level::mm(5300.0)));
    }

    #[test]
    fn a_ridge_never_passes_the_eaves() {
        let moved = house().with_moved(Piece::RoofPoint(1), dvec2(9000.0, -200.0));
        assert_eq!(moved.roof.map(|roof| roof.underside[1]), Some(Point::mm(7000.0, 7800.0)));
    }

    #[test]
    fn a_piece_can_be_taken_away() {
        let left = house().without(Piece::RoofPoint(1));
        assert_eq!(left.roof.as_ref().map(|roof| roof.underside.len()), Some(2));
        assert!(left.without(Piece::RoofPoint(1)).roof.is_none());
        assert_eq!(left.without(Piece::WallHead(0)).walls.len(), 1);
        assert_eq!(house().pieces().count(), 4);
    }
}
