//! Position jump: the feedback in the loop went further in one period than the machine can.

use serde::{Deserialize, Serialize};

use super::{MonitorEvent, MonitorKind, Reaction};

/// Share of the way at the highest speed that is allowed.
const SHARE: f64 = 1.5;
/// Counts that are allowed besides.
const COUNTS: f64 = 10.0;

/// State of the monitor.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct PositionJumpState {
    /// Count at the last position tick; `None` before the first.
    last: Option<i64>,
}

impl PositionJumpState {
    /// One position tick of `dt` s: the count of the feedback, counts of `count_m` m, on a machine of at most `v_max`
    /// m/s. `None` for the count where nothing is counted.
    pub fn step(&mut self, v_max: f64, count_m: f64, count: Option<i64>, dt: f64) -> Option<MonitorEvent> {
        let last = std::mem::replace(&mut self.last, count)?;
        let way = count?.saturating_sub(last) as f64 * count_m;
        let limit = SHARE * v_max * dt + COUNTS * count_m.abs();
        (way.abs() > limit).then_some(MonitorEvent {
            kind: MonitorKind::PositionJump,
            reaction: Reaction::R3,
            value: way.abs(),
            limit,
            primary: false,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Source: axis model, section 4: 1.5 v_max Tp + 10 q, by hand for the gantry: 1.2 mm + 20 um are 610 counts.
    #[test]
    fn speaks_of_a_jump_and_not_of_rapid() {
        let mut s = PositionJumpState::default();
        let mut at = |count| s.step(0.8, 2e-6, count, 1e-3).map(|e| e.value);
        assert_eq!([at(Some(0)), at(Some(400)), at(Some(1000)), at(Some(1610))], [None; 4]);
        assert!(at(Some(2221)).is_some_and(|way| (way - 1.222e-3).abs() < 1e-12));
        // A counter of 16 bits that comes round.
        assert!(at(Some(2221 - 65_536)).is_some());
        assert_eq!([at(None), at(Some(0))], [None, None]);
    }
}
