//! Loss-of-signal detection of the control, with a latch that keeps time and place of the first occurrence.
//!
//! Analog channels are judged by the length of the vector (A, B), squared ones by the level and the common mode of
//! their pairs. Limits are own values of the usual kind. Left out: the amplitude is judged as it is, not corrected for
//! offset and phase errors, so a channel far off its centre raises the alarm at one phase of the period.

use crate::chain::line::Received;
use crate::chain::wiring::Pair;
use crate::limits::{FieldError, within};
use serde::{Deserialize, Serialize};

/// What is wrong with the signal.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum SignalFault {
    /// Vector shorter than the window.
    AmplitudeLow,
    /// Vector longer than the window.
    AmplitudeHigh,
    /// No vector to speak of.
    SignalLost,
    /// A pair shows no level.
    PairMissing(Pair),
    /// A pair is outside the common-mode window of its receiver.
    CommonMode(Pair),
}

impl SignalFault {
    /// Whether the position can no longer be told: all but a wrong amplitude.
    #[must_use]
    pub fn is_loss(self) -> bool {
        !matches!(self, Self::AmplitudeLow | Self::AmplitudeHigh)
    }
}

/// Limits of the detection.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LossParams {
    /// Shortest vector that is in order, V, from `lost_v` to `high_v`.
    pub low_v: f64,
    /// Longest vector that is in order, V, up to 10.
    pub high_v: f64,
    /// Below this the signal is lost, V, at least 0.
    pub lost_v: f64,
    /// How long it must last, s, 0 to 1.
    pub after_s: f64,
}

impl Default for LossParams {
    /// 0.2 to 0.75 V, lost below 0.1 V, after 20 us.
    fn default() -> Self {
        Self { low_v: 0.2, high_v: 0.75, lost_v: 0.1, after_s: 20e-6 }
    }
}

impl LossParams {
    /// Refuses numbers that make no window.
    ///
    /// # Errors
    /// The first field that is not finite or outside its range.
    pub fn check(&self) -> Result<(), FieldError> {
        within("loss.high_v", self.high_v, 0.0, 10.0)?;
        within("loss.low_v", self.low_v, 0.0, self.high_v)?;
        within("loss.lost_v", self.lost_v, 0.0, self.low_v)?;
        within("loss.after_s", self.after_s, 0.0, 1.0)
    }
}

/// When and where a sample was taken.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Moment {
    /// Model time, s.
    pub time_s: f64,
    /// Place on the axis, m.
    pub place_m: f64,
}

/// A fault of the signal and the moment at which it began.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SignalEvent {
    /// What.
    pub fault: SignalFault,
    /// Since when and from where on; not the later moment at which it had lasted long enough.
    pub since: Moment,
}

/// A condition that must last.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Lasting {
    since: Option<Moment>,
    lasted_s: f64,
}

impl Lasting {
    /// One sample; the beginning, once it has lasted longer than `after_s`.
    #[inline]
    fn step(&mut self, on: bool, now: Moment, dt_s: f64, after_s: f64) -> Option<Moment> {
        if !on {
            *self = Self::default();
            return None;
        }
        let since = *self.since.get_or_insert(now);
        self.lasted_s = (self.lasted_s + dt_s).min(2.0);
        (self.lasted_s > after_s).then_some(since)
    }
}

/// What the detection carries from sample to sample.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LossState {
    outside: Lasting,
    short: Lasting,
    pairs: [Lasting; 3],
    /// First wrong amplitude since the last reset.
    pub amplitude: Option<SignalEvent>,
    /// First loss since the last reset.
    pub lost: Option<SignalEvent>,
}

impl LossState {
    /// Takes one sample of length `dt_s` of analog channels, V; what is wrong at present, the worst first.
    #[inline]
    pub fn analog(&mut self, p: &LossParams, a_v: f64, b_v: f64, now: Moment, dt_s: f64) -> Option<SignalFault> {
        let square = a_v * a_v + b_v * b_v;
        // A vector that is not a number is none.
        let square = if square.is_nan() { 0.0 } else { square };
        let low = square < p.low_v * p.low_v;
        let high = square > p.high_v * p.high_v;
        let outside = self.outside.step(low || high, now, dt_s, p.after_s);
        let short = self.short.step(square < p.lost_v * p.lost_v, now, dt_s, p.after_s);
        let mut present = None;
        if let Some(since) = outside {
            let fault = if high { SignalFault::AmplitudeHigh } else { SignalFault::AmplitudeLow };
            self.latch(fault, since);
            present = Some(fault);
        }
        if let Some(since) = short {
            self.latch(SignalFault::SignalLost, since);
            present = Some(SignalFault::SignalLost);
        }
        present
    }

    /// Takes one sample of length `dt_s` of squared pairs (A, B, reference); what is wrong at present, the first pair
    /// first. The receivers themselves wait before they call a pair missing, so that is taken as it comes; the common
    /// mode must last.
    #[inline]
    pub fn squared(&mut self, p: &LossParams, received: &[Received; 3], now: Moment, dt_s: f64) -> Option<SignalFault> {
        let mut present = None;
        for ((pair, seen), lasting) in Pair::ALL.into_iter().zip(received).zip(&mut self.pairs) {
            let common_mode = lasting.step(seen.common_mode, now, dt_s, p.after_s);
            let fault = if seen.missing {
                (SignalFault::PairMissing(pair), now)
            } else if let Some(since) = common_mode {
                (SignalFault::CommonMode(pair), since)
            } else {
                continue;
            };
            let (fault, since) = fault;
            self.lost = self.lost.or(Some(SignalEvent { fault, since }));
            present = present.or(Some(fault));
        }
        present
    }

