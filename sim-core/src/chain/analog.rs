//! From photocurrents to channel voltages: difference, gain, bandwidth, noise, offset, clipping.
//!
//! The noise of the photodiodes and the first amplifier is made here in its sampled one-pole
//! form, which is exact for any step; hum and bursts join later, on the cable.

use crate::chain::light::table_entry;
use crate::chain::photo::Photocurrents;
use crate::num::math::{atan, exp};
use crate::num::random::Stream;
use crate::scale::{OutputKind, ScaleSpec};
use serde::{Deserialize, Serialize};
use std::f64::consts::PI;

/// Elementary charge, C (SI 2019, exact).
pub const ELEMENTARY_CHARGE_C: f64 = 1.602_176_634e-19;
/// Boltzmann constant, J/K (SI 2019, exact).
pub const BOLTZMANN_J_PER_K: f64 = 1.380_649e-23;
/// Length of one model step, s.
pub const STEP_S: f64 = 50e-6;
/// Most samples in one model step.
pub const SAMPLES_MAX: u32 = 64;

/// Feedback resistance of the photodiode amplifiers of differential heads, ohm (own).
const FEEDBACK_OHM: f64 = 500e3;
/// Input noise of the amplifier, V/sqrt(Hz) (usual range 3e-9 to 20e-9).
const AMPLIFIER_NOISE_V_PER_RTHZ: f64 = 10e-9;
/// Least distance of an output leg from either supply rail, V.
const HEADROOM_V: f64 = 0.2;

/// How currents become voltages.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum AnalogForm {
    /// `A = i_0 - i_2`, `B = i_1 - i_3`, each leg swinging about half the supply.
    Differential,
    /// `A` from field 0, `B` from field 1, across a resistor above a dark voltage.
    SingleEnded {
        /// Voltage without light, V.
        dark_v: f64,
    },
}

/// Parameters of the head's amplifier.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AnalogParams {
    /// How currents become voltages.
    pub form: AnalogForm,
    /// Transimpedance from current (difference) to output of A and B, V/A.
    pub gain_ohm: [f64; 2],
    /// Resistance that makes the Johnson noise: feedback or load resistor, ohm, 1e5 to 1e7.
    pub resistor_ohm: f64,
    /// Corner frequency of the one-pole amplifier, Hz, 20e3 to 500e3.
    pub bandwidth_hz: f64,
    /// Offsets of A and B at the output, V.
    pub offsets_v: [f64; 2],
    /// Factor on the noise: 1 as physics has it, 0 silent.
    pub noise_scale: f64,
    /// Temperature of the resistors, K.
    pub temperature_k: f64,
    /// Supply at the head, V; the output stays within it.
    pub supply_v: f64,
}

/// Transimpedance from photocurrent (single-ended) or current difference (differential) to the output that gives the
/// clean nominal head its nominal output, V/A (ohm).
///
/// Differential: 0.5 V over the fundamental `4 S J_1` of `i_0 - i_2`. Single-ended: the mean voltage over the mean
/// current.
#[must_use]
pub fn nominal_transimpedance_ohm(spec: &ScaleSpec) -> f64 {
    let j = |n| table_entry(spec, n, spec.gap_nominal_m);
    match spec.output {
        OutputKind::Differential1Vpp => 0.5 / (4.0 * spec.photocurrent_scale_a * j(1)),
        OutputKind::SingleEnded { mean_v, .. } => mean_v / (spec.photocurrent_scale_a * j(0)),
    }
}

impl AnalogParams {
    /// The healthy amplifier of a scale's head: clean light at the nominal gap gives 0.5 V
    /// amplitude (differential) or the stated mean (single-ended). 300 K, 5 V.
    #[must_use]
    pub fn nominal(spec: &ScaleSpec) -> Self {
        let gain_ohm = nominal_transimpedance_ohm(spec);
        let (form, resistor_ohm) = match spec.output {
            OutputKind::Differential1Vpp => (AnalogForm::Differential, FEEDBACK_OHM),
            OutputKind::SingleEnded { .. } => (AnalogForm::SingleEnded { dark_v: 0.0 }, gain_ohm),
        };
        Self {
            form,
            gain_ohm: [gain_ohm; 2],
            resistor_ohm,
            bandwidth_hz: spec.bandwidth_hz,
            offsets_v: [0.0; 2],
            noise_scale: 1.0,
            temperature_k: 300.0,
            supply_v: 5.0,
        }
    }

