//! Where everything stands: levels and places worked out from the answers, the choices and the limits.

use super::answers::{Answers, Draw};
use super::choices::{Choices, has_own_pipes, shares_stored_cold, showers_have_own_pipes};
use super::limits::Limits;
use super::pipes::{BACK_BESIDE_COIL_MM, MAIN_MM};
use super::usual_house::{BOILER_LENGTH_MM, CEILING_BOARD_MM, FIRST_JOIST_MM, FLOOR_MM, ROOM_MM, WALL_MM};
use super::ways::{LeftWays, clear_of};
use crate::geom::Point;
use crate::layout::{COLD, HOT, Id, Outlet, OutletKind, PartRef};

/// The cylinder stands on a board this high over its floor.
const PLINTH_MM: f64 = 100.0;
/// Pipes keep so far from what they pass.
pub(super) const CLEAR_MM: f64 = 60.0;
/// How much more room than asked is left where it costs nothing.
pub(super) const EASE_MM: f64 = 5.0;
/// What a platform is raised by less than this needs no frame, mm.
const LEAST_FRAME_MM: f64 = 1.0;
/// The platform reaches so far beyond the middle of the outermost joist that carries it.
const BEYOND_JOIST_MM: f64 = 50.0;
/// A float valve lets the water go so far below the rim where it may, and no nearer to it than the least.
const OUTLET_BELOW_RIM_MM: f64 = 70.0;
const LEAST_BELOW_RIM_MM: f64 = 20.0;
/// A valve that lets the water go at its top does so this far above its shank.
pub(super) const OUTLET_OVER_SHANK_MM: f64 = 10.0;
/// No hole in the side is lower than this: its fitting needs flat wall round it.
const LOWEST_HOLE_MM: f64 = 50.0;
/// Holes in one side stand so far apart that the backnuts of 22 mm connectors, some 50 mm across (from memory), pass one
/// another, as long as the cistern is high enough.
const HOLES_APART_MM: f64 = 60.0;
/// Between one upright pipe or vessel and the next, room for elbows and hands.
const WARNING_BESIDE_PLATFORM_MM: f64 = 120.0;
const MAIN_BESIDE_PLATFORM_MM: f64 = 260.0;
const VENT_BESIDE_PLATFORM_MM: f64 = 20.0;
const FEED_BESIDE_DISTRIBUTION_MM: f64 = 100.0;
const SHOWER_BESIDE_DISTRIBUTION_MM: f64 = 60.0;
const FEED_BESIDE_SHOWER_MM: f64 = 60.0;
const CYLINDER_BESIDE_FEED_MM: f64 = 160.0;
const VENT_BESIDE_CYLINDER_MM: f64 = 100.0;
const HOT_BESIDE_VENT_MM: f64 = 150.0;
const BOILER_BESIDE_HOT_MM: f64 = 200.0;
/// How much further than asked the vent is led aside: its elbows count for nothing.
const OFFSET_EASE_MM: f64 = 75.0;
/// The vent goes over at least so far above its mouth.
const VENT_OVER_MOUTH_MM: f64 = 100.0;
/// The vent's mouth stays so far inside the cistern's sides.
const MOUTH_INSIDE_MM: f64 = 120.0;
/// A boiler hangs on the wall so high over the lowest floor.
pub(super) const BOILER_BASE_MM: f64 = 900.0;

/// A stretch across the section.
#[derive(Clone, Copy)]
pub(super) struct Extent {
    pub left_mm: f64,
    pub right_mm: f64,
}

impl Extent {
    pub(super) fn length_mm(self) -> f64 {
        self.right_mm - self.left_mm
    }

    fn middle_mm(self) -> f64 {
        f64::midpoint(self.left_mm, self.right_mm)
    }
}

/// An outlet with its place.
pub(super) struct Placed {
    pub draw: Draw,
    pub at: Point,
}

