//! Ways of the heating's water: from boilers to the open air, and to the cistern that feeds them.

use super::free_ways::{Asked, FreeWays, InTheWay, any_of};
use super::shortest::Ways;
use super::vent::VentWay;
use super::{Attachment, Feature, Fitted, Have, Leg, Place, Reading, Site, find_out};
use crate::geom::Polyline;
use crate::layout::{Boiler, Cistern, End, Id, InLineKind, PRIMARY_FLOW, PRIMARY_RETURN, Run, Service, WhichEnd};

/// A way on which nothing can be shut.
const NO_VALVE: Asked<'static> = Asked::by_pipes(&Service::PRIMARY, InLineKind::is_valve);

/// Services of pipes by which nothing goes round: what they meet of each other is no beginning of a way out.
const OUT_AND_IN: [Service; 2] = [Service::PrimaryVent, Service::PrimaryFeed];

impl Site<'_> {
    /// The vents of the heating, each from where it leaves the pipes in which the water goes round, or the boiler, to its
    /// open end.
    pub(super) fn primary_vents(&self) -> Vec<VentWay<'_>> {
        let (vent, by_feed) = ([Service::PrimaryVent], [Service::PrimaryVent, Service::PrimaryFeed]);
        // What leaves by the feed shares that as far as the tee. Of a feed that leads no further nothing else is known.
        let ways = [
            Ways::from(self, self.leaves(&vent), &vent),
            Ways::from(self, self.leaves(&by_feed), &by_feed),
            Ways::from(self, self.tees_on(Service::PrimaryVent, Service::PrimaryFeed), &vent),
        ];
        let to_mouth = |(run, _): (usize, &Run)| {
            let mouth_mm = self.mouth_along(run)?;
            VentWay::along(self, ways.iter().find_map(|ways| ways.to(run, mouth_mm))?)
        };
        self.runs_of(Service::PrimaryVent).filter_map(to_mouth).collect()
    }

    /// Where runs of some services leave pipes of other services than feeds and vents, a part, or the drawing.
    fn leaves(&self, services: &[Service]) -> Vec<(usize, f64)> {
        let of_run = |number: usize| {
            let others =
                self.joints(number).iter().filter(|joint| !OUT_AND_IN.contains(&self.run(joint.other).service));
            // A feed comes from its cistern; a vent leads to none.
            let is_beginning = |end: &WhichEnd| match self.run(number).end(*end) {
                end @ End::Port(..) => self.cistern_at(end).is_none(),
                End::Onward(_) => self.run(number).service == Service::PrimaryVent,
                End::Tee(..) | End::Open(_) => false,
            };
            let ends = WhichEnd::BOTH.into_iter().filter(is_beginning);
            let ends = ends.filter_map(move |end| self.end_along(number, end));
            others.map(|joint| joint.at_mm).chain(ends).map(move |at_mm| (number, at_mm)).collect::<Vec<_>>()
        };
        services.iter().flat_map(|service| self.runs_of(*service)).flat_map(|(number, _)| of_run(number)).collect()
    }

    /// Where runs of a service meet those of another: the runs of the first, and how far along them.
    fn tees_on(&self, service: Service, other: Service) -> Vec<(usize, f64)> {
        let on = |number: usize| {
            let joints = self.joints(number).iter().filter(move |joint| self.run(joint.other).service == other);
            joints.map(move |joint| (number, joint.at_mm))
        };
        self.runs_of(service).flat_map(|(number, _)| on(number)).collect()
    }

    /// Runs of a service, by their numbers.
    pub(super) fn runs_of(&self, service: Service) -> impl Iterator<Item = (usize, &Run)> {
        self.layout().runs.iter().enumerate().filter(move |(_, run)| run.service == service)
    }
}

/// Whether nothing is in the way from each boiler through its vent to the open air. A boiler that heats the water of a
/// cylinder itself may let out by that.
#[must_use]
pub fn primary_vent_free(site: &Site<'_>) -> Vec<Reading> {
    let mouth = |(number, _): (usize, &Run)| Some((number, site.mouth_along(number)?));
    let mouths: Vec<(usize, f64)> = site.runs_of(Service::PrimaryVent).filter_map(mouth).collect();
    let tappings = direct_tappings(site);
    let mut readings = free(site, Service::PrimaryVent, &mouths, &tappings, "a valve between boiler and open end");
    readings.extend(free_to_cylinder(site, &mouths, &tappings));
    readings
}

