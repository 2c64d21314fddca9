//! What it costs to follow the weight of the largest example down to its joists; drawn, and measured with a tape.

use std::hint::black_box;
use std::path::Path;

use criterion::{Criterion, criterion_group, criterion_main};
use loftwright::file;
use loftwright::layout::{Layout, Survey, TapeClass};
use loftwright::measure::Site;
use loftwright::timber::LoadPath;

fn largest() -> Layout {
    let entries = std::fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("examples")).expect("examples");
    let paths = entries.map(|entry| entry.expect("entry").path());
    let layouts = paths.filter(|path| path.to_string_lossy().ends_with(".loft.ron"));
    let layouts = layouts.map(|path| file::read(&path).unwrap_or_else(|error| panic!("{error}")));
    layouts.max_by_key(|layout| (layout.platforms.len(), layout.runs.len())).expect("examples")
}

fn timber(criterion: &mut Criterion) {
    let drawn = largest();
    let measured = Layout { survey: Survey::Surveyed(TapeClass::II), ..drawn.clone() };
    let mut group = criterion.benchmark_group("load path");
    for (name, layout) in [("designed", &drawn), ("surveyed", &measured)] {
        let site = Site::of(layout);
        group.bench_function(name, |bencher| bencher.iter(|| LoadPath::of(black_box(&site))));
    }
    group.finish();
}

criterion_group!(benches, timber);
criterion_main!(benches);
