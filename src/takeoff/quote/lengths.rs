//! Whether a quote has less tube than is drawn, by the lengths that its lines name.

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

/// Where the lines of a quote name less tube than is drawn; nothing where one of them cannot be understood safely.
pub(super) fn too_short(lines: &[&Line], quoted: &[&Words]) -> Vec<String> {
    let tubes: Vec<&Line> = lines.iter().copied().filter(|line| line.item == Item::Tube).collect();
    let is_told = |line: &&Line| line.quantity.is_some() && line.unit == Counted::Metres && line.find_out.is_none();
    let is_of_one_kind = tubes.iter().all(|line| line.what == tubes[0].what);
    let read: Option<Vec<(Option<f64>, f64)>> = quoted.iter().map(|words| tube(words)).collect();
    let Some(read) = read.filter(|read| !read.is_empty() && is_of_one_kind && tubes.iter().all(is_told)) else {
        return Vec::new();
    };
    let drawn_m = |size: Option<f64>| -> f64 {
        let of_size = |line: &&&Line| size.is_none_or(|mm| line.size == format!("{mm} mm"));
        tubes.iter().filter(of_size).filter_map(|line| line.quantity).sum()
    };
    let sizes: Option<Vec<f64>> = read.iter().map(|(size, _)| *size).collect();
    let mut sizes: Vec<Option<f64>> = sizes.map_or_else(|| vec![None], |sizes| sizes.into_iter().map(Some).collect());
    sizes.sort_by(|a, b| a.partial_cmp(b).unwrap_or(std::cmp::Ordering::Equal));
    sizes.dedup();
    let said = |size: Option<f64>| {
        let of_size = read.iter().filter(|(own, _)| size.is_none() || *own == size);
        let named_m: f64 = of_size.map(|(_, metres)| metres).sum();
        let of = size.map_or_else(String::new, |mm| format!(" of {mm} mm"));
        let drawn_m = drawn_m(size);
        let (named, drawn) = (Counted::Metres.digits(named_m), Counted::Metres.digits(drawn_m));
        (named_m < drawn_m * (1.0 - SAME)).then(|| format!("{named} m{of} in the quote, and the drawing has {drawn} m"))
    };
    sizes.into_iter().filter_map(said).collect()
}

/// The size of tube that a line names, mm, where it names one, and the length, m; nothing where it is not to be understood.
fn tube(words: &Words) -> Option<(Option<f64>, f64)> {
    let names_a_run = |words: &Words| {
        TOPICS.iter().any(|topic| matches!(topic.covers, Covers::TubeOf(_)) && topic.named_by(words).is_some())
    };
    if words.hold_any(NOT_THE_WHOLE) || names_a_run(words) {
        return None;
    }
    let size = match words.numbers_in(&["mm"])[..] {
        [] => None,
        [mm] => Some(mm),
        _ => return None,
    };
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
    Some((size, pieces * metres))
}
