//! A closed loop over the two-mass plant: real path, servo, motor encoder and plant, ideal counts (floor of the motor
//! angle, nearest of the scale).
#![allow(dead_code)]

use sim_core::axis::STEP;
use sim_core::axis::brake::{BrakeForce, BrakeParams, BrakeState};
use sim_core::axis::machine::{FeedbackSource, MachineId, MachineSpec};
use sim_core::axis::motion::{Motion, MotionCommand};
use sim_core::axis::motor_encoder::MotorEncoder;
use sim_core::axis::plant::PlantParams;
use sim_core::axis::profile::MotionLimits;
use sim_core::axis::servo::{Servo, ServoParams};
use sim_core::axis::two_mass::{TwoMass, TwoMassParams};
use sim_core::axis::velocity::VelocityMethod;

pub struct Train {
    pub spec: MachineSpec,
    pub p: TwoMassParams,
    pub servo_p: ServoParams,
    pub limits: MotionLimits,
    pub feedback: FeedbackSource,
    /// Length of one count of the scale, m.
    pub q: f64,
    pub s: TwoMass,
    pub servo: Servo,
    pub encoder: MotorEncoder,
    pub motion: Motion,
    pub brake: Option<(BrakeParams, BrakeState)>,
    pub brake_closed: bool,
    /// `false`: no torque.
    pub powered: bool,
    /// `false`: the speed loop alone holds zero.
    pub loop_closed: bool,
    pub steps: u64,
    /// Stretch of the scale where nothing is counted, m.
    pub patch: Option<[f64; 2]>,
    lost: f64,
    motor_zero: i64,
}

impl Train {
    /// A machine held in closed loop at `x` m, its brake open, speed as plain difference, far from its stops.
    pub fn holding(id: MachineId, x: f64) -> Self {
        let spec = id.spec();
        let q = match id {
            MachineId::RouterGantryX => 2e-6,
            MachineId::RotaryTable => 0.1e-6,
            _ => 1e-6,
        };
        let mut p = TwoMassParams::from_spec(&spec);
        p.body = PlantParams { stops: [-100.0, 100.0], ..p.body };
        let servo_p = ServoParams {
            velocity_method: VelocityMethod::PlainDifference,
            dead_zone: 0.0,
            ..ServoParams::from_spec(&spec, STEP, q)
        };
        let s = TwoMass::at_rest(&p, x);
        let encoder = MotorEncoder::at(s.theta, spec.motor.encoder_lines);
        let mut servo = Servo::at_rest(&encoder);
        servo.close_at(x);
        servo.preload(&servo_p, spec.mechanics.holding_torque());
        let motor_zero = encoder.count - (x / servo_p.motor_count()).round() as i64;
        let mut t = Self {
            limits: spec.limits,
            feedback: spec.control.feedback,
            brake: spec.brake.map(|b| (BrakeParams::from_spec(&b), BrakeState::open())),
            brake_closed: false,
            powered: true,
            loop_closed: true,
            motion: Motion::at_rest(x),
            steps: 0,
            patch: None,
            lost: 0.0,
            spec,
            p,
            servo_p,
            q,
            s,
            servo,
            encoder,
            motor_zero,
        };
        t.run(0.2);
        t
    }

    pub fn x_scale(&self) -> f64 {
        self.q * ((self.s.x - self.lost) / self.q).round()
    }

    pub fn x_motor(&self) -> f64 {
        self.servo_p.motor_count() * (self.encoder.count - self.motor_zero) as f64
    }

    pub fn x_fb(&self) -> f64 {
        match self.feedback {
            FeedbackSource::Scale => self.x_scale(),
            FeedbackSource::Motor => self.x_motor(),
        }
    }

    /// True place of what the loop is closed on, m.
    pub fn loop_place(&self) -> f64 {
        match self.feedback {
            FeedbackSource::Scale => self.s.x,
            FeedbackSource::Motor => self.s.theta * self.p.body.ratio,
        }
    }

