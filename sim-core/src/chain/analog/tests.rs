use super::{
    AnalogForm, AnalogParams, AnalogState, SAMPLES_MAX, STEP_S, SampleCoefficients, SampleTable, johnson_density,
    noise_bandwidth_hz, one_pole_gain, one_pole_lag_rad, shot_density, step,
};
use crate::chain::light::GapTable;
use crate::chain::photo::{HEALTHY_HEAD, HeadOptics, HeadPose, Illumination, Photocurrents};
use crate::scale::{OutputKind, ScaleId};
use crate::surface::{SurfaceCursor, SurfaceIndex, SurfaceMap};
use std::f64::consts::{PI, TAU};

#[track_caller]
fn near(value: f64, expected: f64, relative: f64) {
    let error = (value / expected - 1.0).abs();
    assert!(error <= relative, "{value} is not {expected}: off by {error:e}");
}

fn light(field: [f64; 4]) -> Photocurrents {
    Photocurrents { field, lit: [0.0; 4] }
}

/// A differential amplifier of unity gain after 500 kohm.
fn params() -> AnalogParams {
    AnalogParams {
        form: AnalogForm::Differential,
        gain_ohm: [500e3; 2],
        resistor_ohm: 500e3,
        bandwidth_hz: 200e3,
        offsets_v: [0.0; 2],
        noise_scale: 1.0,
        temperature_k: 300.0,
        supply_v: 5.0,
    }
}

// Source: Schottky 1918, 2 q i B.
#[test]
fn signal_v28_shot_noise() {
    near((shot_density(1e-6) * 100e3).sqrt(), 1.790_071e-10, 1e-6);
}

// Source: Johnson and Nyquist 1928, 4 k T R B as a voltage.
#[test]
fn signal_v29_resistor_noise() {
    let volts = |hz: f64| 1e6 * (johnson_density(300.0, 1e6) * hz).sqrt();
    near(volts(1.0), 128.7159e-9, 1e-6);
    near(volts(100e3), 40.70355e-6, 1e-6);
}

// Source: shot and resistor noise through one pole of noise bandwidth pi/2 f_c.
#[test]
fn signal_v30_noise_of_one_photodiode_amplifier() {
    let bandwidth = noise_bandwidth_hz(200e3);
    near(bandwidth, 314.159e3, 1e-5);
    let density = shot_density(1e-6) + johnson_density(300.0, 500e3);
    near(500e3 * (density * bandwidth).sqrt(), 166.642e-6, 1e-5);
    // The chain's own sum: two diodes and two resistors in a difference, and the amplifier's
    // 10 nV/sqrt(Hz), which adds a thousandth here.
    let both = params().noise_v(&light([1e-6, 0.0, 1e-6, 0.0]))[0];
    near(both, 166.642e-6 * 2.0_f64.sqrt(), 2e-3);
    assert!(both > 166.642e-6 * 2.0_f64.sqrt());
}

// Source: textbook one-pole response.
#[test]
fn signal_v35_one_pole_at_half_its_corner_at_it_and_at_twice() {
    for (ratio, gain, lag_deg) in
        [(0.5, 0.894_427, 26.565), (1.0, std::f64::consts::FRAC_1_SQRT_2, 45.0), (2.0, 0.447_214, 63.435)]
    {
        near(one_pole_gain(ratio * 20e3, 20e3), gain, 1e-5);
        near(one_pole_lag_rad(ratio * 20e3, 20e3) * 180.0 / PI, lag_deg, 1e-5);
        // The sampled pole: a sine through it, measured by projection over 100 periods.
        // A sample every hundredth of the pole's time constant leads by half a sample.
        let fc = 20e3;
        let dt = 0.01 / (TAU * fc);
        let sample = SampleCoefficients::new(fc, dt);
        let mut p = params();
        p.noise_scale = 0.0;
        let mut state = AnalogState::new(0);
        let per_period = 1.0 / (ratio * fc * dt);
        let (settle, n) = (5_000, (100.0 * per_period) as i32);
        let (mut re, mut im) = (0.0, 0.0);
        for i in 0..settle + n {
            let phase = TAU * f64::from(i) / per_period;
            let i_a = 1e-6 * libm::cos(phase);
            let out = step(&p, &mut state, &light([i_a, 0.0, 0.0, 0.0]), &sample);
            if i >= settle {
                re += 2.0 * out.a_v / 0.5 * libm::cos(phase) / f64::from(n);
                im += 2.0 * out.a_v / 0.5 * libm::sin(phase) / f64::from(n);
            }
        }
        near(libm::hypot(re, im), gain, 2e-3);
        let lag = libm::atan2(im, re) * 180.0 / PI;
        assert!((lag - lag_deg).abs() < 0.1, "{lag} {lag_deg}");
    }
}

