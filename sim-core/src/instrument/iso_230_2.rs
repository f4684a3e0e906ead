//! Accuracy and repeatability of positioning, both ways: the quantities of ISO 230-2 (2014), in our own words from memory.
//!
//! Several targets along the travel, each approached several times from below ("up") and from above ("down"); deviation is
//! actual place less target. Mean and sample deviation per target and way; from them reversal, repeatability, systematic
//! deviation and accuracy. The standard wants at least five targets per metre, and five in all, on axes up to 2 m.

use serde::{Deserialize, Serialize};
use thiserror::Error;

/// Deviations at one target, m.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct TargetRuns {
    /// Target, m.
    pub target: f64,
    /// Approached in the positive direction, m.
    pub up: Vec<f64>,
    /// Approached in the negative direction, m.
    pub down: Vec<f64>,
}

/// Mean and sample deviation of one target from one side.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct OneWay {
    /// Mean deviation, m.
    pub mean: f64,
    /// Estimate of the standard deviation, `n - 1` in the denominator, m.
    pub deviation: f64,
}

impl OneWay {
    fn of(list: &[f64]) -> Self {
        let n = list.len() as f64;
        let mean = list.iter().sum::<f64>() / n;
        let square: f64 = list.iter().map(|x| (x - mean) * (x - mean)).sum();
        Self { mean, deviation: libm::sqrt(square / (n - 1.0)) }
    }
}

/// Results at one target.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct TargetResult {
    /// Target, m.
    pub target: f64,
    /// From below.
    pub up: OneWay,
    /// From above.
    pub down: OneWay,
    /// Reversal value `B_i`, m: mean up less mean down. Lost motion makes it negative.
    pub reversal: f64,
    /// Repeatability both ways `R_i`, m.
    pub repeatability: f64,
}

/// Results of the whole run, m.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Positioning {
    /// Target by target.
    pub targets: Vec<TargetResult>,
    /// Largest reversal value `B`, without sign.
    pub reversal: f64,
    /// Mean reversal value, without sign.
    pub mean_reversal: f64,
    /// Repeatability both ways `R`.
    pub repeatability: f64,
    /// Repeatability from below: largest `4 s`.
    pub repeatability_up: f64,
    /// Repeatability from above.
    pub repeatability_down: f64,
    /// Range of the mean of both ways `M`.
    pub mean_deviation: f64,
    /// Systematic deviation both ways `E`.
    pub systematic: f64,
    /// Systematic deviation from below.
    pub systematic_up: f64,
    /// Systematic deviation from above.
    pub systematic_down: f64,
    /// Accuracy both ways `A`.
    pub accuracy: f64,
    /// Accuracy from below.
    pub accuracy_up: f64,
    /// Accuracy from above.
    pub accuracy_down: f64,
}

/// Why a run cannot be judged.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum PositioningError {
    /// Nothing was measured.
    #[error("no targets were measured; measure at least five along the travel")]
    NoTargets,
    /// A target with less than two approaches from one side.
    #[error("target {target} m has {runs} approaches from one side; at least two are needed, five are usual")]
    TooFew {
        /// Which, m.
        target: f64,
        /// How many there are.
        runs: u32,
    },
    /// A deviation that is no number.
    #[error("a deviation at target {target} m is not a number; measure it again")]
    NotFinite {
        /// Which, m.
        target: f64,
    },
}

/// Largest less smallest of a list of ends.
fn range(ends: impl Iterator<Item = (f64, f64)>) -> f64 {
    let (low, high) = ends.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), (a, b)| (l.min(a), h.max(b)));
    high - low
}

fn largest(list: impl Iterator<Item = f64>) -> f64 {
    list.fold(0.0, f64::max)
}

