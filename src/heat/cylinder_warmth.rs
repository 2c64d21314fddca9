//! What each cylinder loses while it stands, how fast it is heated again, and what its pipes may carry away unasked.

use super::boilers::Boilers;
use super::conditions::{Condition, Grounds, Outcome, Reckoned};
use super::day::Moment;
use super::hot_pipe::FILMS;
use super::reheat::{self, Coil, Store};
use super::standing::{self, EnergyClass};
use super::stretch::stretches;
use super::{circulation, lumped};
use crate::layout::{
    COIL_FLOW, COIL_RETURN, Cylinder, CylinderCover, Id, ImmersionPlace, PRIMARY_FLOW, PRIMARY_RETURN, Service,
};
use crate::measure::{Leg, Site, believed_capacity_l, cylinder_capacity_l, find_out, has_untold_coil};
use crate::units::Temperature;
use crate::water::Water;
use crate::water::circuit::HOT_ASSUMED_CELSIUS;
use crate::water::levels::growth;

/// Power that heats a cylinder where nobody has told what does: an immersion heater's (common practice, no source), kW.
const USUAL_KW: f64 = 3.0;
/// An indirect cylinder takes about this much through its coil, kW: BS 6700:2006 Annex C (seen in an extract).
const COIL_TAKES_KW: f64 = 15.0;

/// What heat does in and around a cylinder.
#[derive(Debug, Clone, PartialEq)]
pub struct CylinderWarmth {
    /// The cylinder.
    pub id: Id,
    /// What it holds, L.
    pub litres: f64,
    /// Standard uncertainty of that, as a share of it: of a capacity that is estimated from the outside.
    pub in_doubt: f64,
    /// What it loses while it stands.
    pub standing: Outcome<Standing>,
    /// How long each way of heating takes from cold.
    pub reheats: Vec<Reheat>,
    /// What to find out of heaters that nobody has told of, which may be faster.
    pub heaters_untold: Option<String>,
    /// Litres that go back up the feed while it is heated.
    pub expansion_l: Outcome<f64>,
    /// Its water 24 hours after the heat is turned off, °C.
    pub next_day_c: Outcome<f64>,
    /// Whether it has no open vent for certain.
    pub has_no_vent: bool,
    /// What the open vent may carry away.
    pub vent: Outcome<Parasitic>,
    /// What the cold feed may carry away.
    pub feed: Outcome<Parasitic>,
}

/// A standing loss.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Standing {
    /// Loss at 45 K, W.
    pub loss_w: f64,
    /// By what it is known.
    pub known_by: KnownBy,
    /// The greatest loss that BS 1566-1 allows a cylinder of its size, W; from memory.
    pub greatest_w: f64,
    /// Its energy class.
    pub class: EnergyClass,
}

/// By what a standing loss is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum KnownBy {
    /// Its label.
    Label,
    /// The thickness and kind of its insulation.
    Insulation,
}

/// A way of heating a cylinder from cold.
#[derive(Debug, Clone, PartialEq)]
pub struct Reheat {
    /// What heats.
    pub by: Heater,
    /// Hours from the winter main to the stored temperature; `None` inside when it never gets there.
    pub hours: Outcome<Option<f64>>,
    /// What to find out, where the hours are the least that it may take.
    pub at_best: Option<String>,
    /// How many cylinders share what its boiler gives, itself among them.
    pub shared_by: usize,
    /// Whether non-return valves keep the boiler's water from going round.
    pub is_kept_back: bool,
    /// From cold to hot; empty where something is untold or it never gets there.
    pub curve: Vec<Moment>,
}

impl Reheat {
    fn by(by: Heater, course: Outcome<Vec<Moment>>) -> Self {
        let curve = course.as_ref().map_or_else(|_| Vec::new(), |course| course.value.clone());
        let last = |course: Reckoned<Vec<Moment>>| Reckoned {
            value: course.value.last().map(|moment| moment.hour),
            assumed: course.assumed,
        };
        Self { by, hours: course.map(last), at_best: None, shared_by: 1, is_kept_back: false, curve }
    }

