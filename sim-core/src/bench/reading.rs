//! Reading the head over a step: light, currents, volts, edges, counts, in the order of the chain.

use super::compiled::STEP_S;
use super::flexing::Flexing;
use super::flicker::light_now;
use super::sim::Sim;
use super::squared::SAMPLES_PER_SQUARE;
use crate::axis::Travelled;
use crate::chain::analog::{self, AnalogForm, SAMPLES_MAX};
use crate::chain::counter::{CounterState, Levels};
use crate::chain::interference::Interference;
use crate::chain::interpolate::InterpolateState;
use crate::chain::lamp::{self, LampState};
use crate::chain::loss::{Moment, SignalFault};
use crate::chain::photo::{Photocurrents, Sweep};
use crate::record::{Sample, Tap};
use crate::surface::SurfaceGains;

/// What the control sees of one sample.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Seen {
    /// Channels A and B at the terminals, V.
    pub(super) v: [f64; 2],
    /// Their levels.
    pub(super) levels: Option<Levels>,
    /// What is wrong with the signal.
    pub(super) fault: Option<SignalFault>,
}

/// Samples taken in a light period of travel, at least (axis model, conventions).
const SAMPLES_PER_PERIOD: f64 = 16.0;

/// The way of the head over the scale in one step.
#[derive(Clone, Copy, Debug)]
pub(super) struct Passage {
    /// Where on the scale it reads at the start and at the end, m.
    pub from_m: f64,
    pub to_m: f64,
    /// What the surface does to the light there.
    pub gains: ([SurfaceGains; 4], [SurfaceGains; 4]),
}

impl Sim {
    /// Reads the head over the stretch that the table went: light, currents, volts, edges, counts.
    pub(super) fn read_head<T: Tap>(&mut self, start_s: f64, way: Travelled, tap: &mut T) -> Photocurrents {
        let passage = self.lead_head(start_s, way);
        let Passage { from_m, to_m, .. } = passage;
        let (state, params, compiled) = (&mut self.bench.state, &self.params, &mut self.compiled);
        let dx = to_m - from_m;
        let step_number = state.axis.step;
        let per_period = if params.squared() {
            SAMPLES_PER_PERIOD.max(SAMPLES_PER_SQUARE * f64::from(params.factor()))
        } else {
            SAMPLES_PER_PERIOD
        };
        let by_motion = 1.0 + libm::ceil(per_period * dx.abs() / params.scale.period_m);
        let by_motion = if by_motion < f64::from(SAMPLES_MAX) { by_motion as u32 } else { SAMPLES_MAX };
        let matters_v = if params.squared() { params.receiver.threshold_v } else { 0.5 * params.square.hysteresis_v };
        if params.motor_bursts_v_per_a > 0.0 {
            compiled.pickup.add_bursts(params.motor_bursts_v_per_a * state.axis.plant.current.abs());
        }
        let by_bursts = compiled.pickup.samples_wanted(step_number, &state.interference, matters_v);
        let samples = by_motion.max(by_bursts).clamp(1, SAMPLES_MAX);
        compiled.pickup.begin(step_number, samples, &mut state.interference, &mut self.around);
        self.signal_seen = Seen::default();
        if params.squared() {
            return self.read_squared(start_s, way, &passage, samples, tap);
        }
        let follow = compiled.wiring.follow(samples);
        let coefficients = compiled.samples.of(samples);
        let share = 1.0 / f64::from(samples);
        // A single-ended head takes common mode as signal; a pair carries it on both conductors.
        let single = compiled.analog.form != AnalogForm::Differential;
        let lift = if single { 0.0 } else { 1.0 };
        let mut sweep = compiled.optics.sweep(from_m, to_m, [&passage.gains.0, &passage.gains.1], samples);
        // Noise follows the mean light, which hardly changes within a step.
        let sigma_v = compiled.analog.noise_v(&sweep.mean_light());
        let mut light = Photocurrents::default();
        // Taken out of the bench for the loop, so that it stays in registers (6 % of a step, measured).
        let mut amplifier = state.analog.clone();
        let bent = state.flexing.as_ref().map(Flexing::at_m);
        for i in 1..=samples {
            let done = f64::from(i) * share;
            let around = self.next_light(&mut sweep, &mut light);
            let (compiled, state) = (&self.compiled, &mut self.bench.state);
            let head = analog::step_with(&compiled.analog, &mut amplifier, &light, &coefficients, sigma_v);
            let legs =
                compiled.driver.channels([head.a_v, head.b_v]).lifted(compiled.ground_v + lift * around.common_v);
            let place_m = bent.unwrap_or(way.from + (way.to - way.from) * done);
            let seen_v = compiled.wiring.step_channels(&mut state.wiring, &legs, place_m, STEP_S * share, &follow);
            let at = i as usize - 1;
            self.samples.a_v[at] = seen_v[0] + around.differential_v[0];
            self.samples.b_v[at] = if self.params.two_sensors { seen_v[1] + around.differential_v[1] } else { 0.0 };
        }
        self.bench.state.analog = amplifier;
        if self.params.interpolate.is_some() {
            self.samples.find_phases(samples as usize, self.params.input.offset_v);
        }
        let newest = samples as usize - 1;
        self.at_input_v = [self.samples.a_v[newest], self.samples.b_v[newest]];
        let mut last = Levels { a: false, b: false };
        for i in 1..=samples {
            let (done, at) = (f64::from(i) * share, i as usize - 1);
            let x_m = from_m + dx * done;
            let levels = match self.params.control.filter {
                None => self.count(x_m, at),
                Some(filter) => self.count_filtered(&filter, x_m, at, STEP_S * share),
            };
            last = levels;
            if T::SAMPLES {
                tap.sample(&Sample {
                    time_s: start_s + STEP_S * done,
                    table_m: way.from + (way.to - way.from) * done,
                    a_v: self.samples.a_v[at],
                    b_v: self.samples.b_v[at],
                    square_a: levels.a,
                    square_b: levels.b,
                    count: self.bench.state.counter.count,
                });
            }
        }
        self.judge(start_s, way, samples, last);
        self.compiled.optics.lit(light.field)
    }

