//! The loops as the frequency sees them: open loops of speed and place, their margins; the position loop as a second-order
//! lag.
//!
//! `L_v = Kp (1 + 1/(s Tn)) G exp(-1.5 s Tv)/((1 + s tau_i)(1 + s tau_v))` with `G = omega/T` of the two-mass plant (or
//! `1/(J s + b)` of a rigid one); `L_p = (Kv/s) T_v (table/motor) exp(-0.5 s Tp)` with `T_v` the closed speed loop, whose filter
//! `tau_v` sits in the return path. Dry friction and counts are left out: this is the small-signal view.

use core::f64::consts::PI;
use core::ops::{Add, Div, Mul};

use crate::axis::STEP;
use crate::axis::machine::MachineSpec;
use crate::num::math;

/// A complex number, for frequency responses only.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Complex {
    /// Real part.
    pub re: f64,
    /// Imaginary part.
    pub im: f64,
}

impl Complex {
    /// From both parts.
    #[must_use]
    pub const fn new(re: f64, im: f64) -> Self {
        Self { re, im }
    }

    /// Length.
    #[must_use]
    pub fn magnitude(self) -> f64 {
        math::hypot(self.re, self.im)
    }

    /// Angle, rad, -pi..pi.
    #[must_use]
    pub fn angle(self) -> f64 {
        math::atan2(self.im, self.re)
    }

    /// A delay of `t` s at `w` rad/s.
    fn delay(w: f64, t: f64) -> Self {
        Self::new(math::cos(w * t), -math::sin(w * t))
    }

    /// A lag in the denominator, `1 + j w tau`.
    fn lag(w: f64, tau: f64) -> Self {
        Self::new(1.0, w * tau)
    }
}

impl Add for Complex {
    type Output = Self;
    fn add(self, o: Self) -> Self {
        Self::new(self.re + o.re, self.im + o.im)
    }
}

impl Mul for Complex {
    type Output = Self;
    fn mul(self, o: Self) -> Self {
        Self::new(self.re * o.re - self.im * o.im, self.re * o.im + self.im * o.re)
    }
}

impl Mul<f64> for Complex {
    type Output = Self;
    fn mul(self, k: f64) -> Self {
        Self::new(self.re * k, self.im * k)
    }
}

impl Div for Complex {
    type Output = Self;
    fn div(self, o: Self) -> Self {
        let d = o.re * o.re + o.im * o.im;
        Self::new((self.re * o.re + self.im * o.im) / d, (self.im * o.re - self.re * o.im) / d)
    }
}

/// Table behind the spring of its drive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SprungTable {
    /// Mass, kg.
    pub mass: f64,
    /// Viscous drag, N s/m.
    pub viscous: f64,
    /// Drive stiffness, N/m.
    pub stiffness: f64,
    /// Drive damping, N s/m.
    pub damping: f64,
}

/// What the loops are made of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LoopShape {
    /// Inertia at the motor, kg m^2: the motor's own, or the whole axis if there is no spring.
    pub inertia: f64,
    /// Viscous torque at the motor, N m s/rad.
    pub motor_viscous: f64,
    /// The table behind its spring; `None` for a rigid axis.
    pub table: Option<SprungTable>,
    /// Table travel per radian, m/rad.
    pub ratio: f64,
    /// Velocity gain, N m s/rad.
    pub kp: f64,
    /// Integral time, s.
    pub tn: f64,
    /// Position gain, 1/s.
    pub kv: f64,
    /// Lag of the current loop, s.
    pub current_lag: f64,
    /// Filter of the speed estimate, s.
    pub velocity_filter: f64,
    /// Velocity-loop period, s.
    pub velocity_period: f64,
    /// Position-loop period, s.
    pub position_period: f64,
}

impl LoopShape {
    /// A machine as commissioned, its drive a spring without play.
    #[must_use]
    pub fn from_spec(m: &MachineSpec) -> Self {
        let k = &m.mechanics;
        Self {
            inertia: k.inertia,
            motor_viscous: k.motor_viscous,
            table: Some(SprungTable {
                mass: k.table_mass,
                viscous: k.guide_viscous,
                stiffness: k.stiffness,
                damping: k.damping,
            }),
            ratio: k.ratio,
            kp: m.control.kp,
            tn: m.control.tn,
            kv: m.control.kv,
            current_lag: m.motor.current_lag,
            velocity_filter: m.control.velocity_filter,
            velocity_period: f64::from(m.control.velocity_steps) * STEP,
            position_period: f64::from(m.control.position_steps) * STEP,
        }
    }

