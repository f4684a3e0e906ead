//! One field of the head in a pose: what does not move with the gap.

use super::{FieldCondition, HeadPose};
use crate::chain::light::{HARMONICS, talbot_length_m, yaw_factor};
use crate::num::math::{cos, sin, sinc, sincos_turns, tan};
use crate::scale::{Field, ScaleSpec};

/// What does not move with the gap.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct FieldFrame {
    /// Centre in head axes, m.
    pub x_m: f64,
    pub y_m: f64,
    /// Half the window along travel, m.
    pub half_length_m: f64,
    /// Half the spread of gaps inside the field, m; 0 where it does not matter.
    pub half_spread_m: f64,
    /// Sine and cosine of the phase without the gap-dependent shift.
    pub phase: (f64, f64),
    /// Current per unit of `J_n` at brightness 1, A: coverage, yaw, condition; `[0]` the mean.
    pub weight_a: [f64; HARMONICS],
    /// Dark current and ambient light, A.
    pub constant_a: f64,
    /// Number of the first field that looks at the same stretch of the scale.
    pub window: usize,
}

impl FieldFrame {
    /// Stretch of the scale that the field sees with the head at `x_m`.
    #[inline]
    pub fn window_m(&self, x_m: f64) -> (f64, f64) {
        let middle_m = x_m + self.x_m;
        (middle_m - self.half_length_m, middle_m + self.half_length_m)
    }

    /// Field `k` of a head in a pose: coverage, yaw and detune losses, phase.
    pub fn of(spec: &ScaleSpec, k: usize, pose: &HeadPose, own: &FieldCondition) -> Self {
        let field = &spec.fields[k];
        let p = spec.period_m;
        let (yaw_sin, yaw_cos) = (sin(pose.yaw_rad), cos(pose.yaw_rad));
        let full_a = spec.photocurrent_scale_a;
        let beside = spec.off_track_reflectance / spec.mean_reflectance();
        let (share, inside_m, y_m) = coverage(field, pose.lateral_m, spec.track_width_m);
        // `J_0` carries the collected power, so light from beside the track scales with it.
        let mut weight_a = [full_a * own.mean * (share + (1.0 - share) * beside); HARMONICS];
        for (n, weight) in (0_u8..).zip(weight_a.iter_mut()).skip(1) {
            let yaw = yaw_factor(n, pose.yaw_rad, field.length_m, inside_m, p);
            let detune = detune_factor(n, pose.detune, field.length_m, p);
            *weight = 2.0 * full_a * own.signal * share * yaw * detune;
        }
        let spread_limit_m = 0.1 * talbot_length_m(p, spec.wavelength_m) / 4.0 / spec.kappa;
        let spread_m = (field.length_m * tan(pose.pitch_rad).abs()).max(field.height_m * tan(pose.roll_rad).abs());
        let stretch = yaw_cos - 1.0 + pose.detune;
        let same_window = |other: &Field| {
            let here = |f: &Field| (f.x_m, f.length_m, f.y_m, f.height_m);
            here(other) == here(field)
        };
        Self {
            x_m: field.x_m,
            y_m: field.y_m,
            half_length_m: field.length_m / 2.0,
            half_spread_m: if spread_m > spread_limit_m { spread_m / 2.0 } else { 0.0 },
            phase: sincos_turns((field.x_m * stretch - y_m * yaw_sin) / p + own.misphase_turns - field.phase_turns),
            weight_a,
            constant_a: own.ambient_a + spec.dark_current_a,
            window: spec.fields.iter().position(same_window).unwrap_or(k),
        }
    }
}

/// Part of a field that lies on the track: `(share, height, centre in head axes)`.
pub(super) fn coverage(field: &Field, lateral_m: f64, track_width_m: f64) -> (f64, f64, f64) {
    let middle_m = lateral_m + field.y_m;
    let low_m = (middle_m - field.height_m / 2.0).max(-track_width_m / 2.0);
    let high_m = (middle_m + field.height_m / 2.0).min(track_width_m / 2.0);
    let inside_m = high_m - low_m;
    if inside_m <= 0.0 {
        return (0.0, 0.0, field.y_m);
    }
    let centre_m = 0.5 * (low_m + high_m) - lateral_m;
    ((inside_m / field.height_m).min(1.0), inside_m, centre_m)
}

/// Loss by a mismatch of image and mask over a field of length L: `sinc(n L |1/p_image - 1/p_mask|)`, with
/// the mismatch as `detune = p (1/p_image - 1/p_mask)`; a disc head off by `dR`: `sinc(n L dR/(r p))`.
#[must_use]
pub fn detune_factor(n: u8, detune: f64, length_m: f64, period_m: f64) -> f64 {
    sinc(f64::from(n) * length_m * detune / period_m)
}
