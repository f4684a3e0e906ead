//! The figure of A against B: its ellipse by least squares, and the correction that makes it a circle.
//!
//! Model `a = o_a + R_a cos t`, `b = o_b + R_b sin(t + delta)` with `t` rising along the travel. Source: Heydemann,
//! Appl. Opt. 20, 3382 (1981); signal model, section 7. The fit minimises the algebraic distance, so noise makes it
//! read slightly small (by about the square of noise over radius); harmonics and what lies within a period beyond an
//! ellipse are not corrected.

use crate::num::harmonics::Sectors;
use crate::num::least_squares::Normal;
use crate::num::math::{asin, atan2_turns, cos, hypot, sin, sincos_turns, tan};
use std::f64::consts::{PI, TAU};

/// Sectors of the ellipse, of twelve, that points must fill.
pub const SECTORS_NEEDED: u32 = 8;
/// Points that a fit needs at least: as many as sectors.
pub const POINTS_NEEDED: u32 = 8;
/// Smallest `cos(delta)` that still counts as an ellipse: beyond 87 degrees the figure is a line.
const LEAST_COSINE: f64 = 0.05;

/// An ellipse of channel A against channel B.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ellipse {
    /// Centre `(o_a, o_b)`, V.
    pub offset_v: [f64; 2],
    /// Half axes along A and B `(R_a, R_b)`, V, above 0: the amplitudes of the channels.
    pub radius_v: [f64; 2],
    /// Phase error delta, rad, within -pi/2 to pi/2: by how much B leads where it should be.
    pub phase_error_rad: f64,
}

/// Why no ellipse could be fitted.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum EllipseError {
    /// Fewer points than a fit needs.
    #[error("{points} points are too few for the figure, it needs {POINTS_NEEDED}; move the axis over a whole period")]
    TooFewPoints {
        /// Points there are.
        points: u32,
    },
    /// A value is not a number.
    #[error("a sample of A or B is not a finite number")]
    NotFinite,
    /// One channel does not move at all.
    #[error("channel {channel} stands still: there is no figure to fit")]
    Flat {
        /// `'A'` or `'B'`.
        channel: char,
    },
    /// A and B rise and fall together.
    #[error("A against B is a line, not an ellipse: both channels carry the same signal")]
    Line,
    /// The best curve is not closed.
    #[error("the points do not lie on an ellipse (4PS - Q^2 = {discriminant:.3e}, must be above 0)")]
    NotAnEllipse {
        /// `4 P S - Q^2` of the scaled fit, dimensionless.
        discriminant: f64,
    },
    /// The points cover too little of the ellipse.
    #[error(
        "the points fill {filled} of 12 sectors of the figure, {SECTORS_NEEDED} are needed; move the axis over a whole period"
    )]
    TooFewSectors {
        /// Sectors with a point.
        filled: u32,
    },
}

