//! Time of the exact test over all 184,756 allocations of 10 tanks against 10.
#![allow(missing_docs)]

use criterion::{Criterion, criterion_group, criterion_main};
use evidence::permutation::mean_difference;
use std::hint::black_box;

fn ten_against_ten(c: &mut Criterion) {
    let x: Vec<f64> = (0..10).map(|i| 1.0 + f64::from(i * i % 7) / 10.0).collect();
    let y: Vec<f64> = (0..10)
        .map(|i| 0.9 + f64::from(i * i % 11) / 10.0)
        .collect();
    c.bench_function("permutation 10 v 10 (184,756)", |b| {
        b.iter(|| mean_difference(black_box(&x), black_box(&y)));
    });
}

criterion_group!(benches, ten_against_ten);
criterion_main!(benches);
