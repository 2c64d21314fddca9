//! Measures of the open vent: its offset, its climb, how high it ends, where, and that nothing shuts it.

use glam::DVec2;

use super::cistern::outlet_height;
use super::linked::{filled_by_link, highest_water};
use super::overflow_level::highest_invert;
use super::{Axis, Feature, Leg, Place, Reading, Site};
use crate::layout::{COLD_INLET, Cistern, Cylinder, Id, PartRef};
use crate::units::Measured;

/// A climb up to this height at the cylinder's own connection is its elbow, not the vent's rise
/// (common practice, no source).
const CONNECTION_STUB_MM: f64 = 200.0;

const DRAW_VENT: &str = "draw the open vent, from the cylinder's top or the draw-off to its open end";

/// A cylinder's vent as it is drawn.
struct Vent<'a> {
    cylinder: &'a Cylinder,
    /// The run whose end is open.
    id: &'a Id,
    path: Vec<Leg>,
    points: Vec<DVec2>,
}

impl Vent<'_> {
    /// The open end, by name.
    fn mouth(&self) -> Place {
        Place::of(self.id, Feature::Along(self.path.last().map_or(0.0, |leg| leg.to_mm)))
    }

    /// Where the open end is.
    fn mouth_point(&self) -> DVec2 {
        self.points[self.points.len() - 1]
    }

    /// A place on the path, by the number of its point.
    fn place(&self, site: &Site<'_>, number: usize) -> Place {
        let point = self.points[number];
        let on = |leg: &Leg| {
            let (along_mm, off_mm) = site.line(leg.run)?.nearest(point);
            (off_mm < 1e-3).then(|| Place::of(&site.run(leg.run).id, Feature::Along(along_mm)))
        };
        self.path.iter().find_map(on).unwrap_or_else(|| Place::middle(self.id))
    }
}

/// One reading for the vent of each cylinder; what to find out where none is drawn.
fn for_vents<'a>(site: &'a Site<'_>, measure: impl Fn(&Vent<'a>) -> Option<Reading>) -> Vec<Reading> {
    let reading = |cylinder: &'a Cylinder| {
        let Some(path) = site.vent_path(cylinder) else {
            return Some(Reading::untold(&cylinder.id, DRAW_VENT).at(Place::of(&cylinder.id, Feature::Top)));
        };
        let id = &site.run(path.last()?.run).id;
        let points = site.points_of(&path);
        (points.len() >= 2).then(|| measure(&Vent { cylinder, id, path, points }))?
    };
    site.layout().cylinders.iter().filter_map(reading).collect()
}

/// How far each draw-off runs sideways from the cylinder's outlet before the vent rises.
#[must_use]
pub fn offset(site: &Site<'_>) -> Vec<Reading> {
    for_vents(site, |vent| {
        let outlet = vent.points[0];
        // A vent that slants all the way never rises before its crest.
        let riser = riser(&vent.points).or_else(|| crest(&vent.points))?;
        let aside_mm = (vent.points[riser].x - outlet.x).abs();
        let aside = site.taped(aside_mm);
        let port = site.port_of_path(vent.cylinder, &vent.path)?;
        let places = [Place::of(&vent.cylinder.id, Feature::Port(port.clone())), vent.place(site, riser)];
        Some(Reading::mm(vent.id, aside).along_with([&vent.cylinder.id]).between(Axis::Level, places).working(format!(
            "vent rises at {:.0}, cylinder's {} connection at {:.0}: {aside_mm:.1} mm sideways",
            vent.points[riser].x,
            port.spoken().to_lowercase(),
            outlet.x
        )))
    })
}

/// The number of the point at which the vent begins to rise: the first stretch steeper than 45° that climbs higher
/// than the stub on the cylinder's own connection.
fn riser(points: &[DVec2]) -> Option<usize> {
    let mut foot = None;
    let mut climbed_mm = 0.0;
    for (number, pair) in points.windows(2).enumerate() {
        let stretch = pair[1] - pair[0];
        if stretch.y > stretch.x.abs() {
            foot.get_or_insert(number);
            climbed_mm += stretch.y;
            let at_connection = foot == Some(0);
            if !at_connection || climbed_mm > CONNECTION_STUB_MM {
                return foot;
            }
        } else {
            foot = None;
            climbed_mm = 0.0;
        }
    }
    foot
}

