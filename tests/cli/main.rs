//! The command line: what is asked, what is answered, what is said of files that are no layouts.

mod answers;
#[path = "../command_line/mod.rs"]
mod command_line;
mod faults;
mod folders;
mod handed_over;
mod names;
mod start;
