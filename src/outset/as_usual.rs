//! What nobody has told of a drawing of something new, as it is usual: materials, fittings, insulation, and the house.

use foldhash::HashSet;
use glam::DVec2;

use super::answers::{Answers, LoftAnswers};
use super::building::{CEILING_KN_M2, climate, deck, ply, span_begins_mm, spread};
use super::choices::{Choices, drawn_l};
use super::limits::Limits;
use super::positions::OUTLET_OVER_SHANK_MM;
use super::vessels::{
    COLD_STORED_CELSIUS, HEATER_KW, bath_is_limited, celsius, cistern_mass, coil_duty, cylinder_mass, heaters,
    usual_taps,
};
use crate::catalogue::{self, Insulant, MARINE_PLY_MM, TubeMaterial, bearer_depth_for_mm};
use crate::finding::{FindingKey, Findings};
use crate::geom::Polyline;
use crate::layout::{
    Bearers, BoardMaterial, BoilerKind, COIL_FLOW, COIL_RETURN, Cistern, CisternRole, CutOut, Cylinder, CylinderCover,
    CylinderGrade, DipTube, Discharge, Edit, End, FloatValve, FloatValvePattern, HOT, Hatch, Jacket, Joists, Lagging,
    Layout, Lid, Lie, LoftHatch, Outlet, OutletKind, PRIMARY_FLOW, PRIMARY_RETURN, Part, Platform, PlyClass, Run,
    Screen, Service, ServiceClass, StrengthClass, Survey, Tapping,
};
use crate::measure::{Site, water_volume_l};
use crate::rules::{Profile, Verdict};
use crate::units::{Length, Power, Size, SurfaceLoad, Volume};

/// The layout with all that nobody has told of it as it is usual, within the rules in force; what is told stays. The notes
/// say what of it is a fact of the house or of who lives there, and has to be found out.
///
/// Nothing where that answers nothing that is unknown, or where the drawing is of what was found: there only what was found
/// may be told.
#[must_use]
pub fn told_as_usual(layout: &Layout, profile: &Profile) -> Option<Layout> {
    if layout.survey != Survey::Designed {
        return None;
    }
    let mut usual = Usual {
        answers: Answers::default(),
        choices: Choices::of_usual_sizes(&Limits::of(profile)),
        site: Site::of(layout),
    };
    usual.make_as_stout_as_asked(profile);
    let mut told = usual.told();
    if unknown(layout, profile).is_subset(&unknown(&told, profile)) {
        return None;
    }
    let note = usual.note(&told);
    let notes = &mut told.heading.notes;
    *notes = [notes.as_str(), &note].join(" ").trim().to_owned();
    Some(told)
}

/// The edits that tell it: none where there is nothing to tell.
#[must_use]
pub fn edits_as_usual(layout: &Layout, profile: &Profile) -> Vec<Edit> {
    let Some(told) = told_as_usual(layout, profile) else { return Vec::new() };
    let parts: Vec<Part> =
        told.parts().zip(layout.parts()).filter(|(now, was)| now != was).map(|(now, _)| now.to_part()).collect();
    vec![
        Edit::Building(Box::new(told.building)),
        Edit::Climate(told.climate),
        Edit::Arrange(parts),
        Edit::Heading(told.heading),
    ]
}

/// A hatch is tried every so far, mm; so far beside it, and so high over the ceiling, there is nothing (common practice, no
/// source).
const HATCH_STEP_MM: f64 = 50.0;
const HATCH_CLEAR_MM: f64 = 50.0;
const HATCH_HEADROOM_MM: f64 = 800.0;

