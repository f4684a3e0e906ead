//! How the head stands over the scale at a place and a time: all its degrees of freedom.
//!
//! Wedge, sag and waviness of the guide, bumps of the scale, a guide that is not parallel to the
//! track, vibration, and a head that is loose on its bracket. Evaluated once per model step; what
//! comes out is a [`HeadPose`] for the optics and the shift of the head along the travel.
//!
//! Angles of the head do not change along the travel, the head itself is rigid, and its edges do
//! not touch before its centre does: those are left out.

use super::photo::HeadPose;
use crate::num::math::{nearest, sincos_turns, tan};
use crate::scale::ScaleSpec;
use crate::surface::{Bump, TrackOffset};
use serde::{Deserialize, Serialize};

mod check;
pub use check::AlignmentError;

/// The lateral offset moves in steps of this, m: fine against any lane or field, coarse enough
/// that the yaw and coverage factors are seldom worked out anew.
const LATERAL_STEP_M: f64 = 5e-6;

/// A wave of the guide or the scale along the travel, `a sin(2 pi (X/l + phase))`.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Waviness {
    /// Amplitude a, m, 0 to 1e-3.
    pub amplitude_m: f64,
    /// Wavelength l, m, 1e-4 to 100.
    pub length_m: f64,
    /// Phase at machine zero, turns, -1 to 1.
    pub phase_turns: f64,
}

/// One line of a vibration, `a sin(2 pi (f t + phase))`.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Vibration {
    /// Amplitude a, m, 0 to 1e-3; usually up to 50e-6 of gap or 5e-6 of position.
    pub amplitude_m: f64,
    /// Frequency f, Hz, 0.1 to 2000; usually 10 to 500.
    pub frequency_hz: f64,
    /// Phase at time 0, turns, -1 to 1.
    pub phase_turns: f64,
}

/// Everything that decides where the head is. SI units; places on the axis from machine zero,
/// where `X` below is the place.
#[derive(Clone, Debug, PartialEq)]
pub struct AlignmentParams {
    /// The head at machine zero, at rest: gap, angles, lateral offset, detune.
    pub pose: HeadPose,
    /// Growth of the gap along the travel, m/m, -0.01 to 0.01; usually up to 5e-4.
    pub wedge: f64,
    /// Sag of the guide in the middle of the travel, m, -2e-3 to 2e-3: gap `+ 4 s (X/L)(1 - X/L)`.
    pub sag_m: f64,
    /// Travel L, m, 1e-3 to 100.
    pub travel_m: f64,
    /// Angle eta between guide and track, rad, -0.02 to 0.02: offset `Y = Y_0 + X tan(eta)`.
    pub track_angle_rad: f64,
    /// Waves of the gap, at most 16.
    pub waves: Vec<Waviness>,
    /// Bumps of the scale, at most 16: lifted tape, a chip under it.
    pub bumps: Vec<Bump>,
    /// Vibration of the gap, at most 16 lines.
    pub gap_vibration: Vec<Vibration>,
    /// Vibration of the head along the travel, at most 16 lines.
    pub position_vibration: Vec<Vibration>,
    /// Lost motion of a loose head, full width, m, 0 to 1e-3; usually up to 30e-6.
    pub lost_motion_m: f64,
    /// Smallest and largest gap that the optics cover, m; the smallest is contact.
    pub gap_range_m: (f64, f64),
}

/// What goes on from step to step.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AlignmentState {
    /// Where a loose head lags in its play, m, between minus and plus half of it.
    pub lag_m: f64,
    /// Shift of the head along the travel at the end of the last step, m.
    pub shift_m: f64,
    /// How far the scale has gone from under the head, m; part of the shift.
    #[serde(default)]
    pub scale_m: f64,
}

/// The head over one step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placed {
    /// Pose at the end of the step; its gap lies in the range of the optics.
    pub pose: HeadPose,
    /// Shift along the travel at the start and at the end of the step, m: the head reads at table
    /// place + shift. Straight in between.
    pub shift_m: (f64, f64),
    /// Whether head and scale touch: the gap was held at its smallest.
    pub contact: bool,
    /// Whether the head is further off than the optics cover: the gap was held at its largest.
    pub out_of_reach: bool,
}

