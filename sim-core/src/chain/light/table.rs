//! Harmonics of the light as a function of the gap, tabulated.

use super::table_entry;
use crate::scale::ScaleSpec;

/// Coefficients per row: the mean and five harmonics.
pub const HARMONICS: usize = 6;

/// `J_0..J_5` on a uniform grid of gaps, with linear interpolation.
///
/// Depends on the scale and head alone, so one table serves a whole run. Interpolation error
/// relative to the mean: at most 1e-4 for periods from 40 um, 4e-4 at 20 um (measured).
#[derive(Clone, Debug, PartialEq)]
pub struct GapTable {
    lowest_m: f64,
    rows_per_m: f64,
    rows: Vec<[f64; HARMONICS]>,
}

impl GapTable {
    /// Tabulates the healthy or altered head over its valid range of gaps.
    ///
    /// Step: `min(p^2/(400 lambda kappa), p/(40 theta_s kappa), range/64)`, and 1/64 of the
    /// bell's half-width where the collected power depends on the gap: without that the bell
    /// alone cost 2e-4 on the coarse tape.
    #[must_use]
    pub fn build(spec: &ScaleSpec) -> Self {
        let p = spec.period_m;
        let range_m = spec.gap_max_m - spec.gap_min_m;
        let diffraction_m = p * p / (400.0 * spec.wavelength_m * spec.kappa);
        let blur_m = p / (40.0 * spec.source_half_angle_rad * spec.kappa);
        let bell_m = if spec.power_depends_on_gap { 1.5 * spec.gap_nominal_m / 64.0 } else { range_m };
        let step_m = diffraction_m.min(blur_m).min(bell_m).min(range_m / 64.0);
        let intervals = (range_m / step_m).ceil().clamp(1.0, 8192.0);
        let step_m = range_m / intervals;
        let rows = (0..=intervals as u32)
            .map(|i| {
                let gap_m = spec.gap_min_m + f64::from(i) * step_m;
                let mut row = [0.0; HARMONICS];
                for (n, entry) in (0_u8..).zip(row.iter_mut().take(spec.harmonics + 1)) {
                    *entry = table_entry(spec, n, gap_m);
                }
                row
            })
            .collect();
        Self { lowest_m: spec.gap_min_m, rows_per_m: 1.0 / step_m, rows }
    }

    /// A table with the same row everywhere, for tests that start behind the optics.
    #[cfg(test)]
    pub(crate) fn constant(row: [f64; HARMONICS]) -> Self {
        Self { lowest_m: 0.0, rows_per_m: 1.0, rows: vec![row; 2] }
    }

    /// `J_0..J_5` at a gap, m. Outside the table the nearest row answers; whether a gap is
    /// valid is decided where a person sets it.
    #[inline]
    #[must_use]
    pub fn at(&self, gap_m: f64) -> [f64; HARMONICS] {
        let last = self.rows.len() - 1;
        // `max` drops NaN, so even a broken gap answers from the table.
        let place = ((gap_m - self.lowest_m) * self.rows_per_m).max(0.0).min(last as f64);
        let row = (place as usize).min(last - 1);
        let part = place - row as f64;
        let (low, high) = (&self.rows[row], &self.rows[row + 1]);
        let mut out = [0.0; HARMONICS];
        for n in 0..HARMONICS {
            out[n] = low[n] + part * (high[n] - low[n]);
        }
        out
    }

    /// Number of rows, 65 to about 2200.
    #[must_use]
    pub fn len(&self) -> usize {
        self.rows.len()
    }

    /// Never true: a table has at least two rows.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }
}
