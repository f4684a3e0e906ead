//! The head's light source: ageing, temperature, the brightness loop and what is left in reserve.
//!
//! The loop holds the mean photocurrent and so hides dirt, age and gap until it reaches its
//! limit; what a technician can read meanwhile is the light reserve. Fixed drive (no loop) is the
//! simplest head. Both are starved by a low supply.
//!
//! Sources: ageing `exp(-alpha t)` after IES TM-21, equation 1; temperature coefficients common
//! practice; loop and starvation own. Left out: self-heating, which follows the drive within
//! seconds, early brightening of new sources, and light guides that brown with age.
//!
//! Order in a step: [`step`] with the mean current that the fields gave at the last drive
//! ([`crate::chain::photo::HeadOptics::mean_current_a`]), then
//! [`crate::chain::photo::HeadOptics::set_illumination`] with [`LampParams::illumination`].

use crate::chain::light::table_entry;
use crate::chain::photo::Illumination;
use crate::num::math::{exp, ln, nearest};
use crate::numbers::{FieldError, check_field};
use crate::scale::ScaleSpec;
use serde::{Deserialize, Serialize};

/// Temperature at which brightness and wavelength have their stated values, K (25 C).
pub const REFERENCE_TEMPERATURE_K: f64 = 298.15;
/// Least supply at the head at which the full drive is available, V (own).
pub const FULL_DRIVE_SUPPLY_V: f64 = 4.5;
/// Supply at which the source goes out, V (own: forward voltage and regulator).
pub const DARK_SUPPLY_V: f64 = 2.5;
/// Steps of the wavelength in which the gap table follows the temperature, m.
pub const WAVELENGTH_STEP_M: f64 = 1e-9;

/// How the drive is found.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Control {
    /// The drive stays where it was set.
    Fixed {
        /// Drive, 0 to 2; 1 nominal.
        drive: f64,
    },
    /// The mean of the field currents is held.
    Loop {
        /// Time constant, s, 1e-3 to 10e-3; at least two model steps.
        tau_s: f64,
        /// Mean current per field to hold, A, above 0 to 1e-4; see [`reference_current_a`].
        reference_a: f64,
        /// Least drive, 0.01 to 1; 0.1 as a rule.
        drive_min: f64,
        /// Largest drive at full supply, 0 (turned off) to 4; 1.4 to 2 is usual.
        drive_max: f64,
    },
}

/// The source and its drive. SI units.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct LampParams {
    /// Time in operation, s, 0 to 1e10.
    pub age_s: f64,
    /// Time in operation after which 70 % of the light is left, s, 1e5 to 1e10; 1.8e8 (50 000 h)
    /// is usual.
    pub l70_s: f64,
    /// Temperature of the source, K, 233.15 to 398.15.
    pub temperature_k: f64,
    /// Change of brightness with temperature, 1/K, -0.02 to 0; -0.005 to -0.009 is usual.
    pub brightness_per_k: f64,
    /// Change of wavelength with temperature, m/K, 0 to 1e-9; 0.2e-9 to 0.3e-9 is usual.
    pub wavelength_per_k: f64,
    /// Supply at the head, V, 0 to 30.
    pub supply_v: f64,
    /// How the drive is found.
    pub control: Control,
}

impl LampParams {
    /// A new source at 25 C and 5 V with fixed nominal drive: the bench without a loop.
    pub const NOMINAL: Self = Self {
        age_s: 0.0,
        l70_s: 50_000.0 * 3600.0,
        temperature_k: REFERENCE_TEMPERATURE_K,
        brightness_per_k: -0.005,
        wavelength_per_k: 0.3e-9,
        supply_v: 5.0,
        control: Control::Fixed { drive: 1.0 },
    };

    /// The same with a brightness loop made for a scale's head: 2 ms, drive 0.1 to 1.6.
    #[must_use]
    pub fn with_loop(spec: &ScaleSpec) -> Self {
        let reference_a = reference_current_a(spec);
        Self { control: Control::Loop { tau_s: 2e-3, reference_a, drive_min: 0.1, drive_max: 1.6 }, ..Self::NOMINAL }
    }

