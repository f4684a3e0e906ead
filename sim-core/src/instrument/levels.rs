//! The level meter: amplitude, offset, ratio, phase, noise, duty and edge separation over the last periods.
//!
//! The channels are broken into mean and harmonics against the true place of the table, so harmonics do not bend the
//! figures of the fundamental. What is left is called noise: also hum, bursts and whatever changes within the window.
//! Visibility comes from the photocurrents at the ends of steps.

use super::edges::{EdgeError, EdgeReading, Edges};
use super::position::{Pair, ReadingError};
use super::track::Track;
use crate::num::harmonics::{HarmonicFit, Series};
use crate::num::math::nearest;
use crate::numbers::FieldError;
use crate::record::{Record, Sample, Tap};
use std::f64::consts::{PI, TAU};

/// Coefficients of mean and five harmonics: what the coarsest scale has.
const COEFFICIENTS: usize = 11;
/// Noise below this share of the amplitude is rounding, not noise.
const LEAST_NOISE: f64 = 1e-10;

/// One channel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ChannelLevels {
    /// Amplitude of the fundamental, V (half of peak to peak).
    pub amplitude_v: f64,
    /// Mean, V.
    pub offset_v: f64,
    /// Third harmonic against the fundamental, 0..1.
    pub third_harmonic: f64,
    /// Noise, V rms.
    pub noise_v: f64,
    /// Signal to noise as powers, `R^2/(2 sigma^2)`; `None` without noise or without signal.
    pub snr: Option<f64>,
}

impl ChannelLevels {
    /// Peak to peak of the fundamental, V.
    #[must_use]
    pub fn peak_to_peak_v(&self) -> f64 {
        2.0 * self.amplitude_v
    }
}

/// What the level meter says.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LevelsReading {
    /// Channel A.
    pub a: ChannelLevels,
    /// Channel B.
    pub b: ChannelLevels,
    /// `R_a/R_b`; `None` when B is dead.
    pub ratio: Option<f64>,
    /// `(arg B + 90 deg) - arg A` of the fundamentals, rad, -pi to pi; near half a turn when A and B are exchanged.
    /// `None` when a channel is dead.
    pub phase_error_rad: Option<f64>,
    /// Jitter of the position that the noise makes, m rms: `(p/2 pi) sigma/R`, both channels.
    pub position_jitter_m: Option<f64>,
    /// Jitter of the edges of A, s rms: `sigma/(2 pi f R)` at the present frequency; `None` at rest.
    pub edge_jitter_s: Option<f64>,
    /// Signal frequency over the window, Hz.
    pub frequency_hz: f64,
    /// Points that the levels rest on.
    pub points: u32,
    /// Periods that they cover.
    pub periods: f64,
    /// How long ago the axis last moved on, s.
    pub age_s: f64,
}

/// Signal to noise as powers (signal model, section 7): `R^2/(2 sigma^2)` of an amplitude and a noise, V.
#[must_use]
pub fn snr(amplitude_v: f64, noise_v: f64) -> f64 {
    amplitude_v * amplitude_v / (2.0 * noise_v * noise_v)
}

/// Jitter of an interpolated position, m rms (signal model, section 7): `(p/2 pi) sigma/R`.
#[must_use]
pub fn position_jitter_m(noise_v: f64, amplitude_v: f64, period_m: f64) -> f64 {
    period_m / TAU * noise_v / amplitude_v
}

/// Jitter of an edge at a zero crossing, s rms (signal model, section 7): `sigma/(2 pi f R)`.
#[must_use]
pub fn edge_jitter_s(noise_v: f64, amplitude_v: f64, frequency_hz: f64) -> f64 {
    noise_v / (TAU * frequency_hz * amplitude_v)
}

/// The level meter.
#[derive(Clone, Debug)]
pub struct Levels {
    track: Track<Pair>,
    lights: Track<[f64; 4]>,
    edges: Edges,
    now_s: f64,
}

impl Levels {
    /// Levels over the last `periods` (1 to 16) of a grating of period `period_m`, m.
    ///
    /// # Errors
    /// When a number is not finite or outside its range.
    pub fn new(period_m: f64, periods: f64) -> Result<Self, FieldError> {
        Ok(Self {
            track: Track::new(period_m, periods)?,
            // Records come once a step, so a window of them is as long as it can be.
            lights: Track::new(period_m, super::track::PERIODS_MAX)?,
            edges: Edges::new(period_m)?,
            now_s: 0.0,
        })
    }

