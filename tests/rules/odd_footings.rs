//! What carries a platform: joists, a floor, another platform, or nothing that is drawn; and timbers that carry it badly.

use loftwright::layout::Layout;
use loftwright::rules::Verdict;

use super::drawn_from::layout;
use super::judged::{self, MEETS, UNKNOWN, finding, verdict};

/// What hangs on how the load comes down to the joists.
const OF_JOISTS: [&str; 5] =
    ["bearer-overstressed", "bearer-sags", "joist-overstressed", "joist-overstressed-in-shear", "joist-sags"];
/// The same, where the board lies on them.
const OF_BOARD: [&str; 4] = ["too-few-joists", "joists-too-far-apart", "board-overstressed", "board-sags"];
const BEARERS: &str = "bearers: (count: 4, spacing: 250, first: 75, breadth: 47, depth: 100, lie: Along, grade: C16)";

/// A cistern of 160 L on a board of 18 mm with its top at 2000, over joists with their top at so many mm.
fn over_joists(top_mm: f64, bearers: &str, storeys: &str, more_platforms: &str) -> Layout {
    layout(&format!(
        r#"building: (storeys: [{storeys}],
            joists: (top: {top_mm}, first: 0, spacing: 300, count: 6, breadth: 47, depth: 220, lie: EndOn, kind: Joist,
                grade: C24, span: 3000, span_from: -1000, ceiling_load: 0.25, storage_load: 0.25, service_class: Covered)),
        platforms: [
            (id: "platform", at: (-150, 2000), length: 1300, depth: 900, behind: 0,
                board: (material: MarinePly, thickness: 18, class: F20E40), {bearers}),
            {more_platforms}
        ],
        cisterns: [
            (id: "cistern", role: Storage, at: (0, 2000), length: 1000, width: 500, height: 500, behind: 0, empty_mass: 16,
                rim_volume: 160),
        ]"#
    ))
}

fn find_out(layout: &Layout, rule: &str) -> String {
    judged::find_out(layout, rule, "platform")
}

#[test]
fn a_platform_in_the_air_hands_nothing_down_that_could_be_told() {
    let bare = |top_mm: f64| over_joists(top_mm, BEARERS, "", "");
    for rule in OF_JOISTS {
        assert_ne!(verdict(&bare(1882.0), rule, "platform"), UNKNOWN, "{rule}");
        // Packing closes a few millimetres.
        assert_eq!(verdict(&bare(1874.0), rule, "platform"), verdict(&bare(1882.0), rule, "platform"), "{rule}");
        let words = find_out(&bare(1282.0), rule);
        assert_eq!(words, "find what carries the platform: it stands 600 mm above the joists", "{rule}");
    }
    // The board lies on its bearers wherever these are.
    for rule in OF_BOARD {
        assert_eq!(verdict(&bare(1282.0), rule, "platform"), MEETS, "{rule}");
    }
}

#[test]
fn a_board_in_the_air_has_no_joists_below_it() {
    let bare = |top_mm: f64| over_joists(top_mm, "", "", "");
    for rule in OF_BOARD {
        assert_eq!(verdict(&bare(1982.0), rule, "platform"), MEETS, "{rule}");
        assert!(find_out(&bare(1882.0), rule).ends_with("it stands 100 mm above the joists"), "{rule}");
    }
}

#[test]
fn a_floor_or_another_platform_that_lies_on_the_joists_carries_it() {
    let rule = "joist-sags";
    let on_joists = verdict(&over_joists(1882.0, BEARERS, "", ""), rule, "platform");
    let storeys = |floor_mm: u32| format!(r#"(id: "loft", floor: {floor_mm})"#);
    assert_eq!(verdict(&over_joists(1864.0, BEARERS, &storeys(1882), ""), rule, "platform"), on_joists);
    assert_eq!(verdict(&over_joists(1282.0, BEARERS, &storeys(1300), ""), rule, "platform"), UNKNOWN);
    let lower = |x_mm: f64| {
        format!(
            r#"(id: "lower", at: ({x_mm}, 1882), length: 1400, depth: 900, behind: 0,
                board: (material: MarinePly, thickness: 18))"#
        )
    };
    assert_eq!(verdict(&over_joists(1864.0, BEARERS, "", &lower(-200.0)), rule, "platform"), on_joists);
    // Itself in the air, or beside it, it does not.
    assert_eq!(verdict(&over_joists(1264.0, BEARERS, "", &lower(-200.0)), rule, "platform"), UNKNOWN);
    assert_eq!(verdict(&over_joists(1864.0, BEARERS, "", &lower(2000.0)), rule, "platform"), UNKNOWN);
}

/// The same with a frame so high between the board and whatever it has else.
fn framed(top_mm: f64, bearers: &str, frame_mm: f64) -> Layout {
    over_joists(top_mm, &format!("frame: (height: {frame_mm}), {bearers}"), "", "")
}