    /// Turns the drive (fixed) or its upper limit (loop) to a share of nominal, 0 to 2.
    pub fn set_brightness(&mut self, share: f64) {
        match &mut self.control {
            Control::Fixed { drive } => *drive = share,
            Control::Loop { drive_max, .. } => *drive_max *= share,
        }
    }

    /// Refuses what is not finite or outside its range.
    ///
    /// # Errors
    /// The first field that is wrong, with value, range and unit.
    pub fn check(&self) -> Result<(), FieldError> {
        check_field("lamp.age_s", self.age_s, (0.0, 1e10), "s")?;
        check_field("lamp.l70_s", self.l70_s, (1e5, 1e10), "s")?;
        check_field("lamp.temperature_k", self.temperature_k, (233.15, 398.15), "K")?;
        check_field("lamp.brightness_per_k", self.brightness_per_k, (-0.02, 0.0), "1/K")?;
        check_field("lamp.wavelength_per_k", self.wavelength_per_k, (0.0, 1e-9), "m/K")?;
        check_field("lamp.supply_v", self.supply_v, (0.0, 30.0), "V")?;
        match self.control {
            Control::Fixed { drive } => check_field("lamp.control.drive", drive, (0.0, 2.0), "1"),
            Control::Loop { tau_s, reference_a, drive_min, drive_max } => {
                check_field("lamp.control.tau_s", tau_s, (1e-3, 10e-3), "s")?;
                check_field("lamp.control.reference_a", reference_a, (1e-12, 1e-4), "A")?;
                check_field("lamp.control.drive_min", drive_min, (0.01, 1.0), "1")?;
                check_field("lamp.control.drive_max", drive_max, (0.0, 4.0), "1")
            }
        }
    }

    /// Light of the source against new at 25 C and the same drive, `q = q_a q_T`, at least 0.
    #[must_use]
    pub fn output(&self) -> f64 {
        ageing(self.age_s, self.l70_s) * thermal(self.temperature_k, self.brightness_per_k)
    }

    /// Shift of the wavelength against 25 C, m.
    #[must_use]
    pub fn wavelength_shift_m(&self) -> f64 {
        self.wavelength_per_k * (self.temperature_k - REFERENCE_TEMPERATURE_K)
    }

    /// Shift of the wavelength that the gap table is built for, m: the true shift in whole
    /// steps of 1e-9 m.
    ///
    /// Rebuild the table when this value changes, and only then. The table is at most half a
    /// step off, and which table is in use follows from the parameters alone, so that a resumed
    /// run is the same run (a limit against the *last* table would depend on the way there).
    #[must_use]
    pub fn table_shift_m(&self) -> f64 {
        nearest(self.wavelength_shift_m() / WAVELENGTH_STEP_M) * WAVELENGTH_STEP_M
    }

    /// Share of the drive that the supply allows: `(V - 2.5)/(4.5 - 2.5)`, brought into 0 to 1 (own).
    #[must_use]
    pub fn supply_share(&self) -> f64 {
        ((self.supply_v - DARK_SUPPLY_V) / (FULL_DRIVE_SUPPLY_V - DARK_SUPPLY_V)).clamp(0.0, 1.0)
    }

    /// Largest drive at the present supply: of a loop its limit times [`Self::supply_share`], of a
    /// fixed drive its setting times that share.
    #[must_use]
    pub fn drive_limit(&self) -> f64 {
        self.supply_share()
            * match self.control {
                Control::Fixed { drive } => drive,
                Control::Loop { drive_max, .. } => drive_max,
            }
    }

    /// What the optics take: drive and output.
    #[must_use]
    pub fn illumination(&self, state: &LampState) -> Illumination {
        Illumination { drive: state.drive, ageing: self.output() }
    }

