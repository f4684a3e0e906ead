//! The position error within a signal period, broken into its first eight harmonics.
//!
//! First harmonic: offset. Second: unequal amplitudes or a phase error. Fourth: third or fifth harmonic of the
//! channels (Kuntz et al. 2022). The mean depends on the datum and is left out; a lag at speed is part of it.

use super::position::{Pair, ReadingError, Sense, Spread, errors, spread};
use super::track::Track;
use crate::num::ellipse::Correction;
use crate::num::harmonics::{HarmonicFit, Series};
use crate::num::math::{atan2_turns, nearest};
use crate::numbers::{FieldError, check_field};
use crate::record::{Sample, Tap};

/// Harmonics shown.
pub const HARMONICS: usize = 8;
const COEFFICIENTS: usize = 2 * HARMONICS + 1;

/// One harmonic of the position error.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Harmonic {
    /// Amplitude (half of peak to peak), m.
    pub amplitude_m: f64,
    /// Phase in turns of this harmonic, `cos 2 pi (n x/p + phase)`.
    pub phase_turns: f64,
}

/// What the spectrum says.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SpectrumReading {
    /// Harmonics 1 to 8 of the signal period, `[0]` the first.
    pub harmonics: [Harmonic; HARMONICS],
    /// Spread of the whole error, noise included.
    pub error: Spread,
    /// What the eight harmonics leave: noise and all that does not repeat with the period, m rms.
    pub remainder_rms_m: f64,
    /// Which channel leads on the way up.
    pub sense: Sense,
    /// Points that it rests on.
    pub points: u32,
    /// Periods that they cover.
    pub periods: f64,
    /// How long ago the axis last moved on, s.
    pub age_s: f64,
    series_m: Series<COEFFICIENTS>,
}

impl SpectrumReading {
    /// The error without its mean at a phase of the true place, turns, as the eight harmonics give it, m: for drawing.
    #[must_use]
    pub fn error_at_m(&self, turns: f64) -> f64 {
        self.series_m.at(turns) - self.series_m.mean()
    }
}

/// The error meter.
#[derive(Clone, Debug)]
pub struct Spectrum {
    track: Track<Pair>,
    zero_v: [f64; 2],
    now_s: f64,
}

impl Spectrum {
    /// Errors over the last `periods` (1 to 16) of a grating of period `period_m`, m; `zero_v` as in
    /// [`super::figure::Figure::new`].
    ///
    /// # Errors
    /// When a number is not finite or outside its range.
    pub fn new(period_m: f64, periods: f64, zero_v: [f64; 2]) -> Result<Self, FieldError> {
        check_field("zero_a_v", zero_v[0], (-10.0, 10.0), "V")?;
        check_field("zero_b_v", zero_v[1], (-10.0, 10.0), "V")?;
        Ok(Self { track: Track::new(period_m, periods)?, zero_v, now_s: 0.0 })
    }

    /// Works the spectrum out, of the plain arctangent or with a correction of the figure.
    ///
    /// # Errors
    /// Why there is none, in words that say what to do.
    pub fn reading(&self, correction: Option<&Correction>) -> Result<SpectrumReading, ReadingError> {
        let period_m = self.track.period_m();
        let phase = |a: f64, b: f64| match correction {
            Some(correction) => correction.phase_turns(a, b),
            None => atan2_turns(b - self.zero_v[1], a - self.zero_v[0]),
        };
        let mut fit = HarmonicFit::<COEFFICIENTS, 1>::default();
        errors(self.track.points(), period_m, phase, |turns, e| fit.add(turns, &[e * period_m]))?;
        let [series] = fit.solve()?;
        let (mut points, mut left) = (0_u32, 0.0);
        errors(self.track.points(), period_m, phase, |turns, e| {
            let rest = e * period_m - series.at(turns - nearest(turns));
            left += rest * rest;
            points += 1;
        })?;
        let (error, sense) = spread(self.track.points(), period_m, phase)?;
        let free = (f64::from(points) - COEFFICIENTS as f64).max(1.0);
        let mut harmonics = [Harmonic::default(); HARMONICS];
        for (i, h) in harmonics.iter_mut().enumerate() {
            *h = Harmonic { amplitude_m: series.amplitude(i + 1), phase_turns: series.phase_turns(i + 1) };
        }
        Ok(SpectrumReading {
            harmonics,
            error,
            remainder_rms_m: (left / free).sqrt(),
            sense,
            points,
            periods: self.track.periods(),
            age_s: self.track.newest().map_or(0.0, |p| self.now_s - p.seen.time_s),
            series_m: series,
        })
    }

    /// Forgets what was seen: what follows is measured afresh.
    pub fn clear(&mut self) {
        self.track.clear();
    }
}

impl Tap for Spectrum {
    fn sample(&mut self, sample: &Sample) {
        self.now_s = sample.time_s;
        self.track.see(sample.table_m, Pair { time_s: sample.time_s, a_v: sample.a_v, b_v: sample.b_v });
    }
}

