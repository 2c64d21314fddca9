//! What is not told is neither the better nor the worse case: the verdict waits where it hangs on that, and only there.

use loftwright::layout::Layout;
use loftwright::rules::Verdict;

use super::judged::verdicts;
use super::judged_text::verdict;
use super::odd_vents::{changed, sound};

#[test]
fn an_overflow_waits_for_its_dip_tube_where_that_decides() {
    // The valve's outlet 34.1 mm over the invert: without a dip tube the water comes to 29.6 mm over it, with one to 36.4.
    let low = ("float_valve: (shank: Left(500), outlet: 510,", "float_valve: (shank: Left(464), outlet: 474,");
    let tube = "            dip_tube: EndsAt(380),\n";
    let keeps_up = |passages: &[(&str, &str)]| verdicts(&sound(passages), "overflow-cannot-keep-up", "cistern");
    assert_eq!(keeps_up(&[low]), [Verdict::Breach]);
    assert_eq!(keeps_up(&[low, (tube, "dip_tube: Missing,")]), [Verdict::Meets]);
    assert_eq!(keeps_up(&[low, (tube, "")]), [Verdict::Unknown]);
    // With the outlet higher it meets with a tube and without one.
    assert_eq!(keeps_up(&[(tube, "")]), [Verdict::Meets]);
}

#[test]
fn a_vent_in_frost_waits_for_the_water_line_where_only_its_upper_part_is_bare() {
    let frost = ("frost_lasts: 8,", "frost_lasts: 12,");
    let lagging = "insulation: [(from: 0, to: 3900, thickness: 25, kind: PolyethyleneFoam)],";
    let to_the_base = (lagging, "insulation: [(from: 0, to: 2000, thickness: 25, kind: PolyethyleneFoam)],");
    let bare = (lagging, "insulation: [],");
    let line = ("            water_line: 410,\n", "");
    let lasts = |passages: &[(&str, &str)]| verdicts(&sound(passages), "loft-pipe-freezes-too-soon", "open-vent");
    assert_eq!(lasts(&[frost, to_the_base]), [Verdict::Meets]);
    assert_eq!(lasts(&[frost, to_the_base, line]), [Verdict::Unknown]);
    // What is below the cistern's base is full wherever the water stands.
    assert_eq!(lasts(&[frost, bare, line]), [Verdict::Breach]);
    assert_eq!(lasts(&[line]), [Verdict::Meets]);
}

#[test]
fn what_is_estimated_of_a_cylinder_is_no_more_exact_in_its_reheat() {
    let size = ("diameter: 450, height: 900,", "diameter: 450, height: 1050,");
    let hotter = ("stored_temperature: 60,", "stored_temperature: 62,");
    let reference = "            reference: \"7\", grade: G3, coil: false,";
    let reheat = |reference_8: &str| {
        let layout = changed("sound_direct", &[size, hotter, (reference, reference_8)]);
        verdicts(&layout, "reheat-too-slow", "cylinder")
    };
    // 144 L take 3.09 h; an estimate of 139 L, 2.99 h.
    assert_eq!(reheat("reference: \"8\", grade: G3, coil: false,"), [Verdict::Breach]);
    assert_eq!(reheat("grade: G3, coil: false,"), [Verdict::Marginal]);
}

#[test]
fn of_a_coil_that_nobody_has_told_of_both_capacities_count() {
    let less = ("rim_volume: 230, water_volume: 159,", "rim_volume: 168, water_volume: 115,");
    let size = ("diameter: 450, height: 900,", "diameter: 400, height: 1050,");
    let enough = |reference_3: &str| {
        let reference = ("reference: \"7\", grade: G3, coil: false,", reference_3);
        verdicts(&changed("sound_direct", &[less, size, reference]), "storage-less-than-cylinder", "cistern")
    };
    // By the table 114 L with a coil and 116 L without.
    assert_eq!(enough("reference: \"3\", grade: G3, coil: true,"), [Verdict::Meets]);
    assert_eq!(enough("reference: \"3\", grade: G3, coil: false,"), [Verdict::Breach]);
    assert_eq!(enough("reference: \"3\", grade: G3,"), [Verdict::Marginal]);
}

#[test]
fn a_drain_cock_serves_between_two_valves_and_not_before_the_only_one() {
    let fittings = "fittings: [(kind: GateValve, at: 500), (kind: DrainCock, at: 2840)],";
    let drained =
        |fittings_now: &str| verdicts(&sound(&[(fittings, fittings_now)]), "cold-feed-without-drain", "cold-feed");
    let (gate, cock, lever) =
        ("(kind: GateValve, at: 500)", "(kind: DrainCock, at: 2840)", "(kind: LeverValve, at: 2960)");
    assert_eq!(drained(&format!("fittings: [{gate}, {cock}, {lever}],")), [Verdict::Meets]);
    assert_eq!(drained(&format!("fittings: [{cock}, {lever}],")), [Verdict::Breach]);
}

#[test]
fn a_drop_of_the_length_that_needs_no_clip_needs_none_wherever_it_is_drawn() {
    let drop_from = |tap_mm: f64, drop_mm: f64| {
        let top_mm = tap_mm + drop_mm;
        let text = format!(
            r#"outlets: [(id: "bath", kind: Bath, at: (-40, {tap_mm}))],
            runs: [(id: "cold", service: ColdDistribution, material: Copper, size: 22,
                clips: (level: 1800, upright: 2401), from: Onward((500, {top_mm})), via: [(0, {top_mm})],
                to: Port("bath", "cold"), fittings: [])]"#
        );
        verdict("clips-too-far-apart-upright", &text)
    };
    for tenths in 0..40 {
        let tap_mm = 1000.0 + f64::from(tenths) / 10.0;
        assert_eq!(drop_from(tap_mm, 300.0), None, "{tap_mm}");
        assert_eq!(drop_from(tap_mm, 300.2), Some(Verdict::Breach), "{tap_mm}");
    }
}

#[test]
fn joists_are_not_asked_for_a_platform_that_lies_beyond_them() {
    let parts = |x_mm: f64| {
        let layout: Layout = changed("sound_indirect", &[]);
        let mut layout = layout;
        layout.platforms[0].at.x = loftwright::units::Length::mm(x_mm);
        layout.cisterns[0].at.x = loftwright::units::Length::mm(x_mm + 150.0);
        verdicts(&layout, "joist-span-too-long", layout.platforms[0].id.as_str())
    };
    assert_eq!(parts(20_000.0), []);
    assert_eq!(parts(1500.0), [Verdict::Meets]);
}