#[test]
fn a_frame_hands_the_load_down_as_if_the_board_lay_below_it() {
    for (top_mm, bearers, rules) in [(1282.0, BEARERS, &OF_JOISTS[..]), (1382.0, "", &OF_BOARD[..])] {
        let laid = over_joists(top_mm + 600.0, bearers, "", "");
        for rule in rules {
            let (high, low) =
                (finding(&framed(top_mm, bearers, 600.0), rule, "platform"), finding(&laid, rule, "platform"));
            assert_ne!(high.judged.verdict, Verdict::Unknown, "{rule}");
            assert_eq!((high.judged.verdict, high.reading.have), (low.judged.verdict, low.reading.have), "{rule}");
        }
    }
    let working = finding(&framed(1282.0, BEARERS, 600.0), "joist-sags", "platform").reading.working;
    assert!(working.iter().any(|line| line.contains("the frame is taken to")), "{working:?}");
}

#[test]
fn a_frame_that_does_not_fill_the_gap_leaves_it_open() {
    for rule in OF_JOISTS {
        assert_ne!(verdict(&framed(1282.0, BEARERS, 590.0), rule, "platform"), UNKNOWN, "{rule}");
        let words = find_out(&framed(1282.0, BEARERS, 480.0), rule);
        assert_eq!(words, "find what carries the platform: on its frame of 480 mm it stands 120 mm above the joists");
    }
    assert!(find_out(&framed(1282.0, BEARERS, 480.0), "frame-not-confirmed").starts_with("find what carries"));
}

#[test]
fn a_frame_higher_than_the_room_for_it_is_to_be_measured_again() {
    let again = "measure the frame below the platform again: 650 mm high, as it is told, it would end 50 mm below the top of the joists";
    for rule in OF_JOISTS.into_iter().chain(["frame-not-confirmed"]) {
        assert_eq!(find_out(&framed(1282.0, BEARERS, 650.0), rule), again, "{rule}");
        assert_ne!(verdict(&framed(1282.0, BEARERS, 600.9), "joist-sags", "platform"), UNKNOWN, "{rule}");
    }
    // In a survey each of the two is known as well as it was measured.
    let taped = |frame_mm: f64| {
        let mut house = framed(1282.0, BEARERS, frame_mm);
        house.survey = loftwright::layout::Survey::Surveyed(loftwright::layout::TapeClass::II);
        house
    };
    assert_ne!(verdict(&taped(601.5), "joist-sags", "platform"), UNKNOWN);
    assert_eq!(verdict(&taped(610.0), "joist-sags", "platform"), UNKNOWN);
}

#[test]
fn a_frame_on_the_floor_of_a_storey_ends_at_that_floor() {
    let mut house = framed(1282.0, "", 700.0);
    house.building.joists = None;
    house.building.storeys.push(loftwright::layout::Storey {
        id: loftwright::layout::Id::of("first"),
        floor: loftwright::units::Level::mm(1382.0),
        deck: None,
    });
    assert!(find_out(&house, "frame-not-confirmed").ends_with("it would end 100 mm below the floor"));
}

#[test]
fn a_frame_is_confirmed_by_a_load_that_covers_what_stands_on_it() {
    let rule = "frame-not-confirmed";
    let confirmed = |kg: f64| {
        let mut house = framed(1282.0, BEARERS, 600.0);
        house.platforms[0].confirmed_load = loftwright::units::Mass::try_kg(kg).ok();
        house
    };
    assert_eq!(verdict(&confirmed(176.0), rule, "platform"), MEETS);
    let words = find_out(&confirmed(175.0), rule);
    assert!(words.ends_with("its uprights and bracing, and confirm that it carries 176 kg (1.73 kN)"), "{words}");
    // What stands there of which nobody has told the weight may be more.
    let mut unweighed = confirmed(1000.0);
    unweighed.cisterns[0].empty_mass = None;
    assert!(find_out(&unweighed, rule).starts_with("find what the cistern weighs empty"));
    assert_eq!(verdict(&over_joists(1882.0, BEARERS, "", ""), rule, "platform"), None);
}

#[test]
fn a_board_of_untold_thickness_may_reach_down_to_the_joists() {
    let untold = |top_mm: f64| {
        let mut house = over_joists(top_mm, "", "", "");
        house.platforms[0].board = None;
        house
    };
    assert_eq!(verdict(&untold(1950.0), "too-few-joists", "platform"), MEETS);
    let words = find_out(&untold(1400.0), "too-few-joists");
    assert_eq!(words, "find what carries the platform: it stands at least 550 mm above the joists");
}

