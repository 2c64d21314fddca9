//! Cisterns that links join, taken as one water: its levels, its plan, its rim, and where it runs out.

use super::levels::litres_per_mm;
use crate::layout::{Cistern, Id};
use crate::measure::{Invert, Site, filled_through, overflow_inverts};

/// A cistern and those that its water fills. Heights are above the base of the first, mm.
pub struct OneWater<'s> {
    /// The cistern that is asked for, then the others.
    cisterns: Vec<&'s Cistern>,
}

impl<'s> OneWater<'s> {
    /// Of a cistern.
    #[must_use]
    pub fn of(site: &'s Site<'_>, cistern: &'s Cistern) -> Self {
        Self { cisterns: filled_through(site, cistern) }
    }

    /// Whether others are linked with the first.
    #[must_use]
    pub fn is_several(&self) -> bool {
        self.cisterns.len() > 1
    }

    /// Their names: "main tank and second".
    #[must_use]
    pub fn names(&self) -> String {
        let names: Vec<String> = self.cisterns.iter().map(|cistern| cistern.id.spoken().to_string()).collect();
        names.join(" and ")
    }

    /// How far a cistern stands above the first, mm.
    fn raised_mm(&self, cistern: &Cistern) -> f64 {
        cistern.at.z.to_mm() - self.cisterns[0].at.z.to_mm()
    }

    /// What is taken for granted of several: "main tank and second: linked, ...".
    #[must_use]
    pub fn assumption(&self) -> Option<String> {
        self.is_several().then(|| {
            format!(
                "{}: linked, they fill as one water, with equal levels: what joins them is open and takes no head",
                self.names()
            )
        })
    }

    /// Where the water stands: at the highest surface that is told.
    #[must_use]
    pub fn line_mm(&self) -> Option<f64> {
        let line_mm = |cistern: &&Cistern| Some(cistern.surface()?.to_mm() - self.cisterns[0].at.z.to_mm());
        self.cisterns.iter().filter_map(line_mm).reduce(f64::max)
    }

    /// The lowest rim, and whose it is.
    #[must_use]
    pub fn rim(&self) -> (f64, &'s Cistern) {
        let rims = self.cisterns.iter().map(|cistern| (self.raised_mm(cistern) + cistern.height.to_mm(), *cistern));
        rims.min_by(|a, b| a.0.total_cmp(&b.0)).expect("the first is always there")
    }

    /// Bases of the others, at which their water begins to count.
    pub fn bases_mm(&self) -> impl Iterator<Item = f64> {
        self.cisterns.iter().skip(1).map(|cistern| self.raised_mm(cistern))
    }

    /// Litres for each millimetre of level, at a height.
    ///
    /// # Errors
    /// What to find out, when the layout does not tell a shape.
    pub fn litres_per_mm(&self, site: &Site<'_>, height_mm: f64) -> Result<f64, String> {
        let level_mm = self.cisterns[0].at.z.to_mm() + height_mm;
        let wet = self.cisterns.iter().filter(|cistern| self.raised_mm(cistern) <= height_mm);
        wet.map(|cistern| litres_per_mm(site, cistern, level_mm)).sum()
    }

    /// The level in each, mm above the datum; at the base where the water has not come up to it.
    #[must_use]
    pub fn levels_mm(&self, height_mm: f64) -> Vec<(Id, f64)> {
        let level_mm = self.cisterns[0].at.z.to_mm() + height_mm;
        self.cisterns.iter().map(|cistern| (cistern.id.clone(), level_mm.max(cistern.at.z.to_mm()))).collect()
    }

    /// Each way out with the cistern that it leaves, and the height of its invert.
    ///
    /// # Errors
    /// What to find out, when the layout does not tell enough, or draws no way out.
    pub fn inverts(&self, site: &Site<'s>) -> Result<Vec<(&'s Cistern, f64, Invert<'s>)>, String> {
        let has_way = |cistern: &&&'s Cistern| !site.ways_out_of(cistern).is_empty();
        let mut with_ways: Vec<&'s Cistern> = self.cisterns.iter().filter(has_way).copied().collect();
        if with_ways.is_empty() {
            with_ways.push(self.cisterns[0]);
        }
        let mut inverts = Vec::new();
        for cistern in with_ways {
            let own = overflow_inverts(site, cistern)?.into_iter();
            inverts.extend(own.map(|invert| (cistern, self.raised_mm(cistern) + invert.height.value, invert)));
        }
        Ok(inverts)
    }
}
