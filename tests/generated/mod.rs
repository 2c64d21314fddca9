//! Layouts at random: any mixture of parts, told and untold, whose references all lead somewhere.

use loftwright::catalogue::{Insulant, TubeMaterial};
use loftwright::geom::Point;
use loftwright::layout::*;
use loftwright::units::{
    Conductance, Duration, Flow, HeatLoss, Length, Level, LossCoefficient, Mass, Power, Pressure, Size, SurfaceLoad,
    Temperature, Volume,
};
use proptest::collection::vec;
use proptest::option::of;
use proptest::prelude::*;
use proptest::sample::select;

/// Any layout that a file may hold.
pub fn layouts() -> impl Strategy<Value = Layout> {
    let lists = (vec(platform(), 0..3), vec(cistern(), 0..3), vec(cylinder(), 0..3), vec(boiler(), 0..2));
    let whole = ((heading(), survey(), building(), climate()), vec(outlet(), 0..4), vec(run(), 0..9));
    (lists, whole).prop_map(
        |((platforms, cisterns, cylinders, boilers), ((heading, survey, building, climate), outlets, runs))| {
            let mut layout = Layout { heading, survey, building, climate, ..Layout::default() };
            layout.platforms = numbered(platforms, "platform", |part| &mut part.id);
            layout.cisterns = numbered(cisterns, "cistern", |part| &mut part.id);
            layout.cylinders = numbered(cylinders, "cylinder", |part| &mut part.id);
            layout.boilers = numbered(boilers, "boiler", |part| &mut part.id);
            layout.outlets = numbered(outlets, "outlet", |part| &mut part.id);
            for seed in runs {
                let run = joined(seed, &layout);
                layout.runs.push(run);
            }
            layout
        },
    )
}

pub fn point() -> impl Strategy<Value = Point> {
    (length(), level()).prop_map(|(x, z)| Point { x, z })
}

pub fn length() -> impl Strategy<Value = Length> {
    millimetres().prop_map(Length::mm)
}

fn level() -> impl Strategy<Value = Level> {
    millimetres().prop_map(Level::mm)
}

/// Mostly what a house has, whole and broken, now and then the ends of the world.
fn millimetres() -> impl Strategy<Value = f64> {
    prop_oneof![
        6 => (-2000_i32..9000).prop_map(f64::from),
        3 => -2000.0..9000.0,
        1 => select(vec![0.0, -0.0, 1e-12, 0.1 + 0.2, 1e6, -1e6]),
    ]
}

fn size() -> impl Strategy<Value = Size> {
    prop_oneof![6 => (1_i32..3000).prop_map(f64::from), 3 => 0.2..3000.0, 1 => select(vec![1e-9, 1e6])]
        .prop_map(|mm| Size::try_mm(mm).expect("more than nothing"))
}

fn litres() -> impl Strategy<Value = Volume> {
    (0.1..2000.0).prop_map(|litres| Volume::try_litres(litres).expect("in range"))
}

fn flow() -> impl Strategy<Value = Flow> {
    (0.001..10.0).prop_map(|l_s| Flow::try_l_s(l_s).expect("in range"))
}

fn pressure() -> impl Strategy<Value = Pressure> {
    (0.0..1000.0).prop_map(|kpa| Pressure::try_kpa(kpa).expect("in range"))
}

fn loss_coefficient() -> impl Strategy<Value = LossCoefficient> {
    (0.0..100.0).prop_map(|k| LossCoefficient::try_k(k).expect("in range"))
}

fn mass() -> impl Strategy<Value = Mass> {
    (0.0..2000.0).prop_map(|kg| Mass::try_kg(kg).expect("in range"))
}

fn surface_load() -> impl Strategy<Value = SurfaceLoad> {
    (0.0..5.0).prop_map(|kn| SurfaceLoad::try_kn_per_m2(kn).expect("in range"))
}

fn heading() -> impl Strategy<Value = Heading> {
    let text = any::<String>;
    let lines = (text(), text(), text(), text(), text(), text());
    (lines, of(text()), text()).prop_map(|((title, address, drawn_by, date, revision, scale_note), profile, notes)| {
        Heading { title, address, drawn_by, date, revision, scale_note, profile, notes }
    })
}

fn survey() -> impl Strategy<Value = Survey> {
    let surveyed = [TapeClass::I, TapeClass::II, TapeClass::III].map(Survey::Surveyed);
    prop_oneof![Just(Survey::Designed), select(surveyed.to_vec())]
}

