//! What the tests of the mechanics share: benches changed before they start, faults, currents.

use super::{give, steps};
use sim_core::bench::Sim;
use sim_core::setup::{BenchId, Feedback, Setup};

/// A bench changed before it starts, its table at a place, mm.
pub fn started(bench: BenchId, at_mm: f64, change: impl Fn(&mut Setup)) -> Sim {
    let mut setup = Setup::healthy(bench);
    change(&mut setup);
    Sim::start(setup, 7, at_mm * 1e-3)
}

pub fn on_motor(setup: &mut Setup) {
    setup.servo.feedback = Feedback::Motor;
}

pub fn broken(sim: &mut Sim, fault: &str, percent: f64) {
    give(sim, &format!(r#"{{"break":{{"fault":"{fault}","severity_percent":{percent},"at_mm":200}}}}"#));
}

pub fn near(value: f64, expected: f64, tolerance: f64) {
    assert!((value - expected).abs() <= tolerance * expected.abs(), "{value} is not {expected}");
}

/// Mean and largest size of the current over a time, A.
pub fn current(sim: &mut Sim, seconds: f64) -> (f64, f64) {
    let (mut sum, mut most): (f64, f64) = (0.0, 0.0);
    for _ in 0..steps(seconds) {
        sim.step(&mut ());
        sum += sim.record().current_a;
        most = most.max(sim.record().current_a.abs());
    }
    (sum / steps(seconds) as f64, most)
}

pub fn jog(sim: &mut Sim, speed_mps: f64) {
    let direction = if speed_mps < 0.0 { "back" } else { "forward" };
    let speed = speed_mps.abs() * 60.0;
    give(sim, &format!(r#"{{"jog":{{"direction":"{direction}","speed_m_per_min":{speed}}}}}"#));
}
