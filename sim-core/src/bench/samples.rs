//! The channels at the input over one step: work space, never part of the state.

use crate::chain::analog::SAMPLES_MAX;
use crate::num::math::atan2_turns;

const ROOM: usize = SAMPLES_MAX as usize;

/// Channels A and B of a step's samples, V, and the phase of each pair.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Samples {
    pub a_v: [f64; ROOM],
    pub b_v: [f64; ROOM],
    pub phase_turns: [f64; ROOM],
}

impl Default for Samples {
    fn default() -> Self {
        Self { a_v: [0.0; ROOM], b_v: [0.0; ROOM], phase_turns: [0.0; ROOM] }
    }
}

impl Samples {
    /// Works out the phase of the first `count` samples. All at once, because an inverse tangent is a long chain of
    /// operations, each of which waits for the one before: side by side several of them take the time of one.
    /// `offset_v` is what the inputs of A and B add.
    pub fn find_phases(&mut self, count: usize, offset_v: [f64; 2]) {
        let channels = self.b_v.iter().zip(&self.a_v);
        for (phase_turns, (b_v, a_v)) in self.phase_turns.iter_mut().zip(channels).take(count) {
            *phase_turns = atan2_turns(*b_v + offset_v[1], *a_v + offset_v[0]);
        }
    }
}