/// Fits an ellipse to points `(a, b)`, V. The points are gone through three times and not kept.
///
/// Means are taken off and both channels divided by their rms first; then least squares on
/// `P a^2 + Q ab + S b^2 + D a + E b = 1`. Exact on clean data.
///
/// # Errors
/// See [`EllipseError`].
pub fn fit(points: impl Iterator<Item = (f64, f64)> + Clone) -> Result<Ellipse, EllipseError> {
    let (mean, rms) = scaling(points.clone())?;
    let mut normal = Normal::<5, 1>::default();
    for (a, b) in points.clone() {
        let (a, b) = ((a - mean[0]) / rms[0], (b - mean[1]) / rms[1]);
        normal.add(&[a * a, a * b, b * b, a, b], &[1.0]);
    }
    let [[p, q, s, d, e]] = normal.solve().ok_or(EllipseError::Line)?;
    let discriminant = 4.0 * p * s - q * q;
    let centre = [(q * e - 2.0 * s * d) / discriminant, (q * d - 2.0 * p * e) / discriminant];
    let size = 1.0 + p * centre[0] * centre[0] + q * centre[0] * centre[1] + s * centre[1] * centre[1];
    if !(discriminant > 0.0 && p > 0.0 && size > 0.0) {
        return Err(EllipseError::NotAnEllipse { discriminant });
    }
    let sine = -q / (2.0 * (p * s).sqrt());
    let cosine = (1.0 - sine * sine).max(0.0).sqrt();
    if cosine < LEAST_COSINE {
        return Err(EllipseError::Line);
    }
    let ellipse = Ellipse {
        offset_v: [mean[0] + rms[0] * centre[0], mean[1] + rms[1] * centre[1]],
        radius_v: [rms[0] * (size / p).sqrt() / cosine, rms[1] * (size / s).sqrt() / cosine],
        phase_error_rad: asin(sine),
    };
    let (mut sectors, correction) = (Sectors::default(), ellipse.correction());
    points.for_each(|(a, b)| sectors.mark(correction.phase_turns(a, b)));
    if sectors.filled() < SECTORS_NEEDED {
        return Err(EllipseError::TooFewSectors { filled: sectors.filled() });
    }
    Ok(ellipse)
}

/// Means and rms of both channels.
fn scaling(points: impl Iterator<Item = (f64, f64)> + Clone) -> Result<([f64; 2], [f64; 2]), EllipseError> {
    let (mut count, mut sum) = (0_u32, [0.0; 2]);
    for (a, b) in points.clone() {
        if !(a.is_finite() && b.is_finite()) {
            return Err(EllipseError::NotFinite);
        }
        count += 1;
        sum = [sum[0] + a, sum[1] + b];
    }
    if count < POINTS_NEEDED {
        return Err(EllipseError::TooFewPoints { points: count });
    }
    let n = f64::from(count);
    let mean = sum.map(|s| s / n);
    let mut square = [0.0; 2];
    for (a, b) in points {
        square = [square[0] + (a - mean[0]) * (a - mean[0]), square[1] + (b - mean[1]) * (b - mean[1])];
    }
    let rms = square.map(|s| (s / n).sqrt());
    for (channel, (rms, mean)) in ['A', 'B'].into_iter().zip(rms.into_iter().zip(mean)) {
        if rms.is_infinite() || mean.is_infinite() {
            return Err(EllipseError::NotFinite);
        }
        // Rounding of the mean alone leaves this much.
        if rms <= 1e-12 * mean.abs() || rms == 0.0 {
            return Err(EllipseError::Flat { channel });
        }
    }
    Ok((mean, rms))
}

impl Ellipse {
    /// The correction that makes this figure a circle.
    #[must_use]
    pub fn correction(&self) -> Correction {
        Correction {
            offset_v: self.offset_v,
            radius_v: self.radius_v,
            sine: sin(self.phase_error_rad),
            cosine: cos(self.phase_error_rad),
        }
    }

    /// Corrected phase of a pair of voltages, turns, -1/2 to 1/2. For many pairs take [`Ellipse::correction`] once.
    #[must_use]
    pub fn phase_turns(&self, a_v: f64, b_v: f64) -> f64 {
        self.correction().phase_turns(a_v, b_v)
    }

    /// Voltages `(a, b)` at a phase `t`, turns: for drawing the fitted curve.
    #[must_use]
    pub fn at(&self, turns: f64) -> (f64, f64) {
        let (_, cosine) = sincos_turns(turns);
        let (sine, _) = sincos_turns(turns + self.phase_error_rad / TAU);
        (self.offset_v[0] + self.radius_v[0] * cosine, self.offset_v[1] + self.radius_v[1] * sine)
    }

    /// Amplitude ratio `R_a/R_b`.
    #[must_use]
    pub fn ratio(&self) -> f64 {
        self.radius_v[0] / self.radius_v[1]
    }

    /// Length of the healthy circle nearest to the figure, V: mean of both radii.
    #[must_use]
    pub fn mean_radius_v(&self) -> f64 {
        0.5 * (self.radius_v[0] + self.radius_v[1])
    }

