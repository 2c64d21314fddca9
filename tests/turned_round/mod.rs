//! Layouts with their pipes drawn from their other ends.

use loftwright::geom::Polyline;
use loftwright::layout::{End, Layout};
use loftwright::measure::Site;
use loftwright::units::Length;

/// The layout with every pipe drawn from its other end.
pub fn turned_round(layout: &Layout) -> Layout {
    let site = Site::of(layout);
    let length_mm = |run: usize| site.line(run).map_or(0.0, Polyline::length);
    let mut turned = layout.clone();
    for (number, run) in turned.runs.iter_mut().enumerate() {
        let from_the_other_end = |along: Length| Length::mm(length_mm(number) - along.to_mm());
        std::mem::swap(&mut run.from, &mut run.to);
        run.via.reverse();
        for end in [&mut run.from, &mut run.to] {
            if let End::Tee(other, along) = end {
                let other = site.run_number(other).expect("a run that is there");
                *along = Length::mm(length_mm(other) - along.to_mm());
            }
        }
        run.fittings.iter_mut().flatten().for_each(|fitting| fitting.at = from_the_other_end(fitting.at));
        for lagging in run.insulation.iter_mut().flatten() {
            (lagging.from, lagging.to) = (from_the_other_end(lagging.to), from_the_other_end(lagging.from));
        }
    }
    turned
}
