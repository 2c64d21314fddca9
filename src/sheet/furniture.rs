//! What stands around a drawing: levelling staff, legend, title block with scale bar and caution, border.

use glam::{DVec2, dvec2};

use super::border;
use super::frame::{Field, Frame};
use super::legend;
use super::page::Page;
use super::title;
use super::{Sheet, SheetNumber};
use crate::scene::{Ink, Outline, PenWidth, Scene, TextAnchor, TextSize, Turn};

/// Steps that staff and scale bar may be numbered in, mm.
pub(super) const STEPS_MM: [f64; 12] =
    [10.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0, 5000.0, 10_000.0, 20_000.0, 50_000.0, 100_000.0];
/// Numbers on the staff stand at least this far apart, mm.
const STAFF_APART_MM: f64 = 9.0;
/// Space around words in legend and strip, mm.
pub(super) const PAD_MM: f64 = 3.0;

const FINE: Outline = Outline::solid(Ink::Ink, PenWidth::Fine.mm());

pub(super) fn draw(
    page: &mut Page,
    frame: &Frame,
    scene: &Scene,
    sheet: &Sheet,
    scale: f64,
    middle: DVec2,
    of_all: SheetNumber,
) {
    staff(page, frame, scale, middle);
    page.rule(frame.field().low, dvec2(frame.field().low.x, frame.field().high.y), FINE);
    legend::draw(page, &frame.legend(), scene, sheet);
    title::draw(page, frame, sheet, scale, of_all);
    border::draw(page, frame);
}

/// Levels in metres from the datum, with blocks by which heights are read.
fn staff(page: &mut Page, frame: &Frame, scale: f64, middle: DVec2) {
    let (staff, field) = (frame.staff(), frame.field());
    let level_at = |y: f64| middle.y - (y - field.middle().y) * scale;
    let y_at = |level: f64| field.middle().y - (level - middle.y) / scale;
    let step = STEPS_MM.into_iter().find(|step| step / scale >= STAFF_APART_MM).unwrap_or(1e6);
    let block = step / 5.0;
    let (lowest, highest) = (level_at(staff.high.y), level_at(staff.low.y));
    let right = staff.high.x;
    let first = (lowest / block).floor();
    let count = ((highest - lowest) / block).ceil().clamp(0.0, 2000.0) as u32;
    for number_of in 0..=count {
        let place = first + f64::from(number_of);
        let bottom = y_at(place * block).clamp(staff.low.y, staff.high.y);
        let top = y_at((place + 1.0) * block).clamp(staff.low.y, staff.high.y);
        if place.rem_euclid(2.0) < 0.5 && bottom > top {
            let area = Field { low: dvec2(right - 1.8, top), high: dvec2(right, bottom) };
            page.rectangle(area, Some(Ink::Faint), None);
        }
    }
    page.rule(dvec2(right - 1.8, staff.low.y), dvec2(right - 1.8, staff.high.y), FINE);
    let decimals = if step >= 1000.0 { 1 } else { 2 };
    let mut level = (lowest / step).ceil() * step;
    while level <= highest && step > 0.0 {
        let y = y_at(level);
        if y > staff.low.y + 8.0 && y < staff.high.y - 2.0 {
            page.rule(dvec2(right - 3.0, y), dvec2(right, y), FINE);
            let words = format!("{:.decimals$}", level / 1000.0).replace("-0.0", "0.0");
            let at = dvec2(right - 3.8, y + 0.7);
            page.words(at, TextAnchor::End, &words, TextSize::Tiny.mm(), Ink::Ink, Turn::Level);
        }
        level += step;
    }
    let at = dvec2(staff.low.x + 1.6, staff.low.y + 4.2);
    page.words(at, TextAnchor::Start, "m", TextSize::Small.mm(), Ink::Ink, Turn::Level);
}
