//! The channels of a standing axis: what moves although nothing should. Noise, hum, bursts and counts that nobody made.
//!
//! A held axis moves by a count or so, which shows in a fine scale's channels: for noise and hum switch the drive off.

use crate::num::math::{hypot, sincos_turns};
use crate::record::{Doing, Record, Sample, Tap};

/// Time after the command has come to rest in which the axis settles and is not yet measured, s.
pub const SETTLING_S: f64 = 0.3;

/// Shortest standing that is measured, s: five turns of a 50 Hz mains.
pub const SHORTEST_S: f64 = 0.1;

/// Sums over one standing, weighted by the time that each sample stands for.
#[derive(Clone, Copy, Debug, Default)]
struct Sums {
    time_s: f64,
    low_v: f64,
    high_v: f64,
    first_v: f64,
    /// Of the difference to the first value, V s, and of its square, V^2 s.
    sum: f64,
    squares: f64,
    /// Against cosine and sine of the mains, V s.
    with_cos: f64,
    with_sin: f64,
    /// Readout less table: least and greatest, m.
    off_m: (f64, f64),
}

/// What a standing axis shows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StillReading {
    /// Standard deviation of A, V.
    pub rms_v: f64,
    /// Greatest less smallest value of A, V.
    pub peak_to_peak_v: f64,
    /// Amplitude of A's part at mains frequency, V.
    pub hum_v: f64,
    /// How far the readout wandered against the table, m: counts that no movement made.
    pub false_m: f64,
    /// How long it stood, s.
    pub time_s: f64,
}

/// The meter for a standing axis; the last standing of at least [`SHORTEST_S`] counts.
#[derive(Clone, Debug)]
pub struct Still {
    mains_hz: f64,
    standing: bool,
    last_s: f64,
    /// When the command was last on its way, s.
    moved_s: f64,
    doing: Doing,
    now: Sums,
    kept: Option<StillReading>,
}

impl Still {
    /// A meter that looks for hum at `mains_hz`, Hz (50 or 60 as a rule).
    #[must_use]
    pub fn new(mains_hz: f64) -> Self {
        Self {
            mains_hz,
            standing: false,
            last_s: 0.0,
            moved_s: -SETTLING_S,
            doing: Doing::Off,
            now: Sums::default(),
            kept: None,
        }
    }

    /// The last standing that was long enough.
    #[must_use]
    pub fn reading(&self) -> Option<StillReading> {
        self.now.reading().or(self.kept)
    }
}

impl Sums {
    fn reading(&self) -> Option<StillReading> {
        (self.time_s >= SHORTEST_S).then(|| {
            let mean = self.sum / self.time_s;
            StillReading {
                rms_v: (self.squares / self.time_s - mean * mean).max(0.0).sqrt(),
                peak_to_peak_v: self.high_v - self.low_v,
                hum_v: 2.0 * hypot(self.with_cos, self.with_sin) / self.time_s,
                false_m: self.off_m.1 - self.off_m.0,
                time_s: self.time_s,
            }
        })
    }
}

impl Tap for Still {
    fn sample(&mut self, sample: &Sample) {
        let dt_s = sample.time_s - self.last_s;
        self.last_s = sample.time_s;
        if !self.standing {
            return;
        }
        let sums = &mut self.now;
        if sums.time_s <= 0.0 {
            (sums.first_v, sums.low_v, sums.high_v) = (sample.a_v, sample.a_v, sample.a_v);
        }
        let v = sample.a_v - sums.first_v;
        let (sin, cos) = sincos_turns(self.mains_hz * sample.time_s);
        sums.time_s += dt_s;
        sums.sum += v * dt_s;
        sums.squares += v * v * dt_s;
        sums.with_cos += v * cos * dt_s;
        sums.with_sin += v * sin * dt_s;
        sums.low_v = sums.low_v.min(sample.a_v);
        sums.high_v = sums.high_v.max(sample.a_v);
    }

    fn record(&mut self, r: &Record) {
        let still = r.command_mps == 0.0 && matches!(r.doing, Doing::Holding | Doing::Off | Doing::Tripped);
        // A drive that is switched off lets go of the table: that is another standing.
        if !still || self.doing != r.doing {
            self.doing = r.doing;
            self.moved_s = r.time_s;
        }
        if r.time_s - self.moved_s < SETTLING_S {
            if let Some(reading) = self.now.reading() {
                self.kept = Some(reading);
            }
            (self.standing, self.now) = (false, Sums::default());
            return;
        }
        let off_m = r.counted_m - r.table_m;
        if !self.standing {
            (self.standing, self.now) = (true, Sums { off_m: (off_m, off_m), ..Sums::default() });
        }
        self.now.off_m = (self.now.off_m.0.min(off_m), self.now.off_m.1.max(off_m));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stand(still: &mut Still, seconds: f64, volts: impl Fn(f64) -> f64) {
        let resting = Record { doing: Doing::Off, ..Record::default() };
        still.record(&resting);
        for k in 1..=(seconds / 50e-6) as u64 {
            let time_s = still.last_s + 50e-6;
            still.sample(&Sample { time_s, a_v: volts(50e-6 * k as f64), ..Sample::default() });
            still.record(&Record { time_s, counted_m: if k > 100 { 3e-6 } else { 0.0 }, ..resting });
        }
    }

    // Source: a sine of amplitude a has the standard deviation a/sqrt(2) and the peak-to-peak value 2 a.
    #[test]
    fn hum_is_told_from_an_offset() {
        let mut still = Still::new(50.0);
        stand(&mut still, 0.2, |t| 0.3 + 0.02 * sincos_turns(50.0 * t).0);
        let reading = still.reading().unwrap();
        assert!((reading.hum_v / (0.02) - 1.0).abs() < 1e-3, "{reading:?}");
        assert!((reading.rms_v / (0.02 / 2.0_f64.sqrt()) - 1.0).abs() < 1e-3, "{reading:?}");
        assert!((reading.peak_to_peak_v / (0.04) - 1.0).abs() < 1e-3, "{reading:?}");
        assert_eq!(reading.false_m, 3e-6);
    }

    #[test]
    fn a_short_stop_is_no_standing_and_a_move_keeps_the_last() {
        let mut still = Still::new(50.0);
        stand(&mut still, 0.05, |_| 1.0);
        assert_eq!(still.reading(), None);
        stand(&mut still, 0.1, |_| 1.0);
        let before = still.reading();
        still.record(&Record { time_s: 0.15, command_mps: 0.1, doing: Doing::Moving, ..Record::default() });
        still.sample(&Sample { a_v: 9.0, ..Sample::default() });
        assert!(before.is_some() && still.reading() == before);
    }
}
