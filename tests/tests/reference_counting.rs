//! From channels to position against tables from independent methods.

use serde::Deserialize;
use sim_core::num::math::{atan2_turns, nearest};
use std::f64::consts::TAU;
use system_tests::table::{Differences, read};

#[derive(Deserialize)]
struct Quadrature {
    offset_a: f64,
    offset_b: f64,
    a: f64,
    b: f64,
    phase_rad: f64,
    third: f64,
    fifth: f64,
    e0: f64,
    e1: f64,
    e2: f64,
    e3: f64,
    e4: f64,
    e5: f64,
    e6: f64,
    e7: f64,
    e8: f64,
}

// Source: numpy.fft of the arctangent's error (quadrature.csv). The model's arctangent is good to 1.4e-12 turn.
#[test]
fn position_error_has_the_harmonics_of_the_channels() {
    const POINTS: u32 = 1024;
    let mut differences = Differences::default();
    for row in read::<Quadrature>("quadrature") {
        let (mut turns, mut last) = (0.0, None::<f64>);
        let error: Vec<f64> = (0..POINTS)
            .map(|i| {
                let t = TAU * f64::from(i) / f64::from(POINTS);
                let u = t + row.phase_rad;
                let a = row.offset_a + row.a * (t.cos() + row.third * (3.0 * t).cos() + row.fifth * (5.0 * t).cos());
                let b = row.offset_b + row.b * (u.sin() - row.third * (3.0 * u).sin() + row.fifth * (5.0 * u).sin());
                let raw = atan2_turns(b, a) - f64::from(i) / f64::from(POINTS);
                turns = last.map_or(raw, |l| turns + (raw - l) - nearest(raw - l));
                last = Some(raw);
                TAU * turns
            })
            .collect();
        let expected = [row.e0, row.e1, row.e2, row.e3, row.e4, row.e5, row.e6, row.e7, row.e8];
        for (n, reference) in (0_u32..).zip(expected) {
            let (mut re, mut im) = (0.0, 0.0);
            for (i, e) in (0_u32..).zip(&error) {
                let (s, c) = (TAU * f64::from(n * i) / f64::from(POINTS)).sin_cos();
                (re, im) = (re + e * c, im - e * s);
            }
            let model = if n == 0 { re / f64::from(POINTS) } else { 2.0 * f64::hypot(re, im) / f64::from(POINTS) };
            let what = format!("offset {} {}, {} and {} V, harmonic {n}", row.offset_a, row.offset_b, row.a, row.b);
            differences.compare(what, model, reference, 1e-10);
        }
    }
    differences.none();
}
