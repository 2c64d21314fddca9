//! What is read off running water: pure functions to readings, by which the rules judge. No limit lives here.

use super::circuit::{AirBy, AirTrap, Circuit, HangsOn, NOT_FOUND, Outcome, TOO_MANY_TAPS, Tap, is_fed_from_store};
use super::demand::Counting;
use super::float_valve::{Less, LetIn, MainEnd, let_in};
use super::main_head::BY_WHICH_END;
use super::trial::UntoldTube;
use super::{Drawn, Fastest, Running, SHOWN_AS_NONE_L_S, trial};
use crate::layout::{Cistern, Id};
use crate::measure::{
    BroughtBy, Feature, Place, Reading, Site, air_pockets, between_l, filled_through, find_out, linked_with,
    water_volume_l,
};
use crate::units::{Level, Measured, Unit};

/// Water slower than this stands still, m/s.
const STILL_M_S: f64 = 1e-6;

/// Why a tap gives nothing: of all that may be done there the valve alone helps.
pub const KEPT_BACK: &str = "no water: a non-return valve on the way points back to the cistern";

/// The same where no tube helps, but the level of what is in the way.
pub const OVER_WATER: &str = "no water: a pipe on the way rises above the water line";

/// The same where it hangs on the water line and the hole alone.
pub const NOT_OVER_HOLE: &str = "no water: it stands no higher than the hole by which it should leave the cistern";

/// Why it is open how much of what is likely comes through a pipe.
const AIR_OF_TAPS: &str = "bring the taps that draw air below the pressure in their pipes: how much comes with all of them open is not reckoned";

/// For each tap that a cistern feeds: what it gives alone, L/s, against what it must give at least.
#[must_use]
pub fn flow_at_taps(running: &Running<'_>) -> Vec<Reading> {
    let circuit = &running.circuit;
    let read = |(number, tap): (usize, &Tap<'_>)| {
        let id = &tap.outlet.id;
        let side = tap.supply.tap_words();
        let least_l_s = Counting::Bs6700.outlet(tap.outlet.kind).least_l_s;
        let Some(alone) = &running.alone else {
            return Some(Reading::untold(id, TOO_MANY_TAPS).on_side(side));
        };
        let open = format!("{side} of {} alone open", id.spoken());
        let reading = what_it_gives(circuit, number, &alone[number].outcome, running.with_air_l_s[number], &open)?;
        Some(reading.against(Measured::exact(least_l_s)).on_side(side))
    };
    circuit.taps().iter().enumerate().filter_map(read).collect()
}

/// What a tap gives that is open alone, L/s, or why it gives nothing; `open` says in words what is open. Nothing of a tap on
/// the main, which is not this program's business.
pub(super) fn what_it_gives(
    circuit: &Circuit<'_>,
    number: usize,
    outcome: &Outcome,
    with_air_l_s: Option<f64>,
    open: &str,
) -> Option<Reading> {
    let id = &circuit.taps()[number].outlet.id;
    let kept_back = |flow_l_s: f64| if flow_l_s < SHOWN_AS_NONE_L_S { circuit.valve_against(number) } else { None };
    Some(match outcome {
        Outcome::OnMain => return None,
        Outcome::Reckoned { flow_l_s, residual_head_m, .. } => match kept_back(*flow_l_s) {
            Some((run, at_mm)) => behind_valve(circuit.site(), id, run, at_mm),
            None => Reading::amount(id, Measured::exact(*flow_l_s), Unit::LitrePerSecond)
                .working(format!("{open}, usual losses of fittings"))
                .working(format!("head in front of it: {residual_head_m:.2} m; flow: {flow_l_s:.3} L/s")),
        },
        Outcome::AirDrawn(by) => {
            let flow_l_s = with_air_l_s.unwrap_or(0.0);
            let air = match by {
                AirBy::Vent => "the vent draws air before it runs full".to_owned(),
                AirBy::Tap { .. } => by.words(),
            };
            Reading::amount(id, Measured::exact(flow_l_s), Unit::LitrePerSecond)
                .working(format!("{open}: {air}"))
                .working(format!("what the feed brings it all the same, in spurts: {flow_l_s:.3} L/s"))
        }
        Outcome::Dry(why) => Reading::no(id, OVER_WATER).working(why.clone()),
        Outcome::CutOff => match circuit.bare_hole_before(number) {
            Some((cistern, surface_mm, hole_mm)) => Reading::no(id, NOT_OVER_HOLE)
                .working(format!("water of {} {surface_mm:.0}, its hole {hole_mm:.0} mm", cistern.id.with_article())),
            None => Reading::untold(id, find_out::WAY_FROM_CISTERN),
        },
        Outcome::NotFound => Reading::untold(id, NOT_FOUND),
        Outcome::Untold(what) => Reading::untold(id, what.clone()),
    })
}

