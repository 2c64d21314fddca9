//! Ways round by which the water of a boiler comes to a cylinder and back by itself: what sits in them, how wide they are.

use super::back_boiler::may_be_back_boiler;
use super::circulation::{COIL, lies_over};
use super::free_ways::{Asked, FreeWays, InTheWay, any_of};
use super::heatings::CIRCUIT;
use super::reading::written_mm;
use super::water_ways::Reach;
use super::{Attachment, Feature, Fitted, Leg, Place, Reading, Site, find_out};
use crate::layout::{Boiler, Cylinder, FLOW, Id, InLineKind, PRIMARY_FLOW, PRIMARY_RETURN, RETURN, Run, WhichEnd};
use crate::units::{Measured, Size};

/// The ports by which water goes through a cylinder: its coil, or the stored water itself.
const THROUGH_CYLINDER: [(&str, &str); 2] = [COIL, (PRIMARY_FLOW, PRIMARY_RETURN)];

/// Whether the water of each back boiler has a way through one cylinder that lies over it and back on which neither valve nor
/// pump sits; of a boiler whose kind nobody has told only where that decides. What goes on beyond the drawing may be one.
#[must_use]
pub fn of_back_boilers(site: &Site<'_>) -> Vec<Reading> {
    let read = |boiler: &Boiler| {
        let both_ways = BothWays::of(site, boiler, InLineKind::hinders);
        let tell_kind = || {
            format!("see what kind of boiler {} is: a back boiler needs a circuit by gravity", boiler.id.with_article())
        };
        match (both_ways.lead_round(site), boiler.kind) {
            (Some(false), Some(_)) => Some(both_ways.barred(site)),
            (Some(false), None) => Some(both_ways.barred(site).unless(Some(tell_kind()))),
            (_, None) => None,
            (Some(true), Some(_)) => Some(Reading::yes(&boiler.id, "a circuit without valve and pump")),
            (None, Some(_)) => Some(Reading::untold(&boiler.id, both_ways.to_find_out(site))),
        }
    };
    site.layout().boilers.iter().filter(|boiler| may_be_back_boiler(boiler)).filter_map(read).collect()
}

/// Outside diameter of the narrowest pipe between each boiler and each cylinder through which its water goes round by
/// itself: fewest joints, where there are several ways. Nothing where a pump moves it.
#[must_use]
pub fn sizes(site: &Site<'_>) -> Vec<Reading> {
    let of_boiler = |boiler: &Boiler| {
        let both_ways = BothWays::of(site, boiler, |kind| kind == InLineKind::Pump);
        let rounds = both_ways.rounds(site);
        let free = rounds.into_iter().filter(|round| round.is_free != Some(false) && !round.has_pump(site));
        free.filter_map(|round| narrowest(site, boiler, &round)).collect::<Vec<_>>()
    };
    site.layout().boilers.iter().flat_map(of_boiler).collect()
}

fn narrowest(site: &Site<'_>, boiler: &Boiler, round: &Round<'_>) -> Option<Reading> {
    let mut numbers: Vec<usize> = round.legs.iter().map(|leg| leg.run).collect();
    numbers.dedup();
    let runs: Vec<&Run> = numbers.into_iter().map(|run| site.run(run)).collect();
    let untold = runs.iter().find(|run| run.size.is_none()).map(|run| find_out::size(&run.id));
    let told = runs.iter().filter_map(|run| Some((run, run.size.map(Size::to_mm)?)));
    let reading = match told.min_by(|(_, a), (_, b)| a.total_cmp(b)) {
        Some((run, size_mm)) => Reading::mm(&boiler.id, Measured::exact(size_mm))
            .at(Place::middle(&run.id))
            .working(format!("narrowest on the way: {}, {} mm", run.id.spoken(), written_mm(size_mm))),
        None => Reading::untold(&boiler.id, untold.clone()?),
    };
    let by_itself = round.is_free.is_none().then(|| find_out::WHETHER_PUMPED.to_owned());
    let parts = runs.iter().map(|run| &run.id).chain([&round.cylinder.id]);
    Some(reading.unless(by_itself).but_for(untold).along_with(parts))
}

