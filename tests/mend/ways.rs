//! Ways that differ in kind, what is refused, held or called off, and what can be taken by itself.

use crate::level_roof::under_a_level_roof;
use crate::mended::{broken, findings, layout, mended, nothing_worse, of_rule};
use loftwright::catalogue::cisterns;
use loftwright::finding::FindingKey;
use loftwright::geom::Point;
use loftwright::layout::{Edit, Held, Id, Layout, Lock, Screen, apply};
use loftwright::mend::{
    Alternative, Change, CisternChange, Outcome, Refused, Step, Stop, Taking, Wish, alternatives, edits_of, propose,
};
use loftwright::outset::{BEGINNINGS, set_out};
use loftwright::rules::Profile;
use loftwright::units::{Length, Size};

const LOW_LOFT: &str = include_str!("../../examples/low_loft.loft.ron");
const SOUND: &str = include_str!("../../examples/sound_indirect.loft.ron");
const HEATING: &str = include_str!("../../examples/feed_and_expansion.loft.ron");
/// A roof so far over the rim asks for 150 mm more than there are.
const OVER_THE_RIM_MM: f64 = 200.0;

#[test]
fn ways_that_differ_in_kind_are_offered_and_each_clears_what_it_says() {
    let low = under_a_level_roof(layout(SOUND), OVER_THE_RIM_MM);
    let wanted = of_rule(&low, "headroom-too-low-at-float-valve");
    let wish = Wish { only: wanted.clone(), refused: Vec::new(), ..Wish::default() };
    let report = propose(&low, Profile::usual(), &wish);
    let ways = alternatives(&low, Profile::usual(), &wish, &report);
    let exchanged = |way: &Alternative, two: bool| {
        let change = way.proposals.first().and_then(|proposal| proposal.steps.first());
        match change {
            Some(Step::Change(Change::Cistern(_, CisternChange::OtherSize(_)))) => !two,
            Some(Step::Change(Change::Cistern(_, CisternChange::TwoLinked { .. }))) => two,
            _ => false,
        }
    };
    let words: Vec<Vec<&str>> = ways.iter().map(|way| way.words().collect()).collect();
    assert!(ways.iter().any(|way| exchanged(way, false)), "no lower cistern: {words:?}");
    assert!(ways.iter().any(|way| exchanged(way, true)), "no two linked cisterns: {words:?}");
    let linked = ways.iter().filter(|way| exchanged(way, true)).flat_map(|way| &way.leaves);
    assert!(linked.clone().all(|key| key.rule != "linked-cistern-without-inlet"), "{words:?}");
    for way in &ways {
        let after = way.after(&low).expect("it can be carried out");
        let now = broken(&findings(&after));
        assert!(way.clears.iter().all(|key| !now.contains(key)));
        let is_same = |cleared: &FindingKey, left: &FindingKey| {
            cleared.rule == left.rule && cleared.parts.iter().any(|part| left.parts.contains(part))
        };
        let claimed = way.clears.iter().find(|cleared| way.leaves.iter().any(|left| is_same(cleared, left)));
        assert_eq!(claimed, None, "cleared, and still to be settled");
        let was = broken(&findings(&low));
        let new: Vec<&FindingKey> = now.iter().filter(|key| !was.contains(key)).collect();
        assert!(new.iter().all(|key| way.leaves.contains(key)), "{new:?} is broken and not said to be");
    }
}