    /// What heats, and with how many others its boiler heats at once.
    pub(super) fn words(&self) -> String {
        match self.shared_by {
            0 | 1 => self.by.words().to_owned(),
            many => format!("{}, the boiler giving {many} cylinders equal shares at once", self.by.words()),
        }
    }
}

/// What heats a cylinder.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Heater {
    /// An immersion heater.
    Immersion(ImmersionPlace),
    /// Its coil.
    Coil,
    /// A boiler that heats the stored water itself.
    Boiler,
}

impl Heater {
    /// Which of several heats a cylinder from cold: the least comes first.
    const fn comes_after(self) -> u8 {
        match self {
            Self::Coil => 0,
            Self::Boiler => 1,
            Self::Immersion(_) => 2,
        }
    }

    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Immersion(ImmersionPlace::Top) => "immersion heater in the top",
            Self::Immersion(ImmersionPlace::Bottom) => "immersion heater low down",
            Self::Coil => "coil",
            Self::Boiler => "boiler",
        }
    }
}

/// What a pipe may carry away by circulation within itself: the truth lies between.
#[derive(Debug, Clone, PartialEq)]
pub struct Parasitic {
    /// Length that can take part, m.
    pub length_m: f64,
    /// With stagnant water, W.
    pub stagnant_w: f64,
    /// Hot throughout, W.
    pub circulating_w: f64,
    /// The runs that it takes in.
    pub runs: Vec<Id>,
}

/// Each cylinder, in order.
pub(super) fn of_all(site: &Site<'_>) -> Vec<CylinderWarmth> {
    let boilers = Boilers::of(site);
    site.layout().cylinders.iter().map(|cylinder| of_one(site, &boilers, cylinder)).collect()
}

fn of_one(site: &Site<'_>, boilers: &Boilers<'_>, cylinder: &Cylinder) -> CylinderWarmth {
    let (capacity, _) = cylinder_capacity_l(cylinder);
    let litres = capacity.value;
    let feed = site.cold_feed_path(cylinder).map(|(_, _, legs)| legs);
    CylinderWarmth {
        id: cylinder.id.clone(),
        litres,
        in_doubt: capacity.standard_uncertainty() / litres,
        standing: standing(site, cylinder, litres),
        reheats: reheats(site, boilers, cylinder, litres),
        heaters_untold: cylinder.immersions.is_none().then(|| find_out::immersions(&cylinder.id)),
        expansion_l: expansion_l(site, cylinder, litres),
        next_day_c: next_day_c(site, cylinder, litres),
        has_no_vent: site.without_vent().contains(&cylinder.id),
        vent: worst_vent(site, cylinder),
        feed: feed
            .ok_or_else(|| find_out::COLD_FEED.to_owned())
            .and_then(|legs| parasitic(site, cylinder, legs, f64::INFINITY)),
    }
}

/// What circulates within the vent in which the most does; of several all have to be told.
fn worst_vent(site: &Site<'_>, cylinder: &Cylinder) -> Outcome<Parasitic> {
    let of_each =
        site.vent_paths(cylinder).iter().map(|legs| parasitic(site, cylinder, legs, water_over_mm(site, cylinder)?));
    let all: Vec<_> = of_each.collect::<Result<_, _>>()?;
    let worst = all.into_iter().max_by(|a, b| a.value.circulating_w.total_cmp(&b.value.circulating_w));
    worst.ok_or_else(|| find_out::VENT.to_owned())
}

/// Level of the water that stands over a cylinder, mm; no bound where no feed is drawn.
fn water_over_mm(site: &Site<'_>, cylinder: &Cylinder) -> Result<f64, String> {
    let Some(cistern) = site.cistern_of(cylinder) else { return Ok(f64::INFINITY) };
    let level = cistern.surface().map(crate::units::Level::to_mm);
    level.ok_or_else(|| find_out::water_line(&cistern.id))
}

fn stored_c(cylinder: &Cylinder) -> Result<f64, String> {
    let told = cylinder.stored_temperature.map(crate::units::Temperature::to_celsius);
    told.ok_or_else(|| find_out::THERMOSTAT.to_owned())
}

