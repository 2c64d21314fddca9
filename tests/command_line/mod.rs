//! The command line without a program of its own.

use std::ffi::{OsStr, OsString};

use loftwright::cli::{self, Outcome};

/// How a command line ends, what it prints and what it complains of.
pub fn run(arguments: &[impl AsRef<OsStr>]) -> (Outcome, String, String) {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let outcome = cli::run(arguments.iter().map(OsString::from), &mut out, &mut err);
    (outcome, String::from_utf8(out).expect("text"), String::from_utf8(err).expect("text"))
}
