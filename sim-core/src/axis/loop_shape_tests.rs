//! Loop margins and second-order figures against a control library and closed forms.

use super::*;
use crate::axis::machine::MachineId;

fn near(value: f64, expected: f64, tolerance: f64) {
    assert!((value - expected).abs() <= tolerance * expected.abs(), "{value} is not {expected}");
}

// Source: python-control (step_info, margin); textbook formulas of the second-order lag.
#[test]
fn axis_v28_position_loop_as_second_order_lag() {
    let s = SecondOrder { tau: 10e-3, kv: 50.0 };
    // The row's 0.7071.
    near(s.damping_ratio(), core::f64::consts::FRAC_1_SQRT_2, 1e-4);
    near(s.overshoot(), 0.04321, 1e-3);
    near(s.settling_time(0.02), 84.3e-3, 1e-3);
    near(margins(|w| s.open(w)).phase.unwrap().0, 65.53, 1e-3);
    // The overshoot is that of the response itself.
    let top = (0..2000).map(|i| s.step_response(1e-4 * f64::from(i))).fold(0.0, f64::max);
    near(top - 1.0, s.overshoot(), 1e-3);

    let s = SecondOrder { tau: 10e-3, kv: 25.0 };
    near(s.damping_ratio(), 1.0, 1e-12);
    assert_eq!(s.overshoot(), 0.0);
    near(s.settling_time(0.02), 116.7e-3, 1e-3);
    near(margins(|w| s.open(w)).phase.unwrap().0, 76.35, 1e-3);
    near(s.ramp_error(2.0), 1.0 / 25.0, 1e-6);
}

// Source: python-control (delays as Pade 6) and direct evaluation.
#[test]
fn axis_v30_margins_of_a_rigid_axis() {
    let l = LoopShape {
        inertia: 2e-3,
        motor_viscous: 0.0,
        table: None,
        ratio: 1e-3,
        kp: 0.5,
        tn: 0.02,
        kv: 30.0,
        current_lag: 0.5e-3,
        velocity_filter: 0.4e-3,
        velocity_period: 0.25e-3,
        position_period: 1e-3,
    };
    let v = margins(|w| l.velocity_open(w));
    near(v.phase.unwrap().0, 60.44, 1e-3);
    near(v.phase.unwrap().1, 251.6, 1e-3);
    near(v.gain.unwrap().0, 16.77, 1e-3);
    let p = margins(|w| l.position_open(w));
    near(p.phase.unwrap().0, 87.72, 1e-3);
    near(p.phase.unwrap().1, 31.87, 1e-3);
    near(p.gain.unwrap().0, 24.63, 1e-3);
}

// Source: reference evaluation of the same formulas; the row's +-0.2 deg.
#[test]
fn axis_v31_margins_of_the_mill() {
    let l = LoopShape::from_spec(&MachineId::MillX.spec());
    let v = margins(|w| l.velocity_open(w)).phase.unwrap();
    assert!((v.0 - 61.25).abs() < 0.2, "{v:?}");
    near(v.1, 282.3, 1e-3);
    let p = margins(|w| l.position_open(w)).phase.unwrap();
    assert!((p.0 - 87.60).abs() < 0.2, "{p:?}");
    near(p.1, 35.45, 1e-3);
}

// Source: the margins of the preset table, by the same reference evaluation.
#[test]
fn margins_of_every_preset() {
    let rows = [
        (MachineId::RouterGantryX, 16.6, 185.0, 56.4, 67.7, 83.4),
        (MachineId::RouterGantryZ, 8.7, 268.0, 65.1, 65.1, 87.5),
        (MachineId::MillX, 13.8, 228.0, 61.3, 61.3, 87.6),
        (MachineId::MillZ, 13.5, 231.0, 61.0, 61.0, 87.7),
        (MachineId::RotaryTable, 9.8, 191.0, 32.1, 66.0, 85.3),
    ];
    for (id, gain_db, gain_hz, phase, first, position) in rows {
        let l = LoopShape::from_spec(&id.spec());
        let v = margins(|w| l.velocity_open(w));
        let p = margins(|w| l.position_open(w));
        let gain = v.gain.unwrap();
        assert!((gain.0 - gain_db).abs() < 0.06 && (gain.1 - gain_hz).abs() < 0.6, "{id:?} {gain:?}");
        assert!((v.phase.unwrap().0 - phase).abs() < 0.06, "{id:?} {v:?}");
        assert!((v.first_phase.unwrap().0 - first).abs() < 0.06, "{id:?} {v:?}");
        assert!((p.phase.unwrap().0 - position).abs() < 0.06, "{id:?} {p:?}");
    }
}

// Source: catalogue of faults, velocity gain at which each machine hums: its gain margin as a factor.
#[test]
fn gain_that_makes_each_machine_hum() {
    for (id, factor) in [
        (MachineId::RouterGantryZ, 2.7),
        (MachineId::RotaryTable, 3.1),
        (MachineId::MillX, 4.9),
        (MachineId::RouterGantryX, 6.8),
    ] {
        let l = LoopShape::from_spec(&id.spec());
        let (db, _) = margins(|w| l.velocity_open(w)).gain.unwrap();
        assert!((libm::pow(10.0, db / 20.0) - factor).abs() < 0.06, "{id:?} {db}");
        // Raised by that factor nothing is left.
        let raised = LoopShape { kp: l.kp * libm::pow(10.0, db / 20.0), ..l };
        let left = margins(|w| raised.velocity_open(w));
        assert!(left.phase.unwrap().0.abs() < 0.5, "{id:?} {left:?}");
    }
}
