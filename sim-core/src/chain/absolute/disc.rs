//! A disc with Gray-coded tracks side by side, read by one slit per track.
//!
//! At every step one track alone changes, so a slit that hesitates on an edge is wrong by one
//! step at most. A Gray word has no check bits: with the light gone it reads zero, and only a
//! jump tells.

use super::{CodeLight, gray};
use crate::limits::{self, FieldError};
use crate::num::random::Stream;
use crate::surface::{SurfaceIndex, WindowCursor};
use serde::{Deserialize, Serialize};
use std::f64::consts::TAU;

/// Width of the reading slits in steps of the finest track (own).
const SLIT_STEPS: f64 = 0.5;

/// Everything about a Gray disc that can change, SI.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GrayDiscParams {
    /// Tracks, one bit each, 3 to 16.
    pub tracks: u32,
    /// Inner edge of the innermost (coarsest) track, m, 1e-3 to 0.2.
    pub inner_m: f64,
    /// Outer edge of the outermost (finest) track, m, beyond `inner_m`, to 0.2.
    pub outer_m: f64,
    /// Skew of the row of slits: how far the innermost reads ahead of the outermost, steps, -4 to 4.
    pub skew_steps: f64,
    /// Light and threshold.
    pub light: CodeLight,
}

/// A Gray disc ready to read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GrayDisc {
    params: GrayDiscParams,
}

impl GrayDisc {
    /// A disc.
    ///
    /// # Errors
    /// The first field that is not finite or outside its range.
    pub fn new(params: &GrayDiscParams) -> Result<Self, FieldError> {
        limits::whole_within("tracks", params.tracks, 3, 16)?;
        limits::within("inner_m", params.inner_m, 1e-3, 0.2)?;
        limits::within("outer_m", params.outer_m, params.inner_m * 1.01, 0.2)?;
        limits::within("skew_steps", params.skew_steps, -4.0, 4.0)?;
        params.light.check()?;
        Ok(Self { params: *params })
    }

    /// Steps per turn, `2^tracks`.
    #[must_use]
    pub fn steps(&self) -> u32 {
        1 << self.params.tracks
    }

    /// Radius of the middle of a track, m; track 0 is the innermost and coarsest.
    #[must_use]
    pub fn track_radius_m(&self, track: u32) -> f64 {
        let width_m = (self.params.outer_m - self.params.inner_m) / f64::from(self.params.tracks);
        self.params.inner_m + (f64::from(track) + 0.5) * width_m
    }

    /// The step under the slits, 0 to `steps - 1`, with the disc at an angle, turns. Dirt is
    /// looked up on the circle of the finest track and lies across all tracks. Draws one
    /// number per track from the stream.
    pub fn read(&self, turns: f64, surface: &SurfaceIndex, cursor: &mut WindowCursor, stream: &mut Stream) -> u32 {
        let p = &self.params;
        let steps = f64::from(self.steps());
        // A broken angle reads as zero.
        let turns = if turns.abs() < 1e12 { turns - turns.floor() } else { 0.0 };
        let circle_m = TAU * self.track_radius_m(p.tracks - 1);
        let half_slit_m = 0.5 * SLIT_STEPS / steps * circle_m;
        let gains = surface.mean(turns * circle_m - half_slit_m, turns * circle_m + half_slit_m, cursor);
        let mut word = 0;
        for track in 0..p.tracks {
            let inwards = f64::from(p.tracks - 1 - track) / f64::from(p.tracks - 1);
            let at = turns * steps + p.skew_steps * inwards;
            // Blur is a length; on an inner track it covers more of a turn.
            let step_m = TAU * self.track_radius_m(track) / steps;
            let ramp = SLIT_STEPS + 2.0 * p.light.blur_m / step_m;
            let brightness = (0.5 + self.inside_steps(track, at) / ramp).clamp(0.0, 1.0);
            let above = p.light.above_threshold(brightness, gains);
            word = word << 1 | u32::from(p.light.noisy(above > 0.0, stream));
        }
        gray::decode(word)
    }

    /// How far inside the nearest bright sector of a track a place is, steps; negative outside.
    fn inside_steps(&self, track: u32, at: f64) -> f64 {
        // Bit b of a Gray code is bright in the middle half of 4 x 2^b steps, the top bit in
        // the second half of the turn: one law, its sector centred at 3/4 of the turn.
        let weight = f64::from(1_u32 << (self.params.tracks - 1 - track));
        let (period, centre, half) = if track == 0 { (2.0, 1.5, 0.5) } else { (4.0, 2.0, 1.0) };
        let u = at / weight / period;
        let from_centre = ((u - u.floor()) * period - centre).abs();
        (half - from_centre.min(period - from_centre)) * weight
    }
}
