//! The resistor network of the six conductors, solved once and applied per sample.
//!
//! Kirchhoff's current law at the six terminals of the receivers. A conductor with source conductance `g` to its leg,
//! fault conductances to shield, supply and other conductors, bias `1/R_b` at each terminal and termination `1/R_t`
//! across each pair make a symmetric matrix with a dominant diagonal; elimination without pivoting is safe on it, and
//! each terminal's voltage comes out as a weighted mean of the sources (weights at least 0, sum 1). Hence no terminal
//! ever leaves the span of its sources.

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
        let (conductance, sources, constant) = equations(p, harness);
        let mut inverse = invert(conductance);
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
            rc_corner_hz(seen_ohm, p.pair_f)
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

/// Conductance matrix, source of each terminal, constant current into each terminal, A.
fn equations(p: &NetworkParams, harness: &Harness) -> (Matrix, [Source; 6], [f64; 6]) {
    let on = p.driver_on && harness.powered;
    let mut matrix: Matrix = [[0.0; 6]; 6];
    let mut sources = [Source::default(); 6];
    let mut constant = [0.0; 6];
    for (leg, lands_on) in harness.lands_on.iter().enumerate() {
        let t = usize::from(*lands_on);
        let conductance_s = if on && !harness.open[leg] { 1.0 / (p.leg_ohm + harness.series_ohm[leg]) } else { 0.0 };
        sources[t] = Source { leg, conductance_s };
        let (shield_s, supply_s, bias_s) = (harness.to_shield_s[leg], harness.to_supply_s[leg], 1.0 / p.bias_ohm);
        matrix[t][t] += conductance_s + shield_s + supply_s + bias_s;
        constant[t] = shield_s * p.shield_v + supply_s * p.supply_v + bias_s * p.bias_v;
        for (other, lands_on) in harness.lands_on.iter().enumerate().filter(|(other, _)| *other != leg) {
            let between_s = harness.between_s[leg][other];
            matrix[t][t] += between_s;
            matrix[t][usize::from(*lands_on)] -= between_s;
        }
    }
    for (pair, terminated) in harness.terminated.iter().enumerate() {
        if let (true, Some(ohm)) = (*terminated, p.termination_ohm) {
            let (i, j) = (2 * pair, 2 * pair + 1);
            matrix[i][i] += 1.0 / ohm;
            matrix[j][j] += 1.0 / ohm;
            matrix[i][j] -= 1.0 / ohm;
            matrix[j][i] -= 1.0 / ohm;
        }
    }
    if p.single_ended {
        for t in [1, 3, 5] {
            ground(&mut matrix, t);
            sources[t].conductance_s = 0.0;
            constant[t] = 0.0;
        }
    }
    (matrix, sources, constant)
}

/// Ties a terminal to 0 V: its equation becomes `V = 0` and it takes no part in the others, where its conductances
/// stay on the diagonal.
fn ground(matrix: &mut Matrix, t: usize) {
    for row in matrix.iter_mut() {
        row[t] = 0.0;
    }
    matrix[t] = [0.0; 6];
    matrix[t][t] = 1.0;
}

/// Inverse of a symmetric matrix with a dominant diagonal (Gauss-Jordan, no pivoting needed).
fn invert(mut m: Matrix) -> Matrix {
    let mut inverse: Matrix = [[0.0; 6]; 6];
    for (i, row) in inverse.iter_mut().enumerate() {
        row[i] = 1.0;
    }
    for column in 0..6 {
        let pivot = m[column][column];
        for k in 0..6 {
            m[column][k] /= pivot;
            inverse[column][k] /= pivot;
        }
        let (source, source_inverse) = (m[column], inverse[column]);
        for row in (0..6).filter(|row| *row != column) {
            let factor = m[row][column];
            if factor != 0.0 {
                for k in 0..6 {
                    m[row][k] -= factor * source[k];
                    inverse[row][k] -= factor * source_inverse[k];
                }
            }
        }
    }
    inverse
}