/// The number of the highest point.
fn crest(points: &[DVec2]) -> Option<usize> {
    (0..points.len()).max_by(|a, b| points[*a].y.total_cmp(&points[*b].y))
}

/// The greatest fall of the way from each cylinder to the crest of its vent.
#[must_use]
pub fn fall(site: &Site<'_>) -> Vec<Reading> {
    for_vents(site, |vent| {
        // Where nothing is higher than the cylinder's own connection, all of the way counts.
        let highest = crest(&vent.points).filter(|highest| *highest > 0).unwrap_or(vent.points.len() - 1);
        let (mut top, mut steepest) = (0, (0.0, 0, 0));
        for number in 1..=highest {
            let drop_mm = vent.points[top].y - vent.points[number].y;
            if drop_mm > steepest.0 {
                steepest = (drop_mm, top, number);
            }
            if vent.points[number].y > vent.points[top].y {
                top = number;
            }
        }
        let (drop_mm, from, to) = steepest;
        let reading = Reading::mm(vent.id, if drop_mm > 0.0 { site.taped(drop_mm) } else { Measured::exact(0.0) })
            .along_with([&vent.cylinder.id])
            .working(format!("greatest fall on the way up: {drop_mm:.1} mm"));
        Some(if drop_mm > 0.0 {
            reading.between(Axis::Upright, [vent.place(site, to), vent.place(site, from)])
        } else {
            reading.at(vent.mouth())
        })
    })
}

/// How far each vent's highest point lies above the water line, against the height of that line above the cylinder's base.
#[must_use]
pub fn above_water_line(site: &Site<'_>) -> Vec<Reading> {
    for_vents(site, |vent| {
        let cisterns = site.cisterns_of(vent.cylinder);
        let Some(nearest) = cisterns.first() else {
            return Some(Reading::untold(vent.id, super::cylinder::DRAW_COLD_FEED).along_with([&vent.cylinder.id]));
        };
        let Some((cistern, water)) = highest_water(&cisterns) else {
            let find_out = format!("measure the water line of the {} above its base", nearest.id.spoken());
            return Some(Reading::untold(vent.id, find_out).along_with([&nearest.id]));
        };
        let crest = crest(&vent.points)?;
        let top_mm = vent.points[crest].y;
        let line = site.level(water);
        let rise = site.taped(top_mm) - line;
        let head = line - site.level(vent.cylinder.at.z);
        Some(
            Reading::mm(vent.id, rise)
                .along_with([&vent.cylinder.id, &cistern.id])
                .against_sharing(head, line)
                .between(Axis::Upright, [Place::of(&cistern.id, Feature::WaterLine), vent.place(site, crest)])
                .working(format!("top of vent {top_mm:.1} − water line {:.1} = {:.1} mm", water.to_mm(), rise.value))
                .working(format!(
                    "water line {:.1} − base of cylinder {:.1} = {:.1} mm",
                    water.to_mm(),
                    vent.cylinder.at.z.to_mm(),
                    head.value
                ))
                .working(format!(
                    "counted from the cold inlet, as the guidance has it: {:.1} mm",
                    water.to_mm() - cold_inlet_mm(vent.cylinder)
                )),
        )
    })
}

/// Level of a cylinder's cold inlet in mm; its base where it has none.
fn cold_inlet_mm(cylinder: &Cylinder) -> f64 {
    PartRef::Cylinder(cylinder).port(COLD_INLET).map_or(cylinder.at.z, |point| point.z).to_mm()
}

/// Whether the way from each cylinder to its vent's open end is free of valves.
#[must_use]
pub fn free(site: &Site<'_>) -> Vec<Reading> {
    let (yes, no) = ("no valve", "a valve between cylinder and open end");
    for_vents(site, |vent| {
        let mut untold = None;
        for leg in &vent.path {
            let run = &site.run(leg.run).id;
            let Some(valves) = site.fittings(leg.run, |fitting| fitting.kind.is_valve()) else {
                untold.get_or_insert(run);
                continue;
            };
            let (low, high) = (leg.from_mm.min(leg.to_mm), leg.from_mm.max(leg.to_mm));
            let on_the_way = valves.iter().map(|valve| valve.at.to_mm()).find(|at_mm| *at_mm >= low && *at_mm <= high);
            if let Some(at_mm) = on_the_way {
                let place = Place::of(run, Feature::Along(at_mm));
                return Some(Reading::fact(vent.id, Some(false), yes, no, "").along_with([run]).at(place));
            }
        }
        Some(match untold {
            Some(run) => {
                let find_out = format!("see whether there is a valve in the {}", run.spoken());
                Reading::untold(vent.id, find_out).along_with([run])
            }
            None => Reading::fact(vent.id, Some(true), yes, no, "").at(vent.mouth()),
        })
    })
}

