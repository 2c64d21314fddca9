//! What each pipe with hot water loses, stretch by stretch, and its first metre at the cylinder.

use foldhash::HashMap;

use super::conditions::{Condition, Grounds, Outcome};
use super::pipe_loss::{BARE_FILM_W_M2_K, LAGGED_FILM_W_M2_K};
use super::stretch::{Films, Stretch, between_levels, loft_floor_mm, stretches};
use super::water_tops::{UntoldLine, WaterTops};
use crate::layout::{Cylinder, End, Id, PartRef, Run, Service, WhichEnd};
use crate::measure::{Site, find_out};

/// Films outside pipes indoors.
pub(super) const FILMS: Films = Films { bare_w_m2_k: BARE_FILM_W_M2_K, lagged_w_m2_k: LAGGED_FILM_W_M2_K };
/// How much of a pipe at the cylinder counts as always hot, mm: the stretch that has to be insulated in any case
/// (compliance guide for domestic building services, from memory).
const FIRST_MM: f64 = 1000.0;

/// A pipe with hot water in it; of a vent only what lies below the cistern's water line.
#[derive(Debug, Clone, PartialEq)]
pub struct HotPipe {
    /// The run, by its number.
    pub run: usize,
    /// The run.
    pub id: Id,
    /// What it loses while hot water stands or flows in all of it.
    pub loss: Outcome<PipeLoss>,
}

/// What a pipe loses.
#[derive(Debug, Clone, PartialEq)]
pub struct PipeLoss {
    /// The water in it, °C.
    pub water_c: f64,
    /// Each stretch that holds water, with what a metre of it loses, W/m.
    pub stretches: Vec<(Stretch, f64)>,
    /// The whole of it, W.
    pub whole_w: f64,
    /// The whole of it were it bare throughout, W.
    pub bare_w: f64,
    /// The stretch at the cylinder that is always hot: from and to in mm along, W.
    pub first_metre: Option<(f64, f64, f64)>,
}

impl PipeLoss {
    /// Where it loses most for its length.
    #[must_use]
    pub fn worst(&self) -> Option<&(Stretch, f64)> {
        self.stretches.iter().max_by(|a, b| a.1.total_cmp(&b.1))
    }
}

/// Each run with hot water in it: hot distribution and vent of a cylinder, primary flow and return.
pub(super) fn of_all(site: &Site<'_>) -> Vec<HotPipe> {
    let stored = [Service::HotDistribution, Service::OpenVent];
    let primary = [Service::PrimaryFlow, Service::PrimaryReturn];
    let mut heated_by: HashMap<usize, &Cylinder> = HashMap::default();
    for body in [stored, primary].iter().flat_map(|services| site.bodies_of(services)) {
        if let Some(cylinder) = body.iter().find_map(|run| cylinder_on(site, site.run(*run))) {
            heated_by.extend(body.into_iter().map(|run| (run, cylinder)));
        }
    }
    let hot = |run: &&(usize, &Run)| stored.contains(&run.1.service) || primary.contains(&run.1.service);
    let runs: Vec<(usize, &Run)> = site.layout().runs.iter().enumerate().collect();
    let levels =
        Levels { loft_mm: loft_floor_mm(site).unwrap_or(f64::INFINITY), tops: WaterTops::of(site, UntoldLine::AtRim) };
    let pipe = |(number, run): (usize, &Run)| HotPipe {
        run: number,
        id: run.id.clone(),
        loss: loss(site, number, heated_by.get(&number).copied(), &levels),
    };
    runs.iter().filter(hot).map(|run| pipe(*run)).collect()
}

pub(super) fn cylinder_on<'a>(site: &Site<'a>, run: &Run) -> Option<&'a Cylinder> {
    run.ends().into_iter().find_map(|end| match site.part_at(end)? {
        PartRef::Cylinder(cylinder) => Some(cylinder),
        _ => None,
    })
}

/// Levels at which what is around a pipe, or in it, changes.
struct Levels {
    loft_mm: f64,
    tops: WaterTops,
}

