//! The float valve sticks open: how fast water comes in, how high it stands over the overflow, whether the air gap holds.

use glam::DVec2;

use super::one_water::OneWater;
use super::{Event, Moment, Played, Total};
use crate::layout::{Cistern, DipTube, Run};
use crate::measure::{Feature, Invert, OverflowWay, Place, Site, filled_by_link, find_out};
use crate::num::{integral, zero_between};
use crate::units::{Amount, Length, Unit};
use crate::water::circuit::{Circuit, Fitting, Losses, cold_water, in_square_bends, square_bends};
use crate::water::float_valve::{LetIn, MainEnd, let_in};
use crate::water::friction::Transition;
use crate::water::levels::{FLOAT_VALVE_COEFFICIENT, Onward, Overflow};
use crate::water::network::{OneWay, Pipe};

/// What a dip tube with its bend takes at the mouth of an overflow, in velocity heads (assumption).
const DIP_TUBE_LOSS: f64 = 1.0;
/// So many moments are shown of the rise.
const MOMENTS: u32 = 60;
/// To this share of itself the time of each stretch of the rise is reckoned.
const TIME_TOLERANCE: f64 = 1e-5;
/// The level is followed until it is this near to where it settles, mm.
const NEARLY_SETTLED_MM: f64 = 0.25;

/// What comes in at a float valve that stands open, and where that brings the water.
#[derive(Debug, Clone, PartialEq)]
pub struct StuckValve {
    /// What comes in, L/s.
    pub inflow_l_s: f64,
    /// Height of the lowest overflow's invert above the base, mm.
    pub invert_mm: f64,
    /// Height above the base at which as much runs out as comes in, mm; none when a rim is reached first.
    pub settles_mm: Option<f64>,
    /// Formula, values, result.
    pub working: Vec<String>,
    /// What is taken for granted of what drives the water in.
    pub assumptions: Vec<String>,
}

/// What is taken of a dip tube of which nobody has told whether it is there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::water) enum UntoldTube {
    Missing,
    Fitted,
}

/// Overflows of one water with the height of each invert above the base, mm.
type Overflows = Vec<(f64, Overflow)>;

/// Cisterns whose float valve may stick, with their place among [`Circuit::cisterns`]: all but those that have none and are
/// filled through a link.
pub fn may_stick<'s>(circuit: &Circuit<'s>) -> impl Iterator<Item = (usize, &'s Cistern)> {
    let site = circuit.site();
    circuit.cisterns().enumerate().filter(|(_, cistern)| !filled_by_link(site, cistern))
}

/// Reckons what a float valve that stands open does to a cistern, and to those that are linked with it: their water stands
/// at one level. The main is taken where it brings the most.
///
/// # Errors
/// What to find out, when the layout does not tell enough.
pub fn stuck_valve(site: &Site<'_>, cistern: &Cistern) -> Result<StuckValve, String> {
    stuck_with(site, cistern, let_in(site, &[cistern], MainEnd::Best)?, UntoldTube::Missing)
}

/// The same with what comes in.
///
/// # Errors
/// What to find out, when the layout does not tell enough.
pub(in crate::water) fn stuck_with(
    site: &Site<'_>,
    cistern: &Cistern,
    let_in: LetIn,
    tube: UntoldTube,
) -> Result<StuckValve, String> {
    let LetIn { l_s: inflow_l_s, mut working, assumptions, .. } = let_in;
    let water = OneWater::of(site, cistern);
    let overflows = overflows(site, &water, tube)?;
    working.extend(water.assumption().map(|words| format!("{words}; ways out: {}", overflows.len())));
    let invert_mm = overflows.iter().map(|(invert_mm, _)| *invert_mm).fold(f64::INFINITY, f64::min);
    let carried_l_s = |height_mm: f64| carried_l_s(&overflows, height_mm);
    let (rim_mm, _) = water.rim();
    let settles_mm = if carried_l_s(rim_mm) < inflow_l_s {
        working.push(format!("filled to the rim the overflow carries {:.3} L/s: too little", carried_l_s(rim_mm)));
        None
    } else {
        match overflows.as_slice() {
            [(_, overflow)] => overflow.head_for_m(inflow_l_s / 1000.0).map(|head_m| invert_mm + head_m * 1000.0),
            _ => zero_between(invert_mm, rim_mm, 1e-6, |height_mm| carried_l_s(height_mm) - inflow_l_s),
        }
    };
    if let Some(settles_mm) = settles_mm {
        let over_mm = settles_mm - invert_mm;
        working.push(format!(
            "the overflow carries that with the water {over_mm:.1} mm over its invert of {invert_mm:.1} mm"
        ));
    }
    Ok(StuckValve { inflow_l_s, invert_mm, settles_mm, working, assumptions })
}

