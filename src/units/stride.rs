//! What is typed while a pipe is drawn: "1200, up 450" and the like, as the strides from one point to the next.
//!
//! A line holds one stride or several, parted by a comma and a blank, or by a semicolon:
//!
//! ```text
//! line      = stride { ", " stride }
//! stride    = [ way ] length [ way ] [ fall ]
//! way       = "left" | "right" | "up" | "down" | "l" | "r" | "u" | "d"
//! length    = a number with or without a unit, as in any field: 1200, 1.2 m, 18 in
//! fall      = ( "fall" | "rise" ) ( "1:40" | "25 mm/m" | "2.5 %" )
//! ```
//!
//! A length without a way goes the way in which the pointer lies. Two lengths and nothing else, as in "1200, 450" or
//! "1200 450", are one stride: so far to the right and so far up.

use thiserror::Error;

use super::{Entry, EntryError, Gradient};

/// Which way a stride goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Course {
    /// To the left.
    Left,
    /// To the right.
    Right,
    /// Upward.
    Up,
    /// Downward.
    Down,
}

/// One stride from a point to the next.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Stride {
    /// So far along an axis.
    Along {
        /// Which way; none means the way in which the pointer lies.
        course: Option<Course>,
        /// How far, mm.
        mm: f64,
        /// The fall on the way, for a stride to the side.
        fall: Option<Gradient>,
    },
    /// Straight to a point so far off.
    To {
        /// To the right, mm.
        right_mm: f64,
        /// Upward, mm.
        up_mm: f64,
    },
}

/// Why typed text is no stride.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum StrideError {
    /// A length or fall cannot be read.
    #[error(transparent)]
    Entry(#[from] EntryError),
    /// Two ways in one stride.
    #[error("'{0}' goes two ways at once; part strides by a comma, as in 1200, up 450")]
    TwoWays(String),
    /// No length.
    #[error("'{0}' has no length; type for example up 450")]
    NoLength(String),
    /// A fall on an upright stretch.
    #[error("'{0}' goes up or down: only a stretch to the side has a fall")]
    UprightFall(String),
}

/// Reads a line of strides; see the head of this file for what it may hold.
///
/// # Errors
/// [`StrideError`] says what cannot be read, with an example.
pub fn strides(text: &str) -> Result<Vec<Stride>, StrideError> {
    let pieces: Vec<&str> = pieces(text);
    if pieces.is_empty() {
        return Err(EntryError::Empty { example: "1200, up 450" }.into());
    }
    let bare = |text: &str| Entry::Length.parse(text).ok();
    let two = match pieces[..] {
        [right, up] => bare(right).zip(bare(up)),
        [both] if bare(both).is_none() => both.split_once(' ').and_then(|(right, up)| bare(right).zip(bare(up))),
        _ => None,
    };
    if let Some((right_mm, up_mm)) = two {
        return Ok(vec![Stride::To { right_mm, up_mm }]);
    }
    pieces.into_iter().map(stride).collect()
}

/// Parts at semicolons, and at commas that no digit follows at once.
fn pieces(text: &str) -> Vec<&str> {
    let mut found = Vec::new();
    let mut begin = 0;
    for (at, letter) in text.char_indices() {
        let rest = &text[at + letter.len_utf8()..];
        let decimal = rest.starts_with(|next: char| next.is_ascii_digit())
            && text[..at].ends_with(|before: char| before.is_ascii_digit());
        if letter == ';' || (letter == ',' && !decimal) {
            found.push(&text[begin..at]);
            begin = at + letter.len_utf8();
        }
    }
    found.push(&text[begin..]);
    found.into_iter().map(str::trim).filter(|piece| !piece.is_empty()).collect()
}

fn stride(text: &str) -> Result<Stride, StrideError> {
    let lower = text.to_lowercase();
    let (body, fall) = match lower.find("fall").or_else(|| lower.find("rise")) {
        Some(at) => {
            let sign = if lower[at..].starts_with("rise") { "-" } else { "" };
            let words = lower[at + "fall".len()..].trim_start_matches(|c: char| c.is_alphabetic()).trim();
            (&lower[..at], Some(Gradient::parse(&format!("{sign}{words}"))?))
        }
        None => (lower.as_str(), None),
    };
    let mut course = None;
    let mut length = Vec::new();
    for word in body.split_whitespace() {
        match way(word) {
            Some(_) if course.is_some() => return Err(StrideError::TwoWays(text.to_owned())),
            Some(found) => course = Some(found),
            None => length.push(word),
        }
    }
    if length.is_empty() {
        return Err(StrideError::NoLength(text.to_owned()));
    }
    if fall.is_some() && matches!(course, Some(Course::Up | Course::Down)) {
        return Err(StrideError::UprightFall(text.to_owned()));
    }
    Ok(Stride::Along { course, mm: Entry::Length.parse(&length.join(" "))?, fall })
}

fn way(word: &str) -> Option<Course> {
    match word {
        "left" | "l" => Some(Course::Left),
        "right" | "r" => Some(Course::Right),
        "up" | "u" => Some(Course::Up),
        "down" | "d" => Some(Course::Down),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn along(course: Option<Course>, mm: f64) -> Stride {
        Stride::Along { course, mm, fall: None }
    }

    #[test]
    fn strides_people_type() {
        let check = |text: &str, expected: &[Stride]| {
            let read = strides(text).unwrap_or_else(|error| panic!("{text}: {error}"));
            assert_eq!(read, expected, "{text}");
        };
        check("1200", &[along(None, 1200.0)]);
        check("1200, up 450", &[along(None, 1200.0), along(Some(Course::Up), 450.0)]);
        check("left 1.2 m; 18 in down", &[along(Some(Course::Left), 1200.0), along(Some(Course::Down), 457.2)]);
        check("r 1,5 m", &[along(Some(Course::Right), 1500.0)]);
        check("1200, 450", &[Stride::To { right_mm: 1200.0, up_mm: 450.0 }]);
        check("-1200 450", &[Stride::To { right_mm: -1200.0, up_mm: 450.0 }]);
        check("2 ft 6 in", &[along(None, 762.0)]);
        check(
            "up 450, right 200, down 100",
            &[along(Some(Course::Up), 450.0), along(Some(Course::Right), 200.0), along(Some(Course::Down), 100.0)],
        );
    }

    #[test]
    fn a_stride_to_the_side_may_fall() {
        let fall = Gradient::falling(25.0);
        let expected = Stride::Along { course: Some(Course::Left), mm: 3000.0, fall };
        assert_eq!(strides("left 3 m fall 1:40"), Ok(vec![expected]));
        let rise = Stride::Along { course: None, mm: 900.0, fall: Gradient::falling(-10.0) };
        assert_eq!(strides("900 rises 10 mm/m"), Ok(vec![rise]));
        assert!(matches!(strides("up 300 fall 1:40"), Err(StrideError::UprightFall(_))));
    }

    #[test]
    fn what_cannot_be_read_says_what_could() {
        assert!(strides("").unwrap_err().to_string().contains("1200, up 450"));
        assert!(strides("up").unwrap_err().to_string().contains("up 450"));
        assert!(matches!(strides("up left 30"), Err(StrideError::TwoWays(_))));
        assert!(strides("twelve hundred").is_err());
        assert!(strides("1200, up").is_err());
    }
}
