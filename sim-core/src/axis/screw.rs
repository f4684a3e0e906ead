//! What a screw makes of the motor's angle: error that adds up, error that returns every turn, growth by heat.
//!
//! The table stands at `x = r theta + e`, with `e = e_L(x) + E_1 sin(theta/n + psi) + growth (x - x_f)`. A loop closed on
//! the motor encoder leaves the table off by `e`; a loop closed on a scale takes it away.

use serde::{Deserialize, Serialize};

use crate::num::math;

/// Error of a screw. The default is a perfect one.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct ScrewError {
    /// Cumulative error, m, at nine places spread evenly from `from` to `to`; straight between, level outside;
    /// 0..50e-6 per metre is usual.
    pub cumulative: [f64; 9],
    /// First place of the table, m.
    pub from: f64,
    /// Last place of the table, m, above `from` unless the table is all zero.
    pub to: f64,
    /// Cyclic error `E_1`, m, 0..20e-6.
    pub cyclic: f64,
    /// Turns of the screw per radian of the motor, `1/(2 pi n)`; needed with a cyclic error.
    pub turns_per_rad: f64,
    /// Phase of the cyclic error, turns.
    pub cyclic_at_turns: f64,
    /// Growth, `alpha (T - 20 C)`, m/m.
    pub growth: f64,
    /// Place of the fixed bearing `x_f`, m, from where it grows.
    pub fixed_at: f64,
}

/// An error and how it changes.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ScrewPlace {
    /// Error, m.
    pub error: f64,
    /// Its change with the motor's angle, m/rad.
    pub per_rad: f64,
    /// Its change with the table's place, m/m.
    pub per_m: f64,
}

impl ScrewError {
    /// Error with the motor at `theta` rad and the table near `x` m.
    #[must_use]
    pub fn at(&self, theta: f64, x: f64) -> ScrewPlace {
        let (table, slope) = self.table(x);
        let (mut error, per_m) = (table + self.growth * (x - self.fixed_at), slope + self.growth);
        let mut per_rad = 0.0;
        if self.cyclic != 0.0 {
            let (s, c) = math::sincos_turns(theta * self.turns_per_rad + self.cyclic_at_turns);
            error += self.cyclic * s;
            per_rad = self.cyclic * c * self.turns_per_rad * core::f64::consts::TAU;
        }
        ScrewPlace { error, per_rad, per_m }
    }

    /// Motor angle, rad, that brings a table free of load to `x` m, with `ratio` m/rad.
    #[must_use]
    pub fn motor_angle(&self, x: f64, ratio: f64) -> f64 {
        // The error is small against the lead, so six rounds leave nothing.
        let mut theta = x / ratio;
        for _ in 0..6 {
            theta = (x - self.at(theta, x).error) / ratio;
        }
        theta
    }

    fn table(&self, x: f64) -> (f64, f64) {
        let width = (self.to - self.from) / 8.0;
        if width <= 0.0 {
            return (self.cumulative[0], 0.0);
        }
        let place = (x - self.from) / width;
        if place <= 0.0 {
            return (self.cumulative[0], 0.0);
        }
        if place >= 8.0 {
            return (self.cumulative[8], 0.0);
        }
        let i = place as usize;
        let rise = self.cumulative[i + 1] - self.cumulative[i];
        (self.cumulative[i] + rise * (place - i as f64), rise / width)
    }
}

#[cfg(test)]
mod tests {
    use core::f64::consts::PI;

    use super::*;

    fn screw() -> ScrewError {
        ScrewError {
            cumulative: [0.0, 4e-6, 6e-6, 9e-6, 8e-6, 7e-6, 11e-6, 15e-6, 20e-6],
            from: 0.0,
            to: 0.4,
            cyclic: 8e-6,
            turns_per_rad: 1.0 / (2.0 * PI),
            cyclic_at_turns: 0.1,
            growth: 11.5e-6 * 10.0,
            fixed_at: 0.1,
        }
    }

    // Source: its definition, by hand: nodes of the table, one period per lead, growth from the fixed bearing.
    #[test]
    fn error_is_table_plus_cycle_plus_growth() {
        let s = ScrewError { cyclic: 0.0, growth: 0.0, ..screw() };
        assert!((s.at(0.0, 0.05).error - 4e-6).abs() < 1e-15);
        assert!((s.at(0.0, 0.075).error - 5e-6).abs() < 1e-15);
        assert_eq!(s.at(0.0, -1.0).error, 0.0);
        assert_eq!(s.at(0.0, 1.0).error, 20e-6);
        let s = ScrewError { cumulative: [0.0; 9], growth: 0.0, ..screw() };
        let turn = |t: f64| s.at(2.0 * PI * t, 0.2).error;
        assert!((turn(0.15) - 8e-6).abs() < 1e-12 && (turn(7.15) - 8e-6).abs() < 1e-12);
        let s = ScrewError { cumulative: [0.0; 9], cyclic: 0.0, ..screw() };
        assert!((s.at(0.0, 0.3).error - 23e-6).abs() < 1e-15);
        assert_eq!(ScrewError::default().at(5.0, 0.2), ScrewPlace::default());
    }

    // Source: slopes by differences of the error itself; the angle by putting it back in.
    #[test]
    fn slopes_and_motor_angle_agree_with_the_error() {
        let s = screw();
        let r = 5e-3 / (2.0 * PI);
        for i in 0..200 {
            let x = 1.1e-3 + 2e-3 * f64::from(i);
            let theta = s.motor_angle(x, r);
            assert!((r * theta + s.at(theta, x).error - x).abs() < 1e-12);
            let p = s.at(theta, x);
            let by_angle = (s.at(theta + 1e-4, x).error - s.at(theta - 1e-4, x).error) / 2e-4;
            let by_place = (s.at(theta, x + 1e-6).error - s.at(theta, x - 1e-6).error) / 2e-6;
            assert!((p.per_rad - by_angle).abs() < 1e-9 && (p.per_m - by_place).abs() < 1e-8);
        }
    }
}
