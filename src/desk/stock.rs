//! What the stores hold: each thing that can be placed, with the facts that placing it states and no others.

use glam::{DVec2, dvec2};

use crate::catalogue;
use crate::geom::Point;
use crate::layout::{
    Boiler, Building, Ceiling, Cistern, CisternRole, Cylinder, Edit, Hatch, Id, Joists, Layout, Lie, Outlet,
    OutletKind, Part, Platform, Roof, Storey, Wall,
};
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
}

/// How wide a building is taken to be when no walls stand yet, mm.
const HOUSE_WIDTH_MM: f64 = 7000.0;
/// How high a wall stands above the highest floor until a ceiling is drawn, mm.
const STOREY_HEIGHT_MM: f64 = 2400.0;
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
            Self::Storey => "storey".to_owned(),
            Self::Ceiling => "ceiling".to_owned(),
            Self::Joists => "joists".to_owned(),
            Self::Roof => "roof".to_owned(),
            Self::Hatch => "loft hatch".to_owned(),
            Self::Wall => "wall".to_owned(),
        }
    }

    /// Where the pointer holds it, in words for the status line.
    #[must_use]
    pub const fn held_by(self) -> &'static str {
        match self {
            Self::Storage(_) | Self::FeedAndExpansion(_) | Self::Cylinder(_) | Self::Boiler => {
                "the middle of its base goes where you click"
            }
            Self::Platform => "the middle of its upper face goes where you click",
            Self::Outlet(_) => "its outlet goes where you click",
            Self::Storey => "its finished floor goes to the level where you click",
            Self::Ceiling => "its underside goes to the level where you click",
            Self::Joists => "their top goes to the level where you click",
            Self::Roof => "its eaves go to the level where you click",
            Self::Hatch => "its middle goes where you click",
            Self::Wall => "its left face goes where you click",
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
                Part::Platform(Platform {
                    id: layout.free_id("platform"),
                    at: on_its_base(length),
                    length,
                    depth: Some(Size::mm(950.0)),
                    behind: Some(Length::ZERO),
                    board: None,
                    bearers: None,
                    confirmed_load: None,
                })
            }
            Self::Cylinder(size) => {
                let size = &catalogue::cylinders().sizes[size];
                Part::Cylinder(Cylinder {
                    id: layout.free_id("cylinder"),
                    at: on_its_base(size.diameter),
                    diameter: size.diameter,
                    height: size.height,
                    behind: Some(Length::ZERO),
                    reference: Some(size.reference.clone()),
                    capacity: None,
                    grade: None,
                    coil: None,
                    immersions: None,
                    stored_temperature: None,
                    insulation: None,
                    cover: None,
                    standing_loss: None,
                    coil_duty: None,
                    connections: Vec::new(),
                })
            }
            Self::Boiler => {
                let length = Size::mm(400.0);
                Part::Boiler(Boiler {
                    id: layout.free_id("boiler"),
                    at: on_its_base(length),
                    length,
                    height: Size::mm(700.0),
                    kind: None,
                    output: None,
                })
            }
            Self::Outlet(kind) => {
                let id = layout.free_id(&kind.words().to_lowercase().replace(' ', "-"));
                Part::Outlet(Outlet::new(id, kind, Point::from(at)))
            }
            Self::Storey | Self::Ceiling | Self::Joists | Self::Roof | Self::Hatch | Self::Wall => return None,
        })
    }

    /// The change that places it at a point.
    #[must_use]
    pub fn placed(self, layout: &Layout, at: DVec2) -> Edit {
        match self.part(layout, at) {
            Some(part) => Edit::Put(Box::new(part)),
            None => Edit::Building(Box::new(self.in_building(&layout.building, at))),
        }
    }

    fn in_building(self, building: &Building, at: DVec2) -> Building {
        let mut building = building.clone();
        let (left, right) = outer_faces(&building, at.x);
        match self {
            Self::Storey => {
                let id = free_storey_id(&building);
                building.storeys.push(Storey { id, floor: Level::mm(at.y), deck: None });
                building.storeys.sort_by(|a, b| a.floor.to_mm().total_cmp(&b.floor.to_mm()));
            }
            Self::Ceiling => {
                building.ceiling = Some(Ceiling { underside: Level::mm(at.y), thickness: Size::mm(12.5) });
            }
            Self::Joists => {
                let spacing_mm = 400.0;
                let count = ((right - left) / spacing_mm).floor().max(1.0) as u32;
                building.joists = Some(Joists {
                    top: Level::mm(at.y),
                    first: Length::mm(left + spacing_mm / 2.0),
                    spacing: Size::mm(spacing_mm),
                    count,
                    breadth: Size::mm(47.0),
                    depth: Size::mm(97.0),
                    lie: Lie::EndOn,
                    kind: None,
                    grade: None,
                    notched: None,
                });
            }
            Self::Roof => {
                let rise = (right - left) / 2.0 * ROOF_RISE_PER_RUN;
                let ridge = Point::mm((left + right) / 2.0, at.y + rise);
                building.roof = Some(Roof { underside: vec![Point::mm(left, at.y), ridge, Point::mm(right, at.y)] });
            }
            Self::Hatch => {
                let length = Size::mm(700.0);
                building.hatch =
                    Some(Hatch { x: Length::mm(at.x - length.to_mm() / 2.0), length, width: Size::mm(600.0) });
            }
            Self::Wall => {
                let storey_head = |storey: &Storey| storey.floor + Length::mm(STOREY_HEIGHT_MM);
                let over_storeys = building.storeys.last().map_or(Level::mm(STOREY_HEIGHT_MM), storey_head);
                let head = building.ceiling.map_or(over_storeys, |ceiling| ceiling.underside);
                let thickness = Size::mm(250.0);
                building.walls.push(Wall { x: Length::mm(at.x), thickness, foot: Level::DATUM, head });
            }
            _ => {}
        }
        building
    }
}

