//! Noise and bandwidth of the amplifier against integrals of the spectrum, simulated records and signal-processing tools.

use serde::Deserialize;
use sim_core::chain::analog::{
    AnalogForm, AnalogParams, AnalogState, SampleCoefficients, johnson_density, noise_bandwidth_hz, one_pole_gain,
    one_pole_lag_rad, shot_density, step,
};
use sim_core::chain::photo::Photocurrents;
use sim_core::chain::square::{SquareParams, SquareState};
use sim_core::scale::ScaleId;
use std::f64::consts::TAU;
use system_tests::table::{Differences, read};

#[derive(Deserialize)]
struct Rms {
    amplifiers: u32,
    gain_ohm: f64,
    resistor_ohm: f64,
    corner_hz: f64,
    temperature_k: f64,
    current_a: f64,
    rms_v: f64,
}

// Source: spectrum of shot, resistor and amplifier noise behind one pole, integrated numerically (noise_rms.csv).
#[test]
fn noise_of_a_channel_is_the_integral_of_its_spectrum() {
    let mut differences = Differences::default();
    for row in read::<Rms>("noise_rms") {
        let difference = row.amplifiers == 2;
        let params = AnalogParams {
            form: if difference { AnalogForm::Differential } else { AnalogForm::SingleEnded { dark_v: 0.0 } },
            gain_ohm: [row.gain_ohm; 2],
            resistor_ohm: row.resistor_ohm,
            bandwidth_hz: row.corner_hz,
            temperature_k: row.temperature_k,
            ..AnalogParams::nominal(&ScaleId::Glass20.spec())
        };
        let i = row.current_a;
        let field = if difference { [0.3 * i, 0.4 * i, 0.7 * i, 0.6 * i] } else { [i, i, 0.0, 0.0] };
        let model = params.noise_v(&Photocurrents { field, lit: [0.0; 4] });
        let what = format!("{} A through {} ohm", row.current_a, row.resistor_ohm);
        // Ten digits in the table.
        differences.compare(format!("A, {what}"), model[0], row.rms_v, 1e-9 * row.rms_v);
        differences.compare(format!("B, {what}"), model[1], row.rms_v, 1e-9 * row.rms_v);
    }
    differences.none();
}

#[derive(Deserialize)]
struct Current {
    what: String,
    corner_hz: f64,
    rms_a: f64,
}

// Source: a white density behind one pole, integrated numerically (noise_current.csv).
#[test]
fn noise_bandwidth_is_the_area_of_the_pole() {
    let mut differences = Differences::default();
    for row in read::<Current>("noise_current") {
        let density = match row.what.as_str() {
            "shot-1uA" => shot_density(1e-6),
            "shot-0.3uA" => shot_density(0.3e-6),
            "johnson-1Mohm-300K" => johnson_density(300.0, 1e6),
            other => panic!("noise_current.csv: unknown source {other}"),
        };
        let model = (density * noise_bandwidth_hz(row.corner_hz)).sqrt();
        differences.compare(&row.what, model, row.rms_a, 1e-9 * row.rms_a);
    }
    differences.none();
}

/// A silent or noisy differential amplifier with gain 1 V/A, so that currents are volts.
fn amplifier(noise_scale: f64) -> AnalogParams {
    AnalogParams { gain_ohm: [1.0; 2], noise_scale, supply_v: 1e6, ..AnalogParams::nominal(&ScaleId::Glass20.spec()) }
}

/// Noise of channel A in standard deviations, sample by sample.
fn noise(sample: SampleCoefficients, seed: u64) -> impl Iterator<Item = f64> {
    let params = amplifier(1.0);
    let dark = Photocurrents::default();
    let sigma_v = params.noise_v(&dark)[0];
    let mut state = AnalogState::new(seed);
    std::iter::repeat_with(move || step(&params, &mut state, &dark, &sample).a_v / sigma_v)
}

#[derive(Deserialize)]
struct Sampled {
    corner_hz: f64,
    dt_s: f64,
    keep: f64,
    up_crossings_per_s: f64,
    simulated_per_s: f64,
    error_per_s: f64,
}

// Source: cosine transform of the spectrum, bivariate normal probability, a simulated record (sampled_noise.csv).
#[test]
fn sampled_noise_crosses_its_mean_as_often_as_it_should() {
    let mut differences = Differences::default();
    for row in read::<Sampled>("sampled_noise") {
        let sample = SampleCoefficients::new(row.corner_hz, row.dt_s);
        let what = format!("{} Hz every {} s", row.corner_hz, row.dt_s);
        differences.compare(format!("{what}: correlation"), sample.keep, row.keep, 1e-9);
        // The reference's own two ways agree within four standard errors.
        let reference = row.up_crossings_per_s;
        differences.compare(format!("{what}: simulated"), row.simulated_per_s, reference, 4.0 * row.error_per_s);
        // The stream of the model, 2^21 samples; 2^25 in the reference, so four times the standard error.
        let count = 1 << 21;
        let mut below = false;
        let mut ups = 0_u32;
        for x in noise(sample, 5).take(count) {
            ups += u32::from(below && x >= 0.0);
            below = x < 0.0;
        }
        let rate = f64::from(ups) / (count as f64 * row.dt_s);
        differences.compare(format!("{what}: crossings"), rate, reference, 4.0 * 4.0 * row.error_per_s);
    }
    differences.none();
}

