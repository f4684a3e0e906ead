//! Overspeed: faster than the machine may be, by the motor encoder.

use serde::{Deserialize, Serialize};

use super::{MonitorEvent, MonitorKind, Persistence, Reaction};

/// Share of the highest speed that is allowed.
const SHARE: f64 = 1.15;
/// It must last, s.
const TIME: f64 = 2e-3;

/// State of the monitor.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct OverspeedState(Persistence);

impl OverspeedState {
    /// One velocity tick of `dt` s: estimated speed `v_est` against the limit `v_max`, m/s.
    pub fn step(&mut self, v_max: f64, v_est: f64, dt: f64) -> Option<MonitorEvent> {
        let limit = SHARE * v_max;
        self.0.step(v_est.abs() > limit, TIME, dt).then_some(MonitorEvent {
            kind: MonitorKind::Overspeed,
            reaction: Reaction::R3,
            value: v_est.abs(),
            limit,
            primary: false,
        })
    }

    /// Whether it is too fast to be acknowledged.
    #[must_use]
    pub fn stands(v_max: f64, v_est: f64) -> bool {
        v_est.abs() > SHARE * v_max
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn speaks_after_two_milliseconds_above_the_limit() {
        let mut s = OverspeedState::default();
        let ticks: Vec<usize> = (0..20).filter(|_| s.step(0.25, -0.3, 0.25e-3).is_some()).collect();
        assert_eq!(ticks, [7]);
        assert!((0..100).all(|_| { OverspeedState::default().step(0.25, 0.28, 0.25e-3).is_none() }));
    }
}
