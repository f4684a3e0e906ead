//! Holding brake or clamp: a dry limit that closes late, wears, and may drag.
//!
//! A spring-applied brake closes a while after its coil is switched off and opens a while after it is switched on (common
//! practice). It adds to the dry friction of the motor (brake) or of the table (clamp of a rotary axis), so it truly
//! holds: under less than its torque nothing creeps.

use serde::{Deserialize, Serialize};

use crate::axis::machine::{BrakeSide, BrakeSpec};

/// Numbers of a brake that act during a step.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct BrakeParams {
    /// Where it sits.
    pub side: BrakeSide,
    /// What it holds when healthy, N m at the motor or N at the table, 1.5..5 times the weight's share.
    pub holding: f64,
    /// Share of the holding torque lost by wear or oil, 0..1.
    pub wear: f64,
    /// From the order to close until it begins to hold, s, 0.02..0.4.
    pub close_delay: f64,
    /// From the order to open until it lets go, s, 0.05..0.15.
    pub open_delay: f64,
    /// From nothing to the full torque, s; 0 is at once, 5e-3 is usual.
    pub rise: f64,
    /// What it drags when open, N m or N; 0 is healthy.
    pub drag: f64,
}

impl BrakeParams {
    /// The healthy brake of a machine.
    #[must_use]
    pub fn from_spec(b: &BrakeSpec) -> Self {
        Self {
            side: b.side,
            holding: b.holding,
            wear: 0.0,
            close_delay: b.close_delay,
            open_delay: b.open_delay,
            rise: 0.0,
            drag: 0.0,
        }
    }
}

/// Dry limits that a brake adds on either side of the drive.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct BrakeForce {
    /// At the motor, N m, at least 0.
    pub motor_nm: f64,
    /// At the table, N, at least 0.
    pub table_n: f64,
}

impl BrakeForce {
    /// Both as one dry force at the table, N, for the rigid plant.
    #[must_use]
    pub fn at_table(&self, ratio: f64) -> f64 {
        self.motor_nm / ratio + self.table_n
    }
}

/// State of a brake.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct BrakeState {
    /// Its coil is off: ordered to close.
    pub ordered_closed: bool,
    /// How far it has closed, 0..1.
    pub closed: f64,
    since: f64,
}

impl Default for BrakeState {
    fn default() -> Self {
        Self { ordered_closed: true, closed: 1.0, since: 0.0 }
    }
}

impl BrakeState {
    /// Open and ordered open.
    #[must_use]
    pub fn open() -> Self {
        Self { ordered_closed: false, closed: 0.0, since: f64::from(u16::MAX) }
    }

    /// Goes on by `h` s with its coil ordered to close or to open, and says what it adds during the step.
    pub fn step(&mut self, p: &BrakeParams, close: bool, h: f64) -> BrakeForce {
        if close != self.ordered_closed {
            self.ordered_closed = close;
            self.since = 0.0;
        }
        let delay = if close { p.close_delay } else { p.open_delay };
        // Half a step of slack, so that adding up does not decide.
        if self.since + 0.5 * h >= delay {
            let change = if p.rise > h { h / p.rise } else { 1.0 };
            self.closed = (self.closed + if close { change } else { -change }).clamp(0.0, 1.0);
        }
        self.since += h;
        let limit = (p.holding * (1.0 - p.wear) * self.closed).max(p.drag);
        match p.side {
            BrakeSide::Motor => BrakeForce { motor_nm: limit, table_n: 0.0 },
            BrakeSide::Table => BrakeForce { motor_nm: 0.0, table_n: limit },
        }
    }
}

/// How far an axis drops when its torque goes off, in closed form (uniform acceleration, then uniform deceleration).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drop {
    /// Acceleration until the brake holds, m/s^2.
    pub acceleration: f64,
    /// Speed when it begins to hold, m/s.
    pub speed: f64,
    /// Way until then, m.
    pub falling: f64,
    /// Way while it brakes, m.
    pub braking: f64,
}

