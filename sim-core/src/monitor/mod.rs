//! Monitors: what the control watches, and how it answers.
//!
//! A monitor is a pure step from readings to an event, raised once when its condition begins.
//! [`Watch`] gathers them and keeps the latch: the first fault is the primary one.

pub mod brake_watch;
pub mod bus_low;
pub mod code;
pub mod following;
pub mod hard_limit;
pub mod head_supply;
pub mod illegal_edges;
pub mod marks;
pub mod mismatch;
pub mod mismatch_slow;
pub mod motor_hot;
pub mod overcurrent;
pub mod overload;
pub mod overspeed;
pub mod position_jump;
pub mod reset;
pub mod runaway;
pub mod signal;
pub mod stop_watch;
mod watch;

pub use reset::{Reset, ResetRefusal};
pub use watch::{Rank, Watch, WatchInput, WatchParams};

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
    /// The vector of A and B is too short.
    SignalLow,
    /// The vector of A and B is too long.
    SignalHigh,
    /// The signal is lost: no vector, no level, or one channel stands.
    SignalLost,
    /// No reference mark where one must be.
    MarkMissing,
    /// Two reference marks are not as far apart as they should be.
    MarkSpacing,
    /// Zero was found elsewhere than the last time.
    MarkRepeat,
    /// The code of the absolute scale cannot be read.
    CodeRead,
    /// The multi-turn encoder has forgotten its turns.
    TurnsLost,
    /// The battery of the multi-turn encoder is low.
    BatteryLow,
    /// More current for longer than the motor stands.
    Overload,
    /// The winding is too warm.
    MotorHot,
    /// The bus voltage is too low.
    BusLow,
    /// The axis moves though its brake is closed.
    BrakeSlip,
    /// The brake holds though it is released.
    BrakeStuck,
    /// Scale and motor encoder have drifted apart.
    MismatchSlow,
    /// A and B changed at once.
    IllegalEdges,
    /// The feedback went further than the machine can.
    PositionJump,
    /// More current than the drive may give.
    Overcurrent,
    /// A limit switch is open.
    HardLimit,
    /// The head has too little supply.
    HeadSupplyLow,
    /// A move was asked for that needs the machine zero.
    NotReferenced,
    /// Somebody widened a limit.
    LimitEdited,
}

