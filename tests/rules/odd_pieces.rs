//! Pipes drawn in several runs: where one ends and the next begins is for the drawing alone.

use loftwright::measure::Have;

use super::drawn_from::layout;
use super::judged::{BREACH, MEETS, findings};
use super::judged_text::verdict;

/// A loft over 2400, through which cold pipes of 15 mm copper run level at 3000.
fn in_a_cold_loft(runs: &str) -> String {
    let runs = runs.replace("COLD,", "service: ColdDistribution, material: Copper, size: 15, fittings: [],");
    format!(
        r#"building: (ceiling: (underside: 2388, thickness: 12)),
        climate: (loft_winter_low: -6, main_winter: 5, frost_lasts: 6),
        runs: [{runs}]"#
    )
}

/// Lagged but for so much at its beginning and at its end, mm.
fn lagged(length_mm: u32, bare_mm: [u32; 2]) -> String {
    let ([from, to], thick) = ([bare_mm[0], length_mm - bare_mm[1]], 40);
    format!("insulation: [(from: {from}, to: {to}, thickness: {thick}, kind: MineralWool)]")
}

#[test]
fn a_bare_stretch_that_a_joint_cuts_in_two_freezes_as_one() {
    const FROST: &str = "loft-pipe-freezes-too-soon";
    let in_two = |first_mm: u32, second_mm: u32| {
        let (first, second) = (lagged(1000, [0, first_mm]), lagged(1000, [second_mm, 0]));
        verdict(
            FROST,
            &in_a_cold_loft(&format!(
                r#"(id: "a", COLD, from: Onward((0, 3000)), to: Open((1000, 3000)), {first}),
                (id: "b", COLD, from: Tee("a", 1000), to: Onward((2000, 3000)), {second})"#
            )),
        )
    };
    assert_eq!([in_two(0, 0), in_two(30, 10), in_two(30, 30), in_two(0, 60)], [MEETS, MEETS, BREACH, BREACH]);
    // A branch bare for so far, from the middle of so long a bare stretch, and beyond it another run.
    let teed = |bare_mm: u32, branch_mm: u32, beyond_mm: u32| {
        let (from, to) = (500 - bare_mm / 2, 500 + bare_mm / 2);
        let (branch, beyond) = (lagged(200, [branch_mm, 0]), lagged(1000, [beyond_mm, 0]));
        let branch = if branch_mm == 0 { lagged(200, [0, 0]) } else { branch };
        verdict(
            FROST,
            &in_a_cold_loft(&format!(
                r#"(id: "a", COLD, from: Onward((0, 3000)), to: Onward((1000, 3000)), insulation: [
                    (from: 0, to: {from}, thickness: 40, kind: MineralWool),
                    (from: {to}, to: 1000, thickness: 40, kind: MineralWool)]),
                (id: "b", COLD, from: Tee("a", 500), to: Open((500, 3200)), {branch}),
                (id: "c", COLD, from: Tee("b", 200), to: Onward((1500, 3200)), {beyond})"#
            )),
        )
    };
    assert_eq!([teed(40, 0, 0), teed(40, 20, 0), teed(40, 40, 0), teed(60, 0, 0)], [MEETS, MEETS, BREACH, BREACH]);
    // In the branch itself nothing is bare where the next begins.
    assert_eq!(teed(40, 10, 40), MEETS);
    // A short piece of which all is bare, between two that are lagged up to it.
    let piece = |length_mm: u32, more_mm: u32| {
        let (end, beyond) = (1000 + length_mm, 2000 + length_mm);
        let (before, after) = (lagged(1000, [0, 0]), lagged(1000, [more_mm, 0]));
        verdict(
            FROST,
            &in_a_cold_loft(&format!(
                r#"(id: "a", COLD, from: Onward((0, 3000)), to: Open((1000, 3000)), {before}),
                (id: "b", COLD, from: Tee("a", 1000), to: Open(({end}, 3000)), insulation: []),
                (id: "c", COLD, from: Tee("b", {length_mm}), to: Onward(({beyond}, 3000)), {after})"#
            )),
        )
    };
    assert_eq!([piece(40, 0), piece(60, 0), piece(40, 20)], [MEETS, BREACH, BREACH]);
}

/// Water comes to the bare pipe by 400 mm of one way and by 800 of another: whichever is drawn first, the nearer tells.
#[test]
fn how_far_a_pipe_is_lagged_is_told_by_the_shortest_way() {
    let lagged = "insulation: [(from: 0, to: 800, thickness: 25, kind: PolyethyleneFoam)]";
    let runs = [
        format!(
            r#"(id: "hot", service: HotDistribution, from: Port("cylinder", "draw-off"), to: Onward((1225, 1700)), {lagged})"#
        ),
        format!(
            r#"(id: "short", service: HotDistribution, from: Tee("hot", 200), to: Onward((1425, 1100)), {lagged})"#
        ),
        r#"(id: "ring", service: HotDistribution, from: Tee("short", 200), via: [(1425, 1700)], to: Tee("hot", 800),
            insulation: [])"#
            .to_owned(),
    ];
    let mut orders = vec![runs.clone(), runs];
    orders[1].reverse();
    for order in orders {
        let layout = layout(&format!(
            r#"cylinders: [(id: "cylinder", at: (1000, 0), diameter: 450, height: 900)], runs: [{}]"#,
            order.join(", ")
        ));
        let reading = findings(&layout, "cylinder-pipe-uninsulated", "hot").swap_remove(0).reading;
        assert!(matches!(reading.have, Have::Amount(mm, _) if mm.value == 400.0), "{:?} of {order:?}", reading.have);
    }
}
