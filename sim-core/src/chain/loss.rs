//! Loss-of-signal detection of the control, with a latch that keeps time and place of the first occurrence.
//!
//! Analog channels are judged by the length of the vector (A, B), squared ones by the level and the common mode of
//! their pairs. Limits are own values of the usual kind. Left out: the amplitude is judged as it is, not corrected for
//! offset and phase errors, so a channel far off its centre raises the alarm at one phase of the period; how often the
//! amplitude left its usual range (the warning) is not latched.

use crate::chain::line::Received;
use crate::chain::wiring::Pair;
use crate::limits::{FieldError, within};
use serde::{Deserialize, Serialize};

/// What is wrong with the signal.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum SignalFault {
    /// Vector still in order, but shorter than it should be: a warning.
    AmplitudeFalling,
    /// Vector still in order, but longer than it should be: a warning.
    AmplitudeRising,
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
    /// The other channel switches on and on, this one does not, and the motor moves (see
    /// [`crate::monitor::signal`]).
    ChannelStands(Pair),
}

impl SignalFault {
    /// Whether the position can no longer be told: all but a wrong amplitude.
    #[must_use]
    pub fn is_loss(self) -> bool {
        self.rank() == 2
    }

    /// Whether it is only a warning: the amplitude leaves its usual range and is still in order.
    #[must_use]
    pub fn is_warning(self) -> bool {
        self.rank() == 0
    }

    /// How bad it is: 0 a warning, 1 a wrong amplitude, 2 a loss.
    #[must_use]
    pub fn rank(self) -> u8 {
        match self {
            Self::AmplitudeFalling | Self::AmplitudeRising => 0,
            Self::AmplitudeLow | Self::AmplitudeHigh => 1,
            Self::SignalLost | Self::PairMissing(_) | Self::CommonMode(_) | Self::ChannelStands(_) => 2,
        }
    }

    /// The worse of two findings, the first of two that are alike.
    #[must_use]
    pub fn worse(one: Option<Self>, other: Option<Self>) -> Option<Self> {
        match (one, other) {
            (Some(a), Some(b)) => Some(if b.rank() > a.rank() { b } else { a }),
            (a, b) => a.or(b),
        }
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
    /// Vectors outside this range are warned of, V, from `low_v` to `high_v`.
    pub warn_v: (f64, f64),
    /// How long it must last, s, 0 to 1.
    pub after_s: f64,
    /// How long a vector below `lost_v` must last, s, 0 to 1.
    pub lost_after_s: f64,
    /// How long a pair must be missing after its receiver has said so, s, 0 to 1.
    pub missing_after_s: f64,
}

impl Default for LossParams {
    /// 0.2 to 0.75 V, lost below 0.1 V, after 20 us (signal model 6.7); no warning range.
    fn default() -> Self {
        Self {
            low_v: 0.2,
            high_v: 0.75,
            lost_v: 0.1,
            warn_v: (0.2, 0.75),
            after_s: 20e-6,
            lost_after_s: 20e-6,
            missing_after_s: 0.0,
        }
    }
}

impl LossParams {
    /// Squares of the vector lengths between which nothing is told, V^2.
    #[must_use]
    pub fn calm_v2(&self) -> (f64, f64) {
        let least_v = self.warn_v.0.max(self.low_v).max(self.lost_v);
        let most_v = self.warn_v.1.min(self.high_v);
        (least_v * least_v, most_v * most_v)
    }

    /// As the control's monitor takes it (axis model, section 4), of a nominal amplitude, V, 0 to 6: warned outside
    /// 0.7 to 1.3 of it, wrong outside 0.4 to 1.5, both after 1 ms; lost below 0.2 or with a pair missing, after
    /// 0.1 ms.
    #[must_use]
    pub fn of_nominal(nominal_v: f64) -> Self {
        Self {
            low_v: 0.4 * nominal_v,
            high_v: 1.5 * nominal_v,
            lost_v: 0.2 * nominal_v,
            warn_v: (0.7 * nominal_v, 1.3 * nominal_v),
            after_s: 1e-3,
            lost_after_s: 0.1e-3,
            missing_after_s: 0.1e-3,
        }
    }

    /// The limit that a fault has passed, V; `threshold_v` and `common_v` are those of the receivers.
    #[must_use]
    pub fn limit_v(&self, fault: SignalFault, threshold_v: f64, common_v: f64) -> f64 {
        match fault {
            SignalFault::AmplitudeFalling => self.warn_v.0,
            SignalFault::AmplitudeRising => self.warn_v.1,
            SignalFault::AmplitudeLow => self.low_v,
            SignalFault::AmplitudeHigh => self.high_v,
            SignalFault::SignalLost => self.lost_v,
            SignalFault::PairMissing(_) | SignalFault::ChannelStands(_) => threshold_v,
            SignalFault::CommonMode(_) => common_v,
        }
    }

