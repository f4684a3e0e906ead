//! Rates of false edges against integrals over the noise's slope and simulated records.

use serde::Deserialize;
use sim_core::num::crossings::{
    band_rate_hz, edges_per_crossing, level_rate_hz, low_pass_rate_hz, sampled_one_pole_rate_hz, toggle_rate_hz,
};
use system_tests::table::{Differences, read};

#[derive(Deserialize)]
struct Rice {
    what: String,
    low_hz: f64,
    high_hz: f64,
    level: f64,
    expected_per_s: f64,
    simulated_per_s: f64,
    counted: f64,
}

// Source: mean of the positive slope at the level, spectrum integrated numerically (rice.csv). Ten digits in the table.
#[test]
fn levels_are_crossed_as_often_as_the_spectrum_says() {
    let mut differences = Differences::default();
    for row in read::<Rice>("rice") {
        let model = level_rate_hz(band_rate_hz(row.low_hz, row.high_hz), 1.0, row.level);
        let what = format!("{} at {} sigma", row.what, row.level);
        differences.compare(&what, model, row.expected_per_s, 1e-8 * row.expected_per_s);
        // The record: five standard errors of its count, ten where crossings of a narrow band come in groups.
        let groups = if row.low_hz > 0.5 * row.high_hz { 10.0 } else { 5.0 };
        let error = groups * row.expected_per_s / row.counted.sqrt();
        differences.compare(format!("{what}, simulated"), row.simulated_per_s, row.expected_per_s, error);
    }
    differences.none();
}

#[derive(Deserialize)]
struct Sampled {
    dt_s: f64,
    keep: f64,
    up_crossings_per_s: f64,
}

// Source: bivariate normal probability of neighbouring samples (sampled_noise.csv).
#[test]
fn sampled_noise_is_crossed_as_often_as_neighbours_differ() {
    let mut differences = Differences::default();
    for row in read::<Sampled>("sampled_noise") {
        let model = sampled_one_pole_rate_hz(1.0 / row.dt_s, row.keep);
        differences.compare(format!("keep {}", row.keep), model, row.up_crossings_per_s, 1e-7 * row.up_crossings_per_s);
    }
    differences.none();
}

#[derive(Deserialize)]
struct Toggles {
    band_hz: f64,
    half_band: f64,
    mean: f64,
    pairs_per_s: f64,
    counted: f64,
}

// Source: a comparator on a simulated record of low-pass noise (toggles.csv).
#[test]
fn a_comparator_at_standstill_toggles_as_often_as_stated() {
    let mut differences = Differences::default();
    for row in read::<Toggles>("toggles") {
        let model = toggle_rate_hz(low_pass_rate_hz(row.band_hz), 1.0, 2.0 * row.half_band, row.mean);
        // The formula states 15 % from 1.5 sigma, 6 % from 2 sigma; three standard errors of the record's count.
        let stated = if row.half_band < 2.0 { 0.15 } else { 0.06 };
        let tolerance = (stated + 3.0 / row.counted.sqrt()) * row.pairs_per_s;
        differences.compare(format!("{} sigma, mean {}", row.half_band, row.mean), model, row.pairs_per_s, tolerance);
    }
    differences.none();
}

#[derive(Deserialize)]
struct Slow {
    r: f64,
    expected: f64,
    simulated: f64,
    error: f64,
}

// Source: mean of |slope| along the ramp by quadrature, and simulated ramps (slow_crossing.csv).
#[test]
fn a_slow_crossing_has_the_edges_of_its_slopes() {
    let mut differences = Differences::default();
    for row in read::<Slow>("slow_crossing") {
        // Adaptive quadrature over a kink: good to 1e-6.
        differences.compare(format!("r {}", row.r), edges_per_crossing(row.r), row.expected, 1e-6 * row.expected);
        differences.compare(format!("r {}, simulated", row.r), row.simulated, row.expected, 4.0 * row.error);
    }
    differences.none();
}
