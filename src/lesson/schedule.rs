//! What is told of each part, in a line each: what a drawing on paper cannot show.

use crate::layout::{
    Cistern, CisternRole, Cylinder, DipTube, Discharge, Id, InLine, Lagging, Layout, Lid, LoftHatch, Outlet, PartRef,
    Platform, Run, Screen, WhichEnd,
};
use crate::mend::end_words;
use crate::units::{Amount, Length, Size};

/// Each part by name, and what is told of it. The building comes first.
#[must_use]
pub fn schedule(layout: &Layout) -> Vec<(String, String)> {
    let mut lines = vec![("building".to_owned(), of_building(layout))];
    lines.extend(layout.parts().map(|part| (part.id().spoken(), of_part(part))));
    lines.retain(|(_, words)| !words.is_empty());
    lines
}

fn of_part(part: PartRef<'_>) -> String {
    match part {
        PartRef::Platform(platform) => of_platform(platform),
        PartRef::Cistern(cistern) => of_cistern(cistern),
        PartRef::Cylinder(cylinder) => of_cylinder(cylinder),
        PartRef::Outlet(outlet) => of_outlet(outlet),
        PartRef::Run(run) => of_run(run),
        PartRef::Boiler(boiler) => {
            boiler.output.map_or_else(String::new, |output| format!("gives {} kW", output.to_kw()))
        }
        // What it says stands on the drawing.
        PartRef::Note(_) => String::new(),
    }
}

/// Facts with semicolons between them.
#[derive(Default)]
struct Facts(Vec<String>);

impl Facts {
    fn add(&mut self, fact: impl Into<String>) {
        self.0.push(fact.into());
    }

    fn told<T>(&mut self, told: Option<T>, words: impl FnOnce(T) -> String) {
        self.0.extend(told.map(words));
    }

    /// What a part is, where its name does not say so.
    fn kind(&mut self, of: &Id, kind: &str) {
        if of.spoken().to_lowercase() != kind.to_lowercase() {
            self.add(kind);
        }
    }

    fn line(self) -> String {
        self.0.join("; ")
    }
}

fn mm(size: Size) -> String {
    written(size.to_mm())
}

/// Millimetres as a rule shows them.
fn written(mm: f64) -> String {
    Amount::mm(mm).digits()
}

fn screen(screen: Screen) -> String {
    match screen {
        Screen::Missing => "no screen".to_owned(),
        Screen::Mesh(mesh) => format!("a screen with openings of {} mm", mm(mesh)),
    }
}

fn of_building(layout: &Layout) -> String {
    let building = &layout.building;
    let mut facts = Facts::default();
    facts.told(building.mains_pressure, |pressure| format!("main water at {} kPa", pressure.to_kpa()));
    match building.hatch {
        Some(LoftHatch::Opening(hatch)) => {
            facts.add(format!("loft hatch {} × {} mm", mm(hatch.length), mm(hatch.width)))
        }
        Some(LoftHatch::Missing) => facts.add("no loft hatch"),
        None => {}
    }
    facts.told(building.joists.as_ref(), |joists| {
        let span = joists.span.map_or_else(String::new, |span| format!(", spanning {} mm", mm(span)));
        let apart_mm = mm(joists.spacing);
        format!("joists {} × {} mm, {apart_mm} mm from middle to middle{span}", mm(joists.breadth), mm(joists.depth))
    });
    for storey in &building.storeys {
        facts.told(storey.deck, |deck| format!("{}: {}", storey.id.spoken(), deck.material.words()));
    }
    facts.line()
}

fn of_platform(platform: &Platform) -> String {
    let mut facts = Facts::default();
    facts.told(platform.depth, |depth| format!("{} × {} mm", mm(platform.length), mm(depth)));
    facts.told(platform.board, |board| {
        let thick = board.thickness.map_or_else(String::new, |thickness| format!(", {} mm thick", mm(thickness)));
        format!("board of {}{thick}", board.material.words())
    });
    facts.told(platform.frame, |frame| format!("on a frame {} mm high", mm(frame.height)));
    facts.told(platform.bearers.as_ref(), |bearers| {
        format!(
            "{} bearers {} × {} mm, {} mm from middle to middle",
            bearers.count,
            mm(bearers.breadth),
            mm(bearers.depth),
            mm(bearers.spacing)
        )
    });
    facts.told(platform.confirmed_load, |load| {
        format!("somebody competent has confirmed that it carries {} kg", load.to_kg())
    });
    facts.line()
}

