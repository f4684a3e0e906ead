//! Brake: it slips though closed, or it holds though released.

use serde::{Deserialize, Serialize};

use super::{MonitorEvent, MonitorKind, Persistence, Reaction};

/// Way with the brake closed that is slipping, m.
const SLIP: f64 = 0.2e-3;
/// Share of the stored moving current that is too much.
const DRAG: f64 = 1.3;
/// Below this share of the highest speed a released brake is judged.
const SLOW: f64 = 0.1;
/// A dragging brake must show for this long, s.
const TIME: f64 = 0.3;

/// What the monitor looks at.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct BrakeReadings {
    /// The brake is ordered closed and its closing delay is over.
    pub closed: bool,
    /// It has been ordered open, its opening delay is over and the axis is commanded to move.
    pub moving: bool,
    /// Place by the feedback, m.
    pub x_fb: f64,
    /// Current, A.
    pub current: f64,
    /// Current that moving took at commissioning, A, above 0.
    pub stored_current: f64,
    /// Estimated speed and highest speed, m/s.
    pub v_est: f64,
    /// Highest speed, m/s.
    pub v_max: f64,
}

/// State of the monitor.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct BrakeWatchState {
    /// Where it stood when the brake closed, m.
    closed_at: Option<f64>,
    slip: Persistence,
    stuck: Persistence,
}

impl BrakeWatchState {
    /// One position tick of `dt` s.
    pub fn step(&mut self, r: &BrakeReadings, dt: f64) -> Option<MonitorEvent> {
        self.closed_at = r.closed.then(|| self.closed_at.unwrap_or(r.x_fb));
        let way = self.closed_at.map_or(0.0, |at| (r.x_fb - at).abs());
        let most = DRAG * r.stored_current;
        let dragging = r.moving && r.current.abs() > most && r.v_est.abs() < SLOW * r.v_max;
        let slip = self.slip.step(way > SLIP, 0.0, dt);
        let stuck = self.stuck.step(dragging, TIME, dt);
        let event = |kind, reaction, value, limit| Some(MonitorEvent { kind, reaction, value, limit, primary: false });
        if stuck {
            event(MonitorKind::BrakeStuck, Reaction::R2, r.current.abs(), most)
        } else if slip {
            event(MonitorKind::BrakeSlip, Reaction::R0, way, SLIP)
        } else {
            None
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const STANDING: BrakeReadings = BrakeReadings {
        closed: true,
        moving: false,
        x_fb: 0.1,
        current: 0.0,
        stored_current: 2.0,
        v_est: 0.0,
        v_max: 0.25,
    };

    #[test]
    fn slipping_is_way_since_the_brake_closed() {
        let mut s = BrakeWatchState::default();
        let kinds: Vec<MonitorKind> = (0..500)
            .filter_map(|i| s.step(&BrakeReadings { x_fb: 0.1 - 1e-6 * f64::from(i), ..STANDING }, 1e-3))
            .map(|e| e.kind)
            .collect();
        assert_eq!(kinds, [MonitorKind::BrakeSlip]);
        // Moving with the brake open is no slip, and the next closing starts anew.
        let mut s = BrakeWatchState::default();
        for i in 0..500 {
            let r = BrakeReadings { closed: i % 100 == 99, x_fb: 1e-4 * f64::from(i), ..STANDING };
            assert_eq!(s.step(&r, 1e-3), None);
        }
    }

    #[test]
    fn a_brake_that_holds_on_shows_in_the_current_at_low_speed() {
        let slow = BrakeReadings { closed: false, moving: true, current: -2.7, v_est: 0.02, ..STANDING };
        let first = |r: &BrakeReadings| {
            let mut s = BrakeWatchState::default();
            (0..600).find_map(|i| s.step(r, 1e-3).map(|e| (i, e.kind)))
        };
        assert_eq!(first(&slow), Some((299, MonitorKind::BrakeStuck)));
        assert_eq!(first(&BrakeReadings { current: 2.5, ..slow }), None);
        assert_eq!(first(&BrakeReadings { v_est: 0.03, ..slow }), None);
        assert_eq!(first(&BrakeReadings { moving: false, ..slow }), None);
    }
}
