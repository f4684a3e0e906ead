//! Brings a copy of the bench to rest, as a technician does before a check: stop, acknowledge, switch on.

use sim_core::bench::Sim;
use sim_core::bench::command::{Command, DriveSwitch};
use sim_core::record::{Doing, STEP_S};

/// Longest way to rest, s.
const LONGEST_S: f64 = 10.0;

/// Stops the axis, acknowledges its alarm and switches the drive on.
///
/// # Errors
/// The alarm's condition still stands, or the axis does not come to rest; in words.
pub fn bring_to_rest(sim: &mut Sim) -> Result<(), String> {
    let at_rest = |sim: &Sim| matches!(sim.record().doing, Doing::Holding | Doing::Off | Doing::Tripped);
    if !at_rest(sim) && !sim.record().alarm {
        sim.command(&Command::Stop)?;
    }
    let steps = (LONGEST_S / STEP_S) as u64;
    let mut waited = 0;
    while !at_rest(sim) && waited < steps {
        sim.advance_unwatched(1);
        waited += 1;
    }
    if !at_rest(sim) {
        return Err(format!("The axis does not come to rest within {LONGEST_S} s."));
    }
    if sim.record().alarm {
        sim.command(&Command::Acknowledge)
            .map_err(|why| format!("The check cannot begin, the alarm stands: {why}. Mend its cause first."))?;
        sim.advance_unwatched(200);
    }
    if sim.record().doing == Doing::Off {
        sim.command(&Command::Drive(DriveSwitch::On)).map_err(|why| format!("The check cannot begin: {why}."))?;
        sim.advance_unwatched(200);
    }
    Ok(())
}
