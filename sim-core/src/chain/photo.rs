//! From light to photocurrents: alignment, dirt and brightness at each detector field.
//!
//! The slow part, [`HeadOptics`], holds what changes with parameters and gap: per field a
//! phase and a polynomial in the cosine of the signal phase. The fast part,
//! [`HeadOptics::currents`], is one sine-cosine of the position, a rotation and a polynomial
//! per field. Dirt windows do not turn with yaw; polarisation, ghost images and light passing
//! the mask twice are left out.

use crate::chain::light::{GapTable, HARMONICS, talbot_length_m, yaw_factor};
use crate::num::math::{GAUSS3_NODES, GAUSS3_WEIGHTS, cos, sin, sincos_turns, tan};
use crate::scale::{Field, ScaleSpec};
use crate::surface::{SurfaceCursor, SurfaceGains, SurfaceIndex, WindowCursor};
use serde::{Deserialize, Serialize};

/// How the head sits over the scale. SI units, radians.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct HeadPose {
    /// Gap at the head centre, m, within the scale's range.
    pub gap_m: f64,
    /// Pitch angle about y (across travel): one end of the head higher than the other, rad.
    pub pitch_rad: f64,
    /// Roll about x (along travel): one side of the head higher than the other, rad.
    pub roll_rad: f64,
    /// Yaw about z (the scale's normal): mask lines at an angle to the scale's, rad.
    pub yaw_rad: f64,
    /// Offset of the head along the lines from the middle of the track, m.
    pub lateral_m: f64,
}

impl HeadPose {
    /// The head as the maker meant it: nominal gap, square and centred.
    #[must_use]
    pub fn nominal(spec: &ScaleSpec) -> Self {
        Self { gap_m: spec.gap_nominal_m, pitch_rad: 0.0, roll_rad: 0.0, yaw_rad: 0.0, lateral_m: 0.0 }
    }
}

/// How bright the light source is.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Illumination {
    /// Drive u, 1 nominal, 0.1 to 2; what a brightness loop moves.
    pub drive: f64,
    /// Ageing x temperature q, 1 new and at 25 C, 0.5 to 1.1.
    pub ageing: f64,
}

impl Illumination {
    /// A new source at nominal drive.
    pub const NOMINAL: Self = Self { drive: 1.0, ageing: 1.0 };
}

/// What is the matter with one field of the head itself; stays with the head when it moves.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct FieldCondition {
    /// Factor on the periodic part: film on the head's window, weak photodiode, 0 to 1.
    pub signal: f64,
    /// Factor on the mean light, 0 to 1; equal to `signal` for pure absorption.
    pub mean: f64,
    /// Misphase of this field's mask, turns, 0 to 0.02.
    pub misphase_turns: f64,
    /// Current from ambient light, A.
    pub ambient_a: f64,
}

impl FieldCondition {
    /// A healthy field in the dark.
    pub const HEALTHY: Self = Self { signal: 1.0, mean: 1.0, misphase_turns: 0.0, ambient_a: 0.0 };
}

/// Conditions of the four fields; two-window heads use the first two.
pub type HeadCondition = [FieldCondition; 4];

/// A healthy head.
pub const HEALTHY_HEAD: HeadCondition = [FieldCondition::HEALTHY; 4];

/// Photocurrents of one instant.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Photocurrents {
    /// Current of each field, A; 0 for fields the head does not have.
    pub field: [f64; 4],
    /// Brightness of each field for drawing, 0 dark to 1 as bright as a healthy head gets.
    pub lit: [f64; 4],
}

/// What does not move with the gap.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct FieldFrame {
    /// Centre in head axes, m.
    x_m: f64,
    y_m: f64,
    /// Half the window along travel, m.
    half_length_m: f64,
    /// Half the spread of gaps inside the field, m; 0 where it does not matter.
    half_spread_m: f64,
    /// Phase without the gap-dependent shift, turns.
    phase_turns: f64,
    /// Current per unit of `J_n` at brightness 1, A: coverage, yaw, condition; `[0]` the mean.
    weight_a: [f64; HARMONICS],
    /// Dark current and ambient light, A.
    constant_a: f64,
    /// Number of the first field that looks at the same stretch of the scale.
    window: usize,
}

