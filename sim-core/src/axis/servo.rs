//! Cascaded control: position loop, velocity loop, expected error.
//!
//! Position loop every `Tp`: `v_ref = Kv e + kff v_cmd`, `e = x_ref - x_fb`. Velocity loop every
//! `Tv`: PI with the integral held at the torque limit; what it works out acts one `Tv` later (the
//! computing delay). The expected error runs beside it with the gains stored at commissioning, not
//! with the live ones: otherwise a wrong gain would excuse itself.

use serde::{Deserialize, Serialize};

use crate::axis::machine::MachineSpec;
use crate::axis::motor_encoder::{MotorEncoder, count_angle};
use crate::axis::velocity::{VelocityEstimate, VelocityMethod};

/// Numbers of the control that act during a step.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct ServoParams {
    /// Position gain, 1/s, 10..100.
    pub kv: f64,
    /// Velocity feed-forward, 0..1.
    pub kff: f64,
    /// Position gain stored at commissioning, 1/s.
    pub stored_kv: f64,
    /// Feed-forward stored at commissioning.
    pub stored_kff: f64,
    /// Velocity gain, N m s/rad.
    pub kp: f64,
    /// Integral time, s.
    pub tn: f64,
    /// Velocity-loop period, s.
    pub velocity_period: f64,
    /// Position-loop period, s.
    pub position_period: f64,
    /// Filter of the velocity estimate, s.
    pub velocity_filter: f64,
    /// How speed is taken from counts.
    pub velocity_method: VelocityMethod,
    /// Lines the control believes the motor encoder has.
    pub encoder_lines: u32,
    /// +1, or -1 when the motor encoder is wired or set the wrong way round.
    pub motor_sign: f64,
    /// Torque constant, N m/A.
    pub torque_constant: f64,
    /// Current limit, A.
    pub peak_current: f64,
    /// Table travel per radian, m/rad.
    pub ratio: f64,
    /// Errors up to this are taken for zero, m: half a count of the feedback. Less than half a
    /// count cannot be known, and acting on it makes the axis hunt around a count's edge.
    pub dead_zone: f64,
    /// Play of the drive that is made up for at each reversal, m, 0..1e-3; 0 for none.
    #[serde(default)]
    pub play_comp: f64,
}

impl ServoParams {
    /// The control of a machine as commissioned. `step` is the physics step, s; `feedback_count`
    /// the length of one count of the position feedback, m.
    #[must_use]
    pub fn from_spec(m: &MachineSpec, step: f64, feedback_count: f64) -> Self {
        let c = &m.control;
        Self {
            kv: c.kv,
            kff: c.kff,
            stored_kv: c.kv,
            stored_kff: c.kff,
            kp: c.kp,
            tn: c.tn,
            velocity_period: f64::from(c.velocity_steps) * step,
            position_period: f64::from(c.position_steps) * step,
            velocity_filter: c.velocity_filter,
            velocity_method: VelocityMethod::EdgeTime,
            encoder_lines: m.motor.encoder_lines,
            motor_sign: 1.0,
            torque_constant: m.motor.torque_constant,
            peak_current: m.motor.peak_current,
            ratio: m.mechanics.ratio,
            dead_zone: 0.5 * feedback_count,
            play_comp: 0.0,
        }
    }

    /// Table travel of one motor count as the control believes, m, signed.
    #[must_use]
    pub fn motor_count(&self) -> f64 {
        self.motor_sign * self.ratio * count_angle(self.encoder_lines)
    }
}

/// State of the control.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Servo {
    /// Following error `e = x_ref - x_fb` of the last position tick, m.
    pub error: f64,
    /// Expected following error, m.
    pub expected_error: f64,
    /// Wanted speed, m/s.
    pub v_ref: f64,
    /// Current asked of the drive, A; already delayed.
    pub current: f64,
    /// Speed estimate of the motor encoder.
    pub estimate: VelocityEstimate,
    model_x: f64,
    integral: f64,
    next_current: f64,
    /// Direction of the last command, +1 or -1; 0 before the first.
    #[serde(default)]
    side: f64,
}

