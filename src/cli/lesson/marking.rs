//! `lesson mark` and `lesson record`: answers against their key, with what each missed fault teaches; attempts as CSV.

use clap::ArgMatches;

use super::needed;
use crate::cli::EXIT_SOUND;
use crate::cli::page::Page;
use crate::session::course;
use crate::session::returned::Returned;
use crate::sheet;

pub(super) fn run(matches: &ArgMatches, page: &mut Page<'_>) -> Result<u8, String> {
    let answers = needed(matches, "FILE", "name the answers: lesson mark ANSWERS.csv --key KEY.ron")?;
    let key = needed(matches, "key", "name the key that came with the worksheets: --key KEY.ron")?;
    let returned = Returned::read(key, answers)?;
    if matches.get_flag("json") {
        page.print(&sheet::marks_json(&returned.papers).map_err(|error| error.to_string())?);
    } else {
        page.print(&sheet::marks_text(&returned.papers));
    }
    if let Some(record) = matches.get_one::<std::path::PathBuf>("record") {
        course::add(record, returned.attempts())?;
    }
    Ok(EXIT_SOUND)
}

/// Prints a course record as CSV: that of a file, or the program's own.
pub(super) fn export(matches: &ArgMatches, page: &mut Page<'_>) -> Result<u8, String> {
    let own = course::path();
    let path = matches.get_one::<std::path::PathBuf>("FILE").or(own.as_ref());
    let path = path.ok_or("name the course record: lesson record FILE")?;
    let record = course::read(path)?;
    page.print(&sheet::record_csv(&record));
    Ok(EXIT_SOUND)
}
