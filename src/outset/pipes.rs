//! The pipes of a layout that begins from answers, with their valves, drain cocks, clips and insulation.

use super::answers::Answers;
use super::choices::{Choices, has_own_pipes, stored_cold};
use super::positions::Positions;
use crate::catalogue::{Insulant, TubeMaterial};
use crate::geom::Point;
use crate::layout::{
    COLD, Cylinder, DRAW_OFF, Discharge, End, HOT, INLET, Id, InLine, InLineKind, Lagging, Layout, Outlet, OutletKind,
    PartRef, Run, Screen, Service,
};
use crate::units::{Length, Size};

/// Rising main and what branches off it, mm.
pub(super) const MAIN_MM: f64 = 15.0;
/// Tube of the open vent where no rule asks a wider one, mm.
pub(super) const VENT_MM: f64 = 22.0;
/// Tube of primary pipes, mm.
pub(super) const PRIMARY_MM: f64 = 22.0;
/// Supply of a bath, at least, mm.
const BATH_MM: f64 = 22.0;
/// The main comes in so high above the floor, mm.
pub(super) const MAIN_COMES_IN_MM: f64 = 20.0;
/// A servicing valve sits so far before an outlet, mm.
const BEFORE_OUTLET_MM: f64 = 120.0;

/// Flow and return of the coil go down so far beside it, mm.
const FLOW_BESIDE_COIL_MM: f64 = 70.0;
pub(super) const BACK_BESIDE_COIL_MM: f64 = 110.0;

/// How much of a run is insulated.
#[derive(Clone, Copy)]
enum Cover {
    Bare,
    /// From its beginning so far, mm.
    First(f64),
    Whole,
}

/// A run while it is laid: by its points across and up, the ends among them.
struct Lay {
    id: String,
    service: Service,
    size_mm: f64,
    from: End,
    to: End,
    points_mm: Vec<(f64, f64)>,
    fittings: Vec<(InLineKind, f64)>,
    cover: Cover,
}

impl Lay {
    fn length_mm(&self) -> f64 {
        length_mm(&self.points_mm)
    }

    fn run(&self, lagging_mm: f64) -> Run {
        let length_mm = self.length_mm();
        let covered_mm = match self.cover {
            Cover::Bare => 0.0,
            Cover::First(mm) => mm.min(length_mm),
            Cover::Whole => length_mm,
        };
        let lagging = Lagging {
            from: Length::ZERO,
            to: Length::mm(covered_mm),
            thickness: Some(Size::mm(lagging_mm)),
            kind: Some(Insulant::PolyethyleneFoam),
        };
        // A place counted back from the far end is given as less than nothing.
        let place = |at_mm: f64| if at_mm < 0.0 { length_mm + at_mm } else { at_mm };
        let inner = &self.points_mm[1..self.points_mm.len() - 1];
        let mut run = Run {
            material: Some(TubeMaterial::Copper),
            size: Some(Size::mm(self.size_mm)),
            via: inner.iter().map(|(x, z)| Point::mm(*x, *z)).collect(),
            fittings: Some(
                self.fittings.iter().map(|(kind, at)| InLine { kind: *kind, at: Length::mm(place(*at)) }).collect(),
            ),
            insulation: Some(if covered_mm > 0.0 { vec![lagging] } else { Vec::new() }),
            ..Run::new(Id::of(&self.id), self.service, self.from.clone(), self.to.clone())
        };
        run.clips = run.clips_allowed();
        run
    }
}

pub(super) fn length_mm(points_mm: &[(f64, f64)]) -> f64 {
    points_mm.windows(2).map(|pair| (pair[1].0 - pair[0].0).hypot(pair[1].1 - pair[0].1)).sum()
}

fn port(part: &str, port: &str) -> End {
    End::Port(Id::of(part), Id::of(port))
}

/// Where a pipe joins an outlet: across and up, mm.
fn mouth_of(outlet: &Outlet, side: &str) -> (f64, f64) {
    let point = PartRef::Outlet(outlet).port(side).unwrap_or(outlet.at);
    (point.x.to_mm(), point.z.to_mm())
}