fn lie() -> impl Strategy<Value = Lie> {
    select(vec![Lie::EndOn, Lie::Along])
}

fn board() -> impl Strategy<Value = Board> {
    (select(BoardMaterial::ALL.to_vec()), of(size()), of(select(PlyClass::ALL.to_vec())))
        .prop_map(|(material, thickness, class)| Board { material, thickness, class })
}

fn building() -> impl Strategy<Value = Building> {
    let storeys = vec((level(), of(board())), 0..3).prop_map(|storeys| {
        let storey = |(number, (floor, deck))| Storey { id: Id::of(&format!("storey-{number}")), floor, deck };
        storeys.into_iter().enumerate().map(storey).collect::<Vec<_>>()
    });
    let ceiling = (level(), size()).prop_map(|(underside, thickness)| Ceiling { underside, thickness });
    // Two points that differ make a line.
    let roof = (vec(point(), 0..3), point()).prop_map(|(mut underside, point)| {
        let further = Point { x: Length::mm(if point.x.to_mm() > 0.0 { -1.0 } else { 1.0 }), z: point.z };
        underside.extend([point, further]);
        Roof { underside }
    });
    let opening = (length(), size(), size()).prop_map(|(x, length, width)| Hatch { x, length, width });
    let hatch = prop_oneof![opening.prop_map(LoftHatch::Opening), Just(LoftHatch::Missing)];
    let wall =
        (length(), size(), level(), level()).prop_map(|(x, thickness, foot, head)| Wall { x, thickness, foot, head });
    (storeys, of(ceiling), of(joists()), of(roof), of(hatch), vec(wall, 0..3), of(pressure())).prop_map(
        |(storeys, ceiling, joists, roof, hatch, walls, mains_pressure)| Building {
            storeys,
            ceiling,
            joists,
            roof,
            hatch,
            walls,
            mains_pressure,
        },
    )
}

fn joists() -> impl Strategy<Value = Joists> {
    let kind = of(select(vec![SupportKind::Joist, SupportKind::TrussedRafter]));
    let grade = of(select(StrengthClass::ALL.to_vec()));
    let told = (grade, of(any::<bool>()), of(size()), of(length()), of(surface_load()), of(surface_load()));
    let reckoned = (of(select(ServiceClass::ALL.to_vec())), of(select(LoadDuration::ALL.to_vec())));
    (level(), length(), size(), 0_u32..40, size(), size(), lie(), kind, (told, reckoned)).prop_map(
        |(top, first, spacing, count, breadth, depth, lie, kind, (told, (service_class, load_duration)))| Joists {
            top,
            first,
            spacing,
            count,
            breadth,
            depth,
            lie,
            kind,
            grade: told.0,
            notched: told.1,
            span: told.2,
            span_from: told.3,
            ceiling_load: told.4,
            storage_load: told.5,
            service_class,
            load_duration,
        },
    )
}

fn platform() -> impl Strategy<Value = Platform> {
    let bearers = (0_u32..9, size(), length(), size(), size(), lie(), of(select(StrengthClass::ALL.to_vec())))
        .prop_map(|(count, spacing, first, breadth, depth, lie, grade)| Bearers {
            count,
            spacing,
            first,
            breadth,
            depth,
            lie,
            grade,
        });
    let frame = size().prop_map(|height| Frame { height });
    (point(), size(), of(size()), of(length()), of(board()), of(bearers), of(frame), of(mass())).prop_map(
        |(at, length, depth, behind, board, bearers, frame, confirmed_load)| Platform {
            id: unnamed(),
            at,
            length,
            depth,
            behind,
            board,
            bearers,
            frame,
            confirmed_load,
        },
    )
}

fn tapping() -> impl Strategy<Value = Tapping> {
    let side = select(vec![Tapping::Left as fn(Length) -> Tapping, Tapping::Right, Tapping::Base, Tapping::Top]);
    (side, length()).prop_map(|(side, distance)| side(distance))
}

fn connections(names: &'static [&'static str]) -> impl Strategy<Value = Vec<Connection>> {
    (vec(tapping(), 0..=names.len()), Just(names)).prop_map(|(places, names)| {
        let connection = |(on, name): (Tapping, &&str)| Connection { port: Id::of(name), on };
        places.into_iter().zip(names).map(connection).collect()
    })
}

fn screen() -> impl Strategy<Value = Screen> {
    prop_oneof![Just(Screen::Missing), size().prop_map(Screen::Mesh)]
}

