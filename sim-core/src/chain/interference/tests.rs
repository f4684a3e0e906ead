use super::edges::{Edge, Edges};
use super::{
    GroundReturn, Interference, InterferenceParams, InterferenceState, InterferenceStep, Inverter, Mains, Pickup,
    Reception, Shield,
};
use crate::chain::analog::STEP_S;
use crate::chain::photo::Photocurrents;
use proptest::prelude::{prop_assert, proptest};
use std::f64::consts::{PI, TAU};

#[track_caller]
fn near(value: f64, expected: f64, relative: f64) {
    let error = (value / expected - 1.0).abs();
    assert!(error <= relative, "{value} is not {expected}: off by {error:e}");
}

fn hum(hum_v: f64) -> InterferenceParams {
    InterferenceParams { mains: Mains { hum_v, ..InterferenceParams::QUIET.mains }, ..InterferenceParams::QUIET }
}

fn bursts(shield: Shield) -> InterferenceParams {
    let inverter = Inverter { edge_v: 10.0, ..InterferenceParams::QUIET.inverter };
    InterferenceParams { inverter, shield, ..InterferenceParams::QUIET }
}

/// `(time, what is added)` at every sample of `steps` steps.
fn run(params: &InterferenceParams, seed: u64, steps: u64, samples: u32) -> Vec<(f64, Interference)> {
    let pickup = Pickup::new(params);
    let (mut state, mut now) = (InterferenceState::new(seed), InterferenceStep::default());
    let mut out = Vec::new();
    for step in 0..steps {
        pickup.begin(step, samples, &mut state, &mut now);
        for i in 1..=samples {
            let time_s = STEP_S * (step as f64 + f64::from(i) / f64::from(samples));
            out.push((time_s, pickup.sample(&mut now, &mut state)));
        }
    }
    out
}

/// Amplitude of the component at `hz` by projection.
fn component(samples: &[(f64, f64)], hz: f64) -> f64 {
    let (mut re, mut im) = (0.0, 0.0);
    for (t, v) in samples {
        re += v * libm::cos(TAU * hz * t);
        im += v * libm::sin(TAU * hz * t);
    }
    2.0 * libm::hypot(re, im) / samples.len() as f64
}

// Source: section 5: V_h with 0.3 of the third and 0.15 of the fifth harmonic; term by term.
#[test]
fn hum_is_its_three_harmonics() {
    for hz in [50.0, 60.0] {
        let mut params = hum(0.8);
        params.mains.hz = hz;
        params.mains.phase_turns = 0.13;
        for (t, now) in run(&params, 1, 800, 3) {
            let phase = hz * t + 0.13;
            let sine = |n: f64| libm::sin(TAU * n * phase);
            let expected = 0.8 * (sine(1.0) + 0.3 * sine(3.0) + 0.15 * sine(5.0));
            assert!((now.common_v - expected).abs() < 5e-6 * 0.8, "{hz} Hz at {t}");
        }
        // Ten whole periods at 50 Hz, twelve at 60 Hz.
        let seen: Vec<_> = run(&params, 1, 4000, 1).iter().map(|(t, now)| (*t, now.common_v)).collect();
        for (order, share) in [(1.0, 1.0), (3.0, 0.3), (5.0, 0.15)] {
            near(component(&seen, order * hz), 0.8 * share, 1e-4);
        }
        assert!(component(&seen, 2.0 * hz) < 1e-6);
    }
}

