//! The noise of the whole chain against theory: what a statistician would measure on its output.
//!
//! Seeds are fixed, so a test passes or fails for good; tolerances are stated as standard errors
//! of the estimate or come from the validation table of the signal model.

use sim_core::chain::analog::{AnalogForm, AnalogParams, AnalogState, SampleCoefficients, SampleTable, step};
use sim_core::chain::interference::{
    InterferenceParams, InterferenceState, InterferenceStep, Inverter, Pickup, Shield,
};
use sim_core::chain::photo::Photocurrents;
use sim_core::chain::square::{SquareParams, SquareState};
use sim_core::num::crossings::{
    edges_per_crossing, level_rate_hz, low_pass_rate_hz, sampled_one_pole_rate_hz, slope_ratio, toggle_rate_hz,
};
use sim_core::num::random::Stream;
use std::f64::consts::{PI, TAU};

#[track_caller]
fn near(value: f64, expected: f64, relative: f64) {
    let error = (value / expected - 1.0).abs();
    assert!(error <= relative, "{value} is not {expected}: off by {error:e}");
}

fn amplifier(bandwidth_hz: f64) -> AnalogParams {
    AnalogParams {
        form: AnalogForm::Differential,
        gain_ohm: [500e3; 2],
        resistor_ohm: 500e3,
        bandwidth_hz,
        offsets_v: [0.0; 2],
        noise_scale: 1.0,
        temperature_k: 300.0,
        supply_v: 5.0,
    }
}

/// Steady light: opposite fields alike, so that the outputs are noise alone.
const LIGHT: Photocurrents = Photocurrents { field: [0.3e-6; 4], lit: [0.0; 4] };

/// Noise of A and B in units of their standard deviation, `n` samples.
fn noise(seed: u64, params: &AnalogParams, sample: &SampleCoefficients, n: usize) -> Vec<[f64; 2]> {
    let sigma_v = params.noise_v(&LIGHT);
    let mut state = AnalogState::new(seed);
    // Past the start from silence.
    for _ in 0..1000 {
        step(params, &mut state, &LIGHT, sample);
    }
    (0..n)
        .map(|_| {
            let v = step(params, &mut state, &LIGHT, sample);
            [v.a_v / sigma_v[0], v.b_v / sigma_v[1]]
        })
        .collect()
}

/// Sample rate of [`low_pass_noise`], Hz, and how many samples [`finely`] makes of one.
const COARSE_HZ: f64 = 1e6;
const FINE: usize = 4;

/// Taps of a low-pass: sinc under a Blackman window.
fn low_pass_taps(corner_hz: f64) -> Vec<f64> {
    const HALF: f64 = 400.0;
    let turns = 2.0 * corner_hz / COARSE_HZ;
    (0..=2 * HALF as u32)
        .map(|i| {
            let (k, u) = (f64::from(i) - HALF, f64::from(i) / (2.0 * HALF));
            let sinc = if k == 0.0 { turns } else { libm::sin(PI * turns * k) / (PI * k) };
            sinc * (0.42 - 0.5 * libm::cos(TAU * u) + 0.08 * libm::cos(2.0 * TAU * u))
        })
        .collect()
}

/// Unit noise through a nearly ideal low-pass of 100 kHz noise bandwidth, at 1 MHz.
fn low_pass_noise(seed: u64, n: usize) -> Vec<f64> {
    const LANES: usize = 8;
    let power = |taps: &[f64]| taps.iter().map(|t| t * t).sum::<f64>();
    // The corner of the window's slope is not its noise bandwidth; make up for the difference.
    let short_hz = 100e3 - 0.5 * COARSE_HZ * power(&low_pass_taps(100e3));
    let taps = low_pass_taps(100e3 + short_hz);
    let sigma = power(&taps).sqrt();
    let mut stream = Stream::named(seed, "low-pass");
    let white: Vec<f64> = (0..n + taps.len() + LANES).map(|_| stream.normal() / sigma).collect();
    let mut out = Vec::with_capacity(n + LANES);
    while out.len() < n {
        let mut sums = [0.0; LANES];
        for (k, tap) in taps.iter().enumerate() {
            let from = out.len() + k;
            for (sum, w) in sums.iter_mut().zip(&white[from..from + LANES]) {
                *sum += tap * w;
            }
        }
        out.extend(sums);
    }
    out.truncate(n);
    out
}