impl Placed {
    /// Where pipes come to it, across.
    fn mouths_mm(&self) -> impl Iterator<Item = f64> {
        let outlet = Outlet::new(Id::of("outlet"), self.draw.kind, self.at);
        [HOT, COLD].into_iter().filter_map(move |side| Some(PartRef::Outlet(&outlet).port(side)?.x.to_mm()))
    }
}

/// Where everything stands.
pub(super) struct Positions {
    pub house: House,
    pub footing: Footing,
    /// Level of the cistern's base, which is the platform's upper face.
    pub base_mm: f64,
    /// How far the platform stands above bearers laid on the joists.
    pub raised_mm: f64,
    pub inside: Inside,
    pub beside: Beside,
    pub left: LeftWays,
    pub vent_end: VentEnd,
    /// Levels at which cold and hot pipes run along.
    pub cold_level_mm: f64,
    pub hot_level_mm: f64,
    pub shower_cold_level_mm: f64,
    pub shower_hot_level_mm: f64,
    /// Outlets in order from the right.
    pub outlets: Vec<Placed>,
}

/// What of the places cannot be, with the mm that are missing.
pub(super) enum Missing {
    /// Everything side by side is wider than the house.
    Width,
    /// The vent would go through the roof.
    Vent(f64),
    /// The platform is deeper than the span of the joists.
    Span(f64),
    /// Between joists and rafters the warning pipe has no room to get out.
    Eaves(f64),
}

/// Levels of the house, and its outline.
pub(super) struct House {
    /// From the lowest up.
    pub floors_mm: Vec<f64>,
    pub ceiling_mm: f64,
    pub joist_top_mm: f64,
    /// Wall to wall outside.
    pub width_mm: f64,
    pub ridge_x_mm: f64,
    pub ridge_level_mm: f64,
    pub eaves_level_mm: f64,
}

impl House {
    fn of(answers: &Answers) -> Self {
        let floors_mm: Vec<f64> = (0..answers.storeys).map(|storey| f64::from(storey) * (ROOM_MM + FLOOR_MM)).collect();
        let ceiling_mm = floors_mm[floors_mm.len() - 1] + ROOM_MM;
        let joist_top_mm = ceiling_mm + CEILING_BOARD_MM + answers.joists.depth.to_mm();
        let width_mm = answers.loft.width.to_mm();
        Self {
            floors_mm,
            ceiling_mm,
            joist_top_mm,
            width_mm,
            ridge_x_mm: width_mm / 2.0,
            ridge_level_mm: joist_top_mm + answers.loft.ridge.to_mm(),
            eaves_level_mm: joist_top_mm + answers.loft.eaves.to_mm(),
        }
    }

    /// The floor of a storey; one that is not there counts as the highest.
    pub(super) fn floor_mm(&self, storey: u32) -> f64 {
        let highest = self.floors_mm.len() - 1;
        self.floors_mm[usize::try_from(storey).unwrap_or(0).min(highest)]
    }

    /// What the roof climbs for each mm across.
    pub(super) fn slope(&self) -> f64 {
        (self.ridge_level_mm - self.eaves_level_mm) / self.ridge_x_mm
    }

    /// Level of the underside of the roof, over the eaves as well.
    pub(super) fn roof_mm(&self, x_mm: f64) -> f64 {
        let share = 1.0 - (x_mm - self.ridge_x_mm).abs() / self.ridge_x_mm;
        self.eaves_level_mm + (self.ridge_level_mm - self.eaves_level_mm) * share
    }

    fn outlet_level_mm(&self, draw: &Draw) -> f64 {
        self.floor_mm(draw.storey) + draw.kind.usual_height_mm()
    }

    fn cylinder_base_mm(&self, answers: &Answers) -> f64 {
        self.floor_mm(answers.cylinder.storey) + PLINTH_MM
    }

