//! What carries a platform: joists, a floor, another platform, or nothing that is drawn; and timbers that carry it badly.

use loftwright::layout::Layout;
use loftwright::measure::Have;
use loftwright::rules::Verdict;

use super::odd_houses::{finding, layout, verdict};

const MEETS: Option<Verdict> = Some(Verdict::Meets);
const UNKNOWN: Option<Verdict> = Some(Verdict::Unknown);

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
    match finding(layout, rule, "platform").reading.have {
        Have::Untold(find_out) => find_out,
        other => panic!("{rule}: {other:?}"),
    }
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
