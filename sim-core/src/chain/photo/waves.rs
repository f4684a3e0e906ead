//! The periodic light of all fields at the present gap, field beside field so that a processor can work on several at
//! once.

use super::MAX_FIELDS;
use crate::chain::light::HARMONICS;

/// The fields at the present gap. Fields that the head does not have are dark.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Waves {
    /// Rotation from the phase of `x/p` to each field's phase.
    pub turn_sin: [f64; MAX_FIELDS],
    pub turn_cos: [f64; MAX_FIELDS],
    /// Mean current on a clean scale at brightness 1, A.
    pub mean_a: [f64; MAX_FIELDS],
    /// Fundamental of the periodic current on a clean scale at brightness 1, A, signed.
    pub fundamental_a: [f64; MAX_FIELDS],
    /// Periodic current at brightness 1 as a power series in the cosine of the phase, A.
    power_a: [[f64; MAX_FIELDS]; HARMONICS],
    /// Whether anything is left beyond the third power.
    beyond_third: bool,
}

impl Waves {
    /// Sets the harmonics of one field, A; entry 0 is not used.
    pub fn set_harmonics(&mut self, k: usize, a: &[f64; HARMONICS]) {
        self.fundamental_a[k] = a[1];
        for (power, of_field) in power_series(a).iter().zip(&mut self.power_a) {
            of_field[k] = *power;
        }
        self.beyond_third = self.power_a[4..].iter().flatten().any(|power| *power != 0.0);
    }

    /// Periodic current of each field at brightness 1, A, from sine and cosine of the phase of `x/p`.
    #[inline]
    pub fn periodic_a(&self, phase: (f64, f64)) -> [f64; MAX_FIELDS] {
        if self.beyond_third { self.series::<HARMONICS>(phase) } else { self.series::<4>(phase) }
    }

    #[inline]
    fn series<const TERMS: usize>(&self, (s, c): (f64, f64)) -> [f64; MAX_FIELDS] {
        let u: [f64; MAX_FIELDS] = std::array::from_fn(|k| c * self.turn_cos[k] - s * self.turn_sin[k]);
        let mut sum = self.power_a[TERMS - 1];
        for power in self.power_a[..TERMS - 1].iter().rev() {
            for k in 0..MAX_FIELDS {
                sum[k] = sum[k] * u[k] + power[k];
            }
        }
        sum
    }
}

/// Power series of `SUM a_n T_n(c)` in `c = cos`, by the Chebyshev polynomials up to the fifth.
pub(super) fn power_series(a: &[f64; HARMONICS]) -> [f64; HARMONICS] {
    [
        a[4] - a[2],
        a[1] - 3.0 * a[3] + 5.0 * a[5],
        2.0 * a[2] - 8.0 * a[4],
        4.0 * a[3] - 20.0 * a[5],
        8.0 * a[4],
        16.0 * a[5],
    ]
}
