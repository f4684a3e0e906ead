//! The remedy: what follows the repair of a fault until the axis is proven good again.

use super::Figure;
use super::drive::{Stopped, order, settle, wait};
use super::proof::Proof;
use super::scan;
use crate::bench::Sim;
use crate::bench::command::{Command, DriveSwitch, PowerCycle};
use crate::fault::Active;
use crate::numbers::Within;
use crate::record::Doing;

/// Scan of the proof run, m, and its speed as a share of the highest.
const PROOF_RUN: (f64, f64, f64) = (0.05, 0.25, 0.2);

/// Puts the fault in, lets it act while the axis moves, repairs it, switches the cabinet off and on, homes where the axis
/// needs it, and makes the proof run.
///
/// # Errors
/// What stopped the axis although it is repaired.
pub fn proof_run(proof: &Proof, fault: Active) -> Result<Vec<Figure>, Stopped> {
    let mut sim = Sim::start(proof.stand.setup(), 21, 0.1);
    sim.put_in(&[fault]);
    let speed_mps = PROOF_RUN.2 * sim.params().machine.limits.speed;
    // Whatever the fault does to these moves is its own business.
    let _ = super::drive::move_to(&mut sim, 0.2, speed_mps, &mut ());
    let _ = settle(&mut sim, 2.0, &mut ());
    order(&mut sim, &Command::MendAll)?;
    order(&mut sim, &Command::WipeAll)?;
    let _ = sim.command(&Command::Drive(DriveSwitch::Off));
    wait(&mut sim, 2.0, &mut ())?;
    order(&mut sim, &Command::PowerCycle(PowerCycle { off_s: Within::nearest(5.0) }))?;
    if sim.command(&Command::Acknowledge).is_err() || sim.record().doing == Doing::Off {
        order(&mut sim, &Command::Drive(DriveSwitch::On))?;
    }
    wait(&mut sim, 0.5, &mut ())?;
    if !sim.record().referenced {
        order(&mut sim, &Command::Home)?;
        settle(&mut sim, 600.0, &mut ())?;
    }
    let lead_m = std::f64::consts::TAU * sim.params().machine.mechanics.ratio;
    let scanned = scan::scan(&mut sim, PROOF_RUN.0, PROOF_RUN.1, speed_mps);
    if let Some(stopped) = scanned.stopped {
        return Err(stopped);
    }
    let off_um = (sim.record().counted_m - sim.record().table_m) * 1e6;
    let mut figures = scanned.figures(lead_m);
    // The zero is as good as the play of the drive and a count allow.
    figures.push(Figure::new("off_um", off_um, 12.0 + 2e6 * sim.params().metres_per_count()));
    Ok(figures)
}

/// The proof run of the healthy bench, to compare with.
///
/// # Errors
/// None on the benches of this program.
pub fn healthy_run(proof: &Proof) -> Result<Vec<Figure>, Stopped> {
    proof.fault(0.0).map_or_else(|| Ok(Vec::new()), |none| proof_run(proof, none))
}
