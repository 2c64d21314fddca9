//! Measures of warning pipes and overflows, and of the air gap that they keep.

use std::collections::BTreeSet;

use super::cistern::{above_water, outlet_above_overflow, with_float_valve};
use super::linked::{filled_by_link, linked_with};
use super::overflow_level::{HIGHER_BY_MM, drawn_inverts, highest_invert, overflow_inverts};
use super::overflow_way::Stop;
use super::primary::cisterns_below;
use super::reading::{WRITTEN_WITHIN_MM, difference, tenths_mm, written_mm};
use super::{Axis, Feature, Fitted, Have, OverflowWay, Place, Reading, Site, find_out, rim_volume_l, room};
use crate::geom::ONE_JOINT_MM;
use crate::layout::{Cistern, CisternRole, Discharge, End, INLET, Id, PartRef, Service};
use crate::units::{Measured, Size};

/// Bore of the pipe that supplies a cistern's float valve; of one that is filled through a link the widest of those that
/// fill it.
///
/// # Errors
/// What to find out, when the pipe or its size is not told.
fn inlet_bore(site: &Site<'_>, cistern: &Cistern) -> Result<Size, String> {
    if !filled_by_link(site, cistern) {
        return own_inlet_bore(site, cistern);
    }
    let filling = linked_with(site, cistern).into_iter().filter(|other| other.float_valve.is_some());
    let bores = filling.map(|other| own_inlet_bore(site, other)).collect::<Result<Vec<_>, _>>()?;
    bores.into_iter().max().ok_or_else(|| draw_its_supply(cistern))
}

fn own_inlet_bore(site: &Site<'_>, cistern: &Cistern) -> Result<Size, String> {
    let run = site
        .on_port(&cistern.id, INLET)
        .map(|pipe| site.run(pipe.run))
        .next()
        .ok_or_else(|| draw_its_supply(cistern))?;
    run.bore().ok_or_else(|| find_out::material_and_size(&run.id))
}

fn draw_its_supply(cistern: &Cistern) -> String {
    format!("draw the pipe to the float valve of {}", cistern.id.with_article())
}

/// How far each float valve's outlet lies above the overflow, against the bore of the pipe that supplies it.
#[must_use]
pub fn air_gap(site: &Site<'_>) -> Vec<Reading> {
    let reading = |cistern: &Cistern| {
        let gap = match outlet_above_overflow(site, cistern) {
            Ok(gap) => gap,
            Err(find_out) => return Reading::untold(&cistern.id, find_out),
        };
        // However narrow the supply, some gap is asked.
        let (bore_mm, rest, known) = match inlet_bore(site, cistern) {
            Ok(bore) => (bore.to_mm(), None, format!("bore of the supply: {:.1} mm", bore.to_mm())),
            Err(find_out) => (0.0, Some(find_out), "bore of the supply: not told".to_owned()),
        };
        gap.against(Measured::exact(bore_mm)).but_for(rest).working(known)
    };
    with_float_valve(site).filter(|cistern| !site.has_no_warning_pipe(cistern)).map(reading).collect()
}

/// How far the lowest overflow's invert lies below the rim of each cistern that has one.
#[must_use]
pub fn overflow_below_rim(site: &Site<'_>) -> Vec<Reading> {
    let reading = |cistern: &Cistern| {
        let inverts = match drawn_inverts(site, cistern) {
            Ok(found) => found,
            Err(find_out) => return Reading::untold(&cistern.id, find_out),
        };
        let invert = &inverts[0];
        let below = site.size(cistern.height) - invert.height;
        Reading::mm(&cistern.id, below)
            .along_with(invert.way.runs().map(|run| &site.run(run).id))
            .between(Axis::Upright, [invert.place.clone(), Place::of(&cistern.id, Feature::Top)])
            .working(difference(
                ("rim", written_mm(cistern.height.to_mm())),
                ("overflow invert", tenths_mm(invert.height.value)),
                below,
            ))
    };
    let has_one = |cistern: &&Cistern| site.attached_of(&cistern.id, Service::WarningPipe).next().is_some();
    site.layout().cisterns.iter().filter(has_one).map(reading).collect()
}

/// Whether each cistern has a warning pipe.
#[must_use]
pub fn warning_pipe(site: &Site<'_>) -> Vec<Reading> {
    let reading = |cistern: &Cistern| {
        let is_drawn = site.attached_of(&cistern.id, Service::WarningPipe).next().is_some();
        // Of a cistern without any pipe or hole nobody has told yet what is on it.
        let holds = match is_drawn || site.has_no_warning_pipe(cistern) {
            true => Ok(is_drawn),
            false => Err(format!("draw the pipes of {}, its warning pipe among them", cistern.id.with_article())),
        };
        Reading::fact(&cistern.id, holds, "a warning pipe", "no warning pipe")
    };
    site.layout().cisterns.iter().map(reading).collect()
}

