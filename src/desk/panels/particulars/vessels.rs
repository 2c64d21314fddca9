//! Fields of cisterns, cylinders and platforms.

use egui::Ui;

use super::fields::{Fields, heading};
use super::runs::insulants;
use super::{connections, place, tapping};
use crate::catalogue::{self, PlyClass};
use crate::desk::panels::words::worded;
use crate::geom::is_same_place;
use crate::layout::{
    Bearers, Board, BoardMaterial, Cistern, CisternRole, CoilDuty, CutOut, Cylinder, CylinderCover, CylinderGrade,
    DipTube, FloatValve, FloatValvePattern, Frame, Immersion, ImmersionPlace, Jacket, Layout, Lid, Lie, Platform,
    Screen, StrengthClass, Tapping,
};
use crate::measure::{Site, footing_in_doubt};
use crate::units::{Length, Size};

/// Which way timbers run, in words.
pub const LIES: [(Lie, &str); 2] = [(Lie::EndOn, "end-on, away from you"), (Lie::Along, "along the section")];
/// A float valve's shank is taken to sit this far below the rim until it is told, mm.
const SHANK_BELOW_RIM_MM: f64 = 84.0;

/// Fields of a cistern.
pub fn cistern(ui: &mut Ui, fields: &mut Fields, cistern: &mut Cistern) {
    let roles = [(CisternRole::Storage, "storage"), (CisternRole::FeedAndExpansion, "feed and expansion")];
    fields.one_of(ui, "Purpose", &mut cistern.role, &roles);
    place(ui, fields, &mut cistern.at, "Left side", "Base level");
    fields.quantity(ui, "Length", &mut cistern.length);
    fields.optional(ui, "Width", &mut cistern.width);
    fields.quantity(ui, "Height", &mut cistern.height);
    fields.quantity(ui, "Lean of a side", &mut cistern.draft);
    fields.optional(ui, "Behind section", &mut cistern.behind);
    heading(ui, "Water");
    fields.optional(ui, "Water line", &mut cistern.water_line);
    fields.optional(ui, "To the rim", &mut cistern.rim_volume);
    fields.optional(ui, "To the water line", &mut cistern.water_volume);
    float_valve(ui, fields, cistern);
    dip_tube(ui, fields, &mut cistern.dip_tube);
    heading(ui, "Protection");
    let lids = [(Lid::Tight, "tight, fixed"), (Lid::Loose, "loose or with gaps"), (Lid::Missing, "none")];
    fields.choice(ui, "Lid", &mut cistern.lid, &lids);
    screen(ui, fields, "Lid vent screen", &mut cistern.lid_screen);
    fields.yes_or_no(ui, "Keeps light out", &mut cistern.opaque);
    jacket(ui, fields, &mut cistern.jacket);
    fields.yes_or_no(ui, "Insulation below", &mut cistern.loft_insulation_below);
    fields.optional(ui, "Mass, empty", &mut cistern.empty_mass);
    match cistern.role {
        CisternRole::Storage => {
            fields.optional(ui, "Warmest water", &mut cistern.stored_temperature);
            fields.optional(ui, "Drawn in a day", &mut cistern.daily_draw);
        }
        CisternRole::FeedAndExpansion => fields.optional(ui, "Water in system", &mut cistern.system_volume),
    }
    connections(ui, fields, &mut cistern.connections);
}

fn float_valve(ui: &mut Ui, fields: &mut Fields, cistern: &mut Cistern) {
    heading(ui, "Float valve");
    let mut there = cistern.float_valve.is_some();
    fields.one_of(ui, "Float valve", &mut there, &[(false, "not told"), (true, "fitted")]);
    if there && cistern.float_valve.is_none() {
        let up = Length::mm((cistern.height.to_mm() - SHANK_BELOW_RIM_MM).max(0.0));
        cistern.float_valve = Some(FloatValve::new(Tapping::Left(up)));
    } else if !there {
        cistern.float_valve = None;
    }
    if let Some(valve) = &mut cistern.float_valve {
        ui.push_id("float valve", |ui| {
            tapping(ui, fields, &mut valve.shank);
            fields.optional(ui, "Spout above base", &mut valve.outlet);
            let patterns = FloatValvePattern::ALL.map(|pattern| (pattern, pattern.words()));
            fields.choice(ui, "Pattern", &mut valve.pattern, &patterns);
            fields.optional(ui, "Seat bore", &mut valve.seat);
        });
    }
}

