//! Speed of the motor from its encoder: edge-time method or plain difference, then a filter.

use serde::{Deserialize, Serialize};

use crate::axis::motor_encoder::MotorEncoder;

/// How speed is taken from counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum VelocityMethod {
    /// Way between the last edges over the time between them (Ohmae et al. 1982, from memory).
    EdgeTime,
    /// Counts in one period over the period: steps of one count per period.
    PlainDifference,
}

/// State of the estimate.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct VelocityEstimate {
    /// Filtered speed, rad/s, in the sense of the encoder.
    pub omega: f64,
    raw: f64,
    count: i64,
    edge: i64,
    edge_age: f64,
    edges: u64,
}

impl VelocityEstimate {
    /// At rest with the encoder as it stands.
    #[must_use]
    pub fn at_rest(m: &MotorEncoder) -> Self {
        Self { omega: 0.0, raw: 0.0, count: m.count, edge: m.last_edge, edge_age: m.edge_age, edges: m.edges }
    }

    /// One period of `period` s: reads the encoder, whose count is `count_angle` rad, and filters
    /// with the time constant `tau` s (0.2e-3..2e-3). Returns rad/s.
    ///
    /// Edge-time: way between the last edge now and at the previous tick, over the time between
    /// them. Crossing the same edge to and fro is no way at all, so dither reads zero. Without an
    /// edge the speed is at most one count over the time since the last one.
    pub fn tick(&mut self, m: &MotorEncoder, method: VelocityMethod, count_angle: f64, period: f64, tau: f64) -> f64 {
        self.raw = match method {
            VelocityMethod::PlainDifference => count_angle * (m.count - self.count) as f64 / period,
            VelocityMethod::EdgeTime if m.edges == self.edges => {
                let most = count_angle / m.edge_age.max(period);
                self.raw.clamp(-most, most)
            }
            VelocityMethod::EdgeTime => {
                let between = (period + self.edge_age - m.edge_age).max(1e-9);
                count_angle * (m.last_edge - self.edge) as f64 / between
            }
        };
        self.count = m.count;
        self.edge = m.last_edge;
        self.edge_age = m.edge_age;
        self.edges = m.edges;
        self.omega += (self.raw - self.omega) * (1.0 - libm::exp(-period / tau));
        self.omega
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn encoder(count: i64, edge_age: f64, edges: u64) -> MotorEncoder {
        MotorEncoder { count, last_edge: count, edge_age, edges }
    }

    // Source: definition of both methods, by hand; the "angle" is 5 um here.
    #[test]
    fn axis_v16_speed_from_counts() {
        let mut s = VelocityEstimate::at_rest(&encoder(0, 0.2e-3, 0));
        // Edges at -0.2 ms and +0.7 ms of a 1 ms period: 0.9 ms apart.
        let v = s.tick(&encoder(3, 0.3e-3, 3), VelocityMethod::EdgeTime, 5e-6, 1e-3, 1e-9);
        assert!((v - 16.667e-3).abs() < 1e-6, "{v}");
        let mut s = VelocityEstimate::at_rest(&encoder(0, 0.0, 0));
        let v = s.tick(&encoder(1, 0.3e-3, 1), VelocityMethod::PlainDifference, 1e-6, 1e-3, 1e-9);
        assert!((v - 1e-3).abs() < 1e-9);
    }

    #[test]
    fn without_edges_the_edge_time_speed_falls_as_time_passes() {
        let mut s = VelocityEstimate::at_rest(&encoder(0, 0.0, 0));
        s.tick(&encoder(10, 0.0, 10), VelocityMethod::EdgeTime, 1e-3, 1e-3, 1e-9);
        let v = s.tick(&encoder(10, 4e-3, 10), VelocityMethod::EdgeTime, 1e-3, 1e-3, 1e-9);
        assert!((v - 0.25).abs() < 1e-9, "{v}");
    }

    #[test]
    fn dither_on_one_edge_is_no_speed() {
        let mut s = VelocityEstimate::at_rest(&encoder(5, 1e-6, 0));
        // Down over edge 5 and up again: the edge passed last is the same one.
        let v = s.tick(&encoder(5, 0.2e-3, 2), VelocityMethod::EdgeTime, 1e-3, 1e-3, 1e-9);
        assert_eq!(v, 0.0);
    }
}
