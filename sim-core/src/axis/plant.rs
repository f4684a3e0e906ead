//! Drive current, one rigid mass, dry friction, hard stops.
//!
//! The whole axis is one body at the table, `Mt = M + J/r^2`: x = r theta. Semi-implicit Euler:
//! the speed first, then the place with the new speed, so inside a step motion is a straight line.
//! Drive stiffness, backlash and what hangs on them are in `two_mass`, heat in `heat`.

use serde::{Deserialize, Serialize};

use crate::axis::friction::{FrictionStep, StribeckParams};
use crate::axis::machine::MachineSpec;

/// Share of the bus voltage that can be used as d.c. equivalent (own simplification).
const USABLE_BUS: f64 = 0.5;

/// Extra dry drag at one place of the travel: `force exp(-((x - place)/sigma)^2 / 2)`.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct LocalDrag {
    /// Middle of the tight place, m.
    pub place: f64,
    /// Its half width, m, 20e-3..60e-3, above 0.
    pub sigma: f64,
    /// Dry force in the middle, N, at least 0.
    pub force_n: f64,
}

/// Something that catches the table over a short stretch, in one direction only: a plate of a cover.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Catch {
    /// Where it begins, m.
    pub from: f64,
    /// Where it ends, m, above `from`; 15e-3 further is usual.
    pub to: f64,
    /// Dry force, N, at least 0, against motion towards positive x.
    pub force_n: f64,
}

impl LocalDrag {
    /// Dry force limit at `x` m, N.
    #[must_use]
    pub fn at(&self, x: f64) -> f64 {
        let u = (x - self.place) / self.sigma;
        self.force_n * libm::exp(-0.5 * u * u)
    }
}

/// Numbers of the plant that act during a step.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct PlantParams {
    /// Table travel per radian of the motor, m/rad.
    pub ratio: f64,
    /// Whole axis as one mass, kg.
    pub mass_kg: f64,
    /// Viscous drag, N s/m, guide and motor side together.
    pub viscous: f64,
    /// Dry friction of the guide.
    pub guide: StribeckParams,
    /// Dry friction without Stribeck part, N: wipers, motor side, drags added by faults.
    pub other_dry_n: f64,
    /// Tight place, if any.
    pub local_drag: Option<LocalDrag>,
    /// What catches the table on its way up, if anything.
    pub catch: Option<Catch>,
    /// Length of a turn, m, on a table that turns for ever; 0 on a straight axis.
    pub turn: f64,
    /// Constant outside force on the table, N, positive towards positive x (cutting, weight).
    pub outside_n: f64,
    /// Hard stops, m, low and high.
    pub stops: [f64; 2],
    /// End-stop stiffness, N/m.
    pub stop_stiffness: f64,
    /// End-stop damping, N s/m.
    pub stop_damping: f64,
    /// Torque constant, N m/A.
    pub torque_constant: f64,
    /// Share of torque left by a commutation error, cos of the electrical angle; 1 is healthy.
    pub commutation: f64,
    /// Peak current, A.
    pub peak_current: f64,
    /// Current lag, s.
    pub current_lag: f64,
    /// Winding resistance, ohm.
    pub resistance: f64,
    /// Pole pairs times inductance, H.
    pub brake_inductance: f64,
    /// Bus voltage, V.
    pub bus_voltage: f64,
    /// The windings brake through their resistance while the drive is off.
    pub dynamic_braking: bool,
}

impl PlantParams {
    /// The healthy plant of a machine, without weight: a hanging axis without its brake would fall. Who steps the brake
    /// too puts `m.mechanics.hanging_n()` into `outside_n`, as the two-mass plant does.
    #[must_use]
    pub fn from_spec(m: &MachineSpec) -> Self {
        let r = m.mechanics.ratio;
        Self {
            ratio: r,
            mass_kg: m.mechanics.rigid_mass(),
            viscous: m.mechanics.guide_viscous + m.mechanics.motor_viscous / (r * r),
            guide: m.mechanics.guide,
            other_dry_n: m.mechanics.wiper_n + m.mechanics.motor_dry_nm / r,
            local_drag: None,
            catch: None,
            turn: if m.endless { m.travel } else { 0.0 },
            outside_n: 0.0,
            stops: [m.mechanics.stop_low, m.mechanics.stop_high],
            stop_stiffness: m.mechanics.stop_stiffness,
            stop_damping: m.mechanics.stop_damping,
            torque_constant: m.motor.torque_constant,
            commutation: 1.0,
            peak_current: m.motor.peak_current,
            current_lag: m.motor.current_lag,
            resistance: m.motor.resistance,
            brake_inductance: m.motor.brake_inductance,
            bus_voltage: m.motor.bus_voltage,
            dynamic_braking: true,
        }
    }

