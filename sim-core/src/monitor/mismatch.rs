//! Comparison of scale and motor encoder: what one counts and the other does not.
//!
//! Heat makes both drift apart slowly; that part is followed (time constant 120 s, at most 2 um/s)
//! and taken off, so that only a quick difference speaks.

use serde::{Deserialize, Serialize};

use super::{MonitorEvent, MonitorKind, Persistence, Reaction};

/// Time constant of the slow part, s.
const SLOW_TIME: f64 = 120.0;
/// Fastest change of the slow part, m/s.
const SLOW_RATE: f64 = 2e-6;
/// It must last, s.
const TIME: f64 = 5e-3;

/// State of the monitor.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct MismatchState {
    /// Difference taken for heat, m; `None` until the first tick, which sets it.
    slow: Option<f64>,
    lasting: Persistence,
    /// Difference at the first tick, m: how the two encoders were numbered.
    #[serde(default)]
    first: f64,
}

impl MismatchState {
    /// One position tick of `dt` s: `difference` is scale less motor encoder, m, against `limit`, m.
    pub fn step(&mut self, limit: f64, difference: f64, dt: f64) -> Option<MonitorEvent> {
        let slow = self.slow.unwrap_or_else(|| {
            self.first = difference;
            difference
        });
        let quick = difference - slow;
        let most = SLOW_RATE * dt;
        self.slow = Some(slow + (quick * dt / SLOW_TIME).clamp(-most, most));
        self.lasting.step(quick.abs() > limit, TIME, dt).then_some(MonitorEvent {
            kind: MonitorKind::FeedbackMismatch,
            reaction: Reaction::R3,
            value: quick.abs(),
            limit,
            primary: false,
        })
    }

    /// What was taken for heat and removed so far, m.
    #[must_use]
    pub fn removed(&self) -> f64 {
        self.slow.map_or(0.0, |slow| slow - self.first)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_quick_difference_speaks_after_five_milliseconds() {
        let mut s = MismatchState::default();
        s.step(0.1e-3, 0.02, 1e-3);
        let ticks: Vec<usize> = (1..20).filter(|_| s.step(0.1e-3, 0.0202, 1e-3).is_some()).collect();
        assert_eq!(ticks, [5]);
    }

    // Heat: 35 um/m over an hour on half a metre is 5e-9 m/s, far below the rate that is followed.
    #[test]
    fn slow_growth_is_followed_and_says_nothing() {
        let mut s = MismatchState::default();
        for i in 0..3_600_000 {
            assert_eq!(s.step(0.01e-3, 5e-9 * 1e-3 * f64::from(i), 1e-3), None);
        }
    }
}