    /// Level at which pipes run along to the outlets that they serve: under the floor of the highest of these, or on
    /// the wall where all are on the lowest.
    fn along_mm(&self, answers: &Answers, is_served: impl Fn(OutletKind) -> bool, up_mm: f64) -> f64 {
        let storeys = answers.outlets.iter().filter(|draw| is_served(draw.kind)).map(|draw| draw.storey);
        match storeys.max() {
            None | Some(0) => up_mm,
            Some(storey) => self.floor_mm(storey) - FLOOR_MM / 2.0 + up_mm - 80.0,
        }
    }
}

/// What the cistern stands on, and over which joists.
pub(super) struct Footing {
    pub cistern: Extent,
    pub platform: Extent,
    /// Front to back.
    pub platform_depth_mm: f64,
    pub first_joist_mm: f64,
    pub joist_count: u32,
}

impl Footing {
    fn of(answers: &Answers, choices: &Choices, limits: &Limits, house: &House) -> Self {
        let cistern = cistern_across(choices, limits, house);
        let overhang_mm = limits.asks("platform-overhang-too-small");

        let spacing_mm = answers.joists.spacing.to_mm();
        let first_joist_mm = WALL_MM + FIRST_JOIST_MM;
        let further_joists = ((house.width_mm - 2.0 * first_joist_mm) / spacing_mm).floor().max(0.0);
        let first_used = ((cistern.middle_mm() - first_joist_mm) / spacing_mm - f64::from(choices.joists - 1) / 2.0)
            .round()
            .max(0.0);
        let first_used_mm = first_joist_mm + first_used * spacing_mm;
        let last_used_mm = first_used_mm + f64::from(choices.joists - 1) * spacing_mm;
        Self {
            cistern,
            platform: Extent {
                left_mm: (cistern.left_mm - overhang_mm - EASE_MM).min(first_used_mm - BEYOND_JOIST_MM),
                right_mm: (cistern.right_mm + overhang_mm + EASE_MM).max(last_used_mm + BEYOND_JOIST_MM),
            },
            platform_depth_mm: choices.cistern.width.to_mm() + 2.0 * (overhang_mm + EASE_MM),
            first_joist_mm,
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "a count of joists in a house"
            )]
            joist_count: further_joists as u32 + 1,
        }
    }
}

/// The cistern below the ridge. The side away from the float valve wants more room: it goes nearer to the ridge.
fn cistern_across(choices: &Choices, limits: &Limits, house: &House) -> Extent {
    let length_mm = choices.cistern.length.to_mm();
    let more_mm = limits.asks("headroom-too-low-opposite") - limits.asks("headroom-too-low-at-float-valve");
    let slope = house.slope();
    let aside_mm = if slope > 0.0 { (more_mm / (2.0 * slope)).clamp(0.0, length_mm / 4.0) } else { 0.0 };
    let left_mm = (house.ridge_x_mm - length_mm / 2.0 - aside_mm).round();
    Extent { left_mm, right_mm: left_mm + length_mm }
}

/// Level of a platform whose bearers lie on the joists.
fn laid_mm(choices: &Choices, house: &House) -> f64 {
    house.joist_top_mm + choices.bearer_mm + choices.board_mm
}

/// Level of the cistern's base: on the joists, or as high over cylinder and showers as is asked.
fn base_mm(answers: &Answers, choices: &Choices, limits: &Limits, house: &House) -> f64 {
    let cylinder_top_mm = house.cylinder_base_mm(answers) + choices.cylinder.height.to_mm();
    let over_cylinder_mm = cylinder_top_mm + limits.asks("cylinder-too-near-cistern");
    let showers = answers.outlets.iter().filter(|draw| draw.kind == OutletKind::Shower);
    let over_roses_mm =
        showers.map(|draw| house.outlet_level_mm(draw) + limits.asks("shower-head-too-small")).fold(f64::MIN, f64::max);
    laid_mm(choices, house).max(over_cylinder_mm).max(over_roses_mm).ceil()
}