#[test]
fn two_linked_cisterns_hold_together_what_is_needed_and_water_goes_through_both() {
    let mut small = layout(SOUND);
    let cistern = &mut small.cisterns[0];
    (cistern.length, cistern.width, cistern.height) = (Size::mm(762.0), Some(Size::mm(584.0)), Size::mm(610.0));
    (cistern.rim_volume, cistern.water_volume) = (None, None);
    let wanted = of_rule(&small, "storage-too-small-for-taps");
    assert!(!wanted.is_empty());
    let wish = Wish { only: wanted, ..Wish::default() };
    let report = propose(&small, Profile::usual(), &wish);
    let ways = alternatives(&small, Profile::usual(), &wish, &report);
    let linked = ways.iter().find_map(|way| match way.proposals.first()?.steps.first()? {
        Step::Change(Change::Cistern(_, CisternChange::TwoLinked { size, .. })) => Some((way, *size)),
        _ => None,
    });
    let (way, number) = linked.expect("two linked cisterns");
    let each_l = cisterns().sizes[number].water.to_litres();
    // Of the sizes that are sold the smallest of which two hold what is asked between their own water lines and holes.
    assert_eq!(each_l, 191.0);
    let is_storage = |key: &FindingKey| key.rule == "storage-too-small-for-taps";
    assert!(way.clears.iter().any(is_storage) && !way.leaves.iter().any(is_storage), "{:?}", way.leaves);
    assert!(way.leaves.iter().all(|key| key.rule != "linked-cistern-without-inlet"), "{:?}", way.leaves);
}

/// Where a run stands upright, mm across.
fn uprights_mm(layout: &Layout, id: &str) -> Vec<f64> {
    let run = layout.runs.iter().find(|run| run.id.as_str() == id).expect("a run");
    let across = |pair: &[Point]| (pair[0].x == pair[1].x).then(|| pair[0].x.to_mm());
    run.via.windows(2).filter_map(across).collect()
}

#[test]
fn drops_that_a_moved_cistern_pushes_along_are_led_clear_of_each_other_and_of_the_cylinder() {
    let low = layout(LOW_LOFT);
    let after = mended(&low).layout;
    let (left_mm, right_mm) = after.cylinders[0].span_mm();
    for drop_mm in uprights_mm(&after, "cold-distribution") {
        assert!(!(left_mm..=right_mm).contains(&drop_mm), "through the cylinder at {drop_mm}");
        for feed_mm in uprights_mm(&after, "cold-feed") {
            assert!((drop_mm - feed_mm).abs() > 22.0, "one over the other at {feed_mm} and {drop_mm}");
        }
    }
}

#[test]
fn what_is_refused_is_not_proposed_again() {
    let low = layout(LOW_LOFT);
    let report = mended(&low);
    let refused: Vec<Refused> = report.proposals[1].steps.iter().map(Step::refused).collect();
    let again = propose(&low, Profile::usual(), &Wish { refused: refused.clone(), ..Wish::default() });
    let steps = again.proposals.iter().flat_map(|proposal| &proposal.steps);
    assert!(steps.map(Step::refused).all(|step| !refused.contains(&step)));
    nothing_worse(&low, &again);
}

#[test]
fn a_stop_ends_it_and_what_was_found_still_holds() {
    let low = layout(LOW_LOFT);
    let wish = Wish::default();
    wish.stop.pull();
    let report = propose(&low, Profile::usual(), &wish);
    assert_eq!(report.outcome, Outcome::GaveUp);
    nothing_worse(&low, &report);
}

#[test]
fn held_dimensions_stay_and_the_rest_is_mended() {
    let mut low = layout(LOW_LOFT);
    let cistern = Id::of("cistern");
    for holds in [Held::Across, Held::Level, Held::WaterLine] {
        low = apply(&low, &Edit::Hold(Lock { part: cistern.clone(), holds })).expect("holds");
    }
    let report = mended(&low);
    let held = |layout: &Layout| {
        let cistern = layout.cisterns.iter().find(|part| part.id == cistern).expect("it is there");
        (cistern.at, cistern.water_line)
    };
    assert_eq!(held(&report.layout), held(&low));
    assert!(!report.proposals.is_empty());
    nothing_worse(&low, &report);
}

