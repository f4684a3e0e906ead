//! Motor and table as two masses with a spring between them: drive stiffness, backlash, screw error, weight.
//!
//! Deflection `d = r theta + e - x`; the spring pushes with `k (d - sgn(d) b/2) + c u` beyond the dead zone `b` and never
//! pulls across it. `J domega/dt = kt i - (r + e_theta) F - friction`, `M dv/dt = (1 - e_x) F + weight + stop - friction`;
//! the screw error `e` works on both sides by its slopes, so that it neither makes nor takes energy. Dry friction of each
//! body by the implicit step. Semi-implicit Euler: both speeds, then both places.

use core::f64::consts::PI;

use serde::{Deserialize, Serialize};

use crate::axis::brake::BrakeForce;
use crate::axis::friction::FrictionStep;
use crate::axis::machine::{MachineSpec, MechanicsSpec};
use crate::axis::plant::PlantParams;
use crate::axis::screw::ScrewError;
use crate::num::math;

/// Pole pairs of the motors (common practice: 3 to 5).
const POLE_PAIRS: f64 = 4.0;

/// Numbers of the two-mass plant that act during a step.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct TwoMassParams {
    /// The axis as one rigid mass. Its friction counts motor and table together, as the rigid plant takes it; what the
    /// motor has is given below and the rest is the table's. Its `outside_n` is weight, counterbalance and cutting.
    pub body: PlantParams,
    /// Motor-side inertia `J`, kg m^2.
    pub inertia: f64,
    /// Table mass `M`, kg.
    pub table_mass: f64,
    /// Drive stiffness `k`, N/m, 1e7..3e8.
    pub stiffness: f64,
    /// Drive damping `c`, N s/m.
    pub damping: f64,
    /// Backlash `b`, full dead zone, m, 0..400e-6.
    pub backlash: f64,
    /// Dry torque on the motor side, N m.
    pub motor_dry_nm: f64,
    /// Viscous torque on the motor side, N m s/rad.
    pub motor_viscous: f64,
    /// Error of the screw.
    pub screw: ScrewError,
    /// Torque at which the coupling between motor and screw slips, N m; `None` where it never does.
    pub coupling_nm: Option<f64>,
    /// Share of torque missing where a lost phase would make most of it, 0..1; 0 with all phases.
    pub phase_loss: f64,
}

/// What acts on the plant in one step from outside.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Acting {
    /// Current asked for, A; `None` with the drive off.
    pub wanted: Option<f64>,
    /// Bus voltage, V.
    pub bus_v: f64,
    /// Share of the way to the wanted current in this step, [`PlantParams::current_share`].
    pub current_share: f64,
    /// Growth of the screw by heat, m/m, on top of what [`ScrewError::growth`] says.
    pub growth: f64,
    /// What the brake adds.
    pub brake: BrakeForce,
}

impl TwoMassParams {
    /// The healthy plant of a machine, its weight on it.
    #[must_use]
    pub fn from_spec(m: &MachineSpec) -> Self {
        let k = &m.mechanics;
        Self {
            body: PlantParams { outside_n: k.hanging_n(), ..PlantParams::from_spec(m) },
            inertia: k.inertia,
            table_mass: k.table_mass,
            stiffness: k.stiffness,
            damping: k.damping,
            backlash: k.backlash,
            motor_dry_nm: k.motor_dry_nm,
            motor_viscous: k.motor_viscous,
            screw: ScrewError::default(),
            coupling_nm: None,
            phase_loss: 0.0,
        }
    }

    /// Dry force limit of the table at `x` m and `v` m/s, N.
    #[must_use]
    pub fn table_dry_n(&self, x: f64, v: f64) -> f64 {
        (self.body.dry_n(x, v) - self.motor_dry_nm / self.body.ratio).max(0.0)
    }

    /// Viscous drag of the table, N s/m.
    #[must_use]
    pub fn table_viscous(&self) -> f64 {
        (self.body.viscous - self.motor_viscous / (self.body.ratio * self.body.ratio)).max(0.0)
    }

    /// Lost motion seen at the table with the loop closed on the motor, m: `b + 2 F/k`, the wind-up of the table's dry
    /// friction `dry_n` counts too.
    #[must_use]
    pub fn lost_motion(&self, dry_n: f64) -> f64 {
        self.backlash + 2.0 * dry_n / self.stiffness
    }

    /// Torque constant with the commutation as it is, at motor angle `theta` rad, N m/A. With one phase missing
    /// `1 - loss sin^2` of the electrical angle is left.
    fn torque_per_ampere(&self, theta: f64) -> f64 {
        let whole = self.body.torque_constant * self.body.commutation;
        if self.phase_loss == 0.0 {
            return whole;
        }
        let (s, _) = math::sincos_turns(POLE_PAIRS * theta / (2.0 * PI));
        whole * (1.0 - self.phase_loss * s * s)
    }

    /// Spring force at deflection `d` m closing at `u` m/s, N.
    fn spring_n(&self, d: f64, u: f64) -> f64 {
        let half = 0.5 * self.backlash;
        let bend = if d > half {
            d - half
        } else if d < -half {
            d + half
        } else {
            return 0.0;
        };
        let force = self.stiffness * bend + self.damping * u;
        if force * d < 0.0 { 0.0 } else { force }
    }
}

