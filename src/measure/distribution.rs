//! Measures of distribution pipes, of the valves that isolate what they serve, and of warning pipes.

use super::unbranched::{Stretch, has_any, untold};
use super::{Attachment, Axis, Feature, Place, Reading, Site};
use crate::layout::{BoilerKind, COLD, CisternRole, End, HOT, INLET, Id, InLine, MAINS, OutletKind, Service};
use crate::units::Measured;

/// Whether each cold distribution pipe has a full-way valve of its own, before anything branches off.
#[must_use]
pub fn distribution_valve(site: &Site<'_>) -> Vec<Reading> {
    let reading = |(cistern, pipe): (&Id, Attachment<'_>)| {
        let run = &site.run(pipe.run).id;
        let way = site.fittings_before_branch(pipe.run, pipe.end, full_way);
        let holds = has_any(&way);
        let find_out =
            format!("see which valves are in the {}", site.run(untold(&way).unwrap_or(pipe.run)).id.spoken());
        Reading::fact(run, holds, "a full-way valve", "no full-way valve", &find_out).along_with([cistern])
    };
    distribution_pipes(site).into_iter().map(reading).collect()
}

/// Length of pipe from the cistern to the full-way valve of each cold distribution pipe.
#[must_use]
pub fn distribution_valve_distance(site: &Site<'_>) -> Vec<Reading> {
    let pipes = distribution_pipes(site).into_iter();
    pipes.filter_map(|(cistern, pipe)| valve_distance(site, cistern, pipe, full_way)).collect()
}

/// Length of pipe from each float valve back to the nearest valve that shuts it.
#[must_use]
pub fn float_valve_service_valve_distance(site: &Site<'_>) -> Vec<Reading> {
    let cisterns = site.layout().cisterns.iter();
    let inlets = cisterns.flat_map(|cistern| {
        let pipes = site.attached(&cistern.id).iter().filter(|pipe| pipe.port.as_str() == INLET);
        pipes.map(move |pipe| (&cistern.id, *pipe))
    });
    inlets.filter_map(|(cistern, pipe)| valve_distance(site, cistern, pipe, |fitting| fitting.kind.shuts())).collect()
}

/// Length of pipe from a cistern to the nearest valve of a sort, before anything branches off; nothing where there is none.
fn valve_distance(
    site: &Site<'_>,
    cistern: &Id,
    pipe: Attachment<'_>,
    wanted: impl Fn(&InLine) -> bool,
) -> Option<Reading> {
    let run = &site.run(pipe.run).id;
    let mut way = site.fittings_before_branch(pipe.run, pipe.end, wanted).into_iter();
    // The first that has one decides, unless something before it is not told.
    let stretch = way.find(|stretch| stretch.fittings.as_ref().is_none_or(|valves| !valves.is_empty()))?;
    let in_run = &site.run(stretch.leg.run).id;
    let Some(valves) = &stretch.fittings else {
        return Some(Reading::untold(run, format!("see which valves are in the {}", in_run.spoken())));
    };
    let nearest = valves.iter().min_by(|a, b| stretch.away_mm(a).total_cmp(&stretch.away_mm(b)))?;
    let distance = site.taped(stretch.away_mm(nearest));
    let places =
        [Place::of(cistern, Feature::Port(pipe.port.clone())), Place::of(in_run, Feature::Along(nearest.at.to_mm()))];
    Some(
        Reading::mm(run, distance)
            .along_with([cistern])
            .between(Axis::Along, places)
            .working(format!("along the pipe from the cistern: {:.0} mm", distance.value)),
    )
}

fn full_way(fitting: &InLine) -> bool {
    fitting.kind.is_full_way()
}

fn distribution_pipes<'a>(site: &Site<'a>) -> Vec<(&'a Id, Attachment<'a>)> {
    let cisterns = site.layout().cisterns.iter().filter(|cistern| cistern.role == CisternRole::Storage);
    cisterns
        .flat_map(|cistern| {
            site.attached_of(&cistern.id, Service::ColdDistribution).map(move |pipe| (&cistern.id, pipe))
        })
        .collect()
}

/// Whether each appliance that needs a service valve has one in every pipe that ends on it.
#[must_use]
pub fn appliance_service_valve(site: &Site<'_>) -> Vec<Reading> {
    let layout = site.layout();
    let supplied = |kind: OutletKind| -> &[&str] {
        match kind {
            OutletKind::Wc | OutletKind::WashingMachine | OutletKind::Dishwasher => &[COLD, HOT],
            // Its hot port is where the water leaves it.
            OutletKind::WaterHeater => &[COLD],
            OutletKind::Basin | OutletKind::Sink | OutletKind::Bath | OutletKind::Shower => &[],
        }
    };
    let outlets = layout.outlets.iter().map(|outlet| (&outlet.id, supplied(outlet.kind)));
    let outlets = outlets.filter(|(_, ports)| !ports.is_empty());
    let on_mains = |id: &Id| site.attached(id).iter().any(|pipe| pipe.port.as_str() == MAINS);
    let boilers = layout.boilers.iter().filter(|boiler| match boiler.kind {
        Some(kind) => kind == BoilerKind::Combination,
        None => on_mains(&boiler.id),
    });
    let boilers = boilers.map(|boiler| (&boiler.id, [MAINS].as_slice()));
    outlets.chain(boilers).flat_map(|(id, ports)| service_valves_of(site, id, ports)).collect()
}