/// Where a pipe joins the cylinder: across and up, mm.
fn mouth_of_cylinder(cylinder: &Cylinder, name: &str) -> (f64, f64) {
    let point = PartRef::Cylinder(cylinder).port(name).unwrap_or(cylinder.at);
    (point.x.to_mm(), point.z.to_mm())
}

/// All runs, in the order in which water meets them. The vessels stand in the layout already.
pub(super) fn runs(answers: &Answers, choices: &Choices, at: &Positions, layout: &Layout) -> Vec<Run> {
    let Some(cylinder) = layout.cylinders.first() else { return Vec::new() };
    let outlets: Vec<&Outlet> = layout.outlets.iter().collect();
    let (own, shared): (Vec<&Outlet>, Vec<&Outlet>) =
        outlets.into_iter().partition(|outlet| has_own_pipes(answers, outlet.kind));
    let (cold, on_main): (Vec<&Outlet>, Vec<&Outlet>) =
        shared.iter().copied().partition(|outlet| stored_cold(answers, outlet.kind));
    let hot: Vec<&Outlet> = shared.into_iter().filter(|outlet| outlet.kind != OutletKind::Wc).collect();

    let mut laid = vec![rising_main(choices, at)];
    laid.extend(on_main.iter().enumerate().map(|(number, outlet)| from_main(at, outlet, number)));
    laid.push(cold_feed(choices, at, cylinder));
    laid.extend(cold_pipe(choices, at, &Cold::shared(at), &cold));
    laid.extend(cold_pipe(choices, at, &Cold::of_showers(at), &own));
    laid.extend(hot_distribution(choices, at, cylinder, &hot));
    laid.extend(hot_of_showers(choices, at, cylinder, &own));
    laid.push(open_vent(choices, at, cylinder));
    laid.extend(primary(at, cylinder, layout));
    let mut runs: Vec<Run> = laid.iter().map(|lay| lay.run(lagging_mm(choices, lay.service))).collect();
    runs.insert(1, warning_pipe(choices, at));
    runs
}

fn lagging_mm(choices: &Choices, service: Service) -> f64 {
    match service {
        Service::WarningPipe => choices.empty_lagging_mm,
        Service::ColdFeed | Service::HotDistribution | Service::OpenVent => {
            choices.lagging_mm.max(choices.standing_lagging_mm)
        }
        _ => choices.lagging_mm,
    }
}

fn rising_main(choices: &Choices, at: &Positions) -> Lay {
    let points_mm = at.left.main.clone();
    let last_mm = length_mm(&points_mm[points_mm.len() - 2..]);
    let before_end_mm = choices.before_float_valve_mm.min(last_mm / 2.0);
    Lay {
        id: "rising-main".to_owned(),
        service: Service::RisingMain,
        size_mm: MAIN_MM,
        from: End::Onward(Point::mm(points_mm[0].0, points_mm[0].1)),
        to: port("cistern", INLET),
        points_mm,
        fittings: vec![(InLineKind::StopValve, 80.0), (InLineKind::ServiceValve, -before_end_mm)],
        cover: Cover::Whole,
    }
}

/// From the main along the foot of the wall to one outlet; each a little higher than the one before.
fn from_main(at: &Positions, outlet: &Outlet, number: usize) -> Lay {
    let mouth = mouth_of(outlet, COLD);
    let storey = at.outlets.iter().find(|placed| placed.at == outlet.at).map_or(0, |placed| placed.draw.storey);
    let level_mm = at.house.floor_mm(storey) + 180.0 + 25.0 * f64::from(u32::try_from(number).unwrap_or(0));
    Lay {
        id: format!("{}-main", outlet.id),
        service: Service::RisingMain,
        size_mm: MAIN_MM,
        from: End::Tee(Id::of("rising-main"), Length::mm(level_mm - MAIN_COMES_IN_MM)),
        to: End::Port(outlet.id.clone(), Id::of(COLD)),
        points_mm: vec![(at.beside.main_x_mm, level_mm), (mouth.0, level_mm), mouth],
        fittings: vec![(InLineKind::ServiceValve, -BEFORE_OUTLET_MM)],
        cover: Cover::Bare,
    }
}

