//! Strength of timber and boards, and spans of ceiling joists, each table with its source in `assets/catalogue`.

use std::sync::LazyLock;

use serde::{Deserialize, Serialize};

use super::shipped;
use crate::units::Size;

static TIMBER: LazyLock<Timber> = LazyLock::new(|| shipped(include_str!("../../assets/catalogue/timber.ron")));
static BOARDS: LazyLock<Boards> = LazyLock::new(|| shipped(include_str!("../../assets/catalogue/boards.ron")));
static CEILING_JOISTS: LazyLock<CeilingJoists> =
    LazyLock::new(|| shipped(include_str!("../../assets/catalogue/ceiling_joists.ron")));

/// Strength class of solid timber, EN 338.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum StrengthClass {
    /// EN 338 class C14.
    C14,
    /// EN 338 class C16.
    C16,
    /// EN 338 class C18.
    C18,
    /// EN 338 class C20.
    C20,
    /// EN 338 class C22.
    C22,
    /// EN 338 class C24.
    C24,
}

/// Class of plywood, EN 636, as it is stamped on the sheet: strength and stiffness in bending along the strong axis.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum PlyClass {
    /// F10, E20.
    F10E20,
    /// F15, E30.
    F15E30,
    /// F20, E40.
    F20E40,
    /// F25, E50.
    F25E50,
    /// F30, E60.
    F30E60,
}

/// k_mod for permanent, long, medium, short and instantaneous loads.
pub type Lasting = (f64, f64, f64, f64, f64);

/// Solid timber.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Timber {
    /// Where the figures stand.
    pub source: String,
    classes: Vec<TimberStrength>,
    /// k_mod by service class.
    pub k_mod: [Lasting; 3],
    /// k_def by service class.
    pub k_def: [f64; 3],
    /// γ_M.
    pub gamma_m: f64,
    /// Share of the breadth that cracks leave for shear.
    pub k_cr: f64,
}

/// Strength of a class of solid timber.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TimberStrength {
    /// The class.
    pub class: StrengthClass,
    /// Characteristic strength in bending.
    pub bending_n_mm2: f64,
    /// Characteristic strength in shear.
    pub shear_n_mm2: f64,
    /// Mean modulus of elasticity.
    pub stiffness_n_mm2: f64,
    /// Mean shear modulus.
    pub shear_stiffness_n_mm2: f64,
    /// Mean density.
    pub density_kg_m3: f64,
    /// Whether bending strength and stiffness were seen in print.
    pub seen: bool,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
#[expect(dead_code, reason = "the source stands in the table for the reader")]
struct Boards {
    source: String,
    boards: Vec<BoardKind>,
}

/// A kind of board.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BoardKind {
    materials: Vec<String>,
    /// Density.
    pub density_kg_m3: f64,
    /// γ_M.
    pub gamma_m: f64,
    /// k_mod by service class; classes that are left out may not be used.
    pub k_mod: Vec<Lasting>,
    /// k_def by service class.
    pub k_def: Vec<f64>,
    strengths: Vec<BoardStrength>,
}

/// Strength of a board along its strong axis.
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BoardStrength {
    #[serde(default)]
    class: Option<PlyClass>,
    /// The thickest that it holds for.
    #[serde(default)]
    up_to: Option<Size>,
    /// The thickness from which it holds no more.
    #[serde(default)]
    below: Option<Size>,
    /// Characteristic strength in bending.
    pub bending_n_mm2: f64,
    /// Mean modulus of elasticity.
    pub stiffness_n_mm2: f64,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
#[expect(dead_code, reason = "the source stands in the table for the reader")]
struct CeilingJoists {
    source: String,
    spacings_mm: [f64; 3],
    rows: Vec<CeilingJoist>,
}

/// Spans of one size of ceiling joist.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CeilingJoist {
    /// Thickness.
    pub breadth: Size,
    /// Height.
    pub depth: Size,
    /// Greatest clear spans at each spacing of the table.
    pub spans_mm: [f64; 3],
}

impl StrengthClass {
    /// All of them, weakest first.
    pub const ALL: [Self; 6] = [Self::C14, Self::C16, Self::C18, Self::C20, Self::C22, Self::C24];

    /// The class as it is stamped.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::C14 => "C14",
            Self::C16 => "C16",
            Self::C18 => "C18",
            Self::C20 => "C20",
            Self::C22 => "C22",
            Self::C24 => "C24",
        }
    }

    /// Its strength.
    ///
    /// # Panics
    /// Never: the table has a row for each class, which a test holds it to.
    #[must_use]
    pub fn strength(self) -> &'static TimberStrength {
        TIMBER.classes.iter().find(|row| row.class == self).expect("the table has a row for each class")
    }
}

impl PlyClass {
    /// All of them, weakest first.
    pub const ALL: [Self; 5] = [Self::F10E20, Self::F15E30, Self::F20E40, Self::F25E50, Self::F30E60];

    /// The class as it is stamped.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::F10E20 => "F10 E20",
            Self::F15E30 => "F15 E30",
            Self::F20E40 => "F20 E40",
            Self::F25E50 => "F25 E50",
            Self::F30E60 => "F30 E60",
        }
    }
}

/// What holds for all solid timber.
#[must_use]
pub fn timber() -> &'static Timber {
    &TIMBER
}

/// The board of a material ("marine ply"); `None` for one that no figures are known of.
#[must_use]
pub fn board(material: &str) -> Option<&'static BoardKind> {
    BOARDS.boards.iter().find(|kind| kind.materials.iter().any(|name| name == material))
}

impl BoardKind {
    /// Whether its strength hangs on a class that is stamped on the sheet.
    #[must_use]
    pub fn has_classes(&self) -> bool {
        self.strengths.iter().any(|row| row.class.is_some())
    }

