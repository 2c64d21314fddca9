//! Where everything stands: levels and places worked out from the answers, the choices and the limits.

use super::answers::{Answers, Draw};
use super::choices::{Choices, feeds_taps, stored_cold};
use super::limits::Limits;
use super::pipes::{MAIN_MM, VENT_MM};
use crate::layout::OutletKind;

/// A usual room and a usual floor (common practice, no source).
const ROOM_MM: f64 = 2400.0;
const FLOOR_MM: f64 = 200.0;
pub(super) const CEILING_BOARD_MM: f64 = 12.5;
pub(super) const WALL_MM: f64 = 250.0;
/// The cylinder stands on a board this high over its floor.
const PLINTH_MM: f64 = 100.0;
/// Pipes keep so far from what they pass.
const CLEAR_MM: f64 = 60.0;
/// How much more room than asked is left where it costs nothing.
const EASE_MM: f64 = 5.0;
pub(super) const BOILER_LENGTH_MM: f64 = 400.0;

/// Levels and places in section millimetres.
pub(super) struct Positions {
    pub floors: Vec<f64>,
    pub ceiling: f64,
    pub joist_top: f64,
    /// Wall to wall outside.
    pub width: f64,
    pub ridge: (f64, f64),
    pub eaves: f64,
    pub first_joist: f64,
    pub joist_count: u32,
    /// Platform under the cistern: left, right, upper face; front to back.
    pub platform: (f64, f64),
    pub platform_depth: f64,
    pub base: f64,
    /// How far the platform stands above bearers laid on the joists.
    pub raised: f64,
    pub cistern: (f64, f64),
    pub water_line: f64,
    pub overflow: f64,
    pub float_outlet: f64,
    pub feed_port: f64,
    pub distribution_port: f64,
    pub feed_x: f64,
    pub distribution_x: f64,
    pub main_x: f64,
    pub warning_x: f64,
    pub cylinder: (f64, f64),
    pub cylinder_base: f64,
    pub vent_x: f64,
    pub hot_x: f64,
    /// Where the vent turns up beside the cistern, where it ends over it, and the level of its mouth.
    pub vent_up_x: f64,
    pub mouth: (f64, f64),
    pub boiler: Option<(f64, f64)>,
    /// Levels at which cold and hot pipes run along.
    pub cold_level: f64,
    pub hot_level: f64,
    /// Outlets in order from the right, each with its place.
    pub outlets: Vec<(Draw, f64, f64)>,
}

/// What of the places cannot be, with the mm that are missing.
pub(super) enum Missing {
    /// Everything side by side is wider than the house.
    Width,
    /// The vent would go through the roof.
    Vent(f64),
    /// The platform is deeper than the span of the joists.
    Span(f64),
}

/// Height of an outlet over its floor, mm.
const fn height_mm(kind: OutletKind) -> f64 {
    kind.usual_height_mm()
}

/// What the cistern stands on, and over which joists.
struct Footing {
    cistern: (f64, f64),
    platform: (f64, f64),
    platform_depth: f64,
    first_joist: f64,
    joist_count: f64,
}

impl Footing {
    fn of(answers: &Answers, choices: &Choices, limits: &Limits, ridge_x: f64, slope: f64) -> Self {
        let (length, depth) = (choices.cistern.length.to_mm(), choices.cistern.width.to_mm());
        let overhang = limits.asks("platform-overhang-too-small", 0.0);
        // The side away from the float valve wants more room: it goes nearer to the ridge.
        let more = limits.asks("headroom-too-low-opposite", 0.0) - limits.asks("headroom-too-low-at-float-valve", 0.0);
        let aside = if slope > 0.0 { (more / (2.0 * slope)).clamp(0.0, length / 4.0) } else { 0.0 };
        let left = (ridge_x - length / 2.0 - aside).round();
        let cistern = (left, left + length);

        let spacing = answers.joists.spacing.to_mm();
        let first_joist = WALL_MM + 50.0;
        let joist_count = ((answers.loft.width.to_mm() - 2.0 * first_joist) / spacing).floor().max(0.0);
        let edge = 50.0;
        let least_first = ((f64::midpoint(cistern.0, cistern.1) - first_joist) / spacing
            - f64::from(choices.joists - 1) / 2.0)
            .round()
            .max(0.0);
        let first_under = first_joist + least_first * spacing;
        let last_under = first_under + f64::from(choices.joists - 1) * spacing;
        let platform = (
            (cistern.0 - overhang - EASE_MM).min(first_under - edge),
            (cistern.1 + overhang + EASE_MM).max(last_under + edge),
        );
        let platform_depth = depth + 2.0 * (overhang + EASE_MM);
        Self { cistern, platform, platform_depth, first_joist, joist_count }
    }
}

