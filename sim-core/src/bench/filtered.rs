//! The input filter between comparators, interpolation or receivers and the counter. Edges carry their own time within a
//! sample: where the straight line between two samples crosses the switching level.

use super::sim::Sim;
use crate::chain::counter::{CounterParams, CounterState, Levels};
use crate::chain::edge_filter::{EdgeFilterParams, EdgeFilterState, InputEdge, InputLine};
use serde::{Deserialize, Serialize};

/// What the filter carries from step to step.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct InputFilterState {
    filter: EdgeFilterState,
    /// Channels at the comparators at the end of the last sample, V.
    last_v: [f64; 2],
}

impl InputFilterState {
    /// Standing at these levels for long.
    #[must_use]
    pub fn at(levels: Levels, mark: bool, last_v: [f64; 2]) -> Self {
        Self { filter: EdgeFilterState::at(levels, mark), last_v }
    }

    /// Goes through `dt` s with its edges and counts what comes out; the count latched on the way.
    pub(super) fn count(
        &mut self,
        p: &EdgeFilterParams,
        (counter_p, counter): (&CounterParams, &mut CounterState),
        edges: &[InputEdge],
        dt: f64,
    ) -> Option<i64> {
        let mut latched = None;
        self.filter.step(p, dt, edges.iter().copied(), |out| {
            latched = counter.step(counter_p, out.levels, out.mark).latched.or(latched);
        });
        latched
    }

    /// The edges that lead from what stands at the input to these levels, all at one time.
    pub(super) fn edges_to(&self, levels: Levels, mark: bool, at_s: f64, edges: &mut Vec<InputEdge>) {
        let (was, mark_was) = self.filter.inputs();
        edges.clear();
        let lines = [(InputLine::A, was.a != levels.a), (InputLine::B, was.b != levels.b)];
        for (line, changed) in lines.into_iter().chain([(InputLine::Mark, mark_was != mark)]) {
            if changed {
                edges.push(InputEdge { line, at_s });
            }
        }
    }
}

/// Share of the way from one value to another at which a level is crossed, 0 to 1.
fn share_at(level: f64, from: f64, to: f64) -> f64 {
    if from == to { 1.0 } else { ((level - from) / (to - from)).clamp(0.0, 1.0) }
}

impl Sim {
    /// One of the step's samples, `dt_s` long: volts to levels to filtered edges to counts.
    pub(super) fn count_filtered(&mut self, p: &EdgeFilterParams, x_m: f64, at: usize, dt_s: f64) -> Levels {
        let mark = self.mark_at(x_m);
        let (state, params, edges) = (&mut self.bench.state, &self.params, &mut self.edges);
        let offset_v = params.input.offset_v;
        let v = [self.samples.a_v[at] + offset_v[0], self.samples.b_v[at] + offset_v[1]];
        edges.clear();
        // The mark is gated over the whole sample.
        if state.filter.filter.inputs().1 != mark {
            edges.push(InputEdge { line: InputLine::Mark, at_s: 0.0 });
        }
        let levels = match &params.interpolate {
            Some(interpolate) => {
                let per_turn = 4.0 * f64::from(interpolate.factor);
                let from = per_turn * state.interpolate.turns();
                if let Some(passed) = state.interpolate.follow(interpolate, v[0], v[1], self.samples.phase_turns[at]) {
                    let to = per_turn * state.interpolate.turns();
                    let (up, mut step) = (passed.to > passed.from, passed.from);
                    passed.each(|levels| {
                        let beyond = interpolate.hysteresis_steps;
                        let level = if up { step as f64 + 1.0 + beyond } else { step as f64 - beyond };
                        step += if up { 1 } else { -1 };
                        let at_s = dt_s * share_at(level, from, to);
                        let (was, _) = levels_after(&state.filter.filter, edges);
                        push_changes(was, levels, at_s, edges);
                    });
                }
                state.interpolate.levels()
            }
            None => {
                let mut levels = [false; 2];
                for k in 0..2 {
                    let comparator = params.comparator(k);
                    let was = state.squares[k].level;
                    levels[k] = (k == 0 || params.two_sensors) && state.squares[k].step(&comparator, v[k]);
                    if levels[k] != was {
                        let half_v = 0.5 * comparator.hysteresis_v;
                        let level_v = comparator.threshold_v + if levels[k] { half_v } else { -half_v };
                        let at_s = dt_s * share_at(level_v, state.filter.last_v[k], v[k]);
                        edges.push(InputEdge { line: [InputLine::A, InputLine::B][k], at_s });
                    }
                }
                edges.sort_by(|one, other| one.at_s.total_cmp(&other.at_s));
                Levels { a: levels[0], b: levels[1] }
            }
        };
        state.filter.last_v = v;
        let latched = state.filter.count(p, (&params.counter, &mut state.counter), edges, dt_s);
        state.latched = latched.or(state.latched);
        levels
    }

