//! Dry friction that really sticks.
//!
//! Backward Euler for set-valued Coulomb friction (Kikuuwe et al. 2006; Acary and Brogliato 2008;
//! both from memory; same family: Xiong, Kikuuwe, Yamamoto 2013): the step either ends at exactly
//! zero speed or takes the full dry force against the motion. It never adds energy and has no step
//! limit. The Stribeck curve makes breakaway larger than sliding friction.

use serde::{Deserialize, Serialize};

/// Square of the speed over the Stribeck speed past which `exp(-x)` is below a bit of the sliding friction.
const FLAT: f64 = 45.0;

/// Stribeck curve of a guide.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct StribeckParams {
    /// Sliding dry friction `F_c`, N, 40..400 is usual.
    pub sliding_n: f64,
    /// Breakaway friction `F_s`, N, 1.1..1.6 times sliding.
    pub breakaway_n: f64,
    /// Stribeck speed `v_s`, m/s, 0.002..0.02, above 0.
    pub stribeck_speed: f64,
}

impl StribeckParams {
    /// Dry force limit, N, at speed `v` m/s: `F_c + (F_s - F_c) exp(-(v/v_s)^2)`.
    #[must_use]
    pub fn limit_n(&self, v: f64) -> f64 {
        let u = v / self.stribeck_speed;
        // Standing still and far past the curve are the usual cases: the exponential is exact there without its cost.
        let share = match u * u {
            0.0 => 1.0,
            past if past > FLAT => 0.0,
            on_curve => libm::exp(-on_curve),
        };
        self.sliding_n + (self.breakaway_n - self.sliding_n) * share
    }
}

/// One body for one step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FrictionStep {
    /// Mass, kg, above 0.
    pub mass_kg: f64,
    /// Viscous coefficient, N s/m, at least 0, taken implicitly.
    pub viscous: f64,
    /// Dry force limit, N, at least 0.
    pub dry_n: f64,
    /// Step, s, above 0.
    pub h: f64,
}

impl FrictionStep {
    /// Speed after the step, m/s, from speed `v` under all other forces `force_n`:
    /// `v* = (v + h X/m)/(1 + h b/m)`, `l = h F_dry/(m + h b)`, result `sgn(v*) max(0, |v*| - l)`.
    #[must_use]
    pub fn speed_after(&self, v: f64, force_n: f64) -> f64 {
        let free = (v + self.h * force_n / self.mass_kg) / (1.0 + self.h * self.viscous / self.mass_kg);
        let loss = self.h * self.dry_n / (self.mass_kg + self.h * self.viscous);
        let left = free.abs() - loss;
        if left <= 0.0 {
            0.0
        } else if free > 0.0 {
            left
        } else {
            -left
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    // Source: Coulomb's law, a body under less than its dry limit does not move. The regularised
    // alternative creeps at v0 atanh(X/F): its 8.739 mm in 10 s is why it is not used.
    #[test]
    fn axis_v50_a_stuck_body_stays_exactly_where_it_is() {
        let step = FrictionStep { mass_kg: 95.0, viscous: 0.0, dry_n: 230.0, h: 50e-6 };
        let (mut x, mut v) = (0.0, 0.0);
        for _ in 0..200_000 {
            v = step.speed_after(v, 161.8);
            x += step.h * v;
        }
        assert_eq!((x, v), (0.0, 0.0));
        let creep_mm = 1.0 * libm::atanh(161.8 / 230.0) * 10.0;
        assert!((creep_mm - 8.739).abs() < 0.01, "{creep_mm}");
    }

    // Source: closed form of the Stribeck curve plus viscous drag.
    #[test]
    fn axis_v53_guide_force_near_the_stribeck_speed() {
        let guide = StribeckParams { sliding_n: 180.0, breakaway_n: 230.0, stribeck_speed: 0.004 };
        let total = guide.limit_n(0.002) + 900.0 * 0.002;
        assert!((total - 220.74).abs() < 0.22, "{total}");
        assert_eq!(guide.limit_n(0.0), 230.0);
    }

    proptest! {
        // Law: without other forces the speed shrinks and never changes sign: no energy is added.
        #[test]
        fn friction_never_adds_energy(v in -2.0f64..2.0, mass_kg in 0.1f64..2000.0, viscous in 0.0f64..1e5,
                                      dry_n in 0.0f64..1e5, h in 1e-6f64..1e-2) {
            let after = FrictionStep { mass_kg, viscous, dry_n, h }.speed_after(v, 0.0);
            prop_assert!(after.abs() <= v.abs());
            prop_assert!(after * v >= 0.0);
        }

        // Law: with a force, the kinetic energy grows by no more than the work of that force.
        #[test]
        fn friction_takes_work(v in -2.0f64..2.0, force_n in -1e4f64..1e4, mass_kg in 1.0f64..2000.0,
                               viscous in 0.0f64..1e4, dry_n in 0.0f64..1e4, h in 1e-5f64..1e-3) {
            let after = FrictionStep { mass_kg, viscous, dry_n, h }.speed_after(v, force_n);
            let gain = 0.5 * mass_kg * (after * after - v * v);
            // Backward Euler: power is taken at the new speed.
            let work = force_n * after * h;
            prop_assert!(gain <= work + 1e-9 * (1.0 + gain.abs() + work.abs()), "{gain} > {work}");
        }
    }
}