/// Heights in the cistern over its base, mm.
struct Inside {
    water_line: f64,
    overflow: f64,
    float_outlet: f64,
    feed_port: f64,
    distribution_port: f64,
}

impl Inside {
    fn of(answers: &Answers, choices: &Choices, limits: &Limits) -> Self {
        let height = choices.cistern.height.to_mm();
        let supply_bore = crate::catalogue::TubeMaterial::Copper.bore(crate::units::Size::mm(MAIN_MM));
        let supply_bore = supply_bore.map_or(MAIN_MM, crate::units::Size::to_mm);
        let water_line = choices.cistern.water_line_mm().ceil();
        let half_bore = choices.warning_mm / 2.0;
        let overflow = water_line + limits.asks("water-line-too-near-overflow", 0.0) + half_bore + EASE_MM;
        let gap = limits.asks("float-valve-too-near-overflow", 0.0).max(limits.asks("air-gap-too-small", supply_bore));
        let least_outlet = overflow + gap + EASE_MM;
        let float_outlet = (height - 70.0).max(least_outlet).min(height - 20.0);

        let distribution_port = limits.asks("side-outlet-too-low", 0.0).max(50.0);
        let feed_port = if feeds_taps(answers) {
            distribution_port + limits.asks("cold-feed-too-low", 0.0) + EASE_MM
        } else {
            distribution_port
        };

        Self { water_line, overflow, float_outlet, feed_port, distribution_port }
    }
}

