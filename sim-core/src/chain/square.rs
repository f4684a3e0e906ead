//! Comparator with hysteresis: one voltage in, one logic level out.
//!
//! Formula: high above `threshold + hysteresis/2`, low below `threshold - hysteresis/2`, else the
//! level is kept (Schmitt trigger, any electronics text). Not modelled: propagation delay.

use core::f64::consts::PI;

use serde::{Deserialize, Serialize};

/// What the comparator is set to.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct SquareParams {
    /// Middle of the switching band, V; 0 for a differential pair, 0.8 or 1.0 single-ended.
    pub threshold_v: f64,
    /// Full width of the switching band, V, at least 0; 0.02..0.1 is usual.
    pub hysteresis_v: f64,
}

/// What the comparator remembers: its output level.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct SquareState {
    /// Present output level.
    pub level: bool,
}

impl SquareState {
    /// Takes one sample of `v` volts and returns the level. A sample that is not a number, or lies
    /// inside the band, keeps the level.
    pub fn step(&mut self, p: &SquareParams, v: f64) -> bool {
        let half = 0.5 * p.hysteresis_v;
        if v > p.threshold_v + half {
            self.level = true;
        } else if v < p.threshold_v - half {
            self.level = false;
        }
        self.level
    }
}

/// Share of a period for which the squared sine `dc + ac cos(phase)` is high, 0..1, or `None` when
/// the sine does not reach both switching points and so makes no edges.
///
/// It rises at phase `-acos(u+)` and falls at `acos(u-)` with `u+- = (threshold +- hysteresis/2 -
/// dc)/ac`; without hysteresis this is `acos((threshold - dc)/ac)/pi` (plain geometry).
/// `dc_v` and `ac_v` are the mean and the amplitude (half of peak to peak), V; `ac_v` above 0.
#[must_use]
pub fn duty_of_sine(p: &SquareParams, dc_v: f64, ac_v: f64) -> Option<f64> {
    let half = 0.5 * p.hysteresis_v;
    let up = (p.threshold_v + half - dc_v) / ac_v;
    let down = (p.threshold_v - half - dc_v) / ac_v;
    if !(up.abs() < 1.0 && down.abs() < 1.0) {
        return None;
    }
    Some((libm::acos(up) + libm::acos(down)) / (2.0 * PI))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plain(threshold_v: f64) -> SquareParams {
        SquareParams { threshold_v, hysteresis_v: 0.0 }
    }

    // Source: plain geometry of a sine cut by a level (signal-model section 6.2).
    #[test]
    fn signal_v42_duty_of_a_squared_sine() {
        let duty = |thr, gain: f64| duty_of_sine(&plain(thr), 1.6 * gain, 1.2 * gain).unwrap();
        assert!((duty(1.0, 1.0) - 0.666_667).abs() < 1e-6);
        assert!((duty(0.8, 1.0) - 0.732_280).abs() < 1e-6);
        assert!((duty(0.8, 0.6) - 0.571_331).abs() < 1e-6);
    }

    // The formula against the comparator itself, 100 000 samples of one period after one to settle.
    #[test]
    fn duty_formula_agrees_with_the_comparator() {
        let p = SquareParams { threshold_v: 0.9, hysteresis_v: 0.2 };
        let mut s = SquareState::default();
        let n = 100_000;
        let mut high = 0;
        for i in 0..2 * n {
            let v = 1.6 + 1.2 * libm::cos(2.0 * PI * f64::from(i) / f64::from(n));
            if s.step(&p, v) && i >= n {
                high += 1;
            }
        }
        let seen = f64::from(high) / f64::from(n);
        assert!((seen - duty_of_sine(&p, 1.6, 1.2).unwrap()).abs() < 2.0 / f64::from(n));
    }

    #[test]
    fn level_is_kept_inside_the_full_width_band() {
        let p = SquareParams { threshold_v: 1.0, hysteresis_v: 0.1 };
        let mut s = SquareState::default();
        let seen: Vec<bool> = [1.04, 1.06, 1.0, 0.96, f64::NAN, 0.94, 1.04].iter().map(|&v| s.step(&p, v)).collect();
        assert_eq!(seen, [false, true, true, true, true, false, false]);
    }

    #[test]
    fn a_sine_that_misses_one_switching_point_makes_no_edges() {
        assert_eq!(duty_of_sine(&SquareParams { threshold_v: 1.0, hysteresis_v: 0.1 }, 0.5, 0.54), None);
    }
}
