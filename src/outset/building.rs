//! The house around the system, and the platforms in it.

use super::answers::Answers;
use super::choices::Choices;
use super::positions::Positions;
use super::usual_house::{CEILING_BOARD_MM, EAVES_OUT_MM, WALL_MM};
use crate::catalogue::BEARER_BREADTH_MM;
use crate::geom::Point;
use crate::heat::Condition;
use crate::layout::{
    Bearers, Board, BoardMaterial, Building, Ceiling, Climate, Frame, Hatch, Id, Joists, Lie, LoftHatch, Platform,
    PlyClass, Roof, ServiceClass, Storey, StrengthClass, Wall,
};
use crate::units::{Duration, Length, Level, Size, SurfaceLoad, Temperature};

/// Bearers begin and end so far from the platform's edge, to their middle, mm.
const BEARER_EDGE_MM: f64 = 30.0;
/// A ceiling with its insulation, and what is kept in a loft, kN/m² each (common practice, no source).
pub(super) const CEILING_KN_M2: f64 = 0.25;
/// The platform stands so far from where the span of the joists begins, mm.
const OFF_SUPPORT_MM: f64 = 60.0;

/// Where the span of joists begins that are seen end-on, for a platform of this depth whose middle lies in the section, mm.
pub(super) fn span_begins_mm(platform_depth_mm: f64) -> f64 {
    -(platform_depth_mm / 2.0 + OFF_SUPPORT_MM)
}

pub(super) fn building(answers: &Answers, at: &Positions) -> Building {
    let joists = &answers.joists;
    let load = |kn_per_m2| SurfaceLoad::try_kn_per_m2(kn_per_m2).ok();
    let foot_mm = at.house.roof_mm(-EAVES_OUT_MM);
    let wall = |x_mm: f64| Wall {
        x: Length::mm(x_mm),
        thickness: Size::mm(WALL_MM),
        foot: Level::DATUM,
        head: Level::mm(at.house.joist_top_mm),
    };
    Building {
        storeys: at.house.floors_mm.iter().enumerate().map(|(number, floor)| storey(number, *floor)).collect(),
        ceiling: Some(Ceiling { underside: Level::mm(at.house.ceiling_mm), thickness: Size::mm(CEILING_BOARD_MM) }),
        joists: Some(Joists {
            top: Level::mm(at.house.joist_top_mm),
            first: Length::mm(at.footing.first_joist_mm),
            spacing: joists.spacing,
            count: at.footing.joist_count,
            breadth: joists.breadth,
            depth: joists.depth,
            lie: Lie::EndOn,
            kind: Some(joists.kind),
            grade: Some(joists.grade),
            notched: Some(false),
            span: Some(joists.span),
            span_from: Some(Length::mm(span_begins_mm(at.footing.platform_depth_mm))),
            ceiling_load: load(CEILING_KN_M2),
            storage_load: load(CEILING_KN_M2),
            service_class: Some(ServiceClass::Covered),
            load_duration: None,
        }),
        roof: Some(Roof {
            underside: vec![
                Point::mm(-EAVES_OUT_MM, foot_mm),
                Point::mm(at.house.ridge_x_mm, at.house.ridge_level_mm),
                Point::mm(at.house.width_mm + EAVES_OUT_MM, foot_mm),
            ],
        }),
        hatch: Some(LoftHatch::Opening(Hatch {
            x: Length::mm(WALL_MM + 150.0),
            length: answers.loft.hatch_length,
            width: answers.loft.hatch_width,
        })),
        walls: vec![wall(0.0), wall(at.house.width_mm - WALL_MM)],
        mains_pressure: Some(answers.mains_pressure),
    }
}

fn storey(number: usize, floor_mm: f64) -> Storey {
    let names = ["ground-floor", "first-floor", "second-floor"];
    Storey { id: Id::of(names[number.min(2)]), floor: Level::mm(floor_mm), deck: Some(deck(number)) }
}

/// What the floor of a storey is made of, by its number from the lowest.
pub(super) fn deck(number: usize) -> Board {
    if number == 0 {
        Board { material: BoardMaterial::Concrete, thickness: None, class: None }
    } else {
        Board { material: BoardMaterial::Softwood, thickness: Some(Size::mm(18.0)), class: None }
    }
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

pub(super) fn ply(thickness_mm: f64, class: Option<PlyClass>) -> Board {
    Board { material: BoardMaterial::MarinePly, thickness: Some(Size::mm(thickness_mm)), class }
}

/// Bearers of a depth, spread evenly below a platform of an extent across them, mm.
pub(super) fn spread(count: u32, depth_mm: f64, (lie, across_mm): (Lie, f64)) -> Bearers {
    Bearers {
        count,
        spacing: Size::mm((across_mm - 2.0 * BEARER_EDGE_MM) / f64::from(count - 1)),
        first: Length::mm(BEARER_EDGE_MM),
        breadth: Size::mm(BEARER_BREADTH_MM),
        depth: Size::mm(depth_mm),
        lie,
        grade: Some(StrengthClass::C16),
    }
}

pub(super) fn platforms(answers: &Answers, choices: &Choices, at: &Positions) -> Vec<Platform> {
    let platform = at.footing.platform;
    let under_cistern = Platform {
        depth: Some(Size::mm(at.footing.platform_depth_mm)),
        behind: Some(Length::ZERO),
        board: Some(ply(choices.board_mm, Some(PlyClass::F20E40))),
        bearers: Some(spread(choices.bearers, choices.bearer_mm, (Lie::Along, at.footing.platform_depth_mm))),
        frame: (at.on_frame()).then(|| Frame { height: Size::mm(at.raised_mm) }),
        confirmed_load: answers.joists.confirmed_load,
        ..Platform::new(
            Id::of("cistern-platform"),
            Point::mm(platform.left_mm, at.base_mm),
            Size::mm(platform.length_mm()),
        )
    };
    let wide_mm = at.beside.cylinder.length_mm() + 100.0;
    let under_cylinder = Platform {
        depth: Some(Size::mm(wide_mm)),
        behind: Some(Length::ZERO),
        board: Some(ply(18.0, None)),
        ..Platform::new(
            Id::of("cylinder-platform"),
            Point::mm(at.beside.cylinder.left_mm - 50.0, at.beside.cylinder_base_mm),
            Size::mm(wide_mm),
        )
    };
    vec![under_cistern, under_cylinder]
}
