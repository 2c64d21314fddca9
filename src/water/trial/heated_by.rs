//! What heats a cylinder on which somebody works: boilers to be put out of use, the heating's water in its coil, and the
//! primary pipes that hold its own water.

use crate::layout::{
    Boiler, BoilerKind, COIL_FLOW, COIL_RETURN, Cylinder, End, Id, InLineKind, PRIMARY_FLOW, PRIMARY_RETURN, PartRef,
    Service, WhichEnd,
};
use crate::measure::Site;

const PRIMARIES: [Service; 2] = [Service::PrimaryFlow, Service::PrimaryReturn];
const COIL: [&str; 2] = [COIL_FLOW, COIL_RETURN];
const DIRECT: [&str; 2] = [PRIMARY_FLOW, PRIMARY_RETURN];

/// A drain cock on a pipe of the boiler that holds the water of a cylinder.
pub(super) struct BoilerCock<'s> {
    pub(super) run: &'s Id,
    pub(super) level_mm: f64,
    /// The connection through which the cylinder empties there, mm: it goes no lower.
    pub(super) port_mm: f64,
}

/// How the boilers of some cylinders are put out of use, before nothing feeds these.
pub(super) fn put_out<'c>(site: &Site<'_>, cylinders: impl IntoIterator<Item = &'c Cylinder>) -> String {
    let ports = [COIL, DIRECT].concat();
    let boilers: Vec<&Boiler> = cylinders.into_iter().flat_map(|cylinder| boilers_on(site, cylinder, &ports)).collect();
    let burns_on = |boiler: &&Boiler| boiler.kind == Some(BoilerKind::BackBoiler);
    match (boilers.iter().any(burns_on), boilers.iter().any(|boiler| boiler.kind.is_none())) {
        (true, _) => "let the fire of the back boiler go out and all cool down".to_owned(),
        (false, true) => "turn off the boiler; a fire with a back boiler has to go out and cool down".to_owned(),
        (false, false) => "turn off the boiler".to_owned(),
    }
}

/// What has to be done about the heating's water before a cylinder is taken out; nothing where it has no coil.
pub(super) fn coil_words(site: &Site<'_>, cylinder: &Cylinder) -> Option<String> {
    let runs: Vec<usize> = bodies_on(site, cylinder, &COIL).into_iter().flat_map(|(_, body)| body).collect();
    if cylinder.coil == Some(false) || (runs.is_empty() && cylinder.coil.is_none()) {
        return None;
    }
    let cistern = site.expansion_cisterns_of(&runs).into_iter().flatten().next();
    let tied_up = match cistern {
        None => "a small cistern that fills it has its float valve tied up meanwhile".to_owned(),
        Some(cistern) => format!("the float valve of {} is tied up meanwhile", cistern.id.with_article()),
    };
    Some(format!(
        "its coil is full of the heating's water: shut both pipes of the coil, or drain the heating as well; {tied_up}"
    ))
}

/// What has to be done about a boiler that heats the stored water itself; nothing where none does.
pub(super) fn boiler_words(site: &Site<'_>, cylinder: &Cylinder) -> Option<String> {
    let boiler = boilers_on(site, cylinder, &DIRECT).first()?.id.spoken().to_string();
    let by = match boiler_cock(site, cylinder) {
        Some(cock) => format!("by the drain cock in {}", cock.run.spoken()),
        None => "and no drain cock is drawn on them".to_owned(),
    };
    Some(format!("{boiler} and its pipes hold the same water, which comes as well, {by}: how much is not told"))
}

/// The lowest drain cock on the pipes of a boiler that heats the stored water itself.
pub(super) fn boiler_cock<'s>(site: &'s Site<'_>, cylinder: &Cylinder) -> Option<BoilerCock<'s>> {
    let of_body = |(port_mm, body): (f64, Vec<usize>)| {
        let cocks = body.into_iter().flat_map(move |run| {
            let fittings = site.fitted(run).unwrap_or_default().iter();
            let cocks = fittings.filter(|fitting| fitting.kind == InLineKind::DrainCock);
            cocks.filter_map(move |cock| {
                let level_mm = site.line(run)?.point_at(cock.at_mm).y;
                Some(BoilerCock { run: &site.run(run).id, level_mm, port_mm })
            })
        });
        cocks.collect::<Vec<_>>()
    };
    let cocks = bodies_on(site, cylinder, &DIRECT).into_iter().flat_map(of_body);
    cocks.min_by(|a, b| a.lowest_mm().total_cmp(&b.lowest_mm()).then(a.level_mm.total_cmp(&b.level_mm)))
}

impl BoilerCock<'_> {
    /// How far down it empties the cylinder, mm.
    pub(super) fn lowest_mm(&self) -> f64 {
        self.level_mm.max(self.port_mm)
    }
}

/// The joined primary pipes on some ports of a cylinder, with the level of the port.
fn bodies_on(site: &Site<'_>, cylinder: &Cylinder, ports: &[&str]) -> Vec<(f64, Vec<usize>)> {
    let bodies = site.bodies_of(&PRIMARIES);
    let pipes = site.attached(&cylinder.id).iter().filter(|pipe| ports.contains(&pipe.port.as_str()));
    let on_port = |pipe: &crate::measure::Attachment<'_>| {
        let port = PartRef::Cylinder(cylinder).port(pipe.port.as_str())?;
        let body = bodies.iter().find(|body| body.contains(&pipe.run))?;
        Some((port.z.to_mm(), body.clone()))
    };
    pipes.filter_map(on_port).collect()
}

/// The boilers to which the pipes on some ports of a cylinder lead.
fn boilers_on<'s>(site: &'s Site<'_>, cylinder: &Cylinder, ports: &[&str]) -> Vec<&'s Boiler> {
    let runs: Vec<usize> = bodies_on(site, cylinder, ports).into_iter().flat_map(|(_, body)| body).collect();
    let joins = |run: usize, boiler: &Boiler| {
        WhichEnd::BOTH.into_iter().any(|end| matches!(site.run(run).end(end), End::Port(part, _) if *part == boiler.id))
    };
    let boilers = site.layout().boilers.iter();
    boilers.filter(|boiler| runs.iter().any(|run| joins(*run, boiler))).collect()
}
