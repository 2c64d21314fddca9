//! How long the water in each pipe of the loft lasts in frost.

use super::conditions::{Condition, Grounds, Outcome};
use super::frost::{Frost, HALF, Tube};
use super::joined_stretches::JoinedStretches;
use super::stretch::{Films, Stretch, between_levels, loft_floor_mm, stretches};
use super::water_tops::{UntoldLine, WaterTops};
use crate::layout::{CisternRole, Id, Run, Service};
use crate::measure::{Site, find_out};

/// Film outside pipes in a draughty loft, W/(m² K); from memory.
const FILM_W_M2_K: f64 = 10.0;
/// A shorter stretch, with what joins it end to end, takes its warmth from its neighbours along the tube (about a quarter
/// of the length over which copper evens out a difference), and is left out.
const SHORTEST_MM: f64 = 50.0;

/// A pipe with water in the loft.
#[derive(Debug, Clone, PartialEq)]
pub struct LoftPipe {
    /// The run, by its number.
    pub run: usize,
    /// The run.
    pub id: Id,
    /// The stretch that freezes first.
    pub worst: Outcome<Exposure>,
    /// Of a vent in which nobody has told how high the water stands.
    pub line_untold: Option<LineUntold>,
}

/// What holds for a vent wherever the water stands in it.
#[derive(Debug, Clone, PartialEq)]
pub struct LineUntold {
    /// What to find out.
    pub find_out: String,
    /// The stretch that freezes first of those that are full for certain; none where none is in the loft.
    pub certain: Option<Outcome<Exposure>>,
}

/// A stretch of pipe in frost.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Exposure {
    /// Where, and under what cover.
    pub stretch: Stretch,
    /// Hours until the water is at 0 °C; `None` when the air does not freeze.
    pub to_freezing_h: Option<f64>,
    /// Hours until half of it is ice; `None` when the air does not freeze.
    pub to_half_ice_h: Option<f64>,
    /// Hours that the frost lasts.
    pub lasts_h: f64,
    /// Insulation of the same kind with which half is ice only when the frost ends, mm; `None` when none does.
    pub wanted_mm: Option<f64>,
}

impl Exposure {
    /// Whether half of the water is ice before the frost ends.
    #[must_use]
    pub fn gives_in(&self) -> bool {
        self.to_half_ice_h.is_some_and(|ice_h| ice_h < self.lasts_h)
    }
}

/// Where runs have water in the loft: the number of each, and from where to where along it, mm; nothing when no ceiling is
/// told.
#[must_use]
pub fn parts_in_loft(site: &Site<'_>) -> Vec<(usize, Vec<(f64, f64)>)> {
    let Some(floor_mm) = loft_floor_mm(site) else { return Vec::new() };
    parts_up_to(site, floor_mm, &WaterTops::of(site, UntoldLine::AtRim))
}

fn parts_up_to(site: &Site<'_>, floor_mm: f64, tops: &WaterTops) -> Vec<(usize, Vec<(f64, f64)>)> {
    let parts = |(number, run)| Some((number, between_levels(site.line(number)?, floor_mm, tops.of_run(number, run)?)));
    site.layout().runs.iter().enumerate().filter_map(parts).collect()
}

/// Each run with water in the loft; nothing when no ceiling is told.
pub(super) fn of_all(site: &Site<'_>) -> Vec<LoftPipe> {
    let Some(floor_mm) = loft_floor_mm(site) else { return Vec::new() };
    let [most, least] = [UntoldLine::AtRim, UntoldLine::AtBase].map(|untold| WaterTops::of(site, untold));
    let mut pipes = of_parts(site, &parts_up_to(site, floor_mm, &most));
    let level_mm = |tops: &WaterTops, run: usize| tops.of_run(run, site.run(run));
    let is_untold = |pipe: &&mut LoftPipe| level_mm(&most, pipe.run) != level_mm(&least, pipe.run);
    let mut untold = pipes.iter_mut().filter(is_untold).peekable();
    if untold.peek().is_some() {
        let mut certain = of_parts(site, &parts_up_to(site, floor_mm, &least));
        for pipe in untold {
            let place = certain.iter().position(|other| other.run == pipe.run);
            pipe.line_untold = Some(LineUntold {
                find_out: line_to_find(site, site.run(pipe.run).service),
                certain: place.map(|place| certain.swap_remove(place).worst),
            });
        }
    }
    pipes
}

/// What to find out of the cisterns whose water stands in a vent of a service.
fn line_to_find(site: &Site<'_>, vent: Service) -> String {
    let role = if vent == Service::PrimaryVent { CisternRole::FeedAndExpansion } else { CisternRole::Storage };
    let mut cisterns = site.layout().cisterns.iter();
    let untold = cisterns.find(|cistern| cistern.role == role && cistern.surface().is_none());
    untold.map_or_else(String::new, |cistern| find_out::water_line(&cistern.id))
}