fn behind_valve(site: &Site<'_>, tap: &Id, run: usize, at_mm: f64) -> Reading {
    let run = &site.run(run).id;
    Reading::no(tap, KEPT_BACK).along_with([run]).at(Place::of(run, Feature::Along(at_mm))).working(format!(
        "the non-return valve in {}, {at_mm:.0} mm along, lets water pass the other way",
        run.with_article()
    ))
}

/// For each run of stored water: the greatest velocity in it with a tap open alone, or with what is likely to be drawn at
/// one time, m/s. Where it feeds a tap of which nobody knows what it gives, or with which a vent draws air, there may be
/// more.
#[must_use]
pub fn velocity(running: &Running<'_>) -> Vec<Reading> {
    let mut of_runs: Vec<OfRun<'_>> = Vec::new();
    let stretches = running.circuit.stretches().iter().zip(&running.fastest).zip(&running.more_untold);
    for (((stretch, fastest), untold), at_most) in stretches.zip(&running.fastest_at_most) {
        // Stretches stand run by run.
        if of_runs.last().is_none_or(|last| last.run != stretch.run) {
            of_runs.push(OfRun { run: stretch.run, fastest: None, at_most: None, untold: None });
        }
        let Some(of_run) = of_runs.last_mut() else { continue };
        let place_mm = f64::midpoint(stretch.along_mm.0, stretch.along_mm.1);
        if let Some(fastest) = fastest
            && of_run.fastest.is_none_or(|(known, _)| fastest.velocity_m_s > known.velocity_m_s)
        {
            of_run.fastest = Some((*fastest, place_mm));
        }
        if let Some(at_most) = at_most
            && of_run.at_most.is_none_or(|(known, _)| at_most.velocity_m_s > known.velocity_m_s)
        {
            of_run.at_most = Some((*at_most, place_mm));
        }
        if let Some(find_out) = untold {
            of_run.untold.get_or_insert((find_out, place_mm));
        }
    }
    of_runs.into_iter().filter_map(|of_run| of_run.velocity(running)).collect()
}

/// What is known of the velocity in a run, each with where along it, mm.
struct OfRun<'r> {
    run: usize,
    fastest: Option<(Fastest, f64)>,
    at_most: Option<(Fastest, f64)>,
    untold: Option<(&'r String, f64)>,
}

impl OfRun<'_> {
    fn velocity(self, running: &Running<'_>) -> Option<Reading> {
        let circuit = &running.circuit;
        let id = &circuit.site().run(self.run).id;
        let at = |along_mm: f64| Place::of(id, Feature::Along(along_mm));
        // Of still water nothing is known while something that may move it is not.
        let fastest = self.fastest.filter(|(fastest, _)| fastest.velocity_m_s > STILL_M_S || self.untold.is_none());
        let Some(fastest) = fastest else {
            return self.untold.map(|(find_out, place_mm)| Reading::untold(id, find_out.clone()).at(at(place_mm)));
        };
        let reading_of = |(Fastest { velocity_m_s, with }, place_mm): (Fastest, f64)| {
            let with = match with {
                Drawn::Alone(tap) => format!("{} open alone", circuit.taps()[tap].name()),
                Drawn::Together(drawn_l_s) => format!("the {drawn_l_s:.3} L/s that are likely at one time"),
            };
            Reading::amount(id, Measured::exact(velocity_m_s), Unit::MetrePerSecond)
                .at(at(place_mm))
                .working(format!("fastest with {with}: {velocity_m_s:.2} m/s"))
        };
        let reading = reading_of(fastest);
        let at_most = self.at_most.filter(|(at_most, _)| at_most.velocity_m_s > fastest.0.velocity_m_s);
        Some(match (self.untold, at_most) {
            (Some((find_out, _)), _) => reading.but_for(Some(find_out.clone())),
            (None, Some(at_most)) => reading.at_worst(AIR_OF_TAPS, reading_of(at_most)),
            (None, None) => reading,
        })
    }
}

