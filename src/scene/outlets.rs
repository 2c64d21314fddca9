//! Outlets and appliances: a small plain figure of each, about the point where water leaves it.

use glam::{DVec2, dvec2};

use super::outline::{arc, circle, corners};
use super::parts::{BODY, THIN, name};
use super::{Ink, Origin, Pen, PenWidth, Scene};
use crate::layout::{Outlet, OutletKind};

pub(super) fn draw(scene: &mut Scene, outlet: &Outlet) {
    let origin = Origin::Part(outlet.id.clone());
    let mut figure = Sketch { scene, origin: &origin, at: outlet.at.vector() };
    let (low, high) = match outlet.kind {
        OutletKind::Basin => basin(&mut figure),
        OutletKind::Sink => sink(&mut figure),
        OutletKind::Bath => bath(&mut figure),
        OutletKind::Shower => shower(&mut figure),
        OutletKind::Wc => wc(&mut figure),
        OutletKind::WashingMachine => washing_machine(&mut figure),
        OutletKind::Dishwasher => dishwasher(&mut figure),
        OutletKind::WaterHeater => water_heater(&mut figure),
    };
    let more =
        (!outlet.id.spoken().starts_with(&outlet.kind.words().to_lowercase())).then(|| outlet.kind.words().to_owned());
    name(scene, &outlet.id, more, outlet.at.vector() + low, outlet.at.vector() + high);
}

/// A figure drawn in mm about the point where water leaves.
struct Sketch<'a> {
    scene: &'a mut Scene,
    origin: &'a Origin,
    at: DVec2,
}

impl Sketch<'_> {
    fn area(&mut self, points: Vec<DVec2>, pen: Pen) {
        let points: Vec<DVec2> = points.into_iter().map(|point| self.at + point).collect();
        self.scene.area(self.origin, points, Some(Ink::Paper), Some(pen));
    }

    fn line(&mut self, points: &[(f64, f64)], pen: Pen) {
        let points: Vec<DVec2> = points.iter().map(|(x, z)| self.at + dvec2(*x, *z)).collect();
        self.scene.line(self.origin, points, pen);
    }

    /// Two pillar taps, hot on the left.
    fn taps(&mut self) {
        for x in [-40.0, 40.0] {
            self.area(corners(dvec2(x - 11.0, -60.0), dvec2(x + 11.0, 0.0)), THIN);
            self.line(&[(x - 20.0, 8.0), (x + 20.0, 8.0)], BODY);
            self.line(&[(x, 0.0), (x, 8.0)], THIN);
        }
    }
}

fn half_round(width: f64, rim: f64, depth: f64) -> Vec<DVec2> {
    arc(dvec2(0.0, rim), dvec2(width / 2.0, depth), 180.0, 360.0)
}

fn basin(figure: &mut Sketch<'_>) -> (DVec2, DVec2) {
    figure.area(corners(dvec2(-38.0, -850.0), dvec2(38.0, -200.0)), THIN);
    figure.area(half_round(480.0, -60.0, 190.0), BODY);
    figure.taps();
    (dvec2(-240.0, -250.0), dvec2(240.0, 20.0))
}

fn sink(figure: &mut Sketch<'_>) -> (DVec2, DVec2) {
    figure.area(corners(dvec2(-260.0, -280.0), dvec2(260.0, -80.0)), BODY);
    figure.line(&[(-420.0, -80.0), (420.0, -80.0)], BODY);
    for x in [-400.0, 400.0] {
        figure.line(&[(x, -80.0), (x, -1050.0)], THIN);
    }
    figure.line(&[(-20.0, -280.0), (-20.0, -330.0), (20.0, -330.0), (20.0, -280.0)], THIN);
    figure.taps();
    (dvec2(-420.0, -330.0), dvec2(420.0, 20.0))
}

fn bath(figure: &mut Sketch<'_>) -> (DVec2, DVec2) {
    let tub = [(-260.0, -480.0), (260.0, -480.0), (330.0, -60.0), (-330.0, -60.0)];
    figure.area(tub.iter().map(|(x, z)| dvec2(*x, *z)).collect(), BODY);
    figure.area(corners(dvec2(-360.0, -60.0), dvec2(360.0, -36.0)), THIN);
    for x in [-220.0, 220.0] {
        figure.line(&[(x, -480.0), (x, -600.0)], BODY);
    }
    figure.taps();
    (dvec2(-360.0, -480.0), dvec2(360.0, 20.0))
}

