//! Bus voltage too low: mains, fuse or supply.

use serde::{Deserialize, Serialize};

use super::{MonitorEvent, MonitorKind, Persistence, Reaction};

/// Share of the nominal voltage below which it speaks.
const SHARE: f64 = 0.8;
/// It must last, s.
const TIME: f64 = 10e-3;

/// State of the monitor.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct BusLowState(Persistence);

impl BusLowState {
    /// One tick of `dt` s: voltage of the bus against its nominal one, V.
    pub fn step(&mut self, nominal: f64, voltage: f64, dt: f64) -> Option<MonitorEvent> {
        let limit = SHARE * nominal;
        self.0.step(voltage < limit, TIME, dt).then_some(MonitorEvent {
            kind: MonitorKind::BusLow,
            reaction: Reaction::R2,
            value: voltage,
            limit,
            primary: false,
        })
    }

    /// Whether there is too little to acknowledge.
    #[must_use]
    pub fn stands(nominal: f64, voltage: f64) -> bool {
        voltage < SHARE * nominal
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::axis::bus::BusParams;

    // Source: the fault's law: at half the share lost the limit is met at 0.4 of the highest speed.
    #[test]
    fn a_sagging_bus_speaks_only_above_a_speed() {
        let bus = BusParams { nominal: 650.0, sag: 0.5, v_max: 0.8 };
        let at = |v: f64| {
            let mut s = BusLowState::default();
            (0..200).find(|_| s.step(650.0, bus.voltage(v), 1e-3).is_some())
        };
        assert_eq!((at(0.31), at(0.33)), (None, Some(9)));
    }
}