    /// First harmonic of the position error that the offsets make, rad (times `p/2 pi` for metres):
    /// `sqrt(o_a^2 + o_b^2)/R`. Offsets are measured from the voltages `zero_v` that the input takes as its middle.
    /// Exact for a circle (Kuntz et al. 2022).
    #[must_use]
    pub fn first_harmonic_rad(&self, zero_v: [f64; 2]) -> f64 {
        let offset_v = hypot(self.offset_v[0] - zero_v[0], self.offset_v[1] - zero_v[1]);
        offset_v / self.mean_radius_v()
    }

    /// Second harmonic of the position error that unequal amplitudes and the phase error make together, rad:
    /// `sqrt(eps^2 + delta^2)/2` with `eps` the amplitude ratio less one, to first order (Kuntz et al. 2022). The
    /// exact forms of each alone are [`ratio_peak_rad`] and [`phase_second_harmonic_rad`].
    #[must_use]
    pub fn second_harmonic_rad(&self) -> f64 {
        hypot(ratio_peak_rad(self.ratio()), phase_second_harmonic_rad(self.phase_error_rad))
    }
}

/// Heydemann's correction with its constants worked out: no transcendental function but one arctangent per pair.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Correction {
    offset_v: [f64; 2],
    radius_v: [f64; 2],
    sine: f64,
    cosine: f64,
}

impl Correction {
    /// The point `(x, y)` of the unit circle for a pair of voltages: `x = (a - o_a)/R_a`,
    /// `y = ((b - o_b)/R_b - x sin delta)/cos delta` (Heydemann 1981).
    #[inline]
    #[must_use]
    pub fn apply(&self, a_v: f64, b_v: f64) -> (f64, f64) {
        let x = (a_v - self.offset_v[0]) / self.radius_v[0];
        (x, ((b_v - self.offset_v[1]) / self.radius_v[1] - x * self.sine) / self.cosine)
    }

    /// Corrected phase of a pair of voltages, turns, -1/2 to 1/2.
    #[inline]
    #[must_use]
    pub fn phase_turns(&self, a_v: f64, b_v: f64) -> f64 {
        let (x, y) = self.apply(a_v, b_v);
        atan2_turns(y, x)
    }
}

/// Largest position error of an offset of one channel, rad: `asin(o/R)`; a quarter turn once the offset exceeds the
/// radius, where the figure no longer goes round the middle and periods are lost.
#[must_use]
pub fn offset_peak_rad(offset_over_radius: f64) -> f64 {
    asin(offset_over_radius.abs().min(1.0))
}

/// Largest position error of unequal amplitudes alone, rad: `asin((r - 1)/(r + 1))` of the amplitude ratio `r > 0`,
/// without sign; about `(r - 1)/2`.
#[must_use]
pub fn ratio_peak_rad(ratio: f64) -> f64 {
    asin(((ratio - 1.0) / (ratio + 1.0)).abs())
}

/// Second harmonic of the position error of a phase error alone, rad: `tan(delta/2)`, without sign. The mean is
/// `delta/2`.
#[must_use]
pub fn phase_second_harmonic_rad(phase_error_rad: f64) -> f64 {
    tan(0.5 * phase_error_rad).abs()
}

/// Largest position error of a phase error alone, rad, without sign: mean plus peak, `delta/2 + asin(tan(delta/2))`.
#[must_use]
pub fn phase_peak_rad(phase_error_rad: f64) -> f64 {
    let half = 0.5 * phase_error_rad.abs();
    half + asin(tan(half).min(1.0))
}

/// A phase of the signal, rad, as a length, m: times `p/2 pi`.
#[must_use]
pub fn metres_of_rad(phase_rad: f64, period_m: f64) -> f64 {
    phase_rad * period_m / (2.0 * PI)
}

#[cfg(test)]
mod tests;