/// Whether each warning pipe keeps to its own cistern all the way out.
#[must_use]
pub fn warning_pipes_apart(site: &Site<'_>) -> Vec<Reading> {
    // For each run its body of joined pipes, and the cisterns on which that body ends; what of it is not drawn.
    let mut body_of: Vec<Option<usize>> = vec![None; site.layout().runs.len()];
    let (mut parts_of, mut rest_of): (Vec<BTreeSet<&Id>>, Vec<Option<String>>) = (Vec::new(), Vec::new());
    for body in site.bodies_of(&[Service::WarningPipe]) {
        let ends = body.iter().flat_map(|run| site.run(*run).ends());
        let parts = ends.filter_map(End::hangs_on).map(|(part, _)| part);
        parts_of.push(parts.filter(|part| matches!(site.part(part), Some(PartRef::Cistern(_)))).collect());
        rest_of.push(body.iter().find_map(|run| site.rest_of_warning_pipe(*run)));
        body.iter().for_each(|run| body_of[*run] = Some(parts_of.len() - 1));
    }
    with_cistern(site, |cistern, way| {
        let run = site.run(way.first_run());
        let body = body_of[way.first_run()]?;
        let other = parts_of[body].iter().copied().find(|part| **part != cistern.id);
        let reading = match other {
            None => Reading::yes(&run.id, "a warning pipe of its own"),
            Some(_) => Reading::no(&run.id, "a warning pipe joined to that of another cistern"),
        };
        let reading = reading.but_for(rest_of[body].clone());
        Some(reading.along_with(std::iter::once(&cistern.id).chain(other)))
    })
}

/// Whether nothing but other warning pipes joins each warning pipe: else water that is stored, or comes from the main, runs
/// out of it. What shares a hole of the cistern with it is told by the height of their connections.
#[must_use]
pub fn warning_pipe_by_itself(site: &Site<'_>) -> Vec<Reading> {
    let joins = |run: usize| {
        let mut joints = site.joints(run).iter().filter(|joint| site.run(joint.other).service != Service::WarningPipe);
        joints.find(|joint| !is_on_port(site, run, joint.at_mm)).map(|joint| (run, joint))
    };
    let reading = |body: Vec<usize>| {
        let (yes, no) = ("a warning pipe that no other pipe joins", "a warning pipe joined to a pipe of other water");
        match body.iter().find_map(|run| joins(*run)) {
            Some((run, joint)) => {
                let (id, other) = (&site.run(run).id, &site.run(joint.other).id);
                let place = Place::of(id, Feature::Along(joint.at_mm));
                let words =
                    format!("{} joins {} {:.0} mm along it", other.with_article(), id.with_article(), joint.at_mm);
                Reading::no(id, no).along_with([other]).at(place).working(words)
            }
            None => Reading::yes(&site.run(body[0]).id, yes)
                .but_for(body.iter().find_map(|run| site.rest_of_warning_pipe(*run))),
        }
    };
    site.bodies_of(&[Service::WarningPipe]).into_iter().map(reading).collect()
}

fn is_on_port(site: &Site<'_>, run: usize, at_mm: f64) -> bool {
    site.ends_at(run, at_mm).any(|end| matches!(site.run(run).end(end), End::Port(..)))
}

/// One reading for each way out, asked with the cistern that it leaves.
fn with_cistern<'a>(
    site: &Site<'a>,
    measure: impl Fn(&'a Cistern, &OverflowWay<'a>) -> Option<Reading>,
) -> Vec<Reading> {
    let mut readings: Vec<Reading> = Vec::new();
    for cistern in &site.layout().cisterns {
        let first = readings.len();
        for reading in site.all_ways_out_of(cistern).iter().filter_map(|way| measure(cistern, way)) {
            // Of ways that part the same may be said.
            if !readings[first..].contains(&reading) {
                readings.push(reading);
            }
        }
    }
    readings
}

/// Whether a way out is the first by which the water of its cistern runs: that one warns, and those above it only carry
/// more.
///
/// # Errors
/// What to find out, when the layout does not tell which of several is the lowest.
fn runs_first(site: &Site<'_>, cistern: &Cistern, way: &OverflowWay<'_>) -> Result<bool, String> {
    let (_, port) = way.from.unzip();
    if site.ways_out_of(cistern).len() <= 1 {
        return Ok(true);
    }
    let inverts = overflow_inverts(site, cistern)?;
    let lowest_mm = inverts[0].height.value;
    let own = inverts.iter().find(|invert| invert.way.from.unzip().1 == port);
    Ok(own.is_none_or(|own| own.height.value <= lowest_mm + HIGHER_BY_MM))
}

