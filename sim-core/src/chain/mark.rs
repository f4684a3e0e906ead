//! The reference mark: a slit code beside the lines, its signal, its gate, where marks are.
//!
//! A pattern of slits passes under its own copy in the head. They cover each other at one
//! place only, so the light there is a narrow peak with low side lobes. Cut at half its
//! height and gated with A and B, it leaves one quarter period per mark, repeatable to a
//! count. The code is a ruler with eight marks all of whose differences are distinct (a Golomb
//! ruler, from memory; the idea of optimised codes is in Saez-Landete, Alonso and Bernabeu,
//! Opt. Express 13, 195, 2005).
//!
//! Left out: yaw of the slits and light from stray slits at the track's ends.

use crate::chain::distance_code::DistancePlan;
use crate::limits::{self, FieldError};
use crate::scale::ScaleSpec;
use crate::surface::{SurfaceIndex, WindowCursor};
use serde::{Deserialize, Serialize};

mod track;
pub use track::{MarkCursor, MarkTrack, NearestMark};

/// Periods from which on a mark is a single slit instead of a code, m.
const COARSE_PERIOD_M: f64 = 200e-6;
/// Width of a cell of the code in periods.
const CELL_PERIODS: f64 = 0.75;
/// Cells of the longest code.
const CELLS: usize = 36;

/// Which slits make a mark.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum SlitCode {
    /// Eight slits at cells 0, 1, 4, 9, 15, 22, 32, 34: peak 8, side lobes at most 1.
    Ruler,
    /// One slit: for coarse scales, where a code would be centimetres long (own choice).
    Single,
}

impl SlitCode {
    /// Cells with a slit.
    #[must_use]
    pub const fn slits(self) -> &'static [u8] {
        match self {
            Self::Ruler => &[0, 1, 4, 9, 15, 22, 32, 34],
            Self::Single => &[0],
        }
    }

    /// Length of the code in cells.
    #[must_use]
    pub const fn cells(self) -> u8 {
        let slits = self.slits();
        slits[slits.len() - 1] + 1
    }

    /// Slits that meet at a shift of a whole number of cells.
    const fn meeting(self) -> [f64; CELLS] {
        let slits = self.slits();
        let mut counts = [0_u8; CELLS];
        let mut i = 0;
        while i < slits.len() {
            let mut j = 0;
            while j <= i {
                counts[(slits[i] - slits[j]) as usize] += 1;
                j += 1;
            }
            i += 1;
        }
        let mut table = [0.0; CELLS];
        let mut k = 0;
        while k < CELLS {
            table[k] = counts[k] as f64;
            k += 1;
        }
        table
    }

    /// Signal in units of one slit's light at a shift in cells: the autocorrelation
    /// `SUM_ij max(0, 1 - |u - (a_j - a_i)|)`, peak equal to the number of slits.
    #[must_use]
    pub fn correlation(self, shift_cells: f64) -> f64 {
        correlate(&self.meeting(), shift_cells)
    }
}

/// Triangles around whole shifts: linear between the numbers of meeting slits.
#[inline]
fn correlate(meeting: &[f64; CELLS], shift_cells: f64) -> f64 {
    let u = shift_cells.abs();
    if u >= (CELLS - 1) as f64 || u.is_nan() {
        return 0.0;
    }
    let k = u as usize;
    meeting[k] + (u - k as f64) * (meeting[k + 1] - meeting[k])
}

/// Where the marks of a scale are. Places are whole multiples of the period; the pattern
/// itself sits an eighth of a period further, in the middle of its gate.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum MarkLayout {
    /// One mark.
    Single {
        /// Its place, m.
        at_m: f64,
    },
    /// Marks at equal distances.
    Periodic {
        /// Place of the first, m.
        first_m: f64,
        /// Distance, m.
        every_m: f64,
        /// How many, 1 to 10 000.
        count: u32,
    },
    /// Marks whose distances tell where they are.
    DistanceCoded {
        /// Scale coordinate of the plan's zero, m.
        zero_m: f64,
        /// The plan.
        plan: DistancePlan,
    },
    /// One mark per revolution of a disc.
    Ring {
        /// Its place on the first turn, m.
        at_m: f64,
        /// Length of the circle of lines, m.
        circumference_m: f64,
    },
}

/// Everything about the marks that can change, SI.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MarkParams {
    /// Slits of a mark.
    pub code: SlitCode,
    /// Width of a cell, m: three quarters of a period.
    pub cell_m: f64,
    /// Signal period p, m.
    pub period_m: f64,
    /// Blur of an edge by the source, `theta_s z_e`, m; more than a cell counts as a cell.
    pub blur_m: f64,
    /// Brightness `u q` of the light, times any film on the head's window, 0 to 3.
    pub light: f64,
    /// Level above which the mark is seen, share of the peak of a sharp bright mark, 0.05 to 0.95; nominal 0.5.
    pub threshold: f64,
    /// Adjustment error of the mark against its gate, m, positive further up the scale, within 2 periods.
    pub adjustment_m: f64,
    /// Where the marks are.
    pub layout: MarkLayout,
    /// A scratch that passes light like a mark, m; none on a sound scale.
    pub false_mark_m: Option<f64>,
    /// Share of their signal that dirt on the slits leaves all marks, 0 to 1.
    #[serde(default = "whole")]
    pub amplitude: f64,
}

/// Clean slits.
fn whole() -> f64 {
    1.0
}

