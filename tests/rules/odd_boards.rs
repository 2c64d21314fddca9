//! Several vessels on one board, which may lift off its bearers: what they do together, and what each does alone.

use std::fmt::Write as _;

use loftwright::measure::Site;
use loftwright::timber::{LoadPath, Member, OnPlatform};
use loftwright::units::STANDARD_GRAVITY_M_S2;

use super::drawn_from::whole;
use super::near::near;

/// From bearer to bearer, m.
const SPAN_M: f64 = 0.6;

/// Cisterns 500 mm deep, each with its left end and its length in mm and what it holds to the rim in L, on a board over
/// so many bearers 600 mm apart, the first at 30, which lie on two joists.
fn on_one_board(bearers: u32, cisterns: &[(f64, f64, f64)]) -> OnPlatform {
    let length_mm = 60 + 600 * (bearers - 1);
    let mut drawn = String::new();
    for (number, (left_mm, length_mm, litres)) in cisterns.iter().enumerate() {
        write!(
            drawn,
            r#"(id: "cistern-{number}", role: Storage, at: ({left_mm}, 2000), length: {length_mm}, width: 500, height: 600,
                rim_volume: {litres}, behind: 0, empty_mass: 0),"#
        )
        .expect("written");
    }
    let text = format!(
        r#"(format: 1,
        building: (joists: (top: 1882, first: -300, spacing: 600, count: 2, breadth: 47, depth: 220, lie: Along,
            kind: Joist, grade: C24, span: 4000, span_from: -1000, ceiling_load: 0.25, storage_load: 0.25,
            service_class: Covered)),
        platforms: [(id: "platform", at: (0, 2000), length: {length_mm}, depth: 900, behind: 0,
            board: (material: MarinePly, thickness: 18, class: F20E40),
            bearers: (count: {bearers}, spacing: 600, first: 30, breadth: 47, depth: 100, lie: EndOn, grade: C16))],
        cisterns: [{drawn}])"#
    );
    LoadPath::of(&Site::of(&whole(&text))).platforms.swap_remove(0)
}

fn board(on: &OnPlatform) -> &[Member] {
    on.board.as_ref().expect("asked").as_ref().expect("told")
}

fn greatest_moment_n_m(on: &OnPlatform) -> f64 {
    board(on).iter().map(|strip| strip.check.strip.greatest_moment().1.abs()).fold(0.0, f64::max)
}

fn deepest_m(on: &OnPlatform) -> f64 {
    board(on).iter().map(|strip| strip.check.at_once.down.value).fold(0.0, f64::max)
}

/// What all that stands on the platform, full, brings to each bearer, and to each joist, N.
fn from_above_n(on: &OnPlatform) -> [Vec<f64>; 2] {
    [&on.bearers, &on.joists].map(|members| {
        let members = members.as_ref().expect("asked").as_ref().expect("told");
        members.iter().filter(|member| member.alone.is_none()).map(|member| member.from_above_n).collect()
    })
}

/// Over two equal spans 3/8, 10/8 and 3/8 of what a span bears come on the supports (textbook), in however many cisterns.
#[test]
fn two_cisterns_side_by_side_bear_down_like_one_of_their_length() {
    let one = |litres: f64| on_one_board(3, &[(30.0, 1200.0, litres)]);
    let two = |litres: f64| on_one_board(3, &[(30.0, 600.0, litres / 2.0), (630.0, 600.0, litres / 2.0)]);
    for (one, two) in from_above_n(&one(160.0)).iter().flatten().zip(from_above_n(&two(160.0)).iter().flatten()) {
        near(*two, *one, 1e-9, "from above, N");
    }
    let middle_n = |on: &OnPlatform| from_above_n(on)[0][1];
    let span_n = 80.0 * STANDARD_GRAVITY_M_S2;
    near(middle_n(&two(320.0)) - middle_n(&two(160.0)), 1.25 * span_n, 1e-9, "on the middle bearer, N");
    let hardest = |on: &OnPlatform| {
        let joists = on.joists.as_ref().expect("asked").as_ref().expect("told");
        on.hardest_worked(joists).expect("a joist").check.permanent.bending.value
    };
    near(hardest(&two(160.0)), hardest(&one(160.0)), 1e-9, "bending of the joist");
}

/// Parted over a span: M = q L² / 8 and 5 q L⁴ / 384 E I, of which either alone makes less.
#[test]
fn two_cisterns_in_one_span_bend_the_board_together() {
    let two = |litres: f64| on_one_board(2, &[(30.0, 300.0, litres), (330.0, 300.0, litres)]);
    let more_n_m2 = 40.0 * STANDARD_GRAVITY_M_S2 / (0.3 * 0.5);
    let more_n_m = greatest_moment_n_m(&two(80.0)) - greatest_moment_n_m(&two(40.0));
    near(more_n_m, more_n_m2 * SPAN_M.powi(2) / 8.0, 1e-6, "moment, N m");
    let bending_n_m2 = board(&two(40.0))[0].check.piece.stiffness().bending_n_m2;
    let more_m = deepest_m(&two(80.0)) - deepest_m(&two(40.0));
    near(more_m, 5.0 * more_n_m2 * SPAN_M.powi(4) / 384.0 / bending_n_m2, 1e-3, "sag, m");
}

/// Parted a quarter of the way along two spans: M = −q L² / 8 over the middle bearer, as under one cistern.
#[test]
fn two_cisterns_over_two_spans_bend_the_board_together() {
    let one = on_one_board(3, &[(30.0, 1200.0, 240.0)]);
    let two = on_one_board(3, &[(30.0, 300.0, 60.0), (330.0, 900.0, 180.0)]);
    near(greatest_moment_n_m(&two), greatest_moment_n_m(&one), 1e-9, "moment, N m");
}

/// A span by itself sinks by 5 q L⁴ / 384 E I, and by q L⁴ / 185 E I where the next one is full as well (textbook). The
/// board beyond, which lifts off, holds it up a little.
#[test]
fn a_full_cistern_beside_an_empty_one_is_judged_too() {
    let two = on_one_board(3, &[(30.0, 600.0, 120.0), (630.0, 600.0, 120.0)]);
    let pressed_n_m2 = 120.0 * STANDARD_GRAVITY_M_S2 / (0.6 * 0.5);
    let bending_n_m2 = board(&two)[0].check.piece.stiffness().bending_n_m2;
    let by_itself_m = 5.0 * pressed_n_m2 * SPAN_M.powi(4) / 384.0 / bending_n_m2;
    let deepest_m = deepest_m(&two);
    assert!((0.9 * by_itself_m..1.05 * by_itself_m).contains(&deepest_m), "{deepest_m}, by itself {by_itself_m}");
    let deepest = board(&two).iter().max_by(|a, b| a.check.at_last.down.value.total_cmp(&b.check.at_last.down.value));
    let words = deepest.and_then(Member::filled_words).expect("one alone");
    assert!(words.contains("cistern") && words.contains("empty"), "{words}");
}
