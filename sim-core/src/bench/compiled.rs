//! What follows from set-up, faults and dirt and is worked out once per change: never part of the state.

use super::zero::code_reader;
use crate::axis::AxisParams;
use crate::axis::STEP;
use crate::axis::two_mass::TwoMassParams;
use crate::chain::absolute::CodeReader;
use crate::chain::analog::{AnalogForm, AnalogParams, SampleTable, one_pole_gain};
use crate::chain::counter::Levels;
use crate::chain::interference::Pickup;
use crate::chain::lamp::{LampState, WAVELENGTH_STEP_M};
use crate::chain::light::GapTable;
use crate::chain::line::Driver;
use crate::chain::mark::MarkTrack;
use crate::chain::photo::{HEALTHY_HEAD, HeadCondition, HeadOptics, Illumination};
use crate::chain::square_line::{SquareLineParams, carries};
use crate::chain::wiring::Wiring;
use crate::monitor::WatchParams;
use crate::num::math::{atan2_turns, nearest};
use crate::params::{Params, coded_marks, turn_search};
use crate::scale::{ScaleId, ScaleSpec};
use crate::surface::{SurfaceGains, SurfaceIndex};

/// The compiled bench.
#[derive(Clone, Debug)]
pub struct Compiled {
    /// Light behind the grating over the gap; belongs to `scale`.
    pub table: GapTable,
    scale: ScaleId,
    /// Shift of the wavelength that the table is built for, steps.
    shift: i64,
    /// Light of the lamp against a new one at the same drive.
    lamp_output: f64,
    /// The head over the scale.
    pub optics: HeadOptics,
    /// Dirt and damage, for look-ups.
    pub surface: SurfaceIndex,
    /// Amplifier.
    pub analog: AnalogParams,
    /// Its coefficients per number of samples in a step.
    pub samples: SampleTable,
    /// Driver in the head.
    pub driver: Driver,
    /// Conductors and terminals.
    pub wiring: Wiring,
    /// Lift of the head's 0 V by the supply current, V.
    pub ground_v: f64,
    /// What the surroundings add.
    pub pickup: Pickup,
    /// Reference mark; `None` where the parameters give none.
    pub mark: Option<MarkTrack>,
    /// Absolute head; `None` where the lines are counted only.
    pub code: Option<CodeReader>,
    /// Supply at the head, V.
    pub head_v: f64,
    /// Response of the input's channels (rows) to the head's (columns), V/V, and what they show at rest, V.
    response: [[f64; 2]; 2],
    rest_v: [f64; 2],
    /// Line of a head that sends square waves.
    pub square_line: SquareLineParams,
    /// Whether A and B get over that line at all; true where the channels themselves are sent.
    line_ok: [bool; 2],
    /// Squared periods per signal period that the head makes; `None` where it sends the channels themselves.
    squares: Option<u32>,
    /// Axis.
    pub axis: AxisParams,
    /// Monitors.
    pub watch: WatchParams,
}

/// What the light makes of the channels at one place.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Swing {
    /// Amplitude of A and B, V.
    pub amplitude_v: [f64; 2],
    /// Amplitude that the input needs, V: the worse of both channels.
    pub needed_v: f64,
    /// Share of the lines' pattern that gets through, 0..1.
    pub contrast: f64,
    /// Whether A and B can switch: strong enough, not too far off their middle, and over the line.
    pub ok: [bool; 2],
}

impl Compiled {
    /// Works everything out.
    pub fn new(params: &Params) -> Self {
        Self::with_table(params, table_of(params))
    }

    /// Works everything out again after a change; the gap table is kept while the scale is the same.
    pub fn again(self, params: &Params) -> Self {
        let same = self.scale == params.scale.id && self.shift == shift_of(params);
        if same { Self::with_table(params, self.table) } else { Self::new(params) }
    }

