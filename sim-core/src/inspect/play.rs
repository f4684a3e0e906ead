//! Lost motion with an indicator on the table: the same target approached from both sides.

use super::Figure;
use super::drive::{Stopped, move_to};
use crate::bench::Sim;

/// What the indicator resolves, m: a dial of one micrometre.
pub const INDICATOR_M: f64 = 1e-6;

/// How far the axis goes past the target before it comes back, m.
const PAST_M: f64 = 5e-3;

/// Reads the indicator.
fn indicator_m(sim: &Sim) -> f64 {
    libm::round(sim.record().table_m / INDICATOR_M) * INDICATOR_M
}

/// Lost motion at a place, m: where the table stands coming from above, less where it stands coming from below, at
/// the same target. Positive when the table stays behind.
///
/// # Errors
/// What stopped the axis.
pub fn lost_motion_m(sim: &mut Sim, place_m: f64, speed_mps: f64) -> Result<f64, Stopped> {
    move_to(sim, place_m - PAST_M, speed_mps, &mut ())?;
    move_to(sim, place_m, speed_mps, &mut ())?;
    let from_below_m = indicator_m(sim);
    move_to(sim, place_m + PAST_M, speed_mps, &mut ())?;
    move_to(sim, place_m, speed_mps, &mut ())?;
    Ok(indicator_m(sim) - from_below_m)
}

/// The same as a figure, on the middle of three trials at a place.
///
/// # Errors
/// What stopped the axis.
pub fn figure(sim: &mut Sim, place_m: f64, speed_mps: f64) -> Result<Figure, Stopped> {
    let mut trials = [0.0; 3];
    for trial in &mut trials {
        *trial = lost_motion_m(sim, place_m, speed_mps)?;
    }
    trials.sort_by(f64::total_cmp);
    Ok(Figure::new("indicator_lost_um", trials[1] * 1e6, 3.0))
}
