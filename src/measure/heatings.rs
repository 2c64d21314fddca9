//! The heatings of a layout: each body of primary water with its boilers, what moves it, and the cistern it is open to.

use foldhash::{HashMap, HashSet};

use super::free_ways::{Asked, FreeWays, any_of};
use super::{Site, find_out};
use crate::layout::{
    Boiler, COIL_FLOW, COIL_RETURN, Cistern, Cylinder, End, FLOW, Id, InLineKind, PartRef, RETURN, Run, Service,
    WhichEnd,
};

/// Services of the pipes in which the heating's water goes round.
pub(super) const CIRCUIT: [Service; 2] = [Service::PrimaryFlow, Service::PrimaryReturn];

/// Primary water that hangs together through pipes, boilers and coils.
pub(super) struct HeatingWater {
    /// Its runs, by their numbers, in order.
    runs: Vec<usize>,
    /// The boilers that heat it, by their numbers.
    boilers: Vec<usize>,
    /// The feed-and-expansion cistern whose water stands in it, by its number.
    cistern: Option<usize>,
    /// Whether only pumps move it; `None` where that is not told.
    pub pumped: Option<bool>,
}

impl HeatingWater {
    /// The boilers that heat it, by their numbers.
    pub(super) fn boiler_numbers(&self) -> &[usize] {
        &self.boilers
    }

    /// The boilers that heat it.
    pub(super) fn boilers<'a>(&'a self, site: &Site<'a>) -> impl Iterator<Item = &'a Boiler> + use<'a> {
        let boilers = &site.layout().boilers;
        self.boilers.iter().map(|number| &boilers[*number])
    }

    /// The feed-and-expansion cistern whose water stands in it.
    pub(super) fn cistern<'a>(&self, site: &Site<'a>) -> Option<&'a Cistern> {
        self.cistern.map(|number| &site.layout().cisterns[number])
    }

    /// Whether a run belongs to it.
    pub(super) fn holds(&self, run: usize) -> bool {
        self.runs.binary_search(&run).is_ok()
    }

    /// Its runs of a service.
    pub(super) fn runs_of(&self, site: &Site<'_>, service: Service) -> Vec<usize> {
        self.runs.iter().copied().filter(|run| site.run(*run).service == service).collect()
    }

    /// The pipes in which it goes round: flow, return, and vents as far as they are part of the way.
    pub(super) fn circuit(&self, site: &Site<'_>) -> Vec<usize> {
        self.runs.iter().copied().filter(|run| site.leads_through(*run, &CIRCUIT)).collect()
    }

    /// The cylinders to whose coils it leads; told to have none, one has no coil whatever is drawn to it.
    pub(super) fn coils<'a>(&self, site: &Site<'a>) -> Vec<&'a Cylinder> {
        let mut coils: Vec<&Cylinder> = Vec::new();
        for end in self.runs.iter().flat_map(|run| WhichEnd::BOTH.map(|end| site.layout().runs[*run].end(end))) {
            if let End::Port(part, port) = end
                && matches!(port.as_str(), COIL_FLOW | COIL_RETURN)
                && let Some(PartRef::Cylinder(cylinder)) = site.part(part)
                && cylinder.coil != Some(false)
                && coils.iter().all(|known| known.id != cylinder.id)
            {
                coils.push(cylinder);
            }
        }
        coils
    }

    /// Whether it is known to be open to the air: by a vent, a feed-and-expansion cistern, or the cistern of the stored water
    /// that its boiler heats itself.
    pub(super) fn is_open(&self, site: &Site<'_>) -> bool {
        let has_vent = || !self.runs_of(site, Service::PrimaryVent).is_empty();
        let holds_stored = || site.storage_cisterns_of(&self.runs[..1]).iter().any(|cisterns| !cisterns.is_empty());
        self.cistern.is_some() || has_vent() || holds_stored()
    }

    /// Whether it is drawn from a boiler all the way round, with nothing that ends in the open or beyond the drawing.
    pub(super) fn is_drawn_all_round(&self, site: &Site<'_>) -> bool {
        let round = self.runs.iter().copied().filter(|run| CIRCUIT.contains(&site.run(*run).service));
        let mut ends = round.flat_map(|run| WhichEnd::BOTH.map(|end| (run, end)));
        let is_led_on = |(run, end): (usize, WhichEnd)| match site.run(run).end(end) {
            End::Port(..) | End::Tee(..) => true,
            End::Open(_) | End::Onward(_) => site.is_joined_at_end(run, end),
        };
        let has = |service| !self.runs_of(site, service).is_empty();
        let is_begun = has(Service::PrimaryFlow) && has(Service::PrimaryReturn) && !self.boilers.is_empty();
        is_begun && ends.all(is_led_on)
    }

    /// What of the circuit is to be drawn on, if some of it goes on beyond the drawing.
    pub(super) fn rest_of_circuit(&self, site: &Site<'_>) -> Option<String> {
        let goes_on = |run: &&Run| run.goes_on() && !run.service.is_vent();
        let run = self.circuit(site).into_iter().map(|run| site.run(run)).find(|run| goes_on(run));
        run.map(|run| find_out::rest_of_run(&run.id))
    }
}

