//! Checks of the two-mass plant against formulas of vibration, closed forms and a reference simulation.

use proptest::prelude::*;

use super::*;
use crate::axis::brake::{BrakeParams, BrakeState};
use crate::axis::friction::StribeckParams;
use crate::axis::machine::MachineId;
use crate::axis::machine::rotary_table::RADIUS;

const H: f64 = 50e-6;
const NO_BRAKE: BrakeForce = BrakeForce { motor_nm: 0.0, table_n: 0.0 };

fn near(value: f64, expected: f64, tolerance: f64) {
    assert!((value - expected).abs() <= tolerance * expected.abs(), "{value} is not {expected}");
}

fn plant(id: MachineId) -> TwoMassParams {
    TwoMassParams::from_spec(&id.spec())
}

/// Spring and masses alone, far from the stops.
fn bare(id: MachineId) -> TwoMassParams {
    let p = plant(id);
    let still = StribeckParams { sliding_n: 0.0, breakaway_n: 0.0, stribeck_speed: 1.0 };
    TwoMassParams {
        body: PlantParams {
            guide: still,
            other_dry_n: 0.0,
            viscous: 0.0,
            outside_n: 0.0,
            stops: [-1e6, 1e6],
            dynamic_braking: false,
            ..p.body
        },
        motor_dry_nm: 0.0,
        motor_viscous: 0.0,
        backlash: 0.0,
        damping: 0.0,
        ..p
    }
}

/// Frequency of the deflection, Hz, by its rising crossings of zero over `cycles`.
fn ringing_hz(p: &TwoMassParams, h: f64, cycles: u32) -> f64 {
    let mut s = TwoMass { theta: 1e-5 / p.body.ratio, ..TwoMass::default() };
    let (mut t, mut before, mut first, mut n) = (0.0, s.deflection(p), None, 0);
    loop {
        s.step(p, None, NO_BRAKE, h);
        let d = s.deflection(p);
        if before < 0.0 && d >= 0.0 {
            let at = t + h * before / (before - d);
            match first {
                None => first = Some(at),
                Some(start) => {
                    n += 1;
                    if n == cycles {
                        return f64::from(n) / (at - start);
                    }
                }
            }
        }
        before = d;
        t += h;
    }
}

// Source: textbook formulas, and the eigenvalues of the 4 x 4 matrix of both masses: its characteristic polynomial is
// s^2 (s^2 + k (1/M + r^2/J)); with the motor held s^2 + k/M. The step's own shift of frequency is below 0.03 %.
#[test]
fn axis_v29_antiresonance_and_resonance() {
    let rows = [
        (MachineId::RouterGantryX, 53.05, 78.69),
        (MachineId::RouterGantryZ, 199.99, 245.47),
        (MachineId::MillX, 165.16, 177.09),
        (MachineId::MillZ, 178.87, 190.46),
        (MachineId::RotaryTable, 83.88, 129.65),
    ];
    for (id, f_a, f_r) in rows {
        let m = id.spec().mechanics;
        near(antiresonance_hz(&m), f_a, 1e-4);
        near(resonance_hz(&m), f_r, 1e-4);
        let p = bare(id);
        near(ringing_hz(&p, H, 200), f_r, 1e-3);
        near(ringing_hz(&TwoMassParams { inertia: 1e9, ..p }, H, 200), f_a, 1e-3);
        // A matrix A of x' = A x has the eigenvalue s if det(A - s 1) is zero; for s = j 2 pi f_r it is.
        let s2 = -libm::pow(2.0 * PI * resonance_hz(&m), 2.0);
        let (mm, kt, kr) = (m.table_mass, m.stiffness, m.stiffness * m.ratio);
        let det = (m.inertia * s2 + kr * m.ratio) * (mm * s2 + kt) - kr * kr;
        assert!((det / (kr * kr)).abs() < 1e-9, "{id:?} {det}");
    }
}

// Source: closed form (2/h) asin(omega h/2) of the integrator.
#[test]
fn axis_v32_the_step_shifts_the_resonance_a_little() {
    let p = bare(MachineId::MillZ);
    // 190.5 Hz exactly.
    let unit = 1.0 / p.table_mass + p.body.ratio * p.body.ratio / p.inertia;
    let p = TwoMassParams { stiffness: libm::pow(2.0 * PI * 190.5, 2.0) / unit, ..p };
    for (h, shift) in [(50e-6, 1.49e-4), (25e-6, 3.7e-5)] {
        let measured = ringing_hz(&p, h, 2000) / 190.5 - 1.0;
        // The row's own digits: 1.49 and 3.7.
        assert!((measured - shift).abs() < 0.01 * shift, "{measured}");
        let half = PI * 190.5 * h;
        near(measured, libm::asin(half) / half - 1.0, 1e-3);
    }
}

