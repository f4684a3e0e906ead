//! A periodic signal as mean and harmonics, by projection.
//!
//! The projection is a least-squares fit, so it is exact for points at any places of the period; for points at equal
//! distances it is the discrete Fourier sum. No fast transform: a handful of harmonics is all that is shown.

use crate::num::least_squares::Normal;
use crate::num::math::{atan2_turns, nearest, sincos_turns};

/// Number of equal sectors of a period that points must fill before a fit is believed.
pub const SECTORS: u32 = 12;

/// Which of the twelve sectors of the period have been seen.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Sectors(u16);

impl Sectors {
    /// Marks the sector of a phase, turns. A phase that is not finite marks nothing.
    pub fn mark(&mut self, turns: f64) {
        if turns.is_finite() {
            let inside = turns - libm::floor(turns);
            let sector = ((inside * f64::from(SECTORS)) as u32).min(SECTORS - 1);
            self.0 |= 1 << sector;
        }
    }

    /// How many have been seen, 0 to 12.
    #[must_use]
    pub fn filled(self) -> u32 {
        self.0.count_ones()
    }
}

/// The columns `1, cos, sin, cos 2, sin 2, ...` at a phase in turns. `N = 2 H + 1` for `H` harmonics.
#[inline]
#[must_use]
pub fn row<const N: usize>(turns: f64) -> [f64; N] {
    let (s, c) = sincos_turns(turns);
    let mut out = [0.0; N];
    let (mut cn, mut sn) = (1.0, 0.0);
    for (i, x) in out.iter_mut().enumerate() {
        if i % 2 == 1 {
            (cn, sn) = (cn * c - sn * s, sn * c + cn * s);
            *x = cn;
        } else {
            *x = if i == 0 { 1.0 } else { sn };
        }
    }
    out
}

/// Mean and harmonics of one signal. `N = 2 H + 1`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Series<const N: usize>(pub [f64; N]);

impl<const N: usize> Series<N> {
    /// Mean, in the unit of the signal.
    #[must_use]
    pub fn mean(&self) -> f64 {
        self.0[0]
    }

    /// Amplitude (half of peak to peak) of harmonic `n`, 1 to H; 0 beyond.
    #[must_use]
    pub fn amplitude(&self, n: usize) -> f64 {
        let (c, s) = self.pair(n);
        (c * c + s * s).sqrt()
    }

    /// Phase of harmonic `n` in turns of that harmonic, `cos 2 pi (n t + phase)`, -1/2 to 1/2.
    #[must_use]
    pub fn phase_turns(&self, n: usize) -> f64 {
        let (c, s) = self.pair(n);
        atan2_turns(-s, c)
    }

    /// The signal at a phase, turns.
    #[must_use]
    pub fn at(&self, turns: f64) -> f64 {
        row::<N>(turns).iter().zip(self.0).map(|(x, k)| x * k).sum()
    }

    /// Smallest and largest value over the period, looked up at 360 places.
    #[must_use]
    pub fn extremes(&self) -> (f64, f64) {
        let values = (0..360).map(|i| self.at(f64::from(i) / 360.0));
        values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)))
    }

    fn pair(&self, n: usize) -> (f64, f64) {
        if n == 0 || 2 * n >= N { (0.0, 0.0) } else { (self.0[2 * n - 1], self.0[2 * n]) }
    }
}

/// Collects points of `M` signals over one phase and fits mean and harmonics to each.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct HarmonicFit<const N: usize, const M: usize> {
    normal: Normal<N, M>,
    sectors: Sectors,
}

/// Why a period could not be broken into harmonics.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum HarmonicError {
    /// Part of the period was never seen.
    #[error("only {filled} of 12 sectors of the period have been seen; move the axis over whole periods")]
    Gaps {
        /// Sectors that have been seen.
        filled: u32,
    },
    /// Too few points for so many harmonics, or values that are not numbers.
    #[error("{points} usable points do not settle {needed} coefficients; move the axis over more periods")]
    TooFew {
        /// Points there are.
        points: u32,
        /// Coefficients wanted.
        needed: u32,
    },
}