/// Plays the rise of the water.
///
/// # Errors
/// What to find out, when the layout does not tell enough.
pub fn valve_stuck(site: &Site<'_>, cistern: &Cistern) -> Result<Played, String> {
    let water = OneWater::of(site, cistern);
    let line_mm = water.line_mm().ok_or_else(|| find_out::water_line(&cistern.id))?;
    let stuck = stuck_valve(site, cistern)?;
    // What stands higher has run out by then.
    let line_mm = line_mm.min(stuck.invert_mm);
    if stuck.inflow_l_s <= 0.0 {
        return Err("without pressure before the float valve nothing comes in".to_owned());
    }
    let overflows = overflows(site, &water, UntoldTube::Missing)?;
    let (rim_mm, _) = water.rim();
    let end_mm = stuck.settles_mm.map_or(rim_mm, |settles_mm| settles_mm - NEARLY_SETTLED_MM).max(line_mm);
    let heights = rise(site, (cistern, &water), &stuck, &overflows, (line_mm, end_mm))?;
    let time_s = heights.last().map_or(0.0, |(time_s, _)| *time_s);
    let moment = |(time_s, height_mm): &(f64, f64)| Moment {
        time_s: *time_s,
        levels_mm: water.levels_mm(*height_mm),
        taps_l_s: Vec::new(),
    };
    let mut assumptions = stuck.assumptions.clone();
    assumptions.extend([
        format!("discharge coefficient of the seat {FLOAT_VALVE_COEFFICIENT}; a dip tube takes one velocity head"),
        "nobody draws water, and the warning pipe is clear".to_owned(),
    ]);
    if tube_to_find(site, cistern).is_some() {
        assumptions.push("no dip tube in the overflow, since none is told".to_owned());
    }
    assumptions.extend(water.assumption());
    Ok(Played {
        title: format!("The float valve of {} sticks open", cistern.id.spoken()),
        assumptions,
        moments: heights.iter().map(moment).collect(),
        events: events((cistern, &water), &stuck, &heights),
        totals: totals((cistern, rim_mm), &stuck, time_s),
    })
}

