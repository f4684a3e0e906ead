//! A head that sends square waves: it interpolates and squares, its edges go over the cable one by one, and the
//! control counts what its receivers make of them.
//!
//! Within a sample the states passed through are spread evenly over it, each with its own stretch on the line: so every
//! edge is sent, received and counted, however many fall into one sample. Samples are taken at least eight per squared
//! period as long as [`SAMPLES_MAX`](crate::chain::analog::SAMPLES_MAX) a step allows (0.64 m/s at 40 um and factor 5);
//! above, counting stays as exact, but an instrument that draws the samples sees too few of them.

use super::compiled::STEP_S;
use super::flexing::Flexing;
use super::reading::{Passage, Seen};
use super::sim::Sim;
use crate::axis::Travelled;
use crate::chain::analog::{self, Channels};
use crate::chain::counter::Levels;
use crate::chain::interference::Interference;
use crate::chain::interpolate::InterpolateState;
use crate::chain::loss::{Moment, SignalFault};
use crate::chain::photo::Photocurrents;
use crate::chain::square_line::Stretch;
use crate::chain::wiring::Follow;
use crate::record::{Sample, Tap};

/// Samples per squared period, at least.
pub(super) const SAMPLES_PER_SQUARE: f64 = 8.0;

/// One sample of the head, and how the table went during it.
struct HeadSample {
    /// Channels in the head at its end.
    channels: Channels,
    /// Place of the head over the scale at its beginning and end, m.
    x_m: (f64, f64),
    /// Its end: time, and place of the table.
    now: Moment,
    /// Its length, s.
    dt_s: f64,
    /// What the surroundings add.
    around: Interference,
}

impl Sim {
    /// Reads the head over a step in `samples` samples whose edges go over the line.
    pub(super) fn read_squared<T: Tap>(
        &mut self,
        start_s: f64,
        way: Travelled,
        passage: &Passage,
        samples: u32,
        tap: &mut T,
    ) -> Photocurrents {
        let (compiled, share) = (&self.compiled, 1.0 / f64::from(samples));
        let (follow, coefficients) = (compiled.wiring.follow(samples), compiled.samples.of(samples));
        let ends_m = (passage.from_m, passage.to_m);
        let mut sweep = compiled.optics.sweep(ends_m.0, ends_m.1, [&passage.gains.0, &passage.gains.1], samples);
        let sigma_v = compiled.analog.noise_v(&sweep.mean_light());
        let (mut light, mut last_m) = (Photocurrents::default(), ends_m.0);
        for i in 1..=samples {
            let done = f64::from(i) * share;
            let around = self.next_light(&mut sweep, &mut light);
            let (compiled, state) = (&self.compiled, &mut self.bench.state);
            let channels = analog::step_with(&compiled.analog, &mut state.analog, &light, &coefficients, sigma_v);
            self.at_input_v = [channels.a_v, channels.b_v];
            let x_m = ends_m.0 + (ends_m.1 - ends_m.0) * done;
            let now = Moment { time_s: start_s + STEP_S * done, place_m: way.from + (way.to - way.from) * done };
            let seen = self
                .send_squares(&HeadSample { channels, x_m: (last_m, x_m), now, dt_s: STEP_S * share, around }, &follow);
            last_m = x_m;
            self.signal_seen = Seen { fault: SignalFault::worse(self.signal_seen.fault, seen.fault), ..seen };
            if T::SAMPLES {
                tap.sample(&Sample {
                    time_s: now.time_s,
                    table_m: now.place_m,
                    a_v: seen.v[0],
                    b_v: seen.v[1],
                    square_a: seen.levels.is_some_and(|l| l.a),
                    square_b: seen.levels.is_some_and(|l| l.b),
                    count: self.bench.state.counter.count,
                });
            }
        }
        self.compiled.optics.lit(light.field)
    }