/// Heights in the cistern over its base.
pub(super) struct Inside {
    pub water_line_mm: f64,
    pub overflow_mm: f64,
    /// Where the float valve goes through the side, and where it lets the water go.
    pub shank_mm: f64,
    pub float_outlet_mm: f64,
    pub feed_port_mm: f64,
    /// Of the cold pipe that taps share, where there is one.
    pub distribution_port_mm: Option<f64>,
    /// Of the cold pipe that showers have to themselves, where there is one.
    pub shower_port_mm: Option<f64>,
}

impl Inside {
    fn of(answers: &Answers, choices: &Choices, limits: &Limits) -> Self {
        let height_mm = choices.cistern.height.to_mm();
        let supply_bore = crate::catalogue::TubeMaterial::Copper.bore(crate::units::Size::mm(MAIN_MM));
        let supply_bore_mm = supply_bore.map_or(MAIN_MM, crate::units::Size::to_mm);
        let water_line_mm = choices.cistern.water_line_mm().ceil();
        let half_bore_mm = choices.warning_mm / 2.0;
        let overflow_mm = water_line_mm + limits.asks("water-line-too-near-overflow") + half_bore_mm + EASE_MM;
        let gap_mm =
            limits.asks("float-valve-too-near-overflow").max(limits.asks_of("air-gap-too-small", supply_bore_mm));
        let least_outlet_mm = overflow_mm + gap_mm + EASE_MM;
        let float_outlet_mm =
            (height_mm - OUTLET_BELOW_RIM_MM).max(least_outlet_mm).min(height_mm - LEAST_BELOW_RIM_MM);

        // From the lowest up: the shared cold pipe, the showers' own, and the feed above both.
        let lowest_mm = limits.asks("side-outlet-too-low").max(LOWEST_HOLE_MM);
        let apart_mm = HOLES_APART_MM.min(water_line_mm / 4.0).max(limits.asks("cold-feed-too-low") + EASE_MM);
        let is_shared = answers.outlets.iter().any(|draw| shares_stored_cold(answers, draw.kind));
        let distribution_port_mm = is_shared.then_some(lowest_mm);
        let above_mm = |below: Option<f64>| below.map_or(lowest_mm, |below_mm| below_mm + apart_mm);
        let shower_port_mm = showers_have_own_pipes(answers).then(|| above_mm(distribution_port_mm));
        let feed_port_mm = above_mm(shower_port_mm.or(distribution_port_mm));

        Self {
            water_line_mm,
            overflow_mm,
            shank_mm: float_outlet_mm - OUTLET_OVER_SHANK_MM,
            float_outlet_mm,
            feed_port_mm,
            distribution_port_mm,
            shower_port_mm,
        }
    }
}

/// Where the cold distribution goes down.
fn distribution_x_mm(platform: Extent) -> f64 {
    platform.right_mm + CLEAR_MM
}

/// Places across the section of what stands and runs beside the cistern.
pub(super) struct Beside {
    pub main_x_mm: f64,
    pub warning_x_mm: f64,
    pub distribution_x_mm: f64,
    /// Where the showers' own cold pipe goes down, if they have one.
    pub shower_cold_x_mm: f64,
    pub feed_x_mm: f64,
    pub cylinder: Extent,
    pub cylinder_base_mm: f64,
    /// Where the showers' own hot pipe leaves the draw-off, if they have one: between the cylinder and the vent.
    pub shower_hot_x_mm: f64,
    pub vent_x_mm: f64,
    pub hot_x_mm: f64,
    /// The left side of the boiler, where there is one.
    pub boiler_x_mm: Option<f64>,
}