impl MonitorKind {
    /// Its name on the sheet.
    #[must_use]
    pub fn title(self) -> &'static str {
        match self {
            Self::FollowingWarn => "Following error near its limit",
            Self::FollowingMoving => "Following error while moving",
            Self::FollowingStill => "Following error at standstill",
            Self::FollowingCap => "Following error past any doubt",
            Self::Overspeed => "Overspeed",
            Self::Runaway => "Runaway",
            Self::SoftLimit => "Soft limit",
            Self::FeedbackMismatch => "Scale and motor encoder disagree",
            Self::SignalLow => "Signal too weak",
            Self::SignalHigh => "Signal too strong",
            Self::SignalLost => "Signal lost",
            Self::MarkMissing => "Reference mark missing",
            Self::MarkSpacing => "Distance of reference marks",
            Self::MarkRepeat => "Zero found elsewhere",
            Self::CodeRead => "Code cannot be read",
            Self::TurnsLost => "Turns of the encoder lost",
            Self::BatteryLow => "Encoder battery low",
            Self::Overload => "Overload",
            Self::MotorHot => "Motor winding warm",
            Self::BusLow => "Bus voltage low",
            Self::BrakeSlip => "Brake slips",
            Self::BrakeStuck => "Brake does not let go",
            Self::MismatchSlow => "Scale and motor encoder drift apart",
            Self::IllegalEdges => "A and B change at once",
            Self::PositionJump => "Position jumps",
            Self::Overcurrent => "Too much current",
            Self::HardLimit => "Limit switch open",
            Self::HeadSupplyLow => "Supply of the head low",
            Self::NotReferenced => "Not referenced",
            Self::LimitEdited => "A limit was widened",
        }
    }

    /// What it says, with the value that it judged and its limit (SI, C for temperatures).
    #[must_use]
    pub fn words(self, value: f64, limit: f64, warning: bool) -> String {
        let lead = if warning { "Warning" } else { "Alarm" };
        match self {
            Self::FollowingWarn => {
                format!(
                    "Warning: following error is {:.2} mm off what is normal, warns at {:.2} mm.",
                    value * 1e3,
                    limit * 1e3
                )
            }
            Self::FollowingMoving => {
                format!(
                    "Alarm: following error, {:.2} mm where {:.2} mm are allowed. Controlled stop.",
                    value * 1e3,
                    limit * 1e3
                )
            }
            Self::FollowingStill => format!(
                "Alarm: following error at standstill, {:.2} mm where {:.2} mm are allowed. Controlled stop.",
                value * 1e3,
                limit * 1e3
            ),
            Self::FollowingCap => {
                format!("Alarm: following error {:.2} mm, past {:.2} mm. Torque off.", value * 1e3, limit * 1e3)
            }
            Self::Overspeed => {
                format!(
                    "{lead}: overspeed, {:.1} m/min where {:.1} m/min are allowed. Torque off.",
                    value * 60.0,
                    limit * 60.0
                )
            }
            Self::Runaway => {
                format!("{lead}: the axis runs away from its command, {:.1} m/min off. Torque off.", value * 60.0)
            }
            Self::FeedbackMismatch => format!(
                "{lead}: scale and motor encoder disagree by {:.3} mm where {:.3} mm are allowed. Torque off.",
                value * 1e3,
                limit * 1e3
            ),
            Self::SoftLimit => "The path was stopped ahead of the soft limit.".to_owned(),
            Self::SignalLow if warning => {
                format!("Warning: the signal is getting weak, {value:.2} V, warns below {limit:.2} V.")
            }
            Self::SignalLow => {
                format!("Alarm: signal too weak, {value:.2} V where {limit:.2} V are needed. Torque off, home again.")
            }
            Self::SignalHigh if warning => {
                format!("Warning: the signal is getting strong, {value:.2} V, warns above {limit:.2} V.")
            }
            Self::SignalHigh => format!(
                "Alarm: signal too strong, {value:.2} V where {limit:.2} V are allowed. Torque off, home again."
            ),
            Self::SignalLost => "Alarm: signal lost. Torque off, home again.".to_owned(),
            Self::MarkMissing => {
                format!("{lead}: no reference mark within {:.1} mm. Stop on the path.", value * 1e3)
            }
            Self::MarkSpacing if warning => {
                format!("Warning: the distance of two reference marks is off by {value:.0} counts.")
            }
            Self::MarkSpacing => format!(
                "{lead}: the distance of two reference marks is off by {value:.0} counts, from {limit:.0} on the zero is not believed. Stop on the path, home again."
            ),
            Self::MarkRepeat if limit > 2.0 => {
                format!("{lead}: zero is {value:.0} counts from the one before: another mark was taken.")
            }
            Self::MarkRepeat => {
                format!("{lead}: zero is {value:.0} counts from the one before: counts were lost or the switch moved.")
            }
            Self::CodeRead => {
                format!("{lead}: {value:.0} code words running could not be read. Torque off.")
            }
            Self::TurnsLost => format!(
                "{lead}: the motor encoder has forgotten its turns, its battery has {value:.1} V. Change the battery with the supply on, then home."
            ),
            Self::BatteryLow => format!(
                "{lead}: battery of the motor encoder at {value:.1} V, warns below {limit:.1} V. Change it with the supply on."
            ),
            Self::Overload if warning => {
                format!("Warning: overload, {:.0} % used, warns at {:.0} %.", value * 100.0, limit * 100.0)
            }
            Self::Overload => format!("Alarm: overload, {:.0} % used. Controlled stop.", value * 100.0),
            Self::MotorHot if warning => format!("Warning: motor winding at {value:.0} C, warns at {limit:.0} C."),
            Self::MotorHot => format!("Alarm: motor winding at {value:.0} C, past {limit:.0} C. Controlled stop."),
            Self::BusLow => {
                format!("{lead}: bus voltage {value:.0} V where at least {limit:.0} V are wanted. Controlled stop.")
            }
            Self::BrakeSlip => format!(
                "{lead}: the axis moved {:.2} mm though its brake is closed, {:.2} mm are allowed. \
                 Support the load before anything else.",
                value * 1e3,
                limit * 1e3
            ),
            Self::BrakeStuck => {
                format!("{lead}: {value:.1} A at low speed where {limit:.1} A are allowed; brake. Controlled stop.")
            }
            Self::MismatchSlow => format!(
                "{lead}: scale and motor encoder have drifted apart by {:.3} mm, noted from {:.3} mm on: heat, or something creeps.",
                value * 1e3,
                limit * 1e3
            ),
            Self::IllegalEdges if warning => {
                "Warning: A and B changed at the same time; the count may be off by half a period.".to_owned()
            }
            Self::IllegalEdges => format!(
                "Alarm: A and B changed at the same time, {value:.0} times within a second, {limit:.0} stop the axis. Torque off, home again."
            ),
            Self::PositionJump => format!(
                "{lead}: the position jumped by {:.3} mm in one period, {:.3} mm are possible. Torque off, home again.",
                value * 1e3,
                limit * 1e3
            ),
            Self::Overcurrent => format!(
                "{lead}: {value:.1} A in the motor where {limit:.1} A are the end. Torque off; switch the cabinet off and on after the cause is found."
            ),
            Self::HardLimit => format!(
                "{lead}: limit switch at the {} end open, table at {:.1} mm, switch at {:.1} mm. Controlled stop; acknowledge and jog away.",
                if limit > 0.0 { "positive" } else { "negative" },
                value * 1e3,
                limit * 1e3
            ),
            Self::HeadSupplyLow if warning => {
                format!("Warning: {value:.2} V supply at the head, warns below {limit:.2} V.")
            }
            Self::HeadSupplyLow => {
                format!("Alarm: {value:.2} V supply at the head where {limit:.2} V are needed. Torque off, home again.")
            }
            Self::NotReferenced => format!(
                "Not referenced: a move to a place was asked for; home the axis first, or jog at no more than {:.1} m/min.",
                limit * 60.0
            ),
            Self::LimitEdited => {
                format!("Note: a limit was widened from {:.2} mm to {:.2} mm.", limit * 1e3, value * 1e3)
            }
        }
    }
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
    /// What was seen, m or m/s; a share (overload), C, V or A for the kinds that say so.
    pub value: f64,
    /// What is allowed, in the same unit.
    pub limit: f64,
    /// First fault since the last reset; false for notes and for what follows.
    pub primary: bool,
}

impl MonitorEvent {
    /// Whether it is an alarm: it stops the axis, or a load may come down.
    #[must_use]
    pub fn alarms(&self) -> bool {
        self.reaction > Reaction::R0 || self.kind == MonitorKind::BrakeSlip
    }
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