    fn latch(&mut self, fault: SignalFault, since: Moment) {
        let latch = if fault.is_loss() { &mut self.lost } else { &mut self.amplitude };
        *latch = latch.or(Some(SignalEvent { fault, since }));
    }

    /// Forgets what was latched; what lasts is found again with the next sample.
    pub fn reset(&mut self) {
        (self.amplitude, self.lost) = (None, None);
    }
}

#[cfg(test)]
mod tests {
    use super::{LossParams, LossState, Moment, SignalEvent, SignalFault};
    use crate::chain::line::Received;
    use crate::chain::wiring::Pair;

    const DT_S: f64 = 5e-6;

    fn at(step: u32) -> Moment {
        Moment { time_s: f64::from(step) * DT_S, place_m: 0.1 + f64::from(step) * 1e-6 }
    }

    /// Feeds vectors of these lengths at 5 us; what was said of each.
    fn say(state: &mut LossState, lengths_v: &[f64]) -> Vec<Option<SignalFault>> {
        let p = LossParams::default();
        (0..).zip(lengths_v).map(|(i, v)| state.analog(&p, 0.6 * v, -0.8 * v, at(i), DT_S)).collect()
    }

    // Source: 6.7: window 0.2 to 0.75 V, longer than 20 us; lost below 0.1 V.
    #[test]
    fn a_vector_outside_the_window_counts_after_twenty_microseconds() {
        use SignalFault::{AmplitudeHigh, AmplitudeLow, SignalLost};
        let mut s = LossState::default();
        // Four samples are 20 us and not yet longer; coming back in between starts afresh.
        assert!(say(&mut s, &[0.5, 0.19, 0.19, 0.19, 0.19, 0.5, 0.19, 0.5, 0.21, 0.74]).iter().all(Option::is_none));
        assert_eq!(say(&mut s, &[0.19; 5]), [None, None, None, None, Some(AmplitudeLow)]);
        assert_eq!(s.amplitude, Some(SignalEvent { fault: AmplitudeLow, since: at(0) }));
        assert_eq!(s.lost, None);
        let mut s = LossState::default();
        assert_eq!(say(&mut s, &[0.76; 5])[4], Some(AmplitudeHigh));
        let mut s = LossState::default();
        let said = say(&mut s, &[0.15, 0.05, 0.05, 0.05, 0.05, 0.05, 0.5]);
        assert_eq!(said, [None, None, None, None, Some(AmplitudeLow), Some(SignalLost), None]);
        assert_eq!(s.lost, Some(SignalEvent { fault: SignalLost, since: at(1) }));
    }

    #[test]
    fn the_first_occurrence_stays_until_reset_and_nan_is_a_loss() {
        let mut s = LossState::default();
        say(&mut s, &[0.05; 6]);
        let first = s.lost;
        say(&mut s, &[0.5, 0.5, f64::NAN, f64::NAN, f64::NAN, f64::NAN, f64::NAN]);
        assert!(first.is_some() && s.lost == first);
        s.reset();
        assert_eq!((s.lost, s.amplitude), (None, None));
        say(&mut s, &[f64::NAN]);
        assert_eq!(s.lost.map(|l| l.fault), Some(SignalFault::SignalLost));
    }

    // A long sample stands for all of its time: at rest one step is 50 us.
    #[test]
    fn one_long_sample_is_enough() {
        let mut s = LossState::default();
        assert_eq!(s.analog(&LossParams::default(), 0.0, 0.0, at(0), 50e-6), Some(SignalFault::SignalLost));
    }

    #[test]
    fn missing_pairs_and_common_mode_are_told_with_their_pair() {
        let p = LossParams::default();
        let mut s = LossState::default();
        let good = Received { level: true, missing: false, common_mode: false };
        let (missing, lifted) = (Received { missing: true, ..good }, Received { common_mode: true, ..good });
        assert_eq!(s.squared(&p, &[good; 3], at(0), DT_S), None);
        // A burst outside the window is too short to be told.
        assert_eq!(s.squared(&p, &[lifted, good, good], at(1), DT_S), None);
        assert_eq!(s.squared(&p, &[good, good, lifted], at(2), 50e-6), Some(SignalFault::CommonMode(Pair::Reference)));
        assert_eq!(s.squared(&p, &[good, missing, good], at(3), DT_S), Some(SignalFault::PairMissing(Pair::B)));
        assert_eq!(s.lost, Some(SignalEvent { fault: SignalFault::CommonMode(Pair::Reference), since: at(2) }));
        s.reset();
        s.squared(&p, &[missing, missing, good], at(4), DT_S);
        assert_eq!(s.lost.map(|l| l.fault), Some(SignalFault::PairMissing(Pair::A)));
    }

    #[test]
    fn impossible_windows_are_refused_by_name() {
        let usual = LossParams::default();
        assert_eq!(usual.check(), Ok(()));
        let text = LossParams { low_v: 0.8, ..usual }.check().expect_err("refused").to_string();
        assert_eq!(text, "loss.low_v: 0.8 is outside the allowed range 0 to 0.75");
        assert!(LossParams { after_s: f64::NAN, ..usual }.check().is_err());
    }
}