/// A hatch where neither platform nor pipe is in its way, and where of such places the roof leaves most room to stand up;
/// none where there is no such place, or no wall or ceiling is drawn.
pub(super) fn hatch(site: &Site<'_>, loft: &LoftAnswers) -> Option<LoftHatch> {
    let layout = site.layout();
    let building = &layout.building;
    let ceiling_mm = building.ceiling?.underside.to_mm();
    let free_from_mm =
        building.walls.iter().map(|wall| wall.x.to_mm() + wall.thickness.to_mm()).min_by(f64::total_cmp)?;
    let free_to_mm = building.walls.iter().map(|wall| wall.x.to_mm()).max_by(f64::total_cmp)?;
    let length_mm = loft.hatch_length.to_mm();
    let is_free = |left_mm: &f64| {
        let opening = (left_mm - HATCH_CLEAR_MM, left_mm + length_mm + HATCH_CLEAR_MM);
        let covers = |from_mm: f64, to_mm: f64| from_mm < opening.1 && to_mm > opening.0;
        let on_it = |platform: &Platform| {
            let left_mm = platform.at.x.to_mm();
            platform.at.z.to_mm() > ceiling_mm && covers(left_mm, left_mm + platform.length.to_mm())
        };
        let over_it = |from: DVec2, to: DVec2| {
            from.y.max(to.y) > ceiling_mm
                && from.y.min(to.y) < ceiling_mm + HATCH_HEADROOM_MM
                && covers(from.x.min(to.x), from.x.max(to.x))
        };
        let lines = (0..layout.runs.len()).filter_map(|run| site.line(run));
        let mut stretches = lines.flat_map(|line| line.vertices().windows(2));
        !layout.platforms.iter().any(on_it) && !stretches.any(|stretch| over_it(stretch[0], stretch[1]))
    };
    let room_mm = free_to_mm - free_from_mm - length_mm;
    let places = (0..=(room_mm / HATCH_STEP_MM).max(-1.0) as i32)
        .map(|step| free_to_mm - length_mm - f64::from(step) * HATCH_STEP_MM);
    // Of several alike the first, which is the furthest to the right.
    let roof_mm = |left_mm: f64| site.roof().and_then(|roof| roof.height_at(left_mm + length_mm / 2.0)).unwrap_or(0.0);
    let roomier_mm = |best_mm, left_mm| if roof_mm(left_mm) > roof_mm(best_mm) { left_mm } else { best_mm };
    let left_mm = places.skip(1).filter(is_free).reduce(roomier_mm)?;
    Some(LoftHatch::Opening(Hatch { x: Length::mm(left_mm), length: loft.hatch_length, width: loft.hatch_width }))
}

/// The findings that nobody can judge.
fn unknown(layout: &Layout, profile: &Profile) -> HashSet<FindingKey> {
    let findings = Findings::under(&Site::of(layout), profile);
    let open = findings.keyed().filter(|(_, finding)| finding.judged.verdict == Verdict::Unknown);
    open.map(|(key, _)| key.clone()).collect()
}

/// The rules that are not met, once for each reading.
fn amiss(layout: &Layout, profile: &Profile) -> Vec<&'static str> {
    let findings = Findings::under(&Site::of(layout), profile);
    findings.iter().filter(|finding| finding.judged.verdict != Verdict::Meets).map(|finding| finding.rule.id).collect()
}

/// What of joists was taken as usual.
fn joist_facts((was, now): (&Joists, &Joists)) -> Option<String> {
    let grade = now.grade.filter(|_| was.grade.is_none()).map(|grade| format!("of class {}", grade.words()));
    let span = now.span.filter(|_| was.span.is_none()).map(|span| format!("that span {} mm", span.to_mm()));
    let whole = was.notched.is_none().then(|| "without notches".to_owned());
    let facts: Vec<String> = [grade, span, whole].into_iter().flatten().collect();
    (!facts.is_empty()).then(|| format!("joists {}", facts.join(" ")))
}

/// What is usual, for one layout.
struct Usual<'a> {
    site: Site<'a>,
    answers: Answers,
    choices: Choices,
}