#[cfg(test)]
mod tests {
    use super::{ReadingError, Spectrum, SpectrumReading};
    use crate::instrument::fixture::{Rig, travel};
    use crate::instrument::levels::position_jitter_m;
    use crate::num::ellipse::{fit, metres_of_rad};

    fn measured(rig: &Rig) -> SpectrumReading {
        let mut spectrum = Spectrum::new(20e-6, 8.0, [0.0; 2]).unwrap();
        travel(rig, 10.0, 0.0153, &mut spectrum);
        spectrum.reading(None).unwrap()
    }

    fn near_m(r: &SpectrumReading, n: usize, rad: f64, relative: f64) {
        let (seen, expected) = (r.harmonics[n - 1].amplitude_m, metres_of_rad(rad, 20e-6));
        assert!((seen / expected - 1.0).abs() < relative, "harmonic {n}: {seen} is not {expected}");
    }

    // Source: Kuntz et al. 2022, closed forms as in rows V48 to V51, here through the meter.
    #[test]
    fn every_imperfection_shows_as_its_own_harmonic() {
        // ln(1 + o exp(-it)): harmonic n is o^n/n.
        let r = measured(&Rig { offset_v: [0.03, -0.04], ..Rig::default() });
        near_m(&r, 1, 0.1, 1e-5);
        near_m(&r, 2, 0.005, 1e-4);
        // Amplitude ratio: second harmonic (r - 1)/(r + 1), fourth half its square.
        let r = measured(&Rig { radius_v: [0.55, 0.5], ..Rig::default() });
        near_m(&r, 2, 0.05 / 1.05, 1e-6);
        assert!(r.harmonics[0].amplitude_m < 1e-14);
        // Phase error of 5 degrees.
        let r = measured(&Rig { phase_error_rad: 5.0_f64.to_radians(), ..Rig::default() });
        near_m(&r, 2, 0.043_660_9, 2e-6);
        // Third harmonic of the channels.
        let r = measured(&Rig { third: 0.02, ..Rig::default() });
        near_m(&r, 4, 0.02, 1e-4);
        near_m(&r, 8, 0.0002, 1e-2);
        assert!(r.harmonics[1].amplitude_m < 1e-13 && r.remainder_rms_m < 1e-10);
        assert!((r.error.peak_to_peak_m / metres_of_rad(0.04, 20e-6) - 1.0).abs() < 1e-2);
    }

    // Source: e = -o sin t of an offset in A (to first order), so the phase of the first harmonic is +1/4 turn.
    #[test]
    fn the_drawn_error_is_the_error() {
        let r = measured(&Rig { offset_v: [0.005, 0.0], ..Rig::default() });
        assert!((r.harmonics[0].phase_turns - 0.25).abs() < 1e-6, "{r:?}");
        let exact = libm::atan2(0.5 * libm::sin(0.7), 0.005 + 0.5 * libm::cos(0.7)) - 0.7;
        let drawn = r.error_at_m(0.7 / std::f64::consts::TAU);
        assert!((drawn - metres_of_rad(exact, 20e-6)).abs() < 1e-13, "{drawn}");
    }

    #[test]
    fn the_correction_leaves_only_what_no_ellipse_holds() {
        let rig = Rig { offset_v: [0.05, 0.0], phase_error_rad: 0.1, third: 0.02, ..Rig::default() };
        let mut spectrum = Spectrum::new(20e-6, 8.0, [0.0; 2]).unwrap();
        travel(&rig, 10.0, 0.0153, &mut spectrum);
        let ellipse = fit(spectrum.track.points().map(|p| (p.seen.a_v, p.seen.b_v))).unwrap();
        let raw = spectrum.reading(None).unwrap();
        let corrected = spectrum.reading(Some(&ellipse.correction())).unwrap();
        assert!(corrected.harmonics[0].amplitude_m < 0.02 * raw.harmonics[0].amplitude_m);
        assert!(corrected.harmonics[1].amplitude_m < 0.1 * raw.harmonics[1].amplitude_m);
        near_m(&corrected, 4, 0.02, 0.1);
    }

    // Source: V53's formula; 480 points: standard error 3.2 %, four of them.
    #[test]
    fn noise_is_left_over() {
        let r = measured(&Rig { noise_v: 2e-3, ..Rig::default() });
        let expected = position_jitter_m(2e-3, 0.5, 20e-6);
        assert!((r.remainder_rms_m / expected - 1.0).abs() < 0.13, "{r:?}");
        assert!(r.harmonics.iter().all(|h| h.amplitude_m < expected), "{r:?}");
    }

    #[test]
    fn a_figure_beside_the_middle_is_refused() {
        let mut spectrum = Spectrum::new(20e-6, 8.0, [0.0; 2]).unwrap();
        assert!(matches!(spectrum.reading(None), Err(ReadingError::TooLittleTravel { .. })));
        travel(&Rig { offset_v: [0.8, 0.0], ..Rig::default() }, 10.0, 0.0153, &mut spectrum);
        assert_eq!(spectrum.reading(None), Err(ReadingError::LosesPeriods));
    }
}
