//! Reading the code track: light per cell, bits, place; joining the place to the fine lines.

use super::{CodeReadError, CodeSequence};
use crate::limits::{self, FieldError};
use crate::num::math::nearest;
use crate::num::random::Stream;
use crate::scale::ScaleSpec;
use crate::surface::{SurfaceGains, SurfaceIndex, WindowCursor};
use serde::{Deserialize, Serialize};

/// How a code is lit and judged; shared by track and disc.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CodeLight {
    /// Reflectance (transmittance) of a bright cell, 0 to 1.
    pub bright: f64,
    /// Reflectance (transmittance) of a dark cell, 0 to below `bright`.
    pub dark: f64,
    /// Brightness `u q` of the light, 0 to 3.
    pub light: f64,
    /// Level above which a cell is a one, between dark (0) and bright (1) at nominal light, 0.05 to 0.95; nominal 0.5.
    pub threshold: f64,
    /// Blur of an edge by the source, `theta_s z_e`, m.
    pub blur_m: f64,
    /// Chance that noise turns a bit, 0 to 0.5.
    pub bit_error_rate: f64,
}

impl CodeLight {
    /// A healthy code of a scale at its nominal gap.
    #[must_use]
    pub fn nominal(spec: &ScaleSpec) -> Self {
        Self {
            bright: spec.bright_reflectance,
            dark: spec.dark_reflectance,
            light: 1.0,
            threshold: 0.5,
            blur_m: spec.source_half_angle_rad * spec.kappa * spec.gap_nominal_m,
            bit_error_rate: 0.0,
        }
    }

    /// Refuses what no code can be.
    ///
    /// # Errors
    /// The first field that is not finite or outside its range.
    pub fn check(&self) -> Result<(), FieldError> {
        limits::within("bright", self.bright, 0.01, 1.0)?;
        limits::within("dark", self.dark, 0.0, 0.9 * self.bright)?;
        limits::within("light", self.light, 0.0, 3.0)?;
        limits::within("threshold", self.threshold, 0.05, 0.95)?;
        limits::within("blur_m", self.blur_m, 0.0, 0.1)?;
        limits::within("bit_error_rate", self.bit_error_rate, 0.0, 0.5)
    }

    /// How far a cell of the given brightness (0 dark to 1 bright) is above the threshold, in
    /// units of the step from dark to bright.
    ///
    /// Light = direct x cell + (what dirt scatters and bare spots throw back): the surface's
    /// mean gain is `g_dc = g_ac + (stray share)` of the scale's mean reflectance `I_0`, here
    /// half way between dark and bright. Missing lines so read as the bare scale.
    #[inline]
    pub(super) fn above_threshold(&self, brightness: f64, gains: SurfaceGains) -> f64 {
        let step = self.bright - self.dark;
        let cell = self.dark + brightness * step;
        let stray = (gains.dc - gains.ac) * 0.5 * (self.bright + self.dark);
        (self.light * (gains.ac * cell + stray) - self.dark) / step - self.threshold
    }

    /// One bit turned by noise or not; draws one number whatever the rate.
    #[inline]
    pub(super) fn noisy(&self, bit: bool, stream: &mut Stream) -> bool {
        if self.bit_error_rate <= 0.0 {
            stream.skip(1);
            return bit;
        }
        bit ^ (stream.uniform() < self.bit_error_rate)
    }
}

/// Everything about a code track that can change, SI.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CodeTrackParams {
    /// Length of a cell, m, 10e-6 to 10e-3.
    pub cell_m: f64,
    /// Scale coordinate where cell 0 begins, m.
    pub origin_m: f64,
    /// Register error: how far the code reads behind the lines, m, within a cell.
    pub register_m: f64,
    /// Light and threshold.
    pub light: CodeLight,
}

impl CodeTrackParams {
    /// The healthy code track of a scale, its first cell at a place.
    #[must_use]
    pub fn nominal(spec: &ScaleSpec, cell_m: f64, origin_m: f64) -> Self {
        Self { cell_m, origin_m, register_m: 0.0, light: CodeLight::nominal(spec) }
    }

    /// Refuses what no code track can be.
    ///
    /// # Errors
    /// The first field that is not finite or outside its range.
    pub fn check(&self) -> Result<(), FieldError> {
        limits::within("cell_m", self.cell_m, 10e-6, 10e-3)?;
        limits::within("origin_m", self.origin_m, -1e3, 1e3)?;
        limits::within("register_m", self.register_m, -self.cell_m, self.cell_m)?;
        self.light.check()
    }
}