fn standing(site: &Site<'_>, cylinder: &Cylinder, litres: f64) -> Outcome<Standing> {
    believed_capacity_l(site, cylinder)?;
    let grounds = Grounds::of(&site.layout().climate);
    let (loss_w, known_by) = match (cylinder.standing_loss, cylinder.insulation) {
        (Some(label), _) => (label.to_watts(), KnownBy::Label),
        (None, Some(thickness)) => {
            let thickness_mm = thickness.to_mm().max(0.0);
            let cover = match cylinder.cover {
                Some(CylinderCover::SprayedFoam) => standing::Cover::Foam,
                Some(CylinderCover::LooseJacket) => standing::Cover::LooseJacket,
                // Without any insulation both covers give the same.
                None if thickness_mm == 0.0 => standing::Cover::Foam,
                None => return Err("see whether its insulation is sprayed on or a loose jacket".to_owned()),
            };
            (standing::watts(standing::by_thickness_kwh_day(litres, cover, thickness_mm)), KnownBy::Insulation)
        }
        (None, None) => return Err("read the standing loss off its label, or measure its insulation".to_owned()),
    };
    Ok(grounds.reckon(Standing {
        loss_w,
        known_by,
        greatest_w: standing::watts(standing::greatest_kwh_day(litres)),
        class: EnergyClass::of(loss_w, litres),
    }))
}

/// The cylinder as a store; its loss counts where it is known, and is left out where it is not.
fn store(site: &Site<'_>, cylinder: &Cylinder, litres: f64, room_c: f64) -> Store {
    let loss_w = standing(site, cylinder, litres).map_or(0.0, |standing| standing.value.loss_w);
    Store { capacity_j_k: litres * lumped::WATER_J_KG_K, loss_w_k: standing::conductance_w_k(loss_w), room_c }
}

fn reheats(site: &Site<'_>, boilers: &Boilers<'_>, cylinder: &Cylinder, litres: f64) -> Vec<Reheat> {
    let on = |port: &str| {
        site.attached_of(&cylinder.id, Service::PrimaryFlow)
            .find(|pipe| pipe.port.as_str() == port)
            .map(|pipe| pipe.run)
    };
    let is_kept_back = |run: usize, ports: [&str; 2]| boilers.are_kept_back(site, run, &cylinder.id, ports);
    let coil_is_kept_back = on(COIL_FLOW).is_some_and(|run| is_kept_back(run, [COIL_FLOW, COIL_RETURN]));
    let never = || Grounds::of(&site.layout().climate).reckon(Vec::new());
    let mut ways = Vec::new();
    for heater in cylinder.immersions.iter().flatten() {
        let power = heater.power.ok_or_else(|| "read the power of the immersion heater off its label".to_owned());
        let course = power.and_then(|power| by_power(site, cylinder, litres, power.to_kw()));
        ways.push(Reheat::by(Heater::Immersion(heater.place), course));
    }
    let course = match cylinder.coil {
        Some(true) => on(COIL_FLOW).map(|run| match coil_is_kept_back {
            true => Ok(never()),
            false => by_coil(site, boilers, (cylinder, litres), run),
        }),
        Some(false) => None,
        None => has_untold_coil(site, cylinder)
            .then(|| Err(format!("see whether {} has a coil", cylinder.id.with_article()))),
    };
    // Without a way back nothing goes round, and what is drawn tells no more than the best that it may do.
    let no_return = |port: &str| {
        let is_drawn = site.has_pipe_on(&cylinder.id, port);
        (!is_drawn).then(|| format!("draw the primary return, from {} back to the boiler", cylinder.id.with_article()))
    };
    let in_doubt = || on(COIL_FLOW).and_then(|run| boilers.in_doubt(run, cylinder));
    let at_best = on(COIL_FLOW).and_then(|run| boilers.share_kw(run).err());
    let at_best = at_best.or_else(|| no_return(COIL_RETURN)).or_else(in_doubt);
    let shared_by = on(COIL_FLOW).map_or(1, |run| boilers.shared_by(run));
    ways.extend(course.map(|course| Reheat {
        at_best,
        shared_by,
        is_kept_back: coil_is_kept_back,
        ..Reheat::by(Heater::Coil, course)
    }));
    if let Some(run) = on(PRIMARY_FLOW) {
        let is_kept_back = is_kept_back(run, [PRIMARY_FLOW, PRIMARY_RETURN]);
        let course = match is_kept_back {
            true => Ok(never()),
            false => boilers.share_kw(run).and_then(|kw| by_power(site, cylinder, litres, kw)),
        };
        let (at_best, shared_by) = (no_return(PRIMARY_RETURN), boilers.shared_by(run));
        ways.push(Reheat { at_best, shared_by, is_kept_back, ..Reheat::by(Heater::Boiler, course) });
    }
    ways
}