impl MarkParams {
    /// Well adjusted marks of a healthy scale at its nominal gap. Below 200 um of period the
    /// eight-slit code, from there on a single slit.
    #[must_use]
    pub fn nominal(spec: &ScaleSpec, layout: MarkLayout) -> Self {
        let code = if spec.period_m < COARSE_PERIOD_M { SlitCode::Ruler } else { SlitCode::Single };
        Self {
            code,
            cell_m: CELL_PERIODS * spec.period_m,
            period_m: spec.period_m,
            blur_m: blur_m(spec, spec.gap_nominal_m),
            light: 1.0,
            threshold: 0.5,
            adjustment_m: 0.0,
            layout,
            false_mark_m: None,
            amplitude: whole(),
        }
    }

    /// Refuses what no mark can be.
    ///
    /// # Errors
    /// The first field that is not finite or outside its range.
    pub fn check(&self) -> Result<(), FieldError> {
        const FAR_M: f64 = 1e3;
        limits::within("period_m", self.period_m, 1e-6, 2e-3)?;
        limits::within("cell_m", self.cell_m, 0.1 * self.period_m, 4.0 * self.period_m)?;
        limits::within("blur_m", self.blur_m, 0.0, 0.1)?;
        limits::within("light", self.light, 0.0, 3.0)?;
        limits::within("threshold", self.threshold, 0.05, 0.95)?;
        limits::within("adjustment_m", self.adjustment_m, -2.0 * self.period_m, 2.0 * self.period_m)?;
        limits::within("amplitude", self.amplitude, 0.0, 1.0)?;
        if let Some(place_m) = self.false_mark_m {
            limits::within("false_mark_m", place_m, -FAR_M, FAR_M)?;
        }
        // Marks must be apart by their own length, or they are one.
        let length_m = f64::from(self.code.cells()) * self.cell_m;
        match &self.layout {
            MarkLayout::Single { at_m } => limits::within("at_m", *at_m, -FAR_M, FAR_M),
            MarkLayout::Periodic { first_m, every_m, count } => {
                limits::within("first_m", *first_m, -FAR_M, FAR_M)?;
                limits::within("every_m", *every_m, 2.0 * length_m, FAR_M)?;
                limits::whole_within("count", *count, 1, 10_000)
            }
            MarkLayout::DistanceCoded { zero_m, plan } => {
                limits::within("zero_m", *zero_m, -FAR_M, FAR_M)?;
                plan.check()?;
                // The closest marks of the plan must not run into each other either.
                let closest_m = f64::from(plan.closest_periods()) * self.period_m;
                limits::within("plan.closest_m", closest_m, 2.0 * length_m, FAR_M)
            }
            MarkLayout::Ring { at_m, circumference_m } => {
                limits::within("at_m", *at_m, -FAR_M, FAR_M)?;
                limits::within("circumference_m", *circumference_m, 2.0 * length_m, FAR_M)
            }
        }
    }

    /// What the source's blur leaves of the peak: `1 - b/(2 w_c)`, b at most a cell.
    #[must_use]
    pub fn sharpness(&self) -> f64 {
        1.0 - self.blur_m.min(self.cell_m) / (2.0 * self.cell_m)
    }

    /// Width of the pulse above the threshold, m, with `gain` on the signal (1 clean, sharp and
    /// bright); 0 when the peak stays below it. At gain 1 and threshold 1/2 this is the full
    /// width at half maximum, 8/7 of a cell for the eight-slit code.
    #[must_use]
    pub fn pulse_width_m(&self, gain: f64) -> f64 {
        let meeting = self.code.meeting();
        let level = self.threshold * meeting[0];
        let peak = gain * meeting[0];
        if peak <= level {
            return 0.0;
        }
        // The side of the peak runs straight down to the first side lobe.
        2.0 * self.cell_m * (peak - level) / (peak - gain * meeting[1])
    }

    /// Largest harmless adjustment error, m, with `gain` on the signal: the pulse covers its
    /// gate wholly, `|eps| <= (W - p/4)/2`, and touches no neighbouring gate,
    /// `W/2 + |eps| < 7p/8`. None when no adjustment is good.
    #[must_use]
    pub fn tolerance_m(&self, gain: f64) -> Option<f64> {
        let width_m = self.pulse_width_m(gain);
        let covers_m = (width_m - self.period_m / 4.0) / 2.0;
        let alone_m = 7.0 * self.period_m / 8.0 - width_m / 2.0;
        let tolerance_m = covers_m.min(alone_m);
        (tolerance_m >= 0.0).then_some(tolerance_m)
    }
}

/// Blur of the mark's edges at a gap, m: `theta_s z_e`, `z_e = kappa z`.
#[must_use]
pub fn blur_m(spec: &ScaleSpec, gap_m: f64) -> f64 {
    spec.source_half_angle_rad * spec.kappa * gap_m.max(0.0)
}

/// The gate of two analog channels measured from their thresholds: both high, an eighth of a
/// turn around the phase 1/8.
#[inline]
#[must_use]
pub fn gate(a_v: f64, b_v: f64) -> bool {
    a_v > 0.0 && b_v > 0.0
}

/// The gate of an interpolated input: the one step in each signal period that lies at the
/// middle of the analog gate. `step` counts quarter square periods from phase 0, `factor` is
/// the number of square periods per signal period, 1 or more.
#[inline]
#[must_use]
pub fn gate_step(step: i64, factor: u32) -> bool {
    let factor = i64::from(factor.max(1));
    (step - factor / 2).rem_euclid(4 * factor) == 0
}

#[cfg(test)]
mod tests;