impl Beside {
    fn of(
        (answers, choices, limits): (&Answers, &Choices, &Limits),
        house: &House,
        platform: Extent,
        outlets: &[Placed],
    ) -> Self {
        let distribution_x_mm = distribution_x_mm(platform);
        let shower_cold_x_mm = distribution_x_mm + SHOWER_BESIDE_DISTRIBUTION_MM;
        let feed_x_mm = if showers_have_own_pipes(answers) {
            shower_cold_x_mm + FEED_BESIDE_SHOWER_MM
        } else {
            distribution_x_mm + FEED_BESIDE_DISTRIBUTION_MM
        };
        let diameter_mm = choices.cylinder.diameter.to_mm();
        let left_mm = feed_x_mm + CYLINDER_BESIDE_FEED_MM;
        let cylinder = Extent { left_mm, right_mm: left_mm + diameter_mm };
        let offset_mm = limits.asks("vent-offset-too-short");
        let vent_x_mm =
            cylinder.middle_mm() + (offset_mm + OFFSET_EASE_MM).max(diameter_mm / 2.0 + VENT_BESIDE_CYLINDER_MM);
        let hot_x_mm = vent_x_mm + HOT_BESIDE_VENT_MM;
        let boiler_x_mm = (answers.cylinder.heated == super::Heating::Indirect).then(|| {
            let right_of_all_mm = hot_x_mm + BOILER_BESIDE_HOT_MM;
            let fits = right_of_all_mm + BOILER_LENGTH_MM <= house.width_mm - WALL_MM - CLEAR_MM;
            if fits || answers.cylinder.storey == 0 { right_of_all_mm } else { cylinder.left_mm }
        });
        let warning_x_mm = platform.left_mm - WARNING_BESIDE_PLATFORM_MM;
        let uprights_mm: Vec<f64> = outlets.iter().flat_map(Placed::mouths_mm).collect();
        let room = Extent { left_mm: WALL_MM + CLEAR_MM, right_mm: warning_x_mm - CLEAR_MM };
        Self {
            main_x_mm: clear_of(&uprights_mm, platform.left_mm - MAIN_BESIDE_PLATFORM_MM, room),
            warning_x_mm,
            distribution_x_mm,
            shower_cold_x_mm,
            feed_x_mm,
            cylinder,
            cylinder_base_mm: house.cylinder_base_mm(answers),
            shower_hot_x_mm: f64::midpoint(cylinder.right_mm + BACK_BESIDE_COIL_MM, vent_x_mm),
            vent_x_mm,
            hot_x_mm,
            boiler_x_mm,
        }
    }

    fn rightmost_mm(&self) -> f64 {
        self.boiler_x_mm.map_or(self.hot_x_mm, |x_mm| self.hot_x_mm.max(x_mm + BOILER_LENGTH_MM))
    }
}

/// How the vent comes to its end over the cistern.
pub(super) struct VentEnd {
    /// Where it turns up beside the cistern.
    pub up_x_mm: f64,
    pub mouth_x_mm: f64,
    pub mouth_level_mm: f64,
    /// The crest of the vent as it goes over into the cistern.
    pub crest_mm: f64,
}

impl VentEnd {
    /// Its mouth is clear of what is in the cistern and no higher than that asks, so that it lies under the lid; its crest
    /// is as far above the water as its head asks.
    fn of(
        (choices, limits): (&Choices, &Limits),
        house: &House,
        footing: &Footing,
        inside: &Inside,
        (base_mm, cylinder_base_mm): (f64, f64),
    ) -> Self {
        let highest_mm = inside.float_outlet_mm.max(inside.overflow_mm);
        let clear_mm = limits.asks_of("vent-mouth-too-near", choices.vent_mm);
        let mouth_level_mm = (base_mm + highest_mm + clear_mm + EASE_MM).ceil();
        let water_mm = base_mm + inside.water_line_mm;
        let above_water_mm = water_mm + limits.asks_of("vent-too-low", water_mm - cylinder_base_mm) + EASE_MM;
        let rim_mm = base_mm + choices.cistern.height.to_mm();
        Self {
            crest_mm: (mouth_level_mm + VENT_OVER_MOUTH_MM).max(rim_mm + CLEAR_MM).max(above_water_mm.ceil()),
            up_x_mm: footing.platform.right_mm + VENT_BESIDE_PLATFORM_MM,
            mouth_x_mm: house
                .ridge_x_mm
                .clamp(footing.cistern.left_mm + MOUTH_INSIDE_MM, footing.cistern.right_mm - MOUTH_INSIDE_MM),
            mouth_level_mm,
        }
    }

