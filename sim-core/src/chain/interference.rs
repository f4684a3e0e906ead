//! What the surroundings put on the cable and into the light: mains hum, ambient lamps,
//! inverter switching bursts, shared ground return, and how much of it becomes signal.
//!
//! Slow part: [`Pickup`], worked out from [`InterferenceParams`] once per change. Once per model
//! step [`Pickup::begin`] finds the switching edges of the step ([`edges`]) and expands the hum
//! about its middle; per sample [`Pickup::sample`] advances one complex phasor that holds all
//! live bursts, however many overlap. Switched off it costs one comparison.
//!
//! Common mode: `k_sh V_b` times ringing and `V_h` times hum, plus `R_gnd I_return` on both
//! conductors. Differential: common mode times `10^(-CMRR/20)`; a single-ended head sees all of
//! it. Sizes and sharing factors are own choices; their order is common practice.
//!
//! Left out: radio and static discharges, resonances of the encoder cable, an electrical
//! frequency that follows an axis (the inverter is the neighbour's and runs steadily), dead time.

use crate::chain::analog::{SAMPLES_MAX, STEP_S};
use crate::chain::photo::Photocurrents;
use crate::num::math::{exp, pow, sincos_turns};
use crate::num::random::Stream;
use serde::{Deserialize, Serialize};
use std::f64::consts::{FRAC_1_SQRT_2, TAU};

pub mod edges;
mod params;
pub use params::{GroundReturn, InterferenceParams, Inverter, Mains, Reception, Shield};

/// Third and fifth harmonic of the hum against the fundamental (own).
const HUM_THIRD: f64 = 0.3;
const HUM_FIFTH: f64 = 0.15;
/// A burst that has decayed to this share of its height is over.
const BURST_OVER: f64 = 1e-6;

/// What is added at one sample.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Interference {
    /// Voltage that both conductors of every pair carry alike, V: add it to both potentials of
    /// a differential pair before the wiring network (a broken conductor converts all of it).
    /// For a single-ended head it is already in `differential_v` and must not be added twice.
    pub common_v: f64,
    /// Voltage to add to channels A and B, V: the converted common mode.
    pub differential_v: [f64; 2],
    /// Ambient light against its mean, 1 without ripple: factor on the ambient current.
    pub ambient_factor: f64,
}

impl Interference {
    /// Quiet surroundings.
    pub const NONE: Self = Self { common_v: 0.0, differential_v: [0.0; 2], ambient_factor: 1.0 };

    /// Brings the ripple of ambient light into the photocurrents, which hold its mean
    /// `ambient_a` (per field, A) already. Differences cancel what falls alike on both fields.
    #[inline]
    pub fn add_lamp_ripple(&self, light: &mut Photocurrents, ambient_a: &[f64; 4]) {
        for (field, mean_a) in light.field.iter_mut().zip(ambient_a) {
            *field += (self.ambient_factor - 1.0) * mean_a;
        }
    }
}

/// What is carried from sample to sample: the ringing that still lives and the random numbers.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct InterferenceState {
    /// Complex envelope of the ringing in units of one burst's height; its second part is the
    /// ringing itself.
    ring: [f64; 2],
    stream: Stream,
}

impl InterferenceState {
    /// Quiet, with the random numbers of this seed.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self { ring: [0.0; 2], stream: Stream::named(seed, "interference.burst") }
    }
}

/// Value, slope and half the curvature about the middle of a step.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Taylor {
    value: f64,
    slope: f64,
    half_curvature: f64,
}

impl Taylor {
    #[inline]
    fn at(&self, from_middle_s: f64) -> f64 {
        self.value + from_middle_s * (self.slope + from_middle_s * self.half_curvature)
    }
}

/// Interference of one model step, with its samples at equal distances. Scratch: made anew by
/// [`Pickup::begin`], never part of a saved state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InterferenceStep {
    hum_v: Taylor,
    lamps: Taylor,
    edges: edges::Edges,
    next: usize,
    sample_s: f64,
    now_s: f64,
    /// What one sample does to the ringing: decay times rotation, cosine and sine.
    turn: [f64; 2],
    /// Whether the ringing is faster than a quarter of the sample rate: random factor instead.
    envelope: bool,
}

impl Default for InterferenceStep {
    fn default() -> Self {
        Self {
            hum_v: Taylor::default(),
            lamps: Taylor { value: 1.0, ..Taylor::default() },
            edges: edges::Edges::NONE,
            next: 0,
            sample_s: STEP_S,
            now_s: 0.0,
            turn: [0.0; 2],
            envelope: false,
        }
    }
}

