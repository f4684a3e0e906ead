//! The zero of the axis on the running bench: what homing found, marks that are passed, the code that is read.

use super::sim::Sim;
use crate::axis::homing::{HomingState, ZeroNote};
use crate::axis::machine::FeedbackSource;
use crate::axis::{AxisCommand, ControlOutput, DriveMode};
use crate::chain::absolute::{CodeReadError, CodeReader, CodeWatch, ReaderParams, TurnsState};
use crate::chain::absolute::{CodeWatchParams, TurnsParams};
use crate::chain::mark::{MarkLayout, blur_m};
use crate::event::What;
use crate::monitor::code::CodeMonitors;
use crate::monitor::marks::{MarkSpacingState, mark_missing, mark_repeat};
use crate::num::random::Stream;
use crate::params::Params;
use crate::scale::OutputKind;
use crate::surface::SurfaceIndex;
use serde::{Deserialize, Serialize};
use std::f64::consts::TAU;

/// Turns that the counter of a multi-turn encoder shows at machine zero: far from both its ends.
pub(super) const TURNS_AT_ZERO: f64 = 1024.0;
/// How far beyond the hard stops the code reaches, m.
const CODE_MARGIN_M: f64 = 20e-3;
/// Share of the nominal amplitude below which the fine lines have no phase.
const FINE_SHARE: f64 = 0.2;

/// What the zero carries from step to step.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct ZeroState {
    /// Receiver of the absolute scale.
    pub code: CodeWatch,
    /// Two or more bad words ran.
    pub code_bad: bool,
    /// Words refused so far.
    pub refused: u64,
    /// Noise on code bits and line; `None` in benches kept before there was one.
    pub noise: Option<Stream>,
    /// Turns counter of the motor encoder, where it has one.
    pub turns: Option<TurnsState>,
    /// Monitors of absolute encoders.
    pub monitors: CodeMonitors,
    /// Monitor of the marks' distances.
    pub spacing: MarkSpacingState,
}

impl ZeroState {
    /// At the start of a run with this seed.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self { noise: Some(Stream::named(seed, "code")), ..Self::default() }
    }
}

/// The absolute head of a bench; `None` where the scale is read incrementally.
pub(super) fn code_reader(params: &Params, light: f64, period_s: f64) -> Option<CodeReader> {
    if !params.zero.absolute {
        return None;
    }
    let mechanics = &params.machine.mechanics;
    let surface = params.zero.code_surface(&params.surface);
    let index = SurfaceIndex::for_head(&surface, &params.scale, params.alignment.track_offset());
    let count_m = params.metres_per_count();
    let reader = ReaderParams {
        reach_m: [mechanics.stop_low - CODE_MARGIN_M, mechanics.stop_high + CODE_MARGIN_M],
        count_m,
        light: light * params.window,
        blur_m: blur_m(&params.scale, params.alignment.pose.gap_m).min(0.1),
        bit_error_rate: params.zero.bit_error_rate,
        hold_v: FINE_SHARE * params.nominal_v(),
        watch: CodeWatchParams { speed_max_m_per_s: params.machine.limits.speed, period_s, resolution_m: count_m },
    };
    CodeReader::new(&params.scale, &reader, index)
}

impl Sim {
    /// Tells what homing found and lets the monitors look at it.
    pub(super) fn look_at_zero(&mut self, out: &ControlOutput) {
        let several = !matches!(self.params.mark.layout, MarkLayout::Single { .. });
        match out.zero {
            None => {}
            // On the single mark the end of homing tells it all.
            Some(ZeroNote::Mark { count, switch_to_mark }) if several => {
                self.pending.push(What::MarkSeen { count, switch_to_mark_m: switch_to_mark });
            }
            Some(ZeroNote::Mark { .. }) => {}
            Some(ZeroNote::Located { distance, place }) => {
                self.pending.push(What::PairRead { distance_m: distance, place_m: place });
            }
            Some(ZeroNote::Confirmed { place }) => self.pending.push(What::PlaceProven { place_m: place }),
            Some(ZeroNote::Refused { error }) => self.pending.push(What::MarkRefused { why: error.to_string() }),
            Some(ZeroNote::Missing { within }) => {
                let event = self.bench.state.watch.raise(mark_missing(within));
                self.react(event);
            }
            Some(ZeroNote::Taken { moved }) => {
                self.bench.state.zero.spacing = MarkSpacingState::default();
                self.teach_turns();
                let moved = moved.map(|moved| self.on_one_turn(moved));
                let repeat = moved.and_then(|moved| mark_repeat(moved, self.spacing_counts()));
                if let Some(event) = repeat.filter(|_| several) {
                    self.react(event);
                }
            }
        }
    }

    /// A difference of counts without whole turns, where the marks come round again.
    fn on_one_turn(&self, counts: i64) -> i64 {
        if !matches!(self.params.mark.layout, MarkLayout::Ring { .. }) {
            return counts;
        }
        let turn = self.spacing_counts();
        counts - libm::round(libm::round(counts as f64 / turn) * turn) as i64
    }

    /// Spacing of the marks, counts.
    fn spacing_counts(&self) -> f64 {
        let spacing_m = match self.params.mark.layout {
            MarkLayout::Single { .. } => f64::INFINITY,
            MarkLayout::Periodic { every_m, .. } => every_m,
            MarkLayout::DistanceCoded { plan, .. } => f64::from(plan.basic_periods) * self.params.scale.period_m,
            MarkLayout::Ring { circumference_m, .. } => circumference_m,
        };
        spacing_m / self.params.metres_per_count()
    }

