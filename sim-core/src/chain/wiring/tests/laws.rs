//! Laws that hold for any wiring.

use super::near;
use crate::chain::line::{Driver, Legs, OutputForm};
use crate::chain::wiring::flex::FlexParams;
use crate::chain::wiring::harness::{Harness, Pair, Wire, WireFault};
use crate::chain::wiring::network::{Network, NetworkParams};
use crate::chain::wiring::{FlexContact, Wiring, WiringParams, WiringState};
use proptest::prelude::*;

fn a_wire() -> impl Strategy<Value = Wire> {
    prop::sample::select(Wire::ALL.to_vec())
}

fn a_pair() -> impl Strategy<Value = Pair> {
    prop::sample::select(Pair::ALL.to_vec())
}

fn a_fault() -> impl Strategy<Value = WireFault> {
    let short = || prop_oneof![Just(0.01), 0.01..1e6];
    prop_oneof![
        a_wire().prop_map(WireFault::Open),
        (a_wire(), 0.0..1e7).prop_map(|(wire, ohm)| WireFault::HighResistance { wire, ohm }),
        (a_wire(), short()).prop_map(|(wire, ohm)| WireFault::ShortToShield { wire, ohm }),
        (a_wire(), short()).prop_map(|(wire, ohm)| WireFault::ShortToSupply { wire, ohm }),
        (a_wire(), a_wire(), short()).prop_map(|(i, j, ohm)| WireFault::ShortBetween { wires: [i, j], ohm }),
        (a_wire(), a_wire()).prop_map(|(i, j)| WireFault::Swapped([i, j])),
        (a_pair(), a_pair()).prop_map(|(i, j)| WireFault::PairsSwapped([i, j])),
        a_pair().prop_map(WireFault::TerminationMissing),
        Just(WireFault::SupplyOpen),
    ]
}

fn faults() -> impl Strategy<Value = Vec<WireFault>> {
    prop::collection::vec(a_fault(), 0..6)
}

prop_compose! {
    fn a_network()(
        leg_ohm in 1.0..2e3, termination in any::<bool>(), ohm in 10.0..1e5, bias_ohm in 4e3..1e9,
        bias_v in -30.0..30.0, shield_v in -30.0..30.0, supply_v in -30.0..30.0, pair_f in 0.0..6e-8,
        single_ended in any::<bool>(), driver_on in any::<bool>(),
    ) -> NetworkParams {
        NetworkParams {
            leg_ohm, termination_ohm: termination.then_some(ohm), bias_ohm, bias_v, shield_v, supply_v, pair_f,
            single_ended, driver_on,
        }
    }
}

fn some_legs() -> impl Strategy<Value = Legs> {
    prop::array::uniform6(-50.0..50.0).prop_map(Legs)
}

