use super::{SquareLine, SquareLineParams, Stretch, carries};
use crate::chain::counter::Levels;
use crate::chain::interference::Interference;
use crate::chain::line::{Driver, OutputForm, ReceiverParams};
use crate::chain::squaring::SquaringParams;
use crate::chain::wiring::harness::WireFault;
use crate::chain::wiring::{Pair, Wire, Wiring, WiringParams, WiringState};
use proptest::prelude::*;

fn params() -> SquareLineParams {
    SquareLineParams {
        squaring: SquaringParams::default(),
        receivers: [ReceiverParams::default(); 3],
        offset_v: [0.0; 3],
        ground_v: 0.0,
    }
}

/// Sends 40 states forward over 15 m of cable with these faults, 20 us each; levels received and differences.
fn sent(p: &SquareLineParams, change: impl Fn(&mut WiringParams)) -> Vec<(Levels, [f64; 2], [bool; 3])> {
    let mut wiring = WiringParams::healthy(OutputForm::Squared, 15.0);
    change(&mut wiring);
    let (driver, wiring) = (Driver::new(&wiring.driver), Wiring::new(&wiring));
    let (mut line, mut state) = (SquareLine::default(), WiringState::new(1));
    line.settle(p, (&driver, &wiring), &mut state, (2, false));
    let dt_s = 20e-6;
    let follow = wiring.follow_for(dt_s);
    (0..40)
        .map(|i| {
            let stretch = Stretch { wanted: 2 + i, mark: i % 4 == 0, place_m: 0.1, dt_s, around: Interference::NONE };
            let arrived = line.step(p, (&driver, &wiring), &mut state, &stretch, &follow);
            let missing = arrived.received.map(|r| r.missing);
            (arrived.levels(), [arrived.difference_v[0], arrived.difference_v[1]], missing)
        })
        .collect()
}

fn faulty(fault: WireFault) -> Vec<(Levels, [f64; 2], [bool; 3])> {
    sent(&params(), |wiring| wiring.faults.push(fault))
}

/// States as they were sent.
fn true_levels(i: usize) -> Levels {
    Levels::of_state(2 + i as i64)
}

// Source: signal model 6.4, V = EMF R_t/(R_t + 2 (R_o + R' l)), by hand with AWG 26 (0.1339 ohm/m): 3.4 V 120/144.02 =
// 2.833 V, less what the 10 kohm bias takes (1.2 mA of some 24 mA). TIA/EIA-422-B asks a driver for 2 V into 100 ohm
// and a receiver for 0.2 V (from memory).
#[test]
fn a_healthy_line_shows_the_levels_of_the_standard_and_every_state() {
    for (i, (levels, v, missing)) in sent(&params(), |_| {}).into_iter().enumerate() {
        assert_eq!(levels, true_levels(i), "state {i}");
        assert!(v.iter().all(|v| (v.abs() - 2.82).abs() < 0.02 && v.abs() > 2.0), "{v:?}");
        assert_eq!(missing, [false; 3]);
    }
}

// Source: table of the signal model 6.5: an open conductor leaves 0.0059 of 0.7990, far below the 0.2 V of TIA-422-B.
#[test]
fn an_open_conductor_is_missing_and_keeps_the_last_level_or_reads_as_one() {
    for (_, v, missing) in faulty(WireFault::Open(Wire::APlus)) {
        assert!(v[0].abs() < 0.05 && v[1].abs() > 2.0, "{v:?}");
        assert_eq!(missing, [true, false, false]);
    }
    let held = faulty(WireFault::Open(Wire::APlus));
    assert!(held.iter().enumerate().all(|(i, s)| !s.0.a && s.0.b == true_levels(i).b));
    let safe = SquareLineParams {
        receivers: [ReceiverParams { fail_safe: true, ..ReceiverParams::default() }; 3],
        ..params()
    };
    let held = sent(&safe, |wiring| wiring.faults.push(WireFault::Open(Wire::APlus)));
    assert!(held.iter().all(|s| s.0.a));
    // Without termination the other conductor still swings against the bias, slowly (10 kohm on 1.5 nF) towards half the
    // level of 3.4 V, which is enough.
    let bare = sent(&params(), |wiring| {
        wiring.terminals.terminated = false;
        wiring.faults.push(WireFault::Open(Wire::APlus));
    });
    let (levels, v, _) = bare[39];
    assert!((0.5..1.7).contains(&v[0].abs()) && levels == true_levels(39), "{v:?}");
}

#[test]
fn a_short_to_screen_or_supply_sticks_at_one_level_and_is_not_missing() {
    let to_screen = faulty(WireFault::ShortToShield { wire: Wire::BPlus, ohm: 0.1 });
    assert!(to_screen.iter().enumerate().all(|(i, s)| !s.0.b && !s.2[1] && s.0.a == true_levels(i).a));
    let to_supply = faulty(WireFault::ShortToSupply { wire: Wire::BPlus, ohm: 0.1 });
    assert!(to_supply.iter().all(|s| s.0.b && !s.2[1]));
}

