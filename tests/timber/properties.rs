//! What holds for every load path: forces balance, more depth never bends more, more weight never relieves. And one
//! load path worked by hand.

use loftwright::file;
use loftwright::finding::Findings;
use loftwright::layout::{Layout, LoadDuration};
use loftwright::measure::{Have, Site, platform};
use loftwright::timber::{Load, LoadPath, Member, OnPlatform, Strip};
use loftwright::units::{Mass, STANDARD_GRAVITY_M_S2, Size};
use proptest::collection::vec;
use proptest::prelude::*;

fn layout(path: &str) -> Layout {
    file::read(std::path::Path::new(path)).unwrap_or_else(|error| panic!("{error}\n{}", error.caret()))
}

fn sound() -> Layout {
    layout("examples/sound_indirect.loft.ron")
}

fn first(layout: &Layout) -> OnPlatform {
    LoadPath::of(&Site::of(layout)).platforms.swap_remove(0)
}

fn joists(on: &OnPlatform) -> &[Member] {
    on.joists.as_ref().expect("asked").as_ref().expect("told")
}

/// What a member takes: in bending both ways, in shear both ways, and how far it sinks.
fn taken(member: &Member) -> [f64; 5] {
    let check = &member.check;
    let [permanent, long_term] = LoadDuration::ALL.map(|duration| check.shares(duration));
    [
        permanent.bending.value,
        long_term.bending.value,
        permanent.shear.value,
        long_term.shear.value,
        check.at_last.down.value,
    ]
}

fn all_taken(on: &OnPlatform) -> Vec<[f64; 5]> {
    on.known().flat_map(|(_, members)| members.iter().map(taken)).collect()
}