    /// Plant `omega/T` and share `v/(r omega)` of the table at `w` rad/s: with `D = k + s c`, `Z = M s + b_x`,
    /// `G = (s Z + D)/((J s + b_m)(s Z + D) + r^2 Z D)` and `D/(s Z + D)`.
    fn plant(&self, w: f64) -> (Complex, Complex) {
        let one = Complex::new(1.0, 0.0);
        let motor = Complex::new(self.motor_viscous, w * self.inertia);
        let Some(t) = self.table else { return (one / motor, one) };
        let drive = Complex::new(t.stiffness, w * t.damping);
        let table = Complex::new(t.viscous, w * t.mass);
        let bent = Complex::new(0.0, w) * table + drive;
        (bent / (motor * bent + table * drive * (self.ratio * self.ratio)), drive / bent)
    }

    /// Forward path of the speed loop.
    fn forward(&self, w: f64) -> Complex {
        let pi = Complex::new(1.0, -1.0 / (w * self.tn)) * self.kp;
        pi * self.plant(w).0 * Complex::delay(w, 1.5 * self.velocity_period) / Complex::lag(w, self.current_lag)
    }

    /// Open speed loop at `w` rad/s.
    #[must_use]
    pub fn velocity_open(&self, w: f64) -> Complex {
        self.forward(w) / Complex::lag(w, self.velocity_filter)
    }

    /// Closed speed loop at `w` rad/s, motor speed over wanted speed.
    #[must_use]
    pub fn velocity_closed(&self, w: f64) -> Complex {
        self.forward(w) / (Complex::new(1.0, 0.0) + self.velocity_open(w))
    }

    /// Open position loop at `w` rad/s, place of the table.
    #[must_use]
    pub fn position_open(&self, w: f64) -> Complex {
        Complex::new(0.0, -self.kv / w)
            * self.velocity_closed(w)
            * self.plant(w).1
            * Complex::delay(w, 0.5 * self.position_period)
    }
}

/// How far an open loop is from instability.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Margins {
    /// Smallest phase margin, deg, and where, rad/s.
    pub phase: Option<(f64, f64)>,
    /// Phase margin at the lowest crossing of gain 1, deg, and where, rad/s.
    pub first_phase: Option<(f64, f64)>,
    /// Smallest gain margin, dB, and where, Hz.
    pub gain: Option<(f64, f64)>,
}

/// Lowest frequency looked at, rad/s.
const LOWEST: f64 = 1.0;
/// Points per decade; a resonance of damping ratio 0.02 is 2 % wide.
const PER_DECADE: u32 = 2000;
/// Decades looked at: up to 1 kHz and beyond.
const DECADES: u32 = 4;

/// Margins of an open loop, from 1 to 10^4 rad/s. Only loops that are stable by themselves and fall at last: the usual
/// reading of a Bode plot, all crossings looked at.
pub fn margins(open: impl Fn(f64) -> Complex) -> Margins {
    let mut out = Margins::default();
    let step = math::exp(core::f64::consts::LN_10 / f64::from(PER_DECADE));
    let (mut w, mut before) = (LOWEST, open(LOWEST));
    for _ in 0..PER_DECADE * DECADES {
        let next = w * step;
        let now = open(next);
        if (before.magnitude() - 1.0) * (now.magnitude() - 1.0) < 0.0 {
            let at = bisect(w, next, |w| open(w).magnitude() - 1.0);
            let l = open(at);
            // Angle of L against -180 deg, that is of -L; a lead of more than 90 deg there is a lag of less than 270.
            let degrees = Complex::new(-l.re, -l.im).angle() * 180.0 / PI;
            let found = (if degrees < -90.0 { degrees + 360.0 } else { degrees }, at);
            out.first_phase = out.first_phase.or(Some(found));
            out.phase = Some(out.phase.filter(|p| p.0 <= found.0).unwrap_or(found));
        }
        if before.im * now.im < 0.0 && before.re < 0.0 && now.re < 0.0 {
            let at = bisect(w, next, |w| open(w).im);
            let db = -20.0 * math::log10(open(at).magnitude());
            if db > 0.0 {
                let found = (db, at / (2.0 * PI));
                out.gain = Some(out.gain.filter(|g| g.0 <= db).unwrap_or(found));
            }
        }
        (w, before) = (next, now);
    }
    out
}

