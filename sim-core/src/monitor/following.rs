//! Following error: commanded place less counted place, against what it ought to be.

use serde::{Deserialize, Serialize};

use super::{MonitorEvent, MonitorKind, Persistence, Reaction};
use crate::axis::machine::{FollowingStyle, MachineSpec};

/// After the command has stopped, the axis counts as moving for this long, s.
const SETTLING: f64 = 0.3;
/// A warning must last, s.
const WARN_TIME: f64 = 20e-3;
/// An error at standstill must last, s.
const STILL_TIME: f64 = 10e-3;

/// Limits in force.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct FollowingParams {
    /// How it judges while moving.
    pub style: FollowingStyle,
    /// Band while moving, m: of `|e - e_exp|` (Model) or of `|e|` (Fixed).
    pub moving_band: f64,
    /// Band of `|e|` at standstill, m.
    pub still_band: f64,
    /// Share of the moving band at which the warning comes: 0.5 (Model) or 0.85 (Fixed).
    pub warn_share: f64,
    /// Limit of `|e|` in every case, m.
    pub cap: f64,
}

impl FollowingParams {
    /// Limits of a machine as commissioned; cap `2 v_max (1 - kff_m)/Kv_m + band`, with the moving
    /// band for style Model and the standstill band for style Fixed.
    #[must_use]
    pub fn from_spec(m: &MachineSpec) -> Self {
        let f = &m.following;
        let largest = m.limits.speed * (1.0 - m.control.kff) / m.control.kv;
        let (warn_share, band) = match f.style {
            FollowingStyle::Model => (0.5, f.moving_band),
            FollowingStyle::Fixed => (0.85, f.still_band),
        };
        Self {
            style: f.style,
            moving_band: f.moving_band,
            still_band: f.still_band,
            warn_share,
            cap: 2.0 * largest + band,
        }
    }
}

/// State of the monitor.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct FollowingState {
    since_command: f64,
    warn: Persistence,
    moving: Persistence,
    still: Persistence,
    cap: Persistence,
}

impl Default for FollowingState {
    fn default() -> Self {
        Self {
            since_command: SETTLING,
            warn: Persistence::default(),
            moving: Persistence::default(),
            still: Persistence::default(),
            cap: Persistence::default(),
        }
    }
}

impl FollowingState {
    /// One position tick of `dt` s with the following error `e`, the expected one `e_exp`, m, and
    /// the commanded speed `v_cmd`, m/s. Of several conditions that begin together the gravest
    /// speaks.
    pub fn step(&mut self, p: &FollowingParams, e: f64, e_exp: f64, v_cmd: f64, dt: f64) -> Option<MonitorEvent> {
        if v_cmd == 0.0 {
            self.since_command = (self.since_command + dt).min(2.0 * SETTLING);
        } else {
            self.since_command = 0.0;
        }
        let is_moving = self.since_command < SETTLING;
        let judged = match p.style {
            FollowingStyle::Model => (e - e_exp).abs(),
            FollowingStyle::Fixed => e.abs(),
        };
        let warn_at = p.warn_share * p.moving_band;
        let cap = self.cap.step(e.abs() > p.cap, 0.0, dt);
        let moving = self.moving.step(is_moving && judged > p.moving_band, 0.0, dt);
        let still = self.still.step(!is_moving && e.abs() > p.still_band, STILL_TIME, dt);
        let warn = self.warn.step(is_moving && judged > warn_at, WARN_TIME, dt);

        let event = |kind, reaction, value, limit| Some(MonitorEvent { kind, reaction, value, limit, primary: false });
        if cap {
            event(MonitorKind::FollowingCap, Reaction::R3, e.abs(), p.cap)
        } else if moving {
            event(MonitorKind::FollowingMoving, Reaction::R2, judged, p.moving_band)
        } else if still {
            event(MonitorKind::FollowingStill, Reaction::R2, e.abs(), p.still_band)
        } else if warn {
            event(MonitorKind::FollowingWarn, Reaction::R0, judged, warn_at)
        } else {
            None
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::axis::machine::MachineId;

    const DT: f64 = 0.5e-3;

    fn first(p: &FollowingParams, e: f64, e_exp: f64, v: f64, ticks: u32) -> Vec<(u32, MonitorKind)> {
        let mut s = FollowingState::default();
        (0..ticks).filter_map(|i| s.step(p, e, e_exp, v, DT).map(|ev| (i, ev.kind))).collect()
    }

    // Source: own limits of the bench: 1.4 v_max (1 - kff)/Kv for style Fixed.
    #[test]
    fn fixed_limit_is_1_4_times_the_error_at_rapid() {
        let p = FollowingParams::from_spec(&MachineId::MillX.spec());
        assert!((p.moving_band - 1.4 * 0.25 * 30.0 / 1000.0).abs() < 1e-12);
        assert!((p.cap - 15.1e-3).abs() < 1e-9);
        assert_eq!(
            first(&p, 10.6e-3, 0.0, 0.1, 100),
            [(0, MonitorKind::FollowingMoving), (39, MonitorKind::FollowingWarn)]
        );
        assert_eq!(first(&p, 9.0e-3, 9.0e-3, 0.1, 100), [(39, MonitorKind::FollowingWarn)]);
        assert_eq!(first(&p, 8.9e-3, 0.0, 0.1, 100), []);
    }

    #[test]
    fn model_judges_the_difference_to_the_expected_error() {
        let p = FollowingParams::from_spec(&MachineId::RouterGantryX.spec());
        assert_eq!(first(&p, 8e-3, 8e-3, 0.8, 1000), []);
        let seen = first(&p, 8e-3, 4.9e-3, 0.8, 3);
        assert_eq!(seen, [(0, MonitorKind::FollowingMoving)]);
    }

    #[test]
    fn standstill_begins_after_the_settling_time_and_must_last() {
        let p = FollowingParams::from_spec(&MachineId::MillX.spec());
        let mut s = FollowingState::default();
        s.step(&p, 0.0, 0.0, 0.1, DT);
        let tick = (0..2000).find(|_| s.step(&p, 0.2e-3, 0.0, 0.0, DT).is_some()).unwrap();
        // 0.3 s of settling are 600 ticks, then 10 ms are 20 ticks.
        assert!((617..=620).contains(&tick), "{tick}");
    }

    #[test]
    fn beyond_the_cap_the_torque_goes_off() {
        let p = FollowingParams::from_spec(&MachineId::MillX.spec());
        let event = FollowingState::default().step(&p, -20e-3, 0.0, 0.1, DT).unwrap();
        assert_eq!((event.kind, event.reaction), (MonitorKind::FollowingCap, Reaction::R3));
    }
}
