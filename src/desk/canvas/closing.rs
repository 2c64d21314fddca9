//! Whether a tee would close a ring: the pipe in hand comes from the same vessel, or from pipes that hang on it.

use foldhash::{HashMap, HashSet};

use crate::layout::{End, Id, Layout, Service, WhichEnd};

/// Whether a pipe of a service that begins on a part or run, and ends on another run, closes a ring: water of its kind goes
/// from the one to the other already, through vessels and tees. `without` is the run that is in hand itself.
///
/// Water does not go on through an outlet, nor from a cistern into a vent that ends over it.
#[must_use]
pub fn closes_ring(layout: &Layout, service: Service, (begins_on, ends_on): (&Id, &Id), without: Option<&Id>) -> bool {
    let outlets: HashSet<&Id> = layout.outlets.iter().map(|outlet| &outlet.id).collect();
    let cisterns: HashSet<&Id> = layout.cisterns.iter().map(|cistern| &cistern.id).collect();
    let mut beside: HashMap<&Id, Vec<&Id>> = HashMap::default();
    for run in layout.runs.iter().filter(|run| service.joins(run.service) && Some(&run.id) != without) {
        let on = WhichEnd::BOTH.into_iter().filter_map(|which| joined_by(run.end(which)));
        let ends_there = |on: &Id| outlets.contains(on) || (run.service.is_vent() && cisterns.contains(on));
        for on in on.filter(|on| !ends_there(on)) {
            beside.entry(on).or_default().push(&run.id);
            beside.entry(&run.id).or_default().push(on);
        }
    }
    let mut reached: HashSet<&Id> = HashSet::default();
    let mut ahead = vec![begins_on];
    while let Some(at) = ahead.pop() {
        if at == ends_on {
            return true;
        }
        if reached.insert(at) {
            ahead.extend(beside.get(at).into_iter().flatten());
        }
    }
    false
}

/// The part or run that an end joins.
#[must_use]
pub fn joined_by(end: &End) -> Option<&Id> {
    end.hangs_on().map(|(part, _)| part).or_else(|| end.teed_on())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Point;
    use crate::layout::{Cistern, CisternRole, Cylinder, Outlet, OutletKind, Run};
    use crate::units::{Length, Size};

    fn run(name: &str, service: Service, from: End, to: End) -> Run {
        Run::new(Id::of(name), service, from, to)
    }

    fn on(part: &str, port: &str) -> End {
        End::Port(Id::of(part), Id::of(port))
    }

    fn in_the_air() -> End {
        End::Open(Point::mm(0.0, 0.0))
    }

    /// A cistern with a feed and a distribution pipe; a cylinder with a vent, and a draw-off that leads to a basin.
    fn house() -> Layout {
        let at = Point::mm(0.0, 0.0);
        let cistern =
            |name: &str| Cistern::new(Id::of(name), CisternRole::Storage, at, Size::mm(900.0), Size::mm(600.0));
        Layout {
            cisterns: vec![cistern("cistern"), cistern("other-cistern")],
            cylinders: vec![Cylinder::new(Id::of("cylinder"), at, Size::mm(450.0), Size::mm(900.0))],
            outlets: vec![Outlet::new(Id::of("basin"), OutletKind::Basin, at)],
            runs: vec![
                run("feed", Service::ColdFeed, on("cistern", "feed"), on("cylinder", "cold-inlet")),
                run("cold", Service::ColdDistribution, on("cistern", "cold"), on("basin", "cold")),
                run("vent", Service::OpenVent, on("cylinder", "draw-off"), in_the_air()),
                run("hot", Service::HotDistribution, on("cylinder", "draw-off"), on("basin", "hot")),
                run("branch", Service::HotDistribution, End::Tee(Id::of("hot"), Length::mm(5.0)), in_the_air()),
            ],
            ..Layout::default()
        }
    }

    #[test]
    fn what_comes_from_the_same_vessel_comes_round() {
        let layout = house();
        let closes = |service, from: &str, to: &str| closes_ring(&layout, service, (&Id::of(from), &Id::of(to)), None);
        for (service, from, to) in [
            (Service::ColdFeed, "cistern", "feed"),
            (Service::ColdFeed, "cylinder", "feed"),
            (Service::HotDistribution, "cylinder", "vent"),
            (Service::HotDistribution, "branch", "vent"),
            (Service::OpenVent, "vent", "hot"),
            (Service::ColdDistribution, "cistern", "cold"),
        ] {
            assert!(closes(service, from, to), "{service:?} from {from} to {to}");
        }
        for (service, from, to) in [
            (Service::ColdFeed, "other-cistern", "feed"),
            (Service::ColdDistribution, "other-cistern", "cold"),
            (Service::ColdDistribution, "basin", "cold"),
            (Service::HotDistribution, "basin", "vent"),
        ] {
            assert!(!closes(service, from, to), "{service:?} from {from} to {to}");
        }
    }

    #[test]
    fn a_run_in_hand_and_a_vent_over_a_cistern_close_nothing() {
        let mut layout = house();
        let ids = [Id::of("cylinder"), Id::of("vent")];
        assert!(!closes_ring(&layout, Service::HotDistribution, (&ids[0], &ids[1]), Some(&ids[1])));
        layout.runs.extend([
            run("primary-vent", Service::PrimaryVent, on("boiler", "flow"), on("other-cistern", "vent")),
            run("return", Service::PrimaryReturn, on("cylinder", "coil-return"), on("boiler", "return")),
        ]);
        let ends = (&Id::of("other-cistern"), &Id::of("return"));
        assert!(!closes_ring(&layout, Service::PrimaryFeed, ends, None));
    }
}