// Source: section 5: 1 + 0.3 cos(2 pi 2 f_m t), cancels in differences only.
#[test]
fn lamps_flicker_at_twice_the_mains_and_cancel_in_differences() {
    let mut params = InterferenceParams::QUIET;
    params.mains.lamp_ripple = 0.3;
    for (t, now) in run(&params, 1, 800, 3) {
        assert!((now.ambient_factor - 1.0 - 0.3 * libm::cos(TAU * 100.0 * t)).abs() < 1e-6);
        assert_eq!((now.common_v, now.differential_v), (0.0, [0.0; 2]));
        let mut light = Photocurrents { field: [3e-7, 2e-7, 1e-7, 2e-7], lit: [0.0; 4] };
        now.add_lamp_ripple(&mut light, &[5e-8; 4]);
        let [i0, i1, i2, i3] = light.field;
        assert!((i0 - i2 - 2e-7).abs() < 1e-20 && (i1 - i3).abs() < 1e-20);
        assert!((i0 - 3e-7 - 0.3 * 5e-8 * libm::cos(TAU * 100.0 * t)).abs() < 1e-13);
    }
}

// Source: the edge formula of section 5, period by period over a tenth of a second.
#[test]
fn steps_neither_lose_nor_repeat_an_edge() {
    for (pwm_hz, modulation, electrical_hz) in [
        (8e3, 0.8, 50.0),
        (16e3, 1.0, 200.0),
        (20e3, 1.0, 1000.0),
        (10e3, 1.0, 1000.0),
        (1e3, 0.0, 0.0),
        (4321.0, 0.3, 17.0),
    ] {
        let inverter = Inverter { pwm_hz, modulation, electrical_hz, ..InterferenceParams::QUIET.inverter };
        let steps = 2000;
        let mut seen: Vec<(f64, f64)> = Vec::new();
        for step in 0..steps {
            let edges = Edges::of_step(&inverter, step);
            let list: Vec<Edge> = (0..edges.len()).filter_map(|i| edges.get(i).copied()).collect();
            assert!(list.windows(2).all(|p| p[0].after_s <= p[1].after_s), "in order of time");
            assert!(list.iter().all(|e| e.after_s >= 0.0 && e.after_s <= STEP_S * (1.0 + 1e-9)));
            seen.extend(list.iter().map(|e| (e.after_s + step as f64 * STEP_S, e.sign)));
        }
        let end_s = steps as f64 * STEP_S;
        let mut expected = Vec::new();
        for k in 0..=(end_s * pwm_hz) as i32 + 1 {
            for j in 0..3 {
                let middle = f64::from(k) + 0.5;
                let sine = libm::sin(TAU * (electrical_hz * middle / pwm_hz - f64::from(j) / 3.0));
                let duty = 0.5 + 0.5 * modulation * sine;
                expected.push(((middle - 0.5 * duty) / pwm_hz, 1.0));
                expected.push(((middle + 0.5 * duty) / pwm_hz, -1.0));
            }
        }
        // Edges within a nanosecond of either end may fall to either side of it.
        let inside = |e: &(f64, f64)| e.0 > 1e-9 && e.0 < end_s - 1e-9;
        expected.retain(inside);
        seen.retain(inside);
        let key = |e: &(f64, f64)| (e.0 * 1e10) as i64;
        expected.sort_by_key(key);
        seen.sort_by_key(key);
        assert_eq!(seen.len(), expected.len(), "{pwm_hz} Hz");
        for (a, b) in seen.iter().zip(&expected) {
            assert!((a.0 - b.0).abs() < 1e-9, "{pwm_hz} Hz: {a:?} {b:?}");
        }
        let balance: f64 = seen.iter().map(|e| e.1).sum();
        assert!(balance.abs() <= 6.0, "as many up as down: {balance}");
    }
}

