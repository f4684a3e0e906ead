//! Monitors: what the control watches, and how it answers.
//!
//! A monitor is a pure step from readings to an event, raised once when its condition begins.
//! [`Watch`] gathers them and keeps the latch: the first fault is the primary one.

pub mod following;
pub mod mismatch;
pub mod overspeed;
pub mod runaway;
mod watch;

pub use watch::{Watch, WatchParams};

use serde::{Deserialize, Serialize};

use crate::axis::StopKind;

/// What a monitor watches.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum MonitorKind {
    /// The following error nears its limit.
    FollowingWarn,
    /// The following error is too large while moving.
    FollowingMoving,
    /// The following error is too large at standstill.
    FollowingStill,
    /// The following error is past any doubt.
    FollowingCap,
    /// Scale and motor encoder disagree.
    FeedbackMismatch,
    /// Faster than the machine may be.
    Overspeed,
    /// Speeding up against the command.
    Runaway,
    /// The path was stopped ahead of a soft limit.
    SoftLimit,
}

/// Reaction classes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Reaction {
    /// A note, nothing else.
    R0,
    /// Controlled stop on the path, torque stays.
    R1,
    /// Controlled stop by the speed loop, then torque off.
    R2,
    /// Torque off now.
    R3,
}

impl Reaction {
    /// The stop that the axis makes of it.
    #[must_use]
    pub fn stop(self) -> Option<StopKind> {
        match self {
            Self::R0 => None,
            Self::R1 => Some(StopKind::OnPath),
            Self::R2 => Some(StopKind::Controlled),
            Self::R3 => Some(StopKind::TorqueOff),
        }
    }
}

/// A monitor spoke.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct MonitorEvent {
    /// Which.
    pub kind: MonitorKind,
    /// How the axis answers.
    pub reaction: Reaction,
    /// What was seen, m or m/s.
    pub value: f64,
    /// What is allowed, m or m/s.
    pub limit: f64,
    /// First fault since the last reset; false for notes and for what follows.
    pub primary: bool,
}

/// A condition that must last before it counts, and counts once until it is gone.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct Persistence {
    held: f64,
    raised: bool,
}

impl Persistence {
    /// One tick of `dt` s: true at the moment the condition has lasted `needed` s (0: at once).
    pub fn step(&mut self, condition: bool, needed: f64, dt: f64) -> bool {
        if !condition {
            *self = Self::default();
            return false;
        }
        self.held += dt;
        // Half a tick of slack, so that adding up does not decide.
        if self.raised || self.held + 0.5 * dt < needed {
            return false;
        }
        self.raised = true;
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn persistence_raises_once_and_again_after_it_was_gone() {
        let mut p = Persistence::default();
        let seen: Vec<bool> = (0..8).map(|_| p.step(true, 5e-3, 1e-3)).collect();
        assert_eq!(seen, [false, false, false, false, true, false, false, false]);
        p.step(false, 5e-3, 1e-3);
        assert!(p.step(true, 0.0, 1e-3));
        assert!(!p.step(true, 0.0, 1e-3));
    }

    #[test]
    fn kinds_are_written_as_their_ids() {
        assert_eq!(serde_json::to_string(&MonitorKind::FollowingMoving).unwrap(), "\"following-moving\"");
    }
}