/// The samples of [`low_pass_noise`] and three between each two, by six-point Lagrange
/// interpolation (3e-4 off at the edge of the band): at 1 MHz one excursion past 3 sigma in
/// seventeen would fall between two samples, at 4 MHz one in 270.
fn finely(coarse: &[f64]) -> impl Iterator<Item = f64> {
    let weights: Vec<[f64; 6]> = (0..FINE)
        .map(|i| {
            let x = 2.0 + i as f64 / FINE as f64;
            std::array::from_fn(|j| {
                (0..6).filter(|m| *m != j).map(|m| (x - f64::from(m as u8)) / (j as f64 - f64::from(m as u8))).product()
            })
        })
        .collect();
    coarse.windows(6).flat_map(move |six| {
        let at = |w: &[f64; 6]| w.iter().zip(six).map(|(w, v)| w * v).sum::<f64>();
        [at(&weights[0]), at(&weights[1]), at(&weights[2]), at(&weights[3])]
    })
}

fn up_crossings(samples: impl Iterator<Item = f64>, level: f64) -> f64 {
    let mut below = false;
    let mut ups = 0.0;
    for v in samples {
        ups += if below && v >= level { 1.0 } else { 0.0 };
        below = v < level;
    }
    ups
}

// Source: Rice 1945, section 3.3; the simulation of the table (57631 and 626 in its run).
// Tolerance: 0.5 % for excursions between two samples and the slope of the filter, and four
// standard errors of counts that scatter at most as Poisson's.
#[test]
fn signal_v31_simulated_low_pass_noise_crosses_as_rice_says() {
    let seconds = 3.0;
    let samples = low_pass_noise(31, (seconds * COARSE_HZ) as usize);
    let nu = low_pass_rate_hz(100e3);
    for level in [0.0, 1.0, 3.0] {
        let expected = seconds * level_rate_hz(nu, 1.0, level);
        near(up_crossings(finely(&samples), level), expected, 5e-3 + 4.0 / expected.sqrt());
    }
}

// Source: Rice; Finch 2019; the simulation of the table (119628 /s, variance 1.0008) on the real
// amplifier. Tolerance of the table: 1 %, variance 1.000 +- 0.005.
#[test]
fn signal_v32_amplifier_noise_crosses_and_varies_as_sampled_one_pole_noise() {
    let sample = SampleCoefficients::new(50e3, 1e-6);
    let samples = noise(32, &amplifier(50e3), &sample, 4_000_000);
    let expected = sampled_one_pole_rate_hz(1e6, sample.keep);
    near(expected, 119_666.2, 1e-6);
    for channel in 0..2 {
        let one: Vec<f64> = samples.iter().map(|s| s[channel]).collect();
        near(up_crossings(one.iter().copied(), 0.0) / 4.0, expected, 0.01);
        let variance = one.iter().map(|v| v * v).sum::<f64>() / one.len() as f64;
        assert!((variance - 1.0).abs() < 0.005, "{variance}");
    }
}

// Source: own, from Rice 1945; the simulation of the table (630 /s), with the chain's own
// comparator. Tolerance of the table: 6 %.
#[test]
fn signal_v33_simulated_comparator_toggles_at_standstill() {
    let samples = low_pass_noise(33, 4_000_000);
    let params = SquareParams { threshold_v: 0.0, hysteresis_v: 40e-3 };
    let mut comparator = SquareState::default();
    let mut pairs = 0.0;
    let mut last = false;
    for v in finely(&samples) {
        let level = comparator.step(&params, 10e-3 + 10e-3 * v);
        pairs += if level && !last { 1.0 } else { 0.0 };
        last = level;
    }
    near(pairs / 4.0, toggle_rate_hz(low_pass_rate_hz(100e3), 10e-3, 40e-3, 10e-3), 0.06);
}

