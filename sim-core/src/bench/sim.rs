//! The running bench: steps in the order of the chain, and nothing else. A run is a pure function of the bench and
//! the commands.

use super::compiled::{Compiled, STEP_S, Swing};
use super::narrator::{Narrator, Sight};
use super::state::{BENCH_FORMAT, Bench, State};
use crate::axis::homing::HomingState;
use crate::axis::{AxisCommand, AxisInput, AxisState, DriveMode, Travelled};
use crate::chain::alignment::AlignmentState;
use crate::chain::analog::{self, AnalogForm, AnalogState, SAMPLES_MAX};
use crate::chain::counter::{CounterState, Levels};
use crate::chain::interference::{InterferenceState, InterferenceStep};
use crate::chain::interpolate::InterpolateState;
use crate::chain::lamp::{self, LampState};
use crate::chain::mark::MarkCursor;
use crate::chain::photo::Photocurrents;
use crate::chain::square::SquareState;
use crate::chain::wiring::WiringState;
use crate::event::{Event, What};
use crate::fault::Active;
use crate::monitor::{MonitorEvent, Reaction, Watch};
use crate::params::{Params, params_of};
use crate::record::{Doing, Record, Sample, Tap};
use crate::scene::Scene;
use crate::setup::Setup;
use crate::surface::{SurfaceCursor, SurfaceMap};

/// Samples taken in a light period of travel, at least (axis model, conventions).
const SAMPLES_PER_PERIOD: f64 = 16.0;

/// A bench with everything that it takes to step it.
#[derive(Clone, Debug)]
pub struct Sim {
    pub(super) bench: Bench,
    pub(super) params: Params,
    pub(super) compiled: Compiled,
    cursor: SurfaceCursor,
    mark_cursor: MarkCursor,
    around: InterferenceStep,
    record: Record,
    pub(super) pending: Vec<What>,
}

impl Sim {
    /// A healthy bench as if it had just been homed, holding at a place, m from machine zero.
    pub fn start(setup: Setup, seed: u32, start_m: f64) -> Self {
        let faults = Vec::new();
        let params = params_of(&setup, &faults, &SurfaceMap::default());
        let compiled = Compiled::new(&params);
        let q = params.metres_per_count();
        // In the middle of a count's stretch, so that noise cannot decide the first count.
        let table_m = (libm::floor(start_m / q + 1e-6) + 0.5) * q;
        let mut axis = AxisState::at_rest(&compiled.axis, table_m, 0);
        let counts = libm::floor(table_m / q) as i64 * params.sign as i64;
        axis.scale_zero = -counts;
        axis.motor_zero -= libm::round(table_m / compiled.axis.servo.motor_count()) as i64;
        axis.homing.state = HomingState::Referenced { switch_to_mark: -compiled.axis.home.switch_at };
        let state = State {
            dirt: SurfaceMap::default(),
            axis,
            watch: Watch::default(),
            alignment: AlignmentState::settled(&params.alignment, 0.0),
            lamp: LampState::new(&params.lamp),
            interference: InterferenceState::new(u64::from(seed)),
            wiring: WiringState::new(u64::from(seed)),
            analog: AnalogState::new(u64::from(seed)),
            squares: [SquareState::default(); 2],
            interpolate: InterpolateState::default(),
            counter: CounterState::default(),
            latched: None,
            readout_zero_m: 0.0,
            narrator: Narrator::default(),
        };
        let bench = Bench { format: BENCH_FORMAT, setup, faults, state };
        let mut sim = Self::with(bench, params, compiled);
        sim.settle();
        // On a bench that was just switched on there is nothing to acknowledge.
        let input = sim.axis_input();
        let on = sim.bench.state.axis.command(&sim.compiled.axis, &input, AxisCommand::SwitchOn);
        debug_assert!(on.is_ok(), "a fresh drive can be switched on");
        sim.refresh_record();
        sim
    }

    fn with(bench: Bench, params: Params, compiled: Compiled) -> Self {
        Self {
            bench,
            params,
            compiled,
            cursor: SurfaceCursor::default(),
            mark_cursor: MarkCursor::default(),
            around: InterferenceStep::default(),
            record: Record::default(),
            pending: Vec::new(),
        }
    }

    /// The start of a scene, with its settings made.
    pub fn of_scene(scene: &Scene) -> Self {
        let mut setup = Setup::healthy(scene.bench);
        for (setting, value) in &scene.set.0 {
            // Values of a scene were checked when it was read; a wrong one leaves the healthy setting.
            let _ = setting.set(&mut setup, value);
        }
        Self::start(setup, scene.seed, scene.start_mm.get() * 1e-3)
    }