    /// Dry force limit at `x` m and `v` m/s, N.
    #[must_use]
    pub fn dry_n(&self, x: f64, v: f64) -> f64 {
        self.guide.limit_n(v) + self.other_dry_n + self.local_drag.map_or(0.0, |d| d.at(self.on_turn(x)))
    }

    /// What catches the table at `x` m while it moves, or is pushed, `towards` positive or negative x, N.
    #[must_use]
    pub fn catch_n(&self, x: f64, towards: f64) -> f64 {
        let Some(catch) = self.catch else { return 0.0 };
        let x = self.on_turn(x);
        if towards > 0.0 && x > catch.from && x < catch.to { catch.force_n } else { 0.0 }
    }

    /// A place as it is on its turn, m.
    fn on_turn(&self, x: f64) -> f64 {
        if self.turn > 0.0 { x - self.turn * libm::floor(x / self.turn) } else { x }
    }

    /// Force of the hard stops, N: `k_e` times the depth, less damping, never pulling.
    #[must_use]
    pub fn stop_n(&self, x: f64, v: f64) -> f64 {
        let [low, high] = self.stops;
        if x < low {
            (self.stop_stiffness * (low - x) - self.stop_damping * v).max(0.0)
        } else if x > high {
            -(self.stop_stiffness * (x - high) + self.stop_damping * v).max(0.0)
        } else {
            0.0
        }
    }

    /// Highest current at motor speed `omega` rad/s, A: the peak current, and while motoring what
    /// the bus leaves, `(U_bus/2 - ke |omega|)/R`.
    #[must_use]
    pub fn current_limit(&self, current: f64, omega: f64) -> f64 {
        self.current_limit_on(self.bus_voltage, current, omega)
    }

    /// As [`Self::current_limit`], on a bus of `bus_v` V.
    #[must_use]
    pub fn current_limit_on(&self, bus_v: f64, current: f64, omega: f64) -> f64 {
        if current * omega <= 0.0 {
            return self.peak_current;
        }
        let left = bus_v * USABLE_BUS - self.torque_constant * omega.abs();
        self.peak_current.min((left / self.resistance).max(0.0))
    }

    /// Current after `h` s, A, at motor speed `omega` rad/s: towards the wanted one within its limits, with the lag of
    /// the current loop; none with the drive off.
    #[must_use]
    pub fn current_after(&self, current: f64, wanted: Option<f64>, omega: f64, h: f64) -> f64 {
        let Some(wanted) = wanted else { return 0.0 };
        let limit = self.current_limit(wanted, omega);
        current + (wanted.clamp(-limit, limit) - current) * self.current_share(h)
    }

    /// Share of the way to the wanted current that is made in `h` s: `1 - exp(-h/tau_i)`.
    #[must_use]
    pub fn current_share(&self, h: f64) -> f64 {
        1.0 - libm::exp(-h / self.current_lag)
    }

    /// Dynamic braking as a viscous coefficient at the table, N s/m:
    /// `k_db/(1 + (omega/omega_pk)^2)/r^2`, `k_db = kt ke/R`, `omega_pk = R/(p L)`.
    #[must_use]
    pub fn braking_viscous(&self, v: f64) -> f64 {
        let k_db = self.torque_constant * self.torque_constant / self.resistance;
        let u = v / self.ratio * self.brake_inductance / self.resistance;
        k_db / (1.0 + u * u) / (self.ratio * self.ratio)
    }
}

/// State of the plant.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct Plant {
    /// Place of the table, m.
    pub x: f64,
    /// Speed of the table, m/s.
    pub v: f64,
    /// Motor current, A.
    pub current: f64,
}

impl Plant {
    /// At rest at `x` m, no current.
    #[must_use]
    pub fn at_rest(x: f64) -> Self {
        Self { x, v: 0.0, current: 0.0 }
    }

    /// Motor angle, rad.
    #[must_use]
    pub fn theta(&self, p: &PlantParams) -> f64 {
        self.x / p.ratio
    }

    /// Goes on by `h` s with the wanted current in A, or with the drive off (`None`).
    pub fn step(&mut self, p: &PlantParams, wanted: Option<f64>, h: f64) {
        let mut viscous = p.viscous;
        if wanted.is_none() && p.dynamic_braking {
            viscous += p.braking_viscous(self.v);
        }
        self.current = p.current_after(self.current, wanted, self.v / p.ratio, h);
        let torque = p.torque_constant * p.commutation * self.current;
        let force = torque / p.ratio + p.outside_n + p.stop_n(self.x, self.v);
        let body = FrictionStep { mass_kg: p.mass_kg, viscous, dry_n: p.dry_n(self.x, self.v), h };
        self.v = body.speed_after(self.v, force);
        self.x += h * self.v;
    }
}

#[cfg(test)]
#[path = "plant_tests.rs"]
mod tests;