    /// What a technician can read of the source.
    #[must_use]
    pub fn reading(&self, state: &LampState) -> LampReading {
        let limit = self.drive_limit();
        let used = if limit > 0.0 { (state.drive / limit).clamp(0.0, 1.0) } else { 1.0 };
        LampReading { drive: state.drive, used, reserve: 1.0 - used, saturated: used >= 1.0 }
    }
}

/// What a technician can read of the source.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LampReading {
    /// Drive u, 1 nominal.
    pub drive: f64,
    /// Drive against the largest that the supply allows, 0 to 1; grows with dirt and age.
    pub used: f64,
    /// Light reserve, `1 - used`: 0 when the loop can do no more, and without a loop.
    pub reserve: f64,
    /// Whether the drive is at its limit: from here on dirt and age show in the amplitude.
    pub saturated: bool,
}

/// What the brightness loop carries: the drive.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct LampState {
    /// Drive u, 0 to the limit; 1 nominal.
    pub drive: f64,
}

impl LampState {
    /// A source that has been on for long on a clean scale.
    #[must_use]
    pub fn new(params: &LampParams) -> Self {
        let mut state = Self { drive: 1.0 };
        let mean_a = match params.control {
            Control::Fixed { .. } => 0.0,
            Control::Loop { reference_a, .. } => reference_a,
        };
        step(params, &mut state, mean_a, 0.0);
        state
    }

    /// Puts the drive where the loop ends under the mean current `mean_a`, A, that the fields
    /// give at the present drive; `constant_a` of it (dark, ambient), A, does not follow the drive.
    pub fn settle(&mut self, params: &LampParams, mean_a: f64, constant_a: f64) {
        let Control::Loop { reference_a, drive_min, .. } = params.control else {
            self.drive = params.drive_limit();
            return;
        };
        let (follows_a, wanted_a) = (mean_a - constant_a, (reference_a - constant_a).max(0.0));
        // No light at all: the loop runs to its limit.
        let drive = if follows_a > 0.0 { self.drive * wanted_a / follows_a } else { f64::INFINITY };
        self.drive = drive.max(drive_min).min(params.drive_limit());
    }
}

/// One step of `dt_s` seconds (at most half the time constant): `u <- u [1 + (dt/tau)(1 - m/m_ref)]`
/// between its limits, with m the mean of the field currents, A, at the last drive.
///
/// The lower limit is also where the drive starts again after a lost supply; the supply's limit
/// wins over it.
#[inline]
pub fn step(params: &LampParams, state: &mut LampState, mean_a: f64, dt_s: f64) {
    let limit = params.drive_limit();
    state.drive = match params.control {
        Control::Fixed { .. } => limit,
        Control::Loop { tau_s, reference_a, drive_min, .. } => {
            let wanted = state.drive * (1.0 + dt_s / tau_s * (1.0 - mean_a / reference_a));
            wanted.max(drive_min).min(limit)
        }
    };
}

/// Light left after `age_s` seconds in operation: `exp(-alpha t)` with alpha from the time
/// `l70_s` to 70 % (above 0), `ln(1/0.7)/L70` (IES TM-21, equation 1, B = 1).
#[must_use]
pub fn ageing(age_s: f64, l70_s: f64) -> f64 {
    exp(ln(0.7) * age_s / l70_s)
}

/// Light at a temperature against 25 C: `1 + k_T (T - 298.15 K)`, at least 0 (common practice).
#[must_use]
pub fn thermal(temperature_k: f64, brightness_per_k: f64) -> f64 {
    (1.0 + brightness_per_k * (temperature_k - REFERENCE_TEMPERATURE_K)).max(0.0)
}

/// Mean current per field of the clean healthy head at its nominal gap, A: what a maker would
/// set the loop to hold. `S J_0` and the dark current.
#[must_use]
pub fn reference_current_a(spec: &ScaleSpec) -> f64 {
    spec.photocurrent_scale_a * table_entry(spec, 0, spec.gap_nominal_m) + spec.dark_current_a
}

#[cfg(test)]
mod tests;