impl Drop {
    /// Weight `weight_n` and dry friction `dry_n`, N, on the whole mass `mass_kg`; the brake holds `brake_n` N (at the
    /// table) after `delay` s. `a = (W - F)/M`, drop `a t^2/2 + (a t)^2/(2 (T_B/r + F - W)/M)`; infinite when the
    /// brake cannot hold the weight, nothing when friction does.
    #[must_use]
    pub fn new(weight_n: f64, dry_n: f64, mass_kg: f64, brake_n: f64, delay: f64) -> Self {
        let acceleration = ((weight_n - dry_n) / mass_kg).max(0.0);
        let speed = acceleration * delay;
        let slowing = (brake_n + dry_n - weight_n) / mass_kg;
        let braking = match speed {
            0.0 => 0.0,
            _ if slowing > 0.0 => speed * speed / (2.0 * slowing),
            _ => f64::INFINITY,
        };
        Self { acceleration, speed, falling: 0.5 * speed * delay, braking }
    }

    /// The whole drop, m.
    #[must_use]
    pub fn total(&self) -> f64 {
        self.falling + self.braking
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::axis::friction::FrictionStep;
    use crate::axis::machine::MachineId;

    const H: f64 = 50e-6;

    fn brake() -> BrakeParams {
        BrakeParams::from_spec(&MachineId::MillZ.spec().brake.unwrap())
    }

    fn near(value: f64, expected: f64, tolerance: f64) {
        assert!((value - expected).abs() <= tolerance * expected.abs(), "{value} is not {expected}");
    }

    // Source: closed form of uniform acceleration; the row's simulated 2.102 mm by stepping one mass.
    #[test]
    fn axis_v36_drop_until_the_brake_holds() {
        let weight = 95.0 * 9.80665;
        let drop = Drop::new(weight, 180.0, 805.61, 3769.9, 0.060);
        near(drop.acceleration, 0.93300, 1e-3);
        near(drop.speed, 55.98e-3, 1e-3);
        near(drop.falling, 1.6794e-3, 1e-3);
        near(drop.braking, 0.4182e-3, 1e-3);
        near(drop.total(), 2.0976e-3, 1e-3);

        let p = BrakeParams { close_delay: 0.060, holding: 3.0, ..brake() };
        let ratio = 3.0 / 3769.9;
        let mut b = BrakeState::open();
        let (mut x, mut v) = (0.0, 0.0);
        for _ in 0..4000 {
            let dry_n = 180.0 + b.step(&p, true, H).at_table(ratio);
            v = FrictionStep { mass_kg: 805.61, viscous: 0.0, dry_n, h: H }.speed_after(v, weight);
            x += H * v;
        }
        assert_eq!(v, 0.0);
        near(x, drop.total(), 1e-3);
        // The row's own stepping closed the brake a step later (2.8 um) and fell half a step more: 2.102 mm.
        near(x, 2.102e-3, 2.2e-3);
    }

    #[test]
    fn a_brake_that_is_too_weak_never_stops_the_fall() {
        assert_eq!(Drop::new(900.0, 100.0, 800.0, 700.0, 0.05).total(), f64::INFINITY);
        assert_eq!(Drop::new(100.0, 150.0, 800.0, 0.0, 0.05).total(), 0.0);
    }

    #[test]
    fn it_closes_late_opens_late_wears_and_drags() {
        let p = BrakeParams { rise: 5e-3, wear: 0.25, drag: 0.3, ..brake() };
        let mut b = BrakeState::open();
        let at = |b: &mut BrakeState, close, seconds: f64| {
            let mut f = BrakeForce::default();
            for _ in 0..(seconds / H).round() as u32 {
                f = b.step(&p, close, H);
            }
            f.motor_nm
        };
        assert_eq!(at(&mut b, false, 0.1), 0.3);
        assert_eq!(at(&mut b, true, p.close_delay), 0.3);
        near(at(&mut b, true, 2.5e-3), 0.5 * 0.75 * p.holding, 1e-9);
        near(at(&mut b, true, 2.5e-3), 0.75 * p.holding, 1e-9);
        near(at(&mut b, false, p.open_delay), 0.75 * p.holding, 1e-9);
        assert_eq!(at(&mut b, false, 6e-3), 0.3);
    }
}