fn warning_pipe(choices: &Choices, at: &Positions) -> Run {
    let points_mm = at.left.warning.clone();
    let end = points_mm[points_mm.len() - 1];
    let lay = Lay {
        id: "warning-pipe".to_owned(),
        service: Service::WarningPipe,
        size_mm: choices.warning_mm,
        from: port("cistern", "warning"),
        to: End::Open(Point::mm(end.0, end.1)),
        points_mm,
        fittings: Vec::new(),
        cover: Cover::First(at.left.warning_covered_mm),
    };
    let mesh = Screen::Mesh(Size::mm(choices.end_mesh_mm));
    Run { screen: Some(mesh), discharge: Some(Discharge::Conspicuous), ..lay.run(choices.empty_lagging_mm) }
}

fn cold_feed(choices: &Choices, at: &Positions, cylinder: &Cylinder) -> Lay {
    let level_mm = at.base_mm + at.inside.feed_port_mm;
    let inlet = mouth_of_cylinder(cylinder, crate::layout::COLD_INLET);
    Lay {
        id: "cold-feed".to_owned(),
        service: Service::ColdFeed,
        size_mm: choices.feed_mm,
        from: port("cistern", "cold-feed"),
        to: port("cylinder", crate::layout::COLD_INLET),
        points_mm: vec![
            (at.footing.cistern.right_mm, level_mm),
            (at.beside.feed_x_mm, level_mm),
            (at.beside.feed_x_mm, inlet.1),
            inlet,
        ],
        fittings: vec![(InLineKind::GateValve, 220.0), (InLineKind::DrainCock, -70.0)],
        cover: Cover::Whole,
    }
}

/// A trunk along to the outlet that lies furthest to the left, and a leg to each.
struct Trunk<'a> {
    id: &'a str,
    service: Service,
    side: &'static str,
    size_mm: f64,
    branch_mm: f64,
    from: End,
    /// Points down to the corner from which it runs along to the left.
    before_mm: Vec<(f64, f64)>,
    fittings: Vec<(InLineKind, f64)>,
    cover: Cover,
    branches: Cover,
}

impl Trunk<'_> {
    /// The trunk runs along to above or below its last outlet, and to each outlet goes a leg of the outlet's own size.
    fn lay(self, outlets: &[&Outlet]) -> Vec<Lay> {
        let Some(last) = outlets.last() else { return Vec::new() };
        let corner = self.before_mm[self.before_mm.len() - 1];
        let end = (mouth_of(last, self.side).0, corner.1);
        let mut trunk = Lay {
            id: self.id.to_owned(),
            service: self.service,
            size_mm: self.size_mm,
            from: self.from,
            to: End::Open(Point::mm(end.0, end.1)),
            points_mm: self.before_mm,
            fittings: self.fittings,
            cover: self.cover,
        };
        let to_corner_mm = trunk.length_mm();
        trunk.points_mm.push(end);
        trunk.fittings.push((InLineKind::DrainCock, to_corner_mm + 40.0));
        let mut laid = vec![trunk];
        for outlet in outlets {
            let mouth = mouth_of(outlet, self.side);
            let along_mm = to_corner_mm + (corner.0 - mouth.0);
            let size_mm = if outlet.kind == OutletKind::Bath { self.branch_mm.max(BATH_MM) } else { self.branch_mm };
            let valve = (InLineKind::ServiceValve, -BEFORE_OUTLET_MM);
            laid.push(Lay {
                id: format!("{}-{}", outlet.id, self.side),
                service: self.service,
                size_mm,
                from: End::Tee(Id::of(self.id), Length::mm(along_mm)),
                to: End::Port(outlet.id.clone(), Id::of(self.side)),
                points_mm: vec![(mouth.0, corner.1), mouth],
                fittings: if needs_valve(outlet) { vec![valve] } else { Vec::new() },
                cover: self.branches,
            });
        }
        laid
    }
}