/// For each open vent: the hot water that can be drawn before it sucks air, L/s, against what is likely to be drawn: at
/// least what a tap takes that alone has it do so.
#[must_use]
pub fn air_at_vent(running: &Running<'_>) -> Vec<Reading> {
    let vents = running.together.vents.iter().enumerate();
    vents.map(|(number, vent)| air_drawn_by(running, number, &vent.run)).collect()
}

fn air_drawn_by(running: &Running<'_>, number: usize, id: &Id) -> Reading {
    let circuit = &running.circuit;
    let likely_l_s = circuit.hot_demand_l_s(number);
    let alone = running.airs_vent[number].map(|(tap, asked_l_s)| (circuit.taps()[tap].name(), asked_l_s));
    let demand_l_s = alone.as_ref().map_or(likely_l_s, |(_, asked_l_s)| asked_l_s.max(likely_l_s));
    let reading = match &running.air_limits_l_s[number] {
        Err(why) => Reading::untold(id, why.clone()),
        Ok(limit_l_s) => {
            let reading = match alone.is_some() && demand_l_s <= *limit_l_s {
                // A cold tap on the feed takes away what the hot water needs.
                true => Reading::no(id, "one tap alone has it draw air"),
                false => Reading::amount(id, Measured::exact(*limit_l_s), Unit::LitrePerSecond),
            };
            reading
                .but_for(circuit.untold_past_vent(number))
                .working(format!(
                    "feed to the vent's tee with the tee at the pressure of the air: {limit_l_s:.3} L/s"
                ))
                .working(format!("hot water likely at one time through its cylinder, by loading units of BS 6700: {likely_l_s:.3} L/s"))
        }
    };
    let others_l_s = circuit.drawn_by_others_l_s(number);
    let others = (others_l_s > 0.0)
        .then(|| format!("meanwhile {others_l_s:.3} L/s are drawn through what else is on the same feed"));
    let alone = alone.map(|(name, asked_l_s)| {
        format!("{name} alone would take {asked_l_s:.3} L/s past it, and it draws air before that")
    });
    let reading = reading.workings(others.into_iter().chain(alone));
    reading.against(Measured::exact(demand_l_s)).at(Place::of(id, Feature::Along(0.0)))
}

/// For each run of stored water, and each feed, flow and return of a heating that is open to the air: how deep its worst
/// pocket of air is, mm, against the narrowest bore of the pipes that meet there.
#[must_use]
pub fn air_pockets(running: &Running<'_>) -> Vec<Reading> {
    let site = running.circuit.site();
    let stored = running.circuit.air_traps().into_iter().map(|trap| air_pocket(site, trap));
    stored.chain(air_pockets::in_primary_feeds(site)).chain(air_pockets::in_open_heatings(site)).collect()
}

fn air_pocket(site: &Site<'_>, trap: AirTrap) -> Reading {
    let is_told = site.run_number(&trap.run).is_some_and(|run| site.run(run).bore().is_some());
    let place = Place::of(&trap.run, Feature::Along(trap.at_mm));
    match trap.hangs_on.filter(|_| is_told) {
        Some(HangsOn::Beyond(run, if_aired)) => {
            let pocket = |depth_mm: f64| air_pockets::pocket(site, &trap.run, &trap.met_by, trap.at_mm, depth_mm);
            let [best, worst] = [f64::min, f64::max].map(|of| pocket(of(trap.depth_mm, if_aired.depth_mm)));
            best.at_worst(find_out::rest_of_run(&run), worst).along_with([&run])
        }
        Some(HangsOn::NotDrawn) => Reading::untold(&trap.run, find_out::VENT).at(place),
        None => air_pockets::pocket(site, &trap.run, &trap.met_by, trap.at_mm, trap.depth_mm),
    }
}