impl Positions {
    pub(super) fn of(answers: &Answers, choices: &Choices, limits: &Limits) -> (Self, Vec<Missing>) {
        let storeys = usize::try_from(answers.storeys).unwrap_or(1);
        let floors: Vec<f64> = (0..answers.storeys).map(|storey| f64::from(storey) * (ROOM_MM + FLOOR_MM)).collect();
        let floor = |storey: u32| floors[usize::try_from(storey).unwrap_or(0).min(storeys - 1)];
        let ceiling = floors[storeys - 1] + ROOM_MM;
        let joist_top = ceiling + CEILING_BOARD_MM + answers.joists.depth.to_mm();
        let width = answers.loft.width.to_mm();
        let ridge = (width / 2.0, joist_top + answers.loft.ridge.to_mm());
        let eaves = joist_top + answers.loft.eaves.to_mm();
        let slope = (ridge.1 - eaves) / ridge.0;

        let Footing { cistern, platform, platform_depth, first_joist, joist_count } =
            Footing::of(answers, choices, limits, ridge.0, slope);

        let cylinder_base = floor(answers.cylinder.storey) + PLINTH_MM;
        let cylinder_top = cylinder_base + choices.cylinder.height.to_mm();
        let outlet_level = |draw: &Draw| floor(draw.storey) + height_mm(draw.kind);
        let roses = answers.outlets.iter().filter(|draw| draw.kind == OutletKind::Shower).map(outlet_level);
        let over_roses = roses.map(|rose| rose + limits.asks("shower-head-too-small", 0.0)).fold(f64::MIN, f64::max);
        let laid = joist_top + choices.bearer_mm + choices.board_mm;
        let base = laid.max(cylinder_top + limits.asks("cylinder-too-near-cistern", 0.0)).max(over_roses).ceil();

        let inside = Inside::of(answers, choices, limits);

        let distribution_x = platform.1 + CLEAR_MM;
        let feed_x = distribution_x + 100.0;
        let diameter = choices.cylinder.diameter.to_mm();
        let cylinder = (feed_x + 160.0, feed_x + 160.0 + diameter);
        let offset = limits.asks("vent-offset-too-short", 0.0);
        let vent_x = f64::midpoint(cylinder.0, cylinder.1) + (offset + 75.0).max(diameter / 2.0 + 100.0);
        let hot_x = vent_x + 150.0;
        let main_x = platform.0 - 260.0;

        let head = base + inside.water_line - cylinder_base;
        let above_fittings =
            base + inside.float_outlet.max(inside.overflow) + limits.asks("vent-mouth-too-near", VENT_MM);
        let mouth_level = (base + inside.water_line + limits.asks("vent-too-low", head)).max(above_fittings) + EASE_MM;
        let mouth_x = ridge.0.clamp(cistern.0 + 120.0, cistern.1 - 120.0);
        let vent_up_x = platform.1 + 20.0;

        let boiler = (answers.cylinder.heated == super::Heating::Indirect).then(|| {
            let beside = hot_x + 200.0;
            if beside + BOILER_LENGTH_MM <= width - WALL_MM - CLEAR_MM || answers.cylinder.storey == 0 {
                (beside, 900.0)
            } else {
                (cylinder.0, 900.0)
            }
        });
        let rightmost = boiler.map_or(hot_x, |(x, _)| hot_x.max(x + BOILER_LENGTH_MM));

        let along = |stored: &dyn Fn(OutletKind) -> bool, up: f64| {
            let storeys = answers.outlets.iter().filter(|draw| stored(draw.kind)).map(|draw| draw.storey);
            match storeys.max() {
                None | Some(0) => up,
                Some(storey) => floor(storey) - FLOOR_MM / 2.0 + up - 80.0,
            }
        };
        let cold_level = along(&|kind| stored_cold(answers, kind), 110.0);
        let hot_level = along(&|kind| kind != OutletKind::Wc, 50.0);
        let mut positions = Self {
            ceiling,
            joist_top,
            width,
            ridge,
            eaves,
            first_joist,
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "a count of joists in a house"
            )]
            joist_count: joist_count as u32 + 1,
            platform,
            platform_depth,
            base,
            raised: base - laid,
            cistern,
            water_line: inside.water_line,
            overflow: inside.overflow,
            float_outlet: inside.float_outlet,
            feed_port: inside.feed_port,
            distribution_port: inside.distribution_port,
            feed_x,
            distribution_x,
            main_x,
            warning_x: platform.0 - 120.0,
            cylinder,
            cylinder_base,
            vent_x,
            hot_x,
            vent_up_x,
            mouth: (mouth_x, mouth_level.ceil()),
            boiler,
            cold_level,
            hot_level,
            outlets: Vec::new(),
            floors: floors.clone(),
        };
        positions.outlets = positions.spread(answers, &outlet_level);
        let missing = positions.missing(answers, rightmost);
        (positions, missing)
    }

    /// Outlets from right to left below the cistern, so that no two pipes lie in one line.
    fn spread(&self, answers: &Answers, level: &dyn Fn(&Draw) -> f64) -> Vec<(Draw, f64, f64)> {
        let (from, to) = (self.distribution_x - 420.0, WALL_MM + 450.0);
        let gaps = u32::try_from(answers.outlets.len()).unwrap_or(1).max(2) - 1;
        let step = (from - to) / f64::from(gaps);
        let mut at = from;
        let place = |draw: &Draw| {
            let placed = (*draw, at.round(), level(draw));
            at -= step;
            placed
        };
        answers.outlets.iter().map(place).collect()
    }

    /// Level of the underside of the roof.
    fn roof_mm(&self, x: f64) -> f64 {
        let share = 1.0 - (x - self.ridge.0).abs() / self.ridge.0;
        self.eaves + (self.ridge.1 - self.eaves) * share
    }

    /// The crest of the vent as it goes over into the cistern.
    pub(super) fn crest(&self) -> f64 {
        self.mouth.1 + 100.0
    }

    /// Where it turns down over its mouth, having climbed all the way.
    pub(super) fn over_mouth(&self) -> f64 {
        self.crest() + 15.0
    }

    fn missing(&self, answers: &Answers, rightmost: f64) -> Vec<Missing> {
        let mut missing = Vec::new();
        let on_the_right = rightmost + CLEAR_MM - (self.width - WALL_MM);
        let on_the_left = WALL_MM + CLEAR_MM - self.main_x;
        if on_the_right > 0.0 || on_the_left > 0.0 {
            missing.push(Missing::Width);
        }
        let under_roof = [(self.vent_up_x, self.crest()), (self.mouth.0, self.over_mouth())];
        let through = under_roof.map(|(x, level)| level + CLEAR_MM - self.roof_mm(x)).into_iter().fold(0.0, f64::max);
        if through > 0.0 {
            missing.push(Missing::Vent(through));
        }
        let short = self.platform_depth + 2.0 * CLEAR_MM - answers.joists.span.to_mm();
        if short > 0.0 {
            missing.push(Missing::Span(short));
        }
        missing
    }
}
