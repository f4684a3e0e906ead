//! Overload: the heat a current would leave in the motor, as an integral that forgets.
//!
//! `dW/dt = ((i/i_n)^2 - W)/tau_th`; 1 is what the continuous current reaches in the end. From the level `W_0` a constant
//! current trips after `t = tau_th ln(((i/i_n)^2 - W_0)/((i/i_n)^2 - 1))` (form of IEC 60255-149, from memory).

use serde::{Deserialize, Serialize};

use super::{MonitorEvent, MonitorKind, Persistence, Reaction};
use crate::axis::machine::MotorSpec;

/// Level of the warning.
const WARN: f64 = 0.85;
/// Level of the trip.
const TRIP: f64 = 1.0;
/// Below this level the alarm may be acknowledged.
const RESET: f64 = 0.7;

/// Limits in force.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct OverloadParams {
    /// Continuous current `i_n`, A.
    pub continuous_current: f64,
    /// Time constant `tau_th`, s, 20..60.
    pub time: f64,
}

impl OverloadParams {
    /// Of a motor as commissioned.
    #[must_use]
    pub fn from_spec(m: &MotorSpec) -> Self {
        Self { continuous_current: m.continuous_current, time: m.thermal_time }
    }

    /// Time to the trip at a constant current from `level`, s; `None` if it never comes.
    #[must_use]
    pub fn trip_time(&self, current: f64, level: f64) -> Option<f64> {
        let share = current / self.continuous_current;
        let end = share * share;
        (end > TRIP).then(|| self.time * libm::log((end - level.min(TRIP)) / (end - TRIP)))
    }
}

/// State of the monitor. Its level outlives a reset: the motor does not cool by being acknowledged.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct OverloadState {
    /// Level `W`, 0 cold, 1 full.
    pub level: f64,
    warn: Persistence,
    trip: Persistence,
}

impl OverloadState {
    /// Goes on by `dt` s at a current in A, in any drive mode (0 when off).
    pub fn step(&mut self, p: &OverloadParams, current: f64, dt: f64) -> Option<MonitorEvent> {
        let share = current / p.continuous_current;
        self.level += (share * share - self.level) * (1.0 - libm::exp(-dt / p.time));
        let trip = self.trip.step(self.level >= TRIP, 0.0, dt);
        let warn = self.warn.step(self.level >= WARN, 0.0, dt);
        let event = |reaction, limit| {
            Some(MonitorEvent { kind: MonitorKind::Overload, reaction, value: self.level, limit, primary: false })
        };
        match (trip, warn) {
            (true, _) => event(Reaction::R2, TRIP),
            (_, true) => event(Reaction::R0, WARN),
            _ => None,
        }
    }

    /// Whether the alarm may be acknowledged.
    #[must_use]
    pub fn may_reset(&self) -> bool {
        self.level < RESET
    }

    /// Conditions that last speak again; the level stays.
    pub fn reset(&mut self) {
        *self = Self { level: self.level, ..Self::default() };
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Source: closed form of the same integral (form of IEC 60255-149, from memory).
    #[test]
    fn axis_v38_time_to_the_trip() {
        for (current, time, level, seconds) in
            [(2.0, 20.0, 0.0, 5.754), (1.5, 60.0, 0.0, 35.267), (3.0, 20.0, 0.0, 2.356), (2.0, 20.0, 0.5, 3.083)]
        {
            let p = OverloadParams { continuous_current: 1.0, time };
            let t = p.trip_time(current, level).unwrap();
            assert!((t - seconds).abs() <= 1e-3 * seconds, "{t}");
            let dt = 0.5e-3;
            let mut s = OverloadState { level, ..OverloadState::default() };
            let trip = |e: Option<MonitorEvent>| e.is_some_and(|e| e.reaction == Reaction::R2);
            let ticks = (1..100_000).find(|_| trip(s.step(&p, current, dt))).unwrap();
            assert!((f64::from(ticks) * dt - t).abs() <= 1.01 * dt);
        }
        assert_eq!(OverloadParams { continuous_current: 4.0, time: 30.0 }.trip_time(3.9, 0.0), None);
    }

    #[test]
    fn it_warns_first_trips_once_and_cools_before_it_may_be_reset() {
        let p = OverloadParams { continuous_current: 4.0, time: 30.0 };
        let mut s = OverloadState::default();
        let seen: Vec<Reaction> = (0..60_000).filter_map(|_| s.step(&p, 8.0, 1e-3)).map(|e| e.reaction).collect();
        assert_eq!(seen, [Reaction::R0, Reaction::R2]);
        s.reset();
        assert!(!s.may_reset());
        assert_eq!(s.step(&p, 0.0, 1e-3).map(|e| e.reaction), Some(Reaction::R2));
        let cooled = (0..120_000).find(|_| {
            s.step(&p, 0.0, 1e-3);
            s.may_reset()
        });
        assert!(cooled.is_some());
    }
}