    /// Sends one sample's edges over the line and counts what arrives.
    fn send_squares(&mut self, sample: &HeadSample, follow: &Follow) -> Seen {
        let before = self.bench.state.interpolate.turns();
        let (from, to) = self.wanted_states(sample.channels);
        let turns = (before, self.bench.state.interpolate.turns());
        let edges = (to - from).abs();
        let stretches = if edges > 0 { edges } else { self.bench.state.square_line.squaring.behind(to).abs().max(1) };
        let share = 1.0 / stretches as f64;
        let dt_s = sample.dt_s * share;
        let follow = if stretches > 1 { self.compiled.wiring.follow_for(dt_s) } else { *follow };
        let mut seen = Seen::default();
        for stretch in 1..=stretches {
            let done = stretch as f64 * share;
            let x_m = sample.x_m.0 + (sample.x_m.1 - sample.x_m.0) * done;
            let stretch = Stretch {
                wanted: if edges > 0 { from + stretch * (to - from).signum() } else { to },
                mark: self.mark_at(x_m),
                place_m: self.bench.state.flexing.as_ref().map_or(sample.now.place_m, Flexing::at_m),
                dt_s,
                around: sample.around,
            };
            let (compiled, state) = (&self.compiled, &mut self.bench.state);
            let line = &compiled.square_line;
            let ends = (&compiled.driver, &compiled.wiring);
            let arrived = state.square_line.step(line, ends, &mut state.wiring, &stretch, &follow);
            let mark = arrived.received[2].level;
            match self.params.control.filter {
                None => {
                    let latched = state.counter.step(&self.params.counter, arrived.levels(), mark).latched;
                    state.latched = latched.or(state.latched);
                }
                Some(filter) => {
                    let at = if edges > 0 { self.crossing(from, to, stretch.wanted, turns) } else { 1.0 };
                    // Its place within this stretch of the sample; what the line makes later comes at the end.
                    let at_s = ((at - (done - share)) * sample.dt_s).clamp(0.0, dt_s);
                    self.count_received(&filter, arrived.levels(), mark, (at_s, dt_s));
                }
            }
            let state = &mut self.bench.state;
            if let Some(limits) = self.params.watched_signal() {
                let found = state.loss.squared(limits, &arrived.received, sample.now, dt_s);
                seen.fault = SignalFault::worse(seen.fault, found);
            }
            seen.v = [arrived.difference_v[0], arrived.difference_v[1]];
            seen.levels = Some(arrived.levels());
        }
        if !self.params.two_sensors {
            seen.v[1] = 0.0;
        }
        seen
    }

    /// Lets line and counter settle where the channels in the head stand.
    pub(super) fn settle_squares(&mut self, channels: Channels, x_m: f64) {
        self.bench.state.interpolate = InterpolateState::default();
        let (_, wanted) = self.wanted_states(channels);
        let mark = self.mark_at(x_m);
        let (compiled, state) = (&self.compiled, &mut self.bench.state);
        let (line, ends) = (&compiled.square_line, (&compiled.driver, &compiled.wiring));
        state.square_line.settle(line, ends, &mut state.wiring, (wanted, mark));
        let (levels, mark) = state.square_line.levels();
        state.counter.step(&self.params.counter, levels, mark);
    }

    /// State numbers that belong to the light before and after a sample: the head's squaring stage goes through all in
    /// between.
    fn wanted_states(&mut self, channels: Channels) -> (i64, i64) {
        let (params, state) = (&self.params, &mut self.bench.state);
        match &params.interpolate {
            Some(interpolate) => {
                let was = state.interpolate.primed().then_some(state.interpolate.step_number);
                state.interpolate.step(interpolate, channels.a_v, channels.b_v, |_| {});
                // Step 0 of the interpolation is state 2.
                let now = state.interpolate.step_number + 2;
                (was.map_or(now, |was| was + 2), now)
            }
            None => {
                let a = state.squares[0].step(&params.square, channels.a_v);
                let b = params.two_sensors && state.squares[1].step(&params.square, channels.b_v);
                let now = i64::from(Levels { a, b }.state());
                (now, now)
            }
        }
    }
}
