//! Layouts with their pipes drawn from their other ends.

use loftwright::geom::Polyline;
use loftwright::layout::{End, Layout};
use loftwright::measure::Site;
use loftwright::units::Length;

/// The layout with every pipe drawn from its other end.
pub fn turned_round(layout: &Layout) -> Layout {
    turned_where(layout, |_| true)
}

/// The layout with some pipes, told by their numbers, drawn from their other ends.
pub fn turned_where(layout: &Layout, is_turned: impl Fn(usize) -> bool) -> Layout {
    let site = Site::of(layout);
    let length_mm = |run: usize| site.line(run).map_or(0.0, Polyline::length);
    let mut turned = layout.clone();
    for (number, run) in turned.runs.iter_mut().enumerate() {
        for end in [&mut run.from, &mut run.to] {
            if let End::Tee(other, along) = end {
                let other = site.run_number(other).expect("a run that is there");
                if is_turned(other) {
                    *along = Length::mm(length_mm(other) - along.to_mm());
                }
            }
        }
        if !is_turned(number) {
            continue;
        }
        let from_the_other_end = |along: Length| Length::mm(length_mm(number) - along.to_mm());
        std::mem::swap(&mut run.from, &mut run.to);
        run.via.reverse();
        run.fittings.iter_mut().flatten().for_each(|fitting| fitting.at = from_the_other_end(fitting.at));
        for lagging in run.insulation.iter_mut().flatten() {
            (lagging.from, lagging.to) = (from_the_other_end(lagging.to), from_the_other_end(lagging.from));
        }
    }
    turned
}