impl Usual<'_> {
    /// The layout with everything told.
    fn told(&self) -> Layout {
        let mut told = self.site.layout().clone();
        self.house(&mut told);
        told.platforms.iter_mut().for_each(|platform| self.platform(platform));
        told.cisterns.iter_mut().for_each(|cistern| self.cistern(cistern));
        told.cylinders.iter_mut().for_each(|cylinder| self.cylinder(cylinder));
        for boiler in &mut told.boilers {
            boiler.kind.get_or_insert(BoilerKind::Regular);
            boiler.output = boiler.output.or_else(|| Power::try_kw(self.choices.coil.boiler_kw).ok());
        }
        told.outlets.iter_mut().for_each(|outlet| self.outlet(outlet));
        told.runs.iter_mut().enumerate().for_each(|(number, run)| self.run(number, run));
        told
    }

    /// Takes the next stouter of what a rule asks more of, as far as that leaves less amiss.
    fn make_as_stout_as_asked(&mut self, profile: &Profile) {
        let mut now = amiss(&self.told(), profile);
        'stouter: loop {
            for rule in now.clone() {
                let slighter = self.choices.clone();
                while self.choices.stouter_for(rule) {
                    let then = amiss(&self.told(), profile);
                    if then.len() < now.len() {
                        now = then;
                        continue 'stouter;
                    }
                }
                self.choices = slighter;
            }
            return;
        }
    }

    /// What of all that is taken as usual is a fact of the house, or of who lives there, and has to be found out.
    fn note(&self, told: &Layout) -> String {
        let layout = self.site.layout();
        let (was, now) = (&layout.building, &told.building);
        let hatch = now.opening().filter(|_| was.hatch.is_none());
        let draw = |of: &Layout| of.cisterns.iter().map(|cistern| cistern.daily_draw).collect::<Vec<_>>();
        let facts = [
            was.joists.as_ref().zip(now.joists.as_ref()).and_then(joist_facts),
            (was.storeys != now.storeys).then(|| "what the floors are made of".to_owned()),
            hatch.map(|hatch| format!("a hatch of {} × {} mm", hatch.length.to_mm(), hatch.width.to_mm())),
            was.mains_pressure.is_none().then(|| format!("{} kPa in the main", self.answers.mains_pressure.to_kpa())),
            (layout.climate != told.climate).then(|| "heat and frost in the loft".to_owned()),
            (draw(layout) != draw(told)).then(|| format!("{} L drawn in a day", drawn_l(&self.answers))),
        ];
        let facts: Vec<String> = facts.into_iter().flatten().collect();
        let words = match facts.split_last() {
            None => "What nobody told is taken as usual.".to_owned(),
            Some((last, [])) => format!("What nobody told is taken as usual; to be found out: {last}."),
            Some((last, others)) => {
                format!("What nobody told is taken as usual; to be found out: {} and {last}.", others.join(", "))
            }
        };
        let limits_bath = |(was, now): (&Outlet, &Outlet)| {
            now.kind == OutletKind::Bath && was.supply_temperature != now.supply_temperature
        };
        match layout.outlets.iter().zip(&told.outlets).any(limits_bath) {
            true => format!("{words} {}", bath_is_limited(&self.choices)),
            false => words,
        }
    }

    fn house(&self, layout: &mut Layout) {
        let usual = climate(&self.answers);
        let climate = &mut layout.climate;
        for (told, usual) in [
            (&mut climate.loft_summer_peak, usual.loft_summer_peak),
            (&mut climate.loft_summer_low, usual.loft_summer_low),
            (&mut climate.room_summer, usual.room_summer),
            (&mut climate.main_summer, usual.main_summer),
            (&mut climate.loft_winter_low, usual.loft_winter_low),
            (&mut climate.main_winter, usual.main_winter),
            (&mut climate.room, usual.room),
        ] {
            *told = told.or(usual);
        }
        climate.frost_lasts = climate.frost_lasts.or(usual.frost_lasts);
        let building = &mut layout.building;
        building.mains_pressure.get_or_insert(self.answers.mains_pressure);
        let floors = building.storeys.iter_mut().enumerate();
        floors.for_each(|(number, storey)| _ = storey.deck.get_or_insert_with(|| deck(number)));
        if let Some(joists) = &mut building.joists {
            self.joists(joists);
        }
        building.hatch = building.hatch.or_else(|| hatch(&self.site, &self.answers.loft));
    }

    fn joists(&self, joists: &mut Joists) {
        let (usual, load) = (&self.answers.joists, SurfaceLoad::try_kn_per_m2(CEILING_KN_M2).ok());
        joists.kind.get_or_insert(usual.kind);
        joists.grade.get_or_insert(usual.grade);
        joists.notched.get_or_insert(false);
        joists.span.get_or_insert(usual.span);
        joists.ceiling_load = joists.ceiling_load.or(load);
        joists.storage_load = joists.storage_load.or(load);
        joists.service_class.get_or_insert(ServiceClass::Covered);
        // The platform stands where the span begins.
        let depths = self.site.layout().platforms.iter().filter_map(|platform| platform.depth);
        if joists.lie == Lie::EndOn
            && let Some(deepest) = depths.map(Size::to_mm).max_by(f64::total_cmp)
        {
            joists.span_from.get_or_insert(Length::mm(span_begins_mm(deepest)));
        }
    }

    fn platform(&self, platform: &mut Platform) {
        platform.behind.get_or_insert(Length::ZERO);
        let untold = platform.board.is_none_or(|board| board.thickness.is_none());
        let boards_mm =
            if untold { [self.choices.board_mm].into_iter().chain(MARINE_PLY_MM).collect() } else { Vec::new() };
        let told_mm = platform.board.and_then(|board| board.thickness).map(Size::to_mm);
        let fills = |board_mm: f64| Some((board_mm, self.bearers_below(platform, board_mm)?));
        let filled = if platform.bearers.is_none() && platform.frame.is_none() {
            told_mm.into_iter().chain(boards_mm).find_map(fills)
        } else {
            None
        };
        let board_mm = filled.as_ref().map_or(self.choices.board_mm, |(board_mm, _)| *board_mm);
        let board = platform.board.get_or_insert(ply(board_mm, Some(PlyClass::F20E40)));
        if board.material != BoardMaterial::Concrete {
            board.thickness.get_or_insert(Size::mm(board_mm));
        }
        platform.bearers = platform.bearers.take().or(filled.map(|(_, bearers)| bearers));
        if let Some(bearers) = &mut platform.bearers {
            bearers.grade.get_or_insert(StrengthClass::C16);
        }
    }

    /// Bearers across the joists, where some that are sold just fill what is left between those and a board.
    fn bearers_below(&self, platform: &Platform, board_mm: f64) -> Option<Bearers> {
        let joists = self.site.layout().building.joists.as_ref()?;
        let gap_mm = (platform.at.z - joists.top).to_mm() - board_mm;
        let depth_mm = bearer_depth_for_mm(gap_mm)?;
        let (lie, across_mm) = match joists.lie {
            Lie::EndOn => (Lie::Along, platform.depth?.to_mm()),
            Lie::Along => (Lie::EndOn, platform.length.to_mm()),
        };
        Some(spread(self.choices.bearers, depth_mm, (lie, across_mm)))
    }

    fn cistern(&self, cistern: &mut Cistern) {
        cistern.behind.get_or_insert(Length::ZERO);
        if let Some(valve) = &mut cistern.float_valve {
            self.float_valve(valve);
        }
        cistern.lid.get_or_insert(Lid::Tight);
        cistern.lid_screen.get_or_insert(Screen::Mesh(Size::mm(self.choices.lid_mesh_mm)));
        cistern.opaque.get_or_insert(true);
        let jacket = cistern.jacket.get_or_insert(Jacket { sides: true, top: true, thickness: None, kind: None });
        if jacket.sides || jacket.top {
            jacket.thickness.get_or_insert(Size::mm(self.choices.jacket_mm));
            jacket.kind.get_or_insert(Insulant::MineralWool);
        }
        cistern.loft_insulation_below.get_or_insert(false);
        if cistern.empty_mass.is_none() {
            cistern.empty_mass =
                water_volume_l(&self.site, cistern).ok().and_then(|(held, _)| cistern_mass(held.value));
        }
        if cistern.role == CisternRole::Storage {
            let under_water_mm = |line: Length| (line.to_mm() - self.choices.under_water_mm).max(0.0);
            let ends_at = cistern.water_line.map(|line| DipTube::EndsAt(Length::mm(under_water_mm(line))));
            cistern.dip_tube = cistern.dip_tube.or(ends_at);
            cistern.stored_temperature = cistern.stored_temperature.or(celsius(COLD_STORED_CELSIUS));
            cistern.daily_draw = cistern.daily_draw.or(Volume::try_litres(drawn_l(&self.answers)).ok());
        }
    }

    fn float_valve(&self, valve: &mut FloatValve) {
        if let Tapping::Left(shank) | Tapping::Right(shank) = valve.shank {
            valve.outlet.get_or_insert(Length::mm(shank.to_mm() + OUTLET_OVER_SHANK_MM));
        }
        valve.pattern.get_or_insert(FloatValvePattern::Part2);
        valve.seat.get_or_insert(Size::mm(self.choices.seat_mm));
    }

    fn cylinder(&self, cylinder: &mut Cylinder) {
        let is_piped =
            |ports: [&str; 2]| self.site.attached(&cylinder.id).iter().any(|pipe| ports.contains(&pipe.port.as_str()));
        let by_boiler = is_piped([PRIMARY_FLOW, PRIMARY_RETURN]);
        let by_coil = is_piped([COIL_FLOW, COIL_RETURN]);
        cylinder.behind.get_or_insert(Length::ZERO);
        let has_coil = *cylinder.coil.get_or_insert(by_coil);
        for heater in cylinder.immersions.get_or_insert_with(|| heaters(has_coil || by_boiler)) {
            heater.power = heater.power.or(Power::try_kw(HEATER_KW).ok());
            heater.cut_out.get_or_insert(CutOut::ResetByHand);
        }
        cylinder.grade.get_or_insert(CylinderGrade::G3);
        cylinder.insulation.get_or_insert(Length::mm(self.choices.foam_mm));
        cylinder.cover.get_or_insert(CylinderCover::SprayedFoam);
        cylinder.stored_temperature = cylinder.stored_temperature.or(celsius(self.choices.hot_celsius));
        if has_coil {
            let (usual, duty) = (coil_duty(&self.choices), cylinder.coil_duty.get_or_insert_default());
            duty.conductance = duty.conductance.or(usual.conductance);
            duty.primary = duty.primary.or(usual.primary);
            duty.flow = duty.flow.or(usual.flow);
        }
        let size = cylinder.reference.as_deref().and_then(catalogue::cylinder);
        cylinder.empty_mass = cylinder.empty_mass.or_else(|| cylinder_mass(size?));
    }

    fn outlet(&self, outlet: &mut Outlet) {
        outlet.taps = outlet.taps.or_else(|| usual_taps(outlet));
        let has_hot = self.site.has_pipe_on(&outlet.id, HOT);
        let hot_celsius = match outlet.kind {
            OutletKind::Bath => Some(self.choices.bath_celsius),
            OutletKind::Basin | OutletKind::Sink => Some(self.choices.hot_tap_celsius),
            _ => None,
        };
        if has_hot && outlet.supply_temperature.is_none() {
            outlet.supply_temperature = hot_celsius.and_then(celsius);
        }
    }

    fn run(&self, number: usize, run: &mut Run) {
        run.material.get_or_insert(TubeMaterial::Copper);
        run.size.get_or_insert(Size::mm(self.choices.tube_mm(run.service)));
        run.fittings.get_or_insert_default();
        let usual = run.clips_allowed().unwrap_or_default();
        let clips = run.clips.get_or_insert_default();
        (clips.level, clips.upright) = (clips.level.or(usual.level), clips.upright.or(usual.upright));
        let length_mm = self.site.line(number).map_or(0.0, Polyline::length);
        let whole = Lagging { from: Length::ZERO, to: Length::mm(length_mm), thickness: None, kind: None };
        let is_cold = self.reaches_into_loft(number) && length_mm > 0.0;
        for lagging in run.insulation.get_or_insert_with(|| if is_cold { vec![whole] } else { Vec::new() }) {
            lagging.thickness.get_or_insert(Size::mm(self.choices.lagging_mm));
            lagging.kind.get_or_insert(Insulant::PolyethyleneFoam);
        }
        if run.service == Service::WarningPipe && run.ends().iter().any(|end| matches!(end, End::Open(_))) {
            run.screen.get_or_insert(Screen::Mesh(Size::mm(self.choices.end_mesh_mm)));
            run.discharge.get_or_insert(Discharge::Conspicuous);
        }
    }

    fn reaches_into_loft(&self, number: usize) -> bool {
        let line = self.site.line(number).filter(|_| self.site.layout().building.ceiling.is_some());
        let ceiling_mm = self.site.layout().building.ceiling.map_or(f64::INFINITY, |ceiling| ceiling.underside.to_mm());
        line.is_some_and(|line| line.vertices().iter().any(|point| point.y > ceiling_mm))
    }
}