/// Whether each vent ends over the cistern that feeds its cylinder, or over one that shares its water.
#[must_use]
pub fn over_its_cistern(site: &Site<'_>) -> Vec<Reading> {
    for_vents(site, |vent| {
        let cisterns = site.cisterns_of(vent.cylinder);
        let over = cisterns.iter().find(|cistern| ends_over(vent, cistern));
        let Some(cistern) = over.or(cisterns.first()) else {
            return Some(Reading::untold(vent.id, super::cylinder::DRAW_COLD_FEED).along_with([&vent.cylinder.id]));
        };
        Some(
            Reading::fact(
                vent.id,
                Some(over.is_some()),
                "an open end over its cistern",
                "an open end that is not over its cistern",
                "",
            )
            .along_with([&cistern.id])
            .at(vent.mouth()),
        )
    })
}

fn ends_over(vent: &Vent<'_>, cistern: &Cistern) -> bool {
    let (left, right) = cistern.span_mm();
    let mouth = vent.mouth_point();
    mouth.x >= left && mouth.x <= right && mouth.y >= cistern.at.z.to_mm()
}

/// How far the mouth of each vent that ends over its cistern lies above the float valve's outlet and the overflow,
/// whichever is higher, against the pipe's own diameter.
#[must_use]
pub fn mouth_above_fittings(site: &Site<'_>) -> Vec<Reading> {
    for_vents(site, |vent| {
        let cisterns = site.cisterns_of(vent.cylinder);
        if cisterns.is_empty() {
            return Some(Reading::untold(vent.id, super::cylinder::DRAW_COLD_FEED).along_with([&vent.cylinder.id]));
        }
        let cistern = cisterns.into_iter().find(|cistern| ends_over(vent, cistern))?;
        let Some(size) = site.run(vent.path.last()?.run).size else {
            return Some(Reading::untold(vent.id, format!("tell the size of the {}", vent.id.spoken())));
        };
        let outlet = outlet_height(cistern);
        if outlet.is_none() && !filled_by_link(site, cistern) {
            let find_out = "measure where the float valve lets the water go, above the base";
            return Some(Reading::untold(vent.id, find_out).along_with([&cistern.id]));
        }
        let invert = match highest_invert(site, cistern) {
            Ok(found) => found,
            Err(find_out) => return Some(Reading::untold(vent.id, find_out).along_with([&cistern.id])),
        };
        let outlet = outlet.map(|outlet| site.length(outlet)).filter(|outlet| outlet.value >= invert.height.value);
        let (below, height, name) = match outlet {
            Some(outlet) => (Place::of(&cistern.id, Feature::FloatValveOutlet), outlet, "float valve outlet"),
            None => (invert.place, invert.height, "overflow invert"),
        };
        let mouth_mm = vent.mouth_point().y;
        let level = site.level(cistern.at.z) + height;
        let gap = site.taped(mouth_mm) - level;
        Some(
            Reading::mm(vent.id, gap)
                .along_with([&cistern.id])
                .against(Measured::exact(size.to_mm()))
                .between(Axis::Upright, [below, vent.mouth()])
                .working(format!("open end {mouth_mm:.1} − {name} {:.1} = {:.1} mm", level.value, gap.value)),
        )
    })
}

#[cfg(test)]
mod tests {
    use glam::dvec2;

    use super::*;

    #[test]
    fn the_rise_begins_past_the_stub_on_the_connection() {
        let straight_up = [dvec2(0.0, 0.0), dvec2(0.0, 2000.0), dvec2(450.0, 2000.0), dvec2(450.0, 3000.0)];
        assert_eq!(riser(&straight_up), Some(0));
        let stub = [dvec2(0.0, 0.0), dvec2(0.0, 100.0), dvec2(450.0, 110.0), dvec2(450.0, 3000.0)];
        assert_eq!(riser(&stub), Some(2));
        let level = [dvec2(0.0, 0.0), dvec2(450.0, 10.0), dvec2(450.0, 3000.0)];
        assert_eq!(riser(&level), Some(1));
    }
}