fn of_cistern(cistern: &Cistern) -> String {
    let mut facts = Facts::default();
    facts.add(match cistern.role {
        CisternRole::Storage => "storage cistern",
        CisternRole::FeedAndExpansion => "feed-and-expansion cistern",
    });
    let width = cistern.width.map_or_else(String::new, |width| format!(" × {}", mm(width)));
    facts.add(format!("{}{width} × {} mm high", mm(cistern.length), mm(cistern.height)));
    facts.told(cistern.water_line, |line| format!("water line {} mm above its base", written(line.to_mm())));
    facts.told(cistern.float_valve, |valve| {
        let pattern = valve.pattern.map_or_else(String::new, |pattern| format!(" to {}", pattern.words()));
        let outlet = |outlet: Length| format!(", its outlet {} mm above the base", written(outlet.to_mm()));
        let outlet = valve.outlet.map_or_else(String::new, outlet);
        let seat = valve.seat.map_or_else(String::new, |seat| format!(", its seat {} mm", mm(seat)));
        format!("float valve{pattern}{outlet}{seat}")
    });
    facts.told(cistern.dip_tube, |tube| match tube {
        DipTube::Missing => "no dip tube".to_owned(),
        DipTube::EndsAt(height) => format!("dip tube ends {} mm above the base", written(height.to_mm())),
    });
    facts.told(cistern.lid, |lid| {
        let words = match lid {
            Lid::Missing => "no lid",
            Lid::Loose => "the lid is loose",
            Lid::Tight => "the lid fits closely",
        };
        words.to_owned()
    });
    facts.told(cistern.lid_screen, |lid| format!("vent in the lid: {}", screen(lid)));
    facts.told(cistern.opaque, |opaque| if opaque { "keeps light out" } else { "lets light in" }.to_owned());
    facts.told(cistern.jacket, |jacket| {
        let where_to = match (jacket.sides, jacket.top) {
            (true, true) => "on sides and top",
            (true, false) => "on the sides alone",
            (false, true) => "on the top alone",
            (false, false) => return "no jacket".to_owned(),
        };
        let thick = jacket.thickness.map_or_else(String::new, |thickness| format!(", {} mm thick", mm(thickness)));
        format!("jacket {where_to}{thick}")
    });
    facts.told(cistern.loft_insulation_below, |below| {
        if below { "loft insulation runs below it" } else { "no loft insulation below it" }.to_owned()
    });
    facts.told(cistern.stored_temperature, |stored| format!("its water is {} °C at most", stored.to_celsius()));
    facts.told(cistern.empty_mass, |mass| format!("{} kg when empty", mass.to_kg()));
    facts.line()
}

fn of_cylinder(cylinder: &Cylinder) -> String {
    let mut facts = Facts::default();
    facts.add(format!("{} mm across, {} mm high", mm(cylinder.diameter), mm(cylinder.height)));
    facts.told(cylinder.capacity, |capacity| format!("holds {} L", capacity.to_litres()));
    facts.told(cylinder.grade, |grade| grade.words().to_owned());
    facts.told(cylinder.coil, |coil| if coil { "with a coil" } else { "without a coil" }.to_owned());
    facts.told(cylinder.insulation, |thickness| format!("insulated {} mm thick", written(thickness.to_mm())));
    facts.told(cylinder.stored_temperature, |stored| format!("stores its water at {} °C", stored.to_celsius()));
    for immersion in cylinder.immersions.iter().flatten() {
        let cut_out = immersion.cut_out.map_or("cut-out not told", |cut_out| cut_out.words());
        facts.add(format!("immersion heater: {cut_out}"));
    }
    facts.line()
}

fn of_outlet(outlet: &Outlet) -> String {
    let mut facts = Facts::default();
    facts.kind(&outlet.id, outlet.kind.words());
    facts.told(outlet.taps, |taps| taps.words().to_owned());
    facts.told(outlet.supply_temperature, |supply| format!("its hot water comes at {} °C", supply.to_celsius()));
    facts.line()
}

fn of_run(run: &Run) -> String {
    let mut facts = Facts::default();
    facts.kind(&run.id, run.service.words());
    let material = run.material.map_or("", |material| material.words());
    let size = run.size.map_or_else(String::new, |size| format!("{} mm ", mm(size)));
    facts.add(format!("{size}{material}").trim().to_owned());
    facts.told(run.fittings.as_ref(), |fittings| {
        let fitting = |fitting: &InLine| format!("{} after {:.0} mm", fitting.kind.words(), fitting.at.to_mm());
        if fittings.is_empty() {
            "no valve, drain cock or pump in it".to_owned()
        } else {
            let all: Vec<String> = fittings.iter().map(fitting).collect();
            format!("from {}: {}", end_words(run, WhichEnd::From), all.join(", "))
        }
    });
    facts.told(run.lagged_parts(0.0, f64::INFINITY), |insulation| match &insulation[..] {
        [] => "bare".to_owned(),
        [first, ..] => {
            let thick = first.thickness.map_or_else(String::new, |thickness| format!(" {} mm thick", mm(thickness)));
            let length_mm: f64 = insulation.iter().map(Lagging::ends_mm).map(|(from_mm, to_mm)| to_mm - from_mm).sum();
            format!("lagged{thick} over {length_mm:.0} mm of its length")
        }
    });
    facts.told(run.clips, |clips| {
        let apart = |where_to: &str, apart: Size| format!("{} mm apart where it {where_to}", mm(apart));
        let level = clips.level.map(|level| apart("runs level", level));
        let upright = clips.upright.map(|upright| apart("stands upright", upright));
        let told: Vec<String> = level.into_iter().chain(upright).collect();
        if told.is_empty() { String::new() } else { format!("clips {}", told.join(" and ")) }
    });
    facts.told(run.screen, |over| format!("{} over its open end", screen(over)));
    // What a pupil has to judge is told, and not how it is judged.
    facts.told(run.discharge, |discharge| match discharge {
        Discharge::Conspicuous => "it lets its water go where people see it run".to_owned(),
        Discharge::Hidden => "it lets its water go where nobody sees it run".to_owned(),
    });
    facts.0.retain(|fact| !fact.is_empty());
    facts.line()
}