/// A cistern of a size, its base's middle at a point: what the table of sizes tells, and nothing else.
fn cistern(id: Id, role: CisternRole, size: usize, at: DVec2) -> Part {
    let size = &catalogue::cisterns().sizes[size];
    Part::Cistern(Cistern {
        id,
        role,
        at: Point::from(at - dvec2(size.length.to_mm() / 2.0, 0.0)),
        length: size.length,
        width: Some(size.width),
        height: size.height,
        draft: Length::ZERO,
        behind: Some(Length::ZERO),
        rim_volume: None,
        water_volume: Some(size.water),
        water_line: Some(Length::mm(size.water_line_mm().round())),
        float_valve: None,
        connections: Vec::new(),
        dip_tube: None,
        lid: None,
        lid_screen: None,
        opaque: None,
        jacket: None,
        loft_insulation_below: None,
        stored_temperature: None,
        daily_draw: None,
        system_volume: None,
        empty_mass: None,
    })
}

/// From the leftmost to the rightmost face of the walls; the usual width about `x` when there are none.
fn outer_faces(building: &Building, x: f64) -> (f64, f64) {
    let left = building.walls.iter().map(|wall| wall.x.to_mm()).min_by(f64::total_cmp);
    let right = building.walls.iter().map(|wall| wall.x.to_mm() + wall.thickness.to_mm()).max_by(f64::total_cmp);
    match (left, right) {
        (Some(left), Some(right)) if right - left > 1000.0 => (left, right),
        _ => (x - HOUSE_WIDTH_MM / 2.0, x + HOUSE_WIDTH_MM / 2.0),
    }
}

fn free_storey_id(building: &Building) -> Id {
    let taken = |wish: &str| building.storeys.iter().any(|storey| storey.id.as_str() == wish);
    let mut wishes = ["ground-floor", "first-floor", "second-floor", "third-floor"].into_iter().map(str::to_owned);
    let numbered = (1..).map(|number| format!("floor-{number}"));
    wishes.by_ref().chain(numbered).find(|wish| !taken(wish)).map_or_else(|| Id::of("floor"), |wish| Id::of(&wish))
}