// Source: the burst formula of section 5 summed edge by edge. The ringing is slow enough here
// (0.1 MHz at 0.5 Msample/s and more) for the sine itself.
#[test]
fn overlapping_bursts_are_the_sum_of_each() {
    for samples in [25, 64] {
        let mut params = bursts(Shield::Open);
        params.inverter = Inverter { ring_hz: 0.1e6, decay_s: 20e-6, modulation: 0.9, ..params.inverter };
        let mut all: Vec<Edge> = Vec::new();
        for step in 0..400 {
            let edges = Edges::of_step(&params.inverter, step);
            for edge in (0..edges.len()).filter_map(|i| edges.get(i)) {
                all.push(Edge { after_s: edge.after_s + step as f64 * STEP_S, ..*edge });
            }
        }
        for (t, now) in run(&params, 1, 400, samples) {
            let expected: f64 = all
                .iter()
                .filter(|e| e.after_s <= t && t - e.after_s < 400e-6)
                .map(|e| {
                    let age = t - e.after_s;
                    2.0 * e.sign * libm::exp(-age / 20e-6) * libm::sin(TAU * 0.1e6 * age)
                })
                .sum();
            assert!((now.common_v - expected).abs() < 1e-5, "at {t}: {} {expected}", now.common_v);
        }
    }
}

// Source: section 5: past f_s/4 the envelope with a normal factor of variance one half. The mean
// power over a long time is then the sine's own, whose energy per burst is a textbook integral.
// Tolerance: four standard errors of the mean, measured over 50 blocks of the run, and 3 % for
// the share of time in which bursts of two phases overlap and add as amplitudes.
#[test]
fn envelope_keeps_the_power_of_the_ringing() {
    let params = bursts(Shield::Open);
    let blocks: Vec<f64> = run(&params, 3, 20_000, 64)
        .chunks(20_000 * 64 / 50)
        .map(|c| c.iter().map(|(_, now)| now.common_v * now.common_v).sum::<f64>() / c.len() as f64)
        .collect();
    let mean = blocks.iter().sum::<f64>() / 50.0;
    let spread = (blocks.iter().map(|b| (b - mean) * (b - mean)).sum::<f64>() / 49.0 / 50.0).sqrt();
    // Energy of one burst: V^2 INT exp(-2t/tau) sin^2 = V^2 tau/4 (1 - 1/(1 + (2 pi f tau)^2)); six
    // edges per switching period, far apart from each other for most of the time.
    let wt = TAU * 3e6 * 1e-6;
    let one = 2.0 * 2.0 * 1e-6 / 4.0 * (1.0 - 1.0 / (1.0 + wt * wt));
    let expected = 6.0 * 8e3 * one;
    assert!((mean - expected).abs() < 4.0 * spread + 0.03 * expected, "{mean} {expected} {spread}");
    assert!(spread < 0.03 * expected, "the run is long enough to tell: {spread}");
}

// Source: section 5: both ends 0.002, one end 0.02, open 0.2, together with the motor cable x 3.
#[test]
fn shield_and_duct_decide_what_reaches_the_cable() {
    for (shield, share) in [(Shield::BothEnds, 0.002), (Shield::OneEnd, 0.02), (Shield::Open, 0.2)] {
        let mut params = bursts(shield);
        near(Pickup::new(&params).burst_height_v().0, 10.0 * share, 1e-12);
        params.beside_motor_cable = true;
        near(Pickup::new(&params).burst_height_v().0, 30.0 * share, 1e-12);
    }
    // The earths' difference goes the other way round: the second bond closes the loop.
    let loop_v = |shield| {
        let mut params = InterferenceParams { shield, ..InterferenceParams::QUIET };
        params.mains.earth_difference_v = 1.0;
        params.hum_common_v()
    };
    assert!(loop_v(Shield::BothEnds) > 10.0 * loop_v(Shield::OneEnd));
}

// Source: Ohm's law, section 5: V_g = R_gnd I_return on both conductors, whatever the shield.
#[test]
fn shared_ground_return_adds_its_voltage() {
    for shield in [Shield::BothEnds, Shield::OneEnd, Shield::Open] {
        let ground = GroundReturn { ohm: 0.05, mains_a: 4.0, burst_a: 2.0 };
        let params = InterferenceParams { ground, shield, ..InterferenceParams::QUIET };
        near(params.hum_common_v(), 0.2, 1e-12);
        near(params.burst_common_v(), 0.1, 1e-12);
        let seen: Vec<_> = run(&params, 1, 4000, 1).iter().map(|(t, now)| (*t, now.common_v)).collect();
        near(component(&seen, 50.0), 0.2, 0.02);
    }
}