/// One reading of the code track.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TrackRead {
    /// Bits as read, the first at the top.
    pub word: u32,
    /// The place of the window's first cell and the way into it, m from `origin_m`, or why not.
    pub coarse_m: Result<f64, CodeReadError>,
    /// How far the most doubtful cell was from the threshold, 0 to about 0.5: the code's light reserve.
    pub reserve: f64,
}

/// A code track with its sequence. Rebuilt when parameters change; not saved.
#[derive(Clone, Debug, PartialEq)]
pub struct CodeTrack {
    sequence: CodeSequence,
    params: CodeTrackParams,
    /// Share of a neighbour's step that leaks over an edge.
    leak: f64,
}

impl CodeTrack {
    /// A track of this sequence.
    ///
    /// # Errors
    /// As [`CodeTrackParams::check`].
    pub fn new(sequence: CodeSequence, params: &CodeTrackParams) -> Result<Self, FieldError> {
        params.check()?;
        // An edge blurred over 2 b leaks b/4 of the step into the next cell: one cell alone
        // keeps 1 - b/(2 w), the same law as for the reference mark.
        let leak = params.light.blur_m.min(params.cell_m) / (4.0 * params.cell_m);
        Ok(Self { sequence, params: *params, leak })
    }

    /// The sequence.
    #[must_use]
    pub fn sequence(&self) -> &CodeSequence {
        &self.sequence
    }

    /// Length of a cell and the scale coordinate where cell 0 begins, m.
    #[must_use]
    pub fn cells_m(&self) -> (f64, f64) {
        (self.params.cell_m, self.params.origin_m)
    }

    /// Length over which places are unique, m.
    #[must_use]
    pub fn unique_m(&self) -> f64 {
        f64::from(self.sequence.places()) * self.params.cell_m
    }

    /// Reads the code with the head at a place on the scale, m: the whole cells from the one
    /// under the head on. A place beyond the unique length reads as one within it. Draws one
    /// number per bit from the stream.
    pub fn read(&self, x_m: f64, surface: &SurfaceIndex, cursor: &mut WindowCursor, stream: &mut Stream) -> TrackRead {
        let p = &self.params;
        // In a place that is no number the first cell answers; whole cells fit an i64 by far.
        let along = (x_m - p.origin_m - p.register_m) / p.cell_m;
        let along = if along.abs() < 1e12 { along } else { 0.0 };
        let first = along.floor();
        let (mut word, mut reserve) = (0, f64::INFINITY);
        for i in 0..self.sequence.word_bits() {
            let cell = first as i64 + i64::from(i);
            let bright = |k: i64| f64::from(u8::from(self.sequence.bit(k)));
            let own = bright(cell);
            let brightness = own + self.leak * (bright(cell - 1) - own) + self.leak * (bright(cell + 1) - own);
            let from_m = p.origin_m + (first + f64::from(i)) * p.cell_m;
            let gains = surface.mean(from_m, from_m + p.cell_m, cursor);
            let above = p.light.above_threshold(brightness, gains);
            reserve = above.abs().min(reserve);
            word = word << 1 | u32::from(p.light.noisy(above > 0.0, stream));
        }
        let coarse_m = self.sequence.decode(word).map(|place| (f64::from(place) + along - first) * p.cell_m);
        TrackRead { word, coarse_m, reserve }
    }
}

/// The place from code and lines: the fine phase, turns, in the period that is nearest to the
/// coarse place.
///
/// # Errors
/// [`CodeReadError::Disagree`] when both are more than a quarter period apart: then the next
/// bit of register error would choose the wrong period.
pub fn combine(coarse_m: f64, phase_turns: f64, period_m: f64) -> Result<f64, CodeReadError> {
    let periods = nearest(coarse_m / period_m - phase_turns);
    let fine_m = (periods + phase_turns) * period_m;
    let off_m = coarse_m - fine_m;
    // The last bits of a sum are no disagreement.
    if off_m.abs() <= period_m / 4.0 * (1.0 + 1e-9) { Ok(fine_m) } else { Err(CodeReadError::Disagree { off_m }) }
}
