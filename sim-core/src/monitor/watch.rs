//! All monitors of one axis and their latch.

use serde::{Deserialize, Serialize};

use super::following::{FollowingParams, FollowingState};
use super::mismatch::MismatchState;
use super::overspeed::OverspeedState;
use super::runaway::RunawayState;
use super::{MonitorEvent, MonitorKind, Reaction};
use crate::axis::ControlOutput;
use crate::axis::machine::MachineSpec;

/// Limits in force. A monitor without parameters is switched off.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct WatchParams {
    /// Following error.
    pub following: Option<FollowingParams>,
    /// Limit of the comparison of scale and motor encoder, m. Switched off as delivered, so that the
    /// following monitor is met first; [`WatchParams::with_comparison`] switches it on.
    pub mismatch: Option<f64>,
    /// Overspeed and runaway are live.
    pub speed: bool,
    /// Highest speed of the machine, m/s.
    pub v_max: f64,
}

impl WatchParams {
    /// The monitors of a machine as commissioned, without the comparison of both encoders.
    #[must_use]
    pub fn from_spec(m: &MachineSpec) -> Self {
        Self { following: Some(FollowingParams::from_spec(m)), mismatch: None, speed: true, v_max: m.limits.speed }
    }

    /// All monitors of a machine, scale and motor encoder compared.
    #[must_use]
    pub fn with_comparison(m: &MachineSpec) -> Self {
        Self { mismatch: Some(m.following.mismatch), ..Self::from_spec(m) }
    }
}

/// State of all monitors.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Watch {
    following: FollowingState,
    mismatch: MismatchState,
    overspeed: OverspeedState,
    runaway: RunawayState,
    /// The first fault since the last reset.
    pub primary: Option<MonitorEvent>,
}

impl Watch {
    /// Looks at what the control did and calls `raise` for every event, the gravest first within
    /// one monitor. The first event that stops the axis is kept as the primary one.
    pub fn step(&mut self, p: &WatchParams, out: &ControlOutput, mut raise: impl FnMut(MonitorEvent)) {
        let mut latch = |mut event: MonitorEvent, primary: &mut Option<MonitorEvent>| {
            if event.reaction >= Reaction::R2 && primary.is_none() {
                event.primary = true;
                *primary = Some(event);
            }
            raise(event);
        };
        if let Some(r) = &out.position {
            if r.closed {
                if let Some(following) = &p.following
                    && let Some(event) = self.following.step(following, r.error, r.expected_error, r.v_cmd, r.dt)
                {
                    latch(event, &mut self.primary);
                }
                if let Some(limit) = p.mismatch
                    && let Some(event) = self.mismatch.step(limit, r.x_scale - r.x_motor, r.dt)
                {
                    latch(event, &mut self.primary);
                }
            } else {
                self.following = FollowingState::default();
                self.mismatch = MismatchState::default();
            }
            if let Some(limit) = out.soft_limit {
                let event = MonitorEvent {
                    kind: MonitorKind::SoftLimit,
                    reaction: Reaction::R0,
                    value: r.x_ref,
                    limit,
                    primary: false,
                };
                latch(event, &mut self.primary);
            }
        }
        if let Some(r) = &out.velocity {
            if r.powered && p.speed {
                if let Some(event) = self.overspeed.step(p.v_max, r.v_est, r.dt) {
                    latch(event, &mut self.primary);
                }
                if let Some(event) = self.runaway.step(p.v_max, r.v_est, r.v_ref, r.dt) {
                    latch(event, &mut self.primary);
                }
            } else {
                self.overspeed = OverspeedState::default();
                self.runaway = RunawayState::default();
            }
        }
    }

    /// Takes what a monitor outside the position loop raised: what stops the axis is kept as the primary fault.
    pub fn raise(&mut self, mut event: MonitorEvent) -> MonitorEvent {
        if event.reaction >= Reaction::R1 && self.primary.is_none() {
            event.primary = true;
            self.primary = Some(event);
        }
        event
    }

    /// Forgets the primary fault; conditions that last speak again.
    pub fn reset(&mut self) {
        *self = Self::default();
    }
}
