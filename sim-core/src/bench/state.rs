//! Everything that goes on from step to step, and the bench as one value.

use super::filtered::InputFilterState;
use super::flexing::Flexing;
use super::hanging::BrakeCare;
use super::narrator::Narrator;
use super::safety::Safety;
use super::zero::ZeroState;
use crate::axis::AxisState;
use crate::chain::alignment::AlignmentState;
use crate::chain::analog::AnalogState;
use crate::chain::counter::CounterState;
use crate::chain::interference::InterferenceState;
use crate::chain::interpolate::InterpolateState;
use crate::chain::lamp::LampState;
use crate::chain::loss::LossState;
use crate::chain::square::SquareState;
use crate::chain::square_line::SquareLine;
use crate::chain::wiring::WiringState;
use crate::fault::Active;
use crate::monitor::Watch;
use crate::monitor::signal::SignalWatch;
use crate::names::{self, SettingError};
use crate::numbers::NumberError;
use crate::params::{ParamError, params_after};
use crate::setup::Setup;
use crate::surface::SurfaceMap;
use crate::upkeep::Upkeep;
use serde::{Deserialize, Serialize};

/// The format of a kept bench that this program writes and the newest that it reads. In format 1 motor and table were
/// one mass; such a bench goes on with two.
pub const BENCH_FORMAT: u32 = 2;

/// State of every block.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct State {
    /// Dirt and damage on the scale.
    pub dirt: SurfaceMap,
    /// Axis: path, control, drive, mass, homing.
    pub axis: AxisState,
    /// Monitors.
    pub watch: Watch,
    /// Play and vibration of the head.
    pub alignment: AlignmentState,
    /// Drive of the lamp.
    pub lamp: LampState,
    /// What still rings from the surroundings.
    pub interference: InterferenceState,
    /// Cable and its contacts.
    pub wiring: WiringState,
    /// Amplifier of the head.
    pub analog: AnalogState,
    /// Comparators of A and B.
    pub squares: [SquareState; 2],
    /// Interpolating input.
    pub interpolate: InterpolateState,
    /// Counter.
    pub counter: CounterState,
    /// Count latched at the mark and not yet seen by the axis.
    pub latched: Option<i64>,
    /// Place on the axis that the readout calls zero, m; 0 is the machine zero.
    pub readout_zero_m: f64,
    /// What the log has already told.
    pub narrator: Narrator,
    /// What time and cleaning have left beside the dirt on the scale.
    #[serde(default)]
    pub upkeep: Upkeep,
    /// Outputs of a head that sends square waves, and the control's receivers.
    #[serde(default)]
    pub square_line: SquareLine,
    /// Detection of a bad signal.
    #[serde(default)]
    pub loss: LossState,
    /// What of it has been told.
    #[serde(default)]
    pub signal: SignalWatch,
    /// Code, turns and marks.
    #[serde(default)]
    pub zero: ZeroState,
    /// Filter of the counter's input.
    #[serde(default)]
    pub filter: InputFilterState,
    /// What the brake was seen to do.
    #[serde(default)]
    pub brake: BrakeCare,
    /// What was done to make the machine safe.
    #[serde(default, skip_serializing_if = "Safety::is_untouched")]
    pub safety: Safety,
    /// The cable that is being bent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub flexing: Option<Flexing>,
}

/// A bench: what was chosen, what is broken, and where everything stands. Saving, sharing, undoing and resuming all
/// use this one value.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Bench {
    /// Format, [`BENCH_FORMAT`].
    pub format: u32,
    /// What a person can choose or turn.
    pub setup: Setup,
    /// Faults that are in.
    pub faults: Vec<Active>,
    /// Where everything stands.
    pub state: State,
}

/// Why a kept bench was refused.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum BenchError {
    /// Made by a newer program.
    #[error("this bench has format {found}; this program reads format {BENCH_FORMAT}; use a newer Countlight")]
    Newer {
        /// Its format.
        found: u32,
    },
    /// A setting out of its range.
    #[error(transparent)]
    Setting(#[from] SettingError),
    /// What set-up, faults and state come to is no bench.
    #[error(transparent)]
    Parameter(#[from] ParamError),
    /// A number of the state that cannot be.
    #[error("{what}: {error}")]
    Number {
        /// Which.
        what: &'static str,
        /// Why.
        error: NumberError,
    },
}

impl Bench {
    /// Checks a bench that came from outside.
    ///
    /// # Errors
    /// See [`BenchError`].
    pub fn check(&self) -> Result<(), BenchError> {
        if self.format > BENCH_FORMAT {
            return Err(BenchError::Newer { found: self.format });
        }
        names::check_all(&self.setup)?;
        let number = |what, value, low, high| {
            crate::numbers::check(value, low, high).map(|_| ()).map_err(|error| BenchError::Number { what, error })
        };
        for fault in &self.faults {
            number("severity of a fault", fault.severity, 0.0, 1.0)?;
            number("place of a fault", fault.at_m, -1.0, 10.0)?;
        }
        let (low, high) = if self.setup.machine().spec().endless { (-1001.0, 1001.0) } else { (-1.0, 10.0) };
        number("place of the table", self.state.axis.plant.x, low, high)?;
        number("angle of the motor", self.state.axis.plant.theta, -1e7, 1e7)?;
        number("speed of the motor", self.state.axis.plant.omega, -1e6, 1e6)?;
        number("growth of the screw", self.state.axis.train.growth, -0.01, 0.01)?;
        number("speed of the table", self.state.axis.plant.v, -100.0, 100.0)?;
        number("zero of the readout", self.state.readout_zero_m, -10.0, 10.0)?;
        if let Some(flexing) = &self.state.flexing {
            number("place of the tool on the cable", flexing.at_m(), -1.0, 10.0)?;
        }
        number("motor current", self.state.axis.plant.current, -1000.0, 1000.0)?;
        self.state.upkeep.check().map_err(|(what, error)| BenchError::Number { what, error })?;
        Ok(params_after(&self.setup, &self.faults, &self.state.dirt, &self.state.upkeep).check()?)
    }
}
