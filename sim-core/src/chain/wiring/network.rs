//! The resistor network of the six conductors, solved once and applied per sample.
//!
//! Kirchhoff's current law at the six terminals of the receivers. A terminal is tied to its leg through a source
//! conductance, to shield and supply through fault conductances, to the bias through `1/R_b`; pairs are tied together
//! by `1/R_t`, conductors that touch by another conductance. Each terminal's voltage comes out as a weighted mean of
//! the sources (weights at least 0, sum 1), so no terminal ever leaves the span of its sources.

use super::harness::Harness;
use crate::chain::conductor::rc_corner_hz;
use crate::chain::line::Legs;

/// What the network is made of besides its faults.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NetworkParams {
    /// Resistance from a leg's open-circuit voltage to the terminal, ohm, above 0: `R_o + R' l`.
    pub leg_ohm: f64,
    /// Termination across each pair, ohm; `None` when the inputs have none.
    pub termination_ohm: Option<f64>,
    /// Resistance from each terminal to the bias, ohm.
    pub bias_ohm: f64,
    /// Voltage of the bias, V.
    pub bias_v: f64,
    /// Potential of the shield, V.
    pub shield_v: f64,
    /// Potential of the supply, V.
    pub supply_v: f64,
    /// Capacitance of a pair, F.
    pub pair_f: f64,
    /// Whether the negative terminals are the control's 0 V.
    pub single_ended: bool,
    /// Whether the driver holds its legs.
    pub driver_on: bool,
}

/// Voltages of the three pairs at the receiver, V, in the order A, B, reference.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct PairLevels {
    /// Positive terminal less negative terminal.
    pub difference_v: [f64; 3],
    /// Mean of both terminals.
    pub common_v: [f64; 3],
}

/// Weights of one pair on the two legs that its terminals come from, and a constant.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct PairRow {
    legs: [u8; 2],
    difference: [f64; 3],
    common: [f64; 3],
}

impl PairRow {
    #[inline]
    fn apply(&self, legs: &Legs) -> (f64, f64) {
        let (one, other) = (legs.0[usize::from(self.legs[0])], legs.0[usize::from(self.legs[1])]);
        (
            self.difference[0] * one + self.difference[1] * other + self.difference[2],
            self.common[0] * one + self.common[1] * other + self.common[2],
        )
    }
}

/// Weights of one pair on all six legs, and a constant.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct FullRow {
    difference: [f64; 7],
    common: [f64; 7],
}

impl FullRow {
    #[inline(never)]
    fn apply(&self, legs: &Legs) -> (f64, f64) {
        let (mut difference_v, mut common_v) = (self.difference[6], self.common[6]);
        for (k, leg) in legs.0.iter().enumerate() {
            difference_v += self.difference[k] * leg;
            common_v += self.common[k] * leg;
        }
        (difference_v, common_v)
    }
}

/// A solved network.
#[derive(Clone, Debug, PartialEq)]
pub struct Network {
    pairs: [PairRow; 3],
    /// Present when conductors of different pairs touch.
    bridged: Option<[FullRow; 3]>,
    corner_hz: [f64; 3],
}

type Matrix = [[f64; 6]; 6];

impl Network {
    /// Solves the network.
    #[must_use]
    pub fn new(p: &NetworkParams, harness: &Harness) -> Self {
        let (mesh, sources, constant) = equations(p, harness);
        let mut inverse = mesh.inverse_ohm();
        if p.single_ended {
            // A terminal at 0 V stays there whatever current flows into it.
            for t in [1, 3, 5] {
                inverse[t] = [0.0; 6];
            }
        }
        // Terminal voltages as weights on the legs (0 to 5) and a constant (6).
        let mut weights = [[0.0; 7]; 6];
        for (row, shares) in weights.iter_mut().zip(&inverse) {
            for (share, (source, fixed)) in shares.iter().zip(sources.iter().zip(constant)) {
                row[source.leg] += share * source.conductance_s;
                row[6] += share * fixed;
            }
        }
        let full = [0, 1, 2].map(|pair: usize| {
            let (plus, minus) = (&weights[2 * pair], &weights[2 * pair + 1]);
            let mut row = FullRow::default();
            for k in 0..7 {
                row.difference[k] = plus[k] - minus[k];
                row.common[k] = 0.5 * (plus[k] + minus[k]);
            }
            row
        });
        let pairs = [0, 1, 2].map(|pair: usize| {
            let [one, other] = [sources[2 * pair].leg, sources[2 * pair + 1].leg];
            let pick = |row: &[f64; 7]| [row[one], row[other], row[6]];
            PairRow {
                legs: [one as u8, other as u8],
                difference: pick(&full[pair].difference),
                common: pick(&full[pair].common),
            }
        });
        let own = |pair: usize, leg: usize| pairs[pair].legs.contains(&(leg as u8));
        let bridged = (0..3).any(|pair| {
            (0..6).any(|leg| !own(pair, leg) && (full[pair].difference[leg] != 0.0 || full[pair].common[leg] != 0.0))
        });
        let corner_hz = [0, 1, 2].map(|pair: usize| {
            let (i, j) = (2 * pair, 2 * pair + 1);
            // Resistance between the terminals with every source dead (Thevenin).
            let seen_ohm = inverse[i][i] + inverse[j][j] - inverse[i][j] - inverse[j][i];
            rc_corner_hz(seen_ohm.max(0.0), p.pair_f)
        });
        Self { pairs, bridged: bridged.then_some(full), corner_hz }
    }

