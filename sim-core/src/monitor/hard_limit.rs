//! Limit switches beyond the soft limits, normally closed: the last guard ahead of the hard stops.

use serde::{Deserialize, Serialize};

use super::{MonitorEvent, MonitorKind, Persistence, Reaction};

/// A switch must be open for so long, s.
const TIME: f64 = 5e-3;

/// State of the monitor. It outlives a reset: an open switch that was acknowledged speaks again only after it closed.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct HardLimitState {
    open: [Persistence; 2],
    /// Which switch is open now and has been told.
    told: [bool; 2],
}

impl HardLimitState {
    /// One position tick of `dt` s: the place of the table, m, and the places beyond which the low and the high switch
    /// are open, m.
    pub fn step(&mut self, switches: [f64; 2], place: f64, dt: f64) -> Option<MonitorEvent> {
        let open = [place < switches[0], place > switches[1]];
        let mut event = None;
        for end in 0..2 {
            let begins = self.open[end].step(open[end], TIME, dt);
            self.told[end] = open[end] && (self.told[end] || begins);
            if begins {
                event = Some(MonitorEvent {
                    kind: MonitorKind::HardLimit,
                    reaction: Reaction::R2,
                    value: place,
                    limit: switches[end],
                    primary: false,
                });
            }
        }
        event
    }

    /// The direction that an open switch forbids: -1, +1, or `None`.
    #[must_use]
    pub fn forbids(&self) -> Option<f64> {
        match self.told {
            [true, _] => Some(-1.0),
            [_, true] => Some(1.0),
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Source: axis model, section 4: open for 5 ms.
    #[test]
    fn an_open_switch_speaks_once_and_forbids_its_way_until_it_closes() {
        let mut s = HardLimitState::default();
        let mut at = |place: f64| s.step([-0.02, 0.52], place, 1e-3).map(|e| e.limit);
        let seen: Vec<Option<f64>> = [0.521; 7].map(&mut at).to_vec();
        assert_eq!(seen, [None, None, None, None, Some(0.52), None, None]);
        assert_eq!(s.forbids(), Some(1.0));
        assert_eq!(s.step([-0.02, 0.52], 0.519, 1e-3), None);
        assert_eq!(s.forbids(), None);
        let low = (0..9).filter_map(|_| s.step([-0.02, 0.52], -0.03, 1e-3)).count();
        assert_eq!((low, s.forbids()), (1, Some(-1.0)));
    }
}
