//! Illegal edges: A and B changed at once, how often within a second.

use serde::{Deserialize, Serialize};

use super::{MonitorEvent, MonitorKind, Reaction};

/// Illegal transitions within the window that warn.
const WARN: usize = 1;
/// Illegal transitions within the window that stop.
const TRIP: usize = 8;
/// The window, s.
const WINDOW: f64 = 1.0;

/// State of the monitor.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct IllegalEdgesState {
    /// Illegal transitions of the counter so far.
    total: u64,
    /// Times of the last ones, s, the newest first; `None` where there were fewer.
    recent: [Option<f64>; TRIP],
    warned: bool,
    tripped: bool,
}

impl IllegalEdgesState {
    /// The counter's number of illegal transitions at a time, s. What was there at the first look is not counted.
    pub fn step(&mut self, total: u64, now: f64) -> Option<MonitorEvent> {
        // A counter that was set to zero starts afresh.
        for _ in 0..total.saturating_sub(self.total).min(TRIP as u64) {
            self.recent.rotate_right(1);
            self.recent[0] = Some(now);
        }
        self.total = total;
        let within = self.within(now);
        let event = |reaction, limit: usize| {
            let (value, limit) = (within as f64, limit as f64);
            Some(MonitorEvent { kind: MonitorKind::IllegalEdges, reaction, value, limit, primary: false })
        };
        if within == 0 {
            (self.warned, self.tripped) = (false, false);
        }
        if within >= TRIP && !self.tripped {
            (self.warned, self.tripped) = (true, true);
            event(Reaction::R3, TRIP)
        } else if within >= WARN && !self.warned {
            self.warned = true;
            event(Reaction::R0, WARN)
        } else {
            None
        }
    }

    /// How many there were within the window.
    #[must_use]
    pub fn within(&self, now: f64) -> usize {
        self.recent.iter().flatten().filter(|at| now - **at < WINDOW).count()
    }

    /// Whether enough of them lie within the window to stop the axis.
    #[must_use]
    pub fn stands(&self, now: f64) -> bool {
        self.within(now) >= TRIP
    }

    /// Begins at a counter that has seen so many already.
    #[must_use]
    pub fn from(total: u64) -> Self {
        Self { total, ..Self::default() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Source: axis model, section 4: one in a second warns, eight trip.
    #[test]
    fn one_warns_eight_in_a_second_trip_and_slower_ones_do_not() {
        let told = |every: f64| {
            let mut s = IllegalEdgesState::from(40);
            let seen = (1..=20_u32).filter_map(|i| s.step(40 + u64::from(i), every * f64::from(i)));
            seen.map(|e| (e.reaction, e.value)).collect::<Vec<_>>()
        };
        assert_eq!(told(0.1), [(Reaction::R0, 1.0), (Reaction::R3, 8.0)]);
        assert_eq!(told(0.15), [(Reaction::R0, 1.0)]);
    }

    #[test]
    fn it_tells_again_after_a_quiet_second() {
        let mut s = IllegalEdgesState::default();
        assert!(s.step(1, 0.0).is_some());
        assert!(s.step(1, 0.9).is_none() && s.step(2, 0.95).is_none());
        assert!(s.step(2, 2.0).is_none() && s.step(3, 2.1).is_some());
        // Many at once.
        assert_eq!(s.step(1000, 2.2).map(|e| e.reaction), Some(Reaction::R3));
        assert!(s.stands(2.3) && !s.stands(3.2));
    }
}