proptest! {
    // No terminal leaves the span of its sources: legs, bias, shield, supply, 0 V. Finite follows from it.
    #[test]
    fn no_terminal_leaves_the_span_of_its_sources(p in a_network(), faults in faults(), legs in some_legs()) {
        let seen = Network::new(&p, &Harness::with_all(&faults)).apply(&legs);
        let sources = legs.0.into_iter().chain([p.bias_v, p.shield_v, p.supply_v, 0.0]);
        let (low, high) = sources.fold((0.0_f64, 0.0_f64), |(low, high), v| (low.min(v), high.max(v)));
        for (difference_v, common_v) in seen.difference_v.into_iter().zip(seen.common_v) {
            for v in [common_v + 0.5 * difference_v, common_v - 0.5 * difference_v] {
                prop_assert!((low - 1e-9..=high + 1e-9).contains(&v), "{} outside {} to {}", v, low, high);
            }
        }
    }

    // A healthy terminated pair is the divider V g/(g + 1/R_b + 2/R_t), whatever the bias.
    #[test]
    fn a_healthy_network_is_the_closed_form(
        mut p in a_network(), ohm in 10.0..1e5, difference_v in -10.0_f64..10.0, mean_v in -5.0..5.0,
    ) {
        p.termination_ohm = Some(ohm);
        (p.single_ended, p.driver_on) = (false, true);
        let network = Network::new(&p, &Harness::HEALTHY);
        let half = 0.5 * difference_v;
        let legs = Legs([mean_v + half, mean_v - half, 0.0, 0.0, mean_v, mean_v]);
        let g = 1.0 / p.leg_ohm;
        let seen = network.apply(&legs);
        let expected = difference_v * g / (g + 1.0 / p.bias_ohm + 2.0 / ohm);
        prop_assert!((seen.difference_v[0] - expected).abs() < 1e-9 * difference_v.abs().max(1.0));
        prop_assert!(seen.difference_v[2].abs() < 1e-9);
        // The common mode sees no termination.
        let mean = (mean_v * g + p.bias_v / p.bias_ohm) / (g + 1.0 / p.bias_ohm);
        prop_assert!((seen.common_v[0] - mean).abs() < 1e-9 * mean.abs().max(1.0));
    }

    // Exchanging the same conductors or pairs twice leaves the harness as it was, on top of any faults.
    #[test]
    fn swapping_twice_is_identity(faults in faults(), i in a_wire(), j in a_wire(), a in a_pair(), b in a_pair()) {
        let harness = Harness::with_all(&faults);
        for swap in [WireFault::Swapped([i, j]), WireFault::PairsSwapped([a, b])] {
            prop_assert_eq!(harness.with(&swap).with(&swap), harness);
        }
    }

    // Faults other than exchanges may be put in in any order.
    #[test]
    fn faults_commute_with_a_swap(faults in faults(), i in a_wire(), j in a_wire()) {
        let swap = WireFault::Swapped([i, j]);
        let still: Vec<WireFault> = faults.into_iter()
            .filter(|f| !matches!(f, WireFault::Swapped(_) | WireFault::PairsSwapped(_))).collect();
        let first = still.iter().fold(Harness::HEALTHY.with(&swap), |h, f| h.with(f));
        prop_assert_eq!(first, Harness::with_all(&still).with(&swap));
        let backwards: Vec<WireFault> = still.iter().rev().copied().collect();
        let (one, other) = (Harness::with_all(&still), Harness::with_all(&backwards));
        for k in 0..6 {
            prop_assert!((one.series_ohm[k] - other.series_ohm[k]).abs() <= 1e-9 * one.series_ohm[k]);
            prop_assert!((one.to_shield_s[k] - other.to_shield_s[k]).abs() <= 1e-9 * one.to_shield_s[k]);
        }
        prop_assert_eq!((one.open, one.terminated, one.powered), (other.open, other.terminated, other.powered));
    }

    // What is wrong with pair A, short of touching another pair, leaves B and the reference alone.
    #[test]
    fn a_fault_of_one_pair_stays_there(p in a_network(), legs in some_legs(), kind in 0..5, ohm in 0.01..1e6) {
        let wire = Wire::AMinus;
        let fault = [
            WireFault::Open(wire), WireFault::HighResistance { wire, ohm }, WireFault::ShortToShield { wire, ohm },
            WireFault::Swapped([Wire::APlus, wire]), WireFault::ShortBetween { wires: [Wire::APlus, wire], ohm },
        ][kind as usize];
        let healthy = Network::new(&p, &Harness::HEALTHY).apply(&legs);
        let seen = Network::new(&p, &Harness::HEALTHY.with(&fault)).apply(&legs);
        prop_assert_eq!(&seen.difference_v[1..], &healthy.difference_v[1..]);
        prop_assert_eq!(&seen.common_v[1..], &healthy.common_v[1..]);
    }

    // The quick way and the way for bridged pairs are the same function: a bridge of almost no conductance.
    #[test]
    fn a_feeble_bridge_changes_next_to_nothing(p in a_network(), legs in some_legs()) {
        let bridge = WireFault::ShortBetween { wires: [Wire::APlus, Wire::BMinus], ohm: 1e15 };
        let plain = Network::new(&p, &Harness::HEALTHY);
        let bridged = Network::new(&p, &Harness::HEALTHY.with(&bridge));
        prop_assert_eq!((plain.bridged(), bridged.bridged()), (false, p.driver_on && !p.single_ended));
        let (one, other) = (plain.apply(&legs), bridged.apply(&legs));
        for k in 0..3 {
            prop_assert!((one.difference_v[k] - other.difference_v[k]).abs() < 1e-3);
            prop_assert!((one.common_v[k] - other.common_v[k]).abs() < 1e-3);
        }
    }

    // Any wiring that passes its check gives finite voltages within the span of everything that was ever on the
    // wires, through pole and flexing contact; and the run is the same when it is repeated from a kept state.
    #[test]
    fn checked_wiring_gives_finite_voltages(
        faults in faults(), fault in a_fault(), seed in any::<u64>(), length_m in 0.0..200.0, supply_v in 0.0..30.0,
        samples in 1_u32..=64, channels in prop::collection::vec(prop::array::uniform3(-100.0..100.0), 1..40),
        form in prop::sample::select(vec![OutputForm::Analog, OutputForm::Squared, OutputForm::SingleEnded]),
    ) {
        let flex = FlexParams { from_m: 0.0, to_m: 1.0, open_rate_per_s: 1e3, mean_open_s: 1e-5 };
        let mut params = WiringParams::healthy(form, length_m);
        params.driver.supply_v = supply_v;
        params.faults = faults;
        params.contact = Some(FlexContact { fault, flex });
        prop_assert_eq!(params.check(), Ok(()));
        let (wiring, driver) = (Wiring::new(&params), Driver::new(&params.driver));
        let follow = wiring.follow(samples);
        let mut state = WiringState::new(seed);
        let high = supply_v.max(5.0) + 1e-9;
        let mut again: Option<WiringState> = None;
        for channel in channels {
            let legs = driver.analog(channel);
            let seen = wiring.step(&mut state, &legs, 0.5, 50e-6 / f64::from(samples), &follow);
            if let Some(mut kept) = again.take() {
                prop_assert_eq!(wiring.step(&mut kept, &legs, 0.5, 50e-6 / f64::from(samples), &follow), seen);
            }
            prop_assert!(seen.difference_v.iter().all(|v| v.abs() <= high), "{:?}", seen);
            prop_assert!(seen.common_v.iter().all(|v| (-1e-9..=high).contains(v)), "{:?}", seen);
            again = Some(serde_json::from_str(&serde_json::to_string(&state).unwrap()).unwrap());
        }
    }
}