impl Positioning {
    /// Works a run out.
    ///
    /// # Errors
    /// No targets, fewer than two approaches of one from a side, a value that is not finite.
    pub fn of(runs: &[TargetRuns]) -> Result<Self, PositioningError> {
        if runs.is_empty() {
            return Err(PositioningError::NoTargets);
        }
        let mut targets = Vec::with_capacity(runs.len());
        for run in runs {
            let target = run.target;
            let fewest = run.up.len().min(run.down.len());
            if fewest < 2 {
                return Err(PositioningError::TooFew { target, runs: fewest as u32 });
            }
            if !run.up.iter().chain(&run.down).all(|x| x.is_finite()) {
                return Err(PositioningError::NotFinite { target });
            }
            let (up, down) = (OneWay::of(&run.up), OneWay::of(&run.down));
            let reversal = up.mean - down.mean;
            let both = 2.0 * up.deviation + 2.0 * down.deviation + reversal.abs();
            let repeatability = both.max(4.0 * up.deviation).max(4.0 * down.deviation);
            targets.push(TargetResult { target, up, down, reversal, repeatability });
        }
        let mean = |w: &OneWay| (w.mean, w.mean);
        let wide = |w: &OneWay| (w.mean - 2.0 * w.deviation, w.mean + 2.0 * w.deviation);
        let ups = || targets.iter().map(|t| t.up);
        let downs = || targets.iter().map(|t| t.down);
        let middle = |t: &TargetResult| 0.5 * (t.up.mean + t.down.mean);
        Ok(Self {
            reversal: largest(targets.iter().map(|t| t.reversal.abs())),
            mean_reversal: (targets.iter().map(|t| t.reversal).sum::<f64>() / targets.len() as f64).abs(),
            repeatability: largest(targets.iter().map(|t| t.repeatability)),
            repeatability_up: largest(ups().map(|w| 4.0 * w.deviation)),
            repeatability_down: largest(downs().map(|w| 4.0 * w.deviation)),
            mean_deviation: range(targets.iter().map(|t| (middle(t), middle(t)))),
            systematic: range(ups().chain(downs()).map(|w| mean(&w))),
            systematic_up: range(ups().map(|w| mean(&w))),
            systematic_down: range(downs().map(|w| mean(&w))),
            accuracy: range(ups().chain(downs()).map(|w| wide(&w))),
            accuracy_up: range(ups().map(|w| wide(&w))),
            accuracy_down: range(downs().map(|w| wide(&w))),
            targets,
        })
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const DATA: [([f64; 5], [f64; 5]); 5] = [
        ([0.4, 0.5, 0.3, 0.0, 0.2], [-2.3, -3.5, -2.5, -2.2, -2.1]),
        ([1.4, 1.9, 2.6, 1.7, 1.6], [-1.5, -0.9, -1.2, -1.1, -0.2]),
        ([3.8, 3.8, 3.7, 3.1, 3.6], [0.6, 1.0, 1.4, 0.7, 0.9]),
        ([3.1, 2.1, 2.6, 1.8, 2.2], [0.3, 0.2, -0.4, 0.2, 0.9]),
        ([4.2, 5.0, 4.5, 5.2, 5.2], [1.7, 2.9, 2.6, 2.2, 3.5]),
    ];

    fn runs() -> Vec<TargetRuns> {
        let um = |list: [f64; 5]| list.map(|x| x * 1e-6).to_vec();
        let run = |(i, (up, down)): (usize, ([f64; 5], [f64; 5]))| TargetRuns {
            target: 0.1 * i as f64,
            up: um(up),
            down: um(down),
        };
        DATA.into_iter().enumerate().map(run).collect()
    }

    // Source: formulas of ISO 230-2 (2014), from memory, worked out in numpy; +-0.001 um.
    #[test]
    fn axis_v48_positioning_run() {
        let p = Positioning::of(&runs()).unwrap();
        let near = |value: f64, um: f64| assert!((value * 1e6 - um).abs() <= 1.001e-3, "{} is not {um}", value * 1e6);
        for (t, (b, r)) in
            p.targets.iter().zip([(2.80, 4.320), (2.82, 4.717), (2.68, 3.886), (2.12, 4.049), (2.24, 4.506)])
        {
            near(t.reversal, b);
            near(t.repeatability, r);
        }
        near(p.reversal, 2.820);
        near(p.mean_reversal, 2.532);
        near(p.repeatability, 4.717);
        near(p.repeatability_up, 2.012);
        near(p.repeatability_down, 2.733);
        near(p.mean_deviation, 4.820);
        near(p.systematic, 7.340);
        near(p.systematic_up, 4.540);
        near(p.systematic_down, 5.100);
        near(p.accuracy_up, 5.824);
        near(p.accuracy_down, 7.602);
        near(p.accuracy, 9.374);
    }

    #[test]
    fn what_cannot_be_judged_is_said() {
        assert_eq!(Positioning::of(&[]), Err(PositioningError::NoTargets));
        let mut list = runs();
        list[2].down.truncate(1);
        let error = Positioning::of(&list).unwrap_err();
        assert_eq!(error, PositioningError::TooFew { target: 0.2, runs: 1 });
        assert!(error.to_string().contains("at least two are needed"));
        let mut list = runs();
        list[1].up[0] = f64::NAN;
        assert_eq!(Positioning::of(&list), Err(PositioningError::NotFinite { target: 0.1 }));
    }

    proptest! {
        // Law: an offset of everything changes no figure; accuracy is at least systematic deviation.
        #[test]
        fn an_offset_changes_nothing(offset in -1e-3f64..1e-3) {
            let a = Positioning::of(&runs()).unwrap();
            let mut list = runs();
            for run in &mut list {
                run.up.iter_mut().chain(&mut run.down).for_each(|x| *x += offset);
            }
            let b = Positioning::of(&list).unwrap();
            for (x, y) in [(a.accuracy, b.accuracy), (a.systematic, b.systematic), (a.reversal, b.reversal),
                           (a.repeatability, b.repeatability), (a.mean_deviation, b.mean_deviation)] {
                prop_assert!((x - y).abs() < 1e-12);
            }
            prop_assert!(a.accuracy >= a.systematic && a.systematic >= a.mean_deviation);
        }
    }
}
