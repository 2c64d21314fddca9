//! The report: what was checked, every finding with working and remedy, what is to be found out, what to check on site.
//!
//! It is put together once as a [`Document`], which Markdown and HTML then write down.

mod check_sheet;
mod contents;
mod html;
mod markdown;

pub use contents::report;
pub use html::html;
pub use markdown::markdown;

/// A document, from the top down.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Document {
    /// Its title.
    pub title: String,
    /// What stands in it.
    pub blocks: Vec<Block>,
}

/// A piece of a document.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Block {
    /// A heading of the first rank below the title.
    Chapter(String),
    /// A heading below that.
    Section(String),
    /// Words.
    Paragraph(String),
    /// Words behind a name: "Source: ...".
    Named(&'static str, String),
    /// Points.
    Points(Vec<String>),
    /// Points to tick.
    ToTick(Vec<String>),
    /// Lines of working, one below the other.
    Working(Vec<String>),
    /// Heads, and rows of as many cells.
    Table(Vec<&'static str>, Vec<Vec<String>>),
}
