//! The axis: commanded path, control, drive, motor and table as two masses, brake, homing, in one serialisable state.
//!
//! A physics step is two calls. [`AxisState::control`] does what the control does at the start of
//! the step (path, position loop, velocity loop); [`AxisState::advance`] moves current, mass and
//! motor encoder through it and says where the table went, so that the head can be read over that
//! stretch. Monitors look at what `control` returns and answer with [`AxisState::react`].
//!
//! The axis coordinate is the machine's: 0 is the reference mark. The control does not know it
//! before homing; until then its readings count from where it was switched on.

pub mod brake;
pub mod bus;
pub mod friction;
pub mod heat;
pub mod homing;
pub mod loop_shape;
pub mod machine;
pub mod motion;
pub mod motor_encoder;
pub mod mounting;
mod orders;
pub mod plant;
mod power;
pub mod presliding;
pub mod profile;
pub mod screw;
pub mod sequence;
pub mod servo;
mod state;
pub mod train;
pub mod two_mass;
pub mod velocity;

pub use state::AxisState;

use serde::{Deserialize, Serialize};
use thiserror::Error;

use crate::axis::homing::{CodedMarks, SwitchParams, ZeroNote};
use crate::axis::machine::{FeedbackSource, HomeSpec, MachineSpec, ReferenceScheme};
use crate::axis::motion::{MotionCommand, MotionError};
use crate::axis::profile::MotionLimits;
use crate::axis::servo::ServoParams;
use crate::axis::train::TrainParams;
use crate::axis::two_mass::TwoMassParams;
use crate::chain::count_limits::motor_count_length;

/// Physics step, s.
pub const STEP: f64 = 50e-6;

/// Highest jog speed before the axis is referenced, m/s.
pub const UNREFERENCED_SPEED: f64 = 0.05;

/// What the drive is doing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum DriveMode {
    /// No torque; ready to be switched on.
    #[default]
    Off,
    /// Torque on, standing in closed loop.
    Holding,
    /// Torque on, following a command.
    Moving,
    /// Looking for the machine zero.
    Homing,
    /// Stopping by the speed loop alone, torque off at standstill.
    Stopping,
    /// No torque, stopped by a fault or the stop before it; to be reset.
    Tripped,
}

/// How hard the axis is to stop (IEC 60204-1, stop categories).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum StopKind {
    /// Stop on the path, torque stays (in the manner of category 2).
    OnPath,
    /// Stop by the speed loop on the motor encoder, then torque off (category 1).
    Controlled,
    /// Torque off at once, dynamic braking (category 0).
    TorqueOff,
}

/// Everything that acts on the axis during a step.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct AxisParams {
    /// Drive and both masses.
    pub plant: TwoMassParams,
    /// Control.
    pub servo: ServoParams,
    /// Limits of the commanded path.
    pub limits: MotionLimits,
    /// Home switch and mark.
    pub home: HomeSpec,
    /// Where the position loop takes its place from.
    pub feedback: FeedbackSource,
    /// Length of one count of the scale as the control believes, m, signed: below 0 counts backwards.
    pub scale_count: f64,
    /// True lines of the motor encoder.
    pub encoder_lines: u32,
    /// Velocity-loop period, steps.
    pub velocity_steps: u32,
    /// Position-loop period, steps.
    pub position_steps: u32,
    /// Travel from the machine zero, m; the soft limits are 0 - 5 mm and travel + 5 mm.
    pub travel: f64,
    /// Level of a home switch that does not follow its dog, if so.
    pub switch_stuck: Option<bool>,
    /// How the home switch answers its dog.
    pub switch: SwitchParams,
    /// Distance-coded marks, where the scale has them.
    pub coded_marks: Option<CodedMarks>,
    /// How far both soft limits stand off where they belong, m.
    #[serde(default)]
    pub soft_shift: f64,
    /// What stands around the masses.
    pub train: TrainParams,
    /// Share of the way to the wanted current in a step.
    pub current_share: f64,
    /// Speed of the search on a turn with one mark and no switch, m/s, where that is how zero is found.
    pub turn_search: Option<f64>,
    /// Turns for ever: without soft limits.
    pub endless: bool,
}

