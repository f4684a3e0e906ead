//! How an alarm goes away again, and why acknowledging is refused.

use super::MonitorKind;
use serde::{Deserialize, Serialize};
use thiserror::Error;

/// Reset classes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Reset {
    /// By itself, when the condition is gone.
    Clears,
    /// By acknowledging, when the condition is gone.
    Acknowledge,
    /// By acknowledging; the zero is not believed any more, the axis has to be homed.
    Home,
    /// By switching the cabinet off and on.
    PowerCycle,
}

impl MonitorKind {
    /// How its alarm is reset (axis model, section 4).
    #[must_use]
    pub fn reset(self) -> Reset {
        match self {
            Self::FollowingWarn
            | Self::MismatchSlow
            | Self::MarkRepeat
            | Self::SoftLimit
            | Self::BatteryLow
            | Self::NotReferenced
            | Self::LimitEdited => Reset::Clears,
            Self::FollowingMoving
            | Self::FollowingStill
            | Self::FollowingCap
            | Self::Overspeed
            | Self::MarkMissing
            | Self::CodeRead
            | Self::Overload
            | Self::MotorHot
            | Self::BusLow
            | Self::HardLimit
            | Self::BrakeStuck => Reset::Acknowledge,
            Self::FeedbackMismatch
            | Self::SignalLow
            | Self::SignalHigh
            | Self::SignalLost
            | Self::MarkSpacing
            | Self::IllegalEdges
            | Self::PositionJump
            | Self::HeadSupplyLow
            | Self::TurnsLost => Reset::Home,
            Self::Runaway | Self::Overcurrent | Self::BrakeSlip => Reset::PowerCycle,
        }
    }
}

/// Why an alarm cannot be acknowledged.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum ResetRefusal {
    /// Its kind wants the cabinet switched off and on.
    #[error(
        "\"{}\" is not reset by acknowledging; find the cause, then switch the cabinet off and on", kind.title()
    )]
    PowerCycle {
        /// Which.
        kind: MonitorKind,
    },
    /// Its condition stands.
    #[error("\"{}\" still stands{}; mend its cause before acknowledging", kind.title(), told(*kind, *value))]
    Stands {
        /// Which.
        kind: MonitorKind,
        /// What is seen now, in the unit of the kind.
        value: f64,
    },
}

/// The value that stands, in the unit of its kind.
fn told(kind: MonitorKind, value: f64) -> String {
    match kind {
        MonitorKind::Overload => {
            format!(": {:.0} % used, to be acknowledged below 70 %; let the motor cool", value * 100.0)
        }
        MonitorKind::MotorHot => format!(": the winding has {value:.0} C"),
        MonitorKind::BusLow => format!(": the bus has {value:.0} V"),
        MonitorKind::HeadSupplyLow => format!(": {value:.2} V at the head"),
        MonitorKind::Overspeed => format!(": the axis runs at {:.1} m/min", value * 60.0),
        MonitorKind::IllegalEdges => format!(": {value:.0} of them within the last second"),
        _ => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Source: axis model, section 4, column Reset.
    #[test]
    fn classes_are_those_of_the_table() {
        assert_eq!(MonitorKind::FollowingMoving.reset(), Reset::Acknowledge);
        assert_eq!(MonitorKind::FeedbackMismatch.reset(), Reset::Home);
        assert_eq!(MonitorKind::Overcurrent.reset(), Reset::PowerCycle);
        assert_eq!(MonitorKind::SoftLimit.reset(), Reset::Clears);
    }

    #[test]
    fn a_refusal_names_the_alarm_and_its_value() {
        let text = ResetRefusal::Stands { kind: MonitorKind::Overload, value: 0.82 }.to_string();
        assert_eq!(
            text,
            "\"Overload\" still stands: 82 % used, to be acknowledged below 70 %; let the motor cool; mend its cause before acknowledging"
        );
        let text = ResetRefusal::PowerCycle { kind: MonitorKind::Runaway }.to_string();
        assert!(text.starts_with("\"Runaway\" is not reset by acknowledging"), "{text}");
    }
}