impl<const N: usize, const M: usize> HarmonicFit<N, M> {
    /// Takes in the values of the signals at a phase, turns (any number of whole turns is dropped). Values that are
    /// not finite are passed over.
    pub fn add(&mut self, turns: f64, values: &[f64; M]) {
        if turns.is_finite() && values.iter().all(|v| v.is_finite()) {
            let inside = turns - nearest(turns);
            self.sectors.mark(inside);
            self.normal.add(&row(inside), values);
        }
    }

    /// The series that fit best.
    ///
    /// # Errors
    /// When a sector of the period is empty or there are fewer than one and a half points per coefficient.
    pub fn solve(&self) -> Result<[Series<N>; M], HarmonicError> {
        let (points, needed) = (self.normal.rows(), N as u32);
        if self.sectors.filled() < SECTORS {
            return Err(HarmonicError::Gaps { filled: self.sectors.filled() });
        }
        if 2 * points < 3 * needed {
            return Err(HarmonicError::TooFew { points, needed });
        }
        let solved = self.normal.solve().ok_or(HarmonicError::TooFew { points, needed })?;
        Ok(solved.map(Series))
    }
}

#[cfg(test)]
mod tests {
    use super::{HarmonicError, HarmonicFit, Sectors, row};
    use std::f64::consts::TAU;

    // Source: definition of the columns, against libm.
    #[test]
    fn the_columns_are_cosines_and_sines() {
        for i in 0..200 {
            let t = f64::from(i) * 0.037 - 2.1;
            let r = row::<17>(t);
            assert_eq!(r[0], 1.0);
            for n in 1..=8_u8 {
                let angle = TAU * f64::from(n) * t;
                assert!((r[2 * usize::from(n) - 1] - libm::cos(angle)).abs() < 1e-12);
                assert!((r[2 * usize::from(n)] - libm::sin(angle)).abs() < 1e-12);
            }
        }
    }

    // Source: the signal itself; the places are at unequal distances, where a plain sum would be wrong.
    #[test]
    fn known_harmonics_come_back_from_uneven_points() {
        let signal = |t: f64| 0.3 + 1.1 * libm::cos(TAU * (t + 0.07)) + 0.02 * libm::cos(TAU * (3.0 * t - 0.2));
        let mut fit = HarmonicFit::<11, 1>::default();
        for i in 0..90 {
            let even = f64::from(i) / 30.0;
            let t = even + 0.02 * libm::sin(5.0 * even);
            fit.add(t, &[signal(t)]);
        }
        let [s] = fit.solve().unwrap();
        assert!((s.mean() - 0.3).abs() < 1e-12);
        assert!((s.amplitude(1) - 1.1).abs() < 1e-12 && (s.phase_turns(1) - 0.07).abs() < 1e-11);
        assert!((s.amplitude(3) - 0.02).abs() < 1e-12 && (s.phase_turns(3) + 0.2).abs() < 1e-10);
        assert!(s.amplitude(2) < 1e-12 && s.amplitude(5) < 1e-12);
        assert_eq!((s.amplitude(6), s.amplitude(0)), (0.0, 0.0));
        assert!((s.at(0.41) - signal(0.41)).abs() < 1e-12);
    }

    #[test]
    fn a_period_with_gaps_is_refused() {
        let mut fit = HarmonicFit::<3, 1>::default();
        for i in 0..100 {
            fit.add(f64::from(i) / 200.0, &[1.0]);
        }
        assert_eq!(fit.solve(), Err(HarmonicError::Gaps { filled: 6 }));
        let mut fit = HarmonicFit::<17, 1>::default();
        for i in 0..13 {
            fit.add(f64::from(i) / 13.0, &[1.0]);
        }
        assert_eq!(fit.solve(), Err(HarmonicError::TooFew { points: 13, needed: 17 }));
        fit.add(0.3, &[f64::NAN]);
        fit.add(f64::INFINITY, &[0.3]);
        assert_eq!(fit.solve(), Err(HarmonicError::TooFew { points: 13, needed: 17 }));
    }

    #[test]
    fn sectors_count_places_of_the_period() {
        let mut s = Sectors::default();
        for t in [0.0, 1.01, -0.99, 0.999_999, -1e-18, f64::NAN] {
            s.mark(t);
        }
        assert_eq!(s.filled(), 2);
    }
}
