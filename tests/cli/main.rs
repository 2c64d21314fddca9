//! The command line: what is asked, what is answered, what is said of files that are no layouts.

mod answers;
mod faults;
mod folders;
mod handed_over;
mod start;
