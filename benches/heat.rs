//! How long it takes to reckon heat for the largest example, and for many times its pipes.
//!
//! Aims: under 500 µs for the largest example together with timber; no worse than n log n with the pipes.

use criterion::{Criterion, criterion_group, criterion_main};
use loftwright::heat::{Warmth, day::Day};
use loftwright::measure::Site;
use loftwright::scene::{self, Marks};

const LARGEST: &str = include_str!("../examples/feed_and_expansion.loft.ron");

fn heat(criterion: &mut Criterion) {
    let layout = loftwright::file::parse(LARGEST, "feed_and_expansion").expect("the example reads");
    let site = Site::of(&layout);
    criterion.bench_function("warmth of the largest example", |bencher| {
        bencher.iter(|| Warmth::of(std::hint::black_box(&site)));
    });
    let day = Day {
        capacity_j_k: 227.0 * 4187.0,
        to_loft_w_k: 1.2,
        loft_c: (18.0, 35.0),
        to_room_w_k: 1.0,
        room_c: 24.0,
        drawn_j_k: 250.0 * 4187.0,
        make_up_c: 16.0,
    };
    criterion.bench_function("a cistern through a summer's day", |bencher| {
        bencher.iter(|| std::hint::black_box(&day).settled());
    });
    let warmth = Warmth::of(&site);
    let findings = loftwright::finding::Findings::default();
    criterion.bench_function("the drawing with warmth over it", |bencher| {
        bencher.iter(|| {
            let mut scene = scene::draw(&site, &findings, &Marks::none());
            scene::draw_warmth(&mut scene, &site, &warmth);
            scene
        });
    });
}

criterion_group!(benches, heat);
criterion_main!(benches);