/// Where each warning pipe lets its water go, the lowest of several on a cistern: the run with the open end tells, unless
/// that is drawn in the loft, where the water runs onto the ceiling and nobody passes.
#[must_use]
pub fn discharge(site: &Site<'_>) -> Vec<Reading> {
    with_cistern(site, |cistern, way| {
        let runs_first = runs_first(site, cistern, way);
        if runs_first == Ok(false) {
            return None;
        }
        let (run, end_mm) = (site.run(way.last().run), way.last().to_mm);
        let told = run.discharge.ok_or("see where the warning pipe ends, and whether anyone would notice it run");
        let is_in_loft = way.open_end(site).is_some_and(|end| room::lies_in_loft(site, end));
        let discharge =
            if is_in_loft { Ok("an open end in the loft, over the ceiling") } else { told.map(Discharge::words) };
        Some(
            Reading::choice(&run.id, discharge)
                .along_with([&cistern.id])
                .at(Place::of(&run.id, Feature::Along(end_mm)))
                .unless(runs_first.err()),
        )
    })
}

/// Whether what runs over from each feed-and-expansion cistern is let go elsewhere than over a storage cistern. What goes on
/// beyond the drawing, and is told to be seen there, is let go where people see it.
#[must_use]
pub fn clear_of_storage(site: &Site<'_>) -> Vec<Reading> {
    with_cistern(site, |cistern, way| {
        if cistern.role != CisternRole::FeedAndExpansion {
            return None;
        }
        let (run, end_mm) = (site.run(way.last().run), way.last().to_mm);
        let below = way.open_end(site).map(|end| cisterns_below(site, end)).unwrap_or_default();
        let stored = || below.iter().filter(|cistern| cistern.role == CisternRole::Storage);
        let is_clear = match (stored().count(), way.to_be_drawn(site)) {
            (0, Some(find_out)) if run.discharge.is_none() => Err(find_out),
            (0, _) => Ok(true),
            (over, _) if over == below.len() => Ok(false),
            _ => Err(format!("see over which cistern {} ends", run.id.with_article())),
        };
        let (yes, no) = ("an open end clear of stored water", "an open end over stored water");
        let reading = Reading::fact(&run.id, is_clear, yes, no).along_with(stored().map(|below| &below.id));
        Some(reading.along_with([&cistern.id]).at(Place::of(&run.id, Feature::Along(end_mm))))
    })
}

/// Bore of each warning pipe, at its narrowest.
#[must_use]
pub fn warning_bore(site: &Site<'_>) -> Vec<Reading> {
    with_cistern(site, |cistern, way| Some(narrowest(site, cistern, way)))
}

/// Bore of each warning pipe at its narrowest, against the bore of the pipe that supplies the float valve.
#[must_use]
pub fn warning_bore_against_inlet(site: &Site<'_>) -> Vec<Reading> {
    with_cistern(site, |cistern, way| {
        let reading = narrowest(site, cistern, way);
        Some(match inlet_bore(site, cistern) {
            Ok(inlet) => {
                let times = match reading.have {
                    Have::Amount(bore, _) => Some(bore.value / inlet.to_mm()),
                    _ => None,
                };
                reading
                    .against(Measured::exact(inlet.to_mm()))
                    .working(format!("bore of the supply: {:.1} mm", inlet.to_mm()))
                    .workings(times.map(|times| format!("the warning pipe is {times:.2} times as wide inside")))
            }
            Err(find_out) => Reading::untold(&reading.parts[0], find_out).along_with([&cistern.id]),
        })
    })
}

/// The narrowest bore on a way out that is known of. Tube is sold by size; a tape does not decide its bore.
fn narrowest(site: &Site<'_>, cistern: &Cistern, way: &OverflowWay<'_>) -> Reading {
    let bores = way.runs().map(|run| site.run(run)).map(|run| (run, run.bore().map(Size::to_mm)));
    let (told, untold): (Vec<_>, Vec<_>) = bores.partition(|(_, bore_mm)| bore_mm.is_some());
    let tell = untold.first().map(|(run, _)| find_out::material_and_size(&run.id));
    let told = told.into_iter().filter_map(|(run, bore_mm)| Some((run, bore_mm?)));
    let reading = match told.min_by(|a, b| a.1.total_cmp(&b.1)) {
        Some((run, bore_mm)) => {
            Reading::mm(&run.id, Measured::exact(bore_mm)).but_for(tell.or_else(|| way.to_be_drawn(site)))
        }
        None => {
            let first = &site.run(way.first_run()).id;
            Reading::untold(first, find_out::material_and_size(first))
        }
    };
    reading.along_with([&cistern.id]).along_with(way.runs().map(|run| &site.run(run).id))
}

