//! Faults of the conductors as data, and the harness that they make.

use crate::limits::{FieldError, within};
use serde::{Deserialize, Serialize};

/// A signal conductor, named after the driver's leg that it leaves from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Wire {
    /// Channel A, positive.
    #[serde(rename = "a+")]
    APlus,
    /// Channel A, negative.
    #[serde(rename = "a-")]
    AMinus,
    /// Channel B, positive.
    #[serde(rename = "b+")]
    BPlus,
    /// Channel B, negative.
    #[serde(rename = "b-")]
    BMinus,
    /// Reference mark, positive.
    #[serde(rename = "r+")]
    RPlus,
    /// Reference mark, negative.
    #[serde(rename = "r-")]
    RMinus,
}

impl Wire {
    /// All of them, in the order of [`crate::chain::line::Legs`].
    pub const ALL: [Self; 6] = [Self::APlus, Self::AMinus, Self::BPlus, Self::BMinus, Self::RPlus, Self::RMinus];
}

/// A pair of conductors, and the receiver of that name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Pair {
    /// Channel A.
    A,
    /// Channel B.
    B,
    /// Reference mark.
    Reference,
}

impl Pair {
    /// All of them, in the order of the receivers.
    pub const ALL: [Self; 3] = [Self::A, Self::B, Self::Reference];

    /// Its conductors, positive first.
    #[must_use]
    pub fn wires(self) -> [Wire; 2] {
        let first = 2 * self as usize;
        [Wire::ALL[first], Wire::ALL[first + 1]]
    }
}

/// One thing wrong with the wiring.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum WireFault {
    /// The conductor is interrupted.
    Open(Wire),
    /// A bad contact in the conductor.
    HighResistance {
        /// Which.
        wire: Wire,
        /// Resistance of the contact, ohm, 0 to 1e7.
        ohm: f64,
    },
    /// The conductor touches the shield.
    ShortToShield {
        /// Which.
        wire: Wire,
        /// Resistance of the contact, ohm, 0.01 to 1e6.
        ohm: f64,
    },
    /// The conductor touches the supply.
    ShortToSupply {
        /// Which.
        wire: Wire,
        /// Resistance of the contact, ohm, 0.01 to 1e6.
        ohm: f64,
    },
    /// Two conductors touch; twice the same one is no fault.
    ShortBetween {
        /// Which.
        wires: [Wire; 2],
        /// Resistance of the contact, ohm, 0.01 to 1e6.
        ohm: f64,
    },
    /// The far ends of two conductors are exchanged: within a pair the signal changes sign, across pairs both pairs
    /// are split.
    Swapped([Wire; 2]),
    /// The far ends of two pairs are exchanged, plus for plus.
    PairsSwapped([Pair; 2]),
    /// The termination of a receiver is not fitted.
    TerminationMissing(Pair),
    /// Supply or 0 V is interrupted: the driver is dead, and so is the light (see [`crate::chain::supply`]).
    SupplyOpen,
}

impl WireFault {
    /// Refuses resistances outside their range.
    ///
    /// # Errors
    /// When the resistance is not finite or out of range.
    pub fn check(&self) -> Result<(), FieldError> {
        match *self {
            Self::HighResistance { ohm, .. } => within("wire.high-resistance.ohm", ohm, 0.0, 1e7),
            Self::ShortToShield { ohm, .. } => within("wire.short-to-shield.ohm", ohm, SHORT_LEAST_OHM, 1e6),
            Self::ShortToSupply { ohm, .. } => within("wire.short-to-supply.ohm", ohm, SHORT_LEAST_OHM, 1e6),
            Self::ShortBetween { ohm, .. } => within("wire.short-between.ohm", ohm, SHORT_LEAST_OHM, 1e6),
            Self::Open(_)
            | Self::Swapped(_)
            | Self::PairsSwapped(_)
            | Self::TerminationMissing(_)
            | Self::SupplyOpen => Ok(()),
        }
    }
}

/// Least resistance of a short, ohm: keeps the network well conditioned.
const SHORT_LEAST_OHM: f64 = 0.01;

/// The conductors as they are, faults and all. Everything belongs to a conductor, wherever its far end lies, except
/// the termination, which belongs to a receiver; so the order of faults does not matter, but for exchanges of the same
/// conductors.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Harness {
    /// Extra resistance of each conductor, ohm.
    pub series_ohm: [f64; 6],
    /// Whether each conductor is interrupted.
    pub open: [bool; 6],
    /// Conductance from each conductor to the shield, S.
    pub to_shield_s: [f64; 6],
    /// Conductance from each conductor to the supply, S.
    pub to_supply_s: [f64; 6],
    /// Conductance between conductors, S, symmetric.
    pub between_s: [[f64; 6]; 6],
    /// Terminal on which each conductor lies, a permutation of 0 to 5.
    pub lands_on: [u8; 6],
    /// Whether each receiver is terminated, where terminations are meant to be.
    pub terminated: [bool; 3],
    /// Whether the head has supply.
    pub powered: bool,
}

impl Harness {
    /// All as the drawing says.
    pub const HEALTHY: Self = Self {
        series_ohm: [0.0; 6],
        open: [false; 6],
        to_shield_s: [0.0; 6],
        to_supply_s: [0.0; 6],
        between_s: [[0.0; 6]; 6],
        lands_on: [0, 1, 2, 3, 4, 5],
        terminated: [true; 3],
        powered: true,
    };

    /// The healthy harness with these faults put in, in this order.
    #[must_use]
    pub fn with_all(faults: &[WireFault]) -> Self {
        faults.iter().fold(Self::HEALTHY, |harness, fault| harness.with(fault))
    }

    /// The harness with one more fault.
    #[must_use]
    pub fn with(mut self, fault: &WireFault) -> Self {
        match *fault {
            WireFault::Open(wire) => self.open[wire as usize] = true,
            WireFault::HighResistance { wire, ohm } => self.series_ohm[wire as usize] += ohm.max(0.0),
            WireFault::ShortToShield { wire, ohm } => self.to_shield_s[wire as usize] += short_s(ohm),
            WireFault::ShortToSupply { wire, ohm } => self.to_supply_s[wire as usize] += short_s(ohm),
            WireFault::ShortBetween { wires: [one, other], ohm } => {
                let (i, j) = (one as usize, other as usize);
                if i != j {
                    self.between_s[i][j] += short_s(ohm);
                    self.between_s[j][i] = self.between_s[i][j];
                }
            }
            WireFault::Swapped([one, other]) => self.lands_on.swap(one as usize, other as usize),
            WireFault::PairsSwapped([one, other]) => {
                for (i, j) in one.wires().into_iter().zip(other.wires()) {
                    self.lands_on.swap(i as usize, j as usize);
                }
            }
            WireFault::TerminationMissing(pair) => self.terminated[pair as usize] = false,
            WireFault::SupplyOpen => self.powered = false,
        }
        self
    }
}

fn short_s(ohm: f64) -> f64 {
    1.0 / ohm.max(SHORT_LEAST_OHM)
}
