//! What is measured on a standing machine: signals at rest, supply at both ends, the gap with a feeler gauge.

use super::Figure;
use super::drive::{Stopped, order, settle, wait};
use crate::bench::Sim;
use crate::bench::command::{Command, DriveSwitch};
use crate::instrument::still::Still;

/// How long the channels are watched, s.
const WATCH_S: f64 = 0.6;

/// Figures at rest: with the drive holding, then off. The drive is on again afterwards.
///
/// # Errors
/// What stopped the axis, or why the drive could not be switched.
pub fn figures(sim: &mut Sim) -> Result<Vec<Figure>, Stopped> {
    settle(sim, 2.0, &mut ())?;
    let mut held = Still::new(sim.params().interference.mains.hz);
    wait(sim, WATCH_S, &mut held)?;
    order(sim, &Command::Drive(DriveSwitch::Off))?;
    let mut off = Still::new(sim.params().interference.mains.hz);
    let began_m = sim.record().table_m;
    wait(sim, WATCH_S, &mut off)?;
    let slid_m = sim.record().table_m - began_m;
    let mut figures = vec![
        Figure::new("supply_at_drive_v", sim.params().supply.source_v, 0.05),
        Figure::new("supply_at_head_v", sim.record().head_supply_v, 0.05),
        Figure::new("lamp_used_percent", sim.record().lamp_used * 100.0, 5.0),
        Figure::new("slid_um", slid_m * 1e6, 20.0),
    ];
    if let Some(still) = held.reading() {
        figures.push(Figure::new("false_at_rest_um", still.false_m * 1e6, 5.0));
    }
    if let Some(still) = off.reading() {
        figures.push(Figure::new("noise_mv", still.rms_v * 1e3, 0.3));
        figures.push(Figure::new("peaks_mv", still.peak_to_peak_v * 1e3, 10.0));
        // Noise has its peaks at some four standard deviations either way; bursts stand out of it.
        figures.push(Figure::new("peaks_over_noise", still.peak_to_peak_v / still.rms_v.max(1e-6), 4.0));
        figures.push(Figure::new("hum_mv", still.hum_v * 1e3, 1.0));
    }
    order(sim, &Command::Drive(DriveSwitch::On))?;
    Ok(figures)
}

/// Gap at both ends and in the middle of the travel as a feeler gauge finds it, power off.
#[must_use]
pub fn gaps(sim: &Sim) -> [Figure; 3] {
    let travel_m = sim.params().machine.travel;
    [gap_at(sim, "gap_low_um", 0.0), gap_at(sim, "gap_middle_um", 0.5 * travel_m), gap_at(sim, "gap_high_um", travel_m)]
}

/// The same at any place on the axis, m.
#[must_use]
pub fn gap_at(sim: &Sim, name: &'static str, place_m: f64) -> Figure {
    Figure::new(name, sim.params().feeler_m(place_m) * 1e6, 15.0)
}
