//! `--profile`: which rules judge, from a file or by the name of a profile that ships with the program.

use std::path::Path;

use clap::{Arg, ArgMatches};

use super::page::{Page, harmless, paragraph};
use crate::file;
use crate::layout::Layout;
use crate::rules::Profile;

/// The argument, the same for every command that judges.
pub(super) fn argument() -> Arg {
    let names: Vec<&str> = Profile::shipped_names().collect();
    Arg::new("profile")
        .long("profile")
        .value_name("PROFILE")
        .help(format!("Which rules judge, whatever the layout says: a file, or one of {}", names.join(", ")))
}

/// What the command line says about the profile.
pub(super) enum Asked {
    /// By this one, whatever the layouts say.
    By(Box<Profile>),
    /// Nothing: each layout may name its own.
    ByLayout,
}

/// What was asked for; complains and gives nothing when it cannot be used.
pub(super) fn asked(matches: &ArgMatches, page: &mut Page<'_>) -> Option<Asked> {
    let Some(asked) = matches.get_one::<String>("profile") else { return Some(Asked::ByLayout) };
    if let Some(shipped) = Profile::shipped(asked) {
        return Some(Asked::By(Box::new(shipped)));
    }
    match read(Path::new(asked)) {
        Ok(profile) => Some(Asked::By(Box::new(profile))),
        Err(reason) => {
            page.complain(&format!("{asked}: {reason}\n"));
            None
        }
    }
}

impl Asked {
    /// The profile that judges a layout; complains and gives nothing when the layout names one that is not there.
    pub(super) fn of(&self, path: &Path, layout: &Layout, page: &mut Page<'_>) -> Option<Profile> {
        match self {
            Self::By(profile) => Some((**profile).clone()),
            Self::ByLayout => Profile::named(layout.heading.profile.as_deref())
                .inspect_err(|error| {
                    let complaint = format!("{}: {error}", path.display());
                    page.complain(&paragraph("", &harmless(&complaint)));
                })
                .ok(),
        }
    }
}

fn read(path: &Path) -> Result<Profile, String> {
    if !path.exists() {
        let names = Profile::shipped_names().collect::<Vec<_>>().join(", ");
        return Err(format!("there is no such profile file; give the path of one, or one of {names}"));
    }
    let text = file::short_text(path).map_err(|reason| format!("the profile: {reason}"))?;
    Profile::parse(&text).map_err(|error| error.to_string())
}
