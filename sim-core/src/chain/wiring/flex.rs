//! A contact that opens now and then while the cable bends.
//!
//! Two states: closed, from which it opens at a steady rate (Poisson), and open, for a time that is exponential about
//! its mean. It opens only while the axis is in the stretch where the cable bends there, and closes when the axis
//! leaves it. The life of a state is drawn once, when the state begins, so the process does not depend on how finely
//! it is sampled. Left out: bounce within an opening, wear.

use crate::limits::{FieldError, within};
use crate::num::math::ln;
use crate::num::random::Stream;
use serde::{Deserialize, Serialize};

/// Most changes in one sample; more cannot be seen and would only cost time.
const CHANGES_MOST: u32 = 64;

/// When and where a contact opens.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FlexParams {
    /// Where the bad stretch begins on the axis, m, -100 to 100.
    pub from_m: f64,
    /// Where it ends, m, from `from_m` to 100.
    pub to_m: f64,
    /// Openings per second of being closed, 1/s, 0 to 1000; 0.1 to 20 is usual.
    pub open_rate_per_s: f64,
    /// Mean time that it stays open, s, 1e-5 to 10; 1e-4 to 1e-1 is usual.
    pub mean_open_s: f64,
}

impl FlexParams {
    /// Refuses numbers that make no sense.
    ///
    /// # Errors
    /// The first field that is not finite or outside its range.
    pub fn check(&self) -> Result<(), FieldError> {
        within("flex.from_m", self.from_m, -100.0, 100.0)?;
        within("flex.to_m", self.to_m, self.from_m, 100.0)?;
        within("flex.open_rate_per_s", self.open_rate_per_s, 0.0, 1e3)?;
        within("flex.mean_open_s", self.mean_open_s, 1e-5, 10.0)
    }
}

/// What the contact carries from sample to sample.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FlexState {
    /// Whether it is open.
    open: bool,
    /// What is left of this state's life, in units of its mean; exponential, so it serves either state.
    left: f64,
    /// Its chance.
    stream: Stream,
}

impl FlexState {
    /// A closed contact with the random stream of this seed and name.
    #[must_use]
    pub fn new(seed: u64, name: &str) -> Self {
        let mut stream = Stream::named(seed, name);
        Self { open: false, left: -ln(stream.uniform()), stream }
    }

    /// Whether it is open.
    #[inline]
    #[must_use]
    pub fn open(&self) -> bool {
        self.open
    }

    /// One sample of length `dt_s` with the axis at `place_m`; true while open.
    #[inline]
    pub fn step(&mut self, p: &FlexParams, place_m: f64, dt_s: f64) -> bool {
        if !(p.from_m <= place_m && place_m <= p.to_m) {
            // What is left of the open life is exponential too and becomes the closed life's.
            self.open = false;
            return false;
        }
        let mut time_s = dt_s;
        for _ in 0..CHANGES_MOST {
            let rate_per_s = if self.open { 1.0 / p.mean_open_s } else { p.open_rate_per_s };
            let used = rate_per_s * time_s;
            if used < self.left {
                self.left -= used;
                break;
            }
            time_s -= self.left / rate_per_s;
            self.open = !self.open;
            self.left = -ln(self.stream.uniform());
        }
        self.open
    }
}

#[cfg(test)]
mod tests {
    use super::{FlexParams, FlexState};

    const BEND: FlexParams = FlexParams { from_m: 0.2, to_m: 0.4, open_rate_per_s: 10.0, mean_open_s: 5e-3 };

    /// Openings and time spent open in `time_s` at a place, sampled every `dt_s`.
    fn run(p: &FlexParams, seed: u64, place_m: f64, time_s: f64, dt_s: f64) -> (u32, f64) {
        let mut s = FlexState::new(seed, "test");
        let (mut openings, mut open_s, mut was) = (0, 0.0, false);
        for _ in 0..(time_s / dt_s).round() as u32 {
            let open = s.step(p, place_m, dt_s);
            openings += u32::from(open && !was);
            open_s += if open { dt_s } else { 0.0 };
            was = open;
        }
        (openings, open_s)
    }

    // Source: alternating renewal process (any text on renewal theory): cycles of mean 1/rate + mean open time;
    // number of cycles with variance T (s1^2 + s2^2)/m^3, share of time open mean_open/(1/rate + mean_open). Four
    // standard errors; an exponential time has its mean for standard deviation.
    #[test]
    fn openings_and_open_time_are_those_of_the_renewal_process() {
        let (time_s, closed_s, open_s) = (2000.0, 1.0 / BEND.open_rate_per_s, BEND.mean_open_s);
        let (openings, open) = run(&BEND, 5, 0.3, time_s, 50e-6);
        let cycle_s = closed_s + open_s;
        let variance = time_s * (closed_s * closed_s + open_s * open_s) / (cycle_s * cycle_s * cycle_s);
        let expected = time_s / cycle_s;
        assert!((f64::from(openings) - expected).abs() < 4.0 * variance.sqrt(), "{openings}, not {expected}");
        // Mean open time over n openings has standard error mean/sqrt(n).
        let n = f64::from(openings);
        assert!((open / n - open_s).abs() < 4.0 * open_s / n.sqrt(), "{} s", open / n);
    }

    #[test]
    fn the_contact_does_not_depend_on_the_sampling() {
        // No state of this seed is so short that the coarse sampling passes over it.
        let coarse = run(&BEND, 5, 0.3, 10.0, 50e-6);
        let fine = run(&BEND, 5, 0.3, 10.0, 50e-6 / 64.0);
        assert!(coarse.0.abs_diff(fine.0) <= 2, "{coarse:?} {fine:?}");
        assert!((coarse.1 - fine.1).abs() < 50e-6 * f64::from(fine.0), "{coarse:?} {fine:?}");
    }

    #[test]
    fn it_is_closed_where_the_cable_lies_straight() {
        assert_eq!(run(&BEND, 5, 0.5, 10.0, 50e-6).0, 0);
        let always = FlexParams { open_rate_per_s: 1e3, mean_open_s: 10.0, ..BEND };
        let mut s = FlexState::new(1, "test");
        assert!((0..1000).any(|_| s.step(&always, 0.4, 50e-6)));
        assert!(!s.step(&always, 0.4001, 50e-6));
        assert!(!s.step(&always, f64::NAN, 50e-6));
    }

    #[test]
    fn a_kept_contact_goes_on_where_it_stopped() {
        let mut s = FlexState::new(3, "test");
        for _ in 0..5000 {
            s.step(&BEND, 0.3, 50e-6);
        }
        let mut back: FlexState = serde_json::from_str(&serde_json::to_string(&s).unwrap()).unwrap();
        for _ in 0..5000 {
            assert_eq!(s.step(&BEND, 0.3, 50e-6), back.step(&BEND, 0.3, 50e-6));
        }
        assert_eq!(s, back);
    }

    #[test]
    fn impossible_contacts_are_refused_and_unchecked_ones_still_end() {
        assert_eq!(BEND.check(), Ok(()));
        let text = FlexParams { to_m: 0.1, ..BEND }.check().expect_err("refused").to_string();
        assert_eq!(text, "flex.to_m: 0.1 is outside the allowed range 0.2 to 100");
        let mad = FlexParams { open_rate_per_s: f64::INFINITY, mean_open_s: 0.0, ..BEND };
        assert!(mad.check().is_err());
        FlexState::new(1, "test").step(&mad, 0.3, 50e-6);
    }
}
