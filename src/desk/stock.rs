//! What the stores hold: each thing that can be placed, with the facts that placing it states and no others.

use glam::{DVec2, dvec2};

use crate::catalogue;
use crate::geom::Point;
use crate::layout::{
    Boiler, Building, Ceiling, Cistern, CisternRole, Cylinder, Edit, Hatch, Id, Joists, Layout, Lie, LoftHatch, Note,
    Outlet, OutletKind, Part, Piece, Platform, Roof, Storey, UNTOLD_BOARD_MM, Wall, apply,
};
use crate::outset::usual_house::{
    BOILER_LENGTH_MM, CEILING_BOARD_MM, EAVES_OUT_MM, FIRST_JOIST_MM, FLOOR_MM, JOIST_BREADTH_MM, JOIST_DEPTH_MM,
    JOIST_SPACING_MM, ROOM_MM, WALL_MM, WIDTH_MM,
};
use crate::outset::wide_enough;
use crate::rules::Profile;
use crate::units::{Length, Level, Size};

/// A thing to place. Sizes are places in the catalogue's tables.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stock {
    /// A storage cistern of a size.
    Storage(usize),
    /// A feed-and-expansion cistern of a size.
    FeedAndExpansion(usize),
    /// A platform.
    Platform,
    /// A cylinder of a size.
    Cylinder(usize),
    /// A boiler.
    Boiler,
    /// An outlet or appliance.
    Outlet(OutletKind),
    /// A house of two storeys: floors, walls, ceiling, joists and roof, to be dragged and typed into shape.
    House,
    /// The same of one storey.
    Bungalow,
    /// A floor.
    Storey,
    /// The ceiling below the loft.
    Ceiling,
    /// The loft's joists.
    Joists,
    /// The roof's underside.
    Roof,
    /// The way into the loft.
    Hatch,
    /// A wall.
    Wall,
    /// A note.
    Note,
}

/// The joists' top above the ceiling's underside in a house that nobody has measured, mm.
const JOISTS_ABOVE_CEILING_MM: f64 = CEILING_BOARD_MM + JOIST_DEPTH_MM;
/// Rise over half the span of a roof that nobody has measured: 40 degrees.
const ROOF_RISE_PER_RUN: f64 = 0.84;

impl Stock {
    /// Its name on the button and in the history.
    #[must_use]
    pub fn name(self) -> String {
        match self {
            Self::Storage(size) => format!("storage cistern {}", catalogue::cisterns().sizes[size].name),
            Self::FeedAndExpansion(size) => {
                format!("feed-and-expansion cistern {}", catalogue::cisterns().sizes[size].name)
            }
            Self::Platform => "platform".to_owned(),
            Self::Cylinder(size) => format!("cylinder {}", catalogue::cylinders().sizes[size].reference),
            Self::Boiler => "boiler".to_owned(),
            Self::Outlet(kind) => kind.words().to_owned(),
            Self::House => "house".to_owned(),
            Self::Bungalow => "bungalow".to_owned(),
            Self::Storey => "storey".to_owned(),
            Self::Ceiling => "ceiling".to_owned(),
            Self::Joists => "joists".to_owned(),
            Self::Roof => "roof".to_owned(),
            Self::Hatch => "loft hatch".to_owned(),
            Self::Wall => "wall".to_owned(),
            Self::Note => "note".to_owned(),
        }
    }

    /// Its name with an article where it has one: "a wall", "joists".
    #[must_use]
    pub fn one(self) -> String {
        match self {
            Self::Joists => self.name(),
            _ => format!("a {}", self.name()),
        }
    }

