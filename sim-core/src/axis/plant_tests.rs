//! Checks of the rigid plant against closed forms.

use proptest::prelude::*;

use super::*;
use crate::axis::machine::MachineId;

const H: f64 = 50e-6;

/// A bare mass with one dry and one viscous force, far from the stops.
fn bare(mass_kg: f64, viscous: f64, dry: f64) -> PlantParams {
    PlantParams {
        mass_kg,
        viscous,
        guide: StribeckParams { sliding_n: dry, breakaway_n: dry, stribeck_speed: 0.01 },
        other_dry_n: 0.0,
        stops: [-100.0, 100.0],
        dynamic_braking: false,
        ..PlantParams::from_spec(&MachineId::RouterGantryX.spec())
    }
}

/// Coasts from `v` with the drive off; time and way to standstill.
fn coast(p: &PlantParams, v: f64) -> (f64, f64) {
    let mut s = Plant { x: 0.0, v, current: 0.0 };
    let mut steps = 0;
    while s.v != 0.0 {
        s.step(p, None, H);
        steps += 1;
        assert!(steps < 1_000_000);
    }
    (f64::from(steps) * H, s.x)
}

fn near(value: f64, expected: f64, tolerance: f64) {
    assert!((value - expected).abs() <= tolerance * expected.abs(), "{value} is not {expected}");
}

// Source: closed form t = (M/B) ln(1 + B v/F), x = (M/B)(v - (F/B) ln(1 + B v/F)).
#[test]
fn axis_v33_coast_with_dry_and_viscous_drag() {
    for (m, b, f, v, time, way) in
        [(330.0, 150.0, 150.0, 0.8, 1.2931, 466.87e-3), (805.0, 900.0, 200.0, 0.25, 0.67421, 73.787e-3)]
    {
        let (t, x) = coast(&bare(m, b, f), v);
        near(t, time, 1e-3);
        near(x, way, 1e-3);
        let ln = libm::log(1.0 + b * v / f);
        near(m / b * ln, time, 1e-4);
        near(m / b * (v - f / b * ln), way, 1e-4);
    }
}

// Source: quadrature of the braking law. The step of 50 us with the coefficient of the old speed
// gives 37.00 mm.
#[test]
fn axis_v34_dynamic_braking() {
    let p = PlantParams { dynamic_braking: true, ..bare(330.0, 150.0, 150.0) };
    near(p.torque_constant * p.torque_constant / p.resistance, 0.27222, 1e-4);
    near(p.resistance / p.brake_inductance, 75.0, 1e-9);
    let (t, x) = coast(&p, 0.8);
    near(x, 36.98e-3, 1e-3);
    // Backward Euler is half a step per time constant (h/tau = 0.01) slow at the end: 0.3 %.
    near(t, 91.3e-3, 3e-3);
}

// Source: reference simulation with two masses, +-2 %; the rigid axis agrees within it.
#[test]
fn axis_v35_torque_off_at_rapid() {
    for (id, v, braked, free) in
        [(MachineId::RouterGantryX, 0.8, 36.1e-3, 378.3e-3), (MachineId::MillX, 0.25, 4.04e-3, 70.7e-3)]
    {
        let p = PlantParams { stops: [-100.0, 100.0], ..PlantParams::from_spec(&id.spec()) };
        near(coast(&p, v).1, braked, 0.02);
        near(coast(&PlantParams { dynamic_braking: false, ..p }, v).1, free, 0.02);
    }
}

// Source: closed form v sqrt(m/k) and v sqrt(m k) of a mass meeting a spring.
#[test]
fn axis_v49_depth_and_force_at_the_hard_stop() {
    let p = PlantParams { stops: [-100.0, 0.0], stop_damping: 0.0, ..bare(330.0, 0.0, 0.0) };
    let mut s = Plant { x: 0.0, v: 0.1, current: 0.0 };
    let (mut deepest, mut largest): (f64, f64) = (0.0, 0.0);
    for _ in 0..2000 {
        s.step(&p, None, H);
        deepest = deepest.max(s.x);
        largest = largest.max(-p.stop_n(s.x, s.v));
    }
    near(deepest, 1.2845e-3, 2e-3);
    near(largest, 2569.0, 2e-3);
}

// Source: sum of forces at constant speed, i = (F r + T_m)/kt.
#[test]
fn axis_v54_steady_current_of_the_mill() {
    let p = PlantParams::from_spec(&MachineId::MillX.spec());
    let force = p.dry_n(0.1, 0.05) + p.viscous * 0.05;
    near(force * p.ratio / p.torque_constant, 0.4394, 1e-3);
    // The same by letting the plant find its speed under that current.
    let mut s = Plant { x: -90.0, v: 0.0499, current: 0.4394 };
    let p = PlantParams { stops: [-100.0, 100.0], ..p };
    for _ in 0..200_000 {
        s.step(&p, Some(0.4394), H);
    }
    near(s.v, 0.05, 1e-2);
}

#[test]
fn current_follows_with_its_lag_and_keeps_its_limit() {
    let p = bare(330.0, 0.0, 1e9);
    let mut s = Plant::at_rest(0.0);
    let n = 12;
    for _ in 0..n {
        s.step(&p, Some(10.0), H);
    }
    near(s.current, 10.0 * (1.0 - libm::exp(-1.0)), 1e-9);
    for _ in 0..1000 {
        s.step(&p, Some(-1e6), H);
    }
    near(s.current, -p.peak_current, 1e-6);
    // Near the speed where the voltage is used up, less current can be driven, but braking can.
    let fast = 0.95 * p.bus_voltage * 0.5 / p.torque_constant;
    near(p.current_limit(1.0, fast), 0.05 * 325.0 / 1.8, 1e-9);
    assert_eq!(p.current_limit(-1.0, fast), p.peak_current);
}

#[test]
fn local_drag_is_a_bump() {
    let d = LocalDrag { place: 1.0, sigma: 0.03, force_n: 500.0 };
    assert_eq!(d.at(1.0), 500.0);
    near(d.at(1.03), 500.0 * libm::exp(-0.5), 1e-12);
    assert!(d.at(1.3) < 1e-9);
}

proptest! {
    // Law: with the drive off and no outside force, energy only falls (spring of the stops
    // included, up to the ripple of the integrator there).
    #[test]
    fn drive_off_never_adds_energy(x in 0.0f64..0.5, v in -0.4f64..0.4, dynamic_braking: bool) {
        let p = PlantParams { dynamic_braking, ..PlantParams::from_spec(&MachineId::TeachingRail.spec()) };
        let mut s = Plant { x, v, current: 0.0 };
        for _ in 0..60_000 {
            let before = s;
            s.step(&p, None, H);
            prop_assert!(s.x.is_finite() && s.v.is_finite());
            if p.stop_n(before.x, before.v) == 0.0 {
                prop_assert!(s.v.abs() <= before.v.abs());
            }
            prop_assert!(s.v.abs() <= v.abs());
        }
        prop_assert_eq!(s.v, 0.0);
    }
}
