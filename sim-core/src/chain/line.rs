//! Both ends of the signal wires: the driver in the head and the receiver in the control.
//!
//! The driver puts channel voltages or logic levels on six legs ([`Legs`]); what the cable and its faults make of them
//! is the business of [`crate::chain::wiring`]; the receiver turns the difference of a pair back into a level.
//! Levels and limits of squared lines are those of TIA/EIA-422-B (1994), as given in public summaries. Left out: slew
//! rate, current limits of the driver when shorted, propagation delay.

use crate::limits::{FieldError, within};
use serde::{Deserialize, Serialize};

/// Least distance of an analog leg from either supply rail, V (6.1).
const HEADROOM_V: f64 = 0.2;
/// What the two output stages of a squared driver drop together, V: 5 V supply less 3.4 V at the pair (own).
const DRIVER_DROP_V: f64 = 1.6;
/// Below this supply the driver lets go of its legs, V (own).
pub const DRIVER_OFF_V: f64 = 3.0;
/// Open-circuit difference that a squared driver makes at full supply, V.
pub const DRIVER_EMF_V: f64 = 3.4;
/// Output resistance of a driver leg, ohm.
pub const SOURCE_OHM: f64 = 10.0;
/// Termination of a pair, ohm.
pub const TERMINATION_OHM: f64 = 120.0;

/// What the head sends down the cable.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum OutputForm {
    /// Analog channels as differences of two legs about half the supply, 1 V peak to peak across 120 ohm.
    Analog,
    /// Channels squared in the head, sent as differences of two legs (TIA-422).
    Squared,
    /// Analog channels against 0 V, one wire each: what the control's 0 V differs by is in the signal.
    SingleEnded,
}

/// Voltages of the six legs at the head, V, in the order of [`crate::chain::wiring::Wire`]: A+, A-, B+, B-, reference+,
/// reference-.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Legs(pub [f64; 6]);

impl Legs {
    /// All legs lifted by one voltage, V: hum and bursts on the cable, the drop of the supply return.
    #[inline]
    #[must_use]
    pub fn lifted(mut self, common_v: f64) -> Self {
        for leg in &mut self.0 {
            *leg += common_v;
        }
        self
    }
}

/// The output stage of the head.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DriverParams {
    /// What is sent.
    pub form: OutputForm,
    /// Supply at the head, V, 0 to 30 (see [`crate::chain::supply`]).
    pub supply_v: f64,
    /// Open-circuit voltage of an analog pair per volt of its channel, 0.1 to 10; see [`load_gain`].
    pub gain: f64,
    /// Open-circuit difference of a squared pair, V, 0 to 6 (the standard's greatest).
    pub emf_v: f64,
    /// Output resistance of a leg, ohm, 1 to 1000.
    pub source_ohm: f64,
}

/// Gain of an analog driver whose channel voltage is to appear across the load, 1 or more: `(R_t + 2 R_o)/R_t`.
///
/// With it a head on a short cable shows its nominal 1 V peak to peak across the termination, as the interface is
/// specified (common practice); the cable's resistance takes its share from there.
#[must_use]
pub fn load_gain(termination_ohm: f64, source_ohm: f64) -> f64 {
    (termination_ohm + 2.0 * source_ohm) / termination_ohm
}

/// Level that a driven pair shows across its termination, V: `EMF R_t/(R_t + 2 (R_o + R' l))`.
///
/// Voltage divider; the receiver's own input resistance is left out here and present in the wiring network.
#[must_use]
pub fn driven_level_v(emf_v: f64, termination_ohm: f64, source_ohm: f64, conductor_ohm: f64) -> f64 {
    emf_v * termination_ohm / (termination_ohm + 2.0 * (source_ohm + conductor_ohm))
}

impl DriverParams {
    /// A healthy driver on 5 V with 10 ohm legs, meant for 120 ohm where it drives pairs.
    #[must_use]
    pub fn usual(form: OutputForm) -> Self {
        let gain = if form == OutputForm::SingleEnded { 1.0 } else { load_gain(TERMINATION_OHM, SOURCE_OHM) };
        Self { form, supply_v: 5.0, gain, emf_v: DRIVER_EMF_V, source_ohm: SOURCE_OHM }
    }

    /// Refuses numbers that no driver has.
    ///
    /// # Errors
    /// The first field that is not finite or outside its range.
    pub fn check(&self) -> Result<(), FieldError> {
        within("driver.supply_v", self.supply_v, 0.0, 30.0)?;
        within("driver.gain", self.gain, 0.1, 10.0)?;
        within("driver.emf_v", self.emf_v, 0.0, 6.0)?;
        within("driver.source_ohm", self.source_ohm, 1.0, 1e3)
    }
}

/// A driver made ready: what follows from its parameters.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Driver {
    form: OutputForm,
    middle_v: f64,
    low_v: f64,
    high_v: f64,
    gain: f64,
    half_emf_v: f64,
    on: bool,
    /// Legs of a channel at 0 V, V.
    idle_v: [f64; 2],
}

impl Driver {
    /// Works the driver out.
    #[must_use]
    pub fn new(params: &DriverParams) -> Self {
        let supply_v = params.supply_v.max(0.0);
        let middle_v = 0.5 * supply_v;
        let (low_v, high_v) = match params.form {
            OutputForm::SingleEnded => (0.0, supply_v),
            // On a supply too low for both distances the leg sits in the middle.
            _ => (HEADROOM_V.min(middle_v), (supply_v - HEADROOM_V).max(middle_v)),
        };
        let half_emf_v = 0.5 * params.emf_v.min((supply_v - DRIVER_DROP_V).max(0.0));
        let on = supply_v >= DRIVER_OFF_V;
        let idle_v = [0.0; 2];
        let mut driver = Self { form: params.form, middle_v, low_v, high_v, gain: params.gain, half_emf_v, on, idle_v };
        driver.idle_v = driver.pair(0.0);
        driver
    }

