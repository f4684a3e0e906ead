use super::flex::FlexParams;
use super::harness::{Harness, Pair, Wire, WireFault};
use super::network::{Network, NetworkParams, PairLevels};
use super::{FlexContact, Wiring, WiringParams, WiringState};
use crate::chain::conductor::{CableParams, ConductorSize, REFERENCE_K, rc_corner_hz};
use crate::chain::line::{Driver, DriverParams, Legs, OutputForm, ReceiverParams, ReceiverState, driven_level_v};

mod laws;

#[track_caller]
fn near(value: f64, expected: f64, relative: f64) {
    let error = (value / expected - 1.0).abs();
    assert!(error <= relative, "{value} is not {expected}: off by {error:e}");
}

/// The network of the table in 6.5: 15 ohm legs, 10 kohm to 2.5 V.
fn table_network(terminated: bool) -> NetworkParams {
    NetworkParams {
        leg_ohm: 15.0,
        termination_ohm: terminated.then_some(120.0),
        bias_ohm: 10e3,
        bias_v: 2.5,
        shield_v: 0.0,
        supply_v: 5.0,
        pair_f: 0.0,
        single_ended: false,
        driver_on: true,
    }
}

/// Legs of an open-circuit difference on pair A about 2.5 V.
fn legs_a(difference_v: f64) -> Legs {
    Legs([2.5 + 0.5 * difference_v, 2.5 - 0.5 * difference_v, 2.5, 2.5, 2.5, 2.5])
}

fn solve(terminated: bool, faults: &[WireFault]) -> Network {
    Network::new(&table_network(terminated), &Harness::with_all(faults))
}

/// Swing (signed, for 1 V peak to peak at the driver) and mean of the difference of pair A, V.
fn pair_a(terminated: bool, faults: &[WireFault]) -> (f64, f64) {
    let network = solve(terminated, faults);
    let (high, low) = (network.apply(&legs_a(0.5)).difference_v[0], network.apply(&legs_a(-0.5)).difference_v[0]);
    (high - low, 0.5 * (high + low))
}

const OPEN: WireFault = WireFault::Open(Wire::APlus);
const SHORT: WireFault = WireFault::ShortToShield { wire: Wire::APlus, ohm: 0.1 };

// Source: Kirchhoff's current law; a linear solve of the matrix of 6.5.
#[test]
fn signal_v40_wiring_table() {
    near(pair_a(true, &[]).0, 0.799_041, 1e-5);
    near(pair_a(true, &[OPEN]).0, 0.005_911, 1e-4); // stated to four digits
    near(pair_a(false, &[OPEN]).0, 0.499_251, 1e-5);
    near(pair_a(true, &[SHORT]).0, 0.446_468, 1e-5);
    near(pair_a(true, &[SHORT]).1, -2.206_227, 1e-5);
    // The rest of the table, to the digits it has.
    near(pair_a(false, &[]).0, 0.9985, 1e-4);
    near(pair_a(false, &[SHORT]).0, 0.5026, 1e-4);
    near(pair_a(false, &[SHORT]).1, -2.483, 2e-4);
    let both = [OPEN, WireFault::Open(Wire::AMinus)];
    assert_eq!(pair_a(true, &both), (0.0, 0.0));
    near(pair_a(true, &[WireFault::Swapped([Wire::APlus, Wire::AMinus])]).0, -0.799_041, 1e-5);
    near(pair_a(true, &[WireFault::Open(Wire::AMinus)]).0, 0.005_911, 1e-4);
    assert_eq!(pair_a(true, &[WireFault::SupplyOpen]), (0.0, 0.0));
}

// Source: Cramer's rule on the 2 x 2 matrix of 6.5, written out here apart from the solver.
#[test]
fn the_solver_agrees_with_cramers_rule() {
    for (g_p, g_n, s_p, s_n, g_t) in [
        (1.0 / 15.0, 1.0 / 15.0, 0.0, 0.0, 1.0 / 120.0),
        (1.0 / 215.0, 1.0 / 15.0, 0.0, 0.5, 1.0 / 120.0),
        (0.0, 1.0 / 15.0, 10.0, 0.0, 0.0),
    ] {
        let (b, v_b) = (1e-4, 2.5);
        let (v_p, v_n) = (2.9, 2.1);
        let (m11, m22) = (g_p + b + g_t + s_p, g_n + b + g_t + s_n);
        let (r1, r2) = (g_p * v_p + b * v_b, g_n * v_n + b * v_b);
        let det = m11 * m22 - g_t * g_t;
        let (p, n) = ((r1 * m22 + g_t * r2) / det, (m11 * r2 + g_t * r1) / det);

        let mut harness = Harness::HEALTHY;
        harness.open[0] = g_p == 0.0;
        harness.series_ohm[0] = if g_p > 0.0 { 1.0 / g_p - 15.0 } else { 0.0 };
        harness.to_shield_s = [s_p, s_n, 0.0, 0.0, 0.0, 0.0];
        let seen = Network::new(&table_network(g_t > 0.0), &harness).apply(&legs_a(0.8));
        near(seen.difference_v[0], p - n, 1e-12);
        near(seen.common_v[0], 0.5 * (p + n), 1e-12);
    }
}