fn loss(site: &Site<'_>, number: usize, cylinder: Option<&Cylinder>, levels: &Levels) -> Outcome<PipeLoss> {
    let run = site.run(number);
    let spoken = run.id.with_article();
    let line = site.line(number).ok_or_else(|| format!("draw {spoken}"))?;
    let size = run.size.ok_or_else(|| find_out::size(&run.id))?;
    let cylinder = cylinder.ok_or_else(|| format!("join {spoken} to the cylinder that heats it"))?;
    let outside_m = size.to_mm() / 1000.0;
    let mut grounds = Grounds::of(&site.layout().climate);
    let water_c = water_in_c(run, cylinder, &mut grounds)?;
    let room_c = grounds.take(Condition::Room);
    let in_loft = between_levels(line, levels.loft_mm, f64::INFINITY);
    let top_mm = levels.tops.of_run(number, run).unwrap_or(f64::NEG_INFINITY);
    let full = between_levels(line, f64::NEG_INFINITY, top_mm);
    let loft_c = if in_loft.is_empty() { room_c } else { loft_over_the_year_c(&mut grounds) };
    let lies_in = |parts: &[(f64, f64)], at_mm: f64| parts.iter().any(|(from, to)| (*from..*to).contains(&at_mm));
    let mut cuts: Vec<f64> = in_loft.iter().chain(&full).flat_map(|(from, to)| [*from, *to]).collect();
    cuts.sort_by(f64::total_cmp);
    let first = first_metre(run, cylinder, line.length());
    let mut loss = PipeLoss { water_c, stretches: Vec::new(), whole_w: 0.0, bare_w: 0.0, first_metre: None };
    let mut first_w = 0.0;
    for pair in cuts.windows(2).filter(|pair| pair[1] > pair[0]) {
        let middle_mm = f64::midpoint(pair[0], pair[1]);
        if !lies_in(&full, middle_mm) {
            continue;
        }
        let hotter_k = water_c - if lies_in(&in_loft, middle_mm) { loft_c } else { room_c };
        for stretch in stretches(run, (pair[0], pair[1]), &mut grounds)? {
            let per_m_w = hotter_k / stretch.cover(outside_m, FILMS).resistance_m_k_w();
            let bare = Stretch { lagging_mm: 0.0, ..stretch };
            loss.whole_w += per_m_w * stretch.length_m();
            loss.bare_w += hotter_k / bare.cover(outside_m, FILMS).resistance_m_k_w() * stretch.length_m();
            if let Some((from_mm, to_mm)) = first {
                let shared_mm = stretch.to_mm.min(to_mm) - stretch.from_mm.max(from_mm);
                first_w += per_m_w * shared_mm.max(0.0) / 1000.0;
            }
            loss.stretches.push((stretch, per_m_w));
        }
    }
    loss.first_metre = first.map(|(from_mm, to_mm)| (from_mm, to_mm, first_w));
    Ok(grounds.reckon(loss))
}

fn water_in_c(run: &Run, cylinder: &Cylinder, grounds: &mut Grounds<'_>) -> Result<f64, String> {
    if run.service.is_primary() {
        let told = cylinder.coil_duty.and_then(|duty| duty.primary).map(crate::units::Temperature::to_celsius);
        return Ok(grounds.or_assume(Condition::Primary, told));
    }
    let told = cylinder.stored_temperature.map(crate::units::Temperature::to_celsius);
    told.ok_or_else(|| find_out::THERMOSTAT.to_owned())
}

/// Between the mean of a hot day and the coldest night.
fn loft_over_the_year_c(grounds: &mut Grounds<'_>) -> f64 {
    let summer_c = f64::midpoint(grounds.take(Condition::LoftPeak), grounds.take(Condition::LoftSummerLow));
    f64::midpoint(summer_c, grounds.take(Condition::LoftWinterLow))
}

/// The first metre from the cylinder, as distances along a run that ends on it.
fn first_metre(run: &Run, cylinder: &Cylinder, length_mm: f64) -> Option<(f64, f64)> {
    let is_on_it = |end: &WhichEnd| matches!(run.end(*end), End::Port(part, _) if *part == cylinder.id);
    let end = WhichEnd::BOTH.into_iter().find(is_on_it)?;
    Some(match end {
        WhichEnd::From => (0.0, FIRST_MM.min(length_mm)),
        WhichEnd::To => ((length_mm - FIRST_MM).max(0.0), length_mm),
    })
}