impl Site<'_> {
    /// The heatings, in the order of their first runs.
    pub(super) fn find_heatings(&self) -> Vec<HeatingWater> {
        let mut bodies: Vec<HeatingWater> = Vec::new();
        let mut number_of: HashMap<usize, usize> = HashMap::default();
        for (run, body) in self.primary_waters() {
            let number = *number_of.entry(body).or_insert(bodies.len());
            if number == bodies.len() {
                bodies.push(HeatingWater { runs: Vec::new(), boilers: Vec::new(), cistern: None, pumped: None });
            }
            bodies[number].runs.push(run);
        }
        let firsts: Vec<usize> = bodies.iter().map(|body| body.runs[0]).collect();
        for (body, cistern) in bodies.iter_mut().zip(self.expansion_cisterns_of(&firsts)) {
            let heats =
                |(_, boiler): &(usize, &Boiler)| self.attached(&boiler.id).iter().any(|pipe| body.holds(pipe.run));
            let boilers = self.layout().boilers.iter().enumerate();
            body.boilers = boilers.filter(heats).map(|(number, _)| number).collect();
            let cisterns = &self.layout().cisterns;
            body.cistern = cistern.and_then(|own| cisterns.iter().position(|cistern| cistern.id == own.id));
            body.pumped = is_pumped(self, body);
        }
        self.let_loose_vents_go_with_the_rest(&mut bodies);
        bodies
    }

    /// For each of some primary runs the feed-and-expansion cistern whose water stands in it, followed through pipes,
    /// boilers and coils: of several the one with the highest water line, and before all one whose line is not told. A lone
    /// one is taken when the pipes lead to none, unless it has a circuit of its own or they hold stored water.
    #[must_use]
    pub fn expansion_cisterns_of(&self, runs: &[usize]) -> Vec<Option<&Cistern>> {
        let level_mm = |cistern: &Cistern| cistern.surface().map_or(f64::INFINITY, crate::units::Level::to_mm);
        let expansion: Vec<&Cistern> = self.expansion_cisterns().collect();
        let waters = self.waters();
        let mut highest_in: HashMap<usize, &Cistern> = HashMap::default();
        for cistern in &expansion {
            let body = waters.of_part(&cistern.id);
            let highest = highest_in.entry(body).or_insert(cistern);
            if level_mm(cistern) >= level_mm(highest) {
                *highest = cistern;
            }
        }
        let with_circuit: HashSet<usize> =
            CIRCUIT.into_iter().flat_map(|service| self.runs_of(service)).map(|(run, _)| waters.of_run(run)).collect();
        let storage = self.storage_cisterns();
        let stored: HashSet<usize> = storage.map(|cistern| waters.of_part(&cistern.id)).collect();
        let lone = match expansion.as_slice() {
            [only] => Some((*only, waters.of_part(&only.id))),
            _ => None,
        };
        let of_body = |body: usize| {
            // Two circuits that are both drawn to their ends share no cistern.
            let is_open_to = |own: usize| !(with_circuit.contains(&own) && with_circuit.contains(&body));
            let lone = lone.filter(|(_, own)| is_open_to(*own) && !stored.contains(&body));
            highest_in.get(&body).copied().or(lone.map(|(only, _)| only))
        };
        runs.iter().map(|run| of_body(waters.of_run(*run))).collect()
    }

    /// For each of some primary runs the storage cisterns whose water stands in it, the highest water line first: those of
    /// a boiler that heats the stored water itself. None where a feed-and-expansion cistern is joined to it as well.
    pub(super) fn storage_cisterns_of(&self, runs: &[usize]) -> Vec<Vec<&Cistern>> {
        let waters = self.waters();
        let body = |cistern: &Cistern| waters.of_part(&cistern.id);
        let with_expansion: HashSet<usize> = self.expansion_cisterns().map(body).collect();
        let mut stored: Vec<(usize, &Cistern)> =
            self.storage_cisterns().map(|cistern| (body(cistern), cistern)).collect();
        let level_mm = |cistern: &Cistern| cistern.surface().map_or(f64::NEG_INFINITY, crate::units::Level::to_mm);
        stored.retain(|(body, _)| !with_expansion.contains(body));
        stored.sort_by(|(_, a), (_, b)| level_mm(b).total_cmp(&level_mm(a)).then_with(|| a.id.cmp(&b.id)));
        let of_body =
            |body: usize| stored.iter().filter(|(own, _)| *own == body).map(|(_, cistern)| *cistern).collect();
        runs.iter().map(|run| of_body(waters.of_run(*run))).collect()
    }

    /// The same, where that is as it should be: no coil parts the heating from stored water, and it is the boiler that heats
    /// the stored water itself. A heating with a coil that is fed from a storage cistern is a fault, and keeps its own vent.
    pub(super) fn storage_cisterns_heated_by(&self, runs: &[usize]) -> Vec<Vec<&Cistern>> {
        let has_coil = |run: usize| {
            let own = self.heatings().iter().find(|heating| heating.holds(run));
            own.is_some_and(|heating| !heating.coils(self).is_empty())
        };
        let stored = self.storage_cisterns_of(runs).into_iter().zip(runs);
        stored.map(|(cisterns, run)| if has_coil(*run) { Vec::new() } else { cisterns }).collect()
    }

    /// The heatings in whose water neither a cistern nor what a cylinder stores stands, each with the rising mains that are
    /// joined to it; not those that are joined to none.
    pub(super) fn heatings_on_the_main(&self) -> Vec<(&HeatingWater, Vec<usize>)> {
        let waters = self.waters();
        let layout = self.layout();
        let cylinders = layout.cylinders.iter().map(|cylinder| &cylinder.id);
        let parts = layout.cisterns.iter().map(|cistern| &cistern.id).chain(cylinders);
        let open: HashSet<usize> = parts.map(|part| waters.of_part(part)).collect();
        let mains_in = |heating: &HeatingWater| {
            let water = waters.of_run(heating.runs[0]);
            let mains = self.runs_of(Service::RisingMain).map(|(main, _)| main);
            let mains: Vec<usize> = mains.filter(|main| waters.of_run(*main) == water).collect();
            (!open.contains(&water) && !mains.is_empty()).then_some(mains)
        };
        self.heatings().iter().filter_map(|heating| Some((heating, mains_in(heating)?))).collect()
    }

    /// The runs of primary water, each with a number that tells the body that it belongs to.
    fn primary_waters(&self) -> Vec<(usize, usize)> {
        let runs = self.layout().runs.iter().enumerate().filter(|(_, run)| run.service.is_primary());
        runs.map(|(number, _)| (number, self.waters().of_run(number))).collect()
    }

    /// A vent that is drawn apart from any heating takes what moves its water from the rest of the drawing.
    fn let_loose_vents_go_with_the_rest(&self, bodies: &mut [HeatingWater]) {
        let (loose, whole): (Vec<_>, Vec<_>) = bodies.iter_mut().partition(|body| body.circuit(self).is_empty());
        let mut told = whole.iter().map(|body| body.pumped);
        let first = told.next().flatten();
        let rest = first.filter(|first| told.all(|other| other == Some(*first)));
        loose.into_iter().for_each(|body| body.pumped = rest);
    }
}