/// Interference worked out: what follows from the parameters alone.
#[derive(Clone, Debug, PartialEq)]
pub struct Pickup {
    params: InterferenceParams,
    off: bool,
    hum_v: f64,
    hum_turn: (f64, f64),
    burst_v: f64,
    /// Bursts of the surroundings alone, V.
    around_v: f64,
    conversion: [f64; 2],
    /// What one sample does to the ringing, for 1 to 64 samples in a step.
    turns: Vec<[f64; 2]>,
}

impl Pickup {
    /// Works the couplings out. The parameters have passed [`InterferenceParams::check`].
    #[must_use]
    pub fn new(params: &InterferenceParams) -> Self {
        let conversion = match params.reception {
            Reception::Differential { cmrr_db } => cmrr_db.map(|db| pow(10.0, -db / 20.0)),
            Reception::SingleEnded => [1.0; 2],
        };
        let (hum_v, burst_v) = (params.hum_common_v(), params.burst_common_v());
        Self {
            params: *params,
            off: hum_v == 0.0 && burst_v == 0.0 && params.mains.lamp_ripple == 0.0,
            hum_v,
            hum_turn: sincos_turns(params.mains.phase_turns),
            burst_v,
            around_v: burst_v,
            conversion,
            turns: (1..=SAMPLES_MAX).map(|samples| turn(&params.inverter, samples)).collect(),
        }
    }

    /// Bursts in common mode beside those of the surroundings from now on, V: those of the axis' own motor cable, which
    /// go with its current.
    pub fn add_bursts(&mut self, more_v: f64) {
        self.burst_v = self.around_v + more_v;
        self.off = self.hum_v == 0.0 && self.burst_v == 0.0 && self.params.mains.lamp_ripple == 0.0;
    }

    /// Whether nothing is picked up at all.
    #[inline]
    #[must_use]
    pub fn is_off(&self) -> bool {
        self.off
    }

    /// Height of one burst in common mode and in A and B, V: what it does to the thresholds.
    #[must_use]
    pub fn burst_height_v(&self) -> (f64, [f64; 2]) {
        (self.burst_v, self.conversion.map(|share| share * self.burst_v))
    }

    /// How many samples a step needs so that none of its bursts falls between two of them: one
    /// per decay time while a burst of at least `matters_v` in a channel is on, else 0.
    ///
    /// Without it a standing axis, read once per step, would see one burst in twenty.
    #[must_use]
    pub fn samples_wanted(&self, step: u64, state: &InterferenceState, matters_v: f64) -> u32 {
        let [a_v, b_v] = self.burst_height_v().1;
        if self.burst_v == 0.0 || a_v.max(b_v) < matters_v {
            return 0;
        }
        let live = state.ring != [0.0; 2];
        if live || !edges::Edges::of_step(&self.params.inverter, step).is_empty() {
            // At most 50 us over 50 ns by the range of the decay.
            libm::ceil(STEP_S / self.params.inverter.decay_s) as u32
        } else {
            0
        }
    }

    /// Prepares `out` for the `samples` samples (at least 1) of model step number `step`, at equal
    /// distances, the last one at its end.
    #[inline]
    pub fn begin(&self, step: u64, samples: u32, state: &mut InterferenceState, out: &mut InterferenceStep) {
        if self.burst_v == 0.0 {
            // What rang when the inverter was switched off does not wait for its return.
            state.ring = [0.0; 2];
        }
        if !self.off {
            self.prepare(step, samples, out);
        }
    }

    fn prepare(&self, step: u64, samples: u32, out: &mut InterferenceStep) {
        let samples = samples.clamp(1, SAMPLES_MAX);
        out.sample_s = STEP_S / f64::from(samples);
        out.now_s = 0.0;
        out.next = 0;
        self.expand_mains(step, out);
        if self.burst_v == 0.0 {
            out.edges.clear();
            return;
        }
        let inverter = &self.params.inverter;
        out.edges.find(inverter, step);
        out.envelope = inverter.ring_hz * out.sample_s > 0.25;
        out.turn = self.turns[samples as usize - 1];
    }

