//! The position error within a period: what the phase of A and B says against where the table is.
//!
//! Shared by the figure and the spectrum. The error is phase less true phase, in turns, followed from point to point;
//! its mean depends on the datum and carries no meaning by itself.

use super::track::Point;
use crate::num::ellipse::EllipseError;
use crate::num::harmonics::HarmonicError;
use crate::num::math::nearest;

/// Both channels at one moment.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Pair {
    /// Model time, s.
    pub time_s: f64,
    /// Channel A, V.
    pub a_v: f64,
    /// Channel B, V.
    pub b_v: f64,
}

/// Why a meter has no reading.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum ReadingError {
    /// The axis has not gone far enough since the start.
    #[error("the axis has moved {periods:.2} periods, a reading needs one; move the axis")]
    TooLittleTravel {
        /// Periods gone.
        periods: f64,
    },
    /// No ellipse.
    #[error(transparent)]
    Ellipse(#[from] EllipseError),
    /// No harmonics.
    #[error(transparent)]
    Harmonics(#[from] HarmonicError),
    /// The figure does not go round the middle.
    #[error("the figure of A and B does not go round the middle: its phase loses whole periods")]
    LosesPeriods,
}

/// Spread of the position error over the window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// Largest less smallest, m.
    pub peak_to_peak_m: f64,
    /// Root of the mean square about the mean, m.
    pub rms_m: f64,
}

/// Which channel leads when the table moves toward rising positions.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sense {
    /// A leads B, as it should be.
    ALeads,
    /// B leads A: channels or conductors exchanged.
    BLeads,
}

impl Sense {
    fn sign(self) -> f64 {
        match self {
            Sense::ALeads => 1.0,
            Sense::BLeads => -1.0,
        }
    }
}

/// Goes through the points with `take(true phase, error)`, both in turns, and says which channel leads. `phase` makes
/// turns of a pair of voltages.
///
/// # Errors
/// When the points cover less than a period or the phase does not follow the table.
pub fn errors<'a>(
    points: impl Iterator<Item = &'a Point<Pair>> + Clone,
    period_m: f64,
    phase: impl Fn(f64, f64) -> f64,
    mut take: impl FnMut(f64, f64),
) -> Result<Sense, ReadingError> {
    let turns = |p: &Point<Pair>| (p.table_m / period_m, phase(p.seen.a_v, p.seen.b_v));
    let (mut last, mut gone, mut followed) = (None, 0.0, 0.0);
    for (true_turns, seen_turns) in points.clone().map(turns) {
        if let Some((true_before, seen_before)) = last {
            let (dx, dt): (f64, f64) = (true_turns - true_before, seen_turns - seen_before);
            // Over a longer gap the phase cannot be followed.
            if dx.abs() < 1.0 / 3.0 {
                gone += dx.abs();
                followed += (dt - nearest(dt)) * if dx < 0.0 { -1.0 } else { 1.0 };
            }
        }
        last = Some((true_turns, seen_turns));
    }
    // A window of one period holds one point less than a whole one.
    if gone < 0.9 {
        return Err(ReadingError::TooLittleTravel { periods: gone });
    }
    let sense = match followed / gone {
        share if share > 0.5 => Sense::ALeads,
        share if share < -0.5 => Sense::BLeads,
        _ => return Err(ReadingError::LosesPeriods),
    };
    let mut error: Option<f64> = None;
    for (true_turns, seen_turns) in points.map(turns) {
        let raw = sense.sign() * seen_turns - true_turns;
        let next = match error {
            None => raw - nearest(raw),
            Some(before) => before + (raw - before) - nearest(raw - before),
        };
        error = Some(next);
        take(true_turns, next);
    }
    Ok(sense)
}

/// Spread of the error over the points, m.
///
/// # Errors
/// As [`errors`].
pub fn spread<'a>(
    points: impl Iterator<Item = &'a Point<Pair>> + Clone,
    period_m: f64,
    phase: impl Fn(f64, f64) -> f64,
) -> Result<(Spread, Sense), ReadingError> {
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    let (mut n, mut sum, mut square, mut first) = (0.0, 0.0, 0.0, None);
    let sense = errors(points, period_m, phase, |_, error| {
        let e = error - *first.get_or_insert(error);
        (low, high) = (low.min(e), high.max(e));
        (n, sum, square) = (n + 1.0, sum + e, square + e * e);
    })?;
    let mean: f64 = sum / n;
    let variance: f64 = square / n - mean * mean;
    let spread = Spread { peak_to_peak_m: (high - low) * period_m, rms_m: variance.max(0.0).sqrt() * period_m };
    Ok((spread, sense))
}
