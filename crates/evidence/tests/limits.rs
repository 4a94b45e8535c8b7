//! The largest inputs that are accepted are answered in reasonable time.
#![allow(clippy::unwrap_used, missing_docs)]

use evidence::permutation::{mean_difference, rank_sum, sign_flip};
use std::time::Instant;

/// Times are printed; the bound is loose, since other work may run beside.
#[test]
fn largest_inputs_take_seconds_at_most() {
    let values = |n: u32| {
        (0..n)
            .map(|i| f64::from(i * i % 31) / 7.0)
            .collect::<Vec<f64>>()
    };
    let runs: [(&str, &dyn Fn() -> f64); 3] = [
        ("12 v 12 allocations", &|| {
            mean_difference(&values(12), &values(13)[1..])
                .unwrap()
                .p_two
        }),
        ("23 pairs", &|| sign_flip(&values(23)).unwrap().p_two),
        ("rank sum 50 v 50", &|| {
            rank_sum(&values(50), &values(50), 0.95).unwrap().p
        }),
    ];
    for (name, run) in runs {
        let start = Instant::now();
        let p = run();
        let seconds = start.elapsed().as_secs_f64();
        println!("{name}: p {p:.4} in {seconds:.3} s");
        assert!(p > 0.0 && p <= 1.0 && seconds < 20.0);
    }
}
