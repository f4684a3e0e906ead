//! The positioning run after ISO 230-2 (words and formulas of our own, from memory): targets are approached from below
//! and from above five times each, and a measuring system on the table says where it really stands.

use super::drive::{Stopped, move_to};
use super::play::INDICATOR_M;
use crate::bench::Sim;
use crate::instrument::iso_230_2::{Positioning, TargetRuns};

/// Approaches of each target from each side.
const APPROACHES: usize = 5;

/// How far the axis goes past the outer targets before it turns, m.
const OVERRUN_M: f64 = 5e-3;

/// Five targets over a stretch of the axis, not at equal distances, so that nothing periodic hides between them.
#[must_use]
pub fn targets_m(from_m: f64, to_m: f64) -> [f64; 5] {
    let length_m = to_m - from_m;
    [0.03, 0.251, 0.487, 0.762, 0.97].map(|share| libm::round((from_m + share * length_m) * 1e6) * 1e-6)
}

/// Makes the run.
///
/// # Errors
/// What stopped the axis.
pub fn run(sim: &mut Sim, targets_m: &[f64], speed_mps: f64) -> Result<Positioning, Stopped> {
    let mut runs: Vec<TargetRuns> =
        targets_m.iter().map(|target| TargetRuns { target: *target, up: Vec::new(), down: Vec::new() }).collect();
    let (first, last) = match (targets_m.first(), targets_m.last()) {
        (Some(first), Some(last)) => (*first - OVERRUN_M, *last + OVERRUN_M),
        _ => return Err(Stopped::Refused { why: "a positioning run needs targets".to_owned() }),
    };
    let stand_m = |sim: &Sim| libm::round(sim.record().table_m / INDICATOR_M) * INDICATOR_M;
    for _ in 0..APPROACHES {
        move_to(sim, first, speed_mps, &mut ())?;
        for run in &mut runs {
            move_to(sim, run.target, speed_mps, &mut ())?;
            run.up.push(stand_m(sim) - run.target);
        }
        move_to(sim, last, speed_mps, &mut ())?;
        for run in runs.iter_mut().rev() {
            move_to(sim, run.target, speed_mps, &mut ())?;
            run.down.push(stand_m(sim) - run.target);
        }
    }
    Positioning::of(&runs).map_err(|error| Stopped::Refused { why: error.to_string() })
}