// Source: own, from Rice 1945; ramps through the middle of simulated noise. Tolerance: 0.5 % for
// excursions between two samples and four standard errors, measured on the run.
#[test]
fn signal_v34_simulated_slow_crossings_have_their_edges() {
    let noise: Vec<f64> = finely(&low_pass_noise(34, 1_000_000)).collect();
    let nu = low_pass_rate_hz(100e3);
    for r in [0.3, 1.0, 3.0] {
        // In sigma per fine sample, from -6 to +6 sigma.
        let slope_per_s = TAU * nu / r;
        near(slope_ratio(nu, 1.0, slope_per_s), r, 1e-12);
        let slope = slope_per_s / (COARSE_HZ * FINE as f64);
        let counts: Vec<f64> = noise
            .chunks_exact((12.0 / slope) as usize + 2)
            .map(|chunk| {
                let high: Vec<bool> = chunk.iter().enumerate().map(|(i, v)| v + slope * i as f64 > 6.0).collect();
                high.windows(2).filter(|p| p[0] != p[1]).count() as f64
            })
            .collect();
        let n = counts.len() as f64;
        let mean = counts.iter().sum::<f64>() / n;
        let spread = (counts.iter().map(|c| (c - mean) * (c - mean)).sum::<f64>() / n / n).sqrt();
        let expected = edges_per_crossing(r);
        assert!((mean - expected).abs() < 5e-3 * expected + 4.0 * spread, "r = {r}: {mean} {expected} {spread}");
    }
}

// Source: a stationary first-order process: correlation exp(-2 pi f_c tau) at every lag, however
// the samples are spread over time. Four standard errors (Bartlett's formula bounds them by
// sqrt((1 + a^2)/(1 - a^2)/n)).
#[test]
fn noise_is_correlated_over_time_as_one_pole_is() {
    let sample = SampleTable::new(50e3).of(50);
    let n = 2_000_000;
    let samples = noise(5, &amplifier(50e3), &sample, n);
    let a2 = sample.keep * sample.keep;
    let spread = ((1.0 + a2) / (1.0 - a2) / n as f64).sqrt();
    let mut expected = 1.0;
    for lag in 1..=12 {
        expected *= sample.keep;
        for channel in 0..2 {
            let mean =
                samples.windows(lag + 1).map(|w| w[0][channel] * w[lag][channel]).sum::<f64>() / (n - lag) as f64;
            assert!((mean - expected).abs() < 4.0 * spread, "lag {lag}: {mean} {expected}");
        }
    }
}

// A bench changes the number of samples per step with speed; the noise must not notice. One run of
// alternating 1, 5, 50 samples; the ends of the steps have the statistics of one-sample steps.
#[test]
fn noise_does_not_notice_a_changing_sample_rate() {
    let params = amplifier(5e3);
    let table = SampleTable::new(5e3);
    let sigma_v = params.noise_v(&LIGHT)[0];
    let mut state = AnalogState::new(6);
    let n = 300_000;
    let (mut square, mut product, mut last) = (0.0, 0.0, 0.0);
    for i in 0..n {
        let samples = [1, 5, 50][i % 3];
        let sample = table.of(samples);
        let mut v = 0.0;
        for _ in 0..samples {
            v = step(&params, &mut state, &LIGHT, &sample).a_v / sigma_v;
        }
        square += v * v / n as f64;
        product += v * last / n as f64;
        last = v;
    }
    let keep = table.of(1).keep;
    let spread = ((1.0 + keep * keep) / (1.0 - keep * keep) / n as f64).sqrt();
    assert!((square - 1.0).abs() < 4.0 * 2.0_f64.sqrt() * spread, "{square}");
    assert!((product - keep).abs() < 4.0 * spread, "{product} {keep}");
}

// Independent sources: A and B are uncorrelated at every lag either way, and so are their
// magnitudes. Four standard errors of 1/sqrt(n), widened by both correlation times.
#[test]
fn noise_of_a_and_b_is_independent() {
    let sample = SampleTable::new(200e3).of(20);
    let n = 1_000_000;
    let samples = noise(7, &amplifier(200e3), &sample, n);
    let a2 = sample.keep * sample.keep;
    let spread = ((1.0 + a2) / (1.0 - a2) / n as f64).sqrt();
    for lag in 0..=5 {
        let pairs = (n - lag) as f64;
        let ahead = samples.windows(lag + 1).map(|w| w[0][0] * w[lag][1]).sum::<f64>() / pairs;
        let behind = samples.windows(lag + 1).map(|w| w[lag][0] * w[0][1]).sum::<f64>() / pairs;
        assert!(ahead.abs() < 4.0 * spread && behind.abs() < 4.0 * spread, "lag {lag}: {ahead} {behind}");
    }
    let squares = samples.iter().map(|s| (s[0] * s[0] - 1.0) * (s[1] * s[1] - 1.0)).sum::<f64>() / n as f64;
    assert!(squares.abs() < 4.0 * 2.0 * spread, "{squares}");
}

