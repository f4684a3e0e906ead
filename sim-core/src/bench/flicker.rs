//! The light of the lamp in a step, with the dropouts of a source whose contact is loose.
//!
//! In about two seconds out of three the light is gone once, for 1 to 20 ms at a random moment: rare, so that a search
//! has to wait for it. Where the dropouts lie follows from the run's seed and the number of the step alone; nothing is
//! carried along, so a resumed run sees the same ones. Length after the fault catalogue, rate own.

use super::compiled::STEP_S;
use super::state::State;
use crate::chain::photo::Illumination;
use crate::num::random::{uniform_at, word_at};
use crate::params::Params;

/// Steps in which at most one dropout lies: 1 s.
const SLOT_STEPS: u64 = (1.0 / STEP_S) as u64;
/// Share of the slots in which there is one.
const SHARE: f64 = 2.0 / 3.0;
/// Shortest and longest dropout, s.
const LENGTH_S: (f64, f64) = (1e-3, 20e-3);
/// Keeps these draws apart from every other source's.
const KEY: u64 = 0x666c_6963_6b65_7200;

/// Brightness in this step.
pub(super) fn light_now(mut light: Illumination, params: &Params, state: &State) -> Illumination {
    if params.flicker > 0.0 && dark(state.upkeep.seed, state.axis.step) {
        light.ageing *= 1.0 - params.flicker;
    }
    light
}

/// Whether a loose source is dark in a step.
fn dark(seed: u64, step: u64) -> bool {
    let key = word_at(KEY, seed);
    let (slot, place) = (step / SLOT_STEPS, step % SLOT_STEPS);
    let draw = |i: u64| uniform_at(key, 3 * slot + i);
    if draw(0) >= SHARE {
        return false;
    }
    let length = (LENGTH_S.0 + (LENGTH_S.1 - LENGTH_S.0) * draw(1)) / STEP_S;
    let begin = draw(2) * (SLOT_STEPS as f64 - length);
    (begin..begin + length).contains(&(place as f64))
}

#[cfg(test)]
mod tests {
    use super::{SLOT_STEPS, dark};

    // Source: the fault catalogue, dropouts of 1 to 20 ms; at 50 us 20 to 400 steps.
    #[test]
    fn dropouts_are_rare_short_and_decided_by_the_seed() {
        let run = |seed| (0..60 * SLOT_STEPS).map(|step| dark(seed, step)).collect::<Vec<bool>>();
        let seen = run(7);
        assert_eq!(seen, run(7));
        assert_ne!(seen, run(8));
        let lengths: Vec<usize> = seen.chunk_by(|a, b| a == b).filter(|c| c[0]).map(<[bool]>::len).collect();
        assert!((28..=52).contains(&lengths.len()), "40 in a minute are to be expected: {}", lengths.len());
        assert!(lengths.iter().all(|n| (19..=401).contains(n)), "{lengths:?}");
    }
}