fn by_power(site: &Site<'_>, cylinder: &Cylinder, litres: f64, kw: f64) -> Outcome<Vec<Moment>> {
    believed_capacity_l(site, cylinder)?;
    let to_c = stored_c(cylinder)?;
    let mut grounds = Grounds::of(&site.layout().climate);
    let (from_c, room_c) = (grounds.take(Condition::MainWinter), grounds.take(Condition::Room));
    let store = store(site, cylinder, litres, room_c);
    let curve = heating_curve((from_c, to_c), |celsius| reheat::by_power_s(&store, kw * 1000.0, from_c, celsius));
    Ok(grounds.reckon(curve))
}

/// By the coil's conductance where that is told, or else by what the boiler gives and a coil takes.
fn by_coil(
    site: &Site<'_>,
    boilers: &Boilers<'_>,
    (cylinder, litres): (&Cylinder, f64),
    primary_flow: usize,
) -> Outcome<Vec<Moment>> {
    believed_capacity_l(site, cylinder)?;
    let duty = cylinder.coil_duty.unwrap_or_default();
    let Some(conductance) = duty.conductance else {
        let kw = boilers
            .share_kw(primary_flow)
            .map_err(|find_out| format!("read the coil's conductance off its data sheet, or {find_out}"))?;
        return by_power(site, cylinder, litres, kw.min(COIL_TAKES_KW));
    };
    let to_c = stored_c(cylinder)?;
    let mut grounds = Grounds::of(&site.layout().climate);
    let (from_c, room_c) = (grounds.take(Condition::MainWinter), grounds.take(Condition::Room));
    let told = duty.primary.map(crate::units::Temperature::to_celsius);
    let coil = Coil {
        conductance_w_k: conductance.to_w_k(),
        primary_c: grounds.or_assume(Condition::Primary, told),
        flow_w_k: duty.flow.map(|flow| flow.to_l_s() * lumped::WATER_J_KG_K),
    };
    let store = store(site, cylinder, litres, room_c);
    // A boiler whose output is not told is taken as strong enough for its coil.
    let boiler_w = boilers.share_kw(primary_flow).map(|kw| kw * 1000.0).ok();
    let curve = heating_curve((from_c, to_c), |celsius| match boiler_w {
        Some(boiler_w) => reheat::by_coil_and_boiler_s(&store, &coil, boiler_w, from_c, celsius),
        None => reheat::by_coil_s(&store, &coil, from_c, celsius),
    });
    Ok(grounds.reckon(curve))
}

/// How a cylinder is heated from cold: by its coil, or else its boiler, or else its fastest immersion heater, the
/// first of them of which enough is told.
pub(super) struct Heating {
    /// Temperature of the cold water, °C.
    pub from_c: f64,
    /// Temperature at which it stores, °C.
    pub to_c: f64,
    /// From cold to hot.
    pub curve: Vec<Moment>,
    /// What heats it, and what was taken for granted, in words.
    pub assumptions: Vec<String>,
}