// Source: tables of the normal distribution; the tails decide false edges. Four standard errors.
#[test]
fn noise_has_normal_tails() {
    // One sample per step of 200 kHz noise: neighbours are independent.
    let sample = SampleTable::new(200e3).of(1);
    let n = 4_000_000;
    let samples = noise(8, &amplifier(200e3), &sample, n);
    for (level, beyond) in [(1.0, 0.317_310_508), (3.0, 2.699_796e-3), (4.0, 6.334_248e-5), (5.0, 5.733_031e-7)] {
        let seen = samples.iter().flatten().filter(|v| v.abs() > level).count() as f64;
        let expected = beyond * 2.0 * n as f64;
        assert!((seen - expected).abs() < 4.0 * (expected * (1.0 - beyond)).sqrt(), "{level}: {seen} {expected}");
    }
}

// A noise source that is switched on draws from its own stream: what others draw keeps its bits.
#[test]
fn one_source_never_shifts_the_draws_of_another() {
    let params = amplifier(200e3);
    let sample = SampleTable::new(200e3).of(16);
    let inverter = Inverter { edge_v: 10.0, ..InterferenceParams::QUIET.inverter };
    let loud = InterferenceParams { inverter, shield: Shield::Open, ..InterferenceParams::QUIET };
    let bits = |surroundings: &InterferenceParams| {
        let pickup = Pickup::new(surroundings);
        let (mut analog, mut state) = (AnalogState::new(9), InterferenceState::new(9));
        let mut now = InterferenceStep::default();
        let (mut own, mut added_v) = (Vec::new(), 0.0);
        for number in 0..500 {
            pickup.begin(number, 16, &mut state, &mut now);
            for _ in 0..16 {
                let v = step(&params, &mut analog, &LIGHT, &sample);
                added_v += pickup.sample(&mut now, &mut state).common_v.abs();
                own.push((v.a_v.to_bits(), v.b_v.to_bits()));
            }
        }
        (own, added_v, analog)
    };
    let (quiet, nothing, analog) = bits(&InterferenceParams::QUIET);
    let (disturbed, something, same) = bits(&loud);
    assert!(nothing == 0.0 && something > 0.0);
    assert_eq!(quiet, disturbed);
    assert_eq!(analog, same);
    // And seeds give other noise, not the same shifted: no value of one appears in the other.
    let other = noise(10, &params, &sample, 2000);
    let this = noise(9, &params, &sample, 2000);
    assert!(this.iter().all(|s| other.iter().all(|o| s[0].to_bits() != o[0].to_bits())));
}

// Source: Rice and the chain's own parameters: false counts of a bench at standstill on an edge,
// amplifier noise as the bench's "noisy signal" has it. The rate formula for sampled one-pole
// noise holds near the middle, where a step seldom jumps over the whole band.
#[test]
fn more_hysteresis_silences_a_noisy_comparator() {
    let sample = SampleTable::new(200e3).of(50);
    let samples = noise(11, &amplifier(200e3), &sample, 400_000);
    let toggles = |hysteresis_v: f64| {
        let params = SquareParams { threshold_v: 0.0, hysteresis_v };
        let mut comparator = SquareState::default();
        let levels: Vec<bool> = samples.iter().map(|s| comparator.step(&params, s[0])).collect();
        levels.windows(2).filter(|p| p[0] != p[1]).count() as f64
    };
    let rate = sampled_one_pole_rate_hz(1e6, sample.keep);
    near(toggles(0.0) / 2.0 / 0.4, rate, 0.01);
    let counts = [0.0, 2.0, 4.0, 6.0, 8.0].map(toggles);
    assert!(counts.windows(2).all(|p| p[1] < 0.8 * p[0]), "{counts:?}");
}