/// A bath and a shower want all the flow that there is; the valves at the cistern shut them off.
fn needs_valve(outlet: &Outlet) -> bool {
    !matches!(outlet.kind, OutletKind::Bath | OutletKind::Shower)
}

/// A cold pipe from the cistern, by what tells it from the other.
struct Cold {
    id: &'static str,
    port: &'static str,
    port_mm: Option<f64>,
    x_mm: f64,
    level_mm: f64,
}

impl Cold {
    const fn shared(at: &Positions) -> Self {
        Self {
            id: "cold-distribution",
            port: "distribution",
            port_mm: at.inside.distribution_port_mm,
            x_mm: at.beside.distribution_x_mm,
            level_mm: at.cold_level_mm,
        }
    }

    const fn of_showers(at: &Positions) -> Self {
        Self {
            id: "shower-distribution",
            port: "shower",
            port_mm: at.inside.shower_port_mm,
            x_mm: at.beside.shower_cold_x_mm,
            level_mm: at.shower_cold_level_mm,
        }
    }
}

/// A cold pipe down from the cistern to its outlets; none where the cistern has no hole for it.
fn cold_pipe(choices: &Choices, at: &Positions, cold: &Cold, outlets: &[&Outlet]) -> Vec<Lay> {
    let Some(port_mm) = cold.port_mm else { return Vec::new() };
    let level_mm = at.base_mm + port_mm;
    let before_mm = vec![(at.footing.cistern.right_mm, level_mm), (cold.x_mm, level_mm), (cold.x_mm, cold.level_mm)];
    let to_room_mm = cold.x_mm - at.footing.cistern.right_mm + level_mm - at.house.ceiling_mm;
    let trunk = Trunk {
        id: cold.id,
        service: Service::ColdDistribution,
        side: COLD,
        size_mm: choices.trunk_mm,
        branch_mm: choices.branch_mm,
        from: port("cistern", cold.port),
        before_mm,
        fittings: vec![(InLineKind::GateValve, 180.0)],
        cover: Cover::First(to_room_mm + 50.0),
        branches: Cover::Bare,
    };
    trunk.lay(outlets)
}

/// The way from the dome to where the vent rises, and on to where the hot pipe turns up or down.
fn from_dome(at: &Positions, cylinder: &Cylinder) -> Vec<(f64, f64)> {
    let dome = mouth_of_cylinder(cylinder, DRAW_OFF);
    vec![dome, (dome.0, dome.1 + 100.0), (at.beside.vent_x_mm, dome.1 + 110.0), (at.beside.hot_x_mm, dome.1 + 113.0)]
}

fn hot_distribution(choices: &Choices, at: &Positions, cylinder: &Cylinder, outlets: &[&Outlet]) -> Vec<Lay> {
    let mut before_mm = from_dome(at, cylinder);
    before_mm.push((at.beside.hot_x_mm, at.hot_level_mm));
    let trunk = Trunk {
        id: "draw-off",
        service: Service::HotDistribution,
        side: HOT,
        // The vent goes up from it: nothing between dome and open end may be narrower than a vent.
        size_mm: choices.trunk_mm.max(choices.vent_mm),
        branch_mm: choices.branch_mm,
        from: port("cylinder", DRAW_OFF),
        before_mm,
        fittings: Vec::new(),
        cover: Cover::Whole,
        branches: Cover::Whole,
    };
    trunk.lay(outlets)
}