impl FieldFrame {
    /// What the surface under this field does to its light, the head at `x_m`.
    #[inline]
    fn surface_gains(&self, x_m: f64, surface: &SurfaceIndex, cursor: &mut WindowCursor) -> SurfaceGains {
        let middle_m = x_m + self.x_m;
        surface.mean(middle_m - self.half_length_m, middle_m + self.half_length_m, cursor)
    }
}

/// One field at the present gap.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct FieldWave {
    /// Rotation from the phase of `x/p` to this field's phase.
    turn_sin: f64,
    turn_cos: f64,
    /// Mean current on a clean scale at brightness 1, A.
    mean_a: f64,
    /// Fundamental of the periodic current on a clean scale at brightness 1, A, signed.
    fundamental_a: f64,
    /// Periodic current at brightness 1 as a power series in the cosine of the phase, A.
    power_a: [f64; HARMONICS],
}

/// Slow coefficients of a head in its pose: everything but the position and the dirt.
#[derive(Clone, Debug, PartialEq)]
pub struct HeadOptics {
    periods_per_m: f64,
    kappa: f64,
    pitch_tan: f64,
    roll_tan: f64,
    count: usize,
    frames: [FieldFrame; 4],
    waves: [FieldWave; 4],
    lit_per_a: f64,
    brightness: f64,
    gap_m: f64,
}

