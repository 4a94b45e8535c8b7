//! Full states from the batch command's inner loop: rows of text in, rows of text out.
//!
//! The waters are varied in every number, so no row profits from the one before it.
#![allow(missing_docs)]

use std::hint::black_box;

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use water::batch::{Options, gas, states};
use water::{Given, Water, solve};

const ROWS: u32 = 20_000;

fn share(i: u32, of: u32) -> f64 {
    f64::from(i.wrapping_mul(2_654_435_761) % of) / f64::from(of)
}

fn table() -> Vec<u8> {
    let mut text = String::from(
        "id,temperature_c,ph,alkalinity_meq_l,ca_mg_l,mg_mg_l,na_mg_l,k_mg_l,cl_mg_l,so4_mg_l,\
         no3_mg_l,po4_mg_l,added_co2_mg_l\n",
    );
    for i in 0..ROWS {
        text += &format!(
            "W{i},{:.2},{:.2},{:.4},{:.3},{:.3},{:.3},{:.3},{:.3},{:.3},{:.2},{:.2},20\n",
            18.0 + 12.0 * share(i, 997),
            6.2 + 2.0 * share(i, 991),
            0.4 + 4.0 * share(i, 983),
            5.0 + 90.0 * share(i, 977),
            1.0 + 20.0 * share(i, 971),
            1.0 + 30.0 * share(i, 967),
            1.0 + 20.0 * share(i, 953),
            1.0 + 90.0 * share(i, 947),
            1.0 + 90.0 * share(i, 941),
            40.0 * share(i, 937),
            2.0 * share(i, 929),
        );
    }
    text.into_bytes()
}

fn batch(c: &mut Criterion) {
    let table = table();
    let mut group = c.benchmark_group("batch");
    group.throughput(Throughput::Elements(u64::from(ROWS)));
    group.sample_size(20);
    group.bench_function("states", |b| {
        b.iter(|| {
            states(
                &table[..],
                std::io::sink(),
                &Options::default(),
                &mut |_| true,
            )
        });
    });
    group.bench_function("gas", |b| {
        b.iter(|| {
            gas(
                &table[..],
                std::io::sink(),
                &Options::default(),
                &mut |_| true,
            )
        });
    });
    group.finish();
    let water = Water {
        temperature_c: 23.7,
        alkalinity_meq_l: 1.8,
        ca_mg_l: 35.0,
        mg_mg_l: 8.0,
        na_mg_l: 12.0,
        k_mg_l: 10.0,
        cl_mg_l: 25.0,
        so4_mg_l: 60.0,
        ..Water::default()
    };
    c.bench_function("one state", |b| {
        b.iter(|| solve(black_box(&water), Given::Ph(6.9)))
    });
}

criterion_group!(benches, batch);
criterion_main!(benches);
