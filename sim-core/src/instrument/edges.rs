//! Duty and edge separation of the squared channels.
//!
//! Lengths are measured along the travel, so a changing speed does not matter; an edge lies in the middle between the
//! two samples that saw it. A reversal starts afresh, because the hysteresis of the comparators moves every edge.

use super::track::{Follower, Pull, check_period};
use crate::numbers::FieldError;
use crate::record::{Sample, Tap};

/// Square periods that a reading needs (signal model, section 7).
pub const PERIODS_NEEDED: u32 = 16;
/// Edges kept: 64 square periods of two channels.
const CAPACITY: usize = 256;

/// Kinds of edges in the order in which they come on the way up: A rises, B rises, A falls, B falls.
const A_RISES: u8 = 0;
const B_RISES: u8 = 1;
const A_FALLS: u8 = 2;
const B_FALLS: u8 = 3;

#[derive(Clone, Copy, Debug, PartialEq)]
struct Edge {
    kind: u8,
    at_m: f64,
    time_s: f64,
    /// Number of the sample that saw it.
    sample: u64,
}

/// The edge recorder.
#[derive(Clone, Debug)]
pub struct Edges {
    follower: Follower,
    ring: Vec<Edge>,
    next: usize,
    last: Option<Sample>,
    samples: u64,
}

/// Why there is no reading of the edges.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum EdgeError {
    /// Not enough square periods since the last reversal.
    #[error("{periods} square periods of A one way, {PERIODS_NEEDED} are needed; move the axis on")]
    TooFewPeriods {
        /// Whole periods seen.
        periods: u32,
    },
    /// Both channels switched between two samples.
    #[error("A and B switch between two samples: the edges are too close to tell apart at this speed")]
    Unresolved,
}

/// What the edges say. Turns are turns of the square period.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EdgeReading {
    /// Share of the period that A is high, 0..1.
    pub duty_a: f64,
    /// Share of the period that B is high, 0..1; `None` when B does not switch.
    pub duty_b: Option<f64>,
    /// Mean way from the edge before to: A rises, B rises, A falls, B falls; turns, ideal 1/4 each. `None` when B does
    /// not switch.
    pub separation_turns: Option<[f64; 4]>,
    /// Smallest way between two edges, turns.
    pub smallest_turns: f64,
    /// Shortest time between two edges, s.
    pub shortest_s: f64,
    /// Square period, m.
    pub square_m: f64,
    /// Square periods measured.
    pub periods: u32,
    /// How finely the samples divide the period, turns: no single edge is known better than half of it.
    pub resolution_turns: f64,
}

impl Edges {
    /// Edges of a scale with the signal period `period_m`, m.
    ///
    /// # Errors
    /// When the period is not finite or out of range.
    pub fn new(period_m: f64) -> Result<Self, FieldError> {
        check_period(period_m)?;
        Ok(Self {
            follower: Follower::new(period_m),
            ring: Vec::with_capacity(CAPACITY),
            next: 0,
            last: None,
            samples: 0,
        })
    }

    fn push(&mut self, edge: Edge) {
        if self.ring.len() < CAPACITY {
            self.ring.push(edge);
            self.next = self.ring.len() % CAPACITY;
        } else {
            self.ring[self.next] = edge;
            self.next = (self.next + 1) % CAPACITY;
        }
    }

    fn edges(&self) -> impl Iterator<Item = &Edge> + Clone {
        let have = self.ring.len();
        let oldest = if have < CAPACITY { 0 } else { self.next };
        (0..have).map(move |i| &self.ring[(oldest + i) % have])
    }

    /// Duty of one channel with the sum of its whole periods, m, and their number.
    fn duty(&self, rises: u8, falls: u8) -> (f64, f64, u32) {
        let (mut rise, mut fall): (Option<f64>, Option<f64>) = (None, None);
        let (mut high_m, mut period_m, mut periods) = (0.0, 0.0, 0);
        for edge in self.edges() {
            if edge.kind == falls {
                fall = Some(edge.at_m);
            } else if edge.kind == rises {
                if let Some((from_m, to_m)) = rise.zip(fall) {
                    high_m += (to_m - from_m).abs();
                    period_m += (edge.at_m - from_m).abs();
                    periods += 1;
                }
                (rise, fall) = (Some(edge.at_m), None);
            }
        }
        (high_m / period_m, period_m, periods)
    }

    /// Works the edges out.
    ///
    /// # Errors
    /// Why there is no reading.
    pub fn reading(&self) -> Result<EdgeReading, EdgeError> {
        let (duty_a, sum_m, periods) = self.duty(A_RISES, A_FALLS);
        if periods < PERIODS_NEEDED {
            return Err(EdgeError::TooFewPeriods { periods });
        }
        let square_m = sum_m / f64::from(periods);
        let (duty_b, _, periods_b) = self.duty(B_RISES, B_FALLS);
        let (mut way_m, mut count) = ([0.0; 4], [0.0; 4]);
        let (mut smallest_m, mut shortest_s) = (f64::INFINITY, f64::INFINITY);
        let (mut gone_m, mut samples) = (0.0, 0);
        for (before, edge) in self.edges().zip(self.edges().skip(1)) {
            if before.sample == edge.sample {
                return Err(EdgeError::Unresolved);
            }
            let step_m = (edge.at_m - before.at_m).abs();
            way_m[usize::from(edge.kind)] += step_m;
            count[usize::from(edge.kind)] += 1.0;
            smallest_m = f64::min(smallest_m, step_m);
            shortest_s = f64::min(shortest_s, edge.time_s - before.time_s);
            gone_m += step_m;
            samples += edge.sample - before.sample;
        }
        let two = periods_b > 0;
        Ok(EdgeReading {
            duty_a,
            duty_b: two.then_some(duty_b),
            separation_turns: (two && count.iter().all(|n| *n > 0.0))
                .then(|| [0, 1, 2, 3].map(|k| way_m[k] / count[k] / square_m)),
            smallest_turns: smallest_m / square_m,
            shortest_s,
            square_m,
            periods,
            resolution_turns: gone_m / samples.max(1) as f64 / square_m,
        })
    }