    /// Works the levels out.
    ///
    /// # Errors
    /// Why there are none, in words that say what to do.
    pub fn reading(&self) -> Result<LevelsReading, ReadingError> {
        let period_m = self.track.period_m();
        let mut fit = HarmonicFit::<COEFFICIENTS, 2>::default();
        for p in self.track.points() {
            fit.add(p.table_m / period_m, &[p.seen.a_v, p.seen.b_v]);
        }
        let series = fit.solve()?;
        let (mut count, mut left) = (0_u32, [0.0; 2]);
        for p in self.track.points() {
            let turns = p.table_m / period_m;
            for ((left, series), v) in left.iter_mut().zip(&series).zip([p.seen.a_v, p.seen.b_v]) {
                let rest = v - series.at(turns - nearest(turns));
                *left += rest * rest;
            }
            count += 1;
        }
        let free = f64::from(count) - COEFFICIENTS as f64;
        let [a, b] = [0, 1].map(|k| channel(&series[k], (left[k] / free).sqrt()));
        let alive = a.amplitude_v > 0.0 && b.amplitude_v > 0.0;
        let lead = series[1].phase_turns(1) + 0.25 - series[0].phase_turns(1);
        let frequency_hz = self.frequency_hz();
        let noisy = a.snr.is_some() && b.snr.is_some();
        let jitter = |k: &ChannelLevels| position_jitter_m(k.noise_v, k.amplitude_v, period_m);
        Ok(LevelsReading {
            ratio: (b.amplitude_v > 0.0).then(|| a.amplitude_v / b.amplitude_v),
            phase_error_rad: alive.then(|| 2.0 * PI * (lead - nearest(lead))),
            position_jitter_m: noisy.then(|| (0.5 * (jitter(&a) * jitter(&a) + jitter(&b) * jitter(&b))).sqrt()),
            edge_jitter_s: (a.snr.is_some() && frequency_hz > 0.0)
                .then(|| edge_jitter_s(a.noise_v, a.amplitude_v, frequency_hz)),
            frequency_hz,
            points: count,
            periods: self.track.periods(),
            age_s: self.track.newest().map_or(0.0, |p| self.now_s - p.seen.time_s),
            a,
            b,
        })
    }

    /// Duty and edge separation.
    ///
    /// # Errors
    /// Why there are none.
    pub fn edges(&self) -> Result<EdgeReading, EdgeError> {
        self.edges.reading()
    }

    /// Visibility `(i_max - i_min)/(i_max + i_min)` of each field's photocurrent, 0..1; `None` for a field that the
    /// head does not have or that sees no light.
    ///
    /// # Errors
    /// When the steps of the run have not met the whole period.
    pub fn visibility(&self) -> Result<[Option<f64>; 4], ReadingError> {
        let mut fit = HarmonicFit::<COEFFICIENTS, 4>::default();
        for p in self.lights.points() {
            fit.add(p.table_m / self.lights.period_m(), &p.seen);
        }
        Ok(fit.solve()?.map(|field| {
            let (low, high) = field.extremes();
            (high + low > 0.0).then(|| ((high - low) / (high + low)).clamp(0.0, 1.0))
        }))
    }

    /// Forgets what was seen: what follows is measured afresh.
    pub fn clear(&mut self) {
        self.track.clear();
        self.lights.clear();
        self.edges.clear();
    }

    fn frequency_hz(&self) -> f64 {
        let Some((first, last)) = self.track.points().next().zip(self.track.newest()) else { return 0.0 };
        let time_s = last.seen.time_s - first.seen.time_s;
        if time_s > 0.0 { self.track.periods() / time_s } else { 0.0 }
    }
}

fn channel(series: &Series<COEFFICIENTS>, noise_v: f64) -> ChannelLevels {
    let amplitude_v = series.amplitude(1);
    ChannelLevels {
        amplitude_v,
        offset_v: series.mean(),
        third_harmonic: if amplitude_v > 0.0 { series.amplitude(3) / amplitude_v } else { 0.0 },
        noise_v,
        snr: (amplitude_v > 0.0 && noise_v > LEAST_NOISE * amplitude_v).then(|| snr(amplitude_v, noise_v)),
    }
}

impl Tap for Levels {
    fn sample(&mut self, sample: &Sample) {
        self.now_s = sample.time_s;
        self.track.see(sample.table_m, Pair { time_s: sample.time_s, a_v: sample.a_v, b_v: sample.b_v });
        self.edges.sample(sample);
    }

    fn record(&mut self, record: &Record) {
        self.lights.see(record.table_m, record.photocurrent_a);
    }
}

#[cfg(test)]
mod tests {
    use super::{Levels, ReadingError, edge_jitter_s, position_jitter_m, snr};
    use crate::instrument::fixture::{Rig, travel};
    use crate::record::{Record, Tap};
    use std::f64::consts::{PI, TAU};

    fn measured(rig: &Rig, periods: f64) -> Levels {
        let mut levels = Levels::new(20e-6, 16.0).unwrap();
        travel(rig, periods, 0.0153, &mut levels);
        levels
    }