    /// Where the pointer holds it, in words for the status line.
    #[must_use]
    pub const fn held_by(self) -> &'static str {
        match self {
            Self::Storage(_) | Self::FeedAndExpansion(_) | Self::Cylinder(_) | Self::Boiler => {
                "the middle of its base goes where you click"
            }
            Self::Platform => {
                "the middle of its underside goes where you click; just over the joists, it leaves room for bearers"
            }
            Self::Outlet(_) => "its outlet goes where you click; click a floor, and it stands there",
            Self::House => {
                "two storeys; its middle goes where you click, and the first one's ground floor to the datum"
            }
            Self::Bungalow => "one storey; its middle goes where you click, and the first one's floor to the datum",
            Self::Storey => "its finished floor goes to the level where you click",
            Self::Ceiling => "its underside goes to the level where you click",
            Self::Joists => {
                "click the ceiling, and they stand on it; anywhere else their top goes to the level of the click"
            }
            Self::Roof => "it meets the outsides of the walls at the level where you click",
            Self::Hatch => "its middle goes where you click",
            Self::Wall => "its left face goes where you click",
            Self::Note => "its words begin where you click",
        }
    }

    /// The part as placed at a point, or none for a piece of the building.
    #[must_use]
    pub fn part(self, layout: &Layout, at: DVec2) -> Option<Part> {
        let on_its_base = |length: Size| Point::from(at - dvec2(length.to_mm() / 2.0, 0.0));
        Some(match self {
            Self::Storage(size) => cistern(layout.free_id("cistern"), CisternRole::Storage, size, at),
            Self::FeedAndExpansion(size) => {
                cistern(layout.free_id("feed-and-expansion"), CisternRole::FeedAndExpansion, size, at)
            }
            Self::Platform => {
                let length = Size::mm(1250.0);
                let board = dvec2(0.0, UNTOLD_BOARD_MM);
                Part::Platform(Platform {
                    depth: Some(Size::mm(950.0)),
                    behind: Some(Length::ZERO),
                    ..Platform::new(layout.free_id("platform"), on_its_base(length).moved(board), length)
                })
            }
            Self::Cylinder(size) => {
                let size = &catalogue::cylinders().sizes[size];
                Part::Cylinder(Cylinder {
                    behind: Some(Length::ZERO),
                    reference: Some(size.reference.clone()),
                    ..Cylinder::new(layout.free_id("cylinder"), on_its_base(size.diameter), size.diameter, size.height)
                })
            }
            Self::Boiler => {
                let length = Size::mm(BOILER_LENGTH_MM);
                Part::Boiler(Boiler::new(layout.free_id("boiler"), on_its_base(length), length, Size::mm(700.0)))
            }
            Self::Outlet(kind) => {
                let id = layout.free_id(&kind.words().to_lowercase().replace(' ', "-"));
                Part::Outlet(Outlet::new(id, kind, Point::from(at)))
            }
            Self::Note => Part::Note(Note::new(layout.free_id("note"), Point::from(at), "Note".to_owned())),
            Self::House
            | Self::Bungalow
            | Self::Storey
            | Self::Ceiling
            | Self::Joists
            | Self::Roof
            | Self::Hatch
            | Self::Wall => return None,
        })
    }

    /// The change that places it at a point, and those that make the platform as large as the rules ask for a cistern
    /// that comes to stand on it.
    #[must_use]
    pub fn placed(self, layout: &Layout, at: DVec2, profile: &Profile) -> Vec<Edit> {
        let Some(part) = self.part(layout, at) else {
            return vec![Edit::Building(Box::new(self.in_building(&layout.building, at)))];
        };
        let id = part.id().clone();
        let put = Edit::put(part);
        let Ok(mut placed) = apply(layout, &put) else { return vec![put] };
        let mut edits = vec![put];
        for platform in wide_enough(&placed, &id, profile) {
            let widen = Edit::put(Part::Platform(platform));
            // One whose size is held stays as it is.
            if let Ok(widened) = apply(&placed, &widen) {
                placed = widened;
                edits.push(widen);
            }
        }
        edits
    }

    /// The piece of the building that placing it has made, to be selected.
    #[must_use]
    pub fn piece(self, before: &Building, after: &Building) -> Option<Piece> {
        let is_new = |piece: &Piece| match *piece {
            Piece::Storey(number) => !before.storeys.contains(&after.storeys[number]),
            Piece::Wall(number) => number >= before.walls.len(),
            _ => false,
        };
        match self {
            Self::Ceiling => Some(Piece::Ceiling),
            Self::Joists => Some(Piece::Joists),
            Self::Roof => Some(Piece::Roof),
            Self::Hatch => Some(Piece::Hatch),
            Self::Storey | Self::Wall => after.pieces().find(is_new),
            _ => None,
        }
    }

    fn in_building(self, building: &Building, at: DVec2) -> Building {
        let mut building = building.clone();
        match self {
            Self::House => building = house_in(building, at, 2),
            Self::Bungalow => building = house_in(building, at, 1),
            Self::Storey => {
                let id = free_storey_id(&building);
                building.storeys.push(Storey { id, floor: Level::mm(at.y), deck: None });
                building.storeys.sort_by_key(|storey| storey.floor);
            }
            Self::Ceiling => {
                building.ceiling = Some(Ceiling { underside: Level::mm(at.y), thickness: Size::mm(CEILING_BOARD_MM) });
            }
            Self::Joists => building.joists = Some(joists(building.ceiling, at.y, inside(&building, at.x))),
            Self::Roof => building.roof = Some(roof(outside(&building, at.x), at.y)),
            Self::Hatch => {
                let length = Size::mm(700.0);
                let x = Length::mm(at.x - length.to_mm() / 2.0);
                building.hatch = Some(LoftHatch::Opening(Hatch { x, length, width: Size::mm(600.0) }));
            }
            Self::Wall => {
                let storey_head = |storey: &Storey| storey.floor + Length::mm(ROOM_MM);
                let over_storeys = building.storeys.last().map_or(Level::mm(ROOM_MM), storey_head);
                let under_ceiling = building.ceiling.map_or(over_storeys, |ceiling| ceiling.underside);
                let head = building.joists.as_ref().map_or(under_ceiling, |joists| joists.top);
                let thickness = Size::mm(WALL_MM);
                let before = building.clone();
                building.walls.push(Wall { x: Length::mm(at.x), thickness, foot: Level::DATUM, head });
                fill_with_joists(&mut building, &before);
            }
            _ => {}
        }
        building
    }
}

