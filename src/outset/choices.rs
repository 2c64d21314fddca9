//! What is chosen out of what is sold, and how a choice is made stouter when a rule asks for more.

use super::pipes::{MAIN_MM, PRIMARY_MM, VENT_MM};
use super::positions::EASE_MM;
use super::{Answers, CisternFor, Heating, limits::Limits};
use crate::catalogue::{
    self, CisternSize, CylinderSize, FLOAT_VALVE_SEATS_MM, MARINE_PLY_MM, TubeMaterial, bearer_depths_mm,
};
use crate::layout::{OutletKind, Service};
use crate::units::Size;

/// Hot water stored for each person, L (common practice, no source).
const HOT_L_PER_PERSON: f64 = 30.0;
/// Water drawn from the cistern by each person in a day, L: where it feeds taps, and where it feeds the cylinder alone
/// (common practice, no source).
const DRAWN_L_PER_PERSON: (f64, f64) = (120.0, 60.0);

/// Sizes from which the next stouter one is taken, each as it is sold.
const FEED_MM: &[f64] = &[22.0, 28.0, 35.0, 42.0];
const WARNING_MM: &[f64] = &[22.0, 28.0, 35.0];
/// Trunk and branches, as they go together.
const PIPES_MM: &[(f64, f64)] = &[(22.0, 15.0), (28.0, 15.0), (28.0, 22.0), (35.0, 22.0), (42.0, 28.0)];
const LAGGING_MM: &[f64] = &[25.0, 32.0, 40.0, 50.0, 80.0];
const JACKET_MM: &[f64] = &[80.0, 100.0, 150.0];
const FOAM_MM: &[f64] = &[50.0, 80.0, 100.0];
/// From memory.
const COILS: &[Coil] = &[
    Coil { conductance_w_k: 300.0, flow_l_s: 0.25, boiler_kw: 15.0 },
    Coil { conductance_w_k: 450.0, flow_l_s: 0.35, boiler_kw: 20.0 },
    Coil { conductance_w_k: 600.0, flow_l_s: 0.5, boiler_kw: 28.0 },
];
/// A bath, hot taps and stored hot water are so warm where no rule asks otherwise, °C; a servicing valve sits so far before
/// the float valve, and a dip tube ends so far under water, mm; and so many bearers lie below a platform (common practice,
/// no source).
const BATH_CELSIUS: f64 = 46.0;
const HOT_TAP_CELSIUS: f64 = 55.0;
const HOT_STORED_CELSIUS: f64 = 60.0;
const BEFORE_FLOAT_VALVE_MM: f64 = 200.0;
const UNDER_WATER_MM: f64 = 30.0;
const BEARERS: u32 = 3;
const MOST_BEARERS: u32 = 8;
const MOST_JOISTS: u32 = 8;

/// A coil with the flow through it, and the boiler that keeps up with it.
#[derive(Clone, Copy, PartialEq)]
pub(super) struct Coil {
    pub conductance_w_k: f64,
    pub flow_l_s: f64,
    pub boiler_kw: f64,
}

/// Everything that is chosen.
#[derive(Clone)]
pub(super) struct Choices {
    pub cylinder: &'static CylinderSize,
    pub cistern: &'static CisternSize,
    pub feed_mm: f64,
    pub warning_mm: f64,
    pub vent_mm: f64,
    pub trunk_mm: f64,
    pub branch_mm: f64,
    pub lagging_mm: f64,
    /// On what stands full beside a hot cylinder: vent, draw-off and cold feed.
    pub standing_lagging_mm: f64,
    /// On the warning pipe, which stands empty.
    pub empty_lagging_mm: f64,
    pub jacket_mm: f64,
    pub foam_mm: f64,
    pub board_mm: f64,
    pub seat_mm: f64,
    pub lid_mesh_mm: f64,
    pub end_mesh_mm: f64,
    pub bath_celsius: f64,
    pub hot_tap_celsius: f64,
    pub hot_celsius: f64,
    /// From the servicing valve to the float valve.
    pub before_float_valve_mm: f64,
    /// From the water line down to the end of the dip tube.
    pub under_water_mm: f64,
    pub coil: Coil,
    pub bearers: u32,
    pub bearer_mm: f64,
    /// The platform lies over at least so many joists.
    pub joists: u32,
}

/// Litres that cylinder and cistern must hold, and what cannot be had.
pub(super) struct TooLarge {
    pub wanted_l: f64,
    pub greatest_l: f64,
}

impl Choices {
    /// The slightest of everything; the cylinder by the household, and the cistern by the cylinder.
    pub(super) fn first(answers: &Answers, limits: &Limits) -> Result<Self, TooLarge> {
        let cylinder = cylinder_for(answers);
        let held_l = held_l(cylinder, answers.cylinder.heated);
        let taps = feeds_taps(answers);
        let rule = if taps { "storage-too-small-for-taps" } else { "storage-too-small-for-cylinder" };
        let wanted_l = limits.asks(rule).max(limits.asks_of("storage-less-than-cylinder", held_l));
        let sizes = &catalogue::cisterns().sizes;
        let Some(cistern) = sizes.iter().find(|size| size.water.to_litres() >= wanted_l) else {
            let greatest_l = sizes.iter().map(|size| size.water.to_litres()).fold(0.0, f64::max);
            return Err(TooLarge { wanted_l, greatest_l });
        };
        Ok(Self::slightest(cylinder, cistern, limits))
    }

