//! What the loft does to each cistern: a summer's day, and a night of frost.

use std::cmp::Ordering;

use super::conditions::{Condition, Grounds, Outcome, Reckoned};
use super::day::{Day, Moment, hours_above, peak_c};
use super::frost::{FUSION_J_KG, HALF};
use super::lumped;
use super::stretch::loft_floor_mm;
use crate::catalogue::Insulant;
use crate::layout::{Cistern, CisternRole, Climate, Id, Lid};
use crate::measure::{Beneath, Site, find_out, water_volume_l};
use crate::units::Temperature;

/// Above this temperature stored water grows unsafe: water-industry guidance (seen).
pub const WARM_C: f64 = 20.0;
/// Film outside a cistern, W/(m² K); from memory.
const FILM_W_M2_K: f64 = 9.0;
/// Resistance of the still air between water and a close lid, m² K/W: ISO 6946, unventilated layer, from memory.
const AIR_UNDER_LID_M2_K_W: f64 = 0.16;
/// The board that a cistern stands on, m² K/W: 18 mm of ply at 0.13 W/(m K), from memory.
const BOARD_M2_K_W: f64 = 0.018 / 0.13;
/// From the board through the ceiling to the room, m² K/W: still air 0.16, plasterboard 0.0125/0.21, film 0.10; from memory.
const CEILING_M2_K_W: f64 = 0.16 + 0.0125 / 0.21 + 0.10;

/// What heat and cold do to a cistern.
#[derive(Debug, Clone, PartialEq)]
pub struct CisternWarmth {
    /// The cistern.
    pub id: Id,
    /// What it is for.
    pub role: CisternRole,
    /// A hot summer's day among many like it.
    pub summer: Outcome<Summer>,
    /// The warmest that its water has been measured, °C.
    pub told_c: Option<f64>,
    /// A frost.
    pub frost: Outcome<CisternFrost>,
    /// What lies below its base.
    pub beneath: Beneath,
    /// Days in which all its water is drawn once; `None` when the day's draw or the volume is not told.
    pub turned_over_days: Option<f64>,
}

/// A cistern on a hot summer's day.
#[derive(Debug, Clone, PartialEq)]
pub struct Summer {
    /// Warmest that the water gets, °C.
    pub peak_c: f64,
    /// Hours of the day above 20 °C.
    pub warm_h: f64,
    /// What acts on it.
    pub day: Day,
    /// From midnight to midnight.
    pub curve: Vec<Moment>,
}

/// A cistern in a frost.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CisternFrost {
    /// Hours until the water is at 0 °C; `None` when it never gets there.
    pub to_freezing_h: Option<f64>,
    /// Hours until half of the water is ice, the ice taken to keep nothing warm; `None` when it never gets there.
    pub to_half_ice_h: Option<f64>,
    /// Hours that the frost lasts.
    pub lasts_h: f64,
    /// Water when it begins, °C.
    pub begins_c: f64,
    /// What the water tends to, °C.
    pub tends_to_c: f64,
    /// Heat capacity over conductance, h.
    pub time_constant_h: f64,
}

impl CisternFrost {
    /// Whether the water is at 0 °C before the frost ends.
    #[must_use]
    pub fn gives_in(&self) -> bool {
        self.to_freezing_h.is_some_and(|freezing_h| freezing_h < self.lasts_h)
    }

    /// The water through the frost, hour by hour, until it lasts no longer or is at 0 °C.
    #[must_use]
    pub fn curve(&self) -> Vec<Moment> {
        const STEPS: u32 = 48;
        let until_h = self.to_freezing_h.map_or(self.lasts_h, |freezing_h| freezing_h.min(self.lasts_h));
        let moment = |step: u32| {
            let hour = until_h * f64::from(step) / f64::from(STEPS);
            Moment { hour, celsius: lumped::after_c(self.begins_c, self.tends_to_c, self.time_constant_h, 1.0, hour) }
        };
        (0..=STEPS).map(moment).collect()
    }
}