    /// One sample of one pair (0 A, 1 B, 2 reference): difference and mean of its terminals, V. Four multiply-adds, or
    /// twelve when pairs are bridged.
    #[inline]
    #[must_use]
    pub fn pair(&self, pair: usize, legs: &Legs) -> (f64, f64) {
        match &self.bridged {
            None => self.pairs[pair].apply(legs),
            Some(rows) => rows[pair].apply(legs),
        }
    }

    /// One sample of one pair: difference of its terminals alone, V.
    #[inline]
    #[must_use]
    pub fn difference_v(&self, pair: usize, legs: &Legs) -> f64 {
        self.pair(pair, legs).0
    }

    /// One sample of all pairs.
    #[must_use]
    pub fn apply(&self, legs: &Legs) -> PairLevels {
        let mut out = PairLevels::default();
        for (pair, (difference_v, common_v)) in out.difference_v.iter_mut().zip(&mut out.common_v).enumerate() {
            (*difference_v, *common_v) = self.pair(pair, legs);
        }
        out
    }

    /// Whether conductors of different pairs touch.
    #[must_use]
    pub fn bridged(&self) -> bool {
        self.bridged.is_some()
    }

    /// Corner frequency of each pair with the capacitance of the cable, Hz; infinite without capacitance.
    #[must_use]
    pub fn corner_hz(&self) -> [f64; 3] {
        self.corner_hz
    }
}

/// The leg that drives a terminal and through what.
#[derive(Clone, Copy, Debug, Default)]
struct Source {
    leg: usize,
    conductance_s: f64,
}

/// The conductances of the network.
struct Mesh {
    /// Between terminals, S, symmetric, nothing on the diagonal.
    between_s: Matrix,
    /// From each terminal to the sources, S, above 0.
    to_sources_s: [f64; 6],
}

/// Conductances, source of each terminal, constant current into each terminal, A.
fn equations(p: &NetworkParams, harness: &Harness) -> (Mesh, [Source; 6], [f64; 6]) {
    let on = p.driver_on && harness.powered;
    let mut mesh = Mesh { between_s: [[0.0; 6]; 6], to_sources_s: [0.0; 6] };
    let mut sources = [Source::default(); 6];
    let mut constant = [0.0; 6];
    for (leg, lands_on) in harness.lands_on.iter().enumerate() {
        let t = usize::from(*lands_on);
        let conductance_s = if on && !harness.open[leg] { 1.0 / (p.leg_ohm + harness.series_ohm[leg]) } else { 0.0 };
        sources[t] = Source { leg, conductance_s };
        let (shield_s, supply_s, bias_s) = (harness.to_shield_s[leg], harness.to_supply_s[leg], 1.0 / p.bias_ohm);
        mesh.to_sources_s[t] = conductance_s + shield_s + supply_s + bias_s;
        constant[t] = shield_s * p.shield_v + supply_s * p.supply_v + bias_s * p.bias_v;
        for (between_s, other) in harness.between_s[leg].iter().zip(harness.lands_on) {
            mesh.between_s[t][usize::from(other)] = *between_s;
        }
    }
    for (pair, terminated) in harness.terminated.iter().enumerate() {
        if let (true, Some(ohm)) = (*terminated, p.termination_ohm) {
            mesh.between_s[2 * pair][2 * pair + 1] += 1.0 / ohm;
            mesh.between_s[2 * pair + 1][2 * pair] += 1.0 / ohm;
        }
    }
    if p.single_ended {
        for t in [1, 3, 5] {
            mesh.ground(t);
            sources[t].conductance_s = 0.0;
            constant[t] = 0.0;
        }
    }
    (mesh, sources, constant)
}

impl Mesh {
    /// Ties a terminal to 0 V: what led to it leads to a source of 0 V.
    fn ground(&mut self, t: usize) {
        for k in 0..6 {
            self.to_sources_s[k] += self.between_s[k][t];
            self.between_s[k][t] = 0.0;
            self.between_s[t][k] = 0.0;
        }
        self.to_sources_s[t] = 1.0;
    }

    /// Voltage of each terminal per current into each terminal, ohm: the inverse of the conductance matrix.
    ///
    /// Terminals are removed one by one by the star-mesh transformation, which only adds, multiplies and divides
    /// positive numbers; so nothing cancels when a short of 0.01 ohm meets a bias of 1e9 ohm, as it does in plain
    /// elimination (seen there: a floating shorted pair 1 uV beyond its bias).
    fn inverse_ohm(mut self) -> Matrix {
        let mut inverse: Matrix = [[0.0; 6]; 6];
        let mut sums_s = [0.0; 6];
        for (i, row) in inverse.iter_mut().enumerate() {
            row[i] = 1.0;
        }
        for k in 0..6 {
            let star_s = self.between_s[k];
            let sum_s = self.to_sources_s[k] + star_s[k + 1..].iter().sum::<f64>();
            sums_s[k] = sum_s;
            let currents = inverse[k];
            for i in (k + 1..6).filter(|i| star_s[*i] != 0.0) {
                let share = star_s[i] / sum_s;
                self.to_sources_s[i] += share * self.to_sources_s[k];
                for j in (k + 1..6).filter(|j| *j != i) {
                    self.between_s[i][j] += share * star_s[j];
                }
                for (into, from) in inverse[i].iter_mut().zip(currents) {
                    *into += share * from;
                }
            }
        }
        for k in (0..6).rev() {
            let (above, below) = inverse.split_at_mut(k + 1);
            let row = &mut above[k];
            for (solved, between_s) in below.iter().zip(&self.between_s[k][k + 1..]) {
                for (into, from) in row.iter_mut().zip(solved) {
                    *into += between_s * from;
                }
            }
            for into in row.iter_mut() {
                *into /= sums_s[k];
            }
        }
        inverse
    }
}
