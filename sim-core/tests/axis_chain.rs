//! Channels, comparators, interpolation and counter behind a moving axis, against the true place.

mod axis_rig;

use core::f64::consts::PI;

use axis_rig::Rig;
use sim_core::axis::machine::MachineId;
use sim_core::axis::motion::MotionCommand;
use sim_core::chain::counter::{CounterParams, CounterState, Levels};
use sim_core::chain::interpolate::{InterpolateParams, InterpolateState};
use sim_core::chain::square::{SquareParams, SquareState};

/// Calls `see` with A and B, V, of a clean 0.5 V head over one step, `1 + ceil(16 |dx|/P)` samples.
fn sample(from: f64, to: f64, period: f64, mut see: impl FnMut(f64, f64)) {
    let n = 1 + (16.0 * (to - from).abs() / period).ceil() as u32;
    for i in 1..=n {
        let x = from + (to - from) * f64::from(i) / f64::from(n);
        let phase = 2.0 * PI * (x / period - (x / period).floor());
        see(0.5 * sim_core::num::math::cos(phase), 0.5 * sim_core::num::math::sin(phase));
    }
}

/// Moves an axis to and fro and shows each step.
fn to_and_fro(id: MachineId, mut see: impl FnMut(f64, f64)) {
    let mut rig = Rig::ready(id, 0.1);
    let speed = rig.p.limits.speed;
    for target in [0.4, 0.1] {
        rig.motion(MotionCommand::MoveTo { target, speed });
        let mut from = rig.s.plant.x;
        rig.run_with(2.0, |r| {
            see(from, r.s.plant.x);
            from = r.s.plant.x;
        });
        assert_eq!(rig.events, []);
    }
}

#[test]
fn comparators_and_counter_follow_the_teaching_rail() {
    let period = 1e-3;
    let sp = SquareParams { threshold_v: 0.0, hysteresis_v: 0.04 };
    let (mut a, mut b) = (SquareState::default(), SquareState::default());
    let (cp, mut c) = (CounterParams::default(), CounterState::default());
    let mut farthest = 0;
    to_and_fro(MachineId::TeachingRail, |from, to| {
        sample(from, to, period, |va, vb| {
            let levels = Levels { a: a.step(&sp, va), b: b.step(&sp, vb) };
            c.step(&cp, levels, false);
        });
        farthest = farthest.max(c.count);
        // Edges come late by the hysteresis: asin(0.02/0.5) of a turn, well under a quarter count.
        let place = 0.1 + c.count as f64 * 0.25e-3;
        assert!((place - to).abs() < 0.45e-3, "{place} {to}");
    });
    assert_eq!(c.illegal_count, 0);
    assert!((1199..=1201).contains(&farthest), "{farthest}");
    assert!(c.count.abs() <= 1);
}

#[test]
fn interpolation_and_counter_follow_the_mill() {
    let (period, factor) = (20e-6, 5);
    let ip = InterpolateParams { factor, hold_v: 0.1, hysteresis_steps: 0.2 };
    let mut i = InterpolateState::default();
    let (cp, mut c) = (CounterParams::default(), CounterState::default());
    to_and_fro(MachineId::MillX, |from, to| {
        sample(from, to, period, |va, vb| {
            i.step(&ip, va, vb, |levels| {
                c.step(&cp, levels, false);
            });
        });
        let place = 0.1 + c.count as f64 * 1e-6;
        assert!((place - to).abs() < 2.5e-6, "{place} {to}");
    });
    assert_eq!((c.illegal_count, i.holding), (0, false));
}