    /// Light on the fields at the next sample of a sweep, and what the surroundings add to the channels then.
    #[inline]
    pub(super) fn next_light(&mut self, sweep: &mut Sweep, light: &mut Photocurrents) -> Interference {
        light.field = self.compiled.optics.next(sweep);
        let around = self.compiled.pickup.sample(&mut self.around, &mut self.bench.state.interference);
        if self.params.ambient_a > 0.0 {
            around.add_lamp_ripple(light, &[self.params.ambient_a; 4]);
        }
        around
    }

    /// Leads the head through a step that begins at `start_s`: pose, liquid, brightness.
    pub(super) fn lead_head(&mut self, start_s: f64, way: Travelled) -> Passage {
        let (state, params, compiled) = (&mut self.bench.state, &self.params, &mut self.compiled);
        state.alignment.scale_m = compiled.axis.train.seat.shift(&state.axis.train.seat, way.to);
        // What is on a ring comes round again.
        let turns_m = params.whole_turns_m(way.from);
        let way = Travelled { from: way.from - turns_m, to: way.to - turns_m };
        let placed = params.alignment.step(&mut state.alignment, way.from, way.to, start_s + STEP_S);
        let shift = placed.shift_m;
        let (from_m, to_m) = (params.read_m(way.from, shift.0), params.read_m(way.to, shift.1));
        let cursor = &mut self.cursor;
        compiled.optics.follow(&params.scale, &compiled.table, &placed.pose, to_m, &compiled.surface, cursor);
        let mut gains = |x_m| compiled.optics.surface_gains(x_m, &compiled.surface, cursor);
        let after = gains(to_m);
        let before = if from_m == to_m { after } else { gains(from_m) };
        self.seen = after;
        lamp::step(&params.lamp, &mut state.lamp, compiled.optics.mean_current_a(&self.seen), STEP_S);
        let light = light_now(compiled.light_of(&state.lamp), params, state);
        compiled.optics.set_illumination(light);
        if let Some(mark) = &mut compiled.mark {
            mark.set_light(light.drive * light.ageing * params.window_light());
        }
        Passage { from_m, to_m, gains: (before, self.seen) }
    }

    /// What the step's samples show of the signal: their last volts, and what is wrong with them.
    fn judge(&mut self, start_s: f64, way: Travelled, samples: u32, last: Levels) {
        let n = samples as usize;
        let offset_v = self.params.input.offset_v;
        let mut fault = None;
        if let Some(limits) = self.params.watched_signal() {
            let (least, most) = limits.calm_v2();
            let calm = |a_v: f64, b_v: f64| {
                let (a_v, b_v) = (a_v + offset_v[0], b_v + offset_v[1]);
                let square = a_v * a_v + b_v * b_v;
                square >= least && square <= most
            };
            let pairs = self.samples.a_v.iter().zip(&self.samples.b_v).take(n);
            let loss = &mut self.bench.state.loss;
            if pairs.clone().fold(true, |all, (a_v, b_v)| all & calm(*a_v, *b_v)) {
                loss.calm();
            } else {
                let share = 1.0 / f64::from(samples);
                for (i, (a_v, b_v)) in pairs.enumerate() {
                    let done = (i + 1) as f64 * share;
                    let now =
                        Moment { time_s: start_s + STEP_S * done, place_m: way.from + (way.to - way.from) * done };
                    let (a_v, b_v) = (a_v + offset_v[0], b_v + offset_v[1]);
                    fault = SignalFault::worse(fault, loss.analog(limits, a_v, b_v, now, STEP_S * share));
                }
            }
        }
        self.signal_seen = Seen { v: self.at_input_v, levels: Some(last), fault };
    }