#[test]
fn what_stands_alone_can_be_taken_alone() {
    let low = layout(LOW_LOFT);
    let report = mended(&low);
    let taking = Taking::of(&report, &low, Profile::usual(), &Stop::default());
    let was = broken(&findings(&low));
    for (number, with) in taking.with.iter().enumerate() {
        let (_, after) = edits_of(&report.proposals, with, &low).expect("fits");
        let now = broken(&findings(&after));
        assert!(now.iter().all(|key| was.contains(key)), "{with:?} breaks something");
        assert!(report.proposals[number].clears.iter().all(|key| !now.contains(key)), "{with:?} clears it not");
    }
    assert!(taking.with.iter().filter(|with| with.len() == 1).count() > report.proposals.len() / 2);
    let (_, after) = edits_of(&report.proposals, &taking.safe, &low).expect("fits");
    assert!(broken(&findings(&after)).len() < was.len());
}

#[test]
fn bearers_are_laid_where_there_are_none_and_what_stands_on_them_goes_up() {
    let mut bare = layout(SOUND);
    let joists_mm = bare.building.joists.as_ref().expect("joists").top.to_mm();
    bare.platforms[0].bearers = None;
    let board_mm = bare.platforms[0].board.and_then(|board| board.thickness).expect("a board").to_mm();
    // The board lies on the joists.
    let lowered = Length::mm(joists_mm + board_mm - bare.platforms[0].at.z.to_mm());
    let parts = bare.with_what_stands_on(&bare.platforms[0].id);
    bare = apply(&bare, &Edit::Shift { parts, right: Length::ZERO, up: lowered }).expect("lowers");
    // Joists farther apart than a cistern may lie on.
    bare.building.joists.as_mut().expect("joists").spacing = Size::mm(600.0);
    let only = [of_rule(&bare, "joists-too-far-apart"), of_rule(&bare, "too-few-joists")].concat();
    let was = broken(&findings(&bare));
    assert!(only.iter().any(|key| was.contains(key)), "nothing is amiss");
    let report = propose(&bare, Profile::usual(), &Wish { only: only.clone(), ..Wish::default() });
    nothing_worse(&bare, &report);
    assert_eq!(report.outcome, Outcome::Mended);
    let platform = &report.layout.platforms[0];
    let bearers = platform.bearers.as_ref().expect("bearers");
    let board_mm = platform.board.and_then(|board| board.thickness).expect("a board").to_mm();
    let foot_mm = platform.at.z.to_mm() - board_mm - bearers.depth.to_mm();
    assert!(foot_mm >= joists_mm - 1e-6, "the bearers stand {} mm in the joists", joists_mm - foot_mm);
    assert!((platform.at.z.to_mm() - report.layout.cisterns[0].at.z.to_mm()).abs() < 1e-6);
}

/// A platform 960 mm deep leaves 960 − 2 × 47 = 866 mm between its outermost bearers: 200 mm apart asks for five gaps.
#[test]
fn as_many_bearers_are_laid_as_the_profile_in_force_asks() {
    let sound = layout(SOUND);
    let close = r#"(name: "close bearers", change: {"joists-too-far-apart": (limit: 200)})"#;
    let close = Profile::parse(close).expect("a profile");
    let report = propose(&sound, &close, &Wish::default());
    assert_eq!(report.outcome, Outcome::Mended);
    let bearers = report.layout.platforms[0].bearers.as_ref().expect("bearers");
    assert_eq!((bearers.count, bearers.spacing), (6, Size::mm(866.0 / 5.0)));
}

#[test]
fn screens_are_fitted_as_fine_as_the_profile_in_force_asks() {
    let sound = layout(SOUND);
    let fine = r#"(name: "fine", change: {"lid-vent-unscreened": (limit: 0.5)})"#;
    let report = propose(&sound, &Profile::parse(fine).expect("a profile"), &Wish::default());
    assert_eq!(report.outcome, Outcome::Mended);
    assert_eq!(report.layout.cisterns[0].lid_screen, Some(Screen::Mesh(Size::mm(0.5))));
}

