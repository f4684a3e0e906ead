//! All monitors of one axis and their latch.

use serde::{Deserialize, Serialize};

use super::brake_watch::{BrakeReadings, BrakeWatchState};
use super::bus_low::BusLowState;
use super::following::{FollowingParams, FollowingState};
use super::hard_limit::HardLimitState;
use super::head_supply::HeadSupplyState;
use super::illegal_edges::IllegalEdgesState;
use super::mismatch::MismatchState;
use super::mismatch_slow::MismatchSlowState;
use super::motor_hot::MotorHotState;
use super::overcurrent::OvercurrentState;
use super::overload::{OverloadParams, OverloadState};
use super::overspeed::OverspeedState;
use super::position_jump::PositionJumpState;
use super::runaway::RunawayState;
use super::stop_watch::StopWatch;
use super::{MonitorEvent, MonitorKind, Reaction};
use crate::axis::ControlOutput;
use crate::axis::machine::MachineSpec;

mod latch;
use latch::Latched;
pub use latch::Rank;

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
    /// Overload of the motor.
    pub overload: Option<OverloadParams>,
    /// Peak current of the commissioned drive, A, for overcurrent.
    pub peak_current: Option<f64>,
    /// Jumps of the position are live.
    pub jump: bool,
    /// Places beyond which the low and the high limit switch are open, m.
    pub limit_switches: Option<[f64; 2]>,
    /// Illegal edges are live.
    pub illegal: bool,
    /// Supply of the head: whether too little of it stops the axis; `None` not looked at.
    pub head_supply: Option<bool>,
    /// Nominal voltage of the bus, V, for the monitor of the bus.
    pub bus_nominal: f64,
}

impl WatchParams {
    /// The monitors of a machine as commissioned, without the comparison of both encoders.
    #[must_use]
    pub fn from_spec(m: &MachineSpec) -> Self {
        let stops = [m.mechanics.stop_low + SWITCH_AHEAD, m.mechanics.stop_high - SWITCH_AHEAD];
        Self {
            following: Some(FollowingParams::from_spec(m)),
            mismatch: None,
            speed: true,
            v_max: m.limits.speed,
            overload: Some(OverloadParams::from_spec(&m.motor)),
            peak_current: Some(m.motor.peak_current),
            jump: true,
            limit_switches: (!m.endless).then_some(stops),
            illegal: false,
            head_supply: None,
            bus_nominal: m.motor.bus_voltage,
        }
    }

    /// All monitors of a machine, scale and motor encoder compared.
    #[must_use]
    pub fn with_comparison(m: &MachineSpec) -> Self {
        Self { mismatch: Some(m.following.mismatch), ..Self::from_spec(m) }
    }
}

/// How far ahead of the hard stops the limit switches stand, m (own).
const SWITCH_AHEAD: f64 = 10e-3;

/// What the monitors look at beside the control itself. The default is an axis of which nothing of it is known: no
/// monitor speaks.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct WatchInput {
    /// Model time, s.
    pub time: f64,
    /// Length of the position period, s, where one ends with this step.
    pub position_dt: Option<f64>,
    /// Length of the step, s.
    pub dt: f64,
    /// Torque is on.
    pub powered: bool,
    /// Current of the motor, A.
    pub current: f64,
    /// Speed by the motor encoder, m/s.
    pub speed: f64,
    /// Place of the table, where its limit switches are, m.
    pub place: f64,
    /// Count of the feedback in the loop and length of a count, m; `None` where a code is read.
    pub count: Option<(i64, f64)>,
    /// Illegal transitions of the counter so far.
    pub illegal: u64,
    /// Supply at the head, V.
    pub head_supply: Option<f64>,
    /// The signal is told to be so bad that it stops the axis.
    pub signal: Option<MonitorKind>,
    /// Temperature of the winding, C.
    pub winding_c: Option<f64>,
    /// Voltage of the bus, V.
    pub bus: Option<f64>,
    /// Brake.
    pub brake: Option<BrakeReadings>,
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
    /// All faults since the last reset, in their order.
    #[serde(default)]
    faults: Vec<Latched>,
    #[serde(default)]
    mismatch_slow: MismatchSlowState,
    #[serde(default)]
    overload: OverloadState,
    #[serde(default)]
    overcurrent: OvercurrentState,
    #[serde(default)]
    jump: PositionJumpState,
    #[serde(default)]
    hard_limit: HardLimitState,
    #[serde(default)]
    illegal: Option<IllegalEdgesState>,
    #[serde(default)]
    head_supply: HeadSupplyState,
    #[serde(default)]
    motor_hot: MotorHotState,
    #[serde(default)]
    bus_low: BusLowState,
    #[serde(default)]
    brake: BrakeWatchState,
    /// Watch over a stop on the path.
    #[serde(default)]
    pub stop: StopWatch,
}

