//! Interpolation: many quadrature steps out of one signal period.
//!
//! The phase of the vector (A, B) is followed from sample to sample; each difference is taken the
//! short way round, so it is right only while less than half a period passes between two samples.
//! When the vector is too short to have a trustworthy phase, the unit holds still; when it comes
//! back, the short way round is taken again and whole periods are lost without a word.
//!
//! Steps are aligned with the zero crossings of A and B, so factor 1 gives the very states of two
//! comparators at zero.

use serde::{Deserialize, Serialize};

use crate::chain::counter::Levels;
use crate::num::math::{atan2_turns, floor};

/// Settings of the interpolation.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct InterpolateParams {
    /// Square periods per signal period, 1..=1024.
    pub factor: u32,
    /// Vector length below which the unit holds, V, above 0.
    pub hold_v: f64,
    /// How far beyond its step the phase must be before the step changes, in steps, 0.1..0.5.
    pub hysteresis_steps: f64,
}

/// What the interpolation carries from sample to sample.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct InterpolateState {
    /// Whole signal periods since the first sample.
    pub periods: i64,
    /// Phase inside the period, turns, -0.5..=0.5.
    pub phase_turns: f64,
    /// Step number given out, quarter square periods.
    pub step_number: i64,
    /// True while the vector is too short.
    pub holding: bool,
    primed: bool,
}

impl InterpolateState {
    /// Takes one sample of both channels, V, measured from their threshold, and calls `emit` with
    /// every state passed through, in order. The first usable sample emits the starting state once;
    /// a sample that changes nothing emits nothing. At most `2 factor + 2` states come out.
    pub fn step(&mut self, p: &InterpolateParams, a_v: f64, b_v: f64, emit: impl FnMut(Levels)) {
        if let Some(passed) = self.follow(p, a_v, b_v, atan2_turns(b_v, a_v)) {
            passed.each(emit);
        }
    }

    /// As [`Self::step`], with the direction of the vector given (`atan2(B, A)`, turns), but says which steps were
    /// passed; `None` from a sample that cannot be used.
    ///
    /// Without branches that depend on the signal: how many steps a sample passes cannot be guessed.
    #[inline]
    pub fn follow(&mut self, p: &InterpolateParams, a_v: f64, b_v: f64, phase: f64) -> Option<Passed> {
        let square = a_v * a_v + b_v * b_v;
        self.holding = !(square >= p.hold_v * p.hold_v && square.is_finite());
        if self.holding {
            return None;
        }
        let fine = 4.0 * f64::from(p.factor) * phase;
        let first = !self.primed;
        if first {
            self.primed = true;
            self.phase_turns = phase;
            self.step_number = whole(floor(fine));
        }
        let difference = phase - self.phase_turns;
        self.periods += i64::from(difference < -0.5) - i64::from(difference >= 0.5);
        self.phase_turns = phase;

        // Work relative to the present period, so that a long axis keeps full resolution.
        let first_step_of_period = self.periods * 4 * i64::from(p.factor);
        let before = self.step_number;
        let off_centre = fine - ((before - first_step_of_period) as f64 + 0.5);
        let stays = off_centre.abs() <= 0.5 + p.hysteresis_steps;
        let target = first_step_of_period + whole(floor(fine));
        self.step_number = if stays { before } else { target };
        Some(Passed { from: before, to: self.step_number, first })
    }

    /// The emulated square channels of the present step.
    #[must_use]
    pub fn levels(&self) -> Levels {
        levels_at(self.step_number)
    }

    /// Whether a usable sample has been seen, so that the step number means something.
    #[must_use]
    pub fn primed(&self) -> bool {
        self.primed
    }

    /// The followed phase since the first sample, turns.
    #[must_use]
    pub fn turns(&self) -> f64 {
        self.periods as f64 + self.phase_turns
    }
}

/// Steps passed in one sample.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Passed {
    /// Step number before the sample.
    pub from: i64,
    /// Step number after it.
    pub to: i64,
    /// Whether this was the first usable sample, which passes nothing but makes a starting state known.
    pub first: bool,
}

impl Passed {
    /// Calls `emit` with every state passed through, in order.
    pub fn each(self, mut emit: impl FnMut(Levels)) {
        if self.first {
            emit(levels_at(self.to));
        }
        let mut at = self.from;
        while at != self.to {
            at += if self.to > at { 1 } else { -1 };
            emit(levels_at(at));
        }
    }

    /// The same as state numbers of the counter that run on past 3.
    #[must_use]
    pub fn states(self) -> (i64, i64) {
        (self.from + FIRST_STATE, self.to + FIRST_STATE)
    }
}

/// Step 0 is the first quadrant of the vector, where both channels are high: state 2.
const FIRST_STATE: i64 = 2;

