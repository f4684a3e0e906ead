//! From grating to light on the detector: diffraction, blur, spectrum, mask.
//!
//! The light behind a grating is periodic; this file gives its Fourier coefficients as a
//! function of the gap. Coherent part in closed form after Guigay (Opt. Acta 18, 677, 1971),
//! then the source's size (van Cittert-Zernike), its spectrum, the scanning mask and the
//! collected power. Scalar and one-dimensional; light that crosses the mask twice is left out.

use crate::num::math::{cos, exp, jinc, sinc, sincos_turns};
use crate::scale::{Grating, ScaleSpec};
use std::f64::consts::PI;

mod table;
pub use table::{GapTable, HARMONICS};

/// Full width at half maximum of a Gaussian in units of its standard deviation, `2 sqrt(2 ln 2)`.
const FWHM_PER_SIGMA: f64 = 2.354820045;

impl Grating {
    /// Coefficient `I_n` of the light at the normalised distance `zeta = 2 z_e/z_T`, for a
    /// point source of one wavelength; signed, because past the first null the signal reverses.
    ///
    /// Guigay's relation applied to a binary grating, closed form without a series.
    #[must_use]
    pub fn coefficient(&self, n: u8, zeta: f64) -> f64 {
        if n == 0 {
            return self.mean();
        }
        let (a, b, d) = (self.bright_amplitude, self.dark_amplitude, self.duty);
        let order = f64::from(n);
        let overlap = |w: f64| if w <= 0.0 { 0.0 } else { w * sinc(order * w) };
        let shift = order * zeta;
        let whole = (shift + 0.5).floor();
        let rest = (shift - whole).abs();
        let sign = if is_even(order * whole) { 1.0 } else { -1.0 };
        let alternate = if n.is_multiple_of(2) { 1.0 } else { -1.0 };
        let lines = sign * (overlap(d - rest) + alternate * overlap(d - 1.0 + rest));
        let (_, turn) = sincos_turns(0.5 * order * shift);
        (a - b) * (a - b) * lines + 2.0 * b * (a - b) * turn * d * sinc(order * d)
    }
}

fn is_even(x: f64) -> bool {
    let half = 0.5 * x;
    half == half.floor()
}

/// Talbot length, m: the distance after which a grating images itself.
///
/// Rayleigh's `lambda/(1 - sqrt(1 - (lambda/p)^2))` (Phil. Mag. 11, 196, 1881), rationalised,
/// because the original form cancels for coarse gratings.
#[must_use]
pub fn talbot_length_m(period_m: f64, wavelength_m: f64) -> f64 {
    let ratio = wavelength_m / period_m;
    period_m * period_m / wavelength_m * (1.0 + (1.0 - ratio * ratio).sqrt())
}

/// Normalised distance `zeta = 2 z_e/z_T` at the effective distance `z_e`, m.
#[must_use]
pub fn normalised_distance(period_m: f64, wavelength_m: f64, effective_m: f64) -> f64 {
    2.0 * effective_m / talbot_length_m(period_m, wavelength_m)
}

/// Coefficient `I_n` averaged over a Gaussian spectrum: 33 nodes over +-3.5 standard deviations.
#[must_use]
pub fn spectrum_mean(grating: &Grating, n: u8, period_m: f64, wavelength_m: f64, fwhm_m: f64, effective_m: f64) -> f64 {
    let sigma_m = fwhm_m / FWHM_PER_SIGMA;
    let (mut sum, mut weights) = (0.0, 0.0);
    for node in -16..=16 {
        let u = 3.5 * f64::from(node) / 16.0;
        let weight = exp(-0.5 * u * u);
        let zeta = normalised_distance(period_m, wavelength_m + u * sigma_m, effective_m);
        sum += weight * grating.coefficient(n, zeta);
        weights += weight;
    }
    sum / weights
}

/// Blur argument `v_n = 2 pi n theta_s z_e/p` of a source of half-angle `theta_s`, rad.
#[must_use]
pub fn blur_argument(n: u8, half_angle_rad: f64, effective_m: f64, period_m: f64) -> f64 {
    2.0 * PI * f64::from(n) * half_angle_rad * effective_m / period_m
}

/// Blur of a uniform disc-shaped source, `2 J1(v)/v` (Born and Wolf, ch. 10).
#[must_use]
pub fn disc_blur(v: f64) -> f64 {
    jinc(v)
}

/// Blur of a uniform slit-shaped source, `sin(v)/v` (Born and Wolf, ch. 10).
#[must_use]
pub fn slit_blur(v: f64) -> f64 {
    sinc(v / PI)
}

/// Blur by a rough surface of root-mean-square slope `slope_rad`; own approximation.
#[must_use]
pub fn rough_blur(n: u8, slope_rad: f64, effective_m: f64, period_m: f64) -> f64 {
    let reach = f64::from(n) * 2.0 * slope_rad * effective_m / period_m;
    exp(-2.0 * PI * PI * reach * reach)
}

/// Coefficient `D_n` of a scanning mask of duty `mask_duty` (Fourier series of a slit).
#[must_use]
pub fn mask_coefficient(n: u8, mask_duty: f64) -> f64 {
    mask_duty * sinc(f64::from(n) * mask_duty)
}

/// Collected power relative to the nominal gap.
///
/// 1 for collimated light; bell-shaped, `1/(1 + ((z - z_0)/(1.5 z_0))^2)`, for an uncollimated
/// head (own approximation after the look of bench curves).
#[must_use]
pub fn collected_power(spec: &ScaleSpec, gap_m: f64) -> f64 {
    if !spec.power_depends_on_gap {
        return 1.0;
    }
    let u = (gap_m - spec.gap_nominal_m) / (1.5 * spec.gap_nominal_m);
    1.0 / (1.0 + u * u)
}

/// Coefficient `J_n` behind the mask at a gap, exactly: `p_z D_n K_n <I_n>`.
///
/// Costs 33 evaluations of the closed form; the chain uses [`GapTable`].
#[must_use]
pub fn table_entry(spec: &ScaleSpec, n: u8, gap_m: f64) -> f64 {
    let effective_m = spec.kappa * gap_m;
    let v = blur_argument(n, spec.source_half_angle_rad, effective_m, spec.period_m);
    collected_power(spec, gap_m)
        * mask_coefficient(n, spec.mask_duty)
        * disc_blur(v)
        * rough_blur(n, spec.rms_slope_rad, effective_m, spec.period_m)
        * spectrum_mean(&spec.grating(), n, spec.period_m, spec.wavelength_m, spec.fwhm_m, effective_m)
}

/// Optical gap, m, of a gap that holds a liquid layer of the given thickness and refractive
/// index: `z - t (1 - 1/n)`, the reduced distance (Born and Wolf).
#[must_use]
pub fn air_equivalent_gap_m(gap_m: f64, layer_m: f64, index: f64) -> f64 {
    gap_m - layer_m * (1.0 - 1.0 / index)
}

/// Loss by yaw: `Y_n = sinc(n H sin(psi)/p) sinc(n L (1 - cos(psi))/p)` over a field of
/// length L and height H (moire of two gratings at an angle; Patorski 1993).
#[must_use]
pub fn yaw_factor(n: u8, yaw_rad: f64, length_m: f64, height_m: f64, period_m: f64) -> f64 {
    let order = f64::from(n) / period_m;
    let sine = crate::num::math::sin(yaw_rad);
    sinc(order * height_m * sine) * sinc(order * length_m * (1.0 - cos(yaw_rad)))
}

#[cfg(test)]
mod tests;
