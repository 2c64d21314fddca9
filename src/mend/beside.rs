//! Connections in one wall of a cistern: room for their fittings beside one another, which no rule asks.

use super::demand::Fact;
use super::handle::end_on;
use crate::layout::{Cistern, INLET, Id, Layout, Run, Tapping};
use crate::units::Size;

/// The flange and nut of a tank connector are so much wider than its tube, mm; common practice, no source.
const WIDER_THAN_TUBE_MM: f64 = 20.0;
/// Sums of binary fractions are off by less than this, mm.
const SLIP_MM: f64 = 1e-6;

/// The pairs of connections in one wall of a cistern whose fittings have room beside one another. Where those of a pair
/// are drawn nearer than that, one is in front of the other, and they may be at any height.
pub(super) fn with_room<'l>(layout: &'l Layout, cistern: &'l Cistern) -> impl Iterator<Item = Fact> + 'l {
    let has_room =
        move |(port, other): &(Id, Id)| room_mm(layout, cistern, port, other).is_some_and(|room_mm| room_mm >= 0.0);
    let beside = move |(port, other)| Fact::FittingsBeside(cistern.id.clone(), port, other);
    in_one_wall(cistern).into_iter().filter(has_room).map(beside)
}

/// Whether some connections have come into one wall of a cistern, or nearer to each other there, with too little room for
/// their fittings.
pub(super) fn crowds(before: &Layout, after: &Layout) -> bool {
    let was = |id: &Id| before.cistern(id);
    after.cisterns.iter().filter(|cistern| was(&cistern.id) != Some(*cistern)).any(|cistern| {
        in_one_wall(cistern).iter().any(|(port, other)| {
            let were_in_one = |old: &Cistern| in_one_wall(old).contains(&(port.clone(), other.clone()));
            let now_mm = room_mm(after, cistern, port, other).unwrap_or(0.0);
            let was_mm = was(&cistern.id)
                .filter(|old| were_in_one(old))
                .and_then(|old| room_mm(before, old, port, other))
                .unwrap_or(0.0);
            now_mm < was_mm.min(0.0) - SLIP_MM
        })
    })
}

/// The pairs of connections in one wall of a cistern.
fn in_one_wall(cistern: &Cistern) -> Vec<(Id, Id)> {
    let is_one = |a: Tapping, b: Tapping| {
        matches!((a, b), (Tapping::Left(_), Tapping::Left(_)) | (Tapping::Right(_), Tapping::Right(_)))
    };
    let holes = holes(cistern);
    let mut pairs = Vec::new();
    for (number, (port, on)) in holes.iter().enumerate() {
        let beside = holes[number + 1..].iter().filter(|(_, other)| is_one(*on, *other));
        pairs.extend(beside.map(|(other, _)| (port.clone(), other.clone())));
    }
    pairs
}

/// How much room the fittings of two connections in one wall leave between them, mm. A tube of which nobody has told how
/// wide it is counts as nothing.
pub(super) fn room_mm(layout: &Layout, cistern: &Cistern, port: &Id, other: &Id) -> Option<f64> {
    let holes = holes(cistern);
    let up_mm = |port: &Id| holes.iter().find(|(own, _)| own == port).map(|(_, on)| on.distance().to_mm());
    let wide_mm = |port: &Id| {
        let joins = |run: &&Run| end_on(run, |part, own| *part == cistern.id && own == port).is_some();
        let tubes = layout.runs.iter().filter(joins).filter_map(|run| run.size.map(Size::to_mm));
        tubes.fold(0.0, f64::max) + WIDER_THAN_TUBE_MM
    };
    Some((up_mm(port)? - up_mm(other)?).abs() - f64::midpoint(wide_mm(port), wide_mm(other)))
}

/// The float valve and the connections of a cistern.
fn holes(cistern: &Cistern) -> Vec<(Id, Tapping)> {
    let inlet = cistern.float_valve.map(|valve| (Id::of(INLET), valve.shank));
    inlet.into_iter().chain(cistern.connections.iter().map(|hole| (hole.port.clone(), hole.on))).collect()
}
