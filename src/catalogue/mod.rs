//! Sizes that are sold: tubes, cylinders, cisterns; read from `assets/catalogue`, each with its source.

mod insulants;
mod supports;
mod timber;

use std::f64::consts::FRAC_PI_4;
use std::sync::LazyLock;

use serde::Deserialize;
use serde::de::DeserializeOwned;

pub use insulants::Insulant;
pub use supports::{Support, greatest_head};
pub use timber::{
    BEARER_BREADTH_MM, BoardKind, BoardStrength, CeilingJoist, Lasting, MARINE_PLY_MM, PlyClass, StrengthClass, Timber,
    TimberStrength, bearer_depth_for_mm, bearer_depths_mm, board, ceiling_joist_sizes_mm, ceiling_joist_span_mm,
    ceiling_joists, stouter_ceiling_joists_mm, timber,
};

use crate::units::{Size, Volume};

static TUBES: LazyLock<Vec<TubeRow>> = LazyLock::new(|| shipped(include_str!("../../assets/catalogue/tubes.ron")));
static CYLINDERS: LazyLock<CylinderSizes> =
    LazyLock::new(|| shipped(include_str!("../../assets/catalogue/cylinders.ron")));
static CISTERNS: LazyLock<CisternSizes> =
    LazyLock::new(|| shipped(include_str!("../../assets/catalogue/cisterns.ron")));

/// Bores of float valve seats for a main, mm, the narrowest first: those of BS 1212, from memory.
pub const FLOAT_VALVE_SEATS_MM: [f64; 3] = [3.2, 4.8, 6.4];

/// What tubes are made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, serde::Serialize)]
pub enum TubeMaterial {
    /// Copper tube to EN 1057.
    Copper,
    /// Polybutylene.
    Polybutylene,
    /// Overflow pipe of plastic.
    OverflowPlastic,
}

impl TubeMaterial {
    /// All of them, in the order in which they are offered.
    pub const ALL: [Self; 3] = [Self::Copper, Self::Polybutylene, Self::OverflowPlastic];

    /// The material in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Copper => "copper",
            Self::Polybutylene => "polybutylene",
            Self::OverflowPlastic => "overflow plastic",
        }
    }

    /// The outside diameters in which it is sold.
    #[must_use]
    pub fn sizes(self) -> Vec<Size> {
        rows_of(self).flat_map(|row| row.sizes.iter().map(|size| size.outside)).collect()
    }

    /// The bore of a size; `None` for a size that is not sold.
    #[must_use]
    pub fn bore(self, outside: Size) -> Option<Size> {
        let sizes = rows_of(self).flat_map(|row| &row.sizes);
        sizes.into_iter().find(|size| (size.outside.to_mm() - outside.to_mm()).abs() < 0.05).map(|size| size.bore)
    }

    /// Specific heat of its wall, J/(kg K); from memory.
    #[must_use]
    pub const fn heat_j_kg_k(self) -> f64 {
        match self {
            Self::Copper => 385.0,
            Self::Polybutylene => 1900.0,
            Self::OverflowPlastic => 1000.0,
        }
    }

    /// Conductivity of its wall, W/(m K); from memory. Phosphorus-deoxidised copper for tube conducts less than pure.
    #[must_use]
    pub const fn conductivity_w_m_k(self) -> f64 {
        match self {
            Self::Copper => 340.0,
            Self::Polybutylene => 0.22,
            Self::OverflowPlastic => 0.16,
        }
    }

    /// Density of its wall, kg/m³.
    #[must_use]
    pub fn density_kg_m3(self) -> f64 {
        rows_of(self).next().map_or(0.0, |row| row.density_kg_m3)
    }

    /// How rough it is inside, in mm.
    #[must_use]
    pub fn roughness_mm(self) -> f64 {
        rows_of(self).next().map_or(0.0, |row| row.roughness_mm)
    }

    /// What an empty metre weighs, in kg; `None` for a size that is not sold.
    #[must_use]
    pub fn mass_kg_per_m(self, outside: Size) -> Option<f64> {
        let bore_m = self.bore(outside)?.to_mm() / 1000.0;
        let outside_m = outside.to_mm() / 1000.0;
        let density_kg_m3 = rows_of(self).next()?.density_kg_m3;
        Some(FRAC_PI_4 * (outside_m * outside_m - bore_m * bore_m) * density_kg_m3)
    }
}