#[test]
fn bearers_that_all_lie_below_one_edge_are_not_enough() {
    let bearers = |spacing_mm: f64, first_mm: f64| {
        let text = format!(
            "bearers: (count: 4, spacing: {spacing_mm}, first: {first_mm}, breadth: 47, depth: 100, lie: Along, grade: C16)"
        );
        over_joists(1882.0, &text, "", "")
    };
    for rule in ["too-few-joists", "joists-too-far-apart"] {
        assert_eq!(verdict(&bearers(60.0, 360.0), rule, "platform"), MEETS, "{rule}");
        assert!(find_out(&bearers(60.0, 30.0), rule).starts_with("find what holds up the platform"), "{rule}");
    }
}

/// 1 mm deep it sinks by metres, and by metres still if it were half as deep again.
#[test]
fn a_bearer_as_thin_as_paper_sinks_beyond_all_doubt() {
    let deep = |depth_mm: u32| {
        let bearers = BEARERS.replace("depth: 100", &format!("depth: {depth_mm}"));
        let mut house = over_joists(1982.0 - f64::from(depth_mm), &bearers, "", "");
        house.survey = loftwright::layout::Survey::Surveyed(loftwright::layout::TapeClass::II);
        house
    };
    for rule in ["bearer-sags", "bearer-overstressed"] {
        assert_eq!(verdict(&deep(1), rule, "platform"), Some(Verdict::Breach), "{rule}");
        assert_eq!(verdict(&deep(100), rule, "platform"), MEETS, "{rule}");
    }
}

#[test]
fn a_vessel_over_a_floor_stands_on_something_that_comes_down_to_it() {
    let rule = "nothing-underneath";
    let cylinder = |base_mm: f64, platforms: &str| {
        layout(&format!(
            r#"building: (storeys: [(id: "ground", floor: 0), (id: "first", floor: 2600)]),
            platforms: [{platforms}],
            cylinders: [(id: "cylinder", at: (0, {base_mm}), diameter: 450, height: 900)]"#
        ))
    };
    let board = |top_mm: f64, more: &str| {
        format!(
            r#"(id: "board", at: (-100, {top_mm}), length: 650, board: (material: MarinePly, thickness: 18), {more})"#
        )
    };
    for (base_mm, platforms) in [
        (2600.0, String::new()),
        // On bearers, or on a plinth, that nobody draws.
        (2700.0, String::new()),
        (2595.0, String::new()),
        (2718.0, board(2718.0, "")),
        (3618.0, board(3618.0, "frame: (height: 1000)")),
        (
            3618.0,
            format!(
                r#"{}, (id: "cupboard", at: (-100, 3600), length: 650, board: (material: MarinePly, thickness: 18), frame: (height: 982))"#,
                board(3618.0, "")
            ),
        ),
    ] {
        assert_eq!(verdict(&cylinder(base_mm, &platforms), rule, "cylinder"), MEETS, "{base_mm} {platforms}");
    }
    let find_out = |layout: &Layout| judged::find_out(layout, rule, "cylinder");
    assert_eq!(find_out(&cylinder(3600.0, "")), "find what carries the cylinder: it stands 1000 mm above the floor");
    let in_the_air = cylinder(3618.0, &board(3618.0, ""));
    assert_eq!(find_out(&in_the_air), "find what carries the board: it stands 1000 mm above the floor");
    // Where no floor is drawn nothing tells how high it stands.
    let nowhere = layout(r#"cylinders: [(id: "cylinder", at: (0, 900), diameter: 450, height: 900)]"#);
    assert_eq!(verdict(&nowhere, rule, "cylinder"), None);
}

#[test]
fn joists_that_are_cut_bear_at_most_what_whole_ones_do() {
    let of_joists = ["joist-overstressed", "joist-overstressed-in-shear", "joist-sags"];
    let cut =
        |told: &str| super::odd_vents::sound(&[("service_class: Covered,", &format!("service_class: Covered,{told}"))]);
    for rule in of_joists {
        assert_eq!(verdict(&cut(""), rule, "cistern-platform"), MEETS, "{rule}");
        assert_eq!(verdict(&cut(" notched: true"), rule, "cistern-platform"), UNKNOWN, "{rule}");
    }
}

#[test]
fn trussed_rafters_of_any_depth_are_left_whole() {
    let told = |kind: &str, notched: &str| {
        layout(&format!(
            r#"building: (joists: (top: 1980, first: 0, spacing: 600, count: 4, breadth: 35, depth: 147, kind: {kind}, {notched})),
            cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, height: 500)]"#
        ))
    };
    let rule = "shallow-joist-notched";
    assert_eq!(verdict(&told("TrussedRafter", "notched: true"), rule, "cistern"), Some(Verdict::Breach));
    assert_eq!(verdict(&told("TrussedRafter", "notched: false"), rule, "cistern"), MEETS);
    assert_eq!(verdict(&told("Joist", "notched: true"), rule, "cistern"), None);
}
