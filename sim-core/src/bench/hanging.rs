//! What a load that can fall does when its torque goes: told once, with the caution that belongs to it.

use super::sim::Sim;
use crate::event::What;
use crate::monitor::brake_watch::{BrakeReadings, BrakeWatchState};
use serde::{Deserialize, Serialize};

/// Shorter than this nobody calls a drop, m.
const DROP_M: f64 = 20e-6;

/// What is kept of the brake.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct BrakeCare {
    /// Where the table was when its torque went off, m, until it stands.
    off_at_m: Option<f64>,
    powered: bool,
    slip: BrakeWatchState,
}

impl Sim {
    /// Looks at the brake after a step.
    pub(super) fn watch_brake(&mut self) {
        if self.compiled.axis.train.brake.is_none() {
            return;
        }
        let hanging = self.params.machine.mechanics.incline > 0.0;
        let state = &mut self.bench.state;
        let (axis, care) = (&state.axis, &mut state.brake);
        let (powered, braked, x_m) = (axis.powered(), axis.train.braked(), axis.plant.x);
        if care.powered && !powered {
            care.off_at_m = Some(x_m);
        }
        care.powered = powered;
        if let Some(off_at_m) = care.off_at_m
            && (powered || braked && axis.plant.v == 0.0)
        {
            care.off_at_m = None;
            if hanging && off_at_m - x_m > DROP_M {
                self.pending.push(What::Dropped { by_m: off_at_m - x_m });
            }
        }
        let due = axis.step.is_multiple_of(u64::from(self.compiled.axis.position_steps.max(1)));
        if !due {
            return;
        }
        let readings = BrakeReadings {
            closed: braked,
            moving: false,
            x_fb: axis.x_feedback(&self.compiled.axis, state.counter.count),
            current: axis.plant.current,
            stored_current: f64::INFINITY,
            v_est: axis.servo.speed(&self.compiled.axis.servo),
            v_max: self.compiled.axis.limits.speed,
        };
        if let Some(event) = care.slip.step(&readings, self.compiled.axis.servo.position_period) {
            self.react(event);
        }
    }

    /// The cabinet goes off under a load that can fall: what it does until its brake holds is over before the cabinet is on
    /// again.
    pub(super) fn fall_into_brake(&mut self) {
        if self.compiled.axis.train.brake.is_none() {
            return;
        }
        let moved_m = self.bench.state.axis.lose_power(&self.compiled.axis);
        self.bench.state.brake = BrakeCare::default();
        if moved_m < -DROP_M && self.params.machine.mechanics.incline > 0.0 {
            self.pending.push(What::Dropped { by_m: -moved_m });
        }
    }
}
