//! Runaway: the speed grows against the wanted one, the mark of feedback wired the wrong way round.

use serde::{Deserialize, Serialize};

use super::{MonitorEvent, MonitorKind, Persistence, Reaction};

/// Difference of speeds that matters, share of the highest speed.
const SHARE: f64 = 0.1;
/// It must last, s.
const TIME: f64 = 5e-3;

/// State of the monitor.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct RunawayState {
    before: f64,
    lasting: Persistence,
}

impl RunawayState {
    /// One velocity tick of `dt` s: estimated `v_est` and wanted `v_ref` speed, m/s. Condition:
    /// opposite signs, `|v_est|` not falling, `|v_est - v_ref|` over a tenth of `v_max`.
    pub fn step(&mut self, v_max: f64, v_est: f64, v_ref: f64, dt: f64) -> Option<MonitorEvent> {
        let growing = v_est.abs() >= self.before;
        self.before = v_est.abs();
        let limit = SHARE * v_max;
        let difference = (v_est - v_ref).abs();
        let condition = v_est * v_ref < 0.0 && growing && difference > limit;
        self.lasting.step(condition, TIME, dt).then_some(MonitorEvent {
            kind: MonitorKind::Runaway,
            reaction: Reaction::R3,
            value: difference,
            limit,
            primary: false,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn growing_against_the_command_is_a_runaway_and_braking_is_not() {
        let mut s = RunawayState::default();
        let away = (0..40).filter(|i| s.step(0.25, -0.01 * f64::from(*i), 0.1, 0.25e-3).is_some()).count();
        assert_eq!(away, 1);
        let mut s = RunawayState::default();
        let braking = (0..40).filter(|i| s.step(0.25, 0.2 - 0.005 * f64::from(*i), -0.1, 0.25e-3).is_some()).count();
        assert_eq!(braking, 0);
    }
}