fn cistern() -> impl Strategy<Value = Cistern> {
    let role = select(vec![CisternRole::Storage, CisternRole::FeedAndExpansion]);
    let shape = (point(), size(), of(size()), size(), length(), of(length()));
    let valve = (tapping(), of(length()), of(select(FloatValvePattern::ALL.to_vec())), of(size()))
        .prop_map(|(shank, outlet, pattern, seat)| FloatValve { shank, outlet, pattern, seat });
    let water = (of(litres()), of(litres()), of(length()), of(valve));
    let holes = connections(&["cold-feed", "distribution", "warning", "spare"]);
    let dip_tube = prop_oneof![Just(DipTube::Missing), length().prop_map(DipTube::EndsAt)];
    let lid = select(vec![Lid::Missing, Lid::Loose, Lid::Tight]);
    let jacket = (any::<bool>(), any::<bool>(), of(size()), insulant())
        .prop_map(|(sides, top, thickness, kind)| Jacket { sides, top, thickness, kind });
    let cover = (of(dip_tube), of(lid), of(screen()), of(any::<bool>()), of(jacket), of(any::<bool>()), of(mass()));
    let told = (of(celsius()), of(litres()), of(litres()));
    (role, shape, water, holes, cover, told).prop_map(
        |(
            role,
            (at, length, width, height, draft, behind),
            (rim_volume, water_volume, water_line, float_valve),
            connections,
            (dip_tube, lid, lid_screen, opaque, jacket, loft_insulation_below, empty_mass),
            (stored_temperature, daily_draw, system_volume),
        )| Cistern {
            id: unnamed(),
            role,
            at,
            length,
            width,
            height,
            draft,
            behind,
            rim_volume,
            water_volume,
            water_line,
            float_valve,
            connections,
            dip_tube,
            lid,
            lid_screen,
            opaque,
            jacket,
            loft_insulation_below,
            stored_temperature,
            daily_draw,
            system_volume,
            empty_mass,
        },
    )
}

fn cylinder() -> impl Strategy<Value = Cylinder> {
    let power = (0.1..20.0).prop_map(|kw| Power::try_kw(kw).expect("in range"));
    let cut_out = of(select(CutOut::ALL.to_vec()));
    let immersion = (select(vec![ImmersionPlace::Top, ImmersionPlace::Bottom]), of(power), cut_out)
        .prop_map(|(place, power, cut_out)| Immersion { place, power, cut_out });
    let shape = (point(), size(), size(), of(length()), of(any::<String>()), of(litres()));
    let holes = connections(&[COLD_INLET, DRAW_OFF, "secondary-return"]);
    let grade = of(select(CylinderGrade::ALL.to_vec()));
    let duty = (of(0.1..5000.0), of(celsius()), of(0.01..2.0)).prop_map(|(conductance, primary, flow)| CoilDuty {
        conductance: conductance.map(|w_k| Conductance::try_w_k(w_k).expect("in range")),
        primary,
        flow: flow.map(|l_s| Flow::try_l_s(l_s).expect("in range")),
    });
    let loss = (1.0..900.0).prop_map(|watts| HeatLoss::try_watts(watts).expect("in range"));
    let heat = (of(select(CylinderCover::ALL.to_vec())), of(loss), of(duty));
    (shape, grade, of(any::<bool>()), of(vec(immersion, 0..3)), (of(length()), of(celsius()), of(mass()), heat), holes)
        .prop_map(
            |(
                (at, diameter, height, behind, reference, capacity),
                grade,
                coil,
                immersions,
                (insulation, stored_temperature, empty_mass, (cover, standing_loss, coil_duty)),
                connections,
            )| {
                Cylinder {
                    id: unnamed(),
                    at,
                    diameter,
                    height,
                    behind,
                    reference,
                    capacity,
                    empty_mass,
                    grade,
                    coil,
                    immersions,
                    stored_temperature,
                    insulation,
                    cover,
                    standing_loss,
                    coil_duty,
                    connections,
                }
            },
        )
}

fn boiler() -> impl Strategy<Value = Boiler> {
    let output = (0.1..60.0).prop_map(|kw| Power::try_kw(kw).expect("in range"));
    (point(), size(), size(), of(select(BoilerKind::ALL.to_vec())), of(output))
        .prop_map(|(at, length, height, kind, output)| Boiler { id: unnamed(), at, length, height, kind, output })
}