// Source: superposition on the 4 x 4 network by symmetry: with A+ and B+ joined hard and alike, both terminals sit at
// the mean of what drives them.
#[test]
fn two_shorted_signal_wires_show_their_mean() {
    let short = WireFault::ShortBetween { wires: [Wire::APlus, Wire::BPlus], ohm: 0.01 };
    let network = solve(false, &[short]);
    assert!(network.bridged());
    let seen = network.apply(&Legs([3.0, 2.5, 2.0, 2.5, 2.5, 2.5]));
    assert!(seen.difference_v[0].abs() < 1e-3 && seen.difference_v[1].abs() < 1e-3);
    assert_eq!(seen.difference_v[2], 0.0);
    // Exactly: a divider of two 15 ohm legs with 0.01 ohm between them, but for the bias.
    let expected = 0.5 * 0.01 / 30.01;
    near(seen.difference_v[0], expected, 0.01);
    // Within a pair a short takes the signal away and bridges nothing.
    let within = WireFault::ShortBetween { wires: [Wire::APlus, Wire::AMinus], ohm: 0.1 };
    assert!(!solve(true, &[within]).bridged());
    assert!(pair_a(true, &[within]).0.abs() < 4e-3);
}

#[test]
fn exchanged_pairs_and_split_pairs_go_where_they_lead() {
    let legs = Legs([2.75, 2.25, 2.6, 2.4, 2.5, 2.5]);
    let healthy = solve(true, &[]).apply(&legs).difference_v;
    let exchanged = solve(true, &[WireFault::PairsSwapped([Pair::A, Pair::B])]);
    assert!(!exchanged.bridged());
    let seen = exchanged.apply(&legs).difference_v;
    assert_eq!([seen[0], seen[1]], [healthy[1], healthy[0]]);
    // A split pair: B+ and A- have changed places, so receiver A sees A+ less B+.
    let split = solve(false, &[WireFault::Swapped([Wire::AMinus, Wire::BPlus])]).apply(&legs).difference_v;
    near(split[0], 2.75 - 2.6, 2e-3);
    near(split[1], 2.25 - 2.4, 2e-3);
}

// Source: 6.5 and section 5: an open conductor turns common mode into signal, a healthy pair does not.
#[test]
fn a_broken_conductor_hears_all_common_mode() {
    let lift = |faults: &[WireFault], terminated| {
        let network = solve(terminated, faults);
        let at = |v| network.apply(&legs_a(0.0).lifted(v)).difference_v[0];
        at(1.0) - at(0.0)
    };
    assert!(lift(&[], true).abs() < 1e-12);
    near(lift(&[OPEN], false), -1.0, 2e-3);
    near(lift(&[WireFault::Open(Wire::AMinus)], false), 1.0, 2e-3);
    let contact = WireFault::HighResistance { wire: Wire::APlus, ohm: 100.0 };
    // Each leg is a divider into its bias resistor.
    near(lift(&[contact], false), 10e3 / 10_115.0 - 10e3 / 10_015.0, 1e-9);
    near(solve(true, &[]).apply(&legs_a(0.0)).common_v[0], 2.5, 1e-12);
}

#[test]
fn a_short_to_the_supply_pins_a_leg_high() {
    let (swing, mean) = pair_a(false, &[WireFault::ShortToSupply { wire: Wire::APlus, ohm: 0.1 }]);
    near(swing, 0.5026, 1e-3);
    near(mean, 2.483, 1e-3);
}

