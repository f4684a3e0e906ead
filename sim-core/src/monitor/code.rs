//! Absolute encoders: words that cannot be read, turns that were forgotten, a battery that wants changing.

use serde::{Deserialize, Serialize};

use super::{MonitorEvent, MonitorKind, Persistence, Reaction};
use crate::chain::absolute::{BatteryLevel, TurnsParams};

/// Bad words running that stop the axis.
const WORDS: f64 = 2.0;
/// A low battery must last, s.
const BATTERY_TIME: f64 = 60.0;

/// State of these monitors.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct CodeMonitors {
    words: Persistence,
    battery: Persistence,
}

impl CodeMonitors {
    /// One reading: whether two or more bad words ran. Speaks once until words are good again.
    pub fn read(&mut self, bad: bool) -> Option<MonitorEvent> {
        self.words.step(bad, 0.0, 0.0).then(|| event(MonitorKind::CodeRead, Reaction::R3, WORDS, WORDS))
    }

    /// The battery of a turns counter during `dt` s.
    pub fn battery(&mut self, p: &TurnsParams, dt: f64) -> Option<MonitorEvent> {
        let low = p.battery() != BatteryLevel::Good;
        self.battery.step(low, BATTERY_TIME, dt).then(|| battery_low(p))
    }
}

/// The battery is low, as told after 60 s and at every switching on.
#[must_use]
pub fn battery_low(p: &TurnsParams) -> MonitorEvent {
    event(MonitorKind::BatteryLow, Reaction::R0, p.battery_v, p.battery_low_v)
}

/// The turns were forgotten while the cabinet was off.
#[must_use]
pub fn turns_lost(p: &TurnsParams) -> MonitorEvent {
    event(MonitorKind::TurnsLost, Reaction::R1, p.battery_v, p.battery_dead_v)
}

fn event(kind: MonitorKind, reaction: Reaction, value: f64, limit: f64) -> MonitorEvent {
    MonitorEvent { kind, reaction, value, limit, primary: false }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bad_words_speak_once_until_they_are_good_again() {
        let mut m = CodeMonitors::default();
        let seen: Vec<bool> = [true, true, false, true].iter().map(|bad| m.read(*bad).is_some()).collect();
        assert_eq!(seen, [true, false, false, true]);
    }

    #[test]
    fn a_low_battery_speaks_after_a_minute() {
        let p = TurnsParams { battery_v: 3.0, ..TurnsParams::HEALTHY };
        let mut m = CodeMonitors::default();
        let second = (1..100).find(|_| m.battery(&p, 1.0).is_some());
        assert_eq!(second, Some(60));
        assert_eq!(CodeMonitors::default().battery(&TurnsParams::HEALTHY, 100.0), None);
    }
}