/// Part of a field that lies on the track: `(share, height, centre in head axes)`.
fn coverage(field: &Field, lateral_m: f64, track_width_m: f64) -> (f64, f64, f64) {
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

/// Power series of `SUM a_n T_n(c)` in `c = cos`, by the Chebyshev polynomials up to the fifth.
fn power_series(a: &[f64; HARMONICS]) -> [f64; HARMONICS] {
    [
        a[4] - a[2],
        a[1] - 3.0 * a[3] + 5.0 * a[5],
        2.0 * a[2] - 8.0 * a[4],
        4.0 * a[3] - 20.0 * a[5],
        8.0 * a[4],
        16.0 * a[5],
    ]
}

impl HeadOptics {
    /// Works out the coefficients of a head in a pose.
    ///
    /// Field k: phase `[x_k (cos psi - 1) - y_k sin psi]/p + z_e tan(beta)/p + delta_k - phi_k`
    /// turns, gap `z + x_k tan(beta) + y_k tan(rho)`, yaw factor over the part on the track.
    #[must_use]
    pub fn new(
        spec: &ScaleSpec,
        table: &GapTable,
        pose: &HeadPose,
        light: Illumination,
        condition: &HeadCondition,
    ) -> Self {
        let p = spec.period_m;
        let (pitch_tan, roll_tan) = (tan(pose.pitch_rad), tan(pose.roll_rad));
        let (yaw_sin, yaw_cos) = (sin(pose.yaw_rad), cos(pose.yaw_rad));
        let full_a = spec.photocurrent_scale_a;
        let beside = spec.off_track_reflectance / spec.mean_reflectance();
        let spread_limit_m = 0.1 * talbot_length_m(p, spec.wavelength_m) / 4.0 / spec.kappa;
        let count = spec.fields.len().min(4);
        let mut frames = [FieldFrame::default(); 4];
        for (k, field) in spec.fields.iter().take(4).enumerate() {
            let (share, inside_m, y_m) = coverage(field, pose.lateral_m, spec.track_width_m);
            let own = &condition[k];
            // `J_0` carries the collected power, so light from beside the track scales with it.
            let mut weight_a = [full_a * own.mean * (share + (1.0 - share) * beside); 6];
            for (n, weight) in (0_u8..).zip(weight_a.iter_mut()).skip(1) {
                let yaw = yaw_factor(n, pose.yaw_rad, field.length_m, inside_m, p);
                *weight = 2.0 * full_a * own.signal * share * yaw;
            }
            let spread_m = (field.length_m * pitch_tan.abs()).max(field.height_m * roll_tan.abs());
            let same_window = |other: &Field| other.x_m == field.x_m && other.length_m == field.length_m;
            frames[k] = FieldFrame {
                x_m: field.x_m,
                y_m: field.y_m,
                half_length_m: field.length_m / 2.0,
                half_spread_m: if spread_m > spread_limit_m { spread_m / 2.0 } else { 0.0 },
                phase_turns: (field.x_m * (yaw_cos - 1.0) - y_m * yaw_sin) / p + own.misphase_turns - field.phase_turns,
                weight_a,
                constant_a: own.ambient_a + spec.dark_current_a,
                window: spec.fields.iter().position(same_window).unwrap_or(k),
            };
        }
        let nominal = table.at(spec.gap_nominal_m);
        let brightest = nominal[0] + 2.0 * nominal[1..].iter().sum::<f64>();
        let mut optics = Self {
            periods_per_m: 1.0 / p,
            kappa: spec.kappa,
            pitch_tan,
            roll_tan,
            count,
            frames,
            waves: [FieldWave::default(); 4],
            lit_per_a: 1.0 / (spec.photocurrent_scale_a * brightest),
            brightness: 1.0,
            gap_m: f64::NAN,
        };
        optics.set_illumination(light);
        optics.set_gap(table, pose.gap_m);
        optics
    }

    /// Moves the head to another gap at its centre, m. Cheap: a table look-up per field, so
    /// that it can follow the wedge of the guide in every step.
    pub fn set_gap(&mut self, table: &GapTable, gap_m: f64) {
        if gap_m == self.gap_m {
            return;
        }
        self.gap_m = gap_m;
        // A pitched head reads shifted by z_e tan(beta) (own approximation).
        let shift_turns = self.kappa * gap_m * self.pitch_tan * self.periods_per_m;
        for (frame, wave) in self.frames.iter().zip(&mut self.waves).take(self.count) {
            let field_gap_m = gap_m + frame.x_m * self.pitch_tan + frame.y_m * self.roll_tan;
            let light = if frame.half_spread_m == 0.0 {
                table.at(field_gap_m)
            } else {
                spread_mean(table, field_gap_m, frame.half_spread_m)
            };
            let mut periodic_a = [0.0; HARMONICS];
            for n in 1..HARMONICS {
                periodic_a[n] = frame.weight_a[n] * light[n];
            }
            let (turn_sin, turn_cos) = sincos_turns(frame.phase_turns + shift_turns);
            *wave = FieldWave {
                turn_sin,
                turn_cos,
                mean_a: frame.weight_a[0] * light[0],
                fundamental_a: periodic_a[1],
                power_a: power_series(&periodic_a),
            };
        }
    }

    /// Sets the brightness `u q`. One multiplication, so that a brightness loop can move the
    /// drive in every step.
    pub fn set_illumination(&mut self, light: Illumination) {
        self.brightness = light.drive * light.ageing;
    }

    /// Amplitude of the difference of two fields' fundamentals, A, with the dirt gains of both: what a
    /// differential channel swings by. Phasors, so that a misphase between the two costs amplitude.
    #[must_use]
    pub fn pair_amplitude_a(&self, k: usize, l: usize, gains: &[SurfaceGains; 4]) -> f64 {
        let phasor = |n: usize| {
            let (wave, size) = (&self.waves[n], self.brightness * gains[n].ac * self.waves[n].fundamental_a);
            (size * wave.turn_cos, size * wave.turn_sin)
        };
        let (a, b) = (phasor(k), phasor(l));
        let (re, im) = (a.0 - b.0, a.1 - b.1);
        (re * re + im * im).sqrt()
    }

    /// Amplitude and mean of one field's current, A, with its dirt gains.
    #[must_use]
    pub fn field_swing_a(&self, k: usize, gains: &[SurfaceGains; 4]) -> (f64, f64) {
        let wave = &self.waves[k];
        let amplitude = (self.brightness * gains[k].ac * wave.fundamental_a).abs();
        (amplitude, self.brightness * gains[k].dc * wave.mean_a + self.frames[k].constant_a)
    }

    /// What the surface does to each field over the scale position `x_m`.
    #[must_use]
    pub fn surface_gains(&self, x_m: f64, surface: &SurfaceIndex, cursor: &mut SurfaceCursor) -> [SurfaceGains; 4] {
        let mut gains = [SurfaceGains::CLEAN; 4];
        if !surface.is_clean() {
            for (k, gain) in gains.iter_mut().enumerate().take(self.count) {
                let (middle_m, half_m) = (x_m + self.frames[k].x_m, self.frames[k].half_length_m);
                *gain = surface.mean(middle_m - half_m, middle_m + half_m, &mut cursor[k]);
            }
        }
        gains
    }

    /// Gap at the head centre, m.
    #[must_use]
    pub fn gap_m(&self) -> f64 {
        self.gap_m
    }

    /// Photocurrents with the head over the scale position `x_m`. The cursor only remembers
    /// where on the surface the head was last.
    #[inline]
    #[must_use]
    pub fn currents(&self, x_m: f64, surface: &SurfaceIndex, cursor: &mut SurfaceCursor) -> Photocurrents {
        let (s, c) = sincos_turns(x_m * self.periods_per_m);
        let mut gains = [SurfaceGains::CLEAN; 4];
        if !surface.is_clean() {
            for k in 0..self.count {
                let frame = &self.frames[k];
                gains[k] = if frame.window < k {
                    gains[frame.window]
                } else {
                    frame.surface_gains(x_m, surface, &mut cursor[k])
                };
            }
        }
        let mut out = Photocurrents::default();
        for (k, (wave, gain)) in self.waves.iter().zip(gains).take(self.count).enumerate() {
            let u = c * wave.turn_cos - s * wave.turn_sin;
            let a = &wave.power_a;
            let periodic_a = a[0] + u * (a[1] + u * (a[2] + u * (a[3] + u * (a[4] + u * a[5]))));
            let current_a =
                self.brightness * (gain.dc * wave.mean_a + gain.ac * periodic_a) + self.frames[k].constant_a;
            out.field[k] = current_a;
            out.lit[k] = (current_a * self.lit_per_a).clamp(0.0, 1.0);
        }
        out
    }

    /// Mean current of the fields over a period under the given position, A: what a brightness
    /// loop watches.
    #[must_use]
    pub fn mean_current_a(&self, x_m: f64, surface: &SurfaceIndex, cursor: &mut SurfaceCursor) -> f64 {
        let mut sum_a = 0.0;
        let fields = self.frames.iter().zip(&self.waves).zip(cursor);
        for ((frame, wave), cursor) in fields.take(self.count) {
            let gain = frame.surface_gains(x_m, surface, cursor);
            sum_a += self.brightness * gain.dc * wave.mean_a + frame.constant_a;
        }
        sum_a / self.count.max(1) as f64
    }
}

/// Mean of the table over the spread of gaps inside a field, three Gauss points.
fn spread_mean(table: &GapTable, gap_m: f64, half_spread_m: f64) -> [f64; HARMONICS] {
    let mut mean = [0.0; HARMONICS];
    for (node, weight) in GAUSS3_NODES.iter().zip(GAUSS3_WEIGHTS) {
        let row = table.at(gap_m + node * half_spread_m);
        for (sum, j) in mean.iter_mut().zip(row) {
            *sum += weight * j;
        }
    }
    mean
}

#[cfg(test)]
mod laws;
#[cfg(test)]
mod tests;