    fn with_table(params: &Params, table: GapTable) -> Self {
        let mut condition: HeadCondition = HEALTHY_HEAD;
        for (field, (signal, mean)) in condition.iter_mut().zip(params.window_dirt.factors(&params.scale)) {
            field.signal *= params.window * signal;
            field.mean *= params.window * mean;
            field.ambient_a = params.ambient_a;
        }
        let light = params.lamp.illumination(&LampState::new(&params.lamp));
        let point = params.supply_point();
        let nominal = AnalogParams::nominal(&params.scale);
        let [gain_a, gain_b] = params.channel_gain;
        let analog = AnalogParams {
            gain_ohm: [gain_a * nominal.gain_ohm[0], gain_b * nominal.gain_ohm[1]],
            offsets_v: params.offset_v,
            noise_scale: params.noise,
            supply_v: point.head_v,
            ..nominal
        };
        let surface = SurfaceIndex::for_head(&params.surface, &params.scale, params.alignment.track_offset());
        let (driver, wiring) = (Driver::new(&params.wiring.driver), Wiring::new(&params.wiring));
        let square_line = params.square_line(point.ground_v);
        let squares = params.squared().then(|| params.factor());
        let line_ok = if squares.is_some() { carries(&square_line, &driver, &wiring) } else { [true; 2] };
        // Square waves are judged where they are made: in the head.
        let (response, rest_v) =
            if squares.is_some() { AS_IT_IS } else { response_of(&driver, &wiring, point.ground_v, params.mean_v()) };
        let mut axis = AxisParams::from_spec(&params.machine, params.believed_count_m());
        axis.plant = TwoMassParams { body: params.plant, ..params.masses };
        axis.current_share = axis.plant.body.current_share(STEP);
        axis.train = params.train;
        axis.turn_search = turn_search(&params.machine, params.square_m());
        axis.servo.stored_kv = params.stored_kv;
        axis.servo.stored_kff = params.stored_kff;
        axis.switch = params.zero.switch;
        axis.switch_stuck = params.zero.switch_stuck;
        let creep = params.machine.home.creep_speed;
        let (layout, square_m, count_m) = (&params.mark.layout, params.square_m(), axis.scale_count);
        axis.coded_marks = coded_marks(layout, params.scale.period_m, square_m, count_m, creep);
        axis.servo.dead_zone = axis.servo.dead_zone.abs();
        params.enter(&mut axis);
        let mut commissioned = params.machine;
        commissioned.control.kv = params.stored_kv;
        commissioned.control.kff = params.stored_kff;
        Self {
            optics: HeadOptics::new(&params.scale, &table, &params.alignment.at(0.0, 0.0).pose, light, &condition),
            lamp_output: params.lamp.output(),
            scale: params.scale.id,
            shift: shift_of(params),
            table,
            mark: MarkTrack::new(&params.mark, &surface).ok(),
            code: code_reader(params, light.drive * light.ageing, axis.servo.position_period),
            surface,
            driver,
            wiring,
            ground_v: point.ground_v,
            pickup: Pickup::new(&params.interference),
            head_v: point.head_v,
            response,
            rest_v,
            square_line,
            line_ok,
            squares,
            samples: SampleTable::new(analog.bandwidth_hz),
            analog,
            axis,
            watch: params.watch(&commissioned),
        }
    }

    /// How bright the lamp is.
    pub fn light_of(&self, lamp: &LampState) -> Illumination {
        Illumination { drive: lamp.drive, ageing: self.lamp_output }
    }

    /// What the input sees of the head's channels at rest, V; of a head that sends square waves, their levels.
    pub fn at_input(&self, head_v: [f64; 2]) -> [f64; 2] {
        if let Some(factor) = self.squares {
            let step = libm::floor(4.0 * f64::from(factor) * atan2_turns(head_v[1], head_v[0]));
            let Levels { a, b } = Levels::of_state(step as i64 + 2);
            let legs = self.driver.squared([a, b, false]).lifted(self.ground_v);
            let [a, b, _] = self.wiring.network().apply(&legs).difference_v;
            return [a, b];
        }
        let legs = self.driver.analog([head_v[0], head_v[1], 0.0]).lifted(self.ground_v);
        let [a, b, _] = self.wiring.network().apply(&legs).difference_v;
        [a, b]
    }

    /// Amplitudes and means of A and B as the head sends them, at rest, V.
    pub fn head_levels(&self, params: &Params, gains: &[SurfaceGains; 4]) -> ([f64; 2], [f64; 2]) {
        let gain = self.analog.gain_ohm;
        match self.analog.form {
            AnalogForm::Differential => (
                [
                    gain[0] * self.optics.pair_amplitude_a(0, 2, gains),
                    gain[1] * self.optics.pair_amplitude_a(1, 3, gains),
                ],
                params.offset_v,
            ),
            AnalogForm::SingleEnded { dark_v } => {
                let (a, b) = (self.optics.field_swing_a(0, gains), self.optics.field_swing_a(1, gains));
                (
                    [gain[0] * a.0, gain[1] * b.0],
                    [dark_v + gain[0] * a.1 + params.offset_v[0], dark_v + gain[1] * b.1 + params.offset_v[1]],
                )
            }
        }
    }

