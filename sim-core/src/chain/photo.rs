//! From light to photocurrents: alignment, dirt and brightness at each detector field.
//!
//! The slow part, [`HeadOptics`], holds what changes with parameters and gap: per field a
//! phase and a polynomial in the cosine of the signal phase. The fast part is a rotation and a
//! polynomial per field: [`HeadOptics::currents`] at any place, [`HeadOptics::sweep`] along a
//! model step. Dirt windows do not turn with yaw; polarisation, ghost images and light passing
//! the mask twice are left out.

use crate::chain::light::{GapTable, HARMONICS};
use crate::num::math::{GAUSS3_NODES, GAUSS3_WEIGHTS, sincos_turns, tan};
use crate::scale::ScaleSpec;
use crate::surface::{LiquidShift, SurfaceCursor, SurfaceGains, SurfaceIndex};
use serde::{Deserialize, Serialize};

mod condition;
mod frame;
mod sweep;
mod waves;
mod window;
pub use condition::{FieldCondition, HEALTHY_HEAD, HeadCondition, WindowFilm, WindowFilmError};
use frame::FieldFrame;
pub use frame::detune_factor;
pub use sweep::Sweep;
use waves::Waves;
pub use window::{HeadWindow, WindowDirt, WindowPart};

/// Fields that a head has at most.
const MAX_FIELDS: usize = 4;

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
    /// Mismatch between the lines as imaged and the mask, `p (1/p_image - 1/p_mask)`, -0.1 to 0.1.
    /// A head on a disc that sits `dR` too far out: `dR/r`. Also thermal growth, unequal distances.
    #[serde(default)]
    pub detune: f64,
}

impl HeadPose {
    /// The head as the maker meant it: nominal gap, square and centred.
    #[must_use]
    pub fn nominal(spec: &ScaleSpec) -> Self {
        let gap_m = spec.gap_nominal_m;
        Self { gap_m, pitch_rad: 0.0, roll_rad: 0.0, yaw_rad: 0.0, lateral_m: 0.0, detune: 0.0 }
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

/// Photocurrents of one instant.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Photocurrents {
    /// Current of each field, A; 0 for fields the head does not have.
    pub field: [f64; 4],
    /// Brightness of each field for drawing, 0 dark to 1 as bright as a healthy head gets.
    pub lit: [f64; 4],
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
    waves: Waves,
    lit_per_a: f64,
    brightness: f64,
    condition: HeadCondition,
    pose: HeadPose,
    liquid: [LiquidShift; 4],
}

impl HeadOptics {
    /// Works out the coefficients of a head in a pose.
    ///
    /// Field k: phase `[x_k (cos psi - 1) - y_k sin psi]/p + z_e tan(beta)/p + delta_k - phi_k`
    /// turns, gap `z + x_k tan(beta) + y_k tan(rho)`, yaw and detune losses over the part on the
    /// track. Detune also shifts the phase between fields, by `x_k` times its mismatch over p.
    #[must_use]
    pub fn new(
        spec: &ScaleSpec,
        table: &GapTable,
        pose: &HeadPose,
        light: Illumination,
        condition: &HeadCondition,
    ) -> Self {
        let nominal = table.at(spec.gap_nominal_m);
        let brightest = nominal[0] + 2.0 * nominal[1..].iter().sum::<f64>();
        let mut optics = Self {
            periods_per_m: 1.0 / spec.period_m,
            kappa: spec.kappa,
            pitch_tan: 0.0,
            roll_tan: 0.0,
            count: spec.fields.len().min(4),
            frames: [FieldFrame::default(); 4],
            waves: Waves::default(),
            lit_per_a: 1.0 / (spec.photocurrent_scale_a * brightest),
            brightness: 1.0,
            condition: *condition,
            pose: *pose,
            liquid: [LiquidShift::default(); 4],
        };
        optics.set_illumination(light);
        optics.make_frames(spec);
        optics.make_waves(table, 1.0);
        optics
    }

    /// Works out what the angles, the lateral offset and the condition of the head decide.
    fn make_frames(&mut self, spec: &ScaleSpec) {
        (self.pitch_tan, self.roll_tan) = (tan(self.pose.pitch_rad), tan(self.pose.roll_rad));
        for (k, frame) in self.frames.iter_mut().enumerate().take(self.count) {
            *frame = FieldFrame::of(spec, k, &self.pose, &self.condition[k]);
        }
    }

    /// Works out the light of each field at the present gap under the present liquid.
    fn make_waves(&mut self, table: &GapTable, densest: f64) {
        // A pitched head reads shifted by z_e tan(beta) (own approximation).
        let shift_turns = self.kappa * self.pose.gap_m * self.pitch_tan * self.periods_per_m;
        let (shift_sin, shift_cos) = if shift_turns == 0.0 { (0.0, 1.0) } else { sincos_turns(shift_turns) };
        let (mut light, mut latest) = ([0.0; HARMONICS], None);
        for (k, frame) in self.frames.iter().enumerate().take(self.count) {
            let mut field_gap_m = self.pose.gap_m + frame.x_m * self.pitch_tan + frame.y_m * self.roll_tan;
            if self.liquid[k] != LiquidShift::default() {
                field_gap_m = self.liquid[k].optical_gap_m(field_gap_m, densest);
            }
            // The fields of a head that stands square share one gap.
            if latest != Some((field_gap_m, frame.half_spread_m)) {
                light = spread_mean(table, field_gap_m, frame.half_spread_m);
                latest = Some((field_gap_m, frame.half_spread_m));
            }
            let mut periodic_a = [0.0; HARMONICS];
            for n in 1..HARMONICS {
                periodic_a[n] = frame.weight_a[n] * light[n];
            }
            let (s, c) = frame.phase;
            self.waves.turn_sin[k] = s * shift_cos + c * shift_sin;
            self.waves.turn_cos[k] = c * shift_cos - s * shift_sin;
            self.waves.mean_a[k] = frame.weight_a[0] * light[0];
            self.waves.set_harmonics(k, &periodic_a);
        }
    }