    /// A mark was passed with its count latched: its distance from the one before is compared with the plan.
    pub(super) fn mark_passed(&mut self, count: i64) {
        let axis = &self.bench.state.axis;
        let several = !matches!(self.params.mark.layout, MarkLayout::Single { .. });
        let Some(mark) = self.compiled.mark.as_ref().filter(|_| several && axis.referenced()) else { return };
        let x_m = axis.x_scale(&self.compiled.axis, count);
        let off = (x_m - mark.nearest(x_m).at_m) / self.params.metres_per_count();
        let Some(event) = self.bench.state.zero.spacing.step(off) else { return };
        let event = self.bench.state.watch.raise(event);
        self.react(event);
    }

    /// Where the position loop is due next, the code is read and takes the place of the count.
    pub(super) fn read_absolute(&mut self) {
        let due = self.bench.state.axis.step.is_multiple_of(u64::from(self.compiled.axis.position_steps.max(1)));
        if !due {
            return;
        }
        self.follow_turns();
        if let Some(refused) = self.take_word()
            && self.bench.state.zero.refused.is_power_of_two()
        {
            let total = self.bench.state.zero.refused;
            self.pending.push(What::CodeRefused { why: refused.to_string(), total });
        }
        if self.compiled.code.is_none() {
            return;
        }
        let bad = self.bench.state.zero.code_bad && self.bench.state.axis.powered();
        if let Some(event) = self.bench.state.zero.monitors.read(bad) {
            let event = self.bench.state.watch.raise(event);
            self.react(event);
        }
        if !self.bench.state.zero.code_bad && !self.bench.state.axis.referenced() {
            self.know_place();
        }
    }

    /// One reading of the absolute scale, if there is one: its place becomes the count. Why it was refused.
    fn take_word(&mut self) -> Option<CodeReadError> {
        let reader = self.compiled.code.as_ref()?;
        let state = &mut self.bench.state;
        let x_m = state.axis.plant.x + state.alignment.shift_m;
        let middle_v = match self.params.scale.output {
            OutputKind::Differential1Vpp => 0.0,
            OutputKind::SingleEnded { .. } => self.params.square.threshold_v,
        };
        let fine_v = [self.at_input_v[0] - middle_v, self.at_input_v[1] - middle_v];
        let noise = state.zero.noise.get_or_insert_with(|| Stream::named(0, "code"));
        let reading = reader.read(x_m, fine_v, &mut self.code_cursor, noise);
        let step = state.zero.code.step(reader.watch(), reading);
        if let Some(place_m) = step.place_m {
            state.counter.count = reader.count(place_m);
        }
        state.zero.code_bad = step.alarm || step.place_m.is_none();
        state.zero.refused += u64::from(step.refused.is_some());
        step.refused
    }

    /// The receiver starts afresh, as after switching on: the next good word is believed wherever it is. Whether the
    /// place is known.
    pub(super) fn seat_code(&mut self) -> bool {
        if self.compiled.code.is_none() {
            return false;
        }
        self.bench.state.zero.code.reset();
        self.take_word();
        let known = !self.bench.state.zero.code_bad;
        if known {
            self.know_place();
        }
        known
    }

    /// The code tells the machine's own place: no zero to be found. The loop is closed where the axis now stands.
    fn know_place(&mut self) {
        let axis = &mut self.bench.state.axis;
        axis.homing.state = HomingState::Referenced { switch_to_mark: 0.0 };
        axis.scale_zero = 0;
        let x_scale = axis.x_scale(&self.compiled.axis, self.bench.state.counter.count);
        axis.motor_zero = axis.encoder.count - libm::round(x_scale / self.compiled.axis.servo.motor_count()) as i64;
        let (x_m, count) = (axis.plant.x, self.bench.state.counter.count);
        self.bench.state.narrator.begin(x_m, x_scale, count, self.params.metres_per_count());
        self.renumbered();
    }

    /// The reading of the position jumped on purpose: the loop is closed again where the axis stands, so that nothing
    /// moves by itself.
    pub(super) fn renumbered(&mut self) {
        self.bench.state.watch.renumbered();
        let input = self.axis_input();
        let (axis, p) = (&mut self.bench.state.axis, &self.compiled.axis);
        if axis.mode == DriveMode::Holding {
            let off = axis.command(p, &input, AxisCommand::SwitchOff);
            let on = axis.command(p, &input, AxisCommand::SwitchOn);
            debug_assert!(off.is_ok() && on.is_ok(), "a holding drive can be switched off and on");
        }
    }

    /// Angle of the motor shaft as its turns counter has it, turns.
    pub(super) fn shaft_turns(&self) -> f64 {
        self.bench.state.axis.plant.theta / TAU + TURNS_AT_ZERO
    }

    /// Sets the turns counter at the shaft, where there is one: after commissioning and after homing.
    pub(super) fn teach_turns(&mut self) {
        let shaft = self.shaft_turns();
        self.bench.state.zero.turns = self.params.zero.multiturn.then(|| TurnsState::taught(shaft));
    }

    fn follow_turns(&mut self) {
        let shaft = self.shaft_turns();
        let dt = self.compiled.axis.servo.position_period;
        let params: &TurnsParams = &self.params.zero.turns;
        let state = &mut self.bench.state.zero;
        let Some(turns) = &mut state.turns else { return };
        turns.step(params, shaft, dt);
        if let Some(event) = state.monitors.battery(params, dt) {
            self.react(event);
        }
    }

    /// Whether the place is known without homing as soon as the cabinet is on.
    pub(super) fn motor_knows(&self) -> bool {
        self.params.zero.multiturn && self.params.machine.control.feedback == FeedbackSource::Motor
    }
}