    /// Where it turns down over its mouth, having climbed all the way.
    pub(super) fn over_mouth_mm(&self) -> f64 {
        self.crest_mm + 15.0
    }
}

impl Positions {
    /// Whether the platform stands on a frame over its bearers; what is less is packed.
    pub(super) fn on_frame(&self) -> bool {
        self.raised_mm > LEAST_FRAME_MM
    }

    pub(super) fn of(answers: &Answers, choices: &Choices, limits: &Limits) -> (Self, Vec<Missing>) {
        let house = House::of(answers);
        let footing = Footing::of(answers, choices, limits, &house);
        let base_mm = base_mm(answers, choices, limits, &house);
        let inside = Inside::of(answers, choices, limits);
        let outlets = spread(answers, &house, distribution_x_mm(footing.platform));
        let beside = Beside::of((answers, choices, limits), &house, footing.platform, &outlets);
        let bases_mm = (base_mm, beside.cylinder_base_mm);
        let positions = Self {
            base_mm,
            raised_mm: base_mm - laid_mm(choices, &house),
            vent_end: VentEnd::of((choices, limits), &house, &footing, &inside, bases_mm),
            left: LeftWays::of(choices, &house, footing.cistern, &beside, (base_mm, &inside)),
            cold_level_mm: house.along_mm(answers, |kind| shares_stored_cold(answers, kind), 110.0),
            hot_level_mm: house.along_mm(answers, |kind| kind != OutletKind::Wc && !has_own_pipes(answers, kind), 50.0),
            shower_cold_level_mm: house.along_mm(answers, |kind| kind == OutletKind::Shower, 140.0),
            shower_hot_level_mm: house.along_mm(answers, |kind| kind == OutletKind::Shower, 20.0),
            outlets,
            house,
            footing,
            inside,
            beside,
        };
        let missing = positions.missing(answers);
        (positions, missing)
    }

    fn missing(&self, answers: &Answers) -> Vec<Missing> {
        let mut missing = Vec::new();
        let on_the_right_mm = self.beside.rightmost_mm() + CLEAR_MM - (self.house.width_mm - WALL_MM);
        let on_the_left_mm = WALL_MM + CLEAR_MM - self.beside.main_x_mm;
        if on_the_right_mm > 0.0 || on_the_left_mm > 0.0 {
            missing.push(Missing::Width);
        }
        let vent = &self.vent_end;
        let under_roof = [(vent.up_x_mm, vent.crest_mm), (vent.mouth_x_mm, vent.over_mouth_mm())];
        let through_mm = under_roof
            .map(|(x_mm, level_mm)| level_mm + CLEAR_MM - self.house.roof_mm(x_mm))
            .into_iter()
            .fold(0.0, f64::max);
        if through_mm > 0.0 {
            missing.push(Missing::Vent(through_mm));
        }
        if self.left.missing_mm > 0.0 {
            missing.push(Missing::Eaves(self.left.missing_mm));
        }
        let short_mm = self.footing.platform_depth_mm + 2.0 * CLEAR_MM - answers.joists.span.to_mm();
        if short_mm > 0.0 {
            missing.push(Missing::Span(short_mm));
        }
        missing
    }
}

/// Outlets from right to left below the cistern, so that no two pipes lie in one line.
fn spread(answers: &Answers, house: &House, distribution_x_mm: f64) -> Vec<Placed> {
    let (from_mm, to_mm) = (distribution_x_mm - 420.0, WALL_MM + 450.0);
    let gaps = u32::try_from(answers.outlets.len()).unwrap_or(1).max(2) - 1;
    let step_mm = (from_mm - to_mm) / f64::from(gaps);
    let mut x_mm = from_mm;
    let place = |draw: &Draw| {
        let placed = Placed { draw: *draw, at: Point::mm(x_mm.round(), house.outlet_level_mm(draw)) };
        x_mm -= step_mm;
        placed
    };
    answers.outlets.iter().map(place).collect()
}
