//! What the program is made with, for whoever shows it: the window and the command line.

/// Every crate in the program with its licence; `.ci/licences` writes the list.
pub const OF_CRATES: &str = include_str!("../../assets/licences.txt");