/// What a cistern exchanges heat with.
struct Exchange {
    litres: f64,
    to_loft_w_k: f64,
    to_room_w_k: f64,
}

impl Exchange {
    fn capacity_j_k(&self) -> f64 {
        self.litres * lumped::WATER_J_KG_K
    }
}

/// Each cistern that stands in the loft; one that the ceiling shows to stand below is none.
pub(super) fn of_all(site: &Site<'_>) -> Vec<CisternWarmth> {
    let floor_mm = loft_floor_mm(site).unwrap_or(f64::NEG_INFINITY);
    let in_loft = |cistern: &&Cistern| cistern.rim().to_mm() > floor_mm;
    site.layout().cisterns.iter().filter(in_loft).map(|cistern| of_one(site, cistern)).collect()
}

fn of_one(site: &Site<'_>, cistern: &Cistern) -> CisternWarmth {
    let climate = &site.layout().climate;
    let litres = water_volume_l(site, cistern).ok().map(|(litres, _)| litres.value);
    let drawn_l = cistern.daily_draw.map(crate::units::Volume::to_litres);
    CisternWarmth {
        told_c: cistern.stored_temperature.map(Temperature::to_celsius),
        id: cistern.id.clone(),
        role: cistern.role,
        beneath: Beneath::of(site, cistern),
        summer: exchange(site, cistern).map(|exchange| summer(climate, cistern, exchange)),
        frost: exchange(site, cistern).map(|exchange| frost(climate, exchange)),
        turned_over_days: litres.zip(drawn_l).map(|(litres, drawn_l)| litres / drawn_l),
    }
}

fn summer(climate: &Climate, cistern: &Cistern, exchange: Reckoned<Exchange>) -> Reckoned<Summer> {
    let mut grounds = Grounds::of(climate);
    let exchange = grounds.with(exchange);
    let told_l = cistern.daily_draw.map(crate::units::Volume::to_litres);
    let drawn_l = match cistern.role {
        CisternRole::Storage => grounds.or_assume(Condition::DailyDraw, told_l),
        // It feeds no tap.
        CisternRole::FeedAndExpansion => told_l.unwrap_or(0.0),
    };
    let (peak, low) = (grounds.take(Condition::LoftPeak), grounds.take(Condition::LoftSummerLow));
    let day = Day {
        capacity_j_k: exchange.capacity_j_k(),
        to_loft_w_k: exchange.to_loft_w_k,
        loft_c: (low.min(peak), peak),
        to_room_w_k: exchange.to_room_w_k,
        // Cut off from the room, the water does not care how warm that is, and nobody need tell.
        room_c: if exchange.to_room_w_k > 0.0 { grounds.take(Condition::RoomSummer) } else { 0.0 },
        drawn_j_k: drawn_l * lumped::WATER_J_KG_K,
        make_up_c: grounds.take(Condition::MainSummer),
    };
    let curve = day.settled();
    grounds.reckon(Summer { peak_c: peak_c(&curve), warm_h: hours_above(&curve, WARM_C), day, curve })
}