    /// Share of a sample at which a head that interpolates enters a state on its way between two, both and the phase's
    /// ends in `turns` given; 1 from plain comparators, whose samples are close.
    pub(super) fn crossing(&self, from: i64, to: i64, entered: i64, turns: (f64, f64)) -> f64 {
        let Some(interpolate) = &self.params.interpolate else { return 1.0 };
        let per_turn = 4.0 * f64::from(interpolate.factor);
        // State 2 is step 0.
        let step = (entered - 2) as f64;
        let beyond = interpolate.hysteresis_steps;
        let level = if to > from { step + beyond } else { step + 1.0 - beyond };
        share_at(level, per_turn * turns.0, per_turn * turns.1)
    }

    /// Counts a stretch of `dt_s` in which these levels come to stand at the input of a head that sends square waves, at
    /// `at_s`.
    pub(super) fn count_received(
        &mut self,
        p: &EdgeFilterParams,
        levels: Levels,
        mark: bool,
        (at_s, dt_s): (f64, f64),
    ) {
        let (state, params) = (&mut self.bench.state, &self.params);
        state.filter.edges_to(levels, mark, at_s, &mut self.edges);
        let latched = state.filter.count(p, (&params.counter, &mut state.counter), &self.edges, dt_s);
        state.latched = latched.or(state.latched);
    }

    /// The filter after the bench settled: what stands at the input has stood there for long.
    pub(super) fn settle_filter(&mut self) {
        if self.params.control.filter.is_none() {
            self.bench.state.filter = InputFilterState::default();
            return;
        }
        let x_m = self.params.read_m(self.bench.state.axis.plant.x, self.bench.state.alignment.shift_m);
        let mark = if self.params.squared() { self.bench.state.square_line.levels().1 } else { self.mark_at(x_m) };
        let levels = self.bench.state.counter.levels().unwrap_or(Levels::of_state(0));
        self.bench.state.filter = InputFilterState::at(levels, mark, self.at_input_v);
    }

    /// The counter was exchanged: what it shows goes on from where the reading stands.
    pub(super) fn renumber_narrow(&mut self) {
        let before = self.bench.state.counter.count;
        self.narrow_counter();
        let state = &mut self.bench.state;
        state.axis.scale_zero += state.counter.count - before;
        state.narrator = state.narrator.renumbered(state.counter.count - before);
    }

    /// A counter that is too narrow and that nothing extends comes round at its end.
    pub(super) fn narrow_counter(&mut self) {
        if let Some(bits) = self.params.control.counter_bits {
            let count = &mut self.bench.state.counter.count;
            *count = crate::chain::count_limits::extended_difference(0, *count, bits);
        }
    }
}

/// Levels at the input after the edges so far.
fn levels_after(filter: &EdgeFilterState, edges: &[InputEdge]) -> (Levels, bool) {
    let (mut levels, mut mark) = filter.inputs();
    for edge in edges {
        match edge.line {
            InputLine::A => levels.a = !levels.a,
            InputLine::B => levels.b = !levels.b,
            InputLine::Mark => mark = !mark,
        }
    }
    (levels, mark)
}

/// The edges from some levels to others.
fn push_changes(was: Levels, levels: Levels, at_s: f64, edges: &mut Vec<InputEdge>) {
    if was.a != levels.a {
        edges.push(InputEdge { line: InputLine::A, at_s });
    }
    if was.b != levels.b {
        edges.push(InputEdge { line: InputLine::B, at_s });
    }
}
