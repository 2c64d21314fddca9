//! How long it takes to derive and judge: the largest example, and the same with many times the pipes and outlets.
//!
//! Aims: the example under 200 µs; the cost of 10, 100 and 1000 times the pipes no worse than n log n.

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use loftwright::finding::Findings;
use loftwright::layout::{End, Id, Layout};
use loftwright::measure::Site;

const LARGEST: &str = include_str!("../examples/feed_and_expansion.loft.ron");

fn largest() -> Layout {
    let options = ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME);
    options.from_str(LARGEST).expect("the example reads")
}

/// The layout with `times` as many runs and outlets; copies keep to each other and share the other parts.
fn multiplied(layout: &Layout, times: usize) -> Layout {
    let mut many = layout.clone();
    for copy in 1..times {
        let renamed = |id: &Id| Id::of(&format!("{id}-{copy}"));
        let is_copied =
            |id: &Id| layout.runs.iter().any(|run| run.id == *id) || layout.outlets.iter().any(|o| o.id == *id);
        let own = |end: &End| match end {
            End::Port(part, port) if is_copied(part) => End::Port(renamed(part), port.clone()),
            End::Tee(run, at) => End::Tee(renamed(run), *at),
            other => other.clone(),
        };
        many.outlets.extend(layout.outlets.iter().cloned().map(|mut outlet| {
            outlet.id = renamed(&outlet.id);
            outlet
        }));
        many.runs.extend(layout.runs.iter().cloned().map(|mut run| {
            run.id = renamed(&run.id);
            run.from = own(&run.from);
            run.to = own(&run.to);
            run
        }));
    }
    many
}

fn check(criterion: &mut Criterion) {
    let layout = largest();
    let mut group = criterion.benchmark_group("derive and judge");
    for times in [1, 10, 100, 1000] {
        let many = multiplied(&layout, times);
        group.throughput(Throughput::Elements(u64::try_from(many.runs.len()).expect("few runs")));
        group.bench_with_input(BenchmarkId::new("times the pipes", times), &many, |bencher, many| {
            bencher.iter(|| Findings::of(&Site::of(std::hint::black_box(many))));
        });
    }
    group.finish();
}

criterion_group!(benches, check);
criterion_main!(benches);