/// A building with a house of so many storeys more.
fn house_in(building: Building, at: DVec2, storeys: u32) -> Building {
    let half_mm = WIDTH_MM / 2.0;
    // Heights are told from the ground floor: one that lay beside the datum would shift them all.
    let at = if building.storeys.is_empty() { dvec2(at.x, 0.0) } else { at };
    let floor_mm = |storey: u32| at.y + f64::from(storey) * (ROOM_MM + FLOOR_MM);
    let ceiling_mm = floor_mm(storeys - 1) + ROOM_MM;
    let floors = (0..storeys).map(|storey| (Stock::Storey, dvec2(at.x, floor_mm(storey))));
    let shell = [
        (Stock::Ceiling, dvec2(at.x, ceiling_mm)),
        (Stock::Wall, dvec2(at.x - half_mm, at.y)),
        (Stock::Wall, dvec2(at.x + half_mm - WALL_MM, at.y)),
        (Stock::Joists, dvec2(at.x, ceiling_mm + JOISTS_ABOVE_CEILING_MM)),
        (Stock::Roof, dvec2(at.x, ceiling_mm + JOISTS_ABOVE_CEILING_MM)),
    ];
    let add = |house: Building, (piece, at): (Stock, DVec2)| piece.in_building(&house, at);
    let mut building = floors.chain(shell).fold(building, add);
    for wall in &mut building.walls {
        wall.foot = Level::mm(at.y);
        wall.head = Level::mm(ceiling_mm + JOISTS_ABOVE_CEILING_MM);
    }
    building
}

/// Joists with their top at a level, between two places, mm. They stand on the ceiling where it is near below.
fn joists(ceiling: Option<Ceiling>, top_mm: f64, between_mm: (f64, f64)) -> Joists {
    let clear_mm = ceiling.map(|ceiling| top_mm - (ceiling.underside + ceiling.thickness).to_mm());
    let depth_mm = clear_mm.filter(|clear| (70.0..=300.0).contains(clear)).unwrap_or(JOIST_DEPTH_MM);
    let section = (Size::mm(JOIST_BREADTH_MM), Size::mm(depth_mm));
    let spacing = Size::mm(JOIST_SPACING_MM);
    let (first, count) = row(between_mm, spacing);
    Joists::new(Level::mm(top_mm), first, spacing, count, section)
}

