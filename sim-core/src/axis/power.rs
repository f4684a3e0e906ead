//! Torque and brake in good order: what switching on and off does to the loops.

use super::{AxisParams, AxisState, DriveMode, STEP, Travelled};
use crate::axis::brake::BrakeState;
use crate::axis::motion::Motion;
use crate::axis::sequence::{PowerPhase, PowerWish};

/// Longest that a table runs on or falls once its power is lost, steps: ten seconds.
const RUN_OUT: u32 = 200_000;

impl AxisState {
    /// Whether torque is on.
    #[must_use]
    pub fn powered(&self) -> bool {
        self.train.power != PowerPhase::Off
    }

    /// Whether the position loop is closed.
    pub(super) fn closed(&self) -> bool {
        self.train.power == PowerPhase::On
            && matches!(self.mode, DriveMode::Holding | DriveMode::Moving | DriveMode::Homing)
    }

    /// Torque off at once, and what follows from it for the path.
    pub(super) fn open(&mut self, mode: DriveMode) {
        (self.train.power, self.train.release) = (PowerPhase::Off, false);
        self.lay_down(mode);
    }

    /// As [`Self::open`], with the brake closed first where there is one: for an axis that stands.
    pub(super) fn open_in_order(&mut self, p: &AxisParams, mode: DriveMode) {
        if p.train.brake.is_none() || !self.powered() {
            return self.open(mode);
        }
        self.lay_down(mode);
    }

    fn lay_down(&mut self, mode: DriveMode) {
        self.mode = mode;
        self.homing.abandon();
        self.motion = Motion::at_rest(self.motion.x_ref());
    }

    /// Torque on: at once, or by way of the brake where there is one.
    pub(super) fn close(&mut self, p: &AxisParams, x_fb: f64) {
        self.motion = Motion::at_rest(x_fb);
        if self.powered() {
            self.servo.hold_on_at(x_fb);
        } else {
            self.servo.close_at(x_fb);
            if p.train.brake.is_none() {
                self.train.power = PowerPhase::On;
            }
        }
        self.mode = DriveMode::Holding;
    }

    /// Holding in closed loop where it stands, brake open, as if switched on long ago.
    pub fn hold(&mut self, p: &AxisParams, scale_count: i64) {
        let x_fb = self.x_feedback(p, scale_count);
        self.close(p, x_fb);
        if p.train.brake.is_some() {
            self.servo.preload(&p.servo, p.train.holding_nm);
            self.servo.carry(&p.servo);
            self.plant.current = self.servo.current;
            self.train.brake = BrakeState::open();
            (self.train.power, self.train.release) = (PowerPhase::On, true);
        }
    }

    /// One position tick of the order of torque and brake.
    pub(super) fn power_tick(&mut self, p: &AxisParams, scale_count: i64) {
        if p.train.brake.is_none() {
            return;
        }
        let wish = match self.mode {
            DriveMode::Off | DriveMode::Tripped => PowerWish::Off,
            _ => PowerWish::On,
        };
        let before = self.train.power;
        if matches!((before, wish), (PowerPhase::Off, PowerWish::Off) | (PowerPhase::On, PowerWish::On)) {
            return;
        }
        let order = self.train.power.tick(&p.train.sequence, wish, p.servo.position_period);
        self.train.release = !order.brake_closed;
        if before == PowerPhase::On && wish == PowerWish::Off {
            self.train.held_nm = Some(self.servo.holding_torque());
        }
        if order.preload {
            self.servo.preload(&p.servo, self.train.held_nm.unwrap_or(p.train.holding_nm));
        }
        if order.close_loop {
            let x_fb = self.x_feedback(p, scale_count);
            // What was ordered meanwhile begins from here.
            self.motion.shift(x_fb - self.motion.x_ref());
            self.servo.hold_on_at(x_fb);
        }
        self.servo.v_ref = 0.0;
    }

    /// The cabinet goes off: torque off at once, the brake closes, the table runs on or falls until it stands. Time does
    /// not go on. How far it went, m.
    pub fn lose_power(&mut self, p: &AxisParams) -> f64 {
        let (step, x) = (self.step, self.plant.x);
        self.open(DriveMode::Off);
        for n in 0..RUN_OUT {
            let standing = self.plant.v == 0.0 && self.plant.omega == 0.0;
            if standing && (p.train.brake.is_none() || self.train.braked() && n > 1) {
                break;
            }
            self.advance(p);
        }
        self.step = step;
        self.plant.x - x
    }

    /// Torque off with the table on its prop: it stays where it is.
    pub fn lie_on_prop(&mut self) {
        self.open(DriveMode::Off);
        (self.plant.v, self.plant.omega) = (0.0, 0.0);
    }

    /// A step in which the table stands on its prop: temperatures and time go on, nothing moves.
    pub fn stay(&mut self, p: &AxisParams) -> Travelled {
        (self.plant.v, self.plant.omega, self.plant.current) = (0.0, 0.0, 0.0);
        let _ = self.train.brake_force(&p.train);
        self.train.warm(&p.train, &p.plant, &self.plant);
        self.step += 1;
        Travelled { from: self.plant.x, to: self.plant.x }
    }

    /// A bench that was kept when motor and table were one rigid mass goes on with two: the motor where the ratio puts it.
    pub fn adopt_rigid(&mut self, p: &AxisParams) {
        self.plant.theta = self.plant.x / p.plant.body.ratio;
        self.plant.omega = self.plant.v / p.plant.body.ratio;
        if !matches!(self.mode, DriveMode::Off | DriveMode::Tripped) {
            self.train.power = PowerPhase::On;
        }
    }
}

const _: () = assert!(RUN_OUT as f64 * STEP <= 10.0 + 1e-9);
