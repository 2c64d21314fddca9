//! `--profile`: which rules judge, from a file or by the name of a profile that ships with the program.

use std::path::Path;

use clap::{Arg, ArgMatches};

use super::page::Page;
use crate::rules::Profile;

/// A profile is a short text; a longer file is not read.
const GREATEST_BYTES: u64 = 1_000_000;

/// The argument, the same for every command that judges.
pub(super) fn argument() -> Arg {
    let names: Vec<&str> = Profile::shipped_names().collect();
    Arg::new("profile")
        .long("profile")
        .value_name("PROFILE")
        .help(format!("Which rules judge: a file, or one of {}", names.join(", ")))
}

/// The profile that was asked for, or the usual one; complains and gives none when it cannot be used.
pub(super) fn chosen(matches: &ArgMatches, page: &mut Page<'_>) -> Option<Profile> {
    let Some(asked) = matches.get_one::<String>("profile") else { return Some(Profile::default()) };
    if let Some(shipped) = Profile::shipped(asked) {
        return Some(shipped);
    }
    match read(Path::new(asked)) {
        Ok(profile) => Some(profile),
        Err(reason) => {
            page.complain(&format!("{asked}: {reason}\n"));
            None
        }
    }
}

fn read(path: &Path) -> Result<Profile, String> {
    let names = || Profile::shipped_names().collect::<Vec<_>>().join(", ");
    let length = std::fs::metadata(path)
        .map_err(|_| format!("there is no such profile file; give the path of one, or one of {}", names()))?;
    if length.len() > GREATEST_BYTES {
        return Err("the profile is larger than 1 MB; a profile is a short text".to_owned());
    }
    let text = std::fs::read_to_string(path).map_err(|error| format!("the profile cannot be read: {error}"))?;
    Profile::parse(&text).map_err(|error| error.to_string())
}