    /// Goes on with a kept bench.
    ///
    /// # Errors
    /// When the bench is not one that could have been kept.
    pub fn resume(bench: Bench) -> Result<Self, super::state::BenchError> {
        bench.check()?;
        let params = params_of(&bench.setup, &bench.faults, &bench.state.dirt);
        let compiled = Compiled::new(&params);
        let mut sim = Self::with(bench, params, compiled);
        sim.refresh_record();
        Ok(sim)
    }

    /// The bench as it stands.
    pub fn bench(&self) -> &Bench {
        &self.bench
    }

    /// The parameters in force.
    pub fn params(&self) -> &Params {
        &self.params
    }

    /// What follows from the parameters.
    pub fn compiled(&self) -> &Compiled {
        &self.compiled
    }

    /// The end of the last step.
    pub fn record(&self) -> &Record {
        &self.record
    }

    /// Faults that are in.
    pub fn faults(&self) -> &[Active] {
        &self.bench.faults
    }

    /// Model time, s.
    pub fn time_s(&self) -> f64 {
        self.bench.state.axis.step as f64 * STEP_S
    }

    /// Many steps.
    pub fn advance<T: Tap>(&mut self, steps: u64, tap: &mut T) {
        for _ in 0..steps {
            self.step(tap);
        }
    }

    /// One step of 50 us, in the order of the chain.
    pub fn step<T: Tap>(&mut self, tap: &mut T) {
        let start_s = self.time_s();
        let input = self.axis_input();
        self.bench.state.latched = None;
        let out = self.bench.state.axis.control(&self.compiled.axis, &input);
        let mut raised: Vec<MonitorEvent> = Vec::new();
        self.bench.state.watch.step(&self.compiled.watch, &out, |event| raised.push(event));
        for event in raised {
            self.react(event);
        }
        let way = self.bench.state.axis.advance(&self.compiled.axis);
        let light = self.read_head(start_s, way, tap);
        self.finish(light, tap);
    }

    fn react(&mut self, event: MonitorEvent) {
        let warning = event.reaction <= Reaction::R1;
        self.pending.push(What::Monitor { kind: event.kind, value: event.value, limit: event.limit, warning });
        if let Some(stop) = event.reaction.stop() {
            self.bench.state.axis.react(&self.compiled.axis, stop);
        }
    }

    /// Reads the head over the stretch that the table went: light, currents, volts, edges, counts.
    fn read_head<T: Tap>(&mut self, start_s: f64, way: Travelled, tap: &mut T) -> Photocurrents {
        let (state, params, compiled) = (&mut self.bench.state, &self.params, &mut self.compiled);
        let placed = params.alignment.step(&mut state.alignment, way.from, way.to, start_s + STEP_S);
        let shift = placed.shift_m;
        let (from_m, to_m) = (way.from + shift.0, way.to + shift.1);
        let cursor = &mut self.cursor;
        compiled.optics.follow(&params.scale, &compiled.table, &placed.pose, to_m, &compiled.surface, cursor);
        let mean_a = compiled.optics.mean_current_a(to_m, &compiled.surface, cursor);
        lamp::step(&params.lamp, &mut state.lamp, mean_a, STEP_S);
        let light_now = params.lamp.illumination(&state.lamp);
        compiled.optics.set_illumination(light_now);
        if let Some(mark) = &mut compiled.mark {
            mark.set_light(light_now.drive * light_now.ageing * params.window);
        }
        let dx = to_m - from_m;
        let step_number = state.axis.step;
        let by_motion = 1.0 + libm::ceil(SAMPLES_PER_PERIOD * dx.abs() / params.scale.period_m);
        let by_motion = if by_motion < f64::from(SAMPLES_MAX) { by_motion as u32 } else { SAMPLES_MAX };
        let matters_v = 0.5 * params.square.hysteresis_v;
        let by_bursts = compiled.pickup.samples_wanted(step_number, &state.interference, matters_v);
        let samples = by_motion.max(by_bursts).clamp(1, SAMPLES_MAX);
        compiled.pickup.begin(step_number, samples, &mut state.interference, &mut self.around);
        let follow = compiled.wiring.follow(samples);
        let coefficients = compiled.samples.of(samples);
        let share = 1.0 / f64::from(samples);
        // A single-ended head takes common mode as signal; a pair carries it on both conductors.
        let single = compiled.analog.form != AnalogForm::Differential;
        let lift = if single { 0.0 } else { 1.0 };
        // Noise follows the mean light, which hardly changes within a step.
        let mut light = compiled.optics.currents(from_m, &compiled.surface, cursor);
        let sigma_v = compiled.analog.noise_v(&light);
        for i in 1..=samples {
            let done = f64::from(i) * share;
            let x_m = from_m + dx * done;
            let (compiled, state) = (&self.compiled, &mut self.bench.state);
            light = compiled.optics.currents(x_m, &compiled.surface, &mut self.cursor);
            let around = compiled.pickup.sample(&mut self.around, &mut state.interference);
            if self.params.ambient_a > 0.0 {
                around.add_lamp_ripple(&mut light, &[self.params.ambient_a; 4]);
            }
            let head = analog::step_with(&compiled.analog, &mut state.analog, &light, &coefficients, sigma_v);
            let legs =
                compiled.driver.analog([head.a_v, head.b_v, 0.0]).lifted(compiled.ground_v + lift * around.common_v);
            let place_m = way.from + (way.to - way.from) * done;
            let pairs = compiled.wiring.step(&mut state.wiring, &legs, place_m, STEP_S * share, &follow);
            let a_v = pairs.difference_v[0] + around.differential_v[0];
            let b_v = if self.params.two_sensors { pairs.difference_v[1] + around.differential_v[1] } else { 0.0 };
            let levels = self.count(x_m, a_v, b_v);
            if T::SAMPLES {
                tap.sample(&Sample {
                    time_s: start_s + STEP_S * done,
                    table_m: place_m,
                    a_v,
                    b_v,
                    square_a: levels.a,
                    square_b: levels.b,
                    count: self.bench.state.counter.count,
                });
            }
        }
        light
    }

