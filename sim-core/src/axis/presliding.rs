//! Friction before sliding: a bristle that bends, for studies of a reversal under the microscope.
//!
//! The bristle law of Canudas de Wit, Olsson, Astrom and Lischinsky (1995): `dz/dt = v - sigma_0 |v|/g(v) z`, force
//! `sigma_0 z + sigma_1 dz/dt`. Taken explicitly it needs `h < 2 g/(sigma_0 |v|)`; taken implicitly in `z` it has no
//! limit. It creeps under small swinging loads (Dupont et al. 2002, from memory), so the machine's own friction stays the
//! dry step of [`friction`](super::friction).

use serde::{Deserialize, Serialize};

/// Bristles of a guide.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct BristleParams {
    /// Stiffness `sigma_0`, N/m, 1e6..1e8.
    pub stiffness: f64,
    /// Damping `sigma_1`, N s/m, at least 0.
    pub damping: f64,
}

impl BristleParams {
    /// Longest stable step of the explicit form, s, at speed `v` m/s with a sliding limit `limit_n` N.
    #[must_use]
    pub fn explicit_step_limit(&self, v: f64, limit_n: f64) -> f64 {
        2.0 * limit_n / (self.stiffness * v.abs())
    }
}

/// Mean bend of the bristles, m.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct Bristles {
    /// Bend, m.
    pub bend: f64,
}

impl Bristles {
    /// Goes on by `h` s at speed `v` m/s under the sliding limit `limit_n` N; the friction force, N, positive against
    /// positive motion: `z' = (z + h v)/(1 + h sigma_0 |v|/g)`.
    pub fn step(&mut self, p: &BristleParams, v: f64, limit_n: f64, h: f64) -> f64 {
        let before = self.bend;
        self.bend = (before + h * v) / (1.0 + h * p.stiffness * v.abs() / limit_n);
        p.stiffness * self.bend + p.damping * (self.bend - before) / h
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    // Source: closed form, 2 g/(sigma_0 |v|), and the fixed point of the implicit step, z = g/sigma_0.
    #[test]
    fn axis_v51_step_limit_of_the_explicit_form() {
        let p = BristleParams { stiffness: 1e7, damping: 0.0 };
        assert!((p.explicit_step_limit(0.1, 200.0) - 400e-6).abs() < 1e-12);
        assert!((p.explicit_step_limit(0.5, 200.0) - 80e-6).abs() < 1e-12);
        for h in [1e-6, 50e-6, 1e-3, 0.1] {
            for v in [0.1, 0.5, -0.5] {
                let mut b = Bristles::default();
                let force = (0..20_000).map(|_| b.step(&p, v, 200.0, h)).last().unwrap();
                assert!((force - 200.0 * f64::signum(v)).abs() < 0.2, "{h} {v} {force}");
            }
        }
        // The explicit form beyond its limit: each step throws the bend to the other side, and further.
        let explicit = |h: f64| {
            let mut z: f64 = 0.0;
            for _ in 0..200 {
                z += h * (0.5 - p.stiffness * 0.5 / 200.0 * z);
            }
            p.stiffness * z
        };
        assert!((explicit(79e-6) - 200.0).abs() < 20.0);
        assert!((explicit(81e-6) - 200.0).abs() > 200.0);
    }

    proptest! {
        // Law: the bend never passes its sliding limit, at any step and speed.
        #[test]
        fn bend_stays_within_the_sliding_limit(list in prop::collection::vec((-1.0f64..1.0, 1e-6f64..1e-2), 1..100)) {
            let p = BristleParams { stiffness: 1e7, damping: 0.0 };
            let mut b = Bristles::default();
            for (v, h) in list {
                b.step(&p, v, 200.0, h);
                prop_assert!(b.bend.abs() <= 200.0 / 1e7 * (1.0 + 1e-12));
            }
        }
    }
}
