//! How often noise crosses a level: Rice's rates and what a comparator makes of them.
//!
//! Gaussian noise of standard deviation `sigma` with a spectrum S crosses its mean upwards
//! `nu_0 = sqrt(INT f^2 S df / INT S df)` times a second and a level `u` away from it
//! `exp(-u^2/(2 sigma^2))` times as often (Rice, Bell Syst. Tech. J. 23, 282, 1944 and 24, 46,
//! 1945, section 3.3). From these follow the false edges of a comparator at standstill and the
//! extra edges while a signal creeps through a threshold. They are expectations: the sampled
//! chain draws the noise itself, these formulas foretell what it will show.
//!
//! Left out: the clustering of crossings (counts of a narrow band scatter less or more than a
//! Poisson count) and comparators slower than the noise.

use crate::num::math::{acos, erf, exp};
use std::f64::consts::{FRAC_1_SQRT_2, PI};

/// Up-crossings of the mean per second of noise through an ideal low-pass of `band_hz`
/// (above 0): `B/sqrt(3)` (Rice 1945).
#[must_use]
pub fn low_pass_rate_hz(band_hz: f64) -> f64 {
    band_rate_hz(0.0, band_hz)
}

/// Up-crossings of the mean per second of noise of constant density from `low_hz` to `high_hz`
/// (`0 <= low < high`): `sqrt((f2^3 - f1^3)/(3 (f2 - f1)))` (Rice 1945).
#[must_use]
pub fn band_rate_hz(low_hz: f64, high_hz: f64) -> f64 {
    // The quotient divided out, so that a narrow band does not cancel.
    ((low_hz * low_hz + low_hz * high_hz + high_hz * high_hz) / 3.0).sqrt()
}

/// Up-crossings of the mean per second of one-pole noise that is looked at `sample_hz` times a
/// second: `f_s arccos(al)/(2 pi)`, with `keep = al = exp(-2 pi f_c/f_s)` the correlation of
/// neighbouring samples, -1 to 1 (Rice; Finch, arXiv:1909.02556, 2019).
///
/// Without sampling the rate is infinite: one-pole noise has no slope.
#[must_use]
pub fn sampled_one_pole_rate_hz(sample_hz: f64, keep: f64) -> f64 {
    sample_hz * acos(keep) / (2.0 * PI)
}

/// Up-crossings per second of the level `level_v` from the mean, V, of noise with `mean_rate_hz`
/// up-crossings of the mean and standard deviation `sigma_v` (at least 0):
/// `nu_0 exp(-u^2/(2 sigma^2))` (Rice 1945). Silence crosses nothing.
#[must_use]
pub fn level_rate_hz(mean_rate_hz: f64, sigma_v: f64, level_v: f64) -> f64 {
    if sigma_v <= 0.0 {
        return 0.0;
    }
    let u = level_v / sigma_v;
    mean_rate_hz * exp(-0.5 * u * u)
}

/// Pairs of false edges per second of a comparator at standstill.
///
/// `hysteresis_v` is the full width of the switching band, at least 0, `mean_v` how far the
/// signal stands from its middle, either way. Up and down switching take turns, so the rate is
/// `nu+ nu-/(nu+ + nu-)` with the level rates of both switching points (own, from Rice 1945;
/// agrees with simulation within 15 % for half bands of 1.5 sigma or more, 6 % from 2 sigma).
#[must_use]
pub fn toggle_rate_hz(mean_rate_hz: f64, sigma_v: f64, hysteresis_v: f64, mean_v: f64) -> f64 {
    let up_hz = level_rate_hz(mean_rate_hz, sigma_v, 0.5 * hysteresis_v - mean_v);
    let down_hz = level_rate_hz(mean_rate_hz, sigma_v, 0.5 * hysteresis_v + mean_v);
    if up_hz + down_hz > 0.0 { up_hz * down_hz / (up_hz + down_hz) } else { 0.0 }
}

/// Slope of the noise against the slope of the signal, `r = 2 pi nu_0 sigma/g`: what decides
/// how often a slow crossing is counted. `slope_v_per_s` is g, not 0, either sign.
#[must_use]
pub fn slope_ratio(mean_rate_hz: f64, sigma_v: f64, slope_v_per_s: f64) -> f64 {
    2.0 * PI * mean_rate_hz * sigma_v / slope_v_per_s.abs()
}

/// Edges to expect from one slow crossing of a threshold without hysteresis, at least 1:
/// `erf(1/(r sqrt 2)) + r sqrt(2/pi) exp(-1/(2 r^2))` with the [`slope_ratio`] r, at least 0
/// (own, from Rice 1945: mean of `|slope|` over the signal's slope). One is true, the rest false.
#[must_use]
pub fn edges_per_crossing(slope_ratio: f64) -> f64 {
    if slope_ratio <= 0.0 {
        return 1.0;
    }
    let inverse = 1.0 / slope_ratio;
    erf(inverse * FRAC_1_SQRT_2) + slope_ratio * (2.0 / PI).sqrt() * exp(-0.5 * inverse * inverse)
}

#[cfg(test)]
mod tests;