impl Servo {
    /// At rest with the encoder as it stands.
    #[must_use]
    pub fn at_rest(m: &MotorEncoder) -> Self {
        Self {
            error: 0.0,
            expected_error: 0.0,
            v_ref: 0.0,
            current: 0.0,
            estimate: VelocityEstimate::at_rest(m),
            model_x: 0.0,
            integral: 0.0,
            next_current: 0.0,
            side: 0.0,
        }
    }

    /// Closes the loop from rest at `x_ref` m: no error, no integral, no current.
    pub fn close_at(&mut self, x_ref: f64) {
        *self = Self { estimate: self.estimate, model_x: x_ref, ..Self::at_rest(&MotorEncoder::default()) };
    }

    /// Closes the position loop at `x_ref` m with the torque as it is: no error, the integral kept.
    pub fn hold_on_at(&mut self, x_ref: f64) {
        *self = Self { error: 0.0, expected_error: 0.0, v_ref: 0.0, model_x: x_ref, ..*self };
    }

    /// The current is what the integral holds, as after holding for long.
    pub fn carry(&mut self, p: &ServoParams) {
        self.next_current = self.integral / p.torque_constant;
        self.current = self.next_current;
    }

    /// Puts a holding torque, N m, into the integral before the brake opens, so that a hanging axis does not sag.
    pub fn preload(&mut self, p: &ServoParams, torque_nm: f64) {
        let limit = p.torque_constant * p.peak_current;
        self.integral = torque_nm.clamp(-limit, limit);
    }

    /// Torque the integral holds now, N m: what a hanging axis needs at its next start.
    #[must_use]
    pub fn holding_torque(&self) -> f64 {
        self.integral
    }

    /// Estimated table speed by the motor encoder, m/s.
    #[must_use]
    pub fn speed(&self, p: &ServoParams) -> f64 {
        p.motor_sign * p.ratio * self.estimate.omega
    }

    /// Position loop: wanted speed from the commanded place `x_ref` m, the commanded speed `v_cmd`
    /// m/s and the feedback `x_fb` m. The model goes on by
    /// `x_m' = x_m + Tp (Kv_m (x_ref - x_m) + kff_m v_cmd)`.
    ///
    /// With a compensation of play the motor is led half of it ahead, on the side of the last direction.
    pub fn position_tick(&mut self, p: &ServoParams, x_ref: f64, v_cmd: f64, x_fb: f64) {
        if v_cmd != 0.0 {
            self.side = v_cmd.signum();
        }
        self.error = x_ref - x_fb;
        if p.play_comp != 0.0 {
            self.error += 0.5 * p.play_comp * self.side;
        }
        self.expected_error = x_ref - self.model_x;
        self.model_x += p.position_period * (p.stored_kv * self.expected_error + p.stored_kff * v_cmd);
        let acted_on = if self.error.abs() <= p.dead_zone { 0.0 } else { self.error };
        self.v_ref = p.kv * acted_on + p.kff * v_cmd;
    }

    /// The feedback was renumbered by `dx` m; the commanded place must have been too.
    pub fn shift(&mut self, dx: f64) {
        self.model_x += dx;
    }

    /// Reads the motor encoder only: keeps the speed estimate alive while the drive is off.
    pub fn watch_tick(&mut self, p: &ServoParams, m: &MotorEncoder) {
        let angle = count_angle(p.encoder_lines);
        self.estimate.tick(m, p.velocity_method, angle, p.velocity_period, p.velocity_filter);
        self.integral = 0.0;
        self.current = 0.0;
        self.next_current = 0.0;
    }

    /// Velocity loop towards `v_ref` m/s. `T = Kp e_v + S`; `S` grows by `(Kp/Tn) e_v Tv` unless
    /// the torque is at its limit and the error would push it further; `|S|` keeps the limit too.
    pub fn velocity_tick(&mut self, p: &ServoParams, m: &MotorEncoder) {
        let angle = count_angle(p.encoder_lines);
        let omega =
            p.motor_sign * self.estimate.tick(m, p.velocity_method, angle, p.velocity_period, p.velocity_filter);
        self.current = self.next_current;
        let e_v = self.v_ref / p.ratio - omega;
        let limit = p.torque_constant * p.peak_current;
        let torque = p.kp * e_v + self.integral;
        if torque.abs() < limit || torque * e_v <= 0.0 {
            self.integral = (self.integral + p.kp / p.tn * e_v * p.velocity_period).clamp(-limit, limit);
        }
        self.next_current = torque.clamp(-limit, limit) / p.torque_constant;
    }
}

