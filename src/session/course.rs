//! The course record in its file: where that is, the day of an attempt, and adding one without losing the others.

use std::path::{Path, PathBuf};
use std::time::{SystemTime, UNIX_EPOCH};

use super::recovery;
use crate::file::{self, ReadError};
use crate::lesson::{Attempt, CourseRecord};

/// Where the record is kept: `course.ron` in the program's folder for what it remembers.
#[must_use]
pub fn path() -> Option<PathBuf> {
    Some(recovery::folder()?.parent()?.join("course.ron"))
}

/// Reads the record; an empty one where there is no file yet.
///
/// # Errors
/// What is wrong with the file, where, and what to do.
pub fn read(path: &Path) -> Result<CourseRecord, String> {
    match file::read_text(path) {
        Ok(text) => CourseRecord::parse(&text, &path.display().to_string()).map_err(|error| error.to_string()),
        Err(ReadError::NotFound { .. }) => Ok(CourseRecord::default()),
        Err(error) => Err(error.to_string()),
    }
}

/// Adds attempts to the record in a file. A file that cannot be read is left as it is.
///
/// # Errors
/// Why nothing was added.
pub fn add(path: &Path, attempts: impl IntoIterator<Item = Attempt>) -> Result<(), String> {
    let mut record = read(path)?;
    record.attempts.extend(attempts);
    if let Some(folder) = path.parent().filter(|folder| !folder.as_os_str().is_empty()) {
        std::fs::create_dir_all(folder).map_err(|error| format!("{} cannot be made: {error}", folder.display()))?;
    }
    file::hand_over(path, record.text().as_bytes()).map_err(|error| error.to_string())
}

/// Today, as 2026-11-25, by universal time.
#[must_use]
pub fn today() -> String {
    let seconds = SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |since| since.as_secs());
    day_words(i64::try_from(seconds / 86_400).unwrap_or(0))
}

/// A day counted from 1970-01-01, by the calendar (H. Hinnant, "chrono-compatible low-level date algorithms").
fn day_words(days: i64) -> String {
    let days = days + 719_468;
    let era = days.div_euclid(146_097);
    let of_era = days.rem_euclid(146_097);
    let year_of_era = (of_era - of_era / 1460 + of_era / 36_524 - of_era / 146_096) / 365;
    let of_year = of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let shifted = (5 * of_year + 2) / 153;
    let day = of_year - (153 * shifted + 2) / 5 + 1;
    let month = if shifted < 10 { shifted + 3 } else { shifted - 9 };
    let year = year_of_era + era * 400 + i64::from(month <= 2);
    format!("{year:04}-{month:02}-{day:02}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_those_of_the_calendar() {
        for (days, words) in [(0, "1970-01-01"), (11_016, "2000-02-29"), (11_017, "2000-03-01"), (20_782, "2026-11-25")]
        {
            assert_eq!(day_words(days), words);
        }
    }

    #[test]
    fn an_attempt_is_added_and_a_spoilt_file_is_left_alone() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("new/course.ron");
        let attempt = Attempt {
            day: "2026-11-25".to_owned(),
            learner: "Ines".to_owned(),
            title: "A house".to_owned(),
            seed: 3,
            faults: 2,
            got: 5,
            out_of: 10,
            hints: 1,
            seconds: Some(90),
            missed: vec!["vent-too-low".to_owned()],
        };
        add(&path, [attempt.clone()]).expect("added");
        add(&path, [attempt.clone()]).expect("added again");
        let record = read(&path).expect("read");
        assert_eq!(record.attempts, [attempt.clone(), attempt.clone()]);
        assert_eq!(record.learners(), [("Ines".to_owned(), 2, 10, 20)]);
        std::fs::write(&path, "(format: 1, atempts: [])").expect("spoilt");
        let error = add(&path, [attempt]).expect_err("unreadable");
        assert!(error.contains("line 1, column 13") && error.contains("did you mean 'attempts'?"), "{error}");
        assert_eq!(std::fs::read_to_string(&path).expect("there"), "(format: 1, atempts: [])");
    }
}
