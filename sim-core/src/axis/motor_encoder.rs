//! Encoder on the motor: counts, and the time of the last edge, from the motor angle.
//!
//! Inside a step the angle is a straight line, so the time of the last edge is exact. The head of
//! this encoder is ideal; faults reach it by its lines, its sign, or by freezing it.

use core::f64::consts::PI;

use serde::{Deserialize, Serialize};

/// State of the motor encoder.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct MotorEncoder {
    /// Count: the integer below `angle / count_angle`.
    pub count: i64,
    /// Number of the edge passed last: edge n lies between counts n - 1 and n.
    pub last_edge: i64,
    /// Time since that edge, s.
    pub edge_age: f64,
    /// Edges passed since switch-on.
    pub edges: u64,
}

/// Angle of one count, rad: a quarter of a line.
#[must_use]
pub fn count_angle(lines: u32) -> f64 {
    2.0 * PI / (4.0 * f64::from(lines))
}

impl MotorEncoder {
    /// At rest at `theta` rad.
    #[must_use]
    pub fn at(theta: f64, lines: u32) -> Self {
        let count = libm::floor(theta / count_angle(lines)) as i64;
        Self { count, last_edge: count, edge_age: 0.0, edges: 0 }
    }

    /// The motor turned from `from` to `to` rad in a step of `h` s.
    pub fn step(&mut self, from: f64, to: f64, lines: u32, h: f64) {
        let angle = count_angle(lines);
        let count = libm::floor(to / angle) as i64;
        self.edge_age += h;
        if count == self.count {
            return;
        }
        self.last_edge = if count > self.count { count } else { count + 1 };
        self.edges += count.abs_diff(self.count);
        let passed = (self.last_edge as f64 * angle - from) / (to - from);
        self.edge_age = if passed.is_finite() { h * (1.0 - passed.clamp(0.0, 1.0)) } else { 0.0 };
        self.count = count;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_are_the_floor_and_edge_times_are_exact() {
        let angle = count_angle(1000);
        let mut m = MotorEncoder::at(0.5 * angle, 1000);
        m.step(0.5 * angle, 2.5 * angle, 1000, 50e-6);
        assert_eq!((m.count, m.last_edge, m.edges), (2, 2, 2));
        assert!((m.edge_age - 12.5e-6).abs() < 1e-12);
        m.step(2.5 * angle, 2.5 * angle, 1000, 50e-6);
        assert!((m.edge_age - 62.5e-6).abs() < 1e-12);
        m.step(2.5 * angle, 1.5 * angle, 1000, 50e-6);
        assert_eq!((m.count, m.last_edge), (1, 2));
        assert!((m.edge_age - 25e-6).abs() < 1e-12);
    }
}
