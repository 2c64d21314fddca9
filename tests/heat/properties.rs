//! What must hold for any numbers: more insulation never loses more, a hotter loft never cools a cistern.

use loftwright::catalogue::Insulant;
use loftwright::heat::circulation::Stub;
use loftwright::heat::day::{self, Day};
use loftwright::heat::frost::{Frost, HALF, Tube};
use loftwright::heat::lumped;
use loftwright::heat::pipe_loss::Cover;
use loftwright::heat::reheat::{self, Coil, Store};
use loftwright::heat::{PipeLoss, Warmth, readings, standing};
use loftwright::layout::Id;
use loftwright::measure::{Have, Site};
use loftwright::units::Size;
use proptest::prelude::*;

use super::generated::layouts;

fn cover(outside_m: f64, thickness_m: f64, film_w_m2_k: f64) -> Cover {
    Cover { outside_m, thickness_m, conductivity_w_m_k: 0.035, film_w_m2_k }
}

fn days() -> impl Strategy<Value = Day> {
    (50e3..3e6, 0.0..20.0, (5.0..25.0, 0.0..30.0), 0.0..5.0, 15.0..28.0, 0.0..2e6, 5.0..22.0).prop_map(
        |(capacity_j_k, to_loft_w_k, (low, swing), to_room_w_k, room_c, drawn_j_k, make_up_c)| Day {
            capacity_j_k,
            to_loft_w_k,
            loft_c: (low, low + swing),
            to_room_w_k,
            room_c,
            drawn_j_k,
            make_up_c,
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, failure_persistence: None, ..ProptestConfig::default() })]

    /// Tubes of 8 mm and more lie above the critical radius of λ/h = 0.035/9 = 3.9 mm.
    #[test]
    fn thicker_insulation_never_loses_more(outside in 0.008..0.06, thin in 0.0..0.1, more in 0.0..0.1, film in 9.0..12.0) {
        let (thin, thick) = (cover(outside, thin, film), cover(outside, thin + more, film));
        prop_assert!(thick.loss_w_m(60.0, 20.0) <= thin.loss_w_m(60.0, 20.0) * (1.0 + 1e-12));
        prop_assert!(thick.loss_w_m(-6.0, 20.0) < 0.0);
    }

    #[test]
    fn a_thicker_cylinder_jacket_never_loses_more(litres in 50.0..500.0, thin in 0.0..100.0, more in 0.0..100.0) {
        for kind in [standing::Cover::Foam, standing::Cover::LooseJacket] {
            let loss = |mm| standing::by_thickness_kwh_day(litres, kind, mm);
            prop_assert!(loss(thin + more) <= loss(thin));
        }
    }

    #[test]
    fn a_hotter_loft_never_makes_a_colder_cistern(day in days(), hotter in 0.0..15.0) {
        let hot = Day { loft_c: (day.loft_c.0, day.loft_c.1 + hotter), ..day };
        let (cool_curve, hot_curve) = (day.settled(), hot.settled());
        for (cool, hot) in cool_curve.iter().zip(&hot_curve) {
            prop_assert!(hot.celsius >= cool.celsius - 1e-9);
        }
        prop_assert!(day::hours_above(&hot_curve, 20.0) >= day::hours_above(&cool_curve, 20.0) - 1e-9);
    }

    #[test]
    fn a_cistern_stays_between_what_acts_on_it(day in days()) {
        let coldest = day.loft_c.0.min(day.room_c).min(day.make_up_c);
        let hottest = day.loft_c.1.max(day.room_c).max(day.make_up_c);
        for moment in day.settled() {
            prop_assert!(moment.celsius >= coldest - 1e-9 && moment.celsius <= hottest + 1e-9);
        }
        let above = day::hours_above(&day.settled(), 20.0);
        prop_assert!((0.0..=24.0 + 1e-9).contains(&above));
    }

    #[test]
    fn more_cold_water_drawn_never_warms_a_cistern_that_is_warmer(day in days(), more in 0.0..1e6) {
        let fresh = Day { make_up_c: day.loft_c.0.min(day.room_c) - 1.0, ..day };
        let drawn = Day { drawn_j_k: fresh.drawn_j_k + more, ..fresh };
        prop_assert!(day::peak_c(&drawn.settled()) <= day::peak_c(&fresh.settled()) + 1e-9);
    }

    #[test]
    fn better_cover_never_freezes_sooner(outside in 0.01..0.05, thin in 0.0..0.1, more in 0.0..0.1, water in 0.5..20.0, air in -20.0..-0.5) {
        let tube = Tube { outside_m: outside, bore_m: outside * 0.9, wall_kg_m3: 8900.0, wall_j_kg_k: 385.0 };
        let frost = Frost { water_c: water, air_c: air };
        let time = |thickness| tube.to_ice_s(cover(outside, thickness, 9.0).resistance_m_k_w(), &frost, HALF);
        prop_assert!(time(thin + more).expect("frost") >= time(thin).expect("frost") * (1.0 - 1e-12));
        let colder = Frost { air_c: air - 1.0, ..frost };
        let r = cover(outside, thin, 9.0).resistance_m_k_w();
        prop_assert!(tube.to_ice_s(r, &colder, HALF) < tube.to_ice_s(r, &frost, HALF));
    }

    #[test]
    fn the_thickness_found_gives_the_time_wanted(outside in 0.01..0.05, hours in 1.0..24.0, water in 0.5..10.0, air in -10.0..-1.0) {
        let tube = Tube { outside_m: outside, bore_m: outside * 0.9, wall_kg_m3: 8900.0, wall_j_kg_k: 385.0 };
        let frost = Frost { water_c: water, air_c: air };
        if let Some(thickness) = tube.thickness_m(0.035, 9.0, &frost, hours * 3600.0) {
            let r = cover(outside, thickness, 9.0).resistance_m_k_w();
            let time = tube.to_ice_s(r, &frost, HALF).expect("frost") / 3600.0;
            prop_assert!(time >= hours * (1.0 - 1e-9), "{time} h");
            prop_assert!(thickness == 0.0 || time <= hours * 1.001, "{time} h");
        }
    }

    #[test]
    fn nothing_freezes_without_frost(water in 0.0..20.0, air in 0.0..20.0) {
        let tube = Tube { outside_m: 0.015, bore_m: 0.0136, wall_kg_m3: 8900.0, wall_j_kg_k: 385.0 };
        prop_assert_eq!(tube.to_ice_s(1.0, &Frost { water_c: water, air_c: air }, HALF), None);
    }

    #[test]
    fn more_power_or_more_coil_never_takes_longer(kg in 50.0..400.0, loss in 0.0..5.0, power in 1000.0..20e3, more in 0.0..5000.0) {
        let store = Store { capacity_j_k: kg * 4187.0, loss_w_k: loss, room_c: 20.0 };
        let by_power = |watts| reheat::by_power_s(&store, watts, 10.0, 60.0).expect("it gets there");
        prop_assert!(by_power(power + more) <= by_power(power));
        let by_coil = |ua, flow_w_k| {
            reheat::by_coil_s(&store, &Coil { conductance_w_k: ua, primary_c: 80.0, flow_w_k }, 10.0, 60.0)
        };
        let (ua, flow) = (power / 50.0, Some(power / 20.0));
        prop_assert!(by_coil(ua + more / 50.0, None).expect("there") <= by_coil(ua, None).expect("there"));
        // A flow that cools on its way gives less than one that does not.
        prop_assert!(by_coil(ua, flow).is_none_or(|seconds| seconds >= by_coil(ua, None).expect("there")));
    }

    #[test]
    fn a_store_is_never_heated_above_its_primary(primary in 20.0..80.0) {
        let store = Store { capacity_j_k: 5e5, loss_w_k: 1.5, room_c: 20.0 };
        let coil = Coil { conductance_w_k: 250.0, primary_c: primary, flow_w_k: None };
        prop_assert_eq!(reheat::by_coil_s(&store, &coil, 10.0, primary), None);
        prop_assert!(reheat::by_power_s(&store, 100.0, 10.0, 90.0).is_none(), "100 W do not hold 70 K");
    }

    #[test]
    fn stagnant_water_loses_less_than_circulating(length in 0.05..6.0, loss in 0.05..1.5, along in 0.001..0.1, hotter in 1.0..60.0) {
        let stub = Stub { length_m: length, loss_w_m_k: loss, along_w_m_k: along };
        prop_assert!(stub.stagnant_w(hotter) <= stub.circulating_w(hotter));
        let longer = Stub { length_m: length * 1.5, ..stub };
        prop_assert!(longer.stagnant_w(hotter) >= stub.stagnant_w(hotter));
    }

    #[test]
    fn time_and_temperature_are_each_others_inverse(from in 5.0..60.0_f64, around in -10.0..40.0_f64, hours in 0.1..200.0_f64) {
        let (capacity, ua) = (227.0 * 4187.0, 2.3);
        let then = lumped::after_c(from, around, capacity, ua, hours * 3600.0);
        prop_assume!((from - around).abs() > 0.1);
        let back = lumped::until_s(from, then, around, capacity, ua).expect("it went there") / 3600.0;
        prop_assert!((back - hours).abs() < 1e-6 * hours.max(1.0));
    }

    #[test]
    fn every_figure_of_any_layout_is_a_number(layout in layouts()) {
        let site = Site::of(&layout);
        let warmth = Warmth::of(&site);
        let measures = [
            readings::cistern_in_summer,
            readings::cistern_in_frost,
            readings::pipes_in_frost,
            readings::reheat,
            readings::standing_loss,
            readings::one_pipe_circulation,
        ];
        for reading in measures.iter().flat_map(|measure| measure(&warmth)) {
            if let Have::Amount(value, _) = reading.have {
                prop_assert!(value.value.is_finite() && value.value >= -50.0, "{reading:?}");
            }
        }
        for loss in warmth.hot_pipes.iter().filter_map(|pipe| pipe.loss.as_ref().ok()) {
            prop_assert!(loss.value.whole_w.is_finite() && loss.value.bare_w.is_finite());
        }
        for cistern in &warmth.cisterns {
            let frost = cistern.frost.as_ref().map_or_else(|_| Vec::new(), |frost| frost.value.curve());
            prop_assert!(frost.iter().all(|moment| moment.celsius.is_finite()), "{frost:?}");
        }
    }

    #[test]
    fn thicker_lagging_never_loses_more_on_any_layout(layout in layouts(), more in 0.0..80.0) {
        let mut thicker = layout.clone();
        for lagging in thicker.runs.iter_mut().filter_map(|run| run.insulation.as_mut()).flatten() {
            lagging.kind = Some(Insulant::RubberFoam);
            lagging.thickness = lagging.thickness.map(|thickness| Size::mm(thickness.to_mm() + more));
        }
        let mut alike = layout;
        for lagging in alike.runs.iter_mut().filter_map(|run| run.insulation.as_mut()).flatten() {
            lagging.kind = Some(Insulant::RubberFoam);
        }
        // The critical radius of rubber foam at this film is 4 mm: thinner tubes may lose more when they are lagged.
        let is_thick = |id: &Id| alike.runs.iter().any(|run| run.id == *id && run.size.is_some_and(|size| size.to_mm() > 8.0));
        let (thin, thick) = (Warmth::of(&Site::of(&alike)), Warmth::of(&Site::of(&thicker)));
        for (a, b) in thin.hot_pipes.iter().zip(&thick.hot_pipes).filter(|(pipe, _)| is_thick(&pipe.id)) {
            if let (Ok(a), Ok(b)) = (&a.loss, &b.loss) {
                // A run may lose heat below and gain it in a hot loft; both have to shrink, and would cancel in the sum.
                let exchanged = |loss: &PipeLoss| -> f64 {
                    loss.stretches.iter().map(|(stretch, per_m_w)| per_m_w.abs() * stretch.length_m()).sum()
                };
                prop_assert!(exchanged(&b.value) <= exchanged(&a.value) * (1.0 + 1e-9) + 1e-9);
            }
        }
    }
}
