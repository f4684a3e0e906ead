//! The matrix of causes and readings, made by the simulation: what each fault of the catalogue does to a survey.

use std::collections::BTreeMap;

use super::proof::{PROOFS, Proof};
use super::stand::Stand;
use super::survey::{Shift, Survey, survey};

/// What a fault at full severity does to a survey of its stand.
#[derive(Clone, Debug, PartialEq)]
pub struct Signature {
    /// Name of the fault.
    pub name: &'static str,
    /// The stand.
    pub stand: Stand,
    /// Readings that differ from the healthy ones, and which way.
    pub shifts: BTreeMap<String, Shift>,
    /// What ended stages early, in words.
    pub stops: BTreeMap<&'static str, String>,
}

impl Signature {
    /// Whether a survey cannot tell both causes apart: the same readings go the same way, the same stages end alike. How
    /// far they go is no help, since it depends on how bad the fault is.
    #[must_use]
    pub fn looks_like(&self, other: &Self) -> bool {
        self.stand == other.stand && self.shifts == other.shifts && self.stops == other.stops
    }
}

/// Two causes that a survey cannot tell apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Alike {
    /// One of them.
    pub one: &'static str,
    /// The other.
    pub other: &'static str,
    /// Why not, and what a technician does then.
    pub why: &'static str,
}

/// All pairs that look the same, with the reason.
pub const ALIKE: &[Alike] = &[
    Alike {
        one: "purge-lost",
        other: "lips-worn",
        why: "the same mist gets in by another way; the gauge of the purge air and a look at the lips decide",
    },
    Alike {
        one: "nut-worn",
        other: "drive-slack",
        why: "play and wind-up add up at the table; push by hand: what gives under light force is play, what springs back is not",
    },
    Alike {
        one: "mark-false",
        other: "zero-not-taught",
        why: "homing ends well and the zero is off; an oscilloscope on the mark shows a second pulse, or there is none",
    },
    Alike {
        one: "dog-moved",
        other: "mark-near-switch",
        why: "both leave the mark beside the edge of the switch; whether the dog or the entered place moved, its witness mark tells",
    },
];

/// The signature of one fault beside a healthy survey of its stand.
#[must_use]
pub fn signature(proof: &Proof, healthy: &Survey) -> Signature {
    let faults: Vec<_> = proof.fault(1.0).into_iter().collect();
    let found = survey(proof.stand, &faults);
    Signature { name: proof.name, stand: proof.stand, shifts: found.against(healthy), stops: found.stops }
}

/// The signatures of the whole catalogue, in its order.
#[must_use]
pub fn signatures() -> Vec<Signature> {
    let healthy: BTreeMap<Stand, Survey> = Stand::ALL.into_iter().map(|stand| (stand, survey(stand, &[]))).collect();
    PROOFS.iter().filter_map(|proof| Some(signature(proof, healthy.get(&proof.stand)?))).collect()
}