#[test]
fn a_short_within_a_pair_is_missing_and_exchanges_change_sign_or_place() {
    let short = faulty(WireFault::ShortBetween { wires: Pair::A.wires(), ohm: 0.1 });
    assert!(short.iter().all(|s| s.1[0].abs() < 0.2 && s.2[0]));
    for (i, s) in faulty(WireFault::Swapped(Pair::A.wires())).into_iter().enumerate() {
        let sent = true_levels(i);
        assert_eq!(s.0, Levels { a: !sent.a, b: sent.b });
    }
    for (i, s) in faulty(WireFault::PairsSwapped([Pair::A, Pair::B])).into_iter().enumerate() {
        let sent = true_levels(i);
        assert_eq!(s.0, Levels { a: sent.b, b: sent.a });
    }
}

#[test]
fn without_supply_no_pair_shows_a_level() {
    let dead = sent(&params(), |wiring| wiring.driver.supply_v = 2.9);
    assert!(dead.iter().all(|s| s.2 == [true; 3] && s.1 == [0.0; 2]));
    // Just above, the levels are small and still sure: 3.0 V less what the stages drop is 1.4 V.
    let low = sent(&params(), |wiring| wiring.driver.supply_v = 3.0);
    assert!(low.iter().enumerate().all(|(i, s)| s.0 == true_levels(i) && (1.0..1.4).contains(&s.1[0].abs())));
}

/// 600 ohm in series leave 3.4 V 120/744 = 0.55 V: a sine would be down to a fifth, a level is still a level.
#[test]
fn a_poor_contact_hides_behind_the_threshold() {
    for (i, s) in faulty(WireFault::HighResistance { wire: Wire::BPlus, ohm: 600.0 }).into_iter().enumerate() {
        assert!(s.0 == true_levels(i) && (0.4..0.6).contains(&s.1[1].abs()), "{:?}", s.1);
    }
}

#[test]
fn what_carries_is_what_arrives() {
    let judged = |p: &SquareLineParams, faults: &[WireFault]| {
        let wiring = WiringParams { faults: faults.to_vec(), ..WiringParams::healthy(OutputForm::Squared, 15.0) };
        carries(p, &Driver::new(&wiring.driver), &Wiring::new(&wiring))
    };
    let p = params();
    assert_eq!(judged(&p, &[]), [true; 2]);
    assert_eq!(judged(&p, &[WireFault::Open(Wire::AMinus)]), [false, true]);
    assert_eq!(judged(&p, &[WireFault::ShortToShield { wire: Wire::BPlus, ohm: 0.1 }]), [true, false]);
    assert_eq!(judged(&p, &[WireFault::Swapped(Pair::A.wires())]), [true; 2]);
    assert_eq!(judged(&p, &[WireFault::SupplyOpen]), [false; 2]);
    assert_eq!(judged(&SquareLineParams { offset_v: [0.0, 3.2, 0.0], ..p }, &[]), [true, false]);
    // The mean of a pair sits at half the supply, so 4.5 V more leave the window of 7 V.
    assert_eq!(judged(&SquareLineParams { ground_v: 4.4, ..p }, &[]), [true; 2]);
    assert_eq!(judged(&SquareLineParams { ground_v: 4.7, ..p }, &[]), [false; 2]);
}

proptest! {
    /// Whatever is wrong, levels and volts stay sound, and pickup in common mode within the window changes no level.
    #[test]
    fn common_mode_within_the_window_changes_no_level(common_v in -4.0..4.0_f64, states in prop::collection::vec(0..4_i64, 1..40)) {
        let wiring = WiringParams::healthy(OutputForm::Squared, 15.0);
        let (driver, wiring) = (Driver::new(&wiring.driver), Wiring::new(&wiring));
        let (mut line, mut state, p) = (SquareLine::default(), WiringState::new(1), params());
        line.settle(&p, (&driver, &wiring), &mut state, (0, false));
        let follow = wiring.follow_for(1e-6);
        for wanted in states {
            let around = Interference { common_v, differential_v: [0.003 * common_v; 2], ambient_factor: 1.0 };
            let stretch = Stretch { wanted, mark: false, place_m: 0.0, dt_s: 1e-6, around };
            for _ in 0..2 {
                let arrived = line.step(&p, (&driver, &wiring), &mut state, &stretch, &follow);
                prop_assert!(arrived.difference_v.iter().all(|v| v.is_finite() && v.abs() < 3.0));
            }
            prop_assert_eq!(line.levels().0, Levels::of_state(wanted));
        }
    }
}
