//! The border of a sheet: frame, grid reference, centring and trimming marks, after ISO 5457 (figures from memory).

use glam::{DVec2, dvec2};

use super::Paper;
use super::frame::{BORDER_MM, Field, Frame};
use super::page::Page;
use crate::scene::{Ink, Outline, PenWidth, TextAnchor, TextSize, Turn};

const HEAVY: Outline = Outline::solid(Ink::Ink, PenWidth::Heavy.mm());
const MEDIUM: Outline = Outline::solid(Ink::Ink, PenWidth::Medium.mm());
/// A trimming mark is two bars of this length and breadth across a corner of the paper.
const TRIMMING_MM: DVec2 = dvec2(10.0, 5.0);

pub(super) fn draw(page: &mut Page, frame: &Frame) {
    trimming_marks(page, frame.paper);
    let outside = frame.inside.grown(BORDER_MM);
    page.rectangle(outside, None, Some(MEDIUM));
    grid_reference(page, frame, outside);
    centring_marks(page, frame, outside);
    page.rectangle(frame.inside, None, Some(HEAVY));
}

fn trimming_marks(page: &mut Page, paper: Paper) {
    let (width, height) = paper.size_mm();
    for corner in [DVec2::ZERO, dvec2(width, 0.0), dvec2(0.0, height), dvec2(width, height)] {
        let inward = (dvec2(width, height) / 2.0 - corner).signum();
        for bar in [TRIMMING_MM, dvec2(TRIMMING_MM.y, TRIMMING_MM.x)] {
            let end = corner + bar * inward;
            page.rectangle(Field { low: corner.min(end), high: corner.max(end) }, Some(Ink::Ink), None);
        }
    }
}

/// Letters from the top down and numerals from the left, on two opposite sides; on A4 above and on the right alone.
fn grid_reference(page: &mut Page, frame: &Frame, outside: Field) {
    let (across, down) = frame.zones();
    let Field { low, high } = frame.inside;
    let both = frame.paper == Paper::A3;
    let sides = |near: f64, far: f64, near_alone: f64| if both { vec![near, far] } else { vec![near_alone] };
    for y in sides(outside.low.y, high.y, outside.low.y) {
        across.iter().for_each(|x| page.rule(dvec2(*x, y), dvec2(*x, y + BORDER_MM), MEDIUM));
        for (number, x) in middles(&across, low.x, high.x).enumerate() {
            sign(page, dvec2(x, y + BORDER_MM / 2.0), &(number + 1).to_string());
        }
    }
    for x in sides(outside.low.x, high.x, high.x) {
        down.iter().for_each(|y| page.rule(dvec2(x, *y), dvec2(x + BORDER_MM, *y), MEDIUM));
        for (letter, y) in letters().zip(middles(&down, low.y, high.y)) {
            sign(page, dvec2(x + BORDER_MM / 2.0, y), &letter.to_string());
        }
    }
}

/// The middle of each field between where they are parted.
fn middles(parted: &[f64], low: f64, high: f64) -> impl Iterator<Item = f64> {
    let starts = std::iter::once(low).chain(parted.iter().copied());
    let ends = parted.iter().copied().chain([high]);
    starts.zip(ends).map(|(start, end)| f64::midpoint(start, end))
}

/// I and O would be read as figures.
fn letters() -> impl Iterator<Item = char> {
    ('A'..='Z').filter(|letter| !matches!(letter, 'I' | 'O'))
}

fn sign(page: &mut Page, middle: DVec2, words: &str) {
    let size_mm = TextSize::Medium.mm();
    // Capitals and figures are about seven tenths as high as their letter size, and stand on their foot line.
    let foot = middle + dvec2(0.0, 0.35 * size_mm);
    page.words(foot, TextAnchor::Middle, words, size_mm, Ink::Ink, Turn::Level);
}

/// At the ends of the two axes of the paper. They end at the frame: beyond it they would lie on the drawing.
fn centring_marks(page: &mut Page, frame: &Frame, outside: Field) {
    let (width, height) = frame.paper.size_mm();
    let middle = dvec2(width, height) / 2.0;
    let Field { low, high } = frame.inside;
    for (from, to) in [
        (dvec2(middle.x, outside.low.y), dvec2(middle.x, low.y)),
        (dvec2(middle.x, high.y), dvec2(middle.x, outside.high.y)),
        (dvec2(outside.low.x, middle.y), dvec2(low.x, middle.y)),
        (dvec2(high.x, middle.y), dvec2(outside.high.x, middle.y)),
    ] {
        page.rule(from, to, HEAVY);
    }
}
