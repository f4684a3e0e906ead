//! Overcurrent: more current than the output stage may ever give, the mark of a shorted winding or a broken stage.

use serde::{Deserialize, Serialize};

use super::{MonitorEvent, MonitorKind, Persistence, Reaction};

/// Share of the peak current that is allowed.
const SHARE: f64 = 1.3;
/// It must last, s.
const TIME: f64 = 0.1e-3;

/// State of the monitor.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct OvercurrentState(Persistence);

impl OvercurrentState {
    /// One step of `dt` s: the current against the peak current of the commissioned drive, A.
    pub fn step(&mut self, peak: f64, current: f64, dt: f64) -> Option<MonitorEvent> {
        let limit = SHARE * peak;
        self.0.step(current.abs() > limit, TIME, dt).then_some(MonitorEvent {
            kind: MonitorKind::Overcurrent,
            reaction: Reaction::R3,
            value: current.abs(),
            limit,
            primary: false,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Source: axis model, section 4: 1.3 i_max for 0.1 ms, two steps of 50 us.
    #[test]
    fn speaks_after_a_tenth_of_a_millisecond_and_not_at_the_current_limit() {
        let mut s = OvercurrentState::default();
        let steps: Vec<usize> = (0..9).filter(|_| s.step(12.0, -15.7, 50e-6).is_some()).collect();
        assert_eq!(steps, [1]);
        assert!((0..99).all(|_| OvercurrentState::default().step(12.0, 15.5, 50e-6).is_none()));
        // A lone step above it says nothing.
        let mut s = OvercurrentState::default();
        assert!((0..99).all(|i| s.step(12.0, if i % 2 == 0 { 20.0 } else { 12.0 }, 50e-6).is_none()));
    }
}
