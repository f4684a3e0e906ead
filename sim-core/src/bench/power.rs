//! Switching the cabinet off and on: what the axis still knows afterwards.

use super::narrator::Narrator;
use super::sim::Sim;
use super::zero::{TURNS_AT_ZERO, ZeroState};
use crate::axis::DriveMode;
use crate::axis::homing::HomingState;
use crate::chain::absolute::{BatteryLevel, CodeWatch, TurnsParams};
use crate::event::What;
use crate::monitor::Watch;
use crate::monitor::code::{battery_low, turns_lost};

/// Faster than this the table does not stand, m/s.
const STANDS_MPS: f64 = 1e-6;
/// Time that the encoder lives on the charge of its own capacitor, s (own value).
const BRIDGED_S: f64 = 10.0;

impl Sim {
    /// Switches the cabinet off for a while and on again. The table rests where it is, a hanging one
    /// once its brake holds; the drive is off afterwards,
    /// alarms are gone, and everything that lived in memory without a battery is forgotten.
    ///
    /// # Errors
    /// When the axis does not stand.
    pub(super) fn power_cycle(&mut self, off_s: f64) -> Result<(), String> {
        let axis = &self.bench.state.axis;
        let busy = matches!(axis.mode, DriveMode::Moving | DriveMode::Homing | DriveMode::Stopping);
        if busy || axis.plant.v.abs() > STANDS_MPS {
            return Err("stop the axis and wait until it stands before the cabinet is switched off".to_owned());
        }
        self.fall_into_brake();
        self.come_up(off_s);
        Ok(())
    }

    /// The cabinet comes up again after it was off for a while.
    pub(super) fn come_up(&mut self, off_s: f64) {
        let lost = self.turns_over_power_off(off_s);
        let state = &mut self.bench.state;
        let motor_zero = state.axis.motor_zero;
        state.axis = state.axis.powered_up(&self.compiled.axis, 0);
        state.watch = Watch::default();
        state.readout_zero_m = 0.0;
        state.narrator = Narrator::default();
        state.counter.count = 0;
        state.latched = None;
        state.zero = ZeroState {
            code: CodeWatch::default(),
            noise: state.zero.noise.take(),
            turns: state.zero.turns,
            ..ZeroState::default()
        };
        self.settle();
        let known = self.seat_code() || (!lost && self.keep_motor_place(motor_zero));
        self.settle();
        self.pending.push(What::PoweredUp { off_s, referenced: known });
        if lost {
            self.forget_turns(motor_zero, known);
        }
        let turns = self.params.zero.turns;
        if self.params.zero.multiturn && turns.battery() != BatteryLevel::Good {
            self.react(battery_low(&turns));
        }
    }

    /// What the turns counter makes of the time without supply; whether it has forgotten its turns.
    fn turns_over_power_off(&mut self, off_s: f64) -> bool {
        let shaft = self.shaft_turns();
        let off = TurnsParams { supply_on: false, ..self.params.zero.turns };
        let Some(turns) = &mut self.bench.state.zero.turns else { return false };
        if off.battery() != BatteryLevel::Dead || off_s > BRIDGED_S {
            turns.step(&off, shaft, off_s);
        }
        turns.step(&self.params.zero.turns, shaft, 0.0);
        turns.is_lost()
    }

    /// The multi-turn encoder in the loop gives the place back; the scale is numbered after it. Whether it does.
    fn keep_motor_place(&mut self, motor_zero: i64) -> bool {
        if !self.motor_knows() {
            return false;
        }
        self.number_after_motor(motor_zero);
        let axis = &mut self.bench.state.axis;
        axis.homing.state = HomingState::Referenced { switch_to_mark: 0.0 };
        true
    }

    /// The motor encoder reads zero at a count, and the scale reads as it does.
    fn number_after_motor(&mut self, motor_zero: i64) {
        let (count, p) = (self.bench.state.counter.count, &self.compiled.axis);
        let axis = &mut self.bench.state.axis;
        axis.motor_zero = motor_zero;
        axis.scale_zero = count - libm::round(axis.x_motor(p) / p.scale_count) as i64;
    }

    /// Turns read zero: the place within the turn is right, the axis is off by whole turns and its zero not believed.
    /// Where the place comes from the scale it is only told.
    fn forget_turns(&mut self, motor_zero: i64, place_known: bool) {
        let missing = libm::floor(self.shaft_turns());
        debug_assert!(missing >= TURNS_AT_ZERO - 100.0, "the counter stands in the middle of its range");
        let event = turns_lost(&self.params.zero.turns);
        if place_known || !self.motor_knows() {
            self.react(event);
            return;
        }
        let per_turn = 4 * i64::from(self.compiled.axis.encoder_lines);
        self.number_after_motor(motor_zero + missing as i64 * per_turn);
        // To be acknowledged before the drive can be switched on.
        self.bench.state.axis.mode = DriveMode::Tripped;
        let event = self.bench.state.watch.raise(event);
        self.react(event);
        self.pending.push(What::ReferenceLost);
    }
}