fn dip_tube(ui: &mut Ui, fields: &mut Fields, tube: &mut Option<DipTube>) {
    heading(ui, "Warning pipe, inside");
    let mut kind = tube.map(|tube| matches!(tube, DipTube::EndsAt(_)));
    fields.choice(ui, "Dip tube", &mut kind, &[(true, "fitted"), (false, "none")]);
    let mut end = match *tube {
        Some(DipTube::EndsAt(end)) => end,
        _ => Length::mm(300.0),
    };
    *tube = match kind {
        None => None,
        Some(false) => Some(DipTube::Missing),
        Some(true) => {
            fields.quantity(ui, "Ends above base", &mut end);
            Some(DipTube::EndsAt(end))
        }
    };
}

/// A screen and how wide its openings are.
pub fn screen(ui: &mut Ui, fields: &mut Fields, name: &str, screen: &mut Option<Screen>) {
    let mut kind = screen.map(|screen| matches!(screen, Screen::Mesh(_)));
    fields.choice(ui, name, &mut kind, &[(true, "fitted"), (false, "none")]);
    let mut mesh = match *screen {
        Some(Screen::Mesh(mesh)) => mesh,
        _ => Size::mm(crate::rules::WIDEST_MESH_MM),
    };
    *screen = match kind {
        None => None,
        Some(false) => Some(Screen::Missing),
        Some(true) => {
            fields.quantity(ui, "Screen openings", &mut mesh);
            Some(Screen::Mesh(mesh))
        }
    };
}

fn jacket(ui: &mut Ui, fields: &mut Fields, jacket: &mut Option<Jacket>) {
    let covers = [
        ((true, true), "sides and top"),
        ((true, false), "sides only"),
        ((false, true), "top only"),
        ((false, false), "none"),
    ];
    let mut cover = jacket.map(|jacket| (jacket.sides, jacket.top));
    fields.choice(ui, "Jacket", &mut cover, &covers);
    let mut thickness = jacket.and_then(|jacket| jacket.thickness);
    let mut kind = jacket.and_then(|jacket| jacket.kind);
    if cover.is_some_and(|(sides, top)| sides || top) {
        fields.optional(ui, "Jacket thickness", &mut thickness);
        fields.choice(ui, "Jacket made of", &mut kind, &insulants());
    }
    *jacket = cover.map(|(sides, top)| Jacket { sides, top, thickness, kind });
}

/// Fields of a cylinder.
pub fn cylinder(ui: &mut Ui, fields: &mut Fields, cylinder: &mut Cylinder) {
    place(ui, fields, &mut cylinder.at, "Left side", "Base level");
    reference(ui, fields, cylinder);
    fields.quantity(ui, "Diameter", &mut cylinder.diameter);
    fields.quantity(ui, "Height", &mut cylinder.height);
    fields.optional(ui, "Behind section", &mut cylinder.behind);
    fields.optional(ui, "Stated capacity", &mut cylinder.capacity);
    fields.optional(ui, "Mass, empty", &mut cylinder.empty_mass);
    fields.choice(ui, "Grade", &mut cylinder.grade, &CylinderGrade::ALL.map(|grade| (grade, grade.words())));
    heading(ui, "Heating");
    fields.yes_or_no(ui, "Coil inside", &mut cylinder.coil);
    if cylinder.coil == Some(true) {
        coil_duty(ui, fields, &mut cylinder.coil_duty);
    }
    immersions(ui, fields, &mut cylinder.immersions);
    fields.optional(ui, "Stored at", &mut cylinder.stored_temperature);
    fields.optional(ui, "Insulation", &mut cylinder.insulation);
    let covers = CylinderCover::ALL.map(|cover| (cover, cover.words()));
    fields.choice(ui, "Insulated with", &mut cylinder.cover, &covers);
    fields.optional(ui, "Standing loss", &mut cylinder.standing_loss);
    connections(ui, fields, &mut cylinder.connections);
}

/// What the coil passes on; all empty is the same as not told.
fn coil_duty(ui: &mut Ui, fields: &mut Fields, told: &mut Option<CoilDuty>) {
    let mut duty = told.unwrap_or_default();
    fields.optional(ui, "Coil passes on", &mut duty.conductance);
    fields.optional(ui, "Primary comes at", &mut duty.primary);
    fields.optional(ui, "Primary flow", &mut duty.flow);
    *told = (duty != CoilDuty::default()).then_some(duty);
}