/// For each tap that a cistern feeds: whether a valve can shut it off from every cistern.
#[must_use]
pub fn isolation(running: &Running<'_>) -> Vec<Reading> {
    let circuit = &running.circuit;
    let behind_valves = circuit.taps_behind_valves();
    let stored = circuit.taps().iter().zip(behind_valves).filter(|(tap, _)| !tap.is_on_main());
    let read = |(tap, can_be_shut_off): (&Tap<'_>, Result<bool, &str>)| {
        let id = &tap.outlet.id;
        let (yes, no) = ("a valve on every way to the cistern", "no valve on a way to the cistern");
        Reading::fact(id, can_be_shut_off, yes, no).at(Place::middle(id)).on_side(tap.supply.tap_words())
    };
    stored.map(read).collect()
}

/// For each cistern with a float valve, that of the heating among them: how high water stands over the overflow when the
/// valve sticks open, mm, against the height of the valve's outlet there.
#[must_use]
pub fn stuck_valve_level(running: &Running<'_>) -> Vec<Reading> {
    with_float_valve(running, |site, cistern| {
        let outlet = cistern.float_valve.and_then(|valve| valve.outlet);
        let outlet_mm = outlet.ok_or(find_out::FLOAT_VALVE_OUTLET)?.to_mm();
        let stuck = |let_in: LetIn, tube: UntoldTube| {
            let stuck = trial::stuck_with(site, cistern, let_in, tube)?;
            let reading = match stuck.settles_mm {
                Some(settles_mm) => Reading::mm(&cistern.id, Measured::exact(settles_mm - stuck.invert_mm)),
                None => Reading::no(&cistern.id, "the overflow cannot carry what comes in: the rim overflows"),
            };
            let reading = reading.workings(stuck.working);
            let place = Place::of(&cistern.id, Feature::FloatValveOutlet);
            Ok::<_, String>(reading.against(Measured::exact(outlet_mm - stuck.invert_mm)).at(place))
        };
        let most = let_in(site, &[cistern], MainEnd::Best)?;
        Ok(match most.less.clone() {
            None => match trial::tube_to_find(site, cistern) {
                None => stuck(most, UntoldTube::Missing)?,
                Some(find_out) => {
                    let without = stuck(most.clone(), UntoldTube::Missing)?;
                    without.at_worst(find_out, stuck(most, UntoldTube::Fitted)?)
                }
            },
            Some(Less::NotDrawn(find_out)) => stuck(most, UntoldTube::Fitted)?.unless(Some(find_out)),
            Some(Less::ByAnotherEnd) => {
                let least = let_in(site, &[cistern], MainEnd::Worst)?;
                stuck(least, UntoldTube::Missing)?.at_worst(BY_WHICH_END, stuck(most, UntoldTube::Fitted)?)
            }
        })
    })
}

/// For each storage cistern with a float valve, or several that are linked: how long they take to fill from empty, min,
/// with what the main, or the stored water that feeds it, leaves of its pressure at each valve.
#[must_use]
pub fn filling_time(running: &Running<'_>) -> Vec<Reading> {
    let site = running.circuit.site();
    let mut readings = Vec::new();
    let mut done: Vec<&Id> = Vec::new();
    for cistern in site.storage_cisterns().filter(|cistern| cistern.float_valve.is_some()) {
        if done.contains(&&cistern.id) {
            continue;
        }
        // What has a float valve of its own and gives nothing back fills by itself.
        let shares = linked_with(site, cistern);
        let mut group = filled_through(site, cistern);
        group.retain(|other| other.float_valve.is_none() || shares.iter().any(|known| known.id == other.id));
        let reading = match filling(site, &group) {
            Ok(reading) => reading,
            Err(find_out) => Some(Reading::untold(&cistern.id, find_out)),
        };
        readings.extend(reading.map(|reading| {
            let reading = reading.brought_by(brings_water(site, &group)).at(Place::middle(&cistern.id));
            reading.about_all(group.iter().map(|cistern| &cistern.id))
        }));
        done.extend(group.iter().map(|cistern| &cistern.id));
    }
    readings
}