// Every single-conductor fault changes what a receiver sees, so none is a dud.
#[test]
fn every_fault_of_a_wire_shows() {
    let p = super::table_network(true);
    let legs = Legs([2.75, 2.25, 2.6, 2.4, 2.7, 2.3]);
    let healthy = Network::new(&p, &Harness::HEALTHY).apply(&legs);
    for (k, wire) in Wire::ALL.into_iter().enumerate() {
        for fault in [
            WireFault::Open(wire),
            WireFault::HighResistance { wire, ohm: 100.0 },
            WireFault::ShortToShield { wire, ohm: 1.0 },
            WireFault::ShortToSupply { wire, ohm: 1.0 },
            WireFault::Swapped([wire, Wire::ALL[k ^ 1]]),
            WireFault::ShortBetween { wires: [wire, Wire::ALL[(k + 2) % 6]], ohm: 1.0 },
        ] {
            let seen = Network::new(&p, &Harness::HEALTHY.with(&fault)).apply(&legs);
            let moved = (seen.difference_v[k / 2] - healthy.difference_v[k / 2]).abs();
            assert!(moved > 0.01, "{fault:?} moves the pair by {moved} V only");
        }
    }
    for pair in Pair::ALL {
        let missing = Harness::HEALTHY.with(&WireFault::TerminationMissing(pair));
        let seen = Network::new(&p, &missing).apply(&legs).difference_v[pair as usize];
        near(seen / healthy.difference_v[pair as usize], 0.9985 / 0.799_041, 1e-3);
    }
}

// Found by the law of the span: plain elimination put a shorted pair that floats on a weak bias 1 uV beyond it, and
// could have made its resistance negative and so its pole unstable.
#[test]
fn a_shorted_floating_pair_sits_at_its_bias() {
    let p = NetworkParams { bias_ohm: 1e9, pair_f: 3e-9, driver_on: false, ..super::table_network(false) };
    let short = WireFault::ShortBetween { wires: [Wire::APlus, Wire::AMinus], ohm: 0.01 };
    let network = Network::new(&p, &Harness::HEALTHY.with(&short));
    let seen = network.apply(&Legs::default());
    assert!((seen.common_v[0] - 2.5).abs() < 1e-14 && seen.difference_v[0].abs() < 1e-14);
    assert!(network.corner_hz().iter().all(|hz| *hz > 0.0), "{:?}", network.corner_hz());
}
