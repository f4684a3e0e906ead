//! Square waves from the head's squaring stage to the levels in the control: driver, conductors, receivers.
//!
//! ```text
//!  state of the light -> SquaringState -> Driver::squared -> Wiring::step -> + pickup -> ReceiverState -> levels
//! ```
//!
//! Left out: reflections on a pair without termination. By the bounce diagram (any text on transmission lines) with a
//! 120 ohm line, 10 ohm a leg and an open end the steps of 6.8 V settle by 1 - (-0.7)^n; the second plateau, some 0.15 us
//! long, lies near 0 V and never below -0.2 V, so the receiver keeps its level and no edge is added.

use crate::chain::counter::Levels;
use crate::chain::interference::Interference;
use crate::chain::line::{Driver, Received, ReceiverParams, ReceiverState};
use crate::chain::squaring::{SquaringParams, SquaringState};
use crate::chain::wiring::{Follow, Wiring, WiringState};
use serde::{Deserialize, Serialize};

/// The line made ready: what follows from the parameters.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SquareLineParams {
    /// Squaring stage.
    pub squaring: SquaringParams,
    /// Receivers of A, B and the reference mark.
    pub receivers: [ReceiverParams; 3],
    /// Offset of each receiver's input, V; 0 when healthy.
    pub offset_v: [f64; 3],
    /// Lift of the head's 0 V by the supply current, V.
    pub ground_v: f64,
}

/// One stretch in which one state belongs to the light.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    /// State number, modulo 4.
    pub wanted: i64,
    /// Whether the head sees its reference mark.
    pub mark: bool,
    /// Where the table is, m.
    pub place_m: f64,
    /// Length, s.
    pub dt_s: f64,
    /// What the surroundings add.
    pub around: Interference,
}

/// What arrives at the end of a stretch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Arrived {
    /// Difference of the pairs A, B and reference at the terminals, V.
    pub difference_v: [f64; 3],
    /// What the receivers say.
    pub received: [Received; 3],
}

impl Arrived {
    /// Levels of A and B.
    #[must_use]
    pub fn levels(&self) -> Levels {
        Levels { a: self.received[0].level, b: self.received[1].level }
    }
}

/// What the line carries from stretch to stretch.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct SquareLine {
    /// Outputs of the head.
    pub squaring: SquaringState,
    /// Receivers of A, B and the reference mark.
    receivers: [ReceiverState; 3],
    /// Edges that A and B have made at the receivers.
    pub edges: [u64; 2],
}

impl SquareLine {
    /// One stretch.
    #[inline]
    pub fn step(
        &mut self,
        p: &SquareLineParams,
        (driver, wiring): (&Driver, &Wiring),
        state: &mut WiringState,
        stretch: &Stretch,
        follow: &Follow,
    ) -> Arrived {
        let sent = self.squaring.step(&p.squaring, stretch.wanted, stretch.dt_s);
        let legs = driver.squared([sent.a, sent.b, stretch.mark]).lifted(p.ground_v + stretch.around.common_v);
        let pairs = wiring.step(state, &legs, stretch.place_m, stretch.dt_s, follow);
        let [a_v, b_v] = stretch.around.differential_v;
        let mut arrived = Arrived { difference_v: pairs.difference_v, received: [Received::default(); 3] };
        for (v, added_v) in arrived.difference_v.iter_mut().zip([a_v, b_v]) {
            *v += added_v;
        }
        for k in 0..3 {
            let was = self.receivers[k].level;
            let seen_v = arrived.difference_v[k] + p.offset_v[k];
            arrived.received[k] = self.receivers[k].step(&p.receivers[k], seen_v, pairs.common_v[k], stretch.dt_s);
            if k < 2 && arrived.received[k].level != was {
                self.edges[k] += 1;
            }
        }
        arrived
    }

    /// Puts everything where it ends when this state and mark stand for long; what arrives, V.
    pub fn settle(
        &mut self,
        p: &SquareLineParams,
        (driver, wiring): (&Driver, &Wiring),
        state: &mut WiringState,
        (wanted, mark): (i64, bool),
    ) -> [f64; 3] {
        self.squaring = SquaringState::at(wanted);
        let levels = Levels::of_state(wanted);
        let legs = driver.squared([levels.a, levels.b, mark]).lifted(p.ground_v);
        state.settle(wiring, &legs);
        let difference_v = wiring.network().apply(&legs).difference_v;
        for (k, (state, v)) in self.receivers.iter_mut().zip(difference_v).enumerate() {
            // A pair that shows no level reads as 0 when the control is switched on, or as its fail-safe 1.
            let (receiver, v) = (&p.receivers[k], v + p.offset_v[k]);
            let level = if v.abs() >= receiver.threshold_v { v > 0.0 } else { receiver.fail_safe };
            *state = ReceiverState::at(level);
        }
        difference_v
    }

    /// Levels of A and B, and the mark, as received last.
    #[must_use]
    pub fn levels(&self) -> (Levels, bool) {
        let [a, b, mark] = self.receivers.map(|r| r.level);
        (Levels { a, b }, mark)
    }

    /// Whether A and B show a level at present.
    #[must_use]
    pub fn present(&self, p: &SquareLineParams) -> [bool; 2] {
        [0, 1].map(|k: usize| !self.receivers[k].missing(&p.receivers[k]))
    }
}

/// Whether each of A and B can switch its receiver both ways over this wiring at rest.
#[must_use]
pub fn carries(p: &SquareLineParams, driver: &Driver, wiring: &Wiring) -> [bool; 2] {
    let at = |levels: [bool; 3]| wiring.network().apply(&driver.squared(levels).lifted(p.ground_v));
    let (high, low) = (at([true; 3]), at([false; 3]));
    [0, 1].map(|k: usize| {
        let receiver = &p.receivers[k];
        let (one, other) = (high.difference_v[k] + p.offset_v[k], low.difference_v[k] + p.offset_v[k]);
        let inside = high.common_v[k].abs().max(low.common_v[k].abs()) <= receiver.common_mode_v;
        inside && one.max(other) >= receiver.threshold_v && one.min(other) <= -receiver.threshold_v
    })
}

#[cfg(test)]
mod tests;
