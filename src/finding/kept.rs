//! What takes long to work out, kept from one check to the next as long as nothing that it looks at has changed.

use std::sync::{Arc, Mutex, PoisonError};

use crate::layout::{Cistern, Layout, Run};
use crate::measure::{Reading, Site};
use crate::rules::{InForce, Measure};
use crate::timber::LoadPath;
use crate::water::Running;

/// So many layouts are remembered; who tries one change after another comes back to the layout before it.
const REMEMBERED: usize = 6;

/// The readings of water and timber of the layouts that were checked last. Can be shared between threads.
pub struct Kept {
    water: Family,
    timber: Family,
}

/// Rules whose readings are worked out together.
struct Family {
    rules: Vec<(&'static str, Measure)>,
    /// The layout without what they do not look at.
    seen: fn(&Layout) -> Layout,
    taken: Mutex<Vec<Taken>>,
}

/// Readings by rule, and what of the layout they were taken from.
struct Taken {
    seen: Layout,
    readings: Arc<Vec<(&'static str, Vec<Reading>)>>,
}

impl Kept {
    /// Remembers nothing yet; for these rules.
    #[must_use]
    pub fn of(rules: &[InForce]) -> Self {
        let family = |is_of: fn(&Measure) -> bool, seen| Family {
            rules: rules
                .iter()
                .map(|own| (own.rule.id, own.rule.measure))
                .filter(|(_, measure)| is_of(measure))
                .collect(),
            seen,
            taken: Mutex::default(),
        };
        Self {
            water: family(|measure| matches!(measure, Measure::OfWater(_)), seen_by_water),
            timber: family(|measure| matches!(measure, Measure::OfTimber(_)), seen_by_timber),
        }
    }

    pub(super) fn of_water(&self, site: &Site<'_>) -> Arc<Vec<(&'static str, Vec<Reading>)>> {
        self.water.readings(site)
    }

    pub(super) fn of_timber(&self, site: &Site<'_>) -> Arc<Vec<(&'static str, Vec<Reading>)>> {
        self.timber.readings(site)
    }
}

impl Family {
    fn readings(&self, site: &Site<'_>) -> Arc<Vec<(&'static str, Vec<Reading>)>> {
        let seen = (self.seen)(site.layout());
        let remembered = || self.taken.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(taken) = remembered().iter().find(|taken| taken.seen == seen) {
            return Arc::clone(&taken.readings);
        }
        let readings = Arc::new(self.work_out(site));
        let mut taken = remembered();
        if taken.len() == REMEMBERED {
            taken.remove(0);
        }
        taken.push(Taken { seen, readings: Arc::clone(&readings) });
        readings
    }

    fn work_out(&self, site: &Site<'_>) -> Vec<(&'static str, Vec<Reading>)> {
        let (mut running, mut path) = (None, None);
        let readings = |(id, measure): &(&'static str, Measure)| {
            let readings = match measure {
                Measure::OfWater(measure) => measure(running.get_or_insert_with(|| Running::of(site))),
                Measure::OfTimber(measure) => measure(path.get_or_insert_with(|| LoadPath::of(site))),
                Measure::OfSite(_) | Measure::OfHeat(_) => Vec::new(),
            };
            (*id, readings)
        };
        self.rules.iter().map(readings).collect()
    }
}

/// Running water asks for no platform, no weather, and for nothing that is hung or put on pipes and cisterns.
fn seen_by_water(layout: &Layout) -> Layout {
    let run = |run: &Run| Run { insulation: None, screen: None, discharge: None, clips: None, ..run.clone() };
    let cistern = |cistern: &Cistern| Cistern { empty_mass: None, ..unclad(cistern) };
    Layout {
        survey: layout.survey,
        building: layout.building.clone(),
        cisterns: layout.cisterns.iter().map(cistern).collect(),
        cylinders: layout.cylinders.clone(),
        boilers: layout.boilers.clone(),
        outlets: layout.outlets.clone(),
        runs: layout.runs.iter().map(run).collect(),
        ..Layout::default()
    }
}

/// What carries the weight asks for no pipe, and of a cistern for its size, its place and its water.
fn seen_by_timber(layout: &Layout) -> Layout {
    let cistern =
        |cistern: &Cistern| Cistern { float_valve: None, connections: Vec::new(), dip_tube: None, ..unclad(cistern) };
    Layout {
        survey: layout.survey,
        building: layout.building.clone(),
        platforms: layout.platforms.clone(),
        cisterns: layout.cisterns.iter().map(cistern).collect(),
        cylinders: layout.cylinders.clone(),
        ..Layout::default()
    }
}

/// A cistern without what covers it, and without what is told of the warmth and the use of its water.
fn unclad(cistern: &Cistern) -> Cistern {
    Cistern {
        lid: None,
        lid_screen: None,
        opaque: None,
        jacket: None,
        loft_insulation_below: None,
        stored_temperature: None,
        daily_draw: None,
        ..cistern.clone()
    }
}