/// Zero of `f` between `low` and `high`, where it has different signs.
fn bisect(mut low: f64, mut high: f64, f: impl Fn(f64) -> f64) -> f64 {
    let sign = f(low);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if f(middle) * sign > 0.0 { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

/// Position loop over a speed loop that is a plain lag: `tau s^2 + s + Kv`. A rule of thumb for tuning.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SecondOrder {
    /// Lag of the speed loop, s.
    pub tau: f64,
    /// Position gain, 1/s.
    pub kv: f64,
}

impl SecondOrder {
    /// Damping ratio `1/(2 sqrt(Kv tau))`.
    #[must_use]
    pub fn damping_ratio(&self) -> f64 {
        0.5 / libm::sqrt(self.kv * self.tau)
    }

    /// Natural frequency `sqrt(Kv/tau)`, rad/s.
    #[must_use]
    pub fn natural_frequency(&self) -> f64 {
        libm::sqrt(self.kv / self.tau)
    }

    /// Overshoot of a step, share: `exp(-pi zeta/sqrt(1 - zeta^2))`, none from `zeta` 1 on.
    #[must_use]
    pub fn overshoot(&self) -> f64 {
        let zeta = self.damping_ratio();
        if zeta >= 1.0 { 0.0 } else { math::exp(-PI * zeta / libm::sqrt(1.0 - zeta * zeta)) }
    }

    /// Answer to a unit step at `t` s.
    #[must_use]
    pub fn step_response(&self, t: f64) -> f64 {
        let (zeta, w) = (self.damping_ratio(), self.natural_frequency());
        if (zeta - 1.0).abs() < 1e-9 {
            return 1.0 - (1.0 + w * t) * math::exp(-w * t);
        }
        if zeta > 1.0 {
            let root = libm::sqrt(zeta * zeta - 1.0);
            let (fast, slow) = (w * (zeta + root), w * (zeta - root));
            return 1.0 - (fast * math::exp(-slow * t) - slow * math::exp(-fast * t)) / (fast - slow);
        }
        let root = libm::sqrt(1.0 - zeta * zeta);
        let turn = w * root * t;
        1.0 - math::exp(-zeta * w * t) * (math::cos(turn) + zeta / root * math::sin(turn))
    }

    /// Slope of the step's answer at `t` s, 1/s.
    #[must_use]
    pub fn step_slope(&self, t: f64) -> f64 {
        let (zeta, w) = (self.damping_ratio(), self.natural_frequency());
        if (zeta - 1.0).abs() < 1e-9 {
            return w * w * t * math::exp(-w * t);
        }
        if zeta > 1.0 {
            let root = libm::sqrt(zeta * zeta - 1.0);
            let (fast, slow) = (w * (zeta + root), w * (zeta - root));
            return fast * slow / (fast - slow) * (math::exp(-slow * t) - math::exp(-fast * t));
        }
        let turn = w * libm::sqrt(1.0 - zeta * zeta);
        w * w / turn * math::exp(-zeta * w * t) * math::sin(turn * t)
    }

    /// Error behind a ramp of unit speed at `t` s: `(y + tau y')/Kv` with the step's answer `y`; towards `1/Kv`.
    #[must_use]
    pub fn ramp_error(&self, t: f64) -> f64 {
        (self.step_response(t) + self.tau * self.step_slope(t)) / self.kv
    }

    /// Time after which the step's answer stays within `band` (share, 0.02 is usual), s.
    #[must_use]
    pub fn settling_time(&self, band: f64) -> f64 {
        let (zeta, w) = (self.damping_ratio(), self.natural_frequency());
        // After ten of the slowest time constants nothing is left.
        let slowest = if zeta > 1.0 { w * (zeta - libm::sqrt(zeta * zeta - 1.0)) } else { w * zeta };
        let (n, end) = (4000u32, 10.0 / slowest);
        let time = |i: u32| end * f64::from(i) / f64::from(n);
        let outside = |t: f64| (self.step_response(t) - 1.0).abs() - band;
        let last = (0..n).rev().find(|i| outside(time(*i)) > 0.0).unwrap_or(0);
        bisect(time(last), time(last + 1), outside)
    }

    /// Open loop `Kv/(s (1 + s tau))` at `w` rad/s.
    #[must_use]
    pub fn open(&self, w: f64) -> Complex {
        Complex::new(0.0, -self.kv / w) / Complex::lag(w, self.tau)
    }
}

#[cfg(test)]
#[path = "loop_shape_tests.rs"]
mod tests;