    /// Volts to levels to counts.
    fn count(&mut self, x_m: f64, a_v: f64, b_v: f64) -> Levels {
        let (state, params) = (&mut self.bench.state, &self.params);
        let lit = self.compiled.mark.as_ref().is_none_or(|mark| mark.seen(x_m, &mut self.mark_cursor));
        let mark = mark_window(params, x_m) && lit;
        let counter = &mut state.counter;
        let latched = &mut state.latched;
        match &params.interpolate {
            Some(interpolate) => {
                state.interpolate.step(interpolate, a_v, b_v, |levels| {
                    *latched = counter.step(&params.counter, levels, mark).latched.or(*latched);
                });
                state.interpolate.levels()
            }
            None => {
                let a = state.squares[0].step(&params.square, a_v);
                let b = params.two_sensors && state.squares[1].step(&params.square, b_v);
                let levels = Levels { a, b };
                *latched = counter.step(&params.counter, levels, mark).latched.or(*latched);
                levels
            }
        }
    }

    fn finish<T: Tap>(&mut self, light: Photocurrents, tap: &mut T) {
        let swing = self.make_record(light);
        let sight = Sight {
            params: &self.params,
            swing: &swing,
            table_m: self.record.table_m,
            counted_m: self.record.counted_m,
            count: self.record.count,
            illegal: self.record.illegal,
            mode: self.bench.state.axis.mode,
            homing: &self.bench.state.axis.homing.state,
            speed_mps: self.record.speed_mps,
        };
        let pending = &mut self.pending;
        self.bench.state.narrator.look(&sight, |what| pending.push(what));
        self.record.blind = self.bench.state.narrator.blind();
        for what in self.pending.drain(..) {
            tap.event(&Event { time_s: self.record.time_s, place_m: self.record.table_m, what });
        }
        tap.record(&self.record);
    }

    /// Fills the record from the state; the light of the last sample is given.
    fn make_record(&mut self, light: Photocurrents) -> Swing {
        let swing = self.swing();
        let (state, axis) = (&self.bench.state, &self.compiled.axis);
        let (error, expected) = (state.axis.servo.error, state.axis.servo.expected_error);
        let count = state.counter.count;
        self.record = Record {
            step: state.axis.step,
            time_s: self.time_s(),
            table_m: state.axis.plant.x,
            speed_mps: state.axis.plant.v,
            command_m: state.axis.motion.x_ref(),
            command_mps: state.axis.motion.v_cmd(),
            counted_m: state.axis.x_scale(axis, count),
            readout_m: state.axis.x_scale(axis, count) - state.readout_zero_m,
            motor_m: state.axis.x_motor(axis),
            error_m: error,
            expected_m: expected,
            band_m: self.band(expected),
            current_a: state.axis.plant.current,
            gap_m: self.compiled.optics.gap_m(),
            lit: light.lit,
            photocurrent_a: light.field,
            contrast: swing.contrast,
            light: self.compiled.optics.brightness() * self.params.window,
            lamp_used: self.params.lamp.reading(&state.lamp).used,
            head_supply_v: self.compiled.head_v,
            amplitude_a_v: swing.amplitude_v[0],
            amplitude_b_v: swing.amplitude_v[1],
            needed_v: swing.needed_v,
            count,
            direction: state.counter.direction,
            illegal: state.counter.illegal_count,
            blind: state.narrator.blind(),
            doing: match state.axis.mode {
                DriveMode::Off => Doing::Off,
                DriveMode::Holding => Doing::Holding,
                DriveMode::Moving => Doing::Moving,
                DriveMode::Homing => Doing::Homing,
                DriveMode::Stopping => Doing::Stopping,
                DriveMode::Tripped => Doing::Tripped,
            },
            alarm: state.watch.primary.is_some(),
            referenced: state.axis.referenced(),
            home_switch: state.axis.switch_pressed(axis),
        };
        swing
    }

