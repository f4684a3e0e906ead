//! The trail of the A against B figure: the last points that differ from each other.

use sim_core::record::{Sample, Tap};
use std::collections::VecDeque;

/// Points kept.
const LENGTH: usize = 700;
/// A point is kept when it is this far from the last one, V.
const APART_V: f64 = 0.008;

/// The trail.
#[derive(Clone, Debug, Default)]
pub struct Trail {
    points: VecDeque<(f64, f64, f64)>,
}

impl Tap for Trail {
    fn sample(&mut self, sample: &Sample) {
        if let Some(&(_, a, b)) = self.points.back()
            && (sample.a_v - a).abs() + (sample.b_v - b).abs() < APART_V
        {
            return;
        }
        if self.points.len() == LENGTH {
            self.points.pop_front();
        }
        self.points.push_back((sample.time_s, sample.a_v, sample.b_v));
    }
}

impl Trail {
    /// Points up to a moment and not older than `window_s`, oldest first, V.
    pub fn until(&self, end_s: f64, window_s: f64) -> Vec<(f64, f64)> {
        let kept = self.points.iter().filter(|p| p.0 <= end_s && p.0 >= end_s - window_s);
        kept.map(|&(_, a, b)| (a, b)).collect()
    }
}