fn of_parts(site: &Site<'_>, parts: &[(usize, Vec<(f64, f64)>)]) -> Vec<LoftPipe> {
    let in_loft: Vec<InLoft<'_>> = parts.iter().map(|(number, parts)| InLoft::of(site, *number, parts)).collect();
    let told = in_loft.iter().filter_map(|pipe| Some((pipe.run, pipe.stretches.as_deref().ok()?)));
    let joined = JoinedStretches::of(site, told);
    in_loft.iter().filter_map(|pipe| pipe.in_frost(site, &joined)).collect()
}

/// What of a run has water and is in the loft.
struct InLoft<'s> {
    run: usize,
    /// Whether enough of it lies in one piece.
    is_long: bool,
    stretches: Result<Vec<Stretch>, String>,
    grounds: Grounds<'s>,
}

impl<'s> InLoft<'s> {
    fn of(site: &'s Site<'_>, number: usize, parts: &[(f64, f64)]) -> Self {
        let mut grounds = Grounds::of(&site.layout().climate);
        let of_part = |part: &(f64, f64)| stretches(site.run(number), *part, &mut grounds);
        let of_parts: Result<Vec<Vec<Stretch>>, String> = parts.iter().map(of_part).collect();
        let is_long = parts.iter().any(|part| part.1 - part.0 >= SHORTEST_MM);
        Self { run: number, is_long, stretches: of_parts.map(|of_parts| of_parts.concat()), grounds }
    }

    /// Nothing where it is short, and nothing like it goes on beyond its joints.
    fn in_frost(&self, site: &Site<'_>, joined: &JoinedStretches<'_>) -> Option<LoftPipe> {
        let is_long = |stretch: &&Stretch| joined.is_as_long_as(SHORTEST_MM, self.run, stretch);
        let long: Vec<&Stretch> = self.stretches.iter().flatten().filter(is_long).collect();
        if !self.is_long && long.is_empty() {
            return None;
        }
        let id = site.run(self.run).id.clone();
        Some(LoftPipe { run: self.run, id, worst: self.worst(site.run(self.run), &long), line_untold: None })
    }

    fn worst(&self, run: &Run, long: &[&Stretch]) -> Outcome<Exposure> {
        let tell = || find_out::material_and_size(&run.id);
        let (material, size) = run.material.zip(run.size).ok_or_else(tell)?;
        let bore = run.bore().ok_or_else(tell)?;
        let tube = Tube {
            outside_m: size.to_mm() / 1000.0,
            bore_m: bore.to_mm() / 1000.0,
            wall_kg_m3: material.density_kg_m3(),
            wall_j_kg_k: material.heat_j_kg_k(),
        };
        let all = self.stretches.as_ref().map_err(Clone::clone)?;
        let films = Films { bare_w_m2_k: FILM_W_M2_K, lagged_w_m2_k: FILM_W_M2_K };
        let resistance = |stretch: &Stretch| stretch.cover(tube.outside_m, films).resistance_m_k_w();
        // Where all are short, they take their warmth from the longest.
        let longest = || all.iter().max_by(|a, b| a.length_mm().total_cmp(&b.length_mm()));
        let stretch = long.iter().copied().min_by(|a, b| resistance(a).total_cmp(&resistance(b))).or_else(longest);
        let untold = || format!("draw {} where it runs through the loft", run.id.with_article());
        let stretch = *stretch.ok_or_else(untold)?;
        let mut grounds = self.grounds.clone();
        let frost =
            Frost { air_c: grounds.take(Condition::LoftWinterLow), water_c: grounds.take(Condition::MainWinter) };
        let lasts_h = grounds.take(Condition::FrostLasts);
        let hours = |seconds: Option<f64>| seconds.map(|seconds| seconds / 3600.0);
        let conductivity =
            if stretch.lagging_mm > 0.0 { stretch.conductivity_w_m_k } else { Condition::Conductivity.assumed() };
        let wanted_m = tube.thickness_m(conductivity, FILM_W_M2_K, &frost, lasts_h * 3600.0);
        Ok(grounds.reckon(Exposure {
            stretch,
            to_freezing_h: hours(tube.to_freezing_s(resistance(&stretch), &frost)),
            to_half_ice_h: hours(tube.to_ice_s(resistance(&stretch), &frost, HALF)),
            lasts_h,
            wanted_mm: wanted_m.map(|metres| metres * 1000.0),
        }))
    }
}