#[derive(Deserialize)]
struct Toggles {
    keep: f64,
    half_band: f64,
    mean: f64,
    pairs_per_sample: f64,
    simulated_per_sample: f64,
}

// Source: stationary solution of the chain of noise and level by quadrature, and a simulated record (sampled_toggles.csv).
#[test]
fn a_comparator_toggles_on_noise_as_often_as_it_should() {
    let mut differences = Differences::default();
    let count = 1 << 21;
    for row in read::<Toggles>("sampled_toggles") {
        let sample = SampleCoefficients {
            keep: row.keep,
            fresh: (1.0 - row.keep * row.keep).sqrt(),
            ..SampleCoefficients::default()
        };
        let params = SquareParams { threshold_v: -row.mean, hysteresis_v: 2.0 * row.half_band };
        let mut square = SquareState::default();
        let mut ups = 0_u32;
        for x in noise(sample, 9).take(count) {
            let before = square.level;
            ups += u32::from(square.step(&params, x) && !before);
        }
        let what = format!("keep {}, half band {}, mean {}", row.keep, row.half_band, row.mean);
        // Counts of rare, nearly independent events: four times the square root of the number.
        let (model, reference) = (f64::from(ups) / count as f64, row.pairs_per_sample);
        differences.compare(&what, model, reference, 4.0 * (reference / count as f64).sqrt());
        let record = f64::from(1 << 24);
        differences.compare(
            format!("{what}: simulated"),
            row.simulated_per_sample,
            reference,
            4.0 * (reference / record).sqrt(),
        );
    }
    differences.none();
}

#[derive(Deserialize)]
struct Step {
    corner_hz: f64,
    dt_s: f64,
    i: u32,
    answer: f64,
}

// Source: scipy.signal.step of the continuous pole (pole_step.csv); an input that is steady after its jump is exact in any sampled form.
#[test]
fn the_amplifier_answers_a_step_like_one_pole() {
    let mut differences = Differences::default();
    for row in read::<Step>("pole_step") {
        let sample = SampleCoefficients::new(row.corner_hz, row.dt_s);
        let mut state = AnalogState::new(1);
        let lit = Photocurrents { field: [1.0, 0.0, 0.0, 0.0], lit: [0.0; 4] };
        state.light_jumps(&amplifier(0.0), &lit);
        let mut answer = 0.0;
        for _ in 0..row.i {
            answer = step(&amplifier(0.0), &mut state, &lit, &sample).a_v;
        }
        differences.compare(format!("{} Hz after {}", row.corner_hz, row.i), answer, row.answer, 1e-9);
    }
    differences.none();
}

#[derive(Deserialize)]
struct Sine {
    corner_hz: f64,
    dt_s: f64,
    frequency_hz: f64,
    gain: f64,
    lag_rad: f64,
    straight_gain: f64,
    straight_lag_rad: f64,
}

/// Gain and lag (rad) of the amplifier under a sine in the settled state.
fn measured(row: &Sine) -> (f64, f64) {
    let params = amplifier(0.0);
    let sample = SampleCoefficients::new(row.corner_hz, row.dt_s);
    let mut state = AnalogState::new(1);
    let turns = row.frequency_hz * row.dt_s;
    // Settled after 40 time constants; then as many whole periods as fit the samples.
    let settle = (40.0 / (TAU * row.corner_hz * row.dt_s)).ceil() as u32 + 1;
    let (mut re, mut im) = (0.0, 0.0);
    let count = 32_000;
    for i in 0..settle + count {
        let (s, c) = (TAU * turns * f64::from(i)).sin_cos();
        let lit = Photocurrents { field: [c, 0.0, 0.0, s], lit: [0.0; 4] };
        let out = step(&params, &mut state, &lit, &sample);
        if i >= settle {
            // A follows the cosine and -B the sine: together the complex answer, no leakage from the other sign.
            let (a, b) = (out.a_v, -out.b_v);
            re += a * c + b * s;
            im += b * c - a * s;
        }
    }
    let (re, im) = (re / f64::from(count), im / f64::from(count));
    (re.hypot(im), -im.atan2(re))
}

// Source: scipy.signal.freqs of the continuous pole, cont2discrete (foh) and freqz of its sampled form (pole_sine.csv).
#[test]
fn the_amplifier_answers_a_sine_like_one_pole() {
    let mut differences = Differences::default();
    for row in read::<Sine>("pole_sine") {
        let what = format!("{} Hz at {} Hz every {} s", row.corner_hz, row.frequency_hz, row.dt_s);
        let (gain, lag) =
            (one_pole_gain(row.frequency_hz, row.corner_hz), one_pole_lag_rad(row.frequency_hz, row.corner_hz));
        differences.compare(format!("{what}: formula gain"), gain, row.gain, 1e-9);
        differences.compare(format!("{what}: formula lag"), lag, row.lag_rad, 1e-9);
        let (gain, lag) = measured(&row);
        differences.compare(format!("{what}: gain"), gain, row.straight_gain, 1e-9);
        differences.compare(format!("{what}: lag"), lag, row.straight_lag_rad, 1e-9);
    }
    differences.none();
}