/// The ends of primary pipes on cylinders whose stored water they carry.
pub(super) fn direct_tappings(site: &Site<'_>) -> Vec<(usize, f64)> {
    let is_direct = |pipe: &&Attachment<'_>| {
        matches!(pipe.port.as_str(), PRIMARY_FLOW | PRIMARY_RETURN) && site.run(pipe.run).service.is_primary()
    };
    let cylinders = site.layout().cylinders.iter();
    let pipes = cylinders.flat_map(|cylinder| site.attached(&cylinder.id)).filter(is_direct);
    pipes.filter_map(|pipe| site.end_of(pipe)).collect()
}

/// For each boiler from which no vent of the heating is drawn, and pipes to the stored water of a cylinder are: whether
/// one of them is free. From there the cylinder's vent lets out.
fn free_to_cylinder(site: &Site<'_>, mouths: &[(usize, f64)], tappings: &[(usize, f64)]) -> Vec<Reading> {
    if tappings.is_empty() {
        return Vec::new();
    }
    let ways = FreeWays::from(site, tappings, NO_VALVE);
    let (to_vents, to_cylinders) =
        (Ways::from(site, mouths.to_vec(), &Service::PRIMARY), Ways::from(site, tappings.to_vec(), &Service::PRIMARY));
    let read = |boiler: &Boiler| {
        let pipes = pipes_of(site, boiler, &Service::PRIMARY);
        let paths = |ways: &Ways| -> Vec<Vec<Leg>> {
            pipes.iter().filter_map(|pipe| ways.to(pipe.run, site.end_along(pipe.run, pipe.end)?)).collect()
        };
        if !paths(&to_vents).is_empty() {
            return None;
        }
        let paths = paths(&to_cylinders);
        if paths.is_empty() {
            return None;
        }
        let in_the_way = paths.iter().map(|path| site.in_the_way(path, |_, fitting| fitting.kind.is_valve()));
        let is_free = any_of(pipes.iter().map(|pipe| ways.lead_to(pipe.run, pipe.end)));
        let (yes, no) = ("a pipe to the cylinder without a valve", "a valve in every pipe to the cylinder");
        let mut on_the_ways = paths.iter().flatten().map(|leg| site.run(leg.run));
        let untold = on_the_ways.find(|run| run.fittings.is_none()).unwrap_or(site.run(pipes[0].run));
        let valves = in_the_way.filter_map(|found| match found {
            InTheWay::Fitting { run, at_mm, .. } => Some((&site.run(run).id, at_mm)),
            _ => None,
        });
        let valves: Vec<(&Id, f64)> = valves.filter(|_| is_free == Some(false)).collect();
        let is_free = is_free.ok_or_else(|| find_out::any_valve(&untold.id));
        let reading = Reading::fact(&boiler.id, is_free, yes, no);
        let reading = reading.along_with(valves.iter().map(|(run, _)| *run));
        Some(match valves.first() {
            Some((run, at_mm)) => reading.at(Place::of(run, Feature::Along(*at_mm))),
            None => reading.at(Place::middle(&boiler.id)),
        })
    };
    site.layout().boilers.iter().filter_map(read).collect()
}

/// The pipes of some services on a boiler.
pub(super) fn pipes_of<'s>(site: &'s Site<'_>, boiler: &Boiler, services: &[Service]) -> Vec<&'s Attachment<'s>> {
    site.attached(&boiler.id).iter().filter(|pipe| services.contains(&site.run(pipe.run).service)).collect()
}

/// Whether nothing is in the way from each feed-and-expansion cistern to the boilers that it feeds.
#[must_use]
pub fn primary_feed_free(site: &Site<'_>) -> Vec<Reading> {
    let hole = |(number, run): (usize, &Run)| {
        let end = WhichEnd::BOTH.into_iter().find(|end| site.cistern_at(run.end(*end)).is_some())?;
        Some((number, site.end_along(number, end)?))
    };
    let holes: Vec<(usize, f64)> = site.runs_of(Service::PrimaryFeed).filter_map(hole).collect();
    let mut readings = free(site, Service::PrimaryFeed, &holes, &[], "a valve between cistern and boiler");
    let has_no_pipe = |cistern: &&Cistern| site.attached_of(&cistern.id, Service::PrimaryFeed).next().is_none();
    let not_drawn = |cistern: &Cistern| {
        let find_out = format!("draw the primary feed, from {} to the pipes of the heating", cistern.id.with_article());
        Reading::untold(&cistern.id, find_out)
    };
    readings.extend(site.expansion_cisterns().filter(has_no_pipe).map(not_drawn));
    readings
}