impl Watch {
    /// Looks at what the control did and calls `raise` for every event, the gravest first within
    /// one monitor. The first event that stops the axis is kept as the primary one.
    pub fn step(&mut self, p: &WatchParams, out: &ControlOutput, mut raise: impl FnMut(MonitorEvent)) {
        let mut latch = |event, primary: &mut Option<MonitorEvent>| raise(made_primary(event, primary));
        if let Some(r) = &out.position {
            if r.closed {
                if let Some(following) = &p.following
                    && let Some(event) = self.following.step(following, r.error, r.expected_error, r.v_cmd, r.dt)
                {
                    latch(event, &mut self.primary);
                }
                if let Some(limit) = p.mismatch {
                    if let Some(event) = self.mismatch.step(limit, r.x_scale - r.x_motor, r.dt) {
                        latch(event, &mut self.primary);
                    }
                    if let Some(event) = self.mismatch_slow.step(limit, self.mismatch.removed(), r.dt) {
                        latch(event, &mut self.primary);
                    }
                }
            } else {
                self.following = FollowingState::default();
                self.mismatch = MismatchState::default();
                self.mismatch_slow = MismatchSlowState::default();
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

    /// Looks at what surrounds the control and calls `raise` for every event.
    pub fn look(&mut self, p: &WatchParams, r: &WatchInput, mut raise: impl FnMut(MonitorEvent)) {
        if let Some(peak) = p.peak_current
            && let Some(event) = self.overcurrent.step(peak, r.current, r.dt)
        {
            raise(made_primary(event, &mut self.primary));
        }
        let Some(dt) = r.position_dt else { return };
        let found = [
            p.overload.as_ref().and_then(|overload| self.overload.step(overload, r.current, dt)),
            self.look_for_jump(p, r, dt),
            p.limit_switches.and_then(|switches| self.hard_limit.step(switches, r.place, dt)),
            self.look_for_illegal(p, r),
            p.head_supply.zip(r.head_supply).and_then(|(stops, volts)| self.head_supply.step(volts, stops, dt)),
            r.winding_c.and_then(|winding_c| self.motor_hot.step(winding_c, dt)),
            r.bus.and_then(|volts| self.bus_low.step(p.bus_nominal, volts, dt)),
            r.brake.and_then(|brake| self.brake.step(&brake, dt)),
        ];
        for event in found.into_iter().flatten() {
            raise(made_primary(event, &mut self.primary));
        }
    }

    /// The feedback is numbered anew on purpose: its next count is no jump.
    pub fn renumbered(&mut self) {
        self.jump = PositionJumpState::default();
    }

    /// Only a powered axis can be led astray by a jump.
    fn look_for_jump(&mut self, p: &WatchParams, r: &WatchInput, dt: f64) -> Option<MonitorEvent> {
        let count = r.count.filter(|_| p.jump && r.powered);
        self.jump.step(p.v_max, count.map_or(0.0, |(_, count_m)| count_m), count.map(|(count, _)| count), dt)
    }

    fn look_for_illegal(&mut self, p: &WatchParams, r: &WatchInput) -> Option<MonitorEvent> {
        if !p.illegal {
            self.illegal = None;
            return None;
        }
        self.illegal.get_or_insert_with(|| IllegalEdgesState::from(r.illegal)).step(r.illegal, r.time)
    }

    /// Takes what a monitor outside the position loop raised: what stops the axis is kept as the primary fault.
    pub fn raise(&mut self, event: MonitorEvent) -> MonitorEvent {
        made_primary(event, &mut self.primary)
    }

    /// The way, -1 or +1, that an open limit switch forbids.
    #[must_use]
    pub fn forbids(&self) -> Option<f64> {
        self.hard_limit.forbids()
    }

    /// Share of the motor's heat that is used up, 0 cold, 1 full.
    #[must_use]
    pub fn overload(&self) -> f64 {
        self.overload.level
    }
}

/// The first fault that stops the axis is the primary one.
fn made_primary(mut event: MonitorEvent, primary: &mut Option<MonitorEvent>) -> MonitorEvent {
    if event.alarms() && primary.is_none() {
        event.primary = true;
        *primary = Some(event);
    }
    event
}
