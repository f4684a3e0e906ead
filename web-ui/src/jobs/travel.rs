//! The signal over the whole travel: the axis goes end to end and back, and every place is measured.

use super::rest::bring_to_rest;
use super::share::WayShare;
use serde::{Deserialize, Serialize};
use sim_core::bench::Sim;
use sim_core::inspect::scan::scan_with;
use sim_core::instrument::travel::{Place, Travel};
use std::collections::BTreeMap;
use std::f64::consts::TAU;

/// Share of the top speed.
const SPEED: f64 = 0.5;

/// The signal at one place.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ScannedPlace {
    /// Where, mm.
    pub at_mm: f64,
    /// Length of the vector (A, B), V.
    pub vector_v: f64,
    /// Shortest vector, V.
    pub shortest_v: f64,
    /// Amplitudes of A and B, V.
    pub amplitude_v: [f64; 2],
    /// Gap, um.
    pub gap_um: f64,
}

/// What a scan of the travel read.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Scanned {
    /// Places in rising order; those that were not passed are left out.
    pub places: Vec<ScannedPlace>,
    /// The weakest of them.
    pub weakest: Option<ScannedPlace>,
    /// Growth of the vector along the travel, V/m.
    pub slope_v_per_m: Option<f64>,
    /// Figures of the scan by name; the ending is the unit.
    pub figures: BTreeMap<String, f64>,
    /// What ended it early, in words.
    pub stopped: Option<String>,
}

fn scanned(place: &Place) -> ScannedPlace {
    ScannedPlace {
        at_mm: place.table_m * 1e3,
        vector_v: place.vector_v,
        shortest_v: place.shortest_v,
        amplitude_v: place.amplitude_v,
        gap_um: place.gap_m * 1e6,
    }
}

/// Scans the travel.
pub fn run(mut sim: Sim, progress: &mut dyn FnMut(f64)) -> Result<Scanned, String> {
    bring_to_rest(&mut sim)?;
    let (machine, period_m) = (&sim.params().machine, sim.params().scale.period_m);
    let (to_m, speed_mps) = (machine.travel, SPEED * machine.limits.speed);
    let lead_m = TAU * machine.mechanics.ratio;
    let mut travel = Travel::new(period_m, 0.0, to_m).map_err(|why| format!("This axis cannot be scanned: {why}."))?;
    let share = WayShare::new(0.0, to_m, progress);
    let scan = scan_with(&mut sim, 0.0, to_m, speed_mps, &mut (&mut travel, share));
    progress(1.0);
    Ok(Scanned {
        places: travel.places().iter().flatten().map(scanned).collect(),
        weakest: travel.worst().as_ref().map(scanned),
        slope_v_per_m: travel.slope().map(|slope| slope.vector_v_per_m),
        figures: scan.figures(lead_m).into_iter().map(|figure| (figure.name.to_owned(), figure.value)).collect(),
        stopped: scan.stopped.map(|stopped| stopped.to_string()),
    })
}