impl Placed {
    /// Shift of the head at a part of the step, 0 (start) to 1 (end), m.
    #[inline]
    #[must_use]
    pub fn shift_at_m(&self, part: f64) -> f64 {
        self.shift_m.0 + (self.shift_m.1 - self.shift_m.0) * part
    }
}

impl AlignmentParams {
    /// A rigid head in a pose over a straight, parallel scale.
    #[must_use]
    pub fn rigid(pose: HeadPose, spec: &ScaleSpec, travel_m: f64) -> Self {
        Self {
            pose,
            wedge: 0.0,
            sag_m: 0.0,
            travel_m,
            track_angle_rad: 0.0,
            waves: Vec::new(),
            bumps: Vec::new(),
            gap_vibration: Vec::new(),
            position_vibration: Vec::new(),
            lost_motion_m: 0.0,
            gap_range_m: (spec.gap_min_m, spec.gap_max_m),
        }
    }

    /// Lateral offset along the travel, as the index of the surface wants it.
    #[must_use]
    pub fn track_offset(&self) -> TrackOffset {
        TrackOffset { at_zero_m: self.pose.lateral_m, slope: tan(self.track_angle_rad) }
    }

    /// Gap at rest at a place, m, as geometry has it: it can be negative where a bump is higher
    /// than the gap. Sag acts inside the travel only.
    ///
    /// `z(X) = z_0 + gamma X + 4 s (X/L)(1 - X/L) + SUM a_i sin(2 pi X/l_i) - SUM bumps`.
    #[must_use]
    pub fn free_gap_m(&self, place_m: f64) -> f64 {
        let along = (place_m / self.travel_m).clamp(0.0, 1.0);
        let mut gap_m = self.pose.gap_m + self.wedge * place_m + 4.0 * self.sag_m * along * (1.0 - along);
        for wave in &self.waves {
            gap_m += wave.amplitude_m * sincos_turns(place_m / wave.length_m + wave.phase_turns).0;
        }
        self.bumps.iter().fold(gap_m, |gap_m, bump| gap_m - bump.rise_at_m(place_m))
    }

    /// The head over a step in which the table goes from one place to another, `time_s` at its end.
    pub fn step(&self, state: &mut AlignmentState, from_m: f64, to_m: f64, time_s: f64) -> Placed {
        let half_m = 0.5 * self.lost_motion_m;
        // A loose head stays where it is until its play is used up, so it lags the way it came.
        state.lag_m = (state.lag_m + (from_m - to_m)).clamp(-half_m, half_m);
        let before_m = state.shift_m;
        state.shift_m = state.lag_m + state.scale_m + vibration_m(&self.position_vibration, time_s);
        let placed = self.at(to_m, time_s);
        Placed { shift_m: (before_m, state.shift_m), ..placed }
    }

    /// The head at rest in its play at a place and time: for settling and for drawing. The shift is
    /// the vibration alone.
    #[must_use]
    pub fn at(&self, place_m: f64, time_s: f64) -> Placed {
        let free_m = self.free_gap_m(place_m) + vibration_m(&self.gap_vibration, time_s);
        let (contact_m, reach_m) = self.gap_range_m;
        let mut pose = HeadPose { gap_m: free_m.max(contact_m).min(reach_m), ..self.pose };
        if self.track_angle_rad != 0.0 {
            let lateral_m = self.track_offset().at_m(place_m);
            pose.lateral_m = nearest(lateral_m / LATERAL_STEP_M) * LATERAL_STEP_M;
        }
        let shift_m = vibration_m(&self.position_vibration, time_s);
        Placed { pose, shift_m: (shift_m, shift_m), contact: free_m <= contact_m, out_of_reach: free_m > reach_m }
    }
}

impl AlignmentState {
    /// Forgets the past, the head in the middle of its play, so that the first step does not jump.
    #[must_use]
    pub fn settled(params: &AlignmentParams, time_s: f64) -> Self {
        Self { lag_m: 0.0, shift_m: vibration_m(&params.position_vibration, time_s), scale_m: 0.0 }
    }
}

/// Sum of lines at a time, m.
fn vibration_m(lines: &[Vibration], time_s: f64) -> f64 {
    lines.iter().map(|v| v.amplitude_m * sincos_turns(v.frequency_hz * time_s + v.phase_turns).0).sum()
}

#[cfg(test)]
mod tests;
