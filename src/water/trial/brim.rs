//! Where a cistern into which others run loses its water: over the invert of its overflow, or over its rim.

use super::Event;
use super::levels::litres_per_mm;
use crate::layout::Cistern;
use crate::measure::{Place, Site, overflow_inverts};

/// How high a cistern can stand, and what has run away.
pub(super) struct Brim<'s> {
    cistern: &'s Cistern,
    /// Above the datum, mm.
    pub(super) level_mm: f64,
    /// The way out in words: "by the warning pipe of low".
    pub(super) way: String,
    place: Place,
    /// What has run away over it, L.
    pub(super) lost_l: f64,
}

impl<'s> Brim<'s> {
    /// The invert of its lowest overflow; its rim where none is told.
    pub(super) fn of(site: &Site<'s>, cistern: &'s Cistern) -> Self {
        let spoken = cistern.id.spoken();
        let base_mm = cistern.at.z.to_mm();
        let lowest = overflow_inverts(site, cistern).ok().and_then(|inverts| inverts.into_iter().next());
        let (level_mm, way, place) = match lowest {
            Some(invert) => (base_mm + invert.height.value, format!("by the warning pipe of {spoken}"), invert.place),
            None => {
                let place = Place::of(&cistern.id, crate::measure::Feature::Top);
                (base_mm + cistern.height.to_mm(), format!("over the rim of {spoken}"), place)
            }
        };
        Self { cistern, level_mm, way, place, lost_l: 0.0 }
    }

    /// Lets what stands above it run away at a time, and tells when that first happens.
    ///
    /// # Errors
    /// What to find out, when the layout does not tell the cistern's shape.
    pub(super) fn skim(&mut self, site: &Site<'_>, level_mm: &mut f64, time_s: f64) -> Result<Option<Event>, String> {
        let over_mm = *level_mm - self.level_mm;
        if over_mm <= 0.0 {
            return Ok(None);
        }
        let begins = self.lost_l == 0.0;
        self.lost_l += over_mm * litres_per_mm(site, self.cistern, self.level_mm)?;
        *level_mm = self.level_mm;
        let words = format!("water runs away {}", self.way);
        Ok(begins.then(|| Event { time_s, words, place: self.place.clone() }))
    }
}