/// From a boiler through a cylinder and back.
struct Round<'a> {
    cylinder: &'a Cylinder,
    /// The pipes there and back.
    legs: Vec<Leg>,
    /// Whether nothing of what is asked sits on some way there, and on some way back.
    is_free: Option<bool>,
    /// Whether the cylinder lies over the boiler, so that water rises to it.
    lies_over: bool,
}

impl Round<'_> {
    fn has_pump(&self, site: &Site<'_>) -> bool {
        let is_pump = |_, fitting: &Fitted| fitting.kind == InLineKind::Pump;
        matches!(site.in_the_way(&self.legs, is_pump), InTheWay::Fitting { .. })
    }
}

/// The ways from the flow of a boiler, and those from its return.
struct BothWays<'a> {
    boiler: &'a Boiler,
    there: FromPort,
    back: FromPort,
}

/// What leads away from a port of a boiler.
struct FromPort {
    begin: Vec<(usize, f64)>,
    free: FreeWays,
    /// A run to whose end a free way may lead, and which goes on from there beyond what is drawn.
    unfinished: Option<usize>,
}

impl FromPort {
    fn of(site: &Site<'_>, boiler: &Boiler, port: &str, without: fn(InLineKind) -> bool) -> Self {
        let pipes = site.on_port(&boiler.id, port).filter(|pipe| site.leads_through(pipe.run, &CIRCUIT));
        let begin: Vec<(usize, f64)> = pipes.filter_map(|pipe| site.end_of(pipe)).collect();
        let free = FreeWays::from(site, &begin, Asked::by_pipes(&CIRCUIT, without));
        let is_open = |run: usize, end: WhichEnd| {
            CIRCUIT.contains(&site.run(run).service)
                && site.run(run).end(end).hangs_on().is_none()
                && !site.is_joined_at_end(run, end)
        };
        let goes_on = |run: usize| {
            WhichEnd::BOTH.into_iter().any(|end| is_open(run, end) && free.lead_to(run, end) != Some(false))
        };
        let unfinished = (0..site.layout().runs.len()).find(|run| goes_on(*run));
        Self { begin, free, unfinished }
    }

    /// Whether a free way leads to one of some pipes; `None` where nobody has told, or where one goes on.
    fn lead_to<'p>(&self, pipes: impl Iterator<Item = &'p Attachment<'p>>) -> Option<bool> {
        let goes_on = self.begin.is_empty() || self.unfinished.is_some();
        let leads = pipes.map(|pipe| self.free.lead_to(pipe.run, pipe.end));
        any_of(leads.chain(goes_on.then_some(None)))
    }

    /// The run of which nobody has told what is in it and that a free way may lead through.
    fn untold<'s>(&self, site: &'s Site<'_>) -> Option<&'s Id> {
        let mut runs = (0..site.layout().runs.len()).filter(|run| site.fitted(*run).is_none());
        let run = runs.find(|run| WhichEnd::BOTH.iter().any(|end| self.free.lead_to(*run, *end).is_none()))?;
        Some(&site.run(run).id)
    }
}

fn both(there: Option<bool>, back: Option<bool>) -> Option<bool> {
    any_of([there, back].into_iter().map(|leads| leads.map(|leads| !leads))).map(|barred| !barred)
}

impl<'a> BothWays<'a> {
    fn of(site: &Site<'_>, boiler: &'a Boiler, without: fn(InLineKind) -> bool) -> Self {
        let [there, back] = [FLOW, RETURN].map(|port| FromPort::of(site, boiler, port, without));
        Self { boiler, there, back }
    }

