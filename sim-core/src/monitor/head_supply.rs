//! Supply of the head, measured at the head over its sense lines.

use serde::{Deserialize, Serialize};

use super::{MonitorEvent, MonitorKind, Persistence, Reaction};

/// 5 V less 5 %, V (common practice).
const WARN: f64 = 4.75;
/// Less than this is not believed to feed a head, V.
const TRIP: f64 = 4.5;
/// It must last, s.
const TIME: f64 = 10e-3;

/// State of the monitor.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct HeadSupplyState {
    warn: Persistence,
    trip: Persistence,
}

impl HeadSupplyState {
    /// One position tick of `dt` s: the supply at the head, V; whether too little stops the axis or is only told.
    pub fn step(&mut self, head: f64, stops: bool, dt: f64) -> Option<MonitorEvent> {
        let trip = self.trip.step(head < TRIP, TIME, dt);
        let warn = self.warn.step(head < WARN, TIME, dt);
        let event = |reaction, limit| {
            Some(MonitorEvent { kind: MonitorKind::HeadSupplyLow, reaction, value: head, limit, primary: false })
        };
        match (trip, warn) {
            (true, _) if stops => event(Reaction::R3, TRIP),
            (_, true) => event(Reaction::R0, WARN),
            _ => None,
        }
    }

    /// Whether there is too little to acknowledge.
    #[must_use]
    pub fn stands(head: f64) -> bool {
        head < TRIP
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Source: axis model, section 4: warn 4.75 V, trip 4.5 V, 10 ms.
    #[test]
    fn warns_below_4_75_and_trips_below_4_5_after_ten_milliseconds() {
        let seen = |volts: f64, stops| {
            let mut s = HeadSupplyState::default();
            (0..40).filter_map(|i| s.step(volts, stops, 1e-3).map(|e| (i, e.reaction))).collect::<Vec<_>>()
        };
        assert_eq!(seen(4.76, true), []);
        assert_eq!(seen(4.6, true), [(9, Reaction::R0)]);
        assert_eq!(seen(4.4, true), [(9, Reaction::R3)]);
        assert_eq!(seen(4.4, false), [(9, Reaction::R0)]);
    }
}
