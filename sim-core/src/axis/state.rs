//! The axis state and its step.

use serde::{Deserialize, Serialize};

use super::{
    AxisInput, AxisParams, ControlOutput, DriveMode, PositionReadings, STEP, StopKind, Travelled, VelocityReadings,
};
use crate::axis::homing::{HomeSwitch, Homing, HomingInput, HomingOrder, ZeroNote};
use crate::axis::machine::FeedbackSource;
use crate::axis::motion::{Motion, MotionCommand};
use crate::axis::motor_encoder::MotorEncoder;
use crate::axis::servo::Servo;
use crate::axis::train::TrainState;
use crate::axis::two_mass::{Acting, TwoMass};

/// Slower than this is standstill for taking the torque off, m/s.
const STANDSTILL: f64 = 1e-3;
/// Growth of speed during a controlled stop after which the torque goes off, share of the highest.
const STOP_EXCESS: f64 = 0.1;

/// Everything of the axis that goes on from step to step.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct AxisState {
    /// Steps done.
    pub step: u64,
    /// What the drive is doing.
    pub mode: DriveMode,
    /// True mechanics.
    pub plant: TwoMass,
    /// Encoder on the motor.
    pub encoder: MotorEncoder,
    /// Control loops.
    pub servo: Servo,
    /// Commanded path.
    pub motion: Motion,
    /// Search for the machine zero.
    pub homing: Homing,
    /// Home switch.
    pub switch: HomeSwitch,
    /// Count of the scale that reads zero.
    pub scale_zero: i64,
    /// Count of the motor encoder that reads zero.
    pub motor_zero: i64,
    pub(super) latched: Option<i64>,
    /// Controlled stop: speed wanted now and allowed at most, m/s; time left, s.
    stop_speed: f64,
    stop_limit: f64,
    stop_left: f64,
    /// What stands around the masses.
    #[serde(default)]
    pub train: TrainState,
}

impl AxisState {
    /// Switched off, at rest at `x` m, not referenced. `scale_count` is what the counter shows.
    #[must_use]
    pub fn at_rest(p: &AxisParams, x: f64, scale_count: i64) -> Self {
        let train = TrainState::soaked(&p.train);
        let mut warm = p.plant;
        warm.screw.growth += train.growth;
        let plant = TwoMass::at_rest(&warm, x);
        let encoder = MotorEncoder::at(plant.theta, p.encoder_lines);
        let mut switch = HomeSwitch::default();
        switch.step(&p.home, &p.switch, x, STEP);
        Self {
            step: 0,
            mode: DriveMode::Off,
            plant,
            encoder,
            servo: Servo::at_rest(&encoder),
            motion: Motion::at_rest(0.0),
            homing: Homing::default(),
            switch,
            scale_zero: scale_count,
            motor_zero: encoder.count,
            latched: None,
            stop_speed: 0.0,
            stop_limit: 0.0,
            stop_left: 0.0,
            train,
        }
    }

    /// As after the cabinet was off: the table where it was, at rest, the drive off, nothing remembered; time goes on.
    #[must_use]
    pub fn powered_up(&self, p: &AxisParams, scale_count: i64) -> Self {
        let mut switch = self.switch.fresh();
        switch.step(&p.home, &p.switch, self.plant.x, STEP);
        let plant = TwoMass { current: 0.0, ..self.plant };
        let encoder = MotorEncoder::at(p.train.mount.seen(&self.train.mount, plant.theta), p.encoder_lines);
        Self {
            step: self.step,
            switch,
            plant,
            encoder,
            servo: Servo::at_rest(&encoder),
            motor_zero: encoder.count,
            train: self.train.powered_up(),
            ..Self::at_rest(p, plant.x, scale_count)
        }
    }

    /// Place by the scale, m.
    #[must_use]
    pub fn x_scale(&self, p: &AxisParams, scale_count: i64) -> f64 {
        p.scale_count * (scale_count - self.scale_zero) as f64
    }

    /// Place by the motor encoder, m.
    #[must_use]
    pub fn x_motor(&self, p: &AxisParams) -> f64 {
        p.servo.motor_count() * (self.encoder.count - self.motor_zero) as f64
    }

    /// Place by the feedback in the loop, m: what the display of the axis shows.
    #[must_use]
    pub fn x_feedback(&self, p: &AxisParams, scale_count: i64) -> f64 {
        match p.feedback {
            FeedbackSource::Scale => self.x_scale(p, scale_count),
            FeedbackSource::Motor => self.x_motor(p),
        }
    }

    /// Whether readings count from the machine zero.
    #[must_use]
    pub fn referenced(&self) -> bool {
        self.homing.referenced()
    }