/// Where joists begin that fill the room between two places, mm, and how many there are.
fn row((from_mm, to_mm): (f64, f64), spacing: Size) -> (Length, u32) {
    let further = ((to_mm - from_mm - 2.0 * FIRST_JOIST_MM) / spacing.to_mm()).floor().max(0.0);
    (Length::mm(from_mm + FIRST_JOIST_MM), further as u32 + 1)
}

/// Joists that were placed before the walls, or filled the room between those that were there, fill it from wall to wall.
fn fill_with_joists(building: &mut Building, before: &Building) {
    let Some((left_mm, right_mm)) = walls_apart(building) else { return };
    let Some(joists) = building.joists.as_mut().filter(|joists| joists.lie == Lie::EndOn) else { return };
    let filled = walls_apart(before).map(|outside| row(within_walls(outside), joists.spacing));
    if filled.is_none_or(|filled| filled == (joists.first, joists.count)) {
        (joists.first, joists.count) = row(within_walls((left_mm, right_mm)), joists.spacing);
    }
}

/// A roof that meets the outsides of the walls at a level, and reaches out over them, mm.
fn roof((left_mm, right_mm): (f64, f64), level_mm: f64) -> Roof {
    let rise_mm = (right_mm - left_mm) / 2.0 * ROOF_RISE_PER_RUN;
    let foot_mm = level_mm - EAVES_OUT_MM * ROOF_RISE_PER_RUN;
    let underside = vec![
        Point::mm(left_mm - EAVES_OUT_MM, foot_mm),
        Point::mm(f64::midpoint(left_mm, right_mm), level_mm + rise_mm),
        Point::mm(right_mm + EAVES_OUT_MM, foot_mm),
    ];
    Roof { underside }
}

/// A cistern of a size, its base's middle at a point: what the table of sizes tells, and nothing else.
fn cistern(id: Id, role: CisternRole, size: usize, at: DVec2) -> Part {
    let size = &catalogue::cisterns().sizes[size];
    let left_foot = Point::from(at - dvec2(size.length.to_mm() / 2.0, 0.0));
    Part::Cistern(Cistern {
        width: Some(size.width),
        behind: Some(Length::ZERO),
        water_volume: Some(size.water),
        water_line: Some(Length::mm(size.water_line_mm().round())),
        ..Cistern::new(id, role, left_foot, size.length, size.height)
    })
}

/// From the leftmost to the rightmost face of the walls, mm; none until there are two sides.
fn walls_apart(building: &Building) -> Option<(f64, f64)> {
    let left = building.walls.iter().map(|wall| wall.x.to_mm()).min_by(f64::total_cmp)?;
    let right = building.walls.iter().map(|wall| wall.x.to_mm() + wall.thickness.to_mm()).max_by(f64::total_cmp)?;
    (right - left > 1000.0).then_some((left, right))
}

/// The same; while one wall stands alone, the usual width from it to the side of `x`, and about `x` when there is none.
fn outside(building: &Building, x: f64) -> (f64, f64) {
    let alone = || {
        let wall = building.walls.first()?;
        let (left, right) = (wall.x.to_mm(), wall.x.to_mm() + wall.thickness.to_mm());
        Some(if x >= left { (left, left + WIDTH_MM) } else { (right - WIDTH_MM, right) })
    };
    walls_apart(building).or_else(alone).unwrap_or((x - WIDTH_MM / 2.0, x + WIDTH_MM / 2.0))
}

/// The room between the walls.
fn inside(building: &Building, x: f64) -> (f64, f64) {
    within_walls(outside(building, x))
}

fn within_walls((left_mm, right_mm): (f64, f64)) -> (f64, f64) {
    (left_mm + WALL_MM, right_mm - WALL_MM)
}

fn free_storey_id(building: &Building) -> Id {
    let taken = |wish: &str| building.storeys.iter().any(|storey| storey.id.as_str() == wish);
    let mut wishes = ["ground-floor", "first-floor", "second-floor", "third-floor"].into_iter().map(str::to_owned);
    let numbered = (1..).map(|number| format!("floor-{number}"));
    wishes.by_ref().chain(numbered).find(|wish| !taken(wish)).map_or_else(|| Id::of("floor"), |wish| Id::of(&wish))
}