    /// True speed of what the loop is closed on, m/s.
    pub fn loop_speed(&self) -> f64 {
        match self.feedback {
            FeedbackSource::Scale => self.s.v,
            FeedbackSource::Motor => self.s.omega * self.p.body.ratio,
        }
    }

    /// Counts so fine that they do not matter; begins anew at rest at 0.
    pub fn fine_counts(&mut self) {
        self.q *= 1e-4;
        self.spec.motor.encoder_lines = 100_000_000;
        self.servo_p.encoder_lines = self.spec.motor.encoder_lines;
        self.s = TwoMass::at_rest(&self.p, 0.0);
        self.encoder = MotorEncoder::at(self.s.theta, self.spec.motor.encoder_lines);
        self.servo = Servo::at_rest(&self.encoder);
        self.servo.close_at(0.0);
        self.motion = Motion::at_rest(0.0);
        (self.motor_zero, self.lost, self.steps) = (self.encoder.count, 0.0, 0);
    }

    pub fn command(&mut self, command: MotionCommand) {
        self.motion.command(command, &self.limits).unwrap();
    }

    pub fn jog(&mut self, speed: f64) {
        self.command(MotionCommand::Jog { speed });
    }

    pub fn move_to(&mut self, target: f64, speed: f64) {
        self.command(MotionCommand::MoveTo { target, speed });
    }

    pub fn step(&mut self) {
        let c = &self.spec.control;
        if self.steps.is_multiple_of(u64::from(c.position_steps)) && self.loop_closed {
            self.motion.tick(self.servo_p.position_period, &self.limits);
            let x_fb = self.x_fb();
            self.servo.position_tick(&self.servo_p, self.motion.x_ref(), self.motion.v_cmd(), x_fb);
        }
        if self.steps.is_multiple_of(u64::from(c.velocity_steps)) {
            if self.powered {
                if !self.loop_closed {
                    self.servo.v_ref = 0.0;
                }
                self.servo.velocity_tick(&self.servo_p, &self.encoder);
            } else {
                self.servo.watch_tick(&self.servo_p, &self.encoder);
            }
        }
        let force = match &mut self.brake {
            Some((p, state)) => state.step(p, self.brake_closed, STEP),
            None => BrakeForce::default(),
        };
        let (theta, x) = (self.s.theta, self.s.x);
        self.s.step(&self.p, self.powered.then_some(self.servo.current), force, STEP);
        self.encoder.step(theta, self.s.theta, self.spec.motor.encoder_lines, STEP);
        if self.patch.is_some_and(|[low, high]| x > low && x < high) {
            self.lost += self.s.x - x;
        }
        self.steps += 1;
    }

    pub fn run(&mut self, seconds: f64) {
        self.run_with(seconds, |_| {});
    }

    pub fn run_with(&mut self, seconds: f64, mut see: impl FnMut(&Self)) {
        for _ in 0..(seconds / STEP).round() as u64 {
            self.step();
            see(self);
        }
    }
}

pub fn near(value: f64, expected: f64, tolerance: f64) {
    assert!((value - expected).abs() <= tolerance * expected.abs(), "{value} is not {expected}");
}

/// Swing of a record about its mean: peak to peak, and frequency, Hz, by rising crossings of the mean with a hysteresis
/// of a tenth of the swing.
pub fn swing(record: &[f64]) -> (f64, f64) {
    let mean = record.iter().sum::<f64>() / record.len() as f64;
    let low = record.iter().copied().fold(f64::INFINITY, f64::min);
    let high = record.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let band = 0.1 * (high - low);
    let (mut armed, mut first, mut last, mut n) = (false, 0, 0, 0u32);
    for (i, x) in record.iter().enumerate() {
        if *x < mean - band {
            armed = true;
        } else if *x > mean + band && armed {
            armed = false;
            if n == 0 {
                first = i;
            }
            (last, n) = (i, n + 1);
        }
    }
    let hz = if n > 1 { f64::from(n - 1) / ((last - first) as f64 * STEP) } else { 0.0 };
    (high - low, hz)
}
