//! How long it takes to mend a layout with many breaches: the low loft, all of it. Aim: under 50 ms, to follow a drag.

use criterion::{Criterion, criterion_group, criterion_main};
use loftwright::layout::Layout;
use loftwright::mend::{Wish, propose};
use loftwright::rules::Profile;

const LOW_LOFT: &str = include_str!("../examples/low_loft.loft.ron");

fn mend(criterion: &mut Criterion) {
    let options = ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME);
    let layout: Layout = options.from_str(LOW_LOFT).expect("the example reads");
    let (profile, wish) = (Profile::usual(), Wish::default());
    criterion.bench_function("mend the low loft", |bencher| {
        bencher.iter(|| propose(std::hint::black_box(&layout), profile, &wish));
    });
}

criterion_group!(benches, mend);
criterion_main!(benches);
