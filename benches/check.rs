//! How long it takes to derive and judge: the largest example, and the same with many times the pipes and outlets.
//!
//! Aims: the rules of what is drawn under 200 µs for the example, and the cost of 10, 100 and 1000 times the pipes no
//! worse than n log n. With running water, warmth and timber a check costs more; that is shown beside it.

mod growing;

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use loftwright::finding::Findings;
use loftwright::measure::Site;
use loftwright::rules::{InForce, Measure, Profile};

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

fn check_what_is_drawn(criterion: &mut Criterion) {
    let layout = growing::multiplied(&growing::largest(), 1);
    let profile = Profile::usual();
    let is_of_drawing = |rule: &InForce| matches!(rule.rule.measure, Measure::OfSite(_));
    let rules: Vec<InForce> = profile.rules().into_iter().filter(is_of_drawing).collect();
    criterion.bench_function("derive and judge what is drawn", |bencher| {
        bencher.iter(|| Findings::by(&Site::of(std::hint::black_box(&layout)), &rules, profile.guard_factor));
    });
}

criterion_group!(benches, check_what_is_drawn, check);
criterion_main!(benches);