/// Frequency of the table against a motor that stands still, Hz: `sqrt(k/M)/2pi` (any text on vibration).
#[must_use]
pub fn antiresonance_hz(m: &MechanicsSpec) -> f64 {
    libm::sqrt(m.stiffness / m.table_mass) / (2.0 * PI)
}

/// Frequency of motor and table against each other, Hz: `sqrt(k (1/M + r^2/J))/2pi` (any text on vibration).
#[must_use]
pub fn resonance_hz(m: &MechanicsSpec) -> f64 {
    libm::sqrt(m.stiffness * (1.0 / m.table_mass + m.ratio * m.ratio / m.inertia)) / (2.0 * PI)
}

/// State of the two-mass plant.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct TwoMass {
    /// Motor angle, rad.
    #[serde(default)]
    pub theta: f64,
    /// Motor speed, rad/s.
    #[serde(default)]
    pub omega: f64,
    /// Place of the table, m.
    pub x: f64,
    /// Speed of the table, m/s.
    pub v: f64,
    /// Motor current, A.
    pub current: f64,
    /// How far the coupling has slipped so far, m at the table.
    #[serde(default)]
    pub slipped: f64,
}

impl TwoMass {
    /// At rest at `x` m, no current; the spring carries weight and other outside forces, otherwise the table stands in
    /// the middle of the backlash.
    #[must_use]
    pub fn at_rest(p: &TwoMassParams, x: f64) -> Self {
        let carried = -p.body.outside_n;
        let half = match carried {
            0.0 => 0.0,
            c => 0.5 * p.backlash * c.signum(),
        };
        let deflection = carried / p.stiffness + half;
        let theta = p.screw.motor_angle(x, p.body.ratio) + deflection / p.body.ratio;
        Self { theta, omega: 0.0, x, v: 0.0, current: 0.0, slipped: 0.0 }
    }

    /// Deflection of the drive, m: where the motor would put the table, less where it is.
    #[must_use]
    pub fn deflection(&self, p: &TwoMassParams) -> f64 {
        p.body.ratio * self.theta + p.screw.at(self.theta, self.x).error - self.x - self.slipped
    }

    /// Energy stored, J: both masses, the spring, the stops, the place under outside forces.
    #[must_use]
    pub fn energy(&self, p: &TwoMassParams) -> f64 {
        let bend = (self.deflection(p).abs() - 0.5 * p.backlash).max(0.0);
        let [low, high] = p.body.stops;
        let depth = (low - self.x).max(self.x - high).max(0.0);
        0.5 * (p.inertia * self.omega * self.omega + p.table_mass * self.v * self.v)
            + 0.5 * (p.stiffness * bend * bend + p.body.stop_stiffness * depth * depth)
            - p.body.outside_n * self.x
    }

    /// Goes on by `h` s with the wanted current in A, or with the drive off (`None`), and what the brake adds.
    pub fn step(&mut self, p: &TwoMassParams, wanted: Option<f64>, brake: BrakeForce, h: f64) {
        let (bus_v, current_share) = (p.body.bus_voltage, p.body.current_share(h));
        self.step_under(p, &Acting { wanted, bus_v, current_share, growth: 0.0, brake }, h);
    }

    /// Goes on by `h` s under all that acts from outside.
    pub fn step_under(&mut self, p: &TwoMassParams, acting: &Acting, h: f64) {
        let b = &p.body;
        let mut motor_viscous = p.motor_viscous;
        if let Some(wanted) = acting.wanted {
            let limit = b.current_limit_on(acting.bus_v, wanted, self.omega);
            self.current += (wanted.clamp(-limit, limit) - self.current) * acting.current_share;
        } else {
            self.current = 0.0;
            if b.dynamic_braking {
                motor_viscous += b.braking_viscous(self.omega * b.ratio) * b.ratio * b.ratio;
            }
        }
        let screw = p.screw.at(self.theta, self.x);
        let (per_rad, per_m) = (b.ratio + screw.per_rad, 1.0 - screw.per_m - acting.growth);
        let error = screw.error + acting.growth * (self.x - p.screw.fixed_at);
        let d = b.ratio * self.theta + error - self.x - self.slipped;
        let mut spring = p.spring_n(d, per_rad * self.omega - per_m * self.v);
        if let Some(most_nm) = p.coupling_nm {
            let most = most_nm / b.ratio;
            if spring.abs() > most {
                // It gives way until the drive carries no more than the coupling does.
                let held = most.copysign(spring);
                self.slipped += (spring - held) / p.stiffness;
                spring = held;
            }
        }

        let torque = p.torque_per_ampere(self.theta) * self.current - per_rad * spring;
        let force = per_m * spring + b.outside_n + b.stop_n(self.x, self.v);
        let towards = if self.v == 0.0 { force } else { self.v };
        let motor = FrictionStep {
            mass_kg: p.inertia,
            viscous: motor_viscous,
            dry_n: p.motor_dry_nm + acting.brake.motor_nm,
            h,
        };
        let table = FrictionStep {
            mass_kg: p.table_mass,
            viscous: p.table_viscous(),
            dry_n: p.table_dry_n(self.x, self.v) + acting.brake.table_n + b.catch_n(self.x, towards),
            h,
        };
        self.omega = motor.speed_after(self.omega, torque);
        self.v = table.speed_after(self.v, force);
        self.theta += h * self.omega;
        self.x += h * self.v;
    }
}

#[cfg(test)]
#[path = "two_mass_tests.rs"]
mod tests;
