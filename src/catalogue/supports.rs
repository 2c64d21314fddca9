//! What tube and copper bear: distances between clips, working heads by grade.

use std::sync::LazyLock;

use serde::Deserialize;

use super::{TubeMaterial, shipped};
use crate::units::Size;

static SUPPORTS: LazyLock<Vec<SupportRow>> =
    LazyLock::new(|| shipped(include_str!("../../assets/catalogue/supports.ron")));
static GRADES: LazyLock<Vec<GradeHead>> = LazyLock::new(|| shipped(include_str!("../../assets/catalogue/grades.ron")));

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct SupportRow {
    material: TubeMaterial,
    sizes: Vec<Support>,
}

/// Greatest distances between the clips of a size of tube.
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Support {
    outside: Size,
    /// On level stretches.
    pub level: Size,
    /// On upright stretches.
    pub upright: Size,
    /// Whether the figures were seen in print.
    pub seen: bool,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct GradeHead {
    grade: String,
    head: Size,
}

impl TubeMaterial {
    /// Greatest distances between clips; `None` for a size that the table lacks.
    #[must_use]
    pub fn support(self, outside: Size) -> Option<Support> {
        let rows = SUPPORTS.iter().filter(|row| row.material == self);
        let mut sizes = rows.flat_map(|row| &row.sizes);
        sizes.find(|size| (size.outside.to_mm() - outside.to_mm()).abs() < 0.05).copied()
    }
}

/// Greatest working head of a cylinder of a grade ("grade 3"); `None` for a grade that no source seen lists.
#[must_use]
pub fn greatest_head(grade: &str) -> Option<Size> {
    GRADES.iter().find(|row| row.grade == grade).map(|row| row.head)
}