    /// Means of A and B at the input, V, of those that the head sends.
    pub fn means_at_input(&self, params: &Params, head_v: [f64; 2]) -> [f64; 2] {
        [0, 1].map(|row: usize| {
            let shift = |k: usize| self.response[row][k] * (head_v[k] - params.mean_v());
            let offset_v = if self.squares.is_some() { 0.0 } else { params.input.offset_v[row] };
            self.rest_v[row] + shift(0) + shift(1) + offset_v
        })
    }

    /// Amplitudes, the need of the input and the contrast at a speed, with what the surface does to each field.
    pub fn swing(&self, params: &Params, gains: &[SurfaceGains; 4], speed_mps: f64) -> Swing {
        let pass = one_pole_gain(speed_mps / params.scale.period_m, self.analog.bandwidth_hz);
        let half_v =
            |k: usize| 0.5 * if self.squares.is_some() { params.square } else { params.comparator(k) }.hysteresis_v;
        let need = |k: usize, mean_v: f64| (params.square.threshold_v - mean_v).abs() + half_v(k);
        let (head_v, means_v) = self.head_levels(params, gains);
        // Through driver, cable and terminals; A and B are a quarter period apart, so crossed shares add as squares.
        let at_input = |row: usize| {
            let (of_a, of_b) = (self.response[row][0] * head_v[0], self.response[row][1] * head_v[1]);
            pass * (of_a * of_a + of_b * of_b).sqrt()
        };
        let amplitude_v = [at_input(0), if params.two_sensors { at_input(1) } else { 0.0 }];
        let means_v = self.means_at_input(params, means_v);
        let needed_v = match &params.interpolate {
            Some(interpolate) => interpolate.hold_v,
            None if params.two_sensors => need(0, means_v[0]).max(need(1, means_v[1])),
            None => need(0, means_v[0]),
        };
        let ok = [0, 1].map(|k: usize| {
            let needs_v = match &params.interpolate {
                // The vector must be long enough and go round its middle.
                Some(interpolate) => interpolate.hold_v.max(means_v[k].abs()),
                None => need(k, means_v[k]),
            };
            self.line_ok[k] && (amplitude_v[k] >= needs_v || (k == 1 && !params.two_sensors))
        });
        let used = params.scale.fields.len().min(4);
        let contrast = gains.iter().take(used).map(|g: &SurfaceGains| g.ac).sum::<f64>() / used as f64;
        Swing { amplitude_v, needed_v, contrast, ok }
    }
}

/// Response and rest of channels that are taken as they are.
const AS_IT_IS: ([[f64; 2]; 2], [f64; 2]) = ([[1.0, 0.0], [0.0, 1.0]], [0.0; 2]);

/// Steps of wavelength by which the lamp's temperature shifts the light.
fn shift_of(params: &Params) -> i64 {
    nearest(params.lamp.table_shift_m() / WAVELENGTH_STEP_M) as i64
}

/// The gap table at the lamp's temperature.
fn table_of(params: &Params) -> GapTable {
    let shifted =
        ScaleSpec { wavelength_m: params.scale.wavelength_m + params.lamp.table_shift_m(), ..params.scale.clone() };
    GapTable::build(&shifted)
}

/// How the input answers to the head's channels about their mean level, through driver and wiring.
fn response_of(driver: &Driver, wiring: &Wiring, ground_v: f64, mean_v: f64) -> ([[f64; 2]; 2], [f64; 2]) {
    const NUDGE_V: f64 = 0.01;
    let see = |a: f64, b: f64| wiring.network().apply(&driver.analog([a, b, 0.0]).lifted(ground_v)).difference_v;
    let rest = see(mean_v, mean_v);
    let (by_a, by_b) = (see(mean_v + NUDGE_V, mean_v), see(mean_v, mean_v + NUDGE_V));
    let row = |i: usize| [(by_a[i] - rest[i]) / NUDGE_V, (by_b[i] - rest[i]) / NUDGE_V];
    ([row(0), row(1)], [rest[0], rest[1]])
}

/// Length of a step, s; the model has one.
pub const STEP_S: f64 = STEP;