    /// The slightest of everything beside the first cylinder and cistern of their tables.
    pub(super) fn of_usual_sizes(limits: &Limits) -> Self {
        Self::slightest(&catalogue::cylinders().sizes[0], &catalogue::cisterns().sizes[0], limits)
    }

    fn slightest(cylinder: &'static CylinderSize, cistern: &'static CisternSize, limits: &Limits) -> Self {
        Self {
            cylinder,
            cistern,
            feed_mm: FEED_MM[0],
            warning_mm: WARNING_MM[0],
            vent_mm: vent_mm(limits),
            trunk_mm: PIPES_MM[0].0,
            branch_mm: PIPES_MM[0].1,
            lagging_mm: LAGGING_MM[0],
            standing_lagging_mm: LAGGING_MM[0],
            empty_lagging_mm: LAGGING_MM[0],
            jacket_mm: JACKET_MM[0],
            foam_mm: FOAM_MM[0],
            board_mm: MARINE_PLY_MM[0],
            seat_mm: FLOAT_VALVE_SEATS_MM[0],
            lid_mesh_mm: limits.widest_mesh_mm("lid-vent-unscreened"),
            end_mesh_mm: limits.widest_mesh_mm("warning-pipe-unscreened"),
            bath_celsius: limits.most("bath-too-hot", BATH_CELSIUS),
            hot_tap_celsius: HOT_TAP_CELSIUS.max(limits.asks("hot-tap-too-cool")),
            hot_celsius: HOT_STORED_CELSIUS.max(limits.asks("store-too-cool")),
            before_float_valve_mm: (limits.most("float-valve-service-valve-too-far", BEFORE_FLOAT_VALVE_MM + EASE_MM)
                - EASE_MM)
                .max(0.0),
            under_water_mm: UNDER_WATER_MM.max(limits.asks("warning-pipe-dip-tube-too-short") + EASE_MM),
            coil: COILS[0],
            bearers: bearers(limits),
            bearer_mm: bearer_depths_mm().first().copied().unwrap_or(0.0),
            joists: 3,
        }
    }

    /// The tube of a service where nothing asks for a wider one, mm.
    pub(super) const fn tube_mm(&self, service: Service) -> f64 {
        match service {
            Service::RisingMain | Service::PrimaryFeed => MAIN_MM,
            Service::ColdFeed => self.feed_mm,
            Service::OpenVent | Service::PrimaryVent => self.vent_mm,
            Service::WarningPipe => self.warning_mm,
            Service::ColdDistribution | Service::HotDistribution | Service::Link => self.trunk_mm,
            Service::PrimaryFlow | Service::PrimaryReturn => PRIMARY_MM,
        }
    }

    /// Takes the next stouter of whatever would clear a rule that does not hold; whether there is any.
    pub(super) fn stouter_for(&mut self, rule: &str) -> bool {
        match rule {
            "outlet-starved" | "pipe-too-fast" => {
                let now = PIPES_MM.iter().position(|pair| *pair == (self.trunk_mm, self.branch_mm));
                let next = now.and_then(|now| PIPES_MM.get(now + 1));
                next.map(|(trunk, branch)| (self.trunk_mm, self.branch_mm) = (*trunk, *branch)).is_some()
            }
            "vent-draws-air" | "cold-feed-narrower-than-vent" => raise(&mut self.feed_mm, FEED_MM),
            "overflow-cannot-keep-up" | "warning-pipe-too-narrow" => raise(&mut self.warning_mm, WARNING_MM),
            "cistern-fills-too-slowly" => raise(&mut self.seat_mm, &FLOAT_VALVE_SEATS_MM),
            "loft-pipe-freezes-too-soon" => raise(&mut self.lagging_mm, LAGGING_MM),
            "one-pipe-circulation" => raise(&mut self.standing_lagging_mm, LAGGING_MM),
            "cistern-freezes-too-soon" | "cistern-warms-in-summer" => raise(&mut self.jacket_mm, JACKET_MM),
            "cylinder-loses-too-much" => raise(&mut self.foam_mm, FOAM_MM),
            "reheat-too-slow" => {
                let next = COILS.iter().position(|coil| *coil == self.coil).and_then(|now| COILS.get(now + 1));
                next.map(|coil| self.coil = *coil).is_some()
            }
            "joists-too-far-apart" => count(&mut self.bearers, MOST_BEARERS),
            "board-sags" | "board-overstressed" | "platform-board-too-thin" => {
                raise(&mut self.board_mm, &MARINE_PLY_MM) || count(&mut self.bearers, MOST_BEARERS)
            }
            "bearer-sags" | "bearer-overstressed" => {
                count(&mut self.bearers, 5)
                    || raise(&mut self.bearer_mm, &bearer_depths_mm())
                    || count(&mut self.bearers, MOST_BEARERS)
            }
            "joist-sags"
            | "joist-overstressed"
            | "joist-overstressed-in-shear"
            | "too-few-trusses"
            | "truss-node-overloaded" => count(&mut self.joists, MOST_JOISTS),
            _ => false,
        }
    }
}