#[test]
fn a_cistern_is_not_moved_off_its_platform_to_spare_a_joist() {
    let mut heavy = layout(SOUND);
    let joists = heavy.building.joists.as_mut().expect("joists");
    (joists.breadth, joists.depth) = (Size::mm(38.0), Size::mm(97.0));
    let report = mended(&heavy);
    let (platform, cistern) = (&report.layout.platforms[0], &report.layout.cisterns[0]);
    let ((from, to), (left, right)) = (cistern.span_mm(), platform.span_mm());
    assert!(from >= left - 1e-6 && to <= right + 1e-6, "the cistern stands out beyond its platform");
    nothing_worse(&heavy, &report);
}

#[test]
fn all_narrow_pipes_on_the_way_of_a_vent_are_widened_at_once() {
    let narrow = |text: &str, ids: [&str; 2]| {
        let mut house = layout(text);
        for id in ids {
            let run = house.runs.iter_mut().find(|run| run.id.as_str() == id).expect("a run");
            run.size = Some(Size::mm(15.0));
        }
        house
    };
    let houses = [
        (narrow(HEATING, ["primary-vent", "primary-flow"]), "primary-vent-too-narrow"),
        (narrow(SOUND, ["open-vent", "draw-off"]), "vent-too-narrow"),
    ];
    for (house, rule) in houses {
        let only = of_rule(&house, rule);
        assert_eq!(only.len(), 1, "{rule}");
        assert!(broken(&findings(&house)).contains(&only[0]), "{rule}");
        let report = propose(&house, Profile::usual(), &Wish { only: only.clone(), ..Wish::default() });
        assert!(!broken(&findings(&report.layout)).contains(&only[0]), "{rule}: {:?}", report.left);
        nothing_worse(&house, &report);
    }
}

#[test]
fn all_narrow_pieces_of_a_cold_feed_are_widened_at_once() {
    let house = layout(
        r#"(
        format: 1,
        cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, height: 500,
            connections: [(port: "feed", on: Right(50))])],
        cylinders: [(id: "cylinder", at: (1500, 0), diameter: 400, height: 1000)],
        runs: [
            (id: "first", service: ColdFeed, material: Copper, size: 15, from: Port("cistern", "feed"), to: Open((1250, 2050))),
            (id: "second", service: ColdFeed, material: Copper, size: 15, from: Tee("first", 250), via: [(1250, 110)],
                to: Port("cylinder", "cold-inlet")),
            (id: "open-vent", service: OpenVent, material: Copper, size: 22, from: Port("cylinder", "draw-off"),
                via: [(1700, 3000), (500, 3000)], to: Open((500, 2800))),
        ],
    )"#,
    );
    let rule = "cold-feed-narrower-than-vent";
    let only = of_rule(&house, rule);
    assert_eq!(only.len(), 1);
    let report = propose(&house, Profile::usual(), &Wish { only, ..Wish::default() });
    assert!(broken(&findings(&report.layout)).iter().all(|key| key.rule != rule), "{:?}", report.left);
    let sizes: Vec<_> = report.layout.runs.iter().map(|run| run.size.expect("told").to_mm()).collect();
    assert_eq!(sizes, [22.0, 22.0, 22.0]);
    nothing_worse(&house, &report);
}

/// What lies below the frame is judged as before, so that nothing that met is left open.
#[test]
fn a_cistern_on_a_frame_is_raised_and_its_frame_with_it() {
    let beginning =
        BEGINNINGS.iter().find(|beginning| beginning.name.contains("shower upstairs")).expect("a beginning");
    let low =
        set_out(&(beginning.answers)(), Profile::usual()).unwrap_or_else(|refusal| panic!("{:?}", refusal.lines()));
    let text = r#"(name: "higher", change: {"shower-head-too-small": (limit: 1100)})"#;
    let higher = Profile::parse(text).expect("a profile");
    let report = propose(&low, &higher, &Wish::default());
    assert_eq!(report.outcome, Outcome::Mended);
    let platform = |layout: &Layout| (layout.platforms[0].at.z.to_mm(), layout.platforms[0].frame_mm());
    let ((was_mm, was_high_mm), (now_mm, now_high_mm)) = (platform(&low), platform(&report.layout));
    assert_eq!((now_mm - was_mm, now_high_mm - was_high_mm), (100.0, 100.0));
}