fn strips() -> impl Strategy<Value = (Vec<f64>, Vec<Load>)> {
    let supports = vec(0.2..2.0_f64, 1..6).prop_map(|gaps| {
        let mut places = vec![0.0];
        for gap in gaps {
            places.push(places[places.len() - 1] + gap);
        }
        places
    });
    let load = (0.0..1.0_f64, 0.0..1.0_f64, 1.0..2000.0_f64, any::<bool>());
    (supports, vec(load, 1..6)).prop_map(|(supports, loads)| {
        let length = supports[supports.len() - 1];
        let placed = |(a, b, force, is_point): (f64, f64, f64, bool)| {
            if is_point {
                return Load::Point { at_m: a * length, force_n: force };
            }
            Load::Spread { from_m: a.min(b) * length, to_m: a.max(b) * length, force_n_per_m: force }
        };
        (supports, loads.into_iter().map(placed).collect())
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn reactions_balance_the_load_and_never_pull((supports, loads) in strips()) {
        // Between its outer supports nothing can tip.
        let strip = Strip::over(&supports, &loads).expect("supported");
        let total: f64 = loads.iter().map(Load::total_n).sum();
        let moment: f64 = loads.iter().map(Load::about_origin_n_m).sum();
        let pushes: f64 = strip.reactions_n.iter().sum();
        let about: f64 = strip.reactions_n.iter().zip(&supports).map(|(force, place)| force * place).sum();
        prop_assert!((pushes - total).abs() <= 1e-9 * total);
        prop_assert!((about - moment).abs() <= 1e-9 * total * supports[supports.len() - 1]);
        prop_assert!(strip.reactions_n.iter().all(|force| *force >= -1e-6 * total), "{:?}", strip.reactions_n);
    }

    #[test]
    fn the_greatest_moment_is_the_greatest_of_all((supports, loads) in strips(), at in 0.0..1.0_f64) {
        let strip = Strip::over(&supports, &loads).expect("supported");
        let (place, greatest) = strip.greatest_moment();
        prop_assert!((strip.moment_n_m(place) - greatest).abs() <= 1e-9 * greatest.abs());
        let (low, high) = strip.reach_m();
        prop_assert!(strip.moment_n_m(low + at * (high - low)).abs() <= greatest.abs() * (1.0 + 1e-9));
    }

    #[test]
    fn a_deeper_joist_never_bends_more(shallow_mm in 100.0..200.0_f64, more_mm in 0.1..100.0_f64) {
        let deep = |depth_mm: f64| {
            let mut layout = sound();
            layout.building.joists.as_mut().expect("drawn").depth = Size::mm(depth_mm);
            first(&layout)
        };
        let (shallow, deeper) = (deep(shallow_mm), deep(shallow_mm + more_mm));
        for (before, after) in joists(&shallow).iter().zip(joists(&deeper)) {
            for (before, after) in taken(before).into_iter().zip(taken(after)) {
                prop_assert!(after <= before, "{after} > {before}");
            }
        }
    }

    #[test]
    fn a_heavier_cistern_never_relieves(light_kg in 1.0..200.0_f64, more_kg in 0.1..200.0_f64) {
        let heavy = |kilograms: f64| {
            let mut layout = sound();
            layout.cisterns[0].empty_mass = Some(Mass::try_kg(kilograms).expect("a mass"));
            all_taken(&first(&layout))
        };
        for (before, after) in heavy(light_kg).into_iter().flatten().zip(heavy(light_kg + more_kg).into_iter().flatten()) {
            prop_assert!(after >= before, "{after} < {before}");
        }
    }

    #[test]
    fn wherever_the_span_begins_the_joists_bear_the_same_weight(from_mm in -2300.0..-480.0_f64) {
        let mut layout = sound();
        layout.building.joists.as_mut().expect("drawn").span_from = Some(loftwright::units::Length::mm(from_mm));
        let borne = |layout: &Layout| -> f64 {
            joists(&first(layout)).iter().flat_map(|joist| &joist.check.strip.on_n).sum()
        };
        let (here, there) = (borne(&sound()), borne(&layout));
        prop_assert!((here / there - 1.0).abs() < 1e-9);
    }
}

/// The joists together bear what stands on the platform and what hangs on them: nothing is lost on the way.
#[test]
fn the_joists_bear_what_the_platform_is_said_to_carry() {
    let layout = sound();
    let site = Site::of(&layout);
    let Have::Amount(carried, _) = platform::load(&site)[0].have else { panic!("told") };
    let on = first(&layout);
    let borne_n: f64 = joists(&on).iter().flat_map(|joist| &joist.check.strip.on_n).sum();
    // 1240 × 960 × 18 mm of ply at 600 kg/m³; four bearers of 47 × 100 mm over 1240 mm at 370 kg/m³ (C16).
    let platform_kg = 1.24 * 0.96 * 0.018 * 600.0 + 4.0 * 0.047 * 0.1 * 1.24 * 370.0;
    // Three joists of 47 × 147 mm at 420 kg/m³ (C24) over 2.8 m, 0.4 m apart, with 0.25 + 0.25 kN/m².
    let joists_n = 3.0 * 2.8 * (0.047 * 0.147 * 420.0 * STANDARD_GRAVITY_M_S2 + 0.4 * 500.0);
    let expected_n = (carried.value + platform_kg) * STANDARD_GRAVITY_M_S2 + joists_n;
    assert!((borne_n / expected_n - 1.0).abs() < 1e-9, "{borne_n}, expected {expected_n}");
    let from_above_kg: f64 = joists(&on).iter().map(|joist| joist.from_above_n / STANDARD_GRAVITY_M_S2).sum();
    assert!((from_above_kg / (carried.value + platform_kg) - 1.0).abs() < 1e-9);
}

/// 1000 × 500 × 600 mm to the rim is 300 kg, with 16 kg empty 3098.9 N, on joists at 100, 500 and 900 mm. Three moments:
/// M₁ = −(0.032 − 0.004) q / 1.6; the middle joist gets 0.4625 q = 2866.5 N/m over 0.5 m, in the middle of 3 m:
/// 985.3 N·m. Board 105.9 N/m²: 0.2656 of it over 0.8 m, 14.6 N·m. Joist 24.7 and ceiling 100 N/m: 140.3 N·m; storage
/// 112.5 N·m. Long-term: 1.5 × 985.3 + 1.35 × 154.9 + 1.5 × 112.5 = 1855.8 N·m; over 164 696 mm³ 11.268 N/mm², of 9.5414.
/// Permanent: 1.35 × 1140.2 = 1539.3 N·m; 9.346 N/mm², of 8.1783 (with storage 1708.1 N·m, 10.371 of 9.5414: less).
#[test]
fn the_middle_joist_of_a_small_case_is_the_one_worked_by_hand() {
    let on = first(&layout("tests/cases/joist-overstressed/breach.loft.ron"));
    let worst = on.hardest_worked(joists(&on)).expect("a joist");
    assert_eq!(worst.at_m, 0.5);
    let check = |have: f64, expected: f64| assert!((have / expected - 1.0).abs() < 1e-3, "{have}, expected {expected}");
    check(worst.check.long_term.bending.value, 11.268 / 9.5414);
    check(worst.check.permanent.bending.value, 9.346 / 8.1783);
    check(worst.check.strip.greatest_moment().1, 985.3 + 154.9 + 112.5);
}

/// The same joist in words.
#[test]
fn a_reading_tells_of_which_member_it_is() {
    let layout = layout("tests/cases/joist-overstressed/breach.loft.ron");
    let findings = Findings::of(&Site::of(&layout));
    let (_, finding) =
        findings.keyed().find(|(_, finding)| finding.rule.id == "joist-overstressed").expect("it is judged");
    let first = &finding.reading.working[0];
    assert!(first.starts_with("the joist at 500 mm, 47 × 145 mm, bears "), "{first}");
}

/// Nobody lays joists that close: their spacing was not measured but mistyped. Thicker ones would lie in one another.
#[test]
fn too_many_joists_under_a_platform_are_asked_about() {
    let mut layout = sound();
    let joists = layout.building.joists.as_mut().expect("told");
    (joists.spacing, joists.count) = (Size::try_mm(5.0).expect("a size"), 2000);
    joists.breadth = Size::try_mm(4.0).expect("a size");
    let on = first(&layout);
    let find_out = on.joists.expect("asked").expect_err("1240 mm hold 248 of them");
    assert!(find_out.contains("spacing of the timbers"), "{find_out}");
}

/// A second platform over the same joists adds its weight to theirs.
#[test]
fn joists_bear_every_platform_that_stands_on_them() {
    let alone = sound();
    let mut both = sound();
    let mut platform = both.platforms[0].clone();
    let mut cistern = both.cisterns[0].clone();
    platform.id = loftwright::layout::Id::of("second-platform");
    cistern.id = loftwright::layout::Id::of("second-cistern");
    let behind = loftwright::units::Length::mm(1100.0);
    (platform.behind, cistern.behind) = (Some(behind), Some(behind));
    both.platforms.push(platform);
    both.cisterns.push(cistern);
    let share = |layout: &Layout| {
        let on = first(layout);
        on.hardest_worked(joists(&on)).expect("a joist").check.permanent.bending.value
    };
    assert!(share(&both) > 1.3 * share(&alone));
}

/// Seen from its side a joist bears what it bears seen end-on: the case with section and depth changed for each other.
#[test]
fn joists_along_the_section_bear_what_joists_across_it_do() {
    let text = |across: &str, platform: &str, cistern: &str| {
        format!(
            "(format: 1, building: (joists: (top: 1885, count: 4, spacing: 400, breadth: 47, depth: 195, kind: Joist,
             grade: C16, span: 3000, ceiling_load: 0.25, storage_load: 0.25, service_class: Covered, {across})),
             platforms: [(id: \"platform\", board: (material: MarinePly, thickness: 18, class: F20E40), {platform})],
             cisterns: [(id: \"cistern\", role: Storage, height: 600, empty_mass: 16, {cistern})])"
        )
    };
    let bearers =
        |lie| format!("bearers: (count: 3, spacing: 300, first: 100, breadth: 47, depth: 97, grade: C16, {lie})");
    let end_on = text(
        "lie: EndOn, first: 100, span_from: -1000",
        &format!("at: (0, 2000), length: 1400, depth: 800, behind: 0, {}", bearers("lie: Along")),
        "at: (200, 2000), length: 1000, width: 500, behind: 0",
    );
    let along = text(
        "lie: Along, first: 100, span_from: -1000",
        &format!("at: (-400, 2000), length: 800, depth: 1400, behind: 700, {}", bearers("lie: EndOn")),
        "at: (-250, 2000), length: 500, width: 1000, behind: 700",
    );
    let read = |text: &str| file::parse(text, "case").unwrap_or_else(|error| panic!("{error}\n{}", error.caret()));
    let (here, turned) = (all_taken(&first(&read(&end_on))), all_taken(&first(&read(&along))));
    assert_eq!(here.len(), 1 + 3 + 4);
    for (here, turned) in here.iter().flatten().zip(turned.iter().flatten()) {
        assert!((here - turned).abs() <= 1e-9 * here.abs(), "{here}, turned {turned}");
    }
}
