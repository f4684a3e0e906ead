//! The light over one model step, in which the motion is straight.
//!
//! Nothing that needs a sine or a look-up is left for the single sample: from one to the next the phase turns by the
//! same angle, and what the dirt leaves of the light runs straight from its value at the start of the step to that at
//! its end (dirt is averaged over windows of half a millimetre and more, a step is some micrometres long).

use super::{HeadOptics, MAX_FIELDS, Photocurrents};
use crate::num::math::sincos_turns;
use crate::surface::SurfaceGains;

/// Where a sweep stands and what one sample changes. Scratch: made anew for every step.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Sweep {
    /// Sine and cosine of the phase of `x/p`.
    phase: (f64, f64),
    /// Sine and cosine of what a sample adds to it.
    turn: (f64, f64),
    /// Mean light per field, A.
    mean_a: [f64; MAX_FIELDS],
    mean_change_a: [f64; MAX_FIELDS],
    /// Factor on the periodic light per field.
    size: [f64; MAX_FIELDS],
    size_change: [f64; MAX_FIELDS],
}

impl Sweep {
    /// Mean light of the fields as far as the sweep has come: what the noise follows. Brightness for drawing is left out.
    #[must_use]
    pub fn mean_light(&self) -> Photocurrents {
        Photocurrents { field: self.mean_a, ..Photocurrents::default() }
    }
}

impl HeadOptics {
    /// Begins a sweep from one scale position, m, to another in `samples` samples (at least 1), with what the surface
    /// does to the light at both ends.
    #[must_use]
    pub fn sweep(&self, from_m: f64, to_m: f64, gains: [&[SurfaceGains; MAX_FIELDS]; 2], samples: u32) -> Sweep {
        let share = 1.0 / f64::from(samples);
        // A single sample, as at standstill, needs the sine at its own place only.
        let (phase_m, turn) = if samples == 1 {
            (to_m, (0.0, 1.0))
        } else {
            (from_m, sincos_turns((to_m - from_m) * share * self.periods_per_m))
        };
        let mut sweep = Sweep { phase: sincos_turns(phase_m * self.periods_per_m), turn, ..Sweep::default() };
        let [from, to] = gains;
        for k in 0..self.count {
            sweep.mean_a[k] = self.mean_a(k, from[k]);
            sweep.mean_change_a[k] = share * (self.mean_a(k, to[k]) - sweep.mean_a[k]);
            sweep.size[k] = self.brightness * from[k].ac;
            sweep.size_change[k] = share * self.brightness * (to[k].ac - from[k].ac);
        }
        sweep
    }

    /// Photocurrents of the next sample of a sweep, A.
    #[inline]
    #[must_use]
    pub fn next(&self, sweep: &mut Sweep) -> [f64; MAX_FIELDS] {
        let ((s, c), (turn_s, turn_c)) = (sweep.phase, sweep.turn);
        sweep.phase = (s * turn_c + c * turn_s, c * turn_c - s * turn_s);
        for k in 0..MAX_FIELDS {
            sweep.mean_a[k] += sweep.mean_change_a[k];
            sweep.size[k] += sweep.size_change[k];
        }
        let periodic_a = self.waves.periodic_a(sweep.phase);
        let mut field_a = [0.0; MAX_FIELDS];
        for k in 0..MAX_FIELDS {
            field_a[k] = sweep.mean_a[k] + sweep.size[k] * periodic_a[k];
        }
        field_a
    }
}
