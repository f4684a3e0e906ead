//! Discs: from the shaft's angle to the place on the circle of lines.
//!
//! A disc whose pattern sits beside the axis of rotation reads once per turn too much and too
//! little, and its track wanders in and out under the head; a disc that leans lifts and drops
//! it. A second head opposite the first sees the same error with the other sign.

use crate::limits::{self, FieldError};
use crate::num::math::{sinc, sincos_turns};
use serde::{Deserialize, Serialize};
use std::f64::consts::TAU;

/// The circle of lines of a healthy disc.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DiscSpec {
    /// Optical radius r: where the middle of the fields looks, m, 5e-3 to 0.1.
    pub radius_m: f64,
    /// Lines per revolution, 60 to 36000.
    pub lines: u32,
    /// Eccentricity of the pattern as made, m, 0 to 50e-6.
    pub eccentricity_m: f64,
}

impl DiscSpec {
    /// Period at the optical radius, m: `p = 2 pi r/N`.
    #[must_use]
    pub fn period_m(&self) -> f64 {
        TAU * self.radius_m / f64::from(self.lines)
    }

    /// Length of the circle of lines, m.
    #[must_use]
    pub fn circumference_m(&self) -> f64 {
        TAU * self.radius_m
    }
}

/// How a disc sits on its shaft, and where the head looks.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RotaryParams {
    /// Optical radius r, m, 5e-3 to 0.1.
    pub radius_m: f64,
    /// Eccentricity e of the pattern to the axis, m, 0 to 0.2e-3 (0 to 50e-6 is usual; more for a loose disc).
    pub eccentricity_m: f64,
    /// Shaft angle at which the eccentricity adds nothing to the reading, turns, -1 to 1.
    pub eccentricity_at_turns: f64,
    /// Lean of the disc against the plane of rotation, rad, -0.02 to 0.02.
    pub tilt_rad: f64,
    /// Shaft angle of the largest gap, turns, -1 to 1.
    pub tilt_at_turns: f64,
}

/// Where the head is on a turning disc.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct RotaryPlace {
    /// Place along the circle of lines, counted through all turns, m: what phase and counts follow.
    pub x_m: f64,
    /// What run-out adds to the head's offset across the track, towards the axis positive, m.
    pub lateral_m: f64,
    /// What the lean adds to the gap, m.
    pub gap_m: f64,
}

impl RotaryParams {
    /// The disc as made and rightly mounted: its own eccentricity, no lean.
    #[must_use]
    pub fn nominal(disc: &DiscSpec) -> Self {
        Self {
            radius_m: disc.radius_m,
            eccentricity_m: disc.eccentricity_m,
            eccentricity_at_turns: 0.0,
            tilt_rad: 0.0,
            tilt_at_turns: 0.0,
        }
    }

    /// Refuses what no disc can be.
    ///
    /// # Errors
    /// The first field that is not finite or outside its range.
    pub fn check(&self) -> Result<(), FieldError> {
        limits::within("radius_m", self.radius_m, 5e-3, 0.1)?;
        limits::within("eccentricity_m", self.eccentricity_m, 0.0, 0.2e-3)?;
        limits::within("eccentricity_at_turns", self.eccentricity_at_turns, -1.0, 1.0)?;
        limits::within("tilt_rad", self.tilt_rad, -0.02, 0.02)?;
        limits::within("tilt_at_turns", self.tilt_at_turns, -1.0, 1.0)
    }

    /// Amplitude of the once-per-turn angle error, rad: `e/r`; its exact bound is `asin(e/r)`.
    #[must_use]
    pub fn error_amplitude_rad(&self) -> f64 {
        self.eccentricity_m / self.radius_m
    }
}

/// A disc on its shaft, compiled for the question asked at every sample. Not saved.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RotaryScale {
    circumference_m: f64,
    eccentricity_m: f64,
    /// `e^2/r`, m.
    second_m: f64,
    zero_turns: f64,
    /// Gap by lean, m, along and across the eccentricity.
    lean_m: [f64; 2],
}

impl RotaryScale {
    /// Works the disc out.
    ///
    /// # Errors
    /// As [`RotaryParams::check`].
    pub fn new(params: &RotaryParams) -> Result<Self, FieldError> {
        params.check()?;
        let (r, e) = (params.radius_m, params.eccentricity_m);
        let (s, c) = sincos_turns(params.tilt_at_turns - params.eccentricity_at_turns);
        Ok(Self {
            circumference_m: TAU * r,
            eccentricity_m: e,
            second_m: e * e / r,
            zero_turns: params.eccentricity_at_turns,
            lean_m: [r * params.tilt_rad * c, r * params.tilt_rad * s],
        })
    }

    /// Where a head is with the shaft at an angle, turns.
    ///
    /// `x = r theta + e sin(u) + e^2/(2r) sin(2u)`, `u = theta - theta_e`: the first two terms
    /// of the exact triangle of axis, pattern centre and head (its series is
    /// `r SUM (e/r)^k sin(k u)/k`), so good to `r (e/r)^3/3`. Run-out `e cos(u)`, gap
    /// `r alpha cos(theta - theta_w)`. One sine-cosine a call.
    #[inline]
    #[must_use]
    pub fn place(&self, turns: f64) -> RotaryPlace {
        let (s, c) = sincos_turns(turns - self.zero_turns);
        let e = self.eccentricity_m;
        RotaryPlace {
            x_m: self.circumference_m * turns + e * s + self.second_m * s * c,
            lateral_m: e * c,
            gap_m: self.lean_m[0] * c + self.lean_m[1] * s,
        }
    }

    /// Where a second head opposite the first is; its place is given from the first head's zero,
    /// so that on a perfect disc both read the same.
    #[inline]
    #[must_use]
    pub fn place_opposite(&self, turns: f64) -> RotaryPlace {
        let far = self.place(turns + 0.5);
        RotaryPlace { x_m: far.x_m - 0.5 * self.circumference_m, ..far }
    }

    /// Place on the disc that is under a head, for dirt and marks: `x_m` within one turn, m,
    /// from 0 to the circumference.
    #[inline]
    #[must_use]
    pub fn on_disc_m(&self, x_m: f64) -> f64 {
        let turns = x_m / self.circumference_m;
        (turns - turns.floor()) * self.circumference_m
    }
}

/// Reading of two opposite heads: the mean of both places, m. Errors of odd order per turn
/// (eccentricity above all) cancel, those of even order stay.
#[inline]
#[must_use]
pub fn mean_of_opposite_m(first: &RotaryPlace, opposite: &RotaryPlace) -> f64 {
    0.5 * (first.x_m + opposite.x_m)
}

/// Loss of harmonic `n` by a head that looks `offset_m` off its radius, where the lines are
/// wider or narrower than its mask: `sinc(n L dR/(r p))` over a field of length L.
#[must_use]
pub fn radial_detune(n: u8, length_m: f64, offset_m: f64, radius_m: f64, period_m: f64) -> f64 {
    sinc(f64::from(n) * length_m * offset_m / (radius_m * period_m))
}

#[cfg(test)]
mod tests;
