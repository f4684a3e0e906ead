//! Reading the head over a step: light, currents, volts, edges, counts, in the order of the chain.

use super::compiled::STEP_S;
use super::sim::Sim;
use crate::axis::Travelled;
use crate::chain::analog::{self, AnalogForm, SAMPLES_MAX};
use crate::chain::counter::{CounterState, Levels};
use crate::chain::interpolate::InterpolateState;
use crate::chain::lamp::{self, LampState};
use crate::chain::photo::Photocurrents;
use crate::record::{Sample, Tap};

/// Samples taken in a light period of travel, at least (axis model, conventions).
const SAMPLES_PER_PERIOD: f64 = 16.0;

impl Sim {
    /// Reads the head over the stretch that the table went: light, currents, volts, edges, counts.
    pub(super) fn read_head<T: Tap>(&mut self, start_s: f64, way: Travelled, tap: &mut T) -> Photocurrents {
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
            self.at_input_v = [a_v, b_v];
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
        let cursor = &mut self.mark_cursor;
        let mark = self.compiled.mark.as_ref().is_some_and(|mark| mark.gated(x_m, params.square_m(), cursor));
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
        self.at_input_v = [a_v, b_v];
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

    /// Puts the head over the place where the table stands, as bright as the lamp is, and gives its currents.
    pub(super) fn place_head(&mut self) -> Photocurrents {
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