fn frost(climate: &Climate, exchange: Reckoned<Exchange>) -> Reckoned<CisternFrost> {
    let mut grounds = Grounds::of(climate);
    let exchange = grounds.with(exchange);
    let loft_c = grounds.take(Condition::LoftWinterLow);
    let room_c = if exchange.to_room_w_k > 0.0 { grounds.take(Condition::Room) } else { 0.0 };
    let begins_c = grounds.take(Condition::MainWinter);
    let whole_w_k = exchange.to_loft_w_k + exchange.to_room_w_k;
    let tends_to_c = (exchange.to_loft_w_k * loft_c + exchange.to_room_w_k * room_c) / whole_w_k;
    let seconds = lumped::until_s(begins_c, 0.0, tends_to_c, exchange.capacity_j_k(), whole_w_k);
    let lasts_h = grounds.take(Condition::FrostLasts);
    // Water that is at 0 °C when the frost begins does not freeze where it gets warmer.
    let to_freezing_h = match begins_c.total_cmp(&0.0) {
        Ordering::Greater => seconds.map(|seconds| seconds / 3600.0),
        Ordering::Equal if tends_to_c > 0.0 => None,
        _ => Some(0.0),
    };
    // Water at 0 °C goes on losing what it lost when it got there: t = x m L / (U (0 − θ)).
    let freezing_s = HALF * exchange.litres * FUSION_J_KG / (whole_w_k * -tends_to_c);
    grounds.reckon(CisternFrost {
        to_freezing_h,
        to_half_ice_h: to_freezing_h.filter(|_| tends_to_c < 0.0).map(|freezing_h| freezing_h + freezing_s / 3600.0),
        lasts_h,
        begins_c,
        tends_to_c,
        time_constant_h: lumped::time_constant_s(exchange.capacity_j_k(), whole_w_k) / 3600.0,
    })
}

/// Conductances through top, wetted sides and base. With insulation missing below and the joists near, the base is joined
/// to the room; otherwise to the loft. Water that touches the cover passes its heat on freely: no film inside.
fn exchange(site: &Site<'_>, cistern: &Cistern) -> Outcome<Exchange> {
    let spoken = cistern.id.with_article();
    let mut grounds = Grounds::of(&site.layout().climate);
    let litres = water_volume_l(site, cistern)?.0.value;
    if litres <= 0.0 {
        return Err(format!("{}: there is no water below it", find_out::water_line(&cistern.id)));
    }
    let width = cistern.width.ok_or_else(|| find_out::front_to_back(&cistern.id))?;
    let (length_m, width_m) = (cistern.length.to_mm() / 1000.0, width.to_mm() / 1000.0);
    let plan_m2 = length_m * width_m;
    let filled_m = cistern.line_above_base().map_or(litres / 1000.0 / plan_m2, |line| line.to_mm() / 1000.0);
    let depth_m = filled_m.clamp(0.0, cistern.height.to_mm() / 1000.0);
    let jacket = cistern.jacket.ok_or_else(|| find_out::JACKET.to_owned())?;
    let lid = cistern.lid.ok_or_else(|| find_out::LID.to_owned())?;
    let is_warmed_below = match Beneath::of(site, cistern) {
        Beneath::Room => true,
        Beneath::Insulation | Beneath::LoftAir(..) | Beneath::OpenAir => false,
        Beneath::Untold(find_out) => return Err(find_out.to_owned()),
    };
    let jacket_m2_k_w = if jacket.sides || jacket.top {
        let thickness = jacket.thickness.ok_or_else(|| format!("measure how thick the jacket of {spoken} is"))?;
        let told = jacket.kind.map(Insulant::conductivity_w_m_k);
        thickness.to_mm() / 1000.0 / grounds.or_assume(Condition::Conductivity, told)
    } else {
        0.0
    };
    let covered = |is_covered: bool| if is_covered { jacket_m2_k_w } else { 0.0 };
    let air_m2_k_w = if lid == Lid::Tight { AIR_UNDER_LID_M2_K_W } else { 0.0 };
    let film_m2_k_w = 1.0 / FILM_W_M2_K;
    let top_w_k = plan_m2 / (film_m2_k_w + covered(jacket.top) + air_m2_k_w);
    let sides_w_k = 2.0 * (length_m + width_m) * depth_m / (film_m2_k_w + covered(jacket.sides));
    let (base_to_loft, base_to_room) = if is_warmed_below {
        (0.0, plan_m2 / (BOARD_M2_K_W + CEILING_M2_K_W))
    } else {
        (plan_m2 / (BOARD_M2_K_W + film_m2_k_w), 0.0)
    };
    Ok(grounds.reckon(Exchange { litres, to_loft_w_k: top_w_k + sides_w_k + base_to_loft, to_room_w_k: base_to_room }))
}