/// One reading for each run of a service; where ways begin on it that are barred further on, one for each boiler to which
/// they would lead instead, or as well if the run itself is not free. What other ways lead to, they need not.
fn free(
    site: &Site<'_>,
    service: Service,
    begin: &[(usize, f64)],
    other: &[(usize, f64)],
    barred: &'static str,
) -> Vec<Reading> {
    let on_the_way = barred_boilers(site, service, begin, other, barred);
    let readings = |(number, run): (usize, &Run)| {
        let further = on_the_way.iter().filter(|(first, _)| *first == number).map(|(_, reading)| reading.clone());
        let mut readings: Vec<Reading> = further.collect();
        let own = free_itself(site, number, run);
        if readings.is_empty() || !matches!(own.have, Have::Yes(_)) {
            readings.insert(0, own);
        }
        readings
    };
    site.runs_of(service).flat_map(readings).collect()
}

fn free_itself(site: &Site<'_>, number: usize, run: &Run) -> Reading {
    let yes = "neither valve nor pump";
    // Where a vent carries the water of the circuit, the pump may sit in it.
    let in_its_way = |number, fitting: &Fitted| {
        fitting.kind.is_valve() || (fitting.kind.hinders() && !site.carries_at(number, fitting.at_mm))
    };
    let length_mm = site.line(number).map_or(0.0, Polyline::length);
    match site.in_the_way(&[Leg { run: number, from_mm: 0.0, to_mm: length_mm }], in_its_way) {
        InTheWay::Fitting { at_mm, kind, .. } => {
            let no = if kind == InLineKind::Pump { "a pump" } else { "a valve" };
            Reading::no(&run.id, no).at(Place::of(&run.id, Feature::Along(at_mm)))
        }
        InTheWay::Untold(_) => Reading::untold(&run.id, find_out::any_valve(&run.id)),
        InTheWay::Nothing => Reading::yes(&run.id, yes),
    }
}

/// For each boiler to which no way leads that nothing could shut, though pipes lead there: the run of the service at
/// which they begin, and what was found beyond it. A coil is no way: what boils has to get out by pipes alone
/// (common practice, no source).
fn barred_boilers(
    site: &Site<'_>,
    service: Service,
    begin: &[(usize, f64)],
    other: &[(usize, f64)],
    barred: &'static str,
) -> Vec<(usize, Reading)> {
    let boilers = &site.layout().boilers;
    if boilers.is_empty() || begin.is_empty() {
        return Vec::new();
    }
    let free = FreeWays::from(site, &[begin, other].concat(), NO_VALVE);
    let reach = site.reach_from(begin.iter().copied(), &Service::PRIMARY);
    let finding = |boiler: &Boiler| {
        let pipes = pipes_of(site, boiler, &Service::PRIMARY);
        let leads: Vec<Option<bool>> = pipes.iter().map(|pipe| free.lead_to(pipe.run, pipe.end)).collect();
        if leads.contains(&Some(true)) {
            return None;
        }
        let paths = pipes.iter().filter_map(|pipe| Some(reach.path_to(pipe.run, site.end_along(pipe.run, pipe.end)?)));
        let paths: Vec<Vec<Leg>> = paths.filter(|path| !path.is_empty()).collect();
        let first = paths.first()?[0].run;
        let id = &site.run(first).id;
        let further = |run: usize| site.run(run).service != service;
        let reading = if leads.contains(&None) {
            let mut untold = paths.iter().flatten().map(|leg| leg.run).filter(|run| site.fitted(*run).is_none());
            let run = &site.run(untold.find(|run| further(*run))?).id;
            Reading::untold(id, find_out::any_valve(run)).along_with([run])
        } else {
            let (run, at_mm) =
                paths.iter().find_map(|path| match site.in_the_way(path, |_, fitting| fitting.kind.is_valve()) {
                    InTheWay::Fitting { run, at_mm, .. } if further(run) => Some((&site.run(run).id, at_mm)),
                    _ => None,
                })?;
            Reading::no(id, barred).along_with([run]).at(Place::of(run, Feature::Along(at_mm)))
        };
        Some((first, reading.along_with([&boiler.id])))
    };
    boilers.iter().filter_map(finding).collect()
}