    /// Whether the head sees its reference mark at a place over the scale, m.
    pub(super) fn mark_at(&mut self, x_m: f64) -> bool {
        let square_m = self.params.square_m();
        self.compiled.mark.as_ref().is_some_and(|mark| mark.gated(x_m, square_m, &mut self.mark_cursor))
    }

    /// One of the step's samples: volts to levels to counts.
    #[inline]
    pub(super) fn count(&mut self, x_m: f64, at: usize) -> Levels {
        let mark = self.mark_at(x_m);
        let (state, params) = (&mut self.bench.state, &self.params);
        let offset_v = params.input.offset_v;
        let (a_v, b_v) = (self.samples.a_v[at] + offset_v[0], self.samples.b_v[at] + offset_v[1]);
        let counter = &mut state.counter;
        let latched = &mut state.latched;
        match &params.interpolate {
            Some(interpolate) => {
                if let Some(passed) = state.interpolate.follow(interpolate, a_v, b_v, self.samples.phase_turns[at]) {
                    let at_once = !mark && !passed.first && counter.pass(&params.counter, passed.states());
                    if !at_once {
                        passed.each(|levels| {
                            *latched = counter.step(&params.counter, levels, mark).latched.or(*latched);
                        });
                    }
                }
                state.interpolate.levels()
            }
            None => {
                let a = state.squares[0].step(&params.comparator(0), a_v);
                let b = params.two_sensors && state.squares[1].step(&params.comparator(1), b_v);
                let levels = Levels { a, b };
                *latched = counter.step(&params.counter, levels, mark).latched.or(*latched);
                levels
            }
        }
    }

    /// Lets the head settle at rest where it stands: amplifier charged, levels known, nothing counted.
    pub(super) fn settle(&mut self) {
        let x_m = self.bench.state.axis.plant.x;
        self.bench.state.lamp = LampState::new(&self.params.lamp);
        self.place_head();
        let x_on_m = x_m - self.params.whole_turns_m(x_m);
        let read_m = self.params.read_m(x_on_m, self.bench.state.alignment.shift_m);
        let mean_a = self.compiled.optics.mean_current_a(&self.seen);
        let constant_a = self.params.ambient_a + self.params.scale.dark_current_a;
        self.bench.state.lamp.settle(&self.params.lamp, mean_a, constant_a);
        let light = self.place_head();
        let count = self.bench.state.counter.count;
        let (compiled, state) = (&self.compiled, &mut self.bench.state);
        state.analog.settle(&compiled.analog, &light);
        let head = analog::step(&compiled.analog, &mut state.analog, &light, &compiled.samples.of(1));
        if self.params.squared() {
            for (square, v) in state.squares.iter_mut().zip([head.a_v, head.b_v]) {
                square.level = v > self.params.square.threshold_v;
            }
            state.counter = CounterState::at(count);
            self.at_input_v = [head.a_v, head.b_v];
            self.settle_squares(head, read_m);
        } else {
            let legs = compiled.driver.channels([head.a_v, head.b_v]).lifted(compiled.ground_v);
            state.wiring.settle(&compiled.wiring, &legs);
            let seen = compiled.wiring.network().apply(&legs).difference_v;
            let (a_v, b_v) = (seen[0], if self.params.two_sensors { seen[1] } else { 0.0 });
            self.at_input_v = [a_v, b_v];
            state.interpolate = InterpolateState::default();
            for (square, v) in state.squares.iter_mut().zip([a_v, b_v]) {
                square.level = v > self.params.square.threshold_v;
            }
            state.counter = CounterState::at(count);
            (self.samples.a_v[0], self.samples.b_v[0]) = (a_v, b_v);
            self.samples.find_phases(1, self.params.input.offset_v);
            self.count(read_m, 0);
        }
        self.bench.state.counter.count = count;
        self.bench.state.latched = None;
        self.settle_filter();
        let counted_m = self.bench.state.axis.x_scale(&self.compiled.axis, count);
        self.bench.state.narrator.begin(x_m, counted_m, count, self.params.metres_per_count());
    }

    /// Puts the head over the place where the table stands, as bright as the lamp is, and gives its currents.
    pub(super) fn place_head(&mut self) -> Photocurrents {
        let (x_m, time_s) = (self.bench.state.axis.plant.x, self.time_s());
        let (state, params, compiled) = (&self.bench.state, &self.params, &mut self.compiled);
        let x_m = x_m - params.whole_turns_m(x_m);
        let placed = params.alignment.at(x_m, time_s);
        let read_m = params.read_m(x_m, state.alignment.shift_m);
        let cursor = &mut self.cursor;
        compiled.optics.follow(&params.scale, &compiled.table, &placed.pose, read_m, &compiled.surface, cursor);
        compiled.optics.set_illumination(light_now(compiled.light_of(&state.lamp), params, state));
        self.seen = compiled.optics.surface_gains(read_m, &compiled.surface, cursor);
        compiled.optics.currents(read_m, &compiled.surface, cursor)
    }
}