/// The showers' own hot pipe, off the draw-off before the vent rises from it.
fn hot_of_showers(choices: &Choices, at: &Positions, cylinder: &Cylinder, outlets: &[&Outlet]) -> Vec<Lay> {
    let way = from_dome(at, cylinder);
    let share = (at.beside.shower_hot_x_mm - way[1].0) / (way[2].0 - way[1].0);
    let tee_mm = (at.beside.shower_hot_x_mm, way[1].1 + share * (way[2].1 - way[1].1));
    let trunk = Trunk {
        id: "shower-draw-off",
        service: Service::HotDistribution,
        side: HOT,
        size_mm: choices.trunk_mm,
        branch_mm: choices.branch_mm,
        from: End::Tee(Id::of("draw-off"), Length::mm(length_mm(&[way[0], way[1], tee_mm]))),
        before_mm: vec![tee_mm, (at.beside.shower_hot_x_mm, at.shower_hot_level_mm)],
        fittings: Vec::new(),
        cover: Cover::Whole,
        branches: Cover::Whole,
    };
    trunk.lay(outlets)
}

fn open_vent(choices: &Choices, at: &Positions, cylinder: &Cylinder) -> Lay {
    let way = from_dome(at, cylinder);
    let vent = &at.vent_end;
    let mouth_mm = (vent.mouth_x_mm, vent.mouth_level_mm);
    let in_loft_mm = at.house.joist_top_mm + 150.0;
    Lay {
        id: "open-vent".to_owned(),
        service: Service::OpenVent,
        size_mm: choices.vent_mm,
        from: End::Tee(Id::of("draw-off"), Length::mm(length_mm(&way[..3]))),
        to: End::Open(Point::mm(mouth_mm.0, mouth_mm.1)),
        points_mm: vec![
            way[2],
            (at.beside.vent_x_mm, in_loft_mm),
            (vent.up_x_mm, in_loft_mm + 20.0),
            (vent.up_x_mm, vent.crest_mm),
            (vent.mouth_x_mm, vent.over_mouth_mm()),
            mouth_mm,
        ],
        fittings: Vec::new(),
        cover: Cover::Whole,
    }
}

/// Flow and return between boiler and coil; none where immersion heaters do the work.
fn primary(at: &Positions, cylinder: &Cylinder, layout: &Layout) -> Vec<Lay> {
    let Some(boiler) = layout.boilers.first() else { return Vec::new() };
    let on_boiler = |name: &str| {
        let point = PartRef::Boiler(boiler).port(name).unwrap_or(boiler.at);
        (point.x.to_mm(), point.z.to_mm())
    };
    let way = |boiler: (f64, f64), coil: (f64, f64), up_mm: f64, aside_mm: f64| {
        if boiler.0 > at.beside.hot_x_mm && coil.1 > boiler.1 {
            return vec![boiler, (boiler.0, coil.1), coil];
        }
        let (over, beside) = (boiler.1 + up_mm, coil.0 + aside_mm);
        vec![boiler, (boiler.0, over), (beside, over), (beside, coil.1), coil]
    };
    let flow = way(
        on_boiler(crate::layout::FLOW),
        mouth_of_cylinder(cylinder, crate::layout::COIL_FLOW),
        160.0,
        FLOW_BESIDE_COIL_MM,
    );
    let mut back = way(
        on_boiler(crate::layout::RETURN),
        mouth_of_cylinder(cylinder, crate::layout::COIL_RETURN),
        100.0,
        BACK_BESIDE_COIL_MM,
    );
    back.reverse();
    let lay = |id: &str, service, ends: (End, End), points_mm, fittings| Lay {
        id: id.to_owned(),
        service,
        size_mm: PRIMARY_MM,
        from: ends.0,
        to: ends.1,
        points_mm,
        fittings,
        cover: Cover::Whole,
    };
    let on = |part: &str, name: &str| port(part, name);
    vec![
        lay(
            "primary-flow",
            Service::PrimaryFlow,
            (on("boiler", crate::layout::FLOW), on("cylinder", crate::layout::COIL_FLOW)),
            flow,
            vec![(InLineKind::Pump, 60.0)],
        ),
        lay(
            "primary-return",
            Service::PrimaryReturn,
            (on("cylinder", crate::layout::COIL_RETURN), on("boiler", crate::layout::RETURN)),
            back,
            vec![(InLineKind::DrainCock, -40.0)],
        ),
    ]
}