impl Heating {
    /// Of a cylinder; where nothing that heats it is told, by what is usual.
    ///
    /// # Errors
    /// Why it never gets hot.
    pub fn of(site: &Site<'_>, cylinder: &Cylinder) -> Result<Self, String> {
        let hottest_c = cylinder.stored_temperature.map_or(HOT_ASSUMED_CELSIUS, Temperature::to_celsius).min(100.0);
        let mut cylinder = cylinder.clone();
        cylinder.stored_temperature = Some(Temperature::try_celsius(hottest_c).map_err(|error| error.to_string())?);
        let litres = cylinder_capacity_l(&cylinder).0.value;
        let mut ways = reheats(site, &Boilers::of(site), &cylinder, litres);
        let hours = |way: &Reheat| way.hours.as_ref().ok().and_then(|hours| hours.value).unwrap_or(f64::INFINITY);
        ways.sort_by(|a, b| a.by.comes_after().cmp(&b.by.comes_after()).then(hours(a).total_cmp(&hours(b))));
        let (mut cold, mut untold) = (Vec::new(), Vec::new());
        for way in ways {
            let by = way.words();
            match way.hours {
                Ok(Reckoned { value: Some(_), assumed }) => {
                    untold.insert(0, format!("heated by its {by}"));
                    return Ok(Self::along(site, &cylinder, way.curve, assumed, untold));
                }
                Ok(Reckoned { value: None, .. }) => {
                    cold.push(format!("its {} never brings it to {hottest_c} °C", way.by.words()));
                }
                Err(find_out) => untold.push(format!("its {} is left out: {find_out}", way.by.words())),
            }
        }
        if untold.is_empty() && !cold.is_empty() {
            return Err(cold.join("; "));
        }
        let course = by_power(site, &cylinder, litres, USUAL_KW)?;
        if course.value.is_empty() {
            return Err(format!("{USUAL_KW} kW never bring it to {hottest_c} °C"));
        }
        untold.insert(0, format!("heated by {USUAL_KW} kW, since nothing that heats it is told"));
        Ok(Self::along(site, &cylinder, course.value, course.assumed, untold))
    }

    fn along(
        site: &Site<'_>,
        cylinder: &Cylinder,
        curve: Vec<Moment>,
        assumed: Vec<Condition>,
        mut assumptions: Vec<String>,
    ) -> Self {
        let litres = cylinder_capacity_l(cylinder).0.value;
        let loses = if standing(site, cylinder, litres).is_ok() { "what it loses meanwhile" } else { "no loss" };
        assumptions.push(format!("its water mixed throughout, and {loses} reckoned with"));
        assumptions.extend(assumed.into_iter().map(Condition::assumption));
        let celsius = |moment: Option<&Moment>| moment.map_or(f64::NAN, |moment| moment.celsius);
        Self { from_c: celsius(curve.first()), to_c: celsius(curve.last()), curve, assumptions }
    }
}

/// The moments at which evenly spaced temperatures are reached; empty when the last never is.
fn heating_curve((from_c, to_c): (f64, f64), seconds_to: impl Fn(f64) -> Option<f64>) -> Vec<Moment> {
    const STEPS: u32 = 24;
    let moment = |step: u32| {
        let celsius = from_c + (to_c - from_c).max(0.0) * f64::from(step) / f64::from(STEPS);
        Some(Moment { hour: seconds_to(celsius)? / 3600.0, celsius })
    };
    (0..=STEPS).map(moment).collect::<Option<Vec<_>>>().unwrap_or_default()
}

fn expansion_l(site: &Site<'_>, cylinder: &Cylinder, litres: f64) -> Outcome<f64> {
    let to_c = stored_c(cylinder)?;
    let mut grounds = Grounds::of(&site.layout().climate);
    let from_c = grounds.take(Condition::MainWinter);
    let water = |celsius: f64| Water::at_celsius(celsius).map_err(|error| error.to_string());
    Ok(grounds.reckon(litres * growth(&water(from_c)?, &water(to_c)?)))
}

fn next_day_c(site: &Site<'_>, cylinder: &Cylinder, litres: f64) -> Outcome<f64> {
    const DAY_S: f64 = 86_400.0;
    let curve = CoolingStore::of(site, cylinder, litres)?;
    Ok(Reckoned { value: curve.value.after_c(DAY_S), assumed: curve.assumed })
}