    /// Whether a free way leads through one cylinder and back, or through what goes on beyond the drawing.
    fn lead_round(&self, site: &Site<'_>) -> Option<bool> {
        let through = |cylinder: &Cylinder, (flow, back): (&str, &str)| {
            if !lies_over(site, self.boiler, cylinder, (flow, back)) {
                return Some(false);
            }
            both(
                self.there.lead_to(site.on_port(&cylinder.id, flow)),
                self.back.lead_to(site.on_port(&cylinder.id, back)),
            )
        };
        let cylinders = site.layout().cylinders.iter();
        let through = cylinders.flat_map(|cylinder| THROUGH_CYLINDER.map(|ports| through(cylinder, ports)));
        let beyond = both(self.there.lead_to(std::iter::empty()), self.back.lead_to(std::iter::empty()));
        any_of(through.chain([beyond]))
    }

    /// The ways round that are drawn, by the fewest joints, free or not.
    fn rounds<'s>(&self, site: &'s Site<'_>) -> Vec<Round<'s>> {
        let [there, back] = [&self.there, &self.back].map(|from| site.reach_from(from.begin.iter().copied(), &CIRCUIT));
        let round = |cylinder: &'s Cylinder, (flow, to_return): (&str, &str)| {
            let path = |reach: &Reach, port: &str| {
                let ends = site.on_port(&cylinder.id, port).filter_map(|pipe| site.end_of(pipe));
                let mut paths = ends.map(|(run, end_mm)| reach.path_to(run, end_mm)).filter(|path| !path.is_empty());
                paths.next()
            };
            let legs = [path(&there, flow)?, path(&back, to_return)?].concat();
            let is_free = both(
                any_of(site.on_port(&cylinder.id, flow).map(|pipe| self.there.free.lead_to(pipe.run, pipe.end))),
                any_of(site.on_port(&cylinder.id, to_return).map(|pipe| self.back.free.lead_to(pipe.run, pipe.end))),
            );
            let lies_over = lies_over(site, self.boiler, cylinder, (flow, to_return));
            Some(Round { cylinder, legs, is_free, lies_over })
        };
        let cylinders = site.layout().cylinders.iter();
        cylinders.flat_map(|cylinder| THROUGH_CYLINDER.map(|ports| round(cylinder, ports))).flatten().collect()
    }

    fn to_find_out(&self, site: &Site<'_>) -> String {
        if self.there.begin.is_empty() || self.back.begin.is_empty() {
            return format!("draw flow and return of {}", self.boiler.id.with_article());
        }
        let unfinished = self.there.unfinished.or(self.back.unfinished);
        let untold = || [&self.there, &self.back].into_iter().find_map(|from| from.untold(site));
        match (unfinished, untold()) {
            (Some(run), _) if site.run(run).goes_on() => find_out::rest_of_run(&site.run(run).id),
            (Some(run), _) => format!("draw {} to where it leads", site.run(run).id.with_article()),
            (None, Some(run)) => format!("see whether there is a valve or a pump in {}", run.with_article()),
            (None, None) => find_out::WHETHER_PUMPED.to_owned(),
        }
    }

    /// That no way is free, with the first thing that is in the way of one that is drawn.
    fn barred(&self, site: &Site<'_>) -> Reading {
        let found = self.rounds(site).into_iter().find_map(|round| {
            match site.in_the_way(&round.legs, |_, fitting| fitting.kind.hinders()) {
                InTheWay::Fitting { run, at_mm, .. } => Some((round.cylinder, run, at_mm)),
                _ => None,
            }
        });
        let id = &self.boiler.id;
        let is_below = |round: &Round<'_>| !round.lies_over;
        match found {
            Some((cylinder, run, at_mm)) => {
                let run = &site.run(run).id;
                let reading = Reading::no(id, "a valve or a pump in every circuit to a cylinder");
                reading.along_with([run, &cylinder.id]).at(Place::of(run, Feature::Along(at_mm)))
            }
            None => match self.rounds(site).into_iter().find(is_below) {
                Some(round) => {
                    Reading::no(id, "a cylinder that lies no higher than the boiler").along_with([&round.cylinder.id])
                }
                None => Reading::no(id, "no circuit to a cylinder and back"),
            },
        }
    }
}