    /// Moves the head to another gap at its centre, m, on a dry scale. Cheap: a table look-up per
    /// field, so that it can follow the wedge of the guide in every step.
    pub fn set_gap(&mut self, table: &GapTable, gap_m: f64) {
        let dry = [LiquidShift::default(); 4];
        if gap_m == self.pose.gap_m && self.liquid == dry {
            return;
        }
        (self.pose.gap_m, self.liquid) = (gap_m, dry);
        self.make_waves(table, 1.0);
    }

    /// Moves the head to another pose over the place `x_m` of a scale that can be wet: once per
    /// step. Only a change of angle, lateral offset or detune costs more than [`Self::set_gap`].
    pub fn follow(
        &mut self,
        spec: &ScaleSpec,
        table: &GapTable,
        pose: &HeadPose,
        x_m: f64,
        surface: &SurfaceIndex,
        cursor: &mut SurfaceCursor,
    ) {
        let old = self.pose;
        let mut liquid = [LiquidShift::default(); 4];
        if surface.has_liquid() {
            for (k, (shift, cursor)) in liquid.iter_mut().zip(cursor).enumerate().take(self.count) {
                let (from_m, to_m) = self.frames[k].window_m(x_m);
                *shift = surface.field_liquid(k, from_m, to_m, cursor);
            }
        }
        if old == *pose && liquid == self.liquid {
            return;
        }
        (self.pose, self.liquid) = (*pose, liquid);
        if old != (HeadPose { gap_m: old.gap_m, ..*pose }) {
            self.make_frames(spec);
        }
        self.make_waves(table, surface.densest());
    }

    /// Brightness `u q` now, 1 nominal.
    #[must_use]
    pub fn brightness(&self) -> f64 {
        self.brightness
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
            let size = self.brightness * gains[n].ac * self.waves.fundamental_a[n];
            (size * self.waves.turn_cos[n], size * self.waves.turn_sin[n])
        };
        let (a, b) = (phasor(k), phasor(l));
        let (re, im) = (a.0 - b.0, a.1 - b.1);
        (re * re + im * im).sqrt()
    }

    /// Amplitude and mean of one field's current, A, with its dirt gains.
    #[must_use]
    pub fn field_swing_a(&self, k: usize, gains: &[SurfaceGains; 4]) -> (f64, f64) {
        let amplitude = (self.brightness * gains[k].ac * self.waves.fundamental_a[k]).abs();
        (amplitude, self.mean_a(k, gains[k]))
    }

    /// What the surface does to each field over the scale position `x_m`. The cursor only
    /// remembers where on the surface the head was last.
    #[inline]
    #[must_use]
    pub fn surface_gains(&self, x_m: f64, surface: &SurfaceIndex, cursor: &mut SurfaceCursor) -> [SurfaceGains; 4] {
        let mut gains = [SurfaceGains::CLEAN; 4];
        if !surface.is_clean() {
            for k in 0..self.count {
                let frame = &self.frames[k];
                gains[k] = if frame.window < k {
                    gains[frame.window]
                } else {
                    let (from_m, to_m) = frame.window_m(x_m);
                    surface.field_mean(k, from_m, to_m, &mut cursor[k])
                };
            }
        }
        gains
    }

    /// Gap at the head centre, m.
    #[must_use]
    pub fn gap_m(&self) -> f64 {
        self.pose.gap_m
    }

    /// Photocurrents with the head over the scale position `x_m`. The cursor only remembers
    /// where on the surface the head was last.
    #[inline]
    #[must_use]
    pub fn currents(&self, x_m: f64, surface: &SurfaceIndex, cursor: &mut SurfaceCursor) -> Photocurrents {
        let periodic_a = self.waves.periodic_a(sincos_turns(x_m * self.periods_per_m));
        let gains = self.surface_gains(x_m, surface, cursor);
        let mut field_a = [0.0; MAX_FIELDS];
        for k in 0..self.count {
            field_a[k] = self.mean_a(k, gains[k]) + self.brightness * gains[k].ac * periodic_a[k];
        }
        self.lit(field_a)
    }

    /// Currents of the fields, A, with how bright they look.
    #[must_use]
    pub fn lit(&self, field: [f64; MAX_FIELDS]) -> Photocurrents {
        Photocurrents { field, lit: field.map(|current_a| (current_a * self.lit_per_a).clamp(0.0, 1.0)) }
    }

    /// Mean current of field k with its dirt gains, A.
    #[inline]
    fn mean_a(&self, k: usize, gains: SurfaceGains) -> f64 {
        self.brightness * gains.dc * self.waves.mean_a[k] + self.frames[k].constant_a
    }

    /// Mean current of the fields over a period, A, under what the surface does to each: what a
    /// brightness loop watches.
    #[must_use]
    pub fn mean_current_a(&self, gains: &[SurfaceGains; MAX_FIELDS]) -> f64 {
        let mut sum_a = 0.0;
        for (k, gains) in gains.iter().enumerate().take(self.count) {
            sum_a += self.mean_a(k, *gains);
        }
        sum_a / self.count.max(1) as f64
    }
}

/// Mean of the table over the spread of gaps inside a field, three Gauss points; one where it does not matter.
fn spread_mean(table: &GapTable, gap_m: f64, half_spread_m: f64) -> [f64; HARMONICS] {
    if half_spread_m == 0.0 {
        return table.at(gap_m);
    }
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
