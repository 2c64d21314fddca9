//! The house around the system, and the platforms in it.

use super::answers::Answers;
use super::choices::{BEARER_BREADTH_MM, Choices};
use super::positions::{CEILING_BOARD_MM, Positions, WALL_MM};
use crate::geom::Point;
use crate::heat::Condition;
use crate::layout::{
    Bearers, Board, BoardMaterial, Building, Ceiling, Climate, Hatch, Id, Joists, Lie, LoftHatch, Platform, PlyClass,
    Roof, ServiceClass, Storey, StrengthClass, Wall,
};
use crate::units::{Duration, Length, Level, Size, SurfaceLoad, Temperature};

/// How far the eaves reach out over the wall, mm.
const EAVES_OUT_MM: f64 = 350.0;
/// Bearers begin and end so far from the platform's edge, to their middle, mm.
const BEARER_EDGE_MM: f64 = 30.0;

pub(super) fn building(answers: &Answers, at: &Positions) -> Building {
    let joists = &answers.joists;
    let load = |kn_per_m2| SurfaceLoad::try_kn_per_m2(kn_per_m2).ok();
    let slope = (at.ridge.1 - at.eaves) / at.ridge.0;
    let foot = at.eaves - slope * EAVES_OUT_MM;
    let wall = |x: f64| Wall {
        x: Length::mm(x),
        thickness: Size::mm(WALL_MM),
        foot: Level::DATUM,
        head: Level::mm(at.joist_top),
    };
    Building {
        storeys: at.floors.iter().enumerate().map(|(number, floor)| storey(number, *floor)).collect(),
        ceiling: Some(Ceiling { underside: Level::mm(at.ceiling), thickness: Size::mm(CEILING_BOARD_MM) }),
        joists: Some(Joists {
            top: Level::mm(at.joist_top),
            first: Length::mm(at.first_joist),
            spacing: joists.spacing,
            count: at.joist_count,
            breadth: joists.breadth,
            depth: joists.depth,
            lie: Lie::EndOn,
            kind: Some(joists.kind),
            grade: Some(joists.grade),
            notched: Some(false),
            span: Some(joists.span),
            span_from: Some(Length::mm(-(at.platform_depth / 2.0 + 60.0))),
            ceiling_load: load(0.25),
            storage_load: load(0.25),
            service_class: Some(ServiceClass::Covered),
            load_duration: None,
        }),
        roof: Some(Roof {
            underside: vec![
                Point::mm(-EAVES_OUT_MM, foot),
                Point::mm(at.ridge.0, at.ridge.1),
                Point::mm(at.width + EAVES_OUT_MM, foot),
            ],
        }),
        hatch: Some(LoftHatch::Opening(Hatch {
            x: Length::mm(WALL_MM + 150.0),
            length: answers.loft.hatch_length,
            width: answers.loft.hatch_width,
        })),
        walls: vec![wall(0.0), wall(at.width - WALL_MM)],
        mains_pressure: Some(answers.mains_pressure),
    }
}

fn storey(number: usize, floor_mm: f64) -> Storey {
    let names = ["ground-floor", "first-floor", "second-floor"];
    let deck = if number == 0 {
        Board { material: BoardMaterial::Concrete, thickness: None, class: None }
    } else {
        Board { material: BoardMaterial::Softwood, thickness: Some(Size::mm(18.0)), class: None }
    };
    Storey { id: Id::of(names[number.min(2)]), floor: Level::mm(floor_mm), deck: Some(deck) }
}

/// The weather as it is assumed where nobody tells, with the house as it is heated.
pub(super) fn climate(answers: &Answers) -> Climate {
    let celsius = |condition: Condition| Temperature::try_celsius(condition.assumed()).ok();
    let (room_c, frost_h) = answers.winter.room_c_and_frost_h();
    Climate {
        loft_summer_peak: celsius(Condition::LoftPeak),
        loft_summer_low: celsius(Condition::LoftSummerLow),
        room_summer: celsius(Condition::RoomSummer),
        main_summer: celsius(Condition::MainSummer),
        loft_winter_low: celsius(Condition::LoftWinterLow),
        frost_lasts: Duration::try_hours(frost_h).ok(),
        main_winter: celsius(Condition::MainWinter),
        room: Temperature::try_celsius(room_c).ok(),
    }
}

fn ply(thickness_mm: f64, class: Option<PlyClass>) -> Board {
    Board { material: BoardMaterial::MarinePly, thickness: Some(Size::mm(thickness_mm)), class }
}

pub(super) fn platforms(answers: &Answers, choices: &Choices, at: &Positions) -> Vec<Platform> {
    let (left, right) = at.platform;
    let apart = (at.platform_depth - 2.0 * BEARER_EDGE_MM) / f64::from(choices.bearers - 1);
    let under_cistern = Platform {
        depth: Some(Size::mm(at.platform_depth)),
        behind: Some(Length::ZERO),
        board: Some(ply(choices.board_mm, Some(PlyClass::F20E40))),
        bearers: Some(Bearers {
            count: choices.bearers,
            spacing: Size::mm(apart),
            first: Length::mm(BEARER_EDGE_MM),
            breadth: Size::mm(BEARER_BREADTH_MM),
            depth: Size::mm(choices.bearer_mm),
            lie: Lie::Along,
            grade: Some(StrengthClass::C16),
        }),
        confirmed_load: answers.joists.confirmed_load,
        ..Platform::new(Id::of("cistern-platform"), Point::mm(left, at.base), Size::mm(right - left))
    };
    let wide = at.cylinder.1 - at.cylinder.0 + 100.0;
    let under_cylinder = Platform {
        depth: Some(Size::mm(wide)),
        behind: Some(Length::ZERO),
        board: Some(ply(18.0, None)),
        ..Platform::new(Id::of("cylinder-platform"), Point::mm(at.cylinder.0 - 50.0, at.cylinder_base), Size::mm(wide))
    };
    vec![under_cistern, under_cylinder]
}