/// Whether each warning pipe is free of valves.
#[must_use]
pub fn warning_pipe_free(site: &Site<'_>) -> Vec<Reading> {
    let reading = |number: usize| {
        let run = site.run(number);
        let is_valve = |fitting: &&Fitted| fitting.kind.is_valve();
        let valve = site.fitted(number).map(|fittings| fittings.iter().find(is_valve));
        let holds = valve.map(|valve| valve.is_none()).ok_or_else(|| find_out::any_valve(&run.id));
        let reading = Reading::fact(&run.id, holds, "no valve", "a valve in the warning pipe")
            .but_for(site.rest_of_warning_pipe(number));
        match valve.flatten() {
            Some(valve) => reading.at(Place::of(&run.id, Feature::Along(valve.at_mm))),
            None => reading,
        }
    };
    site.warning_pipes().map(reading).collect()
}

/// What falls by more than so many standard uncertainties falls, whatever guard factor is in force.
const FALLS_SURELY: f64 = 4.0;

/// The greatest rise of each warning pipe on its way from the cistern; nothing rises where all of it surely falls. What is
/// drawn level may do either, by as little as can be written.
#[must_use]
pub fn warning_pipe_rise(site: &Site<'_>) -> Vec<Reading> {
    site.ways_out().iter().filter_map(|way| rise_of(site, way)).collect()
}

fn rise_of(site: &Site<'_>, way: &OverflowWay<'_>) -> Option<Reading> {
    let stops = way.stops(site);
    let first = stops.first()?;
    let (low, high) = greatest_rise(&stops).or_else(|| least_fall(&stops)).unwrap_or((first, first));
    let rise_mm = high.point.y - low.point.y;
    let rise_mm = if rise_mm.abs() > WRITTEN_WITHIN_MM { rise_mm } else { 0.0 };
    let rise = site.taped(rise_mm).blurred(WRITTEN_WITHIN_MM);
    // Of what goes on beyond the drawing the rest is asked for first.
    let falls = rise_mm < -FALLS_SURELY * rise.standard_uncertainty() || (way.goes_on && rise_mm <= 0.0);
    let working = match rise_mm > 0.0 || falls {
        true => format!("greatest rise on the way out: {:.1} mm", rise_mm.max(0.0)),
        false => format!("least fall on the way out: {} mm", tenths_mm(-rise_mm)),
    };
    let reading = Reading::mm(&site.run(way.first_run()).id, if falls { Measured::exact(0.0) } else { rise })
        .along_with(way.runs().map(|run| &site.run(run).id))
        .but_for(way.to_be_drawn(site))
        .working(working);
    let place = |stop: &Stop| Place::of(&site.run(stop.run).id, Feature::Along(stop.along_mm));
    let (lower, upper) = if rise_mm < 0.0 { (high, low) } else { (low, high) };
    Some(if falls { reading } else { reading.between(Axis::Upright, [place(lower), place(upper)]) })
}

/// From where to where a way rises most; none where it does not.
fn greatest_rise(stops: &[Stop]) -> Option<(&Stop, &Stop)> {
    let mut low = stops.first()?;
    let (mut rise_mm, mut between) = (WRITTEN_WITHIN_MM, None);
    for stop in stops {
        if stop.point.y - low.point.y > rise_mm {
            (rise_mm, between) = (stop.point.y - low.point.y, Some((low, stop)));
        }
        if stop.point.y < low.point.y {
            low = stop;
        }
    }
    between
}

/// From where to where a way falls least from one bend to the next.
fn least_fall(stops: &[Stop]) -> Option<(&Stop, &Stop)> {
    let stretches = stops.windows(2).map(|pair| (&pair[0], &pair[1]));
    let stretches = stretches.filter(|(from, to)| from.point.distance(to.point) > ONE_JOINT_MM);
    let fall_mm = |(from, to): &(&Stop, &Stop)| from.point.y - to.point.y;
    stretches.min_by(|a, b| fall_mm(a).total_cmp(&fall_mm(b)))
}

/// How far the overflow's invert lies above the water line of each cistern that counts as large, holding more than so many
/// litres, or that may, since nobody has told its size. Of several ways out at unlike levels the highest is the overflow;
/// what lies below it warns.
#[must_use]
pub fn overflow_above_water_in_large(site: &Site<'_>, large_over_l: f64) -> Vec<Reading> {
    let reading = |cistern: &Cistern| {
        let untold = match rim_volume_l(site, cistern) {
            Ok((litres, _)) if litres.value > large_over_l => None,
            Ok(_) => return None,
            Err(find_out) => Some(find_out),
        };
        // What is far enough below the overflow is so in a cistern of any size.
        Some(above_water(site, cistern, highest_invert(site, cistern)).unless(untold))
    };
    let cisterns = site.layout().cisterns.iter();
    cisterns.filter(|cistern| !site.has_no_warning_pipe(cistern)).filter_map(reading).collect()
}