/// The narrowest tube that is sold and wide enough for a vent, mm; the widest of all where none is.
fn vent_mm(limits: &Limits) -> f64 {
    let wanted_mm = VENT_MM.max(limits.asks("vent-too-narrow"));
    let sold = TubeMaterial::Copper.sizes().into_iter().map(Size::to_mm);
    let (enough, less): (Vec<f64>, Vec<f64>) = sold.partition(|mm| *mm >= wanted_mm);
    enough.into_iter().min_by(f64::total_cmp).or_else(|| less.into_iter().max_by(f64::total_cmp)).unwrap_or(wanted_mm)
}

/// As many as are usual, or as a rule asks, as long as they can be laid.
fn bearers(limits: &Limits) -> u32 {
    let asked = limits.asks("too-few-joists");
    (BEARERS..=MOST_BEARERS).find(|count| f64::from(*count) >= asked).unwrap_or(MOST_BEARERS)
}

fn raise(now: &mut f64, sold: &[f64]) -> bool {
    let next = sold.iter().copied().find(|size| *size > *now);
    next.map(|size| *now = size).is_some()
}

fn count(now: &mut u32, most: u32) -> bool {
    let more = *now < most;
    *now += u32::from(more);
    more
}

/// Whether the cistern feeds anything but the cylinder.
pub(super) fn feeds_taps(answers: &Answers) -> bool {
    answers.outlets.iter().any(|draw| stored_cold(answers, draw.kind))
}

/// Whether showers have hot and cold pipes of their own: where another tap would take their hot or their cold water away.
pub(super) fn showers_have_own_pipes(answers: &Answers) -> bool {
    let takes_away = |kind: OutletKind| match kind {
        OutletKind::Shower => false,
        OutletKind::Wc => answers.cold_taps == CisternFor::ColdTaps,
        _ => true,
    };
    let has_shower = answers.outlets.iter().any(|draw| draw.kind == OutletKind::Shower);
    has_shower && answers.outlets.iter().any(|draw| takes_away(draw.kind))
}

/// Whether an outlet has hot and cold pipes that no other kind of outlet shares.
pub(super) fn has_own_pipes(answers: &Answers, kind: OutletKind) -> bool {
    kind == OutletKind::Shower && showers_have_own_pipes(answers)
}

/// Whether the cold pipe that outlets share comes from the cistern.
pub(super) fn shares_stored_cold(answers: &Answers, kind: OutletKind) -> bool {
    stored_cold(answers, kind) && !has_own_pipes(answers, kind)
}

/// Whether the cold side of an outlet is fed from the cistern: the kitchen's never, a shower's always.
pub(super) fn stored_cold(answers: &Answers, kind: OutletKind) -> bool {
    match kind {
        OutletKind::Sink => false,
        OutletKind::Shower => true,
        _ => answers.cold_taps == CisternFor::ColdTaps,
    }
}

/// Water drawn from the cistern in a day, L.
pub(super) fn drawn_l(answers: &Answers) -> f64 {
    let (with_taps, alone) = DRAWN_L_PER_PERSON;
    people(answers) * if feeds_taps(answers) { with_taps } else { alone }
}

/// How many people a household is taken for (common practice, no source).
fn people(answers: &Answers) -> f64 {
    f64::from(answers.bedrooms) + 1.0
}

fn held_l(size: &CylinderSize, heated: Heating) -> f64 {
    match (heated, size.direct) {
        (Heating::Direct, Some(direct)) => direct.to_litres(),
        _ => size.indirect.to_litres(),
    }
}

/// The one that was named, or else the smallest that holds enough for the household.
fn cylinder_for(answers: &Answers) -> &'static CylinderSize {
    let sizes = &catalogue::cylinders().sizes;
    let named = answers.cylinder.size.as_deref().and_then(catalogue::cylinder);
    let wanted_l = HOT_L_PER_PERSON * people(answers);
    let mut by_size: Vec<&CylinderSize> = sizes.iter().collect();
    by_size.sort_by_key(|size| size.indirect);
    let enough = by_size.iter().find(|size| size.indirect.to_litres() >= wanted_l && is_common(size));
    named.or(enough.copied()).unwrap_or(by_size[by_size.len() - 1])
}

/// Slender and very wide cylinders are not chosen for anybody.
fn is_common(size: &CylinderSize) -> bool {
    (400.0..=500.0).contains(&size.diameter.to_mm())
}

/// The cylinder that is the next smaller one, by reference.
pub(super) fn next_smaller_cylinder(answers: &Answers) -> Option<&'static str> {
    let now_l = cylinder_for(answers).indirect.to_litres();
    let smaller =
        catalogue::cylinders().sizes.iter().filter(|size| size.indirect.to_litres() < now_l && is_common(size));
    let next = smaller.max_by_key(|size| size.indirect);
    next.map(|size| size.reference.as_str())
}
