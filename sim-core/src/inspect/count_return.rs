//! Out and back, and the count compared where it began: counts that are lost on the way show, those that come back do
//! not. Repeat it slowly, fast and on both sides of a suspect place.

use super::Figure;
use super::drive::{Stopped, move_to};
use crate::bench::Sim;

/// Goes from `near_m` to `far_m` and back at a speed; how far the readout is off the table at the far end and at the
/// return, m (by an indicator at each end).
///
/// # Errors
/// What stopped the axis.
pub fn count_return_m(sim: &mut Sim, near_m: f64, far_m: f64, speed_mps: f64) -> Result<(f64, f64), Stopped> {
    let off_m = |sim: &Sim| sim.record().counted_m - sim.record().table_m;
    move_to(sim, near_m, speed_mps, &mut ())?;
    let begin_m = off_m(sim);
    move_to(sim, far_m, speed_mps, &mut ())?;
    let out_m = off_m(sim) - begin_m;
    move_to(sim, near_m, speed_mps, &mut ())?;
    Ok((out_m, off_m(sim) - begin_m))
}

/// The same as figures.
///
/// # Errors
/// What stopped the axis.
pub fn figures(sim: &mut Sim, near_m: f64, far_m: f64, speed_mps: f64) -> Result<[Figure; 2], Stopped> {
    let resolution = 1e3 * 3.0 * sim.params().metres_per_count();
    let (out_m, back_m) = count_return_m(sim, near_m, far_m, speed_mps)?;
    Ok([
        Figure::new("off_at_far_end_mm", out_m * 1e3, resolution),
        Figure::new("off_on_return_mm", back_m * 1e3, resolution),
    ])
}