// Source: reference simulation with two masses, +-2 %; the table in rad through the radius of its grating.
#[test]
fn axis_v35_torque_off_at_rapid_with_two_masses() {
    for (id, v, braked, free) in [
        (MachineId::RouterGantryX, 0.8, 36.1e-3, 378.3e-3),
        (MachineId::MillX, 0.25, 4.04e-3, 70.7e-3),
        (MachineId::RotaryTable, 2.0 * RADIUS, 16.2e-3 * RADIUS, 110.5e-3 * RADIUS),
    ] {
        for (dynamic_braking, way) in [(true, braked), (false, free)] {
            let p = plant(id);
            let p = TwoMassParams { body: PlantParams { stops: [-1e6, 1e6], dynamic_braking, ..p.body }, ..p };
            let mut s = TwoMass { omega: v / p.body.ratio, v, ..TwoMass::at_rest(&p, 0.0) };
            while s.v != 0.0 || s.omega != 0.0 {
                s.step(&p, None, NO_BRAKE, H);
            }
            near(s.x, way, 0.02);
        }
    }
}

/// Torque off at rest at 0.2 m: how far the axis drops, m, with the brake as given.
fn drop(id: MachineId, dynamic_braking: bool, brake: impl Fn(&mut BrakeParams)) -> f64 {
    let p = plant(id);
    let p = TwoMassParams { body: PlantParams { dynamic_braking, ..p.body }, ..p };
    let mut b = BrakeParams::from_spec(&id.spec().brake.unwrap());
    brake(&mut b);
    let mut state = BrakeState::open();
    let mut s = TwoMass::at_rest(&p, 0.2);
    for _ in 0..40_000 {
        let force = state.step(&b, true, H);
        s.step(&p, None, force, H);
    }
    assert_eq!((s.v, s.omega), (0.0, 0.0), "{id:?} still moves");
    0.2 - s.x
}

// Source: reference simulation with two masses, +-3 %.
#[test]
fn axis_v37_drop_of_the_hanging_head() {
    let weak = |share: f64| move |b: &mut BrakeParams| b.wear = 1.0 - share;
    let d = [
        drop(MachineId::MillZ, false, |_| ()),
        drop(MachineId::MillZ, true, |_| ()),
        drop(MachineId::MillZ, false, weak(0.5)),
        drop(MachineId::MillZ, false, weak(0.2)),
    ];
    for (d, expected) in d.into_iter().zip([1.65e-3, 0.097e-3, 2.03e-3, 6.79e-3]) {
        near(d, expected, 0.03);
    }
}

// Source: reference simulation with two masses, +-4 %.
#[test]
fn axis_v62_drop_with_a_slow_brake() {
    let slow = |b: &mut BrakeParams| b.close_delay += 0.25;
    let d = [
        drop(MachineId::MillZ, true, slow),
        drop(MachineId::RouterGantryZ, true, slow),
        drop(MachineId::MillZ, false, slow),
        drop(MachineId::RouterGantryZ, false, slow),
    ];
    for (d, expected) in d.into_iter().zip([0.51e-3, 1.89e-3, 37.4e-3, 129e-3]) {
        near(d, expected, 0.04);
    }
}

// Source: catalogue of faults: the mill's head sinks from 84 % wear, the gantry's lift from 76 %.
#[test]
fn a_worn_brake_lets_the_axis_sink_from_a_certain_wear() {
    for (id, holds, sinks) in [(MachineId::MillZ, 0.83, 0.85), (MachineId::RouterGantryZ, 0.75, 0.77)] {
        let p = plant(id);
        let still = |wear: f64| {
            let b = BrakeParams { wear, ..BrakeParams::from_spec(&id.spec().brake.unwrap()) };
            let (mut state, mut s) = (BrakeState::default(), TwoMass::at_rest(&p, 0.2));
            // Slowly falling and no longer at rest: what the brake has to catch.
            (s.v, s.omega) = (-1e-3, -1e-3 / p.body.ratio);
            for _ in 0..10_000 {
                let force = state.step(&b, true, H);
                s.step(&p, None, force, H);
            }
            s.v == 0.0 && s.omega == 0.0
        };
        assert!(still(holds), "{id:?} at {holds}");
        assert!(!still(sinks), "{id:?} at {sinks}");
    }
}

// Source: sum of forces at constant speed, i = (F r + T)/kt with the weight up and down; simulated by finding the speed.
#[test]
fn axis_v54_steady_current_of_the_hanging_head() {
    let p = plant(MachineId::MillZ);
    for (v, current) in [(0.05, 1.7080), (-0.05, 0.7632)] {
        let against = p.body.dry_n(0.1, v) + p.body.viscous * 0.05;
        let force = -p.body.outside_n + against * f64::signum(v);
        near(force * p.body.ratio / p.body.torque_constant, current, 1e-3);
        let p = TwoMassParams { body: PlantParams { stops: [-1e6, 1e6], ..p.body }, ..p };
        let mut s = TwoMass { v: 0.99 * v, omega: 0.99 * v / p.body.ratio, current, ..TwoMass::at_rest(&p, 0.0) };
        let wanted = force * p.body.ratio / p.body.torque_constant;
        for _ in 0..400_000 {
            s.step(&p, Some(wanted), NO_BRAKE, H);
        }
        near(s.v, v, 1e-2);
    }
}