/// Size by reference: choosing one sets diameter and height as well.
fn reference(ui: &mut Ui, fields: &mut Fields, cylinder: &mut Cylinder) {
    let sizes = &catalogue::cylinders().sizes;
    let name = |size: &catalogue::CylinderSize| {
        format!("{}: {} × {}", size.reference, size.diameter.to_mm(), size.height.to_mm())
    };
    let names: Vec<String> = sizes.iter().map(name).collect();
    let offered: Vec<(usize, &str)> = names.iter().map(String::as_str).enumerate().collect();
    let now = cylinder.reference.as_ref().and_then(|told| sizes.iter().position(|size| size.reference == *told));
    let mut picked = now;
    fields.choice(ui, "Size reference", &mut picked, &offered);
    if picked != now {
        let size = picked.map(|number| &sizes[number]);
        cylinder.reference = size.map(|size| size.reference.clone());
        if let Some(size) = size {
            (cylinder.diameter, cylinder.height) = (size.diameter, size.height);
        }
    }
}

fn immersions(ui: &mut Ui, fields: &mut Fields, heaters: &mut Option<Vec<Immersion>>) {
    let mut told = heaters.is_some();
    fields.one_of(ui, "Immersion heaters", &mut told, &[(false, "not told"), (true, "as listed")]);
    if !told {
        *heaters = None;
        return;
    }
    let list = heaters.get_or_insert_with(Vec::new);
    let mut gone = None;
    for (number, heater) in list.iter_mut().enumerate() {
        ui.push_id(("heater", number), |ui| {
            let places =
                [(ImmersionPlace::Top, "down through the dome"), (ImmersionPlace::Bottom, "sideways, low down")];
            fields.one_of(ui, &format!("Heater {}", number + 1), &mut heater.place, &places);
            fields.optional(ui, "Power", &mut heater.power);
            fields.choice(ui, "Cut-out", &mut heater.cut_out, &CutOut::ALL.map(|cut_out| (cut_out, cut_out.words())));
            if ui.small_button(format!("Remove heater {}", number + 1)).clicked() {
                gone = Some(number);
            }
        });
    }
    if list.is_empty() {
        ui.weak("None.");
    }
    if let Some(number) = gone {
        list.remove(number);
        fields.changed = Some("immersion heaters".to_owned());
    }
    if ui.button(worded(ui, "Add an immersion heater")).clicked() {
        list.push(Immersion { place: ImmersionPlace::Top, power: None, cut_out: None });
        fields.changed = Some("immersion heaters".to_owned());
    }
}

/// Fields of a platform.
pub fn platform(ui: &mut Ui, fields: &mut Fields, platform: &mut Platform, layout: &Layout) {
    place(ui, fields, &mut platform.at, "Left end", "Upper face");
    fields.quantity(ui, "Length", &mut platform.length);
    fields.optional(ui, "Depth", &mut platform.depth);
    fields.optional(ui, "Behind section", &mut platform.behind);
    board(ui, fields, "Board", &mut platform.board);
    fields.optional(ui, "Confirmed load", &mut platform.confirmed_load);
    let before = platform.clone();
    heading(ui, "Frame");
    let mut height = platform.frame.map(|frame| frame.height);
    fields.optional_or(ui, "Frame height", &mut height, "no frame");
    platform.frame = height.map(|height| Frame { height });
    heading(ui, "Bearers");
    let mut there = platform.bearers.is_some();
    fields.one_of(ui, "Bearers", &mut there, &[(false, "none, on the joists"), (true, "under the board")]);
    if there {
        bearers(ui, fields, platform.bearers.get_or_insert_with(|| usual_bearers(&before, layout)));
    } else {
        platform.bearers = None;
    }
    lay_board(platform, &before, layout);
}

/// How deep the bearers are that just fill what is left over the joists, where some are sold so, mm.
fn room_for_bearers_mm(platform: &Platform, layout: &Layout) -> Option<f64> {
    let joists = layout.building.joists.as_ref()?;
    let room_mm = platform.at.z.to_mm() - platform.drawn_board_mm() - platform.stands_up_mm() - joists.top.to_mm();
    catalogue::bearer_depth_for_mm(room_mm)
}

/// The board lies on what is under it. A frame or bearers that are told of a platform in the air fill the gap, and lift
/// nothing.
fn lay_board(platform: &mut Platform, before: &Platform, layout: &Layout) {
    let up_mm = platform.stands_up_mm() - before.stands_up_mm();
    let is_told_of_gap = || platform.frame != before.frame && footing_in_doubt(&Site::of(layout), before).is_some();
    let fill_room =
        before.bearers.is_none() && room_for_bearers_mm(before, layout).is_some_and(|mm| is_same_place(mm, up_mm));
    if up_mm != 0.0 && !fill_room && !is_told_of_gap() {
        platform.at = platform.at.moved(glam::dvec2(0.0, up_mm));
    }
}