/// What brings water to the float valves of some cisterns, where it is the same for all of them.
fn brings_water(site: &Site<'_>, group: &[&Cistern]) -> Option<BroughtBy> {
    let mut valves = group.iter().filter(|cistern| cistern.float_valve.is_some());
    let first = is_fed_from_store(site, valves.next()?);
    let alike = valves.all(|cistern| is_fed_from_store(site, cistern) == first);
    alike.then_some(if first { BroughtBy::StoredWater } else { BroughtBy::Main })
}

/// Of a cistern and those that are linked with it, which fill as one water through all of their float valves. Nothing where
/// the main does not come up to any of them, which is a fault by itself.
fn filling(site: &Site<'_>, group: &[&Cistern]) -> Result<Option<Reading>, String> {
    let volume = to_one_level_l(site, group)?;
    let valves: Vec<&Cistern> = group.iter().copied().filter(|cistern| cistern.float_valve.is_some()).collect();
    let is_on_store = valves.iter().any(|cistern| is_fed_from_store(site, cistern));
    let filling_in = |let_in: LetIn| match let_in.l_s > 0.0 {
        true => filling_in(&group[0].id, &volume, let_in),
        false if is_on_store => Reading::no(&group[0].id, "never: no stored water comes up to its valve"),
        false => Reading::no(&group[0].id, "never: the pressure of the main does not lift water to its valve"),
    };
    let best = let_in(site, &valves, MainEnd::Best)?;
    if best.l_s <= 0.0 && !is_on_store {
        return Ok(None);
    }
    Ok(Some(match best.less.clone() {
        None => filling_in(best),
        Some(Less::NotDrawn(find_out)) => filling_in(best).but_for(Some(find_out)),
        Some(Less::ByAnotherEnd) => {
            let worst = let_in(site, &valves, MainEnd::Worst)?;
            filling_in(best).at_worst(BY_WHICH_END, filling_in(worst))
        }
    }))
}

/// How long a volume takes to come in.
fn filling_in(first: &Id, (litres, volumes): &(Measured, Vec<String>), let_in: LetIn) -> Reading {
    let LetIn { l_s, working, .. } = let_in;
    let time = litres.scaled(1.0 / (l_s * 60.0));
    let minutes = time.value;
    let reading = Reading::amount(first, time, Unit::Minute);
    let reading = reading.workings(volumes.iter().cloned().chain(working));
    reading.working(format!("{:.0} L / {l_s:.3} L/s = {minutes:.0} min, the valve wide open to the end", litres.value))
}

/// Litres in linked cisterns up to the one level at which their water stands, that of the highest line.
fn to_one_level_l(site: &Site<'_>, group: &[&Cistern]) -> Result<(Measured, Vec<String>), String> {
    let level_mm = group.iter().filter_map(|cistern| cistern.surface()).map(Level::to_mm).reduce(f64::max);
    let (mut together, mut working) = (Measured::exact(0.0), Vec::new());
    for cistern in group {
        let own_mm = cistern.surface().map(Level::to_mm);
        let litres = match level_mm.filter(|_| own_mm != level_mm) {
            None => {
                let (litres, how) = water_volume_l(site, cistern)?;
                working.push(how);
                litres
            }
            Some(level_mm) => {
                let depth_mm = (level_mm - cistern.at.z.to_mm()).clamp(0.0, cistern.height.to_mm());
                let litres = between_l(site, cistern, Measured::exact(0.0), site.taped(depth_mm))?;
                let spoken = cistern.id.spoken();
                working.push(format!("{spoken}: {:.1} L to the level of those that it is linked with", litres.value));
                litres
            }
        };
        together = together + litres;
    }
    Ok((together, working))
}

fn with_float_valve(
    running: &Running<'_>,
    read: impl Fn(&Site<'_>, &Cistern) -> Result<Reading, String>,
) -> Vec<Reading> {
    let site = running.circuit.site();
    let has_no_way_out =
        |cistern: &Cistern| filled_through(site, cistern).into_iter().all(|one| site.has_no_warning_pipe(one));
    let cisterns = site.layout().cisterns.iter().filter(|cistern| cistern.float_valve.is_some());
    cisterns
        .filter(|cistern| !has_no_way_out(cistern))
        .map(|cistern| read(site, cistern).unwrap_or_else(|find_out| Reading::untold(&cistern.id, find_out)))
        .collect()
}