/// One reading for each pipe on the ports by which an appliance is supplied.
fn service_valves_of(site: &Site<'_>, appliance: &Id, ports: &[&str]) -> Vec<Reading> {
    let supplies = site.attached(appliance).iter().filter(|pipe| ports.contains(&pipe.port.as_str()));
    let readings: Vec<_> = supplies.map(|pipe| service_valve(site, appliance, Some(*pipe))).collect();
    if readings.is_empty() { vec![service_valve(site, appliance, None)] } else { readings }
}

/// Whether the pipe that ends on an appliance can be shut for that appliance alone.
pub(super) fn service_valve(site: &Site<'_>, appliance: &Id, pipe: Option<Attachment<'_>>) -> Reading {
    let Some(pipe) = pipe else {
        return Reading::untold(appliance, format!("draw the pipe that supplies the {}", appliance.spoken()));
    };
    let run = &site.run(pipe.run).id;
    let way = site.fittings_before_branch(pipe.run, pipe.end, |fitting| fitting.kind.shuts());
    let holds = has_any(&way);
    let in_run = &site.run(untold(&way).unwrap_or(pipe.run)).id;
    let find_out = format!("see whether there is a service valve in the {}", in_run.spoken());
    let away_mm = |stretch: &Stretch| {
        let valves = stretch.fittings.iter().flatten();
        valves.map(|valve| stretch.away_mm(valve)).min_by(f64::total_cmp)
    };
    let nearest_mm = way.iter().find_map(away_mm);
    let reading = Reading::fact(appliance, holds, "a service valve", "no service valve", &find_out).along_with([run]);
    nearest_mm.into_iter().fold(reading, |reading, away_mm| {
        reading.working(format!("the nearest valve is {away_mm:.0} mm away along the pipe"))
    })
}

/// Whether each warning pipe is free of valves.
#[must_use]
pub fn warning_pipe_free(site: &Site<'_>) -> Vec<Reading> {
    let reading = |number: usize| {
        let run = site.run(number);
        let valves = site.fittings(number, |fitting| fitting.kind.is_valve());
        let find_out = format!("see whether there is a valve in the {}", run.id.spoken());
        let holds = valves.as_ref().map(Vec::is_empty);
        let reading = Reading::fact(&run.id, holds, "no valve", "a valve in the warning pipe", &find_out);
        match valves.and_then(|valves| valves.first().copied()) {
            Some(valve) => reading.at(Place::of(&run.id, Feature::Along(valve.at.to_mm()))),
            None => reading,
        }
    };
    warning_pipes(site).map(reading).collect()
}

/// The greatest rise of each warning pipe on its way from the cistern.
#[must_use]
pub fn warning_pipe_rise(site: &Site<'_>) -> Vec<Reading> {
    warning_pipes(site).filter_map(|number| rise_of(site, number)).collect()
}

fn warning_pipes(site: &Site<'_>) -> impl Iterator<Item = usize> {
    let runs = site.layout().runs.iter().enumerate();
    runs.filter(|(_, run)| run.service == Service::WarningPipe)
        .map(|(number, _)| number)
        .collect::<Vec<_>>()
        .into_iter()
}

/// How far out on its way from the cistern an end of a warning pipe is.
const fn outwardness(end: &End) -> u8 {
    match end {
        End::Port(..) => 0,
        End::Tee(..) => 1,
        End::Open(_) | End::Onward(_) => 2,
    }
}

fn rise_of(site: &Site<'_>, number: usize) -> Option<Reading> {
    let run = site.run(number);
    let line = site.line(number)?;
    // A pipe drawn from its outer end inward is followed the other way.
    let drawn_inward = outwardness(&run.from) > outwardness(&run.to);
    let (start_mm, end_mm) = if drawn_inward { (line.length(), 0.0) } else { (0.0, line.length()) };
    let points = line.between(start_mm, end_mm);
    let mut travelled_mm = 0.0;
    let mut low = (points[0].y, 0.0);
    let mut steepest = (0.0, 0.0, 0.0);
    for pair in points.windows(2) {
        travelled_mm += pair[0].distance(pair[1]);
        if pair[1].y - low.0 > steepest.0 {
            steepest = (pair[1].y - low.0, low.1, travelled_mm);
        }
        if pair[1].y < low.0 {
            low = (pair[1].y, travelled_mm);
        }
    }
    let (rise_mm, low_at_mm, high_at_mm) = steepest;
    let along = |travelled_mm: f64| if drawn_inward { line.length() - travelled_mm } else { travelled_mm };
    let reading = Reading::mm(&run.id, if rise_mm > 0.0 { site.taped(rise_mm) } else { Measured::exact(0.0) })
        .working(format!("greatest rise on the way out: {rise_mm:.1} mm"));
    Some(if rise_mm > 0.0 {
        let place = |at_mm| Place::of(&run.id, Feature::Along(along(at_mm)));
        reading.between(Axis::Upright, [place(low_at_mm), place(high_at_mm)])
    } else {
        reading
    })
}
