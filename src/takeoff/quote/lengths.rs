//! Whether a quote has less tube than is drawn, by the lengths that its lines name.

use super::beside::sizes_mm;
use super::counts::Count;
use super::numbers::SAME;
use super::topics::{Covers, TOPICS};
use super::words::Words;
use crate::takeoff::{Counted, Item, Line};

const METRES: &[&str] = &["m", "metre", "metres", "mtr", "mtrs", "meter", "meters"];
/// Pieces of tube, each of the length that is named with them.
const PIECES: &[&str] = &["length", "lengths"];
/// With these a length is for each of something, for a part of the pipes, or a price.
const NOT_THE_WHOLE: &[&str] =
    &["each", "per", "coil", "roll", "pack", "bundle", "to", "from", "for", "between", "approx"];

/// What a line of a quote says of tube.
struct Tube {
    /// The sizes that it names, mm.
    sizes_mm: Vec<f64>,
    /// How much of it there is in all, m; nothing where that cannot be understood safely.
    length_m: Option<f64>,
}

/// Where the lines of a quote name less tube than is drawn. Of a size that a line names without a length that can be
/// understood safely nothing is said; of none, where that line names no size.
pub(super) fn too_short(lines: &[&Line], quoted: &[&Words]) -> Vec<String> {
    let drawn: Vec<&Line> = lines.iter().copied().filter(|line| line.item == Item::Tube).collect();
    let is_told = |line: &&Line| line.quantity.is_some() && line.unit == Counted::Metres && line.find_out.is_none();
    let is_of_one_kind = drawn.iter().all(|line| line.what == drawn[0].what);
    if !is_of_one_kind || !drawn.iter().all(is_told) {
        return Vec::new();
    }
    let read: Vec<Tube> = quoted.iter().map(|words| Tube::of(words)).collect();
    let said = |size: Option<f64>| {
        let of_size = |tube: &&Tube| size.is_none_or(|size| tube.sizes_mm.contains(&size));
        let named_m: f64 = read.iter().filter(of_size).map(|tube| tube.length_m).sum::<Option<f64>>()?;
        let is_drawn_so = |line: &&&Line| size.is_none_or(|mm| line.size == format!("{mm} mm"));
        let drawn_m: f64 = drawn.iter().filter(is_drawn_so).filter_map(|line| line.quantity).sum();
        let of = size.map_or_else(String::new, |mm| format!(" of {mm} mm"));
        let (named, asked) = (Counted::Metres.digits(named_m), Counted::Metres.digits(drawn_m));
        (named_m < drawn_m * (1.0 - SAME)).then(|| format!("{named} m{of} in the quote, and the drawing has {asked} m"))
    };
    if read.iter().any(|tube| tube.sizes_mm.is_empty()) {
        return said(None).into_iter().collect();
    }
    let mut sizes: Vec<f64> = read.iter().flat_map(|tube| tube.sizes_mm.iter().copied()).collect();
    sizes.sort_by(f64::total_cmp);
    sizes.dedup();
    sizes.into_iter().filter_map(|mm| said(Some(mm))).collect()
}

impl Tube {
    fn of(words: &Words) -> Self {
        let sizes_mm = sizes_mm(words);
        // Which of several sizes a length is of is anybody's guess.
        let length_m = if sizes_mm.len() > 1 { None } else { length_m(words) };
        Self { sizes_mm, length_m }
    }
}

/// The length of all tube that a line names, m; nothing where it is not to be understood.
fn length_m(words: &Words) -> Option<f64> {
    let names_a_run =
        TOPICS.iter().any(|topic| matches!(topic.covers, Covers::TubeOf(_)) && topic.named_by(words).is_some());
    if words.hold_any(NOT_THE_WHOLE) || names_a_run {
        return None;
    }
    let [metres] = words.numbers_in(METRES)[..] else { return None };
    let pieces = match (words.hold_any(PIECES), words.count()) {
        (true, _) => match words.numbers_in(PIECES)[..] {
            [pieces] => pieces,
            _ => return None,
        },
        (false, Count::Told(pieces)) => pieces,
        (false, Count::One) => 1.0,
        (false, Count::Unclear) => return None,
    };
    Some(pieces * metres)
}
