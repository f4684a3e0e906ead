//! The cabinet off over a long weekend and on again: what knows its place still, and what has sunk.

use super::Figure;
use super::drive::{Stopped, order, settle, wait};
use crate::bench::Sim;
use crate::bench::command::{Command, DriveSwitch, PowerCycle};
use crate::numbers::Within;

/// How long the cabinet is off, s.
const WEEKEND_S: f64 = 250_000.0;

/// Switches off, waits, switches on; figures, and what ended it early.
pub fn figures(sim: &mut Sim) -> ([Figure; 2], Option<Stopped>) {
    let began_m = sim.record().table_m;
    let cycle = Command::PowerCycle(PowerCycle { off_s: Within::nearest(WEEKEND_S) });
    let ended = settle(sim, 2.0, &mut ())
        .and_then(|()| order(sim, &Command::Drive(DriveSwitch::Off)))
        .and_then(|()| wait(sim, 0.5, &mut ()))
        .and_then(|()| order(sim, &cycle))
        .and_then(|()| wait(sim, 0.2, &mut ()));
    let figures = [
        Figure::new("referenced", f64::from(u8::from(sim.record().referenced)), 0.5),
        Figure::new("dropped_um", (began_m - sim.record().table_m) * 1e6, 60.0),
    ];
    (figures, ended.err())
}