    /// Forgets the edges.
    pub fn clear(&mut self) {
        self.ring.clear();
        self.next = 0;
    }
}

impl Tap for Edges {
    fn sample(&mut self, sample: &Sample) {
        self.samples += 1;
        let pull = self.follower.go(sample.table_m);
        if matches!(pull, Pull::Started | Pull::Reversed) {
            self.clear();
        }
        if let (Some(last), Pull::Along) = (self.last, pull) {
            let at_m = 0.5 * (last.table_m + sample.table_m);
            let edge = |kind| Edge { kind, at_m, time_s: sample.time_s, sample: self.samples };
            let a = (last.square_a != sample.square_a).then(|| edge(if sample.square_a { A_RISES } else { A_FALLS }));
            let b = (last.square_b != sample.square_b).then(|| edge(if sample.square_b { B_RISES } else { B_FALLS }));
            [a, b].into_iter().flatten().for_each(|e| self.push(e));
        }
        self.last = Some(*sample);
    }
}

#[cfg(test)]
mod tests {
    use super::{EdgeError, Edges};
    use crate::chain::square::{SquareParams, duty_of_sine};
    use crate::instrument::fixture::{Rig, travel};
    use std::f64::consts::TAU;

    // Source: plain geometry of a sine cut by a level (signal model, section 6.2): duty arccos((thr - dc)/ac)/pi.
    #[test]
    fn duty_of_a_sine_on_an_offset_is_the_closed_form() {
        let rig = Rig { offset_v: [1.6; 2], radius_v: [1.2; 2], threshold_v: [0.8, 1.6], ..Rig::default() };
        for way in [40.0, -40.0] {
            let mut edges = Edges::new(20e-6).unwrap();
            travel(&rig, way, 0.001_03, &mut edges);
            let r = edges.reading().unwrap();
            let duty = duty_of_sine(&SquareParams { threshold_v: 0.8, hysteresis_v: 0.0 }, 1.6, 1.2).unwrap();
            // Edges are known to half a sample and there are 30 of them or more.
            assert!((r.duty_a - duty).abs() < 3e-4, "{r:?}");
            assert!((r.duty_b.unwrap() - 0.5).abs() < 3e-4, "{r:?}");
            assert!((r.square_m / 20e-6 - 1.0).abs() < 1e-4, "{r:?}");
            assert!((r.resolution_turns - 0.001_03).abs() < 1e-5, "{r:?}");
        }
    }

    // Source: geometry: a phase error of B moves both its edges by delta/2 pi against those of A.
    #[test]
    fn a_phase_error_moves_the_edges_of_b() {
        let delta = 0.2;
        let mut edges = Edges::new(20e-6).unwrap();
        travel(&Rig { phase_error_rad: delta, ..Rig::default() }, 40.0, 0.001_03, &mut edges);
        let r = edges.reading().unwrap();
        let moved = delta / TAU;
        let expected = [0.25 + moved, 0.25 - moved, 0.25 + moved, 0.25 - moved];
        for (seen, expected) in r.separation_turns.unwrap().into_iter().zip(expected) {
            assert!((seen - expected).abs() < 5e-4, "{r:?}");
        }
        assert!((r.smallest_turns - 0.25 + moved).abs() < 2.0 * 0.001_03, "{r:?}");
        // 1 us a sample, 0.00103 turns a sample.
        assert!((r.shortest_s - (0.25 - moved) / 0.001_03 * 1e-6).abs() < 2e-6, "{r:?}");
    }

    #[test]
    fn reversal_starts_afresh_and_one_channel_has_no_separation() {
        let mut edges = Edges::new(20e-6).unwrap();
        travel(&Rig::default(), 40.0, 0.01, &mut edges);
        assert!(edges.reading().is_ok());
        travel(&Rig { start_m: 0.123_456_7 + 40.0 * 20e-6, ..Rig::default() }, -5.0, 0.01, &mut edges);
        assert!(matches!(edges.reading(), Err(EdgeError::TooFewPeriods { periods: 3..=5 })));
        let mut edges = Edges::new(20e-6).unwrap();
        travel(&Rig { radius_v: [0.5, 0.0], threshold_v: [0.0, 0.1], ..Rig::default() }, 40.0, 0.01, &mut edges);
        let r = edges.reading().unwrap();
        assert_eq!((r.duty_b, r.separation_turns), (None, None));
        assert!((r.duty_a - 0.5).abs() < 2e-3, "{r:?}");
    }

    #[test]
    fn edges_between_two_samples_are_not_guessed() {
        let mut edges = Edges::new(20e-6).unwrap();
        travel(&Rig::default(), 60.0, 0.31, &mut edges);
        assert_eq!(edges.reading(), Err(EdgeError::Unresolved));
        assert!(Edges::new(0.0).is_err());
    }
}
