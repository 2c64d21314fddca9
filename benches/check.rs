//! How long it takes to derive and judge: the largest example, and the same with many times the pipes and outlets.
//!
//! Aims: the example under 200 µs; the cost of 10, 100 and 1000 times the pipes no worse than n log n.

mod growing;

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use loftwright::finding::Findings;
use loftwright::measure::Site;

fn check(criterion: &mut Criterion) {
    let layout = growing::largest();
    let mut group = criterion.benchmark_group("derive and judge");
    for times in [1, 10, 100, 1000] {
        let many = growing::multiplied(&layout, times);
        group.throughput(Throughput::Elements(u64::try_from(many.runs.len()).expect("few runs")));
        group.bench_with_input(BenchmarkId::new("times the pipes", times), &many, |bencher, many| {
            bencher.iter(|| Findings::of(&Site::of(std::hint::black_box(many))));
        });
    }
    group.finish();
}

criterion_group!(benches, check);
criterion_main!(benches);
