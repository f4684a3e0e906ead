use super::{
    Driver, DriverParams, Legs, OutputForm, ReceiverParams, ReceiverState, TERMINATION_OHM, driven_level_v, load_gain,
};
use crate::chain::conductor::ConductorSize;
use proptest::prelude::*;

#[track_caller]
fn near(value: f64, expected: f64, relative: f64) {
    let error = (value / expected - 1.0).abs();
    assert!(error <= relative, "{value} is not {expected}: off by {error:e}");
}

// Source: TIA/EIA-422-B levels (public summaries), voltage divider over AWG 24.
#[test]
fn signal_v39_squared_level_after_a_hundred_metres() {
    let conductor_ohm = 100.0 * ConductorSize::Awg(24).ohm_per_m_20c();
    let level_v = driven_level_v(3.4, 120.0, 10.0, conductor_ohm);
    near(level_v, 2.601_333, 1e-6);
    // And the driver puts those 3.4 V on its legs, either way round; the receiver takes the level for valid.
    let driver = Driver::new(&DriverParams::usual(OutputForm::Squared));
    let Legs(legs) = driver.squared([true, false, true]);
    near(legs[0] - legs[1], 3.4, 1e-12);
    near(legs[2] - legs[3], -3.4, 1e-12);
    let mut receiver = ReceiverState::default();
    let seen = receiver.step(&ReceiverParams::default(), level_v, 2.5, 1e-6);
    assert!(seen.level && !seen.missing && !seen.common_mode);
}

// Source: TIA/EIA-422-B: at least 2 V across 100 ohm, at most 6 V open.
#[test]
fn the_driver_keeps_to_the_standard() {
    assert!(driven_level_v(3.4, 100.0, 10.0, 0.0) >= 2.0);
    assert!(DriverParams { emf_v: 6.1, ..DriverParams::usual(OutputForm::Squared) }.check().is_err());
}

// Source: TIA/EIA-422-B: sure beyond +-0.2 V, common mode within +-7 V; between, the standard promises nothing, and
// the usual receiver keeps its level or is made fail-safe (common practice).
#[test]
fn receiver_decides_keeps_or_falls_safe() {
    let run = |fail_safe| {
        let p = ReceiverParams { fail_safe, ..ReceiverParams::default() };
        let mut s = ReceiverState::default();
        [0.1, 0.3, 0.1, -0.1, -0.3, -0.1, 0.1].map(|v| s.step(&p, v, 0.0, 1e-7).level)
    };
    assert_eq!(run(false), [false, true, true, true, false, false, false]);
    assert_eq!(run(true), [true, true, true, true, false, true, true]);
}

#[test]
fn outside_the_common_mode_window_the_level_is_kept_and_flagged() {
    let p = ReceiverParams::default();
    let mut s = ReceiverState::default();
    assert!(s.step(&p, 2.0, 7.0, 1e-6).level);
    for common_v in [7.1, -7.1, f64::NAN, f64::INFINITY] {
        let seen = s.step(&p, -2.0, common_v, 1e-6);
        assert!(seen.level && seen.common_mode, "{common_v}");
    }
    assert!(!s.step(&p, -2.0, -7.0, 1e-6).level);
}

#[test]
fn a_pair_is_missing_after_a_microsecond_without_a_level() {
    let p = ReceiverParams::default();
    let mut s = ReceiverState::default();
    let missing: Vec<bool> = (0..4).map(|_| s.step(&p, 0.0, 2.5, 0.4e-6).missing).collect();
    assert_eq!(missing, [false, false, true, true]);
    assert!(!s.step(&p, -0.2, 2.5, 0.4e-6).missing);
    // The passage of an edge is shorter than that.
    assert!(!s.step(&p, 0.0, 2.5, 0.4e-6).missing);
    assert!(s.step(&p, f64::NAN, 2.5, 50e-6).missing);
}

// Source: 6.1: legs about half the supply, 1 V peak to peak across 120 ohm, clipped 0.2 V from the rails.
#[test]
fn analog_legs_swing_about_half_the_supply() {
    let driver = Driver::new(&DriverParams::usual(OutputForm::Analog));
    let Legs(legs) = driver.analog([0.5, -0.5, 0.0]);
    near(driven_level_v(legs[0] - legs[1], TERMINATION_OHM, 10.0, 0.0), 0.5, 1e-12);
    near(legs[0] + legs[1], 5.0, 1e-12);
    near(legs[2] - legs[3], legs[1] - legs[0], 1e-12);
    assert_eq!(legs[4..], [2.5, 2.5]);
    assert_eq!(driver.analog([100.0, 0.0, 0.0]).0[..2], [4.8, 0.2]);
    near(load_gain(120.0, 15.0), 1.25, 1e-15);
}

#[test]
fn single_ended_channels_have_one_leg_each_and_carry_every_lift_in_full() {
    let driver = Driver::new(&DriverParams::usual(OutputForm::SingleEnded));
    assert_eq!(driver.analog([1.2, -0.1, 9.0]).0, [1.2, 0.0, 0.0, 0.0, 5.0, 0.0]);
    let lifted = driver.analog([1.2, 0.5, 0.0]).lifted(0.25).0;
    assert_eq!(lifted, [1.45, 0.25, 0.75, 0.25, 0.25, 0.25]);
}

#[test]
fn a_starved_driver_sends_less_and_then_lets_go() {
    let on = |supply_v| Driver::new(&DriverParams { supply_v, ..DriverParams::usual(OutputForm::Squared) });
    let difference = |supply_v| {
        let Legs(legs) = on(supply_v).squared([true; 3]);
        legs[0] - legs[1]
    };
    near(difference(5.5), 3.4, 1e-12);
    near(difference(4.0), 2.4, 1e-12);
    assert!(on(3.0).on() && !on(2.9).on());
    assert_eq!(difference(0.0), 0.0);
}

#[test]
fn impossible_ends_are_refused_by_name() {
    let usual = DriverParams::usual(OutputForm::Analog);
    assert_eq!(usual.check(), Ok(()));
    let text = DriverParams { source_ohm: 0.0, ..usual }.check().expect_err("refused").to_string();
    assert_eq!(text, "driver.source_ohm: 0 is outside the allowed range 1 to 1000");
    let receiver = ReceiverParams::default();
    assert_eq!(receiver.check(), Ok(()));
    assert!(ReceiverParams { threshold_v: f64::NAN, ..receiver }.check().is_err());
}

proptest! {
    // No leg leaves its supply, whatever the amplifier says.
    #[test]
    fn legs_stay_within_the_supply(
        supply_v in 0.0..30.0, gain in 0.1..10.0, v in -1e6..1e6, level in any::<bool>(),
        form in prop::sample::select(vec![OutputForm::Analog, OutputForm::Squared, OutputForm::SingleEnded]),
    ) {
        let driver = Driver::new(&DriverParams { supply_v, gain, ..DriverParams::usual(form) });
        for legs in [driver.analog([v, -v, 0.0]), driver.squared([level, !level, level])] {
            prop_assert!(legs.0.iter().all(|leg| (0.0..=supply_v).contains(leg)), "{:?}", legs);
        }
    }
}
