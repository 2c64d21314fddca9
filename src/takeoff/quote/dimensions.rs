//! Sizes with "x" between them, as cisterns and cylinders have them, and thicknesses of what goes around pipes.

use super::counts::TUBE_SIZES_MM;
use super::numbers::SAME;
use super::words::{Words, number};
use crate::layout::{Cistern, Layout};
use crate::takeoff::Item;
use crate::units::MM_IN_AN_INCH;

/// What is less is a count, or the size of a tube, mm (assumption).
const LEAST_SIDE_MM: f64 = 100.0;
/// How inches are written.
const INCHES: &[&str] = &["in", "ins", "inch", "inches"];

/// The sides that a line names with "x" between them, mm; each chain for itself.
fn chains_mm(words: &Words) -> Vec<Vec<f64>> {
    let all = words.all();
    let mut chains = Vec::new();
    let mut chain: Vec<f64> = Vec::new();
    let mut is_in_inches = false;
    let mut at = 0;
    while at < all.len() {
        let Some(side) = number(&all[at]) else {
            at += 1;
            continue;
        };
        chain.push(side);
        at += 1;
        while all.get(at).is_some_and(|word| word == "mm" || INCHES.contains(&word.as_str())) {
            is_in_inches |= all[at] != "mm";
            at += 1;
        }
        if all.get(at).is_some_and(|word| word == "x") {
            at += 1;
            continue;
        }
        // "900 x 450 in copper" is in millimetres.
        let is_small = chain.iter().all(|side| *side < LEAST_SIDE_MM);
        let mm_in_one = if is_in_inches && is_small { MM_IN_AN_INCH } else { 1.0 };
        let sides_mm = std::mem::take(&mut chain).into_iter().map(|side| side * mm_in_one);
        chains.push(sides_mm.filter(|side_mm| *side_mm >= LEAST_SIDE_MM).collect::<Vec<f64>>());
        is_in_inches = false;
    }
    chains.retain(|chain| chain.len() > 1);
    chains
}

/// The sides of cisterns that are told, mm.
pub(super) fn sides_of_cisterns(cisterns: &[&Cistern]) -> Vec<Vec<f64>> {
    let sides = |cistern: &&Cistern| {
        let mut sides = vec![cistern.length.to_mm(), cistern.height.to_mm()];
        sides.extend(cistern.width.map(|width| width.to_mm()));
        sides
    };
    cisterns.iter().map(sides).collect()
}

/// The sizes of cisterns or cylinders that a line names where none that is drawn has such sides, mm, in any order.
pub(super) fn other_sides(item: Item, drawn: &[Vec<f64>], words: &Words) -> Vec<String> {
    // A side that nobody has told may be any.
    let open = |sides: &Vec<f64>| item == Item::Cistern && sides.len() < 3;
    let is_drawn = |chain: &Vec<f64>| {
        drawn.iter().any(|sides| {
            let missed = missed(chain, sides);
            missed == 0 || (missed == 1 && open(sides))
        })
    };
    let shown = |sides: &Vec<f64>| sides.iter().map(|side| format!("{side:.0}")).collect::<Vec<_>>().join(" × ");
    let all_drawn: Vec<String> = drawn.iter().map(shown).collect();
    let others = chains_mm(words).into_iter().filter(|chain| !drawn.is_empty() && !is_drawn(chain));
    others.map(|chain| format!("{} mm, and the drawing has {} mm", shown(&chain), all_drawn.join(" and "))).collect()
}

/// How many of some sides are none of others, each of which stands for one.
pub(super) fn missed(chain: &[f64], sides: &[f64]) -> usize {
    let mut left = sides.to_vec();
    let mut missed = 0;
    for named in chain {
        match left.iter().position(|side| (side - named).abs() <= side * SAME) {
            Some(at) => {
                left.swap_remove(at);
            }
            None => missed += 1,
        }
    }
    missed
}

/// Thicknesses of insulation of pipes that a line names and that are less than what is drawn.
pub(super) fn thinner_lagging(layout: &Layout, words: &Words) -> Vec<String> {
    let all = layout.runs.iter().flat_map(|run| run.insulation.iter().flatten());
    let mut drawn_mm: Vec<f64> = all.filter_map(|lagging| Some(lagging.thickness?.to_mm())).collect();
    drawn_mm.sort_by(f64::total_cmp);
    drawn_mm.dedup();
    let Some(thickest_mm) = drawn_mm.last().copied() else { return Vec::new() };
    let drawn: Vec<String> = drawn_mm.iter().map(|mm| format!("{mm} mm")).collect();
    let thin = |mm: &f64| *mm < thickest_mm && !drawn_mm.contains(mm);
    let thicknesses = thicknesses_mm(words).into_iter().filter(thin);
    thicknesses.map(|mm| format!("{mm} mm thick, and the drawing has {}", drawn.join(" and "))).collect()
}

/// The thicknesses that a line names: its millimetres but for the size of the tube, where that is named as well.
fn thicknesses_mm(words: &Words) -> Vec<f64> {
    let named = words.numbers_in(&["mm"]);
    let of_tube = |mm: &f64| TUBE_SIZES_MM.contains(mm);
    let before_tube = |mm: &f64| {
        let stands = |three: &[String]| {
            number(&three[0]) == Some(*mm) && three[1] == "mm" && matches!(three[2].as_str(), "pipe" | "pipes" | "tube")
        };
        words.all().windows(3).any(stands)
    };
    let is_one_of_several = named.iter().any(|mm| !of_tube(mm));
    named.into_iter().filter(|mm| !(of_tube(mm) && (is_one_of_several || before_tube(mm)))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sides_stand_with_x_between_them() {
        for (text, chains) in [
            ("Cylinder 1200 x 450 indirect", vec![vec![1200.0, 450.0]]),
            ("1 x 900mm x 450mm cylinder", vec![vec![900.0, 450.0]]),
            ("cistern 914 × 610 × 584 mm", vec![vec![914.0, 610.0, 584.0]]),
            ("cistern 36 x 24 in", vec![vec![36.0 * 25.4, 24.0 * 25.4]]),
            ("cylinder 900 x 450 in copper", vec![vec![900.0, 450.0]]),
            ("2 x 22mm gate valves", vec![]),
            ("50 gallon cistern", vec![]),
        ] {
            assert_eq!(chains_mm(&Words::of(text)), chains, "{text}");
        }
    }

    #[test]
    fn the_size_of_the_tube_is_no_thickness() {
        for (text, thick) in [
            ("Lag all pipes in loft, 9mm foam", vec![9.0]),
            ("28mm pipe insulation 9 mm", vec![9.0]),
            ("22mm pipe insulation", vec![]),
            ("15mm lagging", vec![15.0]),
            ("pipe insulation 22 mm x 25 mm", vec![25.0]),
        ] {
            assert_eq!(thicknesses_mm(&Words::of(text)), thick, "{text}");
        }
    }
}