    // Source: signal model, section 7: propagation of a small error through the arctangent and through a slope.
    #[test]
    fn signal_v53_jitter_of_noise() {
        let expected = 12.7324e-9;
        assert!((position_jitter_m(2e-3, 0.5, 20e-6) / expected - 1.0).abs() < 1e-6);
        assert!((edge_jitter_s(2e-3, 0.5, 50e3) / expected - 1.0).abs() < 1e-6);
        assert!((snr(0.5, 2e-3) / 31_250.0 - 1.0).abs() < 1e-12);
        // The meter itself on injected noise, 50 kHz: 0.0153 turns a sample. 940 points: standard error of a noise
        // 1/sqrt(2 * 940) = 2.3 %; four of them.
        let rig = Rig { noise_v: 2e-3, sample_s: 0.0153 / 50e3, ..Rig::default() };
        let r = measured(&rig, 20.0).reading().unwrap();
        assert!((r.frequency_hz / 50e3 - 1.0).abs() < 1e-2, "{r:?}");
        for noise_v in [r.a.noise_v, r.b.noise_v] {
            assert!((noise_v / 2e-3 - 1.0).abs() < 4.0 * 0.023, "{r:?}");
        }
        assert!((r.position_jitter_m.unwrap() / expected - 1.0).abs() < 4.0 * 0.017, "{r:?}");
        assert!((r.edge_jitter_s.unwrap() / expected - 1.0).abs() < 4.0 * 0.023 + 1e-2, "{r:?}");
        assert!((r.a.snr.unwrap() / 31_250.0 - 1.0).abs() < 8.0 * 0.023, "{r:?}");
    }

    // Source: the injected values.
    #[test]
    fn levels_read_as_made() {
        let rig = Rig {
            offset_v: [0.02, -0.03],
            radius_v: [0.48, 0.55],
            phase_error_rad: -0.07,
            third: 0.02,
            ..Rig::default()
        };
        for way in [20.0, -20.0] {
            let r = measured(&rig, way).reading().unwrap();
            for (k, channel) in [r.a, r.b].iter().enumerate() {
                assert!((channel.amplitude_v - rig.radius_v[k]).abs() < 1e-10, "{r:?}");
                assert!((channel.peak_to_peak_v() - 2.0 * rig.radius_v[k]).abs() < 1e-10, "{r:?}");
                assert!((channel.offset_v - rig.offset_v[k]).abs() < 1e-10, "{r:?}");
                assert!((channel.third_harmonic - 0.02).abs() < 1e-9, "{r:?}");
                assert_eq!(channel.snr, None, "no noise was put in");
            }
            assert!((r.phase_error_rad.unwrap() + 0.07).abs() < 1e-9, "{r:?}");
            assert!((r.ratio.unwrap() - 0.48 / 0.55).abs() < 1e-9, "{r:?}");
        }
    }

    #[test]
    fn exchanged_channels_are_half_a_turn_out_and_a_dead_one_has_no_phase() {
        let r = measured(&Rig { exchanged: true, ..Rig::default() }, 20.0).reading().unwrap();
        assert!((r.phase_error_rad.unwrap().abs() - PI).abs() < 1e-9, "{r:?}");
        let r = measured(&Rig { radius_v: [0.5, 0.0], ..Rig::default() }, 20.0).reading().unwrap();
        assert_eq!((r.ratio, r.position_jitter_m), (None, None));
        assert!((r.a.amplitude_v - 0.5).abs() < 1e-10 && r.b.amplitude_v == 0.0);
    }

    #[test]
    fn nothing_is_read_before_a_whole_period_was_seen() {
        assert!(matches!(measured(&Rig::default(), 0.4).reading(), Err(ReadingError::Harmonics(_))));
        let levels = measured(&Rig::default(), 20.0);
        assert!(levels.edges().is_ok());
        let mut cleared = levels;
        cleared.clear();
        assert!(cleared.reading().is_err() && cleared.edges().is_err());
    }

    // Source: definition: (1 + v) and (1 - v) are the extremes of 1 + v cos.
    #[test]
    fn visibility_is_that_of_the_light() {
        let mut levels = Levels::new(20e-6, 4.0).unwrap();
        for i in 0..600 {
            let turns = f64::from(i) * 0.037;
            let field = |v: f64, k: f64| 3e-7 * (1.0 + v * libm::cos(TAU * (turns - k)));
            let photocurrent_a = [field(0.8, 0.0), field(0.4, 0.25), field(0.0, 0.5), 0.0];
            levels.record(&Record { table_m: turns * 20e-6, photocurrent_a, ..Record::default() });
        }
        let v = levels.visibility().unwrap();
        assert!((v[0].unwrap() - 0.8).abs() < 1e-4 && (v[1].unwrap() - 0.4).abs() < 1e-4, "{v:?}");
        assert!(v[2].unwrap() < 1e-9, "{v:?}");
        assert_eq!(v[3], None);
    }
}