/// Steady following error at constant speed, m: `v (1 - kff)/Kv`, whatever the friction (textbook).
#[must_use]
pub fn steady_error(v: f64, kv: f64, kff: f64) -> f64 {
    v * (1.0 - kff) / kv
}

/// Following error `t` s after starting from rest with acceleration `a`, no feed-forward, m:
/// `(a/Kv)(t - (1 - exp(-Kv t))/Kv)` (textbook, first-order position loop).
#[must_use]
pub fn acceleration_error(a: f64, kv: f64, t: f64) -> f64 {
    a / kv * (t - (1.0 - libm::exp(-kv * t)) / kv)
}

/// Position gain in 1/s from (m/min)/mm: 1000/60 per unit.
#[must_use]
pub fn kv_from_metres_per_minute_per_millimetre(kv: f64) -> f64 {
    kv * 1000.0 / 60.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::axis::machine::MachineId;

    fn near(value: f64, expected: f64) {
        assert!((value - expected).abs() <= 1e-3 * expected.abs(), "{value} is not {expected}");
    }

    // Source: unit conversion.
    #[test]
    fn axis_v23_position_gain_units() {
        near(kv_from_metres_per_minute_per_millimetre(1.0), 16.667);
        near(kv_from_metres_per_minute_per_millimetre(1.5), 25.0);
        near(kv_from_metres_per_minute_per_millimetre(2.0), 33.333);
    }

    // Source: textbook (type-1 position loop); the full loop is checked in tests/axis_loop.rs.
    #[test]
    fn axis_v24_steady_error_formula() {
        near(steady_error(0.05, 1000.0 / 30.0, 0.0), 1.500e-3);
        near(steady_error(20.0 / 60.0, 20.0, 0.8), 3.333e-3);
        near(steady_error(0.1, 25.0, 0.5), 2.000e-3);
        near(steady_error(1.0, 25.0, 0.5), 20.0e-3);
    }

    // Source: closed form; the expected error of the monitor must agree with it.
    #[test]
    fn axis_v25_error_while_accelerating() {
        near(acceleration_error(2.0, 20.0, 0.1), 5.6767e-3);
        let spec = MachineId::RouterGantryX.spec();
        let mut p = ServoParams::from_spec(&spec, 50e-6, 2e-6);
        (p.stored_kv, p.stored_kff, p.position_period) = (20.0, 0.0, 1e-5);
        let mut s = Servo::at_rest(&MotorEncoder::default());
        for i in 0..=10_000 {
            let t = 1e-5 * f64::from(i);
            s.position_tick(&p, t * t, 2.0 * t, 0.0);
        }
        near(s.expected_error, 5.6767e-3);
    }

    #[test]
    fn torque_acts_one_period_late_and_the_integral_stops_at_the_limit() {
        let p = ServoParams::from_spec(&MachineId::RouterGantryX.spec(), 50e-6, 2e-6);
        let m = MotorEncoder::default();
        let mut s = Servo::at_rest(&m);
        s.v_ref = 0.8;
        s.velocity_tick(&p, &m);
        assert_eq!(s.current, 0.0);
        s.velocity_tick(&p, &m);
        assert_eq!(s.current, p.peak_current);
        for _ in 0..10_000 {
            s.velocity_tick(&p, &m);
        }
        assert!(s.integral.abs() <= p.torque_constant * p.peak_current);
        // With the error gone the torque comes back at once: nothing was wound up.
        s.v_ref = -0.01;
        s.velocity_tick(&p, &m);
        s.velocity_tick(&p, &m);
        assert!(s.current < 0.0, "{}", s.current);
    }

    #[test]
    fn less_than_half_a_count_is_not_acted_on() {
        let p = ServoParams::from_spec(&MachineId::TeachingRail.spec(), 50e-6, 0.25e-3);
        let mut s = Servo::at_rest(&MotorEncoder::default());
        s.position_tick(&p, 0.12e-3, 0.0, 0.0);
        assert_eq!((s.v_ref, s.error), (0.0, 0.12e-3));
        s.position_tick(&p, 0.13e-3, 0.0, 0.0);
        assert!(s.v_ref > 0.0);
    }
}
