use super::{
    band_rate_hz, edges_per_crossing, level_rate_hz, low_pass_rate_hz, sampled_one_pole_rate_hz, slope_ratio,
    toggle_rate_hz,
};
use crate::num::random::Stream;
use proptest::prelude::{prop_assert, proptest};
use std::f64::consts::{PI, TAU};

#[track_caller]
fn near(value: f64, expected: f64, relative: f64) {
    let error = (value / expected - 1.0).abs();
    assert!(error <= relative, "{value} is not {expected}: off by {error:e}");
}

// Source: Rice 1945, section 3.3. The simulation of the table is in tests/signal_noise.rs.
#[test]
fn signal_v31_level_crossings_of_low_pass_noise() {
    near(low_pass_rate_hz(100e3), 57_735.03, 1e-6);
    near(level_rate_hz(low_pass_rate_hz(100e3), 10e-3, 30e-3), 641.378, 1e-6);
}

// Source: Rice; Finch 2019, sign changes of a first-order process.
#[test]
fn signal_v32_crossing_rate_of_sampled_one_pole_noise() {
    let keep = crate::num::math::exp(-TAU * 50e3 / 1e6);
    near(keep, 0.730_402_7, 1e-6);
    near(sampled_one_pole_rate_hz(1e6, keep), 119_666.2, 1e-6);
}

// Source: own, from Rice 1945. The simulation of the table is in tests/signal_noise.rs.
#[test]
fn signal_v33_toggling_at_standstill() {
    near(toggle_rate_hz(low_pass_rate_hz(100e3), 10e-3, 40e-3, 10e-3), 629.84, 1e-5);
}

// Source: own, from Rice 1945.
#[test]
fn signal_v34_edges_of_a_slow_crossing() {
    for (r, edges) in [(0.3, 1.000_07), (1.0, 1.166_631), (3.0, 2.525_417)] {
        // The table gives the first row to five decimals only.
        assert!((edges_per_crossing(r) - edges).abs() < if r < 1.0 { 5e-6 } else { 1e-6 * edges }, "r = {r}");
    }
    // The closed form is the mean of |g + noise slope| over g: midpoint rule over +-9 sigma.
    for r in [0.2, 0.7, 1.0, 3.0, 20.0] {
        let (n, mut mean) = (200_000, 0.0);
        for i in 0..n {
            let u = 18.0 * ((f64::from(i) + 0.5) / f64::from(n) - 0.5);
            mean += (1.0 + r * u).abs() * libm::exp(-0.5 * u * u) / TAU.sqrt() * 18.0 / f64::from(n);
        }
        near(edges_per_crossing(r), mean, 1e-7);
    }
}

// Rice's general formula on a spectrum that can be simulated exactly: two equal poles have
// nu_0 = f_c, because both moments of 1/(1 + x^2)^2 are pi/4. 100 samples per time constant.
// Tolerance: the sampled rate arccos(rho)/(2 pi dt), rho = (1 + d) exp(-d), is 0.3 % low at
// d = 0.01, and four standard errors of the counted crossings.
#[test]
fn two_pole_noise_crosses_each_level_as_often_as_rice_says() {
    let (fc, dt) = (1e3, 0.01 / (TAU * 1e3));
    let keep = crate::num::math::exp(-TAU * fc * dt);
    let fresh = (1.0 - keep * keep).sqrt();
    let mut stream = Stream::named(4, "crossings");
    let (mut first, mut second, mut last) = (0.0, 0.0, 0.0);
    // Two equal poles of unit noise have the variance 1/2 (convolution of the responses).
    let sigma = 0.5_f64.sqrt();
    let n = 6_000_000;
    let levels = [-1.0, 0.0, 1.0, 2.0];
    let mut ups = [0.0; 4];
    for _ in 0..n {
        first = keep * first + fresh * stream.normal();
        second += (1.0 - keep) * (first - second);
        let v = second / sigma;
        for (level, up) in levels.iter().zip(&mut ups) {
            *up += if last < *level && v >= *level { 1.0 } else { 0.0 };
        }
        last = v;
    }
    for (level, up) in levels.iter().zip(ups) {
        let expected = level_rate_hz(fc, 1.0, *level) * dt * f64::from(n);
        near(up, expected, 3.5e-3 + 4.0 / expected.sqrt());
    }
}

#[test]
fn narrow_bands_cross_at_their_frequency_and_silence_never() {
    near(band_rate_hz(1e6, 1e6 + 1e-3), 1e6, 1e-9);
    near(band_rate_hz(3.0, 5.0), (98.0_f64 / 6.0).sqrt(), 1e-15);
    assert_eq!(level_rate_hz(1e5, 0.0, 0.01), 0.0);
    assert_eq!(toggle_rate_hz(1e5, 0.0, 0.0, 0.0), 0.0);
    assert_eq!(edges_per_crossing(0.0), 1.0);
    near(slope_ratio(1.0 / TAU, 2.0, -4.0), 0.5, 1e-15);
    // Slow limit: the ramp is noise alone, sqrt(2/pi) r edges (mean of |slope|).
    near(edges_per_crossing(1e4), 1e4 * (2.0 / PI).sqrt(), 1e-6);
}

proptest! {
    #[test]
    fn more_hysteresis_never_means_more_toggles(
        sigma in 1e-4..0.1_f64, h in 0.0..0.2_f64, more in 0.0..0.2_f64, mean in -0.2..0.2_f64,
    ) {
        let rate = |h| toggle_rate_hz(1e5, sigma, h, mean);
        prop_assert!(rate(h + more) <= rate(h) * (1.0 + 1e-12));
        prop_assert!(rate(h) <= 0.5e5 && rate(h) >= 0.0);
        // Either side of the middle is alike.
        prop_assert!((rate(h) - toggle_rate_hz(1e5, sigma, h, -mean)).abs() <= 1e-9 * rate(h));
    }

    #[test]
    fn a_crossing_has_at_least_its_true_edge(r in 0.0..1e3_f64, more in 0.0..10.0_f64) {
        let edges = edges_per_crossing(r);
        prop_assert!(edges >= 1.0 - 1e-15);
        prop_assert!(edges_per_crossing(r + more) >= edges * (1.0 - 1e-14));
    }
}