/// Whether only pumps move the water of a heating: none of it goes round by itself between a boiler and a coil.
fn is_pumped(site: &Site<'_>, heating: &HeatingWater) -> Option<bool> {
    let circuit = heating.circuit(site);
    let is_pump_in = |number: &usize| {
        let run = site.run(*number);
        let fittings = site.fitted(*number).unwrap_or_default();
        let mut pumps = fittings.iter().filter(|fitting| fitting.kind == InLineKind::Pump);
        pumps.any(|pump| !run.service.is_vent() || site.carries_at(*number, pump.at_mm))
    };
    if circuit.iter().any(is_pump_in) {
        return goes_round_by_itself(site, heating).map(|by_itself| !by_itself);
    }
    let is_told = circuit.iter().any(|run| !site.run(*run).service.is_vent())
        && circuit.iter().all(|run| site.run(*run).fittings.is_some());
    is_told.then_some(false)
}

/// Whether pipes without a pump lead from a boiler to both ends of a coil: such water is moved by its own heat
/// (common practice, no source). `None` where that hangs on what nobody has told.
fn goes_round_by_itself(site: &Site<'_>, heating: &HeatingWater) -> Option<bool> {
    any_of(ways_without_pump(site, heating).into_iter().map(|(.., by_itself)| by_itself))
}

/// Each boiler of a heating with each cylinder, and whether pipes without a pump lead from the one to both ends of the
/// other's coil; `None` where that hangs on what nobody has told.
pub(super) fn ways_without_pump<'a>(
    site: &'a Site<'_>,
    heating: &'a HeatingWater,
) -> Vec<(&'a Boiler, &'a Cylinder, Option<bool>)> {
    let begin = |boiler: &Boiler, port: &str| -> Vec<(usize, f64)> {
        site.on_port(&boiler.id, port).filter_map(|pipe| site.end_of(pipe)).collect()
    };
    let asked = Asked::by_pipes(&CIRCUIT, |kind| kind == InLineKind::Pump);
    let leads_to = |ways: &FreeWays, cylinder: &Id, port: &str| {
        any_of(site.on_port(cylinder, port).map(|pipe| ways.lead_to(pipe.run, pipe.end)))
    };
    let of_boiler = |boiler: &'a Boiler| {
        let flow = FreeWays::from(site, &begin(boiler, FLOW), asked);
        let back = FreeWays::from(site, &begin(boiler, RETURN), asked);
        let both = |part: &Cylinder| {
            let ends = [leads_to(&flow, &part.id, COIL_FLOW), leads_to(&back, &part.id, COIL_RETURN)];
            any_of(ends.map(|leads| leads.map(|leads| !leads)).into_iter()).map(|barred| !barred)
        };
        site.layout().cylinders.iter().map(|part| (boiler, part, both(part))).collect::<Vec<_>>()
    };
    heating.boilers(site).flat_map(of_boiler).collect()
}