/// When the water stands at heights above the base that it rises through: s and mm, from the first to the last.
///
/// t = ∫ A(h) / (Q_in − Q_out(h)) dh, from height to height; where water begins to run out, and at the valve's
/// outlet, a stretch ends.
fn rise(
    site: &Site<'_>,
    (cistern, water): (&Cistern, &OneWater<'_>),
    stuck: &StuckValve,
    overflows: &Overflows,
    (from_mm, to_mm): (f64, f64),
) -> Result<Vec<(f64, f64)>, String> {
    let step = |number: u32| from_mm + (to_mm - from_mm) * f64::from(number) / f64::from(MOMENTS);
    let outlet_mm = cistern.float_valve.and_then(|valve| valve.outlet).map(Length::to_mm);
    let told_of = overflows
        .iter()
        .map(|(invert_mm, _)| *invert_mm)
        .chain(outlet_mm)
        .chain(water.bases_mm())
        .filter(|at_mm| (from_mm..to_mm).contains(at_mm));
    let mut stops_mm: Vec<f64> = (1..=MOMENTS).map(step).chain(told_of).collect();
    stops_mm.sort_by(f64::total_cmp);
    let seconds_per_mm = |height_mm: f64| {
        let litres = water.litres_per_mm(site, height_mm).unwrap_or(f64::NAN);
        litres / (stuck.inflow_l_s - carried_l_s(overflows, height_mm))
    };
    let mut heights = vec![(0.0, from_mm)];
    for to_mm in stops_mm {
        let (time_s, from_mm) = heights[heights.len() - 1];
        let seconds = integral(from_mm, to_mm, TIME_TOLERANCE, |place| seconds_per_mm(place.at));
        let seconds = seconds.filter(|seconds| *seconds >= 0.0).ok_or("how fast the water rises was not found")?;
        heights.push((time_s + seconds, to_mm));
    }
    Ok(heights)
}

fn events((cistern, water): (&Cistern, &OneWater<'_>), stuck: &StuckValve, heights: &[(f64, f64)]) -> Vec<Event> {
    let when = |height_mm: f64| heights.iter().find(|(_, height)| *height >= height_mm).map(|(time_s, _)| *time_s);
    let mut events = Vec::new();
    let mut note = |time_s: Option<f64>, words: &str, place: Place| {
        events.extend(time_s.map(|time_s| Event { time_s, words: words.to_owned(), place }));
    };
    note(
        when(stuck.invert_mm),
        "water begins to run from the warning pipe",
        Place::of(&cistern.id, Feature::WaterLine),
    );
    if let Some(outlet) = cistern.float_valve.and_then(|valve| valve.outlet) {
        let place = Place::of(&cistern.id, Feature::FloatValveOutlet);
        note(when(outlet.to_mm()), "the water reaches the valve's outlet: the air gap is gone", place);
    }
    match (stuck.settles_mm, heights.last()) {
        (Some(_), Some((time_s, _))) => note(
            Some(*time_s),
            "as much runs out as comes in: the level stays",
            Place::of(&cistern.id, Feature::WaterLine),
        ),
        (None, Some((time_s, _))) => {
            let (_, lowest) = water.rim();
            let whose = if water.is_several() { lowest.id.spoken().to_string() } else { "the cistern".to_owned() };
            note(Some(*time_s), &format!("{whose} runs over its rim"), Place::of(&lowest.id, Feature::Top));
        }
        _ => {}
    }
    events.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
    events
}

fn totals((cistern, rim_mm): (&Cistern, f64), stuck: &StuckValve, time_s: f64) -> Vec<Total> {
    let mut totals = vec![
        Total::new("comes in", Unit::LitrePerSecond.of(stuck.inflow_l_s)),
        Total::new("overflow's invert above the base", Amount::mm(stuck.invert_mm)),
    ];
    if let Some(settles_mm) = stuck.settles_mm {
        totals.push(Total::new("water settles above the overflow's invert", Amount::mm(settles_mm - stuck.invert_mm)));
        totals.push(Total::new("rim above the water", Amount::mm(rim_mm - settles_mm)));
        if let Some(outlet) = cistern.float_valve.and_then(|valve| valve.outlet) {
            totals.push(Total::new("air gap that is left", Amount::mm(outlet.to_mm() - settles_mm)));
        }
    }
    totals.push(Total::new("after", Unit::Minute.of(time_s / 60.0)));
    totals
}

fn overflows<'s>(site: &Site<'s>, water: &OneWater<'s>, tube: UntoldTube) -> Result<Overflows, String> {
    let inverts = water.inverts(site)?;
    inverts
        .iter()
        .map(|(cistern, height_mm, invert)| Ok((*height_mm, overflow(site, cistern, invert, tube)?)))
        .collect()
}

/// What to find out of a dip tube that would hold back what runs over from a cistern, or one that is linked with it.
pub(in crate::water) fn tube_to_find(site: &Site<'_>, cistern: &Cistern) -> Option<String> {
    let inverts = OneWater::of(site, cistern).inverts(site).ok()?;
    let is_untold =
        |(cistern, _, invert): &(&Cistern, f64, Invert<'_>)| cistern.dip_tube.is_none() && invert.may_have_dip_tube();
    inverts.iter().any(is_untold).then(|| find_out::DIP_TUBE.to_owned())
}

fn overflow(site: &Site<'_>, cistern: &Cistern, invert: &Invert<'_>, tube: UntoldTube) -> Result<Overflow, String> {
    if let Some(find_out) = invert.way.to_be_drawn(site) {
        return Err(find_out);
    }
    let has_dip_tube = match cistern.dip_tube {
        Some(DipTube::EndsAt(_)) => true,
        Some(DipTube::Missing) => false,
        None => tube == UntoldTube::Fitted && invert.may_have_dip_tube(),
    };
    Ok(Overflow {
        bore_m: 2.0 * invert.half_bore_mm / 1000.0,
        mouth_loss: if has_dip_tube { DIP_TUBE_LOSS } else { 0.0 },
        onward: onward(site, &invert.way)?,
    })
}

/// The way out as one pipe of its narrowest bore: a wider stretch counts as so much less of it as it takes less head
/// (D⁵ for its length, D⁴ for its bends). None where it has no length.
fn onward(site: &Site<'_>, way: &OverflowWay<'_>) -> Result<Option<Onward>, String> {
    let bore_m = |run: &Run| {
        let bore = run.bore().ok_or_else(|| find_out::material_and_size(&run.id))?;
        Ok::<_, String>(bore.to_mm() / 1000.0)
    };
    let (mut stretches, mut comes) = (Vec::new(), None::<DVec2>);
    for leg in &way.legs {
        let Some(line) = site.line(leg.run) else { continue };
        let run = site.run(leg.run);
        let points = line.between(leg.from_mm, leg.to_mm);
        let ways: Vec<DVec2> = points.windows(2).map(|pair| pair[1] - pair[0]).collect();
        // Two runs may make a bend where they meet.
        let meeting =
            comes.zip(ways.first().copied()).map_or(0.0, |(comes, goes)| comes.angle_to(goes).to_degrees().abs());
        comes = ways.last().copied();
        let bends = in_square_bends(meeting) + square_bends(line, leg.span_mm());
        stretches.push((run, bore_m(run)?, leg.length_mm() / 1000.0, bends));
    }
    let Some(&(narrowest, narrowest_m, ..)) = stretches.iter().min_by(|a, b| a.1.total_cmp(&b.1)) else {
        return Ok(None);
    };
    let length_m = stretches.iter().map(|(_, bore_m, length_m, _)| length_m * (narrowest_m / bore_m).powi(5)).sum();
    let bends: f64 = stretches.iter().map(|(_, bore_m, _, bends)| bends * (narrowest_m / bore_m).powi(4)).sum();
    Ok(Some(Onward {
        pipe: Pipe {
            from: 0,
            to: 1,
            length_m,
            bore_m: narrowest_m,
            roughness_m: narrowest.material.map_or(0.0, |material| material.roughness_mm() / 1000.0),
            loss_coefficient: bends * Fitting::Bend.loss_coefficient(Losses::Usual),
            water: cold_water(),
            transition: Transition::Late,
            one_way: OneWay::BothWays,
        },
        fall_m: way.falls_by_mm(site) / 1000.0,
    }))
}

fn carried_l_s(overflows: &Overflows, height_mm: f64) -> f64 {
    overflows
        .iter()
        .map(|(invert_mm, overflow)| overflow.carries_m3_s((height_mm - invert_mm).max(0.0) / 1000.0) * 1000.0)
        .sum()
}