// Law: as stiff as can be and without play, both masses are the rigid one.
#[test]
fn a_stiff_drive_is_the_rigid_plant() {
    use crate::axis::plant::Plant;
    let p = TwoMassParams { backlash: 0.0, stiffness: 1.4e9, damping: 2e4, ..plant(MachineId::MillX) };
    let (mut two, mut one) = (TwoMass::at_rest(&p, 0.1), Plant::at_rest(0.1));
    for i in 0..100_000 {
        let wanted = if i < 50_000 { 3.0 } else { -2.0 };
        two.step(&p, Some(wanted), NO_BRAKE, 5e-6);
        one.step(&p.body, Some(wanted), 5e-6);
    }
    // Over 100 mm; breaking loose takes some tens of microseconds longer through the spring.
    assert!((two.x - one.x).abs() < 30e-6, "{} {}", two.x, one.x);
    near(two.v, one.v, 0.02);
}

// Law: a screw error shows on the table in full when the motor stands where it would be right.
#[test]
fn screw_error_moves_the_table() {
    let p = bare(MachineId::MillX);
    let screw = ScrewError { growth: 115e-6, fixed_at: 0.0, ..ScrewError::default() };
    let p = TwoMassParams { damping: 5e4, screw, ..p };
    let mut s = TwoMass { theta: 0.3 / p.body.ratio, x: 0.3, ..TwoMass::default() };
    for _ in 0..40_000 {
        s.step(&p, None, BrakeForce { motor_nm: 1e3, table_n: 0.0 }, H);
    }
    near(s.x - 0.3, 0.3 * 115e-6, 1e-3);
    let rest = TwoMass::at_rest(&p, 0.3);
    assert!(rest.deflection(&p).abs() < 1e-12);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    // Law: with the drive off the energy never grows, weight, play, stops, screw error and brake included. The
    // integrator's own invariant is E + h/2 (sum of F v), so E itself swings by omega h/2 of what swings (any text on
    // symplectic integration): 4 % at 245 Hz, more at the stops.
    #[test]
    fn drive_off_never_adds_energy(
        id in prop::sample::select(MachineId::ALL.to_vec()),
        x in 0.0f64..0.3, v in -0.1f64..0.1, twist in -50e-6f64..50e-6,
        backlash in 0.0f64..400e-6, wear in 0.0f64..1.2,
        cyclic in 0.0f64..20e-6, growth in -1e-4f64..1e-4,
        dynamic_braking: bool, closes: bool,
    ) {
        let spec = id.spec();
        let p = plant(id);
        let turns_per_rad = 1.0 / (2.0 * PI);
        let screw = ScrewError { cyclic, growth, turns_per_rad, ..ScrewError::default() };
        let p = TwoMassParams { backlash, screw, body: PlantParams { dynamic_braking, ..p.body }, ..p };
        let rest = TwoMass::at_rest(&p, x);
        let mut s = TwoMass { theta: rest.theta + twist / p.body.ratio, omega: v / p.body.ratio, v, ..rest };
        let floor = p.body.outside_n.abs() * 0.05;
        let mut brake = BrakeState::open();
        let b = spec.brake.map(|b| BrakeParams { wear: wear.min(1.0), ..BrakeParams::from_spec(&b) });
        // Highest energy so far against the one at the start of each stretch of 50 ms.
        let (mut start, mut swing) = (s.energy(&p), 0.0f64);
        for i in 0..30_000u32 {
            let force = b.as_ref().map_or(NO_BRAKE, |b| brake.step(b, closes, H));
            s.step(&p, None, force, H);
            prop_assert!(s.x.is_finite() && s.v.is_finite() && s.theta.is_finite() && s.omega.is_finite());
            let now = s.energy(&p);
            // What can swing: everything above the lowest place under the weight.
            let [low, _] = p.body.stops;
            let above = (now + p.body.outside_n.abs() * (low.min(0.0) - 0.05)).abs().min(now.abs() + floor);
            swing = swing.max(0.06 * above + 1e-9);
            prop_assert!(now <= start + swing, "{id:?} step {i}: {start} -> {now}");
            if i % 1000 == 0 {
                start = start.min(now);
            }
        }
    }

    // Law: under less than the brake holds, nothing moves at all.
    #[test]
    fn a_held_axis_stands_exactly(id in prop::sample::select(vec![MachineId::MillZ, MachineId::RouterGantryZ]),
                                  x in 0.0f64..0.3) {
        let p = plant(id);
        let b = BrakeParams::from_spec(&id.spec().brake.unwrap());
        let (mut brake, mut s) = (BrakeState::default(), TwoMass::at_rest(&p, x));
        for _ in 0..2000 {
            let force = brake.step(&b, true, H);
            s.step(&p, None, force, H);
        }
        prop_assert_eq!((s.v, s.omega), (0.0, 0.0));
        prop_assert!((s.x - x).abs() < 1e-9);
    }
}