/// Bearers as they stand in the fields until they are told: as deep as the room that is left for them.
fn usual_bearers(platform: &Platform, layout: &Layout) -> Bearers {
    Bearers {
        count: 3,
        spacing: Size::mm(300.0),
        first: Length::mm(50.0),
        breadth: Size::mm(47.0),
        depth: Size::mm(room_for_bearers_mm(platform, layout).unwrap_or(100.0)),
        lie: Lie::Along,
        grade: None,
    }
}

fn bearers(ui: &mut Ui, fields: &mut Fields, bearers: &mut Bearers) {
    ui.push_id("bearers", |ui| {
        fields.quantity(ui, "How many", &mut bearers.count);
        fields.quantity(ui, "Spacing", &mut bearers.spacing);
        fields.quantity(ui, "First at", &mut bearers.first);
        fields.quantity(ui, "Bearer thickness", &mut bearers.breadth);
        fields.quantity(ui, "Bearer height", &mut bearers.depth);
        fields.one_of(ui, "They run", &mut bearers.lie, &LIES);
        let grades = StrengthClass::ALL.map(|class| (class, class.words()));
        fields.choice(ui, "Strength class", &mut bearers.grade, &grades);
    });
}

/// Material and thickness of a board.
pub fn board(ui: &mut Ui, fields: &mut Fields, name: &str, board: &mut Option<Board>) {
    let mut material = board.map(|board| board.material);
    fields.choice(ui, name, &mut material, &BoardMaterial::ALL.map(|material| (material, material.words())));
    let mut thickness = board.and_then(|board| board.thickness);
    let mut class = board.and_then(|board| board.class);
    if let Some(material) = material {
        fields.optional(ui, &format!("{name} thickness"), &mut thickness);
        if catalogue::board(material.words()).is_some_and(catalogue::BoardKind::has_classes) {
            let classes = PlyClass::ALL.map(|class| (class, class.words()));
            fields.choice(ui, &format!("{name} class"), &mut class, &classes);
        }
    }
    *board = material.map(|material| Board { material, thickness, class });
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A platform on bearers of 100 mm, its board's top at 2000, over joists with their top at so many mm.
    fn over_joists(top_mm: f64) -> Layout {
        let text = format!(
            r#"(format: 1,
                building: (joists: (top: {top_mm}, first: 0, spacing: 300, count: 6, breadth: 47, depth: 147)),
                platforms: [(id: "platform", at: (0, 2000), length: 1300, board: (material: MarinePly, thickness: 18),
                    bearers: (count: 3, spacing: 400, first: 50, breadth: 47, depth: 100))],
            )"#
        );
        crate::file::parse(&text, "over joists").expect("reads")
    }

    #[test]
    fn bearers_are_as_deep_as_the_room_that_was_left_for_them() {
        let once_told = |top_mm: f64| {
            let mut layout = over_joists(top_mm);
            layout.platforms[0].bearers = None;
            let before = layout.platforms[0].clone();
            let told = usual_bearers(&before, &layout);
            let mut platform = Platform { bearers: Some(told.clone()), ..before.clone() };
            lay_board(&mut platform, &before, &layout);
            (told.depth.to_mm(), platform.at.z.to_mm())
        };
        assert_eq!(once_told(1885.0), (97.0, 2000.0));
        // Straight on the joists it is lifted.
        assert_eq!(once_told(1982.0), (100.0, 2100.0));
    }

    fn top_mm_once_framed(layout: &Layout, frame_mm: f64) -> f64 {
        let mut platform = layout.platforms[0].clone();
        platform.frame = Some(Frame { height: Size::mm(frame_mm) });
        lay_board(&mut platform, &layout.platforms[0], layout);
        platform.at.z.to_mm()
    }

    #[test]
    fn a_frame_lifts_what_lies_on_the_joists_and_fills_what_stands_in_the_air() {
        assert_eq!(top_mm_once_framed(&over_joists(1882.0), 600.0), 2600.0);
        assert_eq!(top_mm_once_framed(&over_joists(1282.0), 600.0), 2000.0);
        let mut higher = over_joists(1282.0);
        higher.platforms[0].frame = Some(Frame { height: Size::mm(600.0) });
        assert_eq!(top_mm_once_framed(&higher, 650.0), 2050.0);
    }
}
