//! When an inverter switches: the edges of three phases within one model step.
//!
//! Phase j has in switching period k the duty `1/2 + (m/2) sin(2 pi f_el t - j/3 turn)`, taken at
//! the period's middle (regular sampling; own choice), and edges at `(k + 1/2 -+ duty/2)/f_pwm`:
//! up, then down. An edge's time follows from k alone, so neighbouring steps neither lose nor
//! repeat one. Dead time and over-modulation are left out.

use super::Inverter;
use crate::chain::analog::STEP_S;
use crate::num::math::{floor, sincos_turns};

/// Room for the edges of one step: at switching frequencies up to 20 kHz a step is at most one
/// switching period long, which holds two edges of each phase, three where the duty changes.
pub const EDGES_MAX: usize = 12;

/// Sine of a third of a turn.
const THIRD_SIN: f64 = 0.866_025_403_784_438_6;

/// Share of a switching period within which rounding may put an edge on the other side of the
/// period's border.
const BORDER: f64 = 1e-3;

/// One switching edge.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Edge {
    /// Time after the beginning of the step, s.
    pub after_s: f64,
    /// +1 up, -1 down.
    pub sign: f64,
}

/// The edges of one step in the order of time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Edges {
    list: [Edge; EDGES_MAX],
    count: usize,
}

impl Edges {
    /// No edges.
    pub const NONE: Self = Self { list: [Edge { after_s: 0.0, sign: 0.0 }; EDGES_MAX], count: 0 };

    /// Fills in the edges in `[t0, t1)` of model step number `step`.
    pub fn find(&mut self, inverter: &Inverter, step: u64) {
        self.count = 0;
        let (start_s, end_s) = (step as f64 * STEP_S, (step + 1) as f64 * STEP_S);
        let period_s = 1.0 / inverter.pwm_hz;
        // With full duty an edge lies on the border of its period, to either side by rounding.
        let mut k = floor(start_s * inverter.pwm_hz - BORDER);
        let last = floor(end_s * inverter.pwm_hz + BORDER);
        while k <= last {
            let (s, c) = sincos_turns(inverter.electrical_hz * ((k + 0.5) * period_s));
            for sine in [s, -0.5 * s - THIRD_SIN * c, -0.5 * s + THIRD_SIN * c] {
                let half = 0.25 + 0.25 * inverter.modulation * sine;
                for (edge_s, sign) in [((k + 0.5 - half) * period_s, 1.0), ((k + 0.5 + half) * period_s, -1.0)] {
                    if edge_s >= start_s && edge_s < end_s {
                        self.insert(Edge { after_s: edge_s - start_s, sign });
                    }
                }
            }
            k += 1.0;
        }
    }

    /// The edges of one step, afresh.
    #[must_use]
    pub fn of_step(inverter: &Inverter, step: u64) -> Self {
        let mut out = Self::NONE;
        out.find(inverter, step);
        out
    }

    /// Forgets all.
    pub fn clear(&mut self) {
        self.count = 0;
    }

    /// Keeps the list in order.
    fn insert(&mut self, edge: Edge) {
        debug_assert!(self.count < EDGES_MAX, "more edges than a step can hold");
        if self.count == EDGES_MAX {
            return;
        }
        let mut at = self.count;
        while at > 0 && self.list[at - 1].after_s > edge.after_s {
            self.list[at] = self.list[at - 1];
            at -= 1;
        }
        self.list[at] = edge;
        self.count += 1;
    }

    /// Edge number `index`, the earliest is 0; `None` past the last.
    #[inline]
    #[must_use]
    pub fn get(&self, index: usize) -> Option<&Edge> {
        self.list[..self.count].get(index)
    }

    /// How many there are, 0 to [`EDGES_MAX`].
    #[must_use]
    pub fn len(&self) -> usize {
        self.count
    }

    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.count == 0
    }
}