// Source: definition of the common-mode rejection ratio.
#[test]
fn pairs_reject_common_mode_and_single_conductors_do_not() {
    let mut params = hum(1.0);
    params.reception = Reception::Differential { cmrr_db: [40.0, 60.0] };
    for (_, now) in run(&params, 1, 100, 1) {
        assert!((now.differential_v[0] - 0.01 * now.common_v).abs() < 1e-15);
        assert!((now.differential_v[1] - 0.001 * now.common_v).abs() < 1e-15);
    }
    params.reception = Reception::SingleEnded;
    for (_, now) in run(&params, 1, 100, 1) {
        assert_eq!(now.differential_v, [now.common_v; 2]);
    }
}

#[test]
fn quiet_surroundings_add_nothing_and_draw_nothing() {
    let pickup = Pickup::new(&InterferenceParams::QUIET);
    assert!(pickup.is_off());
    assert!(run(&InterferenceParams::QUIET, 1, 100, 7).iter().all(|(_, now)| *now == Interference::NONE));
    let mut state = InterferenceState::new(1);
    let before = state.clone();
    let mut step = InterferenceStep::default();
    pickup.begin(0, 1, &mut state, &mut step);
    pickup.sample(&mut step, &mut state);
    assert_eq!(state, before);
    assert_eq!(pickup.samples_wanted(0, &state, 0.0), 0);
}

// The number of samples that the burst asks for: seen so, a standing axis meets nearly every burst.
#[test]
fn a_standing_axis_looks_often_enough_to_meet_the_bursts() {
    let params = bursts(Shield::Open);
    let pickup = Pickup::new(&params);
    assert_eq!(pickup.samples_wanted(0, &InterferenceState::new(1), 0.1), 0, "2 V become 8 mV at 48 dB");
    let caught = |fixed: Option<u32>| {
        let (mut state, mut now) = (InterferenceState::new(1), InterferenceStep::default());
        let (mut met, mut edges) = (0, 0);
        for step in 0..4000 {
            let samples = fixed.unwrap_or_else(|| pickup.samples_wanted(step, &state, 1e-3)).clamp(1, 64);
            let found = Edges::of_step(&params.inverter, step);
            edges += i32::from(!found.is_empty());
            pickup.begin(step, samples, &mut state, &mut now);
            let mut peak_v = 0.0_f64;
            for _ in 0..samples {
                peak_v = peak_v.max(pickup.sample(&mut now, &mut state).common_v.abs());
            }
            met += i32::from(peak_v > 0.2);
        }
        f64::from(met) / f64::from(edges)
    };
    assert!(caught(Some(1)) < 0.25, "{}", caught(Some(1)));
    assert!(caught(None) > 0.95, "{}", caught(None));
}

#[test]
fn ringing_ends_with_the_inverter() {
    let loud = Pickup::new(&bursts(Shield::Open));
    let (mut state, mut now) = (InterferenceState::new(1), InterferenceStep::default());
    let mut step = 0;
    while state.ring == [0.0; 2] {
        loud.begin(step, 64, &mut state, &mut now);
        (0..64).for_each(|_| {
            loud.sample(&mut now, &mut state);
        });
        step += 1;
        assert!(step < 1000, "some step ends while a burst lives");
    }
    Pickup::new(&InterferenceParams::QUIET).begin(step, 1, &mut state, &mut now);
    assert_eq!(state.ring, [0.0; 2]);
}

