//! Motor winding too warm, by its model or sensor.

use serde::{Deserialize, Serialize};

use super::{MonitorEvent, MonitorKind, Persistence, Reaction};

/// Warning, C.
const WARN_C: f64 = 110.0;
/// Trip, C.
const TRIP_C: f64 = 130.0;
/// It must last, s.
const TIME: f64 = 1.0;

/// State of the monitor.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct MotorHotState {
    warn: Persistence,
    trip: Persistence,
}

impl MotorHotState {
    /// One tick of `dt` s with the winding at `winding_c` C.
    pub fn step(&mut self, winding_c: f64, dt: f64) -> Option<MonitorEvent> {
        let trip = self.trip.step(winding_c > TRIP_C, TIME, dt);
        let warn = self.warn.step(winding_c > WARN_C, TIME, dt);
        let event = |reaction, limit| {
            Some(MonitorEvent { kind: MonitorKind::MotorHot, reaction, value: winding_c, limit, primary: false })
        };
        match (trip, warn) {
            (true, _) => event(Reaction::R2, TRIP_C),
            (_, true) => event(Reaction::R0, WARN_C),
            _ => None,
        }
    }

    /// Whether it is too warm to be acknowledged.
    #[must_use]
    pub fn stands(winding_c: f64) -> bool {
        winding_c > TRIP_C
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_warns_at_110_and_trips_at_130_after_a_second() {
        let mut s = MotorHotState::default();
        let seen: Vec<(u32, Reaction)> = (0..4000)
            .filter_map(|i| s.step(if i < 2000 { 115.0 } else { 131.0 }, 1e-3).map(|e| (i, e.reaction)))
            .collect();
        assert_eq!(seen, [(999, Reaction::R0), (2999, Reaction::R2)]);
        let mut s = MotorHotState::default();
        assert!((0..5000).all(|_| s.step(109.9, 1e-3).is_none()));
    }
}