    /// Alarm band of the following error, m.
    fn band(&self, expected_m: f64) -> (f64, f64) {
        use crate::axis::machine::FollowingStyle;
        let following = &self.params.machine.following;
        match following.style {
            FollowingStyle::Model => (expected_m - following.moving_band, expected_m + following.moving_band),
            FollowingStyle::Fixed => (-following.moving_band, following.moving_band),
        }
    }

    fn swing(&mut self) -> Swing {
        let plant = &self.bench.state.axis.plant;
        self.compiled.swing(&self.params, plant.x, plant.v, &mut self.cursor)
    }

    pub(super) fn axis_input(&self) -> AxisInput {
        AxisInput { scale_count: self.bench.state.counter.count, latched: self.bench.state.latched }
    }

    /// Lets the head settle at rest where it stands: amplifier charged, levels known, nothing counted.
    pub(super) fn settle(&mut self) {
        let x_m = self.bench.state.axis.plant.x;
        self.bench.state.lamp = LampState::new(&self.params.lamp);
        self.place_head();
        let mean_a = self.compiled.optics.mean_current_a(x_m, &self.compiled.surface, &mut self.cursor);
        let constant_a = self.params.ambient_a + self.params.scale.dark_current_a;
        self.bench.state.lamp.settle(&self.params.lamp, mean_a, constant_a);
        let light = self.place_head();
        let count = self.bench.state.counter.count;
        let (compiled, state) = (&self.compiled, &mut self.bench.state);
        state.analog.settle(&compiled.analog, &light);
        let head = analog::step(&compiled.analog, &mut state.analog, &light, &compiled.samples.of(1));
        let legs = compiled.driver.analog([head.a_v, head.b_v, 0.0]).lifted(compiled.ground_v);
        state.wiring.settle(&compiled.wiring, &legs);
        let seen = compiled.wiring.network().apply(&legs).difference_v;
        let (a_v, b_v) = (seen[0], if self.params.two_sensors { seen[1] } else { 0.0 });
        state.interpolate = InterpolateState::default();
        for (square, v) in state.squares.iter_mut().zip([a_v, b_v]) {
            square.level = v > self.params.square.threshold_v;
        }
        state.counter = CounterState::at(count);
        self.count(x_m, a_v, b_v);
        self.bench.state.counter.count = count;
        self.bench.state.latched = None;
        let counted_m = self.bench.state.axis.x_scale(&self.compiled.axis, count);
        self.bench.state.narrator.begin(x_m, counted_m, count, self.params.metres_per_count());
    }

    pub(super) fn refresh_record(&mut self) {
        let light = self.place_head();
        self.make_record(light);
    }

    /// Puts the head over the place where the table stands, as bright as the lamp is, and gives its currents.
    fn place_head(&mut self) -> Photocurrents {
        let (x_m, time_s) = (self.bench.state.axis.plant.x, self.time_s());
        let (state, params, compiled) = (&self.bench.state, &self.params, &mut self.compiled);
        let placed = params.alignment.at(x_m, time_s);
        let read_m = x_m + state.alignment.shift_m;
        let cursor = &mut self.cursor;
        compiled.optics.follow(&params.scale, &compiled.table, &placed.pose, read_m, &compiled.surface, cursor);
        compiled.optics.set_illumination(params.lamp.illumination(&state.lamp));
        compiled.optics.currents(read_m, &compiled.surface, cursor)
    }
}

/// Whether the head is where the reference mark is gated: one squared period, centred on the state that latches.
fn mark_window(params: &Params, x_m: f64) -> bool {
    let square_m = params.scale.period_m / f64::from(params.interpolate.as_ref().map_or(1, |i| i.factor));
    (x_m - params.machine.home.mark_at - square_m / 8.0).abs() < square_m / 4.0
}

/// Runs a scene from start to end: nothing but the scene decides what comes out.
pub fn run<T: Tap>(scene: &Scene, tap: &mut T) -> Sim {
    let mut sim = Sim::of_scene(scene);
    let step_of = |seconds: f64| libm::round(seconds / STEP_S) as u64;
    let mut done = 0;
    for timed in &scene.steps {
        let due = step_of(timed.at_s.get());
        sim.advance(due.saturating_sub(done), tap);
        done = done.max(due);
        if let Err(why) = sim.command(&timed.command) {
            sim.pending.push(What::Refused { why });
        }
    }
    sim.advance(step_of(scene.duration_s.get()).saturating_sub(done), tap);
    sim
}