fn shower(figure: &mut Sketch<'_>) -> (DVec2, DVec2) {
    let rose = [(-90.0, 0.0), (90.0, 0.0), (40.0, 60.0), (-40.0, 60.0)];
    figure.area(rose.iter().map(|(x, z)| dvec2(*x, *z)).collect(), BODY);
    for x in [-70.0, -35.0, 0.0, 35.0, 70.0] {
        figure.line(&[(x, -40.0), (x * 1.5, -330.0)], Pen::dashed(Ink::ColdPipe, PenWidth::Fine));
    }
    (dvec2(-110.0, -330.0), dvec2(110.0, 60.0))
}

fn wc(figure: &mut Sketch<'_>) -> (DVec2, DVec2) {
    figure.area(corners(dvec2(-60.0, -750.0), dvec2(60.0, -560.0)), THIN);
    figure.area(half_round(360.0, -340.0, 260.0), BODY);
    figure.area(corners(dvec2(-190.0, -340.0), dvec2(190.0, -310.0)), THIN);
    figure.area(corners(dvec2(-200.0, -310.0), dvec2(200.0, 50.0)), BODY);
    figure.area(corners(dvec2(-212.0, 50.0), dvec2(212.0, 76.0)), THIN);
    (dvec2(-210.0, -310.0), dvec2(210.0, 76.0))
}

fn washing_machine(figure: &mut Sketch<'_>) -> (DVec2, DVec2) {
    figure.area(corners(dvec2(-300.0, -850.0), dvec2(300.0, 0.0)), BODY);
    figure.line(&[(-300.0, -140.0), (300.0, -140.0)], THIN);
    figure.area(circle(dvec2(0.0, -490.0), 200.0), BODY);
    figure.area(circle(dvec2(0.0, -490.0), 150.0), THIN);
    (dvec2(-300.0, -850.0), dvec2(300.0, 0.0))
}

fn dishwasher(figure: &mut Sketch<'_>) -> (DVec2, DVec2) {
    figure.area(corners(dvec2(-300.0, -850.0), dvec2(300.0, 0.0)), BODY);
    figure.line(&[(-300.0, -140.0), (300.0, -140.0)], THIN);
    for row in [-740.0, -440.0] {
        figure.line(&[(-230.0, row), (230.0, row)], THIN);
        for plate in 0..6 {
            let x = -190.0 + 76.0 * f64::from(plate);
            figure.line(&[(x - 10.0, row), (x + 20.0, row + 160.0)], THIN);
        }
    }
    (dvec2(-300.0, -850.0), dvec2(300.0, 0.0))
}

fn water_heater(figure: &mut Sketch<'_>) -> (DVec2, DVec2) {
    figure.area(corners(dvec2(-150.0, 0.0), dvec2(150.0, 480.0)), BODY);
    let element = (0..7).map(|step| (if step % 2 == 0 { -70.0 } else { 70.0 }, 90.0 + 50.0 * f64::from(step)));
    let element: Vec<(f64, f64)> = element.collect();
    figure.line(&element, Pen::solid(Ink::HotPipe, PenWidth::Fine));
    (dvec2(-150.0, 0.0), dvec2(150.0, 480.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Point;
    use crate::layout::Id;

    #[test]
    fn every_figure_fills_the_box_by_which_it_is_caught() {
        for kind in OutletKind::ALL {
            let mut scene = Scene::default();
            let outlet = Outlet::new(Id::of("it"), kind, Point::mm(0.0, 0.0));
            draw(&mut scene, &outlet);
            let drawn = scene.items.iter().filter(|item| !matches!(item.shape, super::super::Shape::Label(_)));
            let boxes = drawn.filter_map(|item| item.shape.bounds());
            let both = boxes.reduce(|(low, high), (other_low, other_high)| (low.min(other_low), high.max(other_high)));
            let (low, high) = both.expect("something is drawn");
            let (box_low, box_high) = kind.figure_mm();
            assert!((low - box_low).abs().max_element() <= 2.0, "{kind:?}: drawn from {low}, caught from {box_low}");
            assert!((high - box_high).abs().max_element() <= 2.0, "{kind:?}: drawn to {high}, caught to {box_high}");
        }
    }
}