    /// Voltages before bandwidth, noise and clipping.
    #[inline]
    fn ideal_v(&self, light: &Photocurrents) -> [f64; 2] {
        let i = &light.field;
        match self.form {
            AnalogForm::Differential => [self.gain_ohm[0] * (i[0] - i[2]), self.gain_ohm[1] * (i[1] - i[3])],
            AnalogForm::SingleEnded { dark_v } => [dark_v + self.gain_ohm[0] * i[0], dark_v + self.gain_ohm[1] * i[1]],
        }
    }

    /// Standard deviations of A and B, V, at the given currents.
    #[must_use]
    pub fn noise_v(&self, light: &Photocurrents) -> [f64; 2] {
        let i = &light.field;
        let (currents, amplifiers) = match self.form {
            AnalogForm::Differential => ([i[0] + i[2], i[1] + i[3]], 2.0),
            AnalogForm::SingleEnded { .. } => ([i[0], i[1]], 1.0),
        };
        let bandwidth_hz = noise_bandwidth_hz(self.bandwidth_hz);
        let johnson = amplifiers * johnson_density(self.temperature_k, self.resistor_ohm);
        let amplifier = AMPLIFIER_NOISE_V_PER_RTHZ / self.resistor_ohm;
        let fixed = johnson + amplifiers * amplifier * amplifier;
        let sigma = |gain_ohm: f64, current_a: f64| {
            let density = 2.0 * ELEMENTARY_CHARGE_C * current_a.max(0.0) + fixed;
            self.noise_scale * gain_ohm * (bandwidth_hz * density).sqrt()
        };
        [sigma(self.gain_ohm[0], currents[0]), sigma(self.gain_ohm[1], currents[1])]
    }

    #[inline]
    fn clip_v(&self, v: f64) -> f64 {
        match self.form {
            AnalogForm::Differential => {
                // Each leg stays HEADROOM_V away from both rails.
                let most_v = (self.supply_v - 2.0 * HEADROOM_V).max(0.0);
                v.clamp(-most_v, most_v)
            }
            AnalogForm::SingleEnded { .. } => v.clamp(0.0, self.supply_v.max(0.0)),
        }
    }
}

/// Noise bandwidth of one pole, Hz: `pi/2 f_c`.
#[must_use]
pub fn noise_bandwidth_hz(corner_hz: f64) -> f64 {
    0.5 * PI * corner_hz
}

/// Spectral density of shot noise, A^2/Hz: `2 q i` (Schottky 1918).
#[must_use]
pub fn shot_density(current_a: f64) -> f64 {
    2.0 * ELEMENTARY_CHARGE_C * current_a
}

/// Spectral density of the noise current of a resistor, A^2/Hz: `4 k T/R` (Johnson, Nyquist 1928).
#[must_use]
pub fn johnson_density(temperature_k: f64, resistor_ohm: f64) -> f64 {
    4.0 * BOLTZMANN_J_PER_K * temperature_k / resistor_ohm
}

/// Gain of one pole at a frequency: `1/sqrt(1 + (f/f_c)^2)`.
#[must_use]
pub fn one_pole_gain(frequency_hz: f64, corner_hz: f64) -> f64 {
    let ratio = frequency_hz / corner_hz;
    1.0 / (1.0 + ratio * ratio).sqrt()
}

/// Lag of one pole at a frequency, rad: `atan(f/f_c)`.
#[must_use]
pub fn one_pole_lag_rad(frequency_hz: f64, corner_hz: f64) -> f64 {
    atan(frequency_hz / corner_hz)
}

/// Coefficients of one sample of length dt.
///
/// Between two samples the light is taken to run straight (first-order hold), and the pole answers that exactly:
/// `y' = keep y + before x + now x'`. Holding it instead would cost half a sample of lag, which a control sees.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SampleCoefficients {
    /// Share of signal and noise that stays, `exp(-2 pi f_c dt)`.
    pub keep: f64,
    /// Weight of the input at the start of the sample, `(1 - keep)/(2 pi f_c dt) - keep`.
    pub before: f64,
    /// Weight of the input at its end, `1 - (1 - keep)/(2 pi f_c dt)`.
    pub now: f64,
    /// Fresh noise per sample so that the variance stays, `sqrt(1 - keep^2)`.
    pub fresh: f64,
}