    /// Whether the home switch reads pressed.
    #[must_use]
    pub fn switch_pressed(&self, p: &AxisParams) -> bool {
        p.switch_stuck.unwrap_or(self.switch.pressed)
    }

    /// Answers a monitor. A stop that is milder than the one already under way changes nothing.
    pub fn react(&mut self, p: &AxisParams, stop: StopKind) {
        if matches!(self.mode, DriveMode::Off | DriveMode::Tripped) {
            // It may still hold its torque until the brake has closed.
            if stop == StopKind::TorqueOff && self.powered() {
                self.open(self.mode);
            }
            return;
        }
        match stop {
            StopKind::TorqueOff => self.open(DriveMode::Tripped),
            StopKind::Controlled if self.mode != DriveMode::Stopping => {
                let v = self.servo.speed(&p.servo).clamp(-p.limits.speed, p.limits.speed);
                self.stop_speed = v;
                self.stop_limit = v.abs() + STOP_EXCESS * p.limits.speed;
                self.stop_left = 1.5 * v.abs() / p.limits.acceleration + 0.1;
                self.homing.abandon();
                self.mode = DriveMode::Stopping;
            }
            StopKind::OnPath if self.mode != DriveMode::Stopping => {
                self.homing.abandon();
                self.stop_path(p);
                self.mode = DriveMode::Moving;
            }
            _ => {}
        }
    }

    fn stop_path(&mut self, p: &AxisParams) {
        // A stop carries no number, so it cannot be refused.
        let stopped = self.motion.command(MotionCommand::Stop, &p.limits);
        debug_assert!(stopped.is_ok());
    }

    /// What the control does at the start of a step.
    pub fn control(&mut self, p: &AxisParams, input: &AxisInput) -> ControlOutput {
        let mut out = ControlOutput::default();
        self.latched = input.latched.or(self.latched);
        if self.step.is_multiple_of(u64::from(p.position_steps.max(1))) {
            out.soft_limit = self.position_tick(p, input);
            out.zero = self.homing.note.take();
            out.position = Some(PositionReadings {
                closed: self.closed(),
                x_ref: self.motion.x_ref(),
                v_cmd: self.motion.v_cmd(),
                x_fb: self.x_feedback(p, input.scale_count),
                x_scale: self.x_scale(p, input.scale_count),
                x_motor: self.x_motor(p),
                error: self.servo.error,
                expected_error: self.servo.expected_error,
                dt: p.servo.position_period,
            });
        }
        if self.step.is_multiple_of(u64::from(p.velocity_steps.max(1))) {
            self.velocity_tick(p);
            out.velocity = Some(VelocityReadings {
                powered: self.powered(),
                v_ref: self.servo.v_ref,
                v_est: self.servo.speed(&p.servo),
                dt: p.servo.velocity_period,
            });
        }
        out
    }

    /// Path and position loop; the soft limit ahead of which the path was stopped, if it was.
    fn position_tick(&mut self, p: &AxisParams, input: &AxisInput) -> Option<f64> {
        let dt = p.servo.position_period;
        self.power_tick(p, input.scale_count);
        if self.mode == DriveMode::Homing && self.closed() {
            let home_input = HomingInput {
                switch_pressed: self.switch_pressed(p),
                latched: self.latched.take().map(|c| (c, self.x_scale(p, c))),
                x_fb: self.x_feedback(p, input.scale_count),
                motion_done: self.motion.done(),
                travel: p.travel,
                dt,
            };
            if let Some(order) = self.homing.tick(&p.home, p.coded_marks.as_ref(), &home_input) {
                self.carry_out(p, order);
            }
        }
        let mut stopped = None;
        match self.mode {
            // Its brake is not open yet.
            DriveMode::Holding | DriveMode::Moving | DriveMode::Homing if !self.closed() => {}
            DriveMode::Holding | DriveMode::Moving | DriveMode::Homing => {
                stopped = self.keep_soft_limits(p);
                self.motion.tick(dt, &p.limits);
                let x_fb = self.x_feedback(p, input.scale_count);
                self.servo.position_tick(&p.servo, self.motion.x_ref(), self.motion.v_cmd(), x_fb);
                if self.motion.done() && !self.homing.running() {
                    self.mode = DriveMode::Holding;
                }
            }
            // The loop is open. The command stays where it was when the axis was stopped, so that the error that
            // stopped it can be read until it is acknowledged.
            DriveMode::Stopping | DriveMode::Tripped => {
                self.servo.error = self.motion.x_ref() - self.x_feedback(p, input.scale_count);
            }
            DriveMode::Off => {
                let x_fb = self.x_feedback(p, input.scale_count);
                self.motion = Motion::at_rest(x_fb);
                self.servo.error = 0.0;
                self.servo.expected_error = 0.0;
            }
        }
        stopped
    }

