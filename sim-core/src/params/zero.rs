//! What the zero of the axis depends on: marks, home switch, code track, turns counter.

use crate::axis::homing::{CodedMarks, SwitchParams};
use crate::axis::machine::{MachineSpec, ReferenceScheme};
use crate::chain::absolute::TurnsParams;
use crate::chain::distance_code::DistancePlan;
use crate::chain::mark::MarkLayout;
use crate::scale::ScaleSpec;
use crate::setup::{Feedback, Marks, MotorEncoderKind, Reading, Setup};
use crate::surface::{Film, SurfaceMap};

/// Distance of marks that are all alike, m (axis model, presets).
const PERIODIC_M: f64 = 20e-3;
/// First mark of the scale, m from machine zero: one spacing before it.
const FIRST_MARK_M: f64 = -20e-3;
/// Basic spacing of distance-coded marks on fine scales, m (axis model, presets).
const CODED_FINE_M: f64 = 20e-3;
/// On coarse ones, m: the coding steps of a millimetre need room (own value).
const CODED_COARSE_M: f64 = 40e-3;
/// Period from which on a scale is a coarse one, m.
const COARSE_PERIOD_M: f64 = 200e-6;
/// Search along distance-coded marks against the creep speed (own; gives the preset of the gantry).
const CODED_SEARCH: f64 = 4.0;
/// Physics step, s.
const STEP_S: f64 = crate::axis::STEP;

/// Everything about the zero that can change, SI.
#[derive(Clone, Debug, PartialEq)]
pub struct ZeroParams {
    /// Whether the place is read from a code.
    pub absolute: bool,
    /// Whether the motor encoder keeps its turns.
    pub multiturn: bool,
    /// Whether the loop takes its place from the motor encoder.
    pub motor_feedback: bool,
    /// How the home switch answers its dog.
    pub switch: SwitchParams,
    /// Level of a home switch that does not follow its dog.
    pub switch_stuck: Option<bool>,
    /// Chance that a bit of the word on the line is turned, 0 to 0.5.
    pub bit_error_rate: f64,
    /// Stretches of the code track, from and to, m, under opaque dirt that leaves the lines clean.
    pub code_dirt: Vec<[f64; 2]>,
    /// Turns counter of the motor encoder and its battery.
    pub turns: TurnsParams,
}

impl ZeroParams {
    /// The healthy zero of a set-up.
    #[must_use]
    pub fn healthy(setup: &Setup) -> Self {
        Self {
            absolute: setup.scale.reading == Reading::Absolute,
            multiturn: setup.motor.encoder == MotorEncoderKind::Multiturn,
            motor_feedback: setup.servo.feedback == Feedback::Motor,
            switch: SwitchParams::default(),
            switch_stuck: None,
            bit_error_rate: 0.0,
            code_dirt: Vec::new(),
            turns: TurnsParams::HEALTHY,
        }
    }

    /// What lies over the code track: the dirt of the lines and its own.
    #[must_use]
    pub fn code_surface(&self, lines: &SurfaceMap) -> SurfaceMap {
        // Six e-foldings: black.
        let opaque = Film { mu_t: 6.0, scatter: 0.0, kappa_s: 0.0 };
        let mut map = lines.clone();
        for [from_m, to_m] in &self.code_dirt {
            map.paint(*from_m, *to_m, opaque);
        }
        map
    }
}

/// The marks of a set-up on its scale and machine.
pub(super) fn layout(setup: &Setup, scale: &ScaleSpec, machine: &MachineSpec) -> MarkLayout {
    let at_m = machine.home.mark_at;
    if machine.endless {
        return MarkLayout::Ring { at_m, circumference_m: machine.travel };
    }
    match setup.scale.marks {
        Marks::Single => MarkLayout::Single { at_m },
        Marks::Periodic => {
            let first_m = at_m + FIRST_MARK_M;
            let count = libm::floor((machine.travel - first_m) / PERIODIC_M) as u32 + 2;
            MarkLayout::Periodic { first_m, every_m: PERIODIC_M, count }
        }
        Marks::DistanceCoded => {
            let basic_m = if scale.period_m < COARSE_PERIOD_M { CODED_FINE_M } else { CODED_COARSE_M };
            let basic_periods = libm::round(basic_m / scale.period_m) as u32;
            // The plan counts its fixed marks from 1, so its zero lies one spacing before the first.
            let zero_m = at_m + FIRST_MARK_M - f64::from(basic_periods) * scale.period_m;
            let longest = DistancePlan::longest(basic_periods, 1);
            let wanted = libm::ceil((machine.travel - FIRST_MARK_M) / basic_m) as u32;
            let coded_marks = wanted.min(longest.coded_marks);
            MarkLayout::DistanceCoded { zero_m, plan: DistancePlan { coded_marks, ..longest } }
        }
    }
}

/// Speed of the search for the one mark of a turn, m/s: as the machine has it, and slow enough for its gate.
#[must_use]
pub fn turn_search(machine: &MachineSpec, square_m: f64) -> Option<f64> {
    let on_turn = machine.reference == ReferenceScheme::MarkPerTurn;
    on_turn.then(|| machine.home.approach_speed.min(0.25 * square_m / STEP_S))
}

/// Distance-coded marks as the control knows them; `count_m` is its signed length of a count.
#[must_use]
pub fn coded_marks(layout: &MarkLayout, period_m: f64, square_m: f64, count_m: f64, creep: f64) -> Option<CodedMarks> {
    let MarkLayout::DistanceCoded { zero_m, plan } = *layout else { return None };
    // Slow enough that the gate, half a squared period, cannot pass between two samples.
    let speed = (CODED_SEARCH * creep).min(0.25 * square_m / STEP_S);
    Some(CodedMarks { plan, period: period_m, zero_at: zero_m, count: count_m, speed })
}