/// A store that cools after the heat is turned off.
struct CoolingStore {
    from_c: f64,
    store: Store,
}

impl CoolingStore {
    fn of(site: &Site<'_>, cylinder: &Cylinder, litres: f64) -> Outcome<Self> {
        let from_c = stored_c(cylinder)?;
        let mut grounds = Grounds::of(&site.layout().climate);
        grounds.with(standing(site, cylinder, litres)?);
        let room_c = grounds.take(Condition::Room);
        Ok(grounds.reckon(Self { from_c, store: store(site, cylinder, litres, room_c) }))
    }

    fn after_c(&self, seconds: f64) -> f64 {
        lumped::after_c(self.from_c, self.store.room_c, self.store.capacity_j_k, self.store.loss_w_k, seconds)
    }
}

/// A cylinder's water for some hours after the heat is turned off, as a curve.
///
/// # Errors
/// What to find out first.
pub fn cooling_curve(site: &Site<'_>, cylinder: &Cylinder, hours: f64) -> Outcome<Vec<Moment>> {
    const STEPS: u32 = 48;
    let cooling = CoolingStore::of(site, cylinder, cylinder_capacity_l(cylinder).0.value)?;
    let moment = |step: u32| {
        let hour = hours * f64::from(step) / f64::from(STEPS);
        Moment { hour, celsius: cooling.value.after_c(hour * 3600.0) }
    };
    Ok(Reckoned { value: (0..=STEPS).map(moment).collect(), assumed: cooling.assumed })
}

/// What a path of pipes from a cylinder may carry away, as far as it holds water.
///
/// The fin takes the mean cover and the first tube for the whole; the hot pipe takes each stretch for itself.
fn parasitic(site: &Site<'_>, cylinder: &Cylinder, legs: &[Leg], water_mm: f64) -> Outcome<Parasitic> {
    let hotter_than = stored_c(cylinder)?;
    let mut grounds = Grounds::of(&site.layout().climate);
    let hotter_k = (hotter_than - grounds.take(Condition::Room)).max(0.0);
    let (mut length_m, mut loss_w_k, mut along_w_m_k) = (0.0, 0.0, None);
    let mut runs = Vec::new();
    for leg in legs {
        let (run, line) = (site.run(leg.run), site.line(leg.run));
        let tell = || find_out::material_and_size(&run.id);
        let (material, size) = run.material.zip(run.size).ok_or_else(tell)?;
        let bore = run.bore().ok_or_else(tell)?;
        let outside_m = size.to_mm() / 1000.0;
        let full = line.map_or_else(Vec::new, |line| super::stretch::between_levels(line, f64::NEG_INFINITY, water_mm));
        let (from_mm, to_mm) = leg.span_mm();
        for (a, b) in full.into_iter().map(|(a, b)| (a.max(from_mm), b.min(to_mm))).filter(|(a, b)| b > a) {
            for stretch in stretches(run, (a, b), &mut grounds)? {
                length_m += stretch.length_m();
                loss_w_k += stretch.length_m() / stretch.cover(outside_m, FILMS).resistance_m_k_w();
            }
            along_w_m_k.get_or_insert_with(|| {
                circulation::wall_along_w_m_k(outside_m, bore.to_mm() / 1000.0, material.conductivity_w_m_k())
            });
        }
        runs.push(run.id.clone());
    }
    let stub = along_w_m_k.filter(|_| length_m > 0.0).map(|along_w_m_k| circulation::Stub {
        length_m,
        loss_w_m_k: loss_w_k / length_m,
        along_w_m_k,
    });
    let bound = |bound: fn(&circulation::Stub, f64) -> f64| stub.map_or(0.0, |stub| bound(&stub, hotter_k));
    Ok(grounds.reckon(Parasitic {
        length_m,
        stagnant_w: bound(circulation::Stub::stagnant_w),
        circulating_w: bound(circulation::Stub::circulating_w),
        runs,
    }))
}