    /// Whether the supply suffices; below [`DRIVER_OFF_V`] the legs are let go (high impedance).
    #[must_use]
    pub fn on(&self) -> bool {
        self.on
    }

    /// Legs of three analog channels (A, B, reference), V: `V_supply/2 +- gain a/2`, or `gain a` and 0 V single-ended;
    /// each leg clipped between the rails.
    #[inline]
    #[must_use]
    pub fn analog(&self, channels_v: [f64; 3]) -> Legs {
        let mut legs = [0.0; 6];
        for (pair, v) in legs.chunks_exact_mut(2).zip(channels_v) {
            pair.copy_from_slice(&self.pair(v));
        }
        Legs(legs)
    }

    /// The same for A and B with the reference channel at 0 V.
    #[inline]
    #[must_use]
    pub fn channels(&self, [a_v, b_v]: [f64; 2]) -> Legs {
        let ([a, a_back], [b, b_back], [r, r_back]) = (self.pair(a_v), self.pair(b_v), self.idle_v);
        Legs([a, a_back, b, b_back, r, r_back])
    }

    /// Both legs of a channel, V.
    #[inline]
    fn pair(&self, v: f64) -> [f64; 2] {
        // Compiles to one instruction a bound, which the library's `clamp` with its check of the bounds does not.
        let clip = |v: f64| {
            let v = if v < self.low_v { self.low_v } else { v };
            if v > self.high_v { self.high_v } else { v }
        };
        if self.form == OutputForm::SingleEnded {
            return [clip(self.gain * v), 0.0];
        }
        let half_v = 0.5 * self.gain * v;
        [clip(self.middle_v + half_v), clip(self.middle_v - half_v)]
    }

    /// Legs of three squared channels (A, B, reference), V: `V_supply/2 +- EMF/2`, EMF falling with the supply once
    /// that is less than 1.6 V above it.
    #[inline]
    #[must_use]
    pub fn squared(&self, levels: [bool; 3]) -> Legs {
        let mut legs = [0.0; 6];
        for (pair, level) in legs.chunks_exact_mut(2).zip(levels) {
            let half_v = if level { self.half_emf_v } else { -self.half_emf_v };
            pair[0] = self.middle_v + half_v;
            pair[1] = self.middle_v - half_v;
        }
        Legs(legs)
    }
}

/// A receiver of squared pairs.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReceiverParams {
    /// Difference beyond which a level is sure, V, 0.01 to 1; the standard says 0.2.
    pub threshold_v: f64,
    /// Greatest common-mode voltage, V, 1 to 25; the standard says 7.
    pub common_mode_v: f64,
    /// Whether an undecided pair reads as 1 (a fail-safe receiver) instead of keeping its last level.
    pub fail_safe: bool,
    /// A pair undecided for longer than this is missing, s, 0 to 1; 1e-6 is usual.
    pub missing_after_s: f64,
}

impl Default for ReceiverParams {
    fn default() -> Self {
        Self { threshold_v: 0.2, common_mode_v: 7.0, fail_safe: false, missing_after_s: 1e-6 }
    }
}

impl ReceiverParams {
    /// Refuses numbers that no receiver has.
    ///
    /// # Errors
    /// The first field that is not finite or outside its range.
    pub fn check(&self) -> Result<(), FieldError> {
        within("receiver.threshold_v", self.threshold_v, 0.01, 1.0)?;
        within("receiver.common_mode_v", self.common_mode_v, 1.0, 25.0)?;
        within("receiver.missing_after_s", self.missing_after_s, 0.0, 1.0)
    }
}

/// What the receiver of one pair carries from sample to sample.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct ReceiverState {
    /// Present level.
    pub level: bool,
    /// How long the pair has been undecided, s; not counted past one second.
    undecided_s: f64,
}

/// What the receiver says of one sample.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Received {
    /// Level.
    pub level: bool,
    /// The pair has been undecided for longer than a transition takes: broken, shorted or unpowered.
    pub missing: bool,
    /// The common-mode voltage is outside the window; the level is the last one.
    pub common_mode: bool,
}

impl ReceiverState {
    /// A receiver that has shown one level for long.
    #[must_use]
    pub fn at(level: bool) -> Self {
        Self { level, undecided_s: 0.0 }
    }

    /// Whether the pair has been undecided for longer than a transition takes.
    #[must_use]
    pub fn missing(&self, p: &ReceiverParams) -> bool {
        self.undecided_s > p.missing_after_s
    }

    /// Takes one sample of length `dt_s`: 1 above the threshold, 0 below its negative, in between the last level or
    /// the fail-safe 1. Outside the common-mode window the level is kept and flagged. A difference that is not a
    /// number counts as undecided.
    #[inline]
    pub fn step(&mut self, p: &ReceiverParams, difference_v: f64, common_v: f64, dt_s: f64) -> Received {
        let common_mode = common_v.is_nan() || common_v.abs() > p.common_mode_v;
        let decided = difference_v.abs() >= p.threshold_v;
        self.undecided_s = if decided { 0.0 } else { (self.undecided_s + dt_s).min(1.0) };
        if !common_mode {
            self.level = if decided { difference_v > 0.0 } else { self.level || p.fail_safe };
        }
        Received { level: self.level, missing: self.missing(p), common_mode }
    }
}

#[cfg(test)]
mod tests;