    /// Refuses numbers that make no window.
    ///
    /// # Errors
    /// The first field that is not finite or outside its range.
    pub fn check(&self) -> Result<(), FieldError> {
        within("loss.high_v", self.high_v, 0.0, 10.0)?;
        within("loss.low_v", self.low_v, 0.0, self.high_v)?;
        within("loss.lost_v", self.lost_v, 0.0, self.low_v)?;
        within("loss.warn_v (low)", self.warn_v.0, self.low_v, self.high_v)?;
        within("loss.warn_v (high)", self.warn_v.1, self.warn_v.0, self.high_v)?;
        within("loss.after_s", self.after_s, 0.0, 1.0)?;
        within("loss.lost_after_s", self.lost_after_s, 0.0, 1.0)?;
        within("loss.missing_after_s", self.missing_after_s, 0.0, 1.0)
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
    near: Lasting,
    outside: Lasting,
    short: Lasting,
    pairs: [Lasting; 3],
    missing: [Lasting; 3],
    /// First wrong amplitude since the last reset.
    pub amplitude: Option<SignalEvent>,
    /// First loss since the last reset.
    pub lost: Option<SignalEvent>,
}

impl LossState {
    /// Takes samples whose vectors are all of the right length, [`LossParams::calm_v2`]: the same as
    /// [`LossState::analog`] for each of them, and nearly every step of nearly every run.
    #[inline]
    pub fn calm(&mut self) {
        (self.near, self.outside, self.short) = Default::default();
    }

    /// Takes one sample of length `dt_s` of analog channels, V; what is wrong at present, the worst first.
    #[inline]
    pub fn analog(&mut self, p: &LossParams, a_v: f64, b_v: f64, now: Moment, dt_s: f64) -> Option<SignalFault> {
        let square = a_v * a_v + b_v * b_v;
        // A vector that is not a number is none.
        let square = if square.is_nan() { 0.0 } else { square };
        let low = square < p.low_v * p.low_v;
        let high = square > p.high_v * p.high_v;
        let (falling, rising) = (square < p.warn_v.0 * p.warn_v.0, square > p.warn_v.1 * p.warn_v.1);
        let near = self.near.step(falling || rising, now, dt_s, p.after_s);
        let outside = self.outside.step(low || high, now, dt_s, p.after_s);
        let short = self.short.step(square < p.lost_v * p.lost_v, now, dt_s, p.lost_after_s);
        let warning = if rising { SignalFault::AmplitudeRising } else { SignalFault::AmplitudeFalling };
        let mut present = near.map(|_| warning);
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
    /// first.
    #[inline]
    pub fn squared(&mut self, p: &LossParams, received: &[Received; 3], now: Moment, dt_s: f64) -> Option<SignalFault> {
        let mut present = None;
        for (i, (pair, seen)) in Pair::ALL.into_iter().zip(received).enumerate() {
            let common_mode = self.pairs[i].step(seen.common_mode, now, dt_s, p.after_s);
            let missing = self.missing[i].step(seen.missing, now, dt_s, p.missing_after_s);
            let fault = if let Some(since) = missing {
                (SignalFault::PairMissing(pair), since)
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

    // Source: axis model, section 4: warn 0.7 / 1.3, trip 0.4 / 1.5 of nominal after 1 ms, lost below 0.2 after 0.1 ms.
    #[test]
    fn the_monitor_of_the_control_warns_before_it_trips() {
        use SignalFault::{AmplitudeFalling, AmplitudeHigh, AmplitudeLow, AmplitudeRising, SignalLost};
        let p = LossParams::of_nominal(0.5);
        assert_eq!(p.check(), Ok(()));
        // What a vector of this length is called in the end, and after how many steps of 50 us.
        let judge = |length_v: f64| {
            let mut s = LossState::default();
            let said: Vec<_> = (0..40).map(|i| s.analog(&p, 0.6 * length_v, 0.8 * length_v, at(i), 50e-6)).collect();
            (said[39], said.iter().position(|one| *one == said[39]).unwrap())
        };
        assert_eq!(judge(0.5), (None, 0));
        assert_eq!(judge(0.36), (None, 0));
        assert_eq!(judge(0.34).0, Some(AmplitudeFalling));
        assert_eq!(judge(0.66).0, Some(AmplitudeRising));
        assert_eq!(judge(0.19).0, Some(AmplitudeLow));
        assert_eq!(judge(0.76).0, Some(AmplitudeHigh));
        assert_eq!(judge(0.09).0, Some(SignalLost));
        assert!((19..=20).contains(&judge(0.34).1) && (19..=20).contains(&judge(0.19).1));
        assert!((1..=2).contains(&judge(0.09).1), "{}", judge(0.09).1);
        assert_eq!(SignalFault::worse(Some(AmplitudeFalling), Some(SignalLost)), Some(SignalLost));
        assert!(AmplitudeFalling.is_warning() && !AmplitudeLow.is_warning() && !AmplitudeLow.is_loss());
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