impl AxisParams {
    /// The healthy axis of a machine whose scale counts in steps of `scale_count` m.
    #[must_use]
    pub fn from_spec(m: &MachineSpec, scale_count: f64) -> Self {
        let feedback_count = match m.control.feedback {
            FeedbackSource::Scale => scale_count,
            FeedbackSource::Motor => motor_count_length(m.mechanics.ratio, m.motor.encoder_lines),
        };
        let plant = TwoMassParams::from_spec(m);
        Self {
            current_share: plant.body.current_share(STEP),
            plant,
            servo: ServoParams::from_spec(m, STEP, feedback_count),
            limits: m.limits,
            home: m.home,
            feedback: m.control.feedback,
            scale_count,
            encoder_lines: m.motor.encoder_lines,
            velocity_steps: m.control.velocity_steps,
            position_steps: m.control.position_steps,
            travel: m.travel,
            switch_stuck: None,
            switch: SwitchParams::default(),
            coded_marks: None,
            soft_shift: 0.0,
            train: TrainParams::from_spec(m, false),
            turn_search: (m.reference == ReferenceScheme::MarkPerTurn).then_some(m.home.approach_speed),
            endless: m.endless,
        }
    }

    /// Soft limits of the referenced axis, m; none where it turns for ever.
    #[must_use]
    pub fn soft_limits(&self) -> [f64; 2] {
        if self.endless {
            return [f64::NEG_INFINITY, f64::INFINITY];
        }
        [self.soft_shift - SOFT_MARGIN, self.soft_shift + (self.travel + SOFT_MARGIN)]
    }
}

/// How far beyond the travel the soft limits stand, m.
const SOFT_MARGIN: f64 = 5e-3;

/// What the counter tells the axis at the start of a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct AxisInput {
    /// Count of the scale.
    pub scale_count: i64,
    /// Count latched at the reference mark since the last step.
    pub latched: Option<i64>,
}

/// What a person or a lesson can order.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", tag = "axis")]
pub enum AxisCommand {
    /// Torque on, hold where it stands.
    SwitchOn,
    /// Torque off.
    SwitchOff,
    /// Move, jog, shuttle or stop.
    Motion {
        /// What.
        command: MotionCommand,
    },
    /// Find the machine zero.
    Home,
    /// Forget the trip: back to Off. Never starts motion.
    Reset,
}

/// Why an order is refused.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum AxisError {
    /// A number in the command is wrong.
    #[error(transparent)]
    Motion(#[from] MotionError),
    /// The drive is not in a state for it.
    #[error("the drive is {mode:?}; it must be holding or moving for this")]
    NotReady {
        /// What it is.
        mode: DriveMode,
    },
    /// Moves to places need the machine zero.
    #[error("the axis is not referenced; home it first, or jog at no more than 0.05 m/s")]
    NotReferenced,
    /// A target beyond the soft limits.
    #[error("target {target} m is outside the travel; it must be between {low} and {high} m")]
    BeyondTravel {
        /// What was asked, m.
        target: f64,
        /// Low soft limit, m.
        low: f64,
        /// High soft limit, m.
        high: f64,
    },
    /// A tripped drive must be reset first.
    #[error("the drive has tripped; find the cause, then reset")]
    Tripped,
}

/// What the control did at the start of a step.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ControlOutput {
    /// Set at position ticks.
    pub position: Option<PositionReadings>,
    /// Set at velocity ticks.
    pub velocity: Option<VelocityReadings>,
    /// The soft limit, m, ahead of which the path was stopped at this tick.
    pub soft_limit: Option<f64>,
    /// What the search for zero found at this tick.
    pub zero: Option<ZeroNote>,
}

/// Readings of a position tick.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct PositionReadings {
    /// Torque is on and the position loop is closed.
    pub closed: bool,
    /// Commanded place, m.
    pub x_ref: f64,
    /// Commanded speed, m/s.
    pub v_cmd: f64,
    /// Place by the feedback in the loop, m.
    pub x_fb: f64,
    /// Place by the scale, m.
    pub x_scale: f64,
    /// Place by the motor encoder, m.
    pub x_motor: f64,
    /// Following error, m.
    pub error: f64,
    /// Expected following error, m.
    pub expected_error: f64,
    /// Position-loop period, s.
    pub dt: f64,
}

/// Readings of a velocity tick.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct VelocityReadings {
    /// Torque is on.
    pub powered: bool,
    /// Wanted speed, m/s.
    pub v_ref: f64,
    /// Estimated speed by the motor encoder, m/s.
    pub v_est: f64,
    /// Velocity-loop period, s.
    pub dt: f64,
}

/// Where the table went during a step, a straight line.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Travelled {
    /// Place at the start, m.
    pub from: f64,
    /// Place at the end, m.
    pub to: f64,
}