fn outlet() -> impl Strategy<Value = Outlet> {
    let passes = (flow(), pressure()).prop_map(|(flow, at)| Passes { flow, at });
    let taps = select(Taps::ALL.to_vec());
    (select(OutletKind::ALL.to_vec()), point(), of(celsius()), of(taps), of(passes)).prop_map(
        |(kind, at, supply_temperature, taps, passes)| Outlet {
            id: unnamed(),
            kind,
            at,
            supply_temperature,
            taps,
            passes,
        },
    )
}

/// A run whose ends are still to be joined: what to join each to, by a number, and a place or distance for it.
type RunSeed = (Run, [(u16, Point); 2]);

fn run() -> impl Strategy<Value = RunSeed> {
    let tube = (select(Service::ALL.to_vec()), of(select(TubeMaterial::ALL.to_vec())), of(size()));
    let fitting = (select(InLineKind::ALL.to_vec()), length()).prop_map(|(kind, at)| InLine { kind, at });
    let lagging = (length(), length(), of(size()), insulant()).prop_map(|(from, to, thickness, kind)| Lagging {
        from,
        to,
        thickness,
        kind,
    });
    let along = (vec(point(), 0..4), of(vec(fitting, 0..4)), of(vec(lagging, 0..3)), of(screen()));
    let clips = of((of(size()), of(size())).prop_map(|(level, upright)| Clips { level, upright }));
    let fixed = (of(select(Discharge::ALL.to_vec())), clips, of(loss_coefficient()));
    let ends = ((any::<u16>(), point()), (any::<u16>(), point()));
    (tube, along, fixed, ends).prop_map(
        |(tube, (via, fittings, insulation, screen), (discharge, clips, loss_coefficient), (from, to))| {
            let (service, material, size) = tube;
            let nowhere = End::Open(from.1);
            let run = Run {
                id: unnamed(),
                service,
                material,
                size,
                from: nowhere.clone(),
                via,
                to: nowhere,
                fittings,
                insulation,
                screen,
                discharge,
                clips,
                loss_coefficient,
            };
            (run, [from, to])
        },
    )
}

/// The run with its ends on ports and runs that are there already, or in the open.
fn joined((mut run, ends): RunSeed, layout: &Layout) -> Run {
    let ports = layout.parts().flat_map(|part| part.ports().into_iter().map(move |(port, _)| (part.id(), port)));
    let ports: Vec<_> = ports.collect();
    let end = |(number, point): (u16, Point)| {
        let number = usize::from(number);
        match number % 4 {
            0 => End::Open(point),
            1 if !layout.runs.is_empty() => End::Tee(layout.runs[number / 4 % layout.runs.len()].id.clone(), point.x),
            2 | 3 if !ports.is_empty() => {
                let (part, port) = &ports[number / 4 % ports.len()];
                End::Port((*part).clone(), port.clone())
            }
            _ => End::Onward(point),
        }
    };
    (run.from, run.to) = (end(ends[0]), end(ends[1]));
    run.id = Id::of(&format!("run-{}", layout.runs.len()));
    run
}

fn celsius() -> impl Strategy<Value = Temperature> {
    (-20.0..110.0).prop_map(|degrees| Temperature::try_celsius(degrees).expect("in range"))
}

fn insulant() -> impl Strategy<Value = Option<Insulant>> {
    of(select(Insulant::ALL.to_vec()))
}

fn climate() -> impl Strategy<Value = Climate> {
    let summer = (of(celsius()), of(celsius()), of(celsius()), of(celsius()));
    let lasts = (0.5..200.0).prop_map(|hours| Duration::try_hours(hours).expect("in range"));
    let winter = (of(celsius()), of(lasts), of(celsius()), of(celsius()));
    (summer, winter).prop_map(|(summer, winter)| Climate {
        loft_summer_peak: summer.0,
        loft_summer_low: summer.1,
        room_summer: summer.2,
        main_summer: summer.3,
        loft_winter_low: winter.0,
        frost_lasts: winter.1,
        main_winter: winter.2,
        room: winter.3,
    })
}

fn unnamed() -> Id {
    Id::of("unnamed")
}

fn numbered<T>(mut parts: Vec<T>, word: &str, id_of: impl Fn(&mut T) -> &mut Id) -> Vec<T> {
    for (number, part) in parts.iter_mut().enumerate() {
        *id_of(part) = Id::of(&format!("{word}-{number}"));
    }
    parts
}