    /// Hum and lamps about the middle of the step, to the second order: the neglected third
    /// order of the fifth harmonic is below 5e-6 of the hum up to 60 Hz.
    fn expand_mains(&self, step: u64, out: &mut InterferenceStep) {
        let mains = &self.params.mains;
        out.hum_v = Taylor::default();
        out.lamps = Taylor { value: 1.0, ..Taylor::default() };
        if self.hum_v == 0.0 && mains.lamp_ripple == 0.0 {
            return;
        }
        let (s, c) = sincos_turns(mains.hz * (step as f64 + 0.5) * STEP_S);
        let rate = TAU * mains.hz;
        if self.hum_v != 0.0 {
            let (turn_sin, turn_cos) = self.hum_turn;
            let (s, c) = (s * turn_cos + c * turn_sin, c * turn_cos - s * turn_sin);
            // Multiple angles by the Chebyshev polynomials.
            let (ss, cc) = (s * s, c * c);
            let (s3, c3) = (s * (3.0 - 4.0 * ss), c * (4.0 * cc - 3.0));
            let (s5, c5) = (s * (16.0 * ss * ss - 20.0 * ss + 5.0), c * (16.0 * cc * cc - 20.0 * cc + 5.0));
            out.hum_v = Taylor {
                value: self.hum_v * (s + HUM_THIRD * s3 + HUM_FIFTH * s5),
                slope: self.hum_v * rate * (c + 3.0 * HUM_THIRD * c3 + 5.0 * HUM_FIFTH * c5),
                half_curvature: -0.5 * self.hum_v * rate * rate * (s + 9.0 * HUM_THIRD * s3 + 25.0 * HUM_FIFTH * s5),
            };
        }
        let ripple = mains.lamp_ripple;
        if ripple != 0.0 {
            let (s2, c2) = (2.0 * s * c, c * c - s * s);
            out.lamps = Taylor {
                value: 1.0 + ripple * c2,
                slope: -2.0 * rate * ripple * s2,
                half_curvature: -2.0 * rate * rate * ripple * c2,
            };
        }
    }

    /// The next sample of a step begun with [`Pickup::begin`].
    ///
    /// Bursts: `V exp(-(t - t_e)/tau) sin(2 pi f_r (t - t_e))`, rising edges up, falling edges
    /// down; past a quarter of the sample rate the envelope with a normal factor of variance
    /// one half takes the sine's place, so that no beat of both frequencies shows.
    #[inline]
    pub fn sample(&self, step: &mut InterferenceStep, state: &mut InterferenceState) -> Interference {
        if self.off {
            return Interference::NONE;
        }
        step.now_s += step.sample_s;
        let from_middle_s = step.now_s - 0.5 * STEP_S;
        let mut common_v = step.hum_v.at(from_middle_s);
        if self.burst_v != 0.0 {
            common_v += self.burst_v * self.ringing(step, state);
        }
        Interference {
            common_v,
            differential_v: self.conversion.map(|share| share * common_v),
            ambient_factor: step.lamps.at(from_middle_s),
        }
    }

    /// All live bursts together, in units of one burst's height.
    #[inline]
    fn ringing(&self, step: &mut InterferenceStep, state: &mut InterferenceState) -> f64 {
        let [re, im] = state.ring;
        let mut ring = if re != 0.0 || im != 0.0 {
            let [turn_re, turn_im] = step.turn;
            [re * turn_re - im * turn_im, re * turn_im + im * turn_re]
        } else {
            state.ring
        };
        while let Some(edge) = step.edges.get(step.next)
            && edge.after_s <= step.now_s
        {
            let age_s = step.now_s - edge.after_s;
            let (s, c) = sincos_turns(self.params.inverter.ring_hz * age_s);
            let height = edge.sign * libm::exp(-age_s / self.params.inverter.decay_s);
            ring = [ring[0] + height * c, ring[1] + height * s];
            step.next += 1;
        }
        let power = ring[0] * ring[0] + ring[1] * ring[1];
        if power < BURST_OVER * BURST_OVER {
            state.ring = [0.0; 2];
            return 0.0;
        }
        state.ring = ring;
        if step.envelope { power.sqrt() * FRAC_1_SQRT_2 * state.stream.normal() } else { ring[1] }
    }
}

/// Decay times rotation of the ringing over one of `samples` samples in a step.
fn turn(inverter: &Inverter, samples: u32) -> [f64; 2] {
    let sample_s = STEP_S / f64::from(samples);
    let (turn_sin, turn_cos) = sincos_turns(inverter.ring_hz * sample_s);
    let keep = exp(-sample_s / inverter.decay_s);
    [keep * turn_cos, keep * turn_sin]
}

#[cfg(test)]
mod tests;