#[test]
fn a_saved_state_goes_on_bit_for_bit() {
    let mut params = bursts(Shield::Open);
    params.mains.hum_v = 0.1;
    params.inverter.decay_s = 10e-6;
    let pickup = Pickup::new(&params);
    let mut state = InterferenceState::new(9);
    let go = |state: &mut InterferenceState, step: u64| -> Vec<u64> {
        let mut now = InterferenceStep::default();
        pickup.begin(step, 16, state, &mut now);
        (0..16).map(|_| pickup.sample(&mut now, state).common_v.to_bits()).collect()
    };
    for step in 0..200 {
        let text = serde_json::to_string(&state).expect("the state is plain numbers");
        let mut back: InterferenceState = serde_json::from_str(&text).expect("what was written reads");
        assert_eq!(go(&mut back, step), go(&mut state, step));
        assert_eq!(back, state);
    }
}

#[test]
fn wrong_parameters_are_refused_with_name_value_and_range() {
    assert_eq!(InterferenceParams::QUIET.check(), Ok(()));
    let told = |change: fn(&mut InterferenceParams)| {
        let mut params = InterferenceParams::QUIET;
        change(&mut params);
        params.check().unwrap_err().to_string()
    };
    assert_eq!(told(|p| p.mains.hz = 16.7), "mains.hz: 16.7 is outside the allowed range 40 to 70 (unit: Hz)");
    assert!(told(|p| p.inverter.pwm_hz = f64::NAN).starts_with("inverter.pwm_hz: NaN is not a finite number"));
    assert!(told(|p| p.inverter.decay_s = 0.0).contains("inverter.decay_s: 0 is outside"));
    assert!(told(|p| p.ground.ohm = -1.0).contains("ground.ohm: -1 is outside the allowed range 0 to 10 (unit: ohm)"));
    assert!(
        told(|p| p.reception = Reception::Differential { cmrr_db: [50.0, f64::INFINITY] })
            .starts_with("reception.cmrr_db.b: inf is not a finite number")
    );
}

proptest! {
    #[test]
    fn any_surroundings_give_finite_volts_within_their_sources(
        hum_v in 0.0..20.0_f64, edge_v in 0.0..100.0_f64, pwm_hz in 1e3..20e3_f64, modulation in 0.0..1.0_f64,
        electrical_hz in 0.0..1e3_f64, ring_hz in 0.1e6..30e6_f64, decay_s in 0.05e-6..20e-6_f64,
        first in 0_u64..1_000_000_000_000, samples in 1_u32..64,
    ) {
        let inverter = Inverter { edge_v, pwm_hz, electrical_hz, modulation, ring_hz, decay_s };
        let params = InterferenceParams { inverter, shield: Shield::Open, ..hum(hum_v) };
        prop_assert!(params.check().is_ok());
        let pickup = Pickup::new(&params);
        let (mut state, mut now) = (InterferenceState::new(first), InterferenceStep::default());
        // Twelve edges at once and the bursts before them, 8 sigma of the random factor.
        let most_v = 1.45 * hum_v + 24.0 * 0.2 * edge_v * 8.0 / 2.0_f64.sqrt();
        for step in first..first + 20 {
            pickup.begin(step, samples, &mut state, &mut now);
            for _ in 0..samples {
                let added = pickup.sample(&mut now, &mut state);
                prop_assert!(added.common_v.is_finite() && added.common_v.abs() <= most_v);
                prop_assert!(added.differential_v.iter().all(|v| v.abs() <= added.common_v.abs()));
            }
        }
    }

    // A burst shows the same at any number of samples per step where both look at it.
    #[test]
    fn ringing_does_not_depend_on_how_often_one_looks(phase in 0.0..1.0_f64, decay_s in 2e-6..20e-6_f64) {
        let mut params = bursts(Shield::OneEnd);
        params.inverter = Inverter { ring_hz: 0.1e6, decay_s, electrical_hz: 500.0 * phase, ..params.inverter };
        let (coarse, fine) = (run(&params, 1, 50, 32), run(&params, 1, 50, 64));
        for (i, (_, now)) in coarse.iter().enumerate() {
            prop_assert!((now.common_v - fine[2 * i + 1].1.common_v).abs() < 1e-6 * 0.2 * PI);
        }
    }
}
