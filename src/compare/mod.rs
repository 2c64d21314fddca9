//! Variants side by side: findings, heads and take-off of several layouts in one table, row by row.
//!
//! A variant is a layout file of its own: each opens, checks and prints by itself, and none can be lost with another.

mod rows;

use serde::Serialize;

use crate::finding::{Counts, Findings};
use crate::layout::Layout;
use crate::measure::Site;
use crate::rules::{Profile, Voice};

/// A layout that is compared, by the name under which it stands in the table.
pub struct Variant<'a> {
    /// Its name.
    pub name: String,
    /// The layout.
    pub layout: &'a Layout,
    /// What judges it.
    pub profile: &'a Profile,
}

/// A table with a column for each variant.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Comparison {
    /// Names of the variants, in order.
    pub variants: Vec<String>,
    /// By what each is judged.
    pub judged_by: Vec<String>,
    /// How many findings of each verdict each has.
    pub counts: Vec<Counts>,
    /// Whether a rule of weight `Must` is broken, for each.
    pub breaks_a_must: Vec<bool>,
    /// The rows, by subject.
    pub rows: Vec<Row>,
}

/// One thing of which the variants may differ.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Row {
    /// Under which heading it stands.
    pub about: About,
    /// What it is.
    pub name: String,
    /// A cell for each variant.
    pub cells: Vec<String>,
    /// Whether they differ.
    pub differs: bool,
}

/// What a row is about; also the order of the headings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum About {
    /// How many findings of each verdict.
    Counts,
    /// Rules that some variant does not keep.
    Findings,
    /// Heights and heads that drive the water, and what runs.
    Heads,
    /// What it is made of.
    Takeoff,
}

impl About {
    /// All of them, in order.
    pub const ALL: [Self; 4] = [Self::Counts, Self::Findings, Self::Heads, Self::Takeoff];

    /// Its heading.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Counts => "In short",
            Self::Findings => "Findings",
            Self::Heads => "Heads and flows",
            Self::Takeoff => "Take-off",
        }
    }
}

impl Row {
    fn new(about: About, name: impl Into<String>, cells: Vec<String>) -> Self {
        let differs = cells.windows(2).any(|pair| pair[0] != pair[1]);
        Self { about, name: name.into(), cells, differs }
    }
}

impl Comparison {
    /// Puts variants side by side, in the words of one reading.
    #[must_use]
    pub fn of(variants: &[Variant<'_>], voice: Voice) -> Self {
        let sites: Vec<Site<'_>> = variants.iter().map(|variant| Site::of(variant.layout)).collect();
        let findings: Vec<Findings> =
            sites.iter().zip(variants).map(|(site, variant)| Findings::under(site, variant.profile)).collect();
        let mut rows = rows::counts(&findings, voice);
        rows.extend(rows::findings(&findings, voice));
        rows.extend(rows::heads(&sites, &findings));
        rows.extend(rows::takeoff(&sites));
        Self {
            variants: variants.iter().map(|variant| variant.name.clone()).collect(),
            judged_by: variants.iter().map(|variant| variant.profile.name.clone()).collect(),
            counts: findings.iter().map(Findings::counts).collect(),
            breaks_a_must: findings.iter().map(Findings::breaks_a_must).collect(),
            rows,
        }
    }

    /// The rows about one thing.
    pub fn about(&self, about: About) -> impl Iterator<Item = &Row> {
        self.rows.iter().filter(move |row| row.about == about)
    }
}