impl SampleCoefficients {
    /// Coefficients of a one-pole amplifier sampled every `dt_s` seconds (exact for an input of straight pieces: any text
    /// on digital control; scipy's `cont2discrete` with method `foh` in the tests).
    #[must_use]
    pub fn new(corner_hz: f64, dt_s: f64) -> Self {
        let time_constants = 2.0 * PI * corner_hz * dt_s;
        let keep = exp(-time_constants);
        let mean = (1.0 - keep) / time_constants;
        Self { keep, before: mean - keep, now: 1.0 - mean, fresh: (1.0 - keep * keep).max(0.0).sqrt() }
    }
}

/// Coefficients for 1 to 64 samples per model step; depends on the bandwidth alone.
#[derive(Clone, Debug, PartialEq)]
pub struct SampleTable {
    rows: Vec<SampleCoefficients>,
    corner_hz: f64,
}

impl SampleTable {
    /// Works the table out for a bandwidth, Hz.
    #[must_use]
    pub fn new(corner_hz: f64) -> Self {
        let rows = (1..=SAMPLES_MAX).map(|n| SampleCoefficients::new(corner_hz, STEP_S / f64::from(n))).collect();
        Self { rows, corner_hz }
    }

    /// Coefficients with `samples` samples per step, brought into 1 to 64.
    #[inline]
    #[must_use]
    pub fn of(&self, samples: u32) -> SampleCoefficients {
        self.rows[samples.clamp(1, SAMPLES_MAX) as usize - 1]
    }

    /// Bandwidth the table was made for, Hz.
    #[must_use]
    pub fn corner_hz(&self) -> f64 {
        self.corner_hz
    }
}

/// Voltages of the two channels at the head's output, V: the difference of the legs, or the
/// single-ended voltage.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Channels {
    /// Channel A, V.
    pub a_v: f64,
    /// Channel B, V.
    pub b_v: f64,
}

/// What the amplifier carries from sample to sample.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct AnalogState {
    /// Outputs of the signal poles, V.
    signal_v: [f64; 2],
    /// Their inputs at the last sample, V.
    input_v: [f64; 2],
    /// Present noise in units of its standard deviation.
    noise: [f64; 2],
    /// Random numbers of A and B.
    streams: [Stream; 2],
}

impl AnalogState {
    /// An amplifier just switched on, dark, with the noise of this seed.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self {
            signal_v: [0.0; 2],
            input_v: [0.0; 2],
            noise: [0.0; 2],
            streams: [Stream::named(seed, "analog.noise-a"), Stream::named(seed, "analog.noise-b")],
        }
    }

    /// Puts the signal poles where they end under steady light: the head has been on for long.
    pub fn settle(&mut self, params: &AnalogParams, light: &Photocurrents) {
        self.signal_v = params.ideal_v(light);
        self.input_v = self.signal_v;
    }

    /// The light jumps to this now, between two samples: a lamp or a plug, not the table's motion.
    pub fn light_jumps(&mut self, params: &AnalogParams, light: &Photocurrents) {
        self.input_v = params.ideal_v(light);
    }
}

/// One sample: difference and gain, one pole, noise, offset, clipping.
#[inline]
pub fn step(
    params: &AnalogParams,
    state: &mut AnalogState,
    light: &Photocurrents,
    sample: &SampleCoefficients,
) -> Channels {
    step_with(params, state, light, sample, params.noise_v(light))
}

/// As [`step`], with the standard deviations of the noise given: they follow the mean light slowly, so that a caller with
/// many samples works them out once for all of them.
#[inline]
pub fn step_with(
    params: &AnalogParams,
    state: &mut AnalogState,
    light: &Photocurrents,
    sample: &SampleCoefficients,
    sigma_v: [f64; 2],
) -> Channels {
    let ideal_v = params.ideal_v(light);
    for ((y, before), now) in state.signal_v.iter_mut().zip(state.input_v).zip(ideal_v) {
        *y = sample.keep * *y + sample.before * before + sample.now * now;
    }
    state.input_v = ideal_v;
    let mut out_v = [state.signal_v[0] + params.offsets_v[0], state.signal_v[1] + params.offsets_v[1]];
    if params.noise_scale > 0.0 {
        for k in 0..2 {
            state.noise[k] = sample.keep * state.noise[k] + sample.fresh * state.streams[k].normal();
            out_v[k] += sigma_v[k] * state.noise[k];
        }
    } else {
        // The draws pass all the same, so silence does not shift what comes after it.
        for stream in &mut state.streams {
            stream.skip(1);
        }
    }
    Channels { a_v: params.clip_v(out_v[0]), b_v: params.clip_v(out_v[1]) }
}

#[cfg(test)]
mod tests;
