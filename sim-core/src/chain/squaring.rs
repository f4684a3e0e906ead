//! The squaring stage of a head that sends square waves: which state its outputs show, and how fast they may change.
//!
//! Interpolation or two comparators say which of the four states belongs to the light now ([`crate::chain::interpolate`],
//! [`crate::chain::square`]). The outputs go there by neighbouring states, one edge at a time, and two edges are never
//! closer than a least time apart: the edge-spacing limit of such heads. As the outputs know states and no counts, they
//! take the short way round. So a head that falls behind by more than half a squared period goes the other way, and what
//! is lost is a whole number of squared periods, four counts each, without an illegal transition (axis model, 1.4 and
//! 1.6). The speed up to which it keeps up is `P/(4 F t_edge)`.

use crate::chain::counter::Levels;
use crate::limits::{FieldError, within};
use serde::{Deserialize, Serialize};

/// Least spacing of edges of a healthy head, s (own; 0.1 us to 1 ms is usual, axis model 1.6).
const USUAL_EDGE_S: f64 = 0.1e-6;

/// What the squaring stage is set to.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SquaringParams {
    /// Least time between two edges of the outputs, s, 1e-9 to 1e-2.
    pub edge_s: f64,
}

impl Default for SquaringParams {
    fn default() -> Self {
        Self { edge_s: USUAL_EDGE_S }
    }
}

impl SquaringParams {
    /// Refuses a spacing that no head has.
    ///
    /// # Errors
    /// When it is not finite or outside its range.
    pub fn check(&self) -> Result<(), FieldError> {
        within("squaring.edge_s", self.edge_s, 1e-9, 1e-2)
    }

    /// Highest speed at which the outputs keep up, m/s: `P/(4 F t_edge)`.
    #[must_use]
    pub fn top_speed_mps(&self, period_m: f64, factor: u32) -> f64 {
        period_m / (4.0 * f64::from(factor) * self.edge_s)
    }

    /// Least spacing that still keeps up at a speed, s: `P/(4 F v)`.
    #[must_use]
    pub fn edge_s_of(period_m: f64, factor: u32, speed_mps: f64) -> f64 {
        period_m / (4.0 * f64::from(factor) * speed_mps)
    }
}

/// What the squaring stage carries from sample to sample.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SquaringState {
    /// State of the outputs, 0 to 3.
    out: u8,
    /// Time since the last edge as far as it counts, s.
    credit_s: f64,
    /// Which way the last edge went.
    backward: bool,
}

impl SquaringState {
    /// Outputs that show a state (modulo 4) and have done so for long.
    #[must_use]
    pub fn at(wanted: i64) -> Self {
        Self { out: wanted.rem_euclid(4) as u8, credit_s: 1.0, backward: false }
    }

    /// Edges that the outputs are behind a wanted state, by the short way round: -2 to 2.
    #[must_use]
    pub fn behind(&self, wanted: i64) -> i64 {
        match (wanted - i64::from(self.out)).rem_euclid(4) {
            3 => -1,
            2 if self.backward => -2,
            edges => edges,
        }
    }

    /// A stretch of `dt_s` seconds in which state `wanted` (modulo 4) belongs to the light: at most one edge, at its
    /// beginning; the levels during it.
    #[inline]
    pub fn step(&mut self, p: &SquaringParams, wanted: i64, dt_s: f64) -> Levels {
        // What is saved up beyond one spacing is at most this stretch, so that the mean rate is exact.
        self.credit_s = (self.credit_s + dt_s).min(p.edge_s + dt_s);
        let behind = self.behind(wanted);
        if behind != 0 && self.credit_s >= p.edge_s {
            self.credit_s -= p.edge_s;
            self.backward = behind < 0;
            self.out = (i64::from(self.out) + behind.signum()).rem_euclid(4) as u8;
        }
        Levels::of_state(i64::from(self.out))
    }
}

#[cfg(test)]
mod tests {
    use super::{SquaringParams, SquaringState};
    use crate::chain::counter::{CounterParams, CounterState};

    /// Counts after `edges` edges (either way) at a spacing of `spacing_s`, with a limit of 1 us, and illegal ones.
    fn counted(edges: i64, spacing_s: f64) -> (i64, u64) {
        let p = SquaringParams { edge_s: 1e-6 };
        let (mut s, mut c) = (SquaringState::at(2), CounterState::default());
        let mut take = |s: &mut SquaringState, wanted: i64, dt_s: f64| {
            c.step(&CounterParams::default(), s.step(&p, wanted, dt_s), false);
        };
        take(&mut s, 2, spacing_s);
        for i in 1..=edges.abs() {
            take(&mut s, 2 + i * edges.signum(), spacing_s);
        }
        for _ in 0..4 {
            take(&mut s, 2 + edges, 10e-6);
        }
        (c.count, c.illegal_count)
    }

    #[test]
    fn every_edge_comes_out_up_to_the_limit_both_ways() {
        for edges in [1000, -1000, 3, -2] {
            for spacing_s in [1.0001e-6, 2e-6, 50e-6] {
                assert_eq!(counted(edges, spacing_s), (edges, 0), "{edges} at {spacing_s}");
            }
        }
    }

    // Source: axis model 1.4: what is lost without a flag is a multiple of 4.
    #[test]
    fn beyond_the_limit_whole_squared_periods_are_lost_without_a_flag() {
        for edges in [1001, -1002] {
            for spacing_s in [0.9e-6, 0.5e-6, 0.3e-6] {
                let (count, illegal) = counted(edges, spacing_s);
                assert_eq!(illegal, 0);
                assert!(count.abs() < edges.abs() - 50, "{count} of {edges} at {spacing_s}");
                assert_eq!((edges - count) % 4, 0, "{count} of {edges} at {spacing_s}");
            }
        }
    }

    // Source: axis model 1.6, v = P/(4 I t_edge): 40 um, factor 5, 6 us: 1/3 m/s.
    #[test]
    fn top_speed_and_spacing_belong_together() {
        let edge_s = SquaringParams::edge_s_of(40e-6, 5, 1.0 / 3.0);
        assert!((edge_s - 6e-6).abs() < 1e-18);
        assert!((SquaringParams { edge_s }.top_speed_mps(40e-6, 5) - 1.0 / 3.0).abs() < 1e-12);
        assert!(SquaringParams { edge_s: f64::NAN }.check().is_err() && SquaringParams::default().check().is_ok());
    }
}