    /// Strength of a thickness; `None` beyond the thickest of the table.
    #[must_use]
    pub fn strength(&self, class: Option<PlyClass>, thickness: Size) -> Option<BoardStrength> {
        let class = if self.has_classes() { class } else { None };
        self.strengths.iter().find(|row| row.class == class && row.holds_for(thickness)).copied()
    }
}

impl BoardStrength {
    fn holds_for(&self, thickness: Size) -> bool {
        self.up_to.is_none_or(|thickest| thickness <= thickest) && self.below.is_none_or(|limit| thickness < limit)
    }
}

/// The rows of the table of ceiling joists.
#[must_use]
pub fn ceiling_joists() -> &'static [CeilingJoist] {
    &CEILING_JOISTS.rows
}

/// The least and greatest breadth, depth and spacing in the table of ceiling joists, mm.
#[must_use]
pub fn ceiling_joist_sizes_mm() -> [(f64, f64); 3] {
    let ends = |values: &mut dyn Iterator<Item = f64>| {
        values.fold((f64::INFINITY, 0.0_f64), |(least, most), value| (least.min(value), most.max(value)))
    };
    let rows = &CEILING_JOISTS.rows;
    [
        ends(&mut rows.iter().map(|row| row.breadth.to_mm())),
        ends(&mut rows.iter().map(|row| row.depth.to_mm())),
        ends(&mut CEILING_JOISTS.spacings_mm.into_iter()),
    ]
}

/// Breadth of the sawn timber that bearers are cut from, mm; common practice, no source.
pub const BEARER_BREADTH_MM: f64 = 47.0;

/// Thicknesses in which marine ply for platforms is sold, mm; common practice, no source.
pub const MARINE_PLY_MM: [f64; 2] = [18.0, 25.0];

/// Depths in which timber for bearers is sold, mm, the lowest first: those of the table of joists.
#[must_use]
pub fn bearer_depths_mm() -> Vec<f64> {
    let rows = ceiling_joists().iter();
    rows.filter(|row| row.breadth.to_mm() == BEARER_BREADTH_MM).map(|row| row.depth.to_mm()).collect()
}

/// Timber whose depth differs by no more than this from a gap fills it, mm.
const FILLS_WITHIN_MM: f64 = 1.0;

/// The depth of bearers that are sold and just fill a gap between joists and board, mm.
#[must_use]
pub fn bearer_depth_for_mm(gap_mm: f64) -> Option<f64> {
    bearer_depths_mm().into_iter().find(|depth_mm| (depth_mm - gap_mm).abs() <= FILLS_WITHIN_MM)
}

/// Greatest clear span of a ceiling joist without a cistern, mm; `None` for a size or a spacing that the table lacks.
#[must_use]
pub fn ceiling_joist_span_mm(breadth: Size, depth: Size, spacing: Size) -> Option<f64> {
    let near = |a: Size, b: Size| (a.to_mm() - b.to_mm()).abs() < 0.5;
    let row = CEILING_JOISTS.rows.iter().find(|row| near(row.breadth, breadth) && near(row.depth, depth))?;
    let mut columns = CEILING_JOISTS.spacings_mm.into_iter().zip(row.spans_mm);
    columns.find(|(widest_mm, _)| spacing.to_mm() <= widest_mm + 0.5).map(|(_, span_mm)| span_mm)
}

/// What the table allows every ceiling joist that is at least as thick and as high and stands at least as close, mm.
pub fn stouter_ceiling_joists_mm(breadth: Size, depth: Size, spacing: Size) -> impl Iterator<Item = f64> {
    let rows = CEILING_JOISTS.rows.iter().filter(move |row| row.breadth >= breadth && row.depth >= depth);
    let columns = |row: &CeilingJoist| CEILING_JOISTS.spacings_mm.into_iter().zip(row.spans_mm);
    let asked_mm = spacing.to_mm();
    rows.flat_map(columns).filter(move |(spacing_mm, _)| *spacing_mm <= asked_mm).map(|(_, span_mm)| span_mm)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_class_has_its_row() {
        for class in StrengthClass::ALL {
            assert_eq!(class.words(), format!("C{}", class.strength().bending_n_mm2));
        }
        let ply = board("marine ply").expect("plywood");
        for class in PlyClass::ALL {
            let row = ply.strength(Some(class), Size::mm(18.0)).expect("a strength");
            assert_eq!(class.words(), format!("F{} E{}", row.bending_n_mm2, row.stiffness_n_mm2 / 100.0));
        }
        assert!(ply.strength(None, Size::mm(18.0)).is_none());
        assert!(board("chipboard").is_none());
    }

    /// EN 12369-1 by the thickness classes of EN 300: 6 to 10 mm, more than 10 and less than 18, 18 to 25; from memory.
    #[test]
    fn thicker_board_of_strands_is_weaker_for_its_thickness() {
        let strands = board("OSB/3").expect("OSB/3");
        let bending = |mm| strands.strength(None, Size::mm(mm)).map(|row| row.bending_n_mm2);
        assert_eq!(
            [bending(10.0), bending(11.0), bending(17.9), bending(18.0), bending(25.0), bending(30.0)],
            [Some(18.0), Some(16.4), Some(16.4), Some(14.8), Some(14.8), None]
        );
    }

    #[test]
    fn a_spacing_between_two_columns_takes_the_wider() {
        let span = |spacing| ceiling_joist_span_mm(Size::mm(47.0), Size::mm(97.0), Size::mm(spacing));
        assert_eq!(
            [span(400.0), span(420.0), span(600.0), span(601.0)],
            [Some(1930.0), Some(1900.0), Some(1840.0), None]
        );
    }
}