// Source: RC low-pass with the resistance seen between the terminals (Thevenin), textbook. The closed form of V41
// leaves out the bias resistors, 0.1 % here.
#[test]
fn the_cable_pole_follows_from_the_network() {
    let cable = CableParams { signal: ConductorSize::Awg(24), ..CableParams::usual(30.0) };
    let params = WiringParams { cable, ..WiringParams::healthy(OutputForm::Analog, 0.0) };
    let wiring = Wiring::new(&params);
    near(wiring.network().corner_hz()[0], 2.5597e6, 2e-3);
    // An open leg leaves 120 ohm and the other leg nothing to lead through: the pole is that of 120 ohm.
    let broken = WiringParams { faults: vec![OPEN], ..params };
    let corner_hz = Wiring::new(&broken).network().corner_hz();
    near(corner_hz[0], rc_corner_hz(120.0, 3e-9), 2e-2);
    // A bad contact before an unterminated input makes the channel slow; others keep their pole.
    let mut slow = params;
    slow.terminals.terminated = false;
    slow.faults = vec![WireFault::HighResistance { wire: Wire::APlus, ohm: 20e3 }];
    let corner_hz = Wiring::new(&slow).network().corner_hz();
    assert!(corner_hz[0] < 8e3 && corner_hz[1] > 1e6, "{corner_hz:?}");
}

// Source: one-pole step response 1 - exp(-t/tau), textbook; exact at the samples.
#[test]
fn a_step_at_the_head_arrives_through_the_pole() {
    let params = WiringParams::healthy(OutputForm::Analog, 100.0);
    let wiring = Wiring::new(&params);
    let driver = Driver::new(&params.driver);
    let mut state = WiringState::new(1);
    let (low, high) = (driver.analog([-0.5, 0.0, 0.0]), driver.analog([0.5, 0.0, 0.0]));
    state.settle(&wiring, &low);
    let (follow, dt_s) = (wiring.follow(64), 50e-6 / 64.0);
    let from = wiring.network().apply(&low).difference_v[0];
    let to = wiring.network().apply(&high).difference_v[0];
    let corner = wiring.network().corner_hz()[0];
    for n in 1..=5_i32 {
        let seen = wiring.step(&mut state, &high, 0.0, dt_s, &follow).difference_v[0];
        let left = libm::exp(-2.0 * std::f64::consts::PI * corner * dt_s * f64::from(n));
        assert!((seen - (to + (from - to) * left)).abs() < 1e-12, "sample {n}");
    }
}

// Source: 6.1 and 6.4: nominal 1 V peak to peak and a sure level at the end of a short cable, and V39's divider.
#[test]
fn healthy_lines_deliver_what_the_interface_says() {
    for (form, expected_v) in [(OutputForm::Analog, 0.5), (OutputForm::Squared, 2.914)] {
        let params = WiringParams::healthy(form, 0.1);
        assert_eq!(params.check(), Ok(()));
        let driver = Driver::new(&params.driver);
        let legs = if form == OutputForm::Analog { driver.analog([0.5, 0.0, 0.0]) } else { driver.squared([true; 3]) };
        near(Wiring::new(&params).network().apply(&legs).difference_v[0], expected_v, 3e-3);
    }
    let params = WiringParams::healthy(OutputForm::SingleEnded, 3.0);
    let legs = Driver::new(&params.driver).analog([1.2, 0.3, 4.0]);
    let seen = Wiring::new(&params).network().apply(&legs).difference_v;
    for (v, expected_v) in seen.into_iter().zip([1.2, 0.3, 4.0]) {
        near(v, expected_v, 2e-5);
    }
    // Broken, the single wire falls to 0 V; the negative wire does not exist and cannot break.
    let with = |fault| {
        Wiring::new(&WiringParams { faults: vec![fault], ..params.clone() }).network().apply(&legs).difference_v
    };
    assert_eq!(with(OPEN)[0], 0.0);
    assert_eq!(with(WireFault::Open(Wire::AMinus)), seen);
    assert_eq!(with(WireFault::Swapped([Wire::APlus, Wire::AMinus]))[0], 0.0);
}

