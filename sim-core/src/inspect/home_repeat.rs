//! Homing again and again: one cluster of zeros is a healthy switch, two of them one mark apart are a mark too near its
//! edge, and a spread is the switch itself.

use super::drive::{Stopped, order, settle};
use crate::axis::homing::HomingState;
use crate::bench::Sim;
use crate::bench::command::Command;

/// What one homing gave.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Homing {
    /// Readout less table after it, m.
    pub off_m: f64,
    /// Way from the released switch to the mark, m, where a switch chose the mark.
    pub switch_to_mark_m: Option<f64>,
}

/// Homes so many times.
///
/// # Errors
/// What stopped the axis.
pub fn run(sim: &mut Sim, times: u32) -> Result<Vec<Homing>, Stopped> {
    (0..times)
        .map(|_| {
            order(sim, &Command::Home)?;
            settle(sim, 600.0, &mut ())?;
            let switch_to_mark_m = match sim.bench().state.axis.homing.state {
                HomingState::Referenced { switch_to_mark } => Some(switch_to_mark),
                _ => None,
            };
            Ok(Homing { off_m: sim.record().counted_m - sim.record().table_m, switch_to_mark_m })
        })
        .collect()
}

/// Greatest less smallest zero, m.
#[must_use]
pub fn spread_m(homings: &[Homing]) -> f64 {
    let reach = |(low, high): (f64, f64), h: &Homing| (low.min(h.off_m), high.max(h.off_m));
    let (low, high) = homings.iter().fold((f64::INFINITY, f64::NEG_INFINITY), reach);
    if homings.is_empty() { 0.0 } else { high - low }
}
