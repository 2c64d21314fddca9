//! How long a take-off, a cutting list and a sheet take for the largest example.
//!
//! Aims: the take-off under 1 ms; the drawing as PDF under 100 ms.

use criterion::{Criterion, criterion_group, criterion_main};
use loftwright::finding::Findings;
use loftwright::layout::Layout;
use loftwright::measure::Site;
use loftwright::rules::Profile;
use loftwright::scene::{self, Marks, Theme};
use loftwright::sheet::{self, Paper, Sheet, SheetScale};
use loftwright::takeoff::cutting::Stock;
use loftwright::takeoff::{Takeoff, Terms, tube_cuttings};

const LARGEST: &str = include_str!("../examples/feed_and_expansion.loft.ron");

fn largest() -> Layout {
    let options = ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME);
    options.from_str(LARGEST).expect("the example reads")
}

fn takeoff(criterion: &mut Criterion) {
    let layout = largest();
    criterion.bench_function("takeoff", |bencher| {
        bencher.iter(|| Takeoff::of(&Site::of(std::hint::black_box(&layout)), Terms::default()));
    });
    let site = Site::of(&layout);
    criterion.bench_function("cutting lists", |bencher| {
        bencher.iter(|| tube_cuttings(std::hint::black_box(&site), Stock::default()));
    });
}

fn pdf(criterion: &mut Criterion) {
    let layout = largest();
    criterion.bench_function("pdf of the drawing, checked and drawn", |bencher| {
        bencher.iter(|| {
            let site = Site::of(std::hint::black_box(&layout));
            let findings = Findings::of(&site);
            let scene = scene::draw(&site, &findings, &Marks::default());
            let sheet = Sheet {
                theme: Theme::light().clone(),
                scale: SheetScale::Fit,
                paper: Paper::A3,
                heading: layout.heading.clone(),
                counts: String::new(),
                judged_by: Profile::usual().judged_by(),
            };
            sheet::pdf(&scene, &sheet).expect("a PDF")
        });
    });
}

criterion_group!(benches, takeoff, pdf);
criterion_main!(benches);