// Source: 6.5, symptoms of squared lines: an open leg leaves 3.4 x 0.0059 V, far below the threshold, so the pair is
// missing; a shorted leg leaves a difference of one sign only, so the channel is stuck.
#[test]
fn squared_lines_show_the_symptoms_of_the_table() {
    let levels = |fault: Option<WireFault>| {
        let mut params = WiringParams::healthy(OutputForm::Squared, 30.0);
        params.faults.extend(fault);
        let (wiring, driver) = (Wiring::new(&params), Driver::new(&params.driver));
        let (receiver, mut state) = (ReceiverParams::default(), ReceiverState::default());
        [true, false, true, false].map(|level| {
            let PairLevels { difference_v, common_v } = wiring.network().apply(&driver.squared([level; 3]));
            state.step(&receiver, difference_v[0], common_v[0], 10e-6)
        })
    };
    assert_eq!(levels(None).map(|r| (r.level, r.missing)), [(true, false), (false, false)].repeat(2)[..]);
    assert!(levels(Some(OPEN)).iter().all(|r| r.missing && !r.level));
    assert!(levels(Some(SHORT)).iter().all(|r| !r.level));
    assert!(!levels(Some(SHORT))[1].missing);
    let swapped = levels(Some(WireFault::Swapped([Wire::APlus, Wire::AMinus])));
    assert_eq!(swapped.map(|r| r.level), [false, true, false, true]);
    assert!(levels(Some(WireFault::SupplyOpen)).iter().all(|r| r.missing));
    let unfed = WiringParams {
        driver: DriverParams { supply_v: 2.0, ..DriverParams::usual(OutputForm::Squared) },
        ..WiringParams::healthy(OutputForm::Squared, 30.0)
    };
    assert_eq!(Wiring::new(&unfed).network().apply(&legs_a(3.4)).difference_v, [0.0; 3]);
}

#[test]
fn a_flexing_contact_switches_between_the_two_networks() {
    let flex = FlexParams { from_m: 0.2, to_m: 0.4, open_rate_per_s: 20.0, mean_open_s: 10e-3 };
    let params = WiringParams {
        contact: Some(FlexContact { fault: OPEN, flex }),
        ..WiringParams::healthy(OutputForm::Analog, 0.0)
    };
    let wiring = Wiring::new(&params);
    let legs = Driver::new(&params.driver).analog([0.5, 0.5, 0.0]);
    let broken = Wiring::new(&WiringParams { faults: vec![OPEN], contact: None, ..params });
    let follow = wiring.follow(1);
    let mut state = WiringState::new(9);
    state.settle(&wiring, &legs);
    let (mut good, mut bad) = (0, 0);
    for _ in 0..40_000 {
        let seen = wiring.step(&mut state, &legs, 0.3, 50e-6, &follow);
        let expected = if state.contact_open() { &broken } else { &wiring };
        let expected = expected.network().apply(&legs);
        assert_eq!(seen.common_v, expected.common_v);
        // Without cable the pole follows at once, to the last bit but one.
        assert!((seen.difference_v[0] - expected.difference_v[0]).abs() < 1e-15);
        *(if state.contact_open() { &mut bad } else { &mut good }) += 1;
    }
    assert!(good > 20_000 && bad > 1_000, "{good} {bad}");
    for _ in 0..40_000 {
        wiring.step(&mut state, &legs, 0.5, 50e-6, &follow);
        assert!(!state.contact_open());
    }
}

#[test]
fn impossible_wiring_is_refused_by_name() {
    let usual = WiringParams::healthy(OutputForm::Analog, 10.0);
    assert_eq!(usual.check(), Ok(()));
    let refused = |p: WiringParams| p.check().expect_err("refused").to_string();
    let faulty = |fault| WiringParams { faults: vec![fault], ..usual.clone() };
    assert_eq!(
        refused(faulty(WireFault::ShortToShield { wire: Wire::BMinus, ohm: 0.0 })),
        "wire.short-to-shield.ohm: 0 is outside the allowed range 0.01 to 1000000"
    );
    assert!(refused(faulty(WireFault::HighResistance { wire: Wire::APlus, ohm: f64::NAN })).contains("NaN"));
    let mut input = usual.clone();
    input.terminals.bias_ohm = 100.0;
    assert!(refused(input).starts_with("terminals.bias_ohm: 100 is outside"));
    let mut warm = usual;
    warm.cable.temperature_k = REFERENCE_K + 500.0;
    assert!(refused(warm).starts_with("cable.temperature_k"));
    assert!(driven_level_v(1.0, 120.0, 10.0, 5.0) > 0.79);
}

#[test]
fn faults_have_readable_names_in_files() {
    let text = serde_json::to_string(&[SHORT, WireFault::Swapped([Wire::APlus, Wire::AMinus]), WireFault::SupplyOpen]);
    let text = text.expect("faults are plain data");
    assert_eq!(text, r#"[{"short-to-shield":{"wire":"a+","ohm":0.1}},{"swapped":["a+","a-"]},"supply-open"]"#);
    assert_eq!(serde_json::from_str::<Vec<WireFault>>(&text).expect("reads back").len(), 3);
}
