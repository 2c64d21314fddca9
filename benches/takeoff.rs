//! How long a take-off, a cutting list and a sheet take for the largest example.
//!
//! Aims: the take-off under 1 ms; drawing and report as PDF under 100 ms.

use criterion::{Criterion, criterion_group, criterion_main};
use loftwright::layout::Layout;
use loftwright::measure::Site;
use loftwright::rules::{Profile, Voice};
use loftwright::sheet::pages::{Pages, Terms, What};
use loftwright::sheet::{Paper, SheetScale};
use loftwright::takeoff::cutting::Stock;
use loftwright::takeoff::{Takeoff, Terms as TakeoffTerms, tube_cuttings};

const LARGEST: &str = include_str!("../examples/feed_and_expansion.loft.ron");

fn largest() -> Layout {
    let options = ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME);
    options.from_str(LARGEST).expect("the example reads")
}

fn takeoff(criterion: &mut Criterion) {
    let layout = largest();
    criterion.bench_function("takeoff", |bencher| {
        bencher.iter(|| Takeoff::of(&Site::of(std::hint::black_box(&layout)), TakeoffTerms::default()));
    });
    let site = Site::of(&layout);
    criterion.bench_function("cutting lists", |bencher| {
        bencher.iter(|| tube_cuttings(std::hint::black_box(&site), Stock::default()));
    });
}

fn pdf(criterion: &mut Criterion) {
    let layout = largest();
    let terms = Terms { paper: Paper::A3, scale: SheetScale::Fit, voice: Voice::Trade };
    for (name, what) in [("pdf of the drawing", What::Drawing), ("pdf of drawing and report", What::Report)] {
        criterion.bench_function(&format!("{name}, checked and drawn"), |bencher| {
            bencher.iter(|| {
                let layout = std::hint::black_box(&layout);
                Pages::of(layout, Profile::usual(), what, terms).pdf().expect("a PDF")
            });
        });
    }
}

criterion_group!(benches, takeoff, pdf);
criterion_main!(benches);