fn rows_of(material: TubeMaterial) -> impl Iterator<Item = &'static TubeRow> {
    TUBES.iter().filter(move |row| row.material == material)
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
#[expect(dead_code, reason = "source and seen stand in the table for the reader")]
struct TubeRow {
    material: TubeMaterial,
    density_kg_m3: f64,
    roughness_mm: f64,
    source: String,
    seen: bool,
    sizes: Vec<TubeSize>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct TubeSize {
    outside: Size,
    bore: Size,
}

/// The table of cylinder sizes.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CylinderSizes {
    /// Where the figures stand.
    pub source: String,
    /// Whether the source was seen for all of them.
    pub seen: bool,
    /// Least and greatest capacity over the plain cylinder of the same outside size.
    pub fill_share: (f64, f64),
    /// Sizes by reference.
    pub sizes: Vec<CylinderSize>,
}

/// A size of cylinder.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CylinderSize {
    /// Reference in the standard.
    pub reference: String,
    /// Outside diameter.
    pub diameter: Size,
    /// Height over the dome.
    pub height: Size,
    /// Capacity with a coil inside.
    pub indirect: Volume,
    /// Capacity without.
    #[serde(default)]
    pub direct: Option<Volume>,
}

/// The table of cylinder sizes.
#[must_use]
pub fn cylinders() -> &'static CylinderSizes {
    &CYLINDERS
}

/// The cylinder of a reference.
#[must_use]
pub fn cylinder(reference: &str) -> Option<&'static CylinderSize> {
    CYLINDERS.sizes.iter().find(|size| size.reference == reference)
}

/// The table of cistern sizes.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CisternSizes {
    /// Where the figures stand.
    pub source: String,
    /// Sizes, smallest first.
    pub sizes: Vec<CisternSize>,
}

/// A size of cistern.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CisternSize {
    /// How it is offered.
    pub name: String,
    /// Outside length.
    pub length: Size,
    /// Outside width.
    pub width: Size,
    /// Base to rim.
    pub height: Size,
    /// Volume to the water line.
    pub water: Volume,
    /// Whether the figures were seen in print.
    pub seen: bool,
}

impl CisternSize {
    /// How far above the base the stated water stands between its outside walls, in mm.
    #[must_use]
    pub fn water_line_mm(&self) -> f64 {
        self.water.to_litres() * 1e6 / (self.length.to_mm() * self.width.to_mm())
    }
}

/// The table of cistern sizes.
#[must_use]
pub fn cisterns() -> &'static CisternSizes {
    &CISTERNS
}

/// Reads a table that ships inside the program.
pub(crate) fn shipped<T: DeserializeOwned>(text: &str) -> T {
    let options = ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME);
    options.from_str(text).unwrap_or_else(|error| panic!("a shipped catalogue cannot be read: {error}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_table_reads() {
        assert_eq!(TubeMaterial::Copper.bore(Size::mm(22.0)), Some(Size::mm(20.2)));
        assert_eq!(TubeMaterial::Copper.bore(Size::mm(23.0)), None);
        assert_eq!(cylinder("7").expect("reference 7").indirect.to_litres(), 117.0);
        assert_eq!(cisterns().sizes.len(), 10);
    }

    /// The share by which a cylinder whose reference is not told is estimated must hold for every printed size.
    #[test]
    fn every_capacity_lies_within_the_stated_share_of_a_plain_cylinder() {
        let (least, greatest) = cylinders().fill_share;
        for size in &cylinders().sizes {
            let plain_l = std::f64::consts::PI / 4.0 * size.diameter.to_mm().powi(2) * size.height.to_mm() / 1e6;
            for capacity in [Some(size.indirect), size.direct].into_iter().flatten() {
                let share = capacity.to_litres() / plain_l;
                assert!((least..=greatest).contains(&share), "{}: {share}", size.reference);
            }
        }
    }
}