/// The emulated square channels at a step.
fn levels_at(step_number: i64) -> Levels {
    Levels::of_state(step_number + FIRST_STATE)
}

/// A whole f64 of small size as an integer.
fn whole(x: f64) -> i64 {
    x as i64
}

#[cfg(test)]
mod tests {
    use core::f64::consts::PI;

    use super::*;
    use crate::chain::counter::{CounterParams, CounterState};
    use crate::chain::square::{SquareParams, SquareState};

    fn params(factor: u32) -> InterpolateParams {
        InterpolateParams { factor, hold_v: 0.05, hysteresis_steps: 0.1 }
    }

    /// Runs phases through interpolation and counter.
    fn run(p: &InterpolateParams, samples: impl Iterator<Item = (f64, f64)>) -> (InterpolateState, CounterState) {
        let mut s = InterpolateState::default();
        let mut c = CounterState::default();
        let cp = CounterParams::default();
        for (turns, amplitude) in samples {
            let (a, b) = vector(turns, amplitude);
            s.step(p, a, b, |l| {
                c.step(&cp, l, false);
            });
        }
        (s, c)
    }

    fn vector(turns: f64, amplitude: f64) -> (f64, f64) {
        (amplitude * libm::cos(2.0 * PI * turns), amplitude * libm::sin(2.0 * PI * turns))
    }

    fn sweep(from: f64, to: f64, n: u32) -> impl Iterator<Item = (f64, f64)> {
        (0..=n).map(move |i| (from + (to - from) * f64::from(i) / f64::from(n), 0.5))
    }

    #[test]
    fn counter_sees_every_step_and_comes_back() {
        for factor in [1, 5, 25, 1024] {
            let p = params(factor);
            let (_, c) = run(&p, sweep(0.113, 7.113, 40));
            assert_eq!((c.count, c.illegal_count), (7 * 4 * i64::from(factor), 0), "factor {factor}");
            let (_, c) = run(&p, sweep(0.113, 7.113, 40).chain(sweep(7.113, 0.113, 31)));
            assert!(c.count.abs() <= 1, "factor {factor}: {}", c.count);
        }
    }

    #[test]
    fn factor_one_agrees_with_two_comparators() {
        let p = params(1);
        let p = InterpolateParams { hysteresis_steps: 0.0, ..p };
        let zero = SquareParams { threshold_v: 0.0, hysteresis_v: 0.0 };
        let (mut a, mut b) = (SquareState::default(), SquareState::default());
        let mut s = InterpolateState::default();
        for (turns, amplitude) in sweep(0.01, 3.013, 997) {
            let (va, vb) = vector(turns, amplitude);
            s.step(&p, va, vb, |_| {});
            let levels = Levels { a: a.step(&zero, va), b: b.step(&zero, vb) };
            assert_eq!(s.levels(), levels, "at {turns}");
        }
    }

    // One optical period lost is 4 F counts (Nyquist: half a period between samples at most).
    #[test]
    fn a_weak_stretch_loses_whole_periods() {
        let p = params(5);
        let samples = sweep(0.113, 10.413, 500).map(|(t, amp)| (t, if t > 3.1 && t < 6.3 { 0.01 } else { amp }));
        let (s, c) = run(&p, samples);
        assert_eq!((c.count, c.illegal_count), (206 - 3 * 20, 0));
        assert!((s.turns() - 7.413).abs() < 1e-9);
    }

    #[test]
    fn nothing_moves_while_the_vector_is_weak_or_not_a_number() {
        let p = params(5);
        let (mut s, _) = run(&p, sweep(0.1, 1.1, 50));
        let before = s;
        let mut emitted = 0;
        for (a, b) in [(0.0, 0.0), (0.03, -0.03), (f64::NAN, 0.4), (f64::INFINITY, 0.1)] {
            s.step(&p, a, b, |_| emitted += 1);
            assert!(s.holding);
        }
        assert_eq!((s.step_number, s.periods, emitted), (before.step_number, before.periods, 0));
    }

    #[test]
    fn dither_below_the_hysteresis_emits_nothing() {
        let p = InterpolateParams { hysteresis_steps: 0.2, ..params(10) };
        let mut s = InterpolateState::default();
        let mut emitted = -1;
        for i in 0..100 {
            let turns = 0.25 + if i % 2 == 0 { 0.15 } else { -0.15 } / 40.0;
            let (a, b) = vector(turns, 0.5);
            s.step(&p, a, b, |_| emitted += 1);
        }
        assert_eq!(emitted, 0);
    }

    // Half a period per sample is the limit: beyond it the count runs backwards (aliasing).
    #[test]
    fn too_fast_sampling_counts_backwards() {
        let p = params(1);
        let (_, c) = run(&p, (0..=10).map(|i| (0.01 + 0.75 * f64::from(i), 0.5)));
        assert_eq!(c.count, -10);
    }
}