    /// Stops the path when its stopping point would pass a soft limit it moves towards; that limit.
    fn keep_soft_limits(&mut self, p: &AxisParams) -> Option<f64> {
        let v = self.motion.v_cmd();
        if self.mode != DriveMode::Moving || !self.referenced() || v == 0.0 || self.motion.stopping() {
            return None;
        }
        let [low, high] = p.soft_limits();
        // One tick ahead, because the check comes once per tick.
        let place = self.motion.stopping_point(&p.limits) + v * p.servo.position_period;
        let passed = if v > 0.0 { (place > high).then_some(high) } else { (place < low).then_some(low) };
        if passed.is_some() {
            self.stop_path(p);
        }
        passed
    }

    fn velocity_tick(&mut self, p: &AxisParams) {
        match self.mode {
            _ if !self.powered() => self.servo.watch_tick(&p.servo, &self.encoder),
            // Held by the speed loop until the brake has closed.
            DriveMode::Off | DriveMode::Tripped => self.servo.velocity_tick(&p.servo, &self.encoder),
            DriveMode::Stopping => {
                let down = p.limits.acceleration * p.servo.velocity_period;
                let left = (self.stop_speed.abs() - down).max(0.0);
                self.stop_speed = if self.stop_speed < 0.0 { -left } else { left };
                self.stop_left -= p.servo.velocity_period;
                self.servo.v_ref = self.stop_speed;
                self.servo.velocity_tick(&p.servo, &self.encoder);
                let speed = self.servo.speed(&p.servo).abs();
                let standing = left == 0.0 && speed < STANDSTILL;
                // Getting faster while stopping: the motor encoder itself is the fault.
                if self.stop_left <= 0.0 || speed > self.stop_limit {
                    self.open(DriveMode::Tripped);
                } else if standing {
                    self.open_in_order(p, DriveMode::Tripped);
                }
            }
            DriveMode::Holding | DriveMode::Moving | DriveMode::Homing => {
                self.servo.velocity_tick(&p.servo, &self.encoder);
            }
        }
    }

    /// Does what the search for zero wants.
    pub(super) fn carry_out(&mut self, p: &AxisParams, order: HomingOrder) {
        let done = match order {
            HomingOrder::Jog(speed) => {
                let speed = speed.clamp(-p.limits.speed, p.limits.speed);
                self.motion.command(MotionCommand::Jog { speed }, &p.limits)
            }
            HomingOrder::Stop => self.motion.command(MotionCommand::Stop, &p.limits),
            HomingOrder::GiveUp(_) => {
                self.mode = DriveMode::Moving;
                self.motion.command(MotionCommand::Stop, &p.limits)
            }
            HomingOrder::ReferTo(count) => {
                self.refer_to(p, count);
                let speed = p.home.back_off_speed.min(p.limits.speed);
                self.motion.command(MotionCommand::MoveTo { target: 0.0, speed }, &p.limits)
            }
            HomingOrder::ReferHere(count) => {
                self.refer_to(p, count);
                Ok(())
            }
        };
        debug_assert!(done.is_ok(), "homing speeds come from the machine's own table");
    }

    /// Calls the latched scale count zero. The motor encoder is renumbered by the same way, so both
    /// readings keep their difference, and the commanded place moves along: nothing jumps.
    fn refer_to(&mut self, p: &AxisParams, count: i64) {
        let shift = -self.x_scale(p, count);
        let moved = self.homing.again.then(|| count.saturating_sub(self.scale_zero));
        self.homing.note = Some(ZeroNote::Taken { moved });
        self.scale_zero = count;
        self.motor_zero -= libm::round(shift / p.servo.motor_count()) as i64;
        self.motion.shift(shift);
        self.servo.shift(shift);
    }

    /// Moves current, masses, motor encoder and switch through the step.
    pub fn advance(&mut self, p: &AxisParams) -> Travelled {
        let (from, theta, v) = (self.plant.x, self.plant.theta, self.plant.v);
        let acting = Acting {
            wanted: self.powered().then_some(self.servo.current),
            bus_v: p.train.bus.voltage(v),
            current_share: p.current_share,
            growth: self.train.growth,
            brake: self.train.brake_force(&p.train),
        };
        self.plant.step_under(&p.plant, &acting, STEP);
        let seen = p.train.mount.step(&mut self.train.mount, theta, self.plant.theta);
        self.encoder.step(seen.0, seen.1, p.encoder_lines, STEP);
        p.train.seat.step(&mut self.train.seat, self.plant.v - v);
        self.train.warm(&p.train, &p.plant, &self.plant);
        self.switch.step(&p.home, &p.switch, self.plant.x, STEP);
        self.step += 1;
        Travelled { from, to: self.plant.x }
    }
}
