//! Layouts with their pipes drawn in many runs.

use loftwright::geom::{ONE_JOINT_MM, Point, Polyline, SAME_PLACE_MM};
use loftwright::layout::{End, Id, Layout, Run};
use loftwright::measure::Site;
use loftwright::units::{Length, LossCoefficient};

/// The layout with every run cut at each of its bends and wherever something joins it: each piece ends open, and the next
/// goes on from its end.
pub fn cut_up(layout: &Layout) -> Layout {
    let site = Site::of(layout);
    let cuts: Vec<Vec<f64>> = (0..layout.runs.len()).map(|run| cuts_of(&site, run)).collect();
    let mut cut = layout.clone();
    cut.runs.clear();
    for (number, run) in layout.runs.iter().enumerate() {
        match site.line(number) {
            Some(line) => cut.runs.extend(pieces(&site, run, line, &cuts, number)),
            None => cut.runs.push(run.clone()),
        }
    }
    cut
}

/// Where a run is cut along it, mm, its ends among them. A bend within a millimetre of a tee sits in it.
fn cuts_of(site: &Site<'_>, run: usize) -> Vec<f64> {
    let Some(line) = site.line(run) else { return Vec::new() };
    let mut cuts = vec![0.0, line.length()];
    let joints = site.joints(run).iter().map(|joint| (joint.at_mm, SAME_PLACE_MM));
    for (at_mm, apart_mm) in joints.chain(line.along().iter().map(|bend_mm| (*bend_mm, ONE_JOINT_MM))) {
        if cuts.iter().all(|cut| (cut - at_mm).abs() > apart_mm) {
            cuts.push(at_mm);
        }
    }
    cuts.sort_by(f64::total_cmp);
    cuts
}

fn piece_id(run: &Run, piece: usize) -> Id {
    if piece == 0 { run.id.clone() } else { Id::of(&format!("{}-piece-{piece}", run.id)) }
}

fn pieces(site: &Site<'_>, run: &Run, line: &Polyline, cuts: &[Vec<f64>], number: usize) -> Vec<Run> {
    let own = &cuts[number];
    let last = own.len() - 2;
    // A tee on another run is on one of its pieces, so far along that.
    let told = |end: &End| match end {
        End::Tee(other, at) => {
            let other = site.run_number(other).expect("a run that is there");
            let at_mm = site.line(other).map_or(0.0, |line| line.joined_at(at.to_mm()));
            let before = cuts[other].iter().filter(|cut| **cut < at_mm - SAME_PLACE_MM).count();
            let piece = before.saturating_sub(1);
            let along_mm = at_mm - cuts[other].get(piece).copied().unwrap_or(0.0);
            End::Tee(piece_id(site.run(other), piece), Length::mm(along_mm))
        }
        end => end.clone(),
    };
    let piece = |number: usize| {
        let (from_mm, to_mm) = (own[number], own[number + 1]);
        let before = || End::Tee(piece_id(run, number - 1), Length::mm(from_mm - own[number - 1]));
        let is_here = |at_mm: f64| (at_mm > from_mm || number == 0) && (at_mm <= to_mm || number == last);
        let mut fittings = run.fittings.clone();
        if let Some(fittings) = &mut fittings {
            fittings.retain(|fitting| is_here(fitting.at.to_mm()));
            fittings.iter_mut().for_each(|fitting| fitting.at = Length::mm(fitting.at.to_mm() - from_mm));
        }
        let share = |told: LossCoefficient| {
            LossCoefficient::try_k(told.to_k() * (to_mm - from_mm) / line.length()).expect("a share of what is told")
        };
        let points = line.between(from_mm, to_mm);
        let bends = points[1..points.len() - 1].iter().copied();
        Run {
            id: piece_id(run, number),
            from: if number == 0 { told(&run.from) } else { before() },
            via: bends.map(Point::from).collect(),
            to: if number == last { told(&run.to) } else { End::Open(Point::from(line.point_at(to_mm))) },
            fittings,
            insulation: None,
            screen: None,
            loss_coefficient: run.loss_coefficient.map(share),
            ..run.clone()
        }
    };
    (0..=last).map(piece).collect()
}