// Source: definition of a stationary first-order process: variance 1, correlation exp(-2 pi f dt).
// Tolerance: four standard errors for the correlation time in use.
#[test]
fn signal_v32_noise_has_its_variance_at_any_sample_rate() {
    let table = SampleTable::new(50e3);
    near(SampleCoefficients::new(50e3, 1e-6).keep, 0.730_402_7, 1e-6);
    for samples in [1, 5, 50] {
        let sample = table.of(samples);
        let mut state = AnalogState::new(u64::from(samples));
        let p = params();
        let lit = light([0.3e-6; 4]);
        let sigma = p.noise_v(&lit);
        let n = 200_000;
        let (mut square, mut product, mut cross, mut last) = (0.0, 0.0, 0.0, 0.0);
        for _ in 0..n {
            let out = step(&p, &mut state, &lit, &sample);
            let (a, b) = (out.a_v / sigma[0], out.b_v / sigma[1]);
            square += a * a / f64::from(n);
            product += a * last / f64::from(n);
            cross += a * b / f64::from(n);
            last = a;
        }
        let spread = ((1.0 + sample.keep) / (1.0 - sample.keep) / f64::from(n)).sqrt();
        assert!((square - 1.0).abs() < 4.0 * 1.5 * spread, "{samples}: {square}");
        assert!((product - sample.keep).abs() < 4.0 * 1.5 * spread, "{samples}: {product}");
        assert!(cross.abs() < 4.0 * spread, "A and B are independent: {cross}");
    }
}

#[test]
fn coefficients_of_the_table_are_those_of_the_sample_length() {
    let table = SampleTable::new(200e3);
    for n in 1..=SAMPLES_MAX {
        assert_eq!(table.of(n), SampleCoefficients::new(200e3, STEP_S / f64::from(n)));
    }
    assert_eq!(table.of(0), table.of(1));
    assert_eq!(table.of(1000), table.of(64));
    // n samples bring a step exactly as far as one.
    let (one, many) = (table.of(1), table.of(50));
    let kept = (0..50).fold(1.0, |k, _| k * many.keep);
    assert!((kept - one.keep).abs() < 1e-14);
}

// Source: the preset table: 1 V peak to peak; 1.2 V +- 0.97 V (common practice and own).
#[test]
fn clean_nominal_heads_give_their_nominal_output() {
    for id in ScaleId::ALL {
        let spec = id.spec();
        let pose = HeadPose::nominal(&spec);
        let table = GapTable::build(&spec);
        let optics = HeadOptics::new(&spec, &table, &pose, Illumination::NOMINAL, &HEALTHY_HEAD);
        let clean = SurfaceIndex::for_scale(&SurfaceMap::new(), &spec);
        let mut p = AnalogParams::nominal(&spec);
        p.noise_scale = 0.0;
        let mut state = AnalogState::new(0);
        let sample = SampleTable::new(p.bandwidth_hz).of(1);
        let n = 720;
        let (mut mean, mut re) = (0.0, 0.0);
        for i in 0..n {
            let theta = f64::from(i) / f64::from(n);
            let x = theta * spec.period_m;
            let lit = optics.currents(x, &clean, &mut SurfaceCursor::default());
            state.settle(&p, &lit);
            let a_v = step(&p, &mut state, &lit, &sample).a_v;
            mean += a_v / f64::from(n);
            re += 2.0 * a_v * libm::cos(TAU * theta) / f64::from(n);
        }
        match spec.output {
            OutputKind::Differential1Vpp => {
                // To the interpolation error of the gap table.
                near(re, 0.5, 1e-4);
                assert!(mean.abs() < 1e-9);
            }
            OutputKind::SingleEnded { mean_v, amplitude_v } => {
                // The dark current adds 4 mV to the mean.
                near(mean, mean_v, 5e-3);
                near(re, amplitude_v, 5e-3);
            }
        }
    }
}

#[test]
fn outputs_stay_within_the_supply() {
    let sample = SampleTable::new(200e3).of(1);
    let mut p = params();
    p.noise_scale = 0.0;
    p.offsets_v = [100.0, -100.0];
    let out = step(&p, &mut AnalogState::new(0), &light([0.0; 4]), &sample);
    near(out.a_v, 4.6, 1e-12);
    near(out.b_v, -4.6, 1e-12);
    p.form = AnalogForm::SingleEnded { dark_v: 0.1 };
    let out = step(&p, &mut AnalogState::new(0), &light([0.0; 4]), &sample);
    assert_eq!((out.a_v, out.b_v), (5.0, 0.0));
    p.supply_v = -1.0;
    let out = step(&p, &mut AnalogState::new(0), &light([0.0; 4]), &sample);
    assert_eq!((out.a_v, out.b_v), (0.0, 0.0));
}

#[test]
fn silence_does_not_shift_the_noise_that_follows() {
    let sample = SampleTable::new(200e3).of(20);
    let lit = light([0.3e-6, 0.2e-6, 0.1e-6, 0.2e-6]);
    let (mut loud, mut paused) = (AnalogState::new(5), AnalogState::new(5));
    let mut p = params();
    for _ in 0..100 {
        step(&p, &mut loud, &lit, &sample);
        p.noise_scale = 0.0;
        step(&p, &mut paused, &lit, &sample);
        p.noise_scale = 1.0;
    }
    assert_eq!(loud.streams, paused.streams);
}

#[test]
fn a_saved_amplifier_goes_on_bit_for_bit() {
    let sample = SampleTable::new(200e3).of(20);
    let lit = light([0.3e-6, 0.2e-6, 0.1e-6, 0.2e-6]);
    let p = params();
    let mut state = AnalogState::new(5);
    for _ in 0..50 {
        step(&p, &mut state, &lit, &sample);
    }
    let text = serde_json::to_string(&state).expect("the state is plain numbers");
    let mut back: AnalogState = serde_json::from_str(&text).expect("what was written reads");
    for _ in 0..50 {
        let (x, y) = (step(&p, &mut state, &lit, &sample), step(&p, &mut back, &lit, &sample));
        assert_eq!((x.a_v.to_bits(), x.b_v.to_bits()), (y.a_v.to_bits(), y.b_v.to_bits()));
    }
    assert_eq!(back, state);
}
