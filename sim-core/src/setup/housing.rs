//! What a person can choose about the housing of the scale.

use super::BenchId;
use crate::scale::housing::Housing;
use serde::{Deserialize, Serialize};

/// Whether the scale lies bare.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Enclosure {
    /// Bare: dirt falls on it, a cloth reaches it.
    Open,
    /// In an extrusion with elastic lips.
    Enclosed,
}

/// Housing of the scale.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HousingSetup {
    /// Whether there is one.
    pub enclosure: Enclosure,
    /// Condition of its lips, percent: 100 new and shut, 0 torn; without meaning on an open scale.
    pub lips_percent: f64,
    /// Whether its purge air is on; without meaning on an open scale.
    pub purge_air: bool,
}

impl Default for HousingSetup {
    /// An open scale: what benches had before housings could be chosen.
    fn default() -> Self {
        Self { enclosure: Enclosure::Open, lips_percent: 100.0, purge_air: true }
    }
}

impl HousingSetup {
    /// The healthy housing of a bench: glass is enclosed, tapes lie open.
    #[must_use]
    pub fn healthy(bench: BenchId) -> Self {
        let enclosed = matches!(bench, BenchId::SmallMill | BenchId::MillHead | BenchId::RotaryTable);
        let enclosure = if enclosed { Enclosure::Enclosed } else { Enclosure::Open };
        Self { enclosure, ..Self::default() }
    }

    /// The housing as the model has it.
    #[must_use]
    pub fn housing(&self) -> Housing {
        match self.enclosure {
            Enclosure::Open => Housing::Open,
            Enclosure::Enclosed => Housing::Enclosed { lips: self.lips_percent / 100.0, purge_air: self.purge_air },
        }
    }
}

impl BenchId {
    /// How much dust and mist is usually in the air where the bench stands, 0 to 1 (own values on the scale of
    /// [`crate::scale::housing::HousingParams::dustiness`]): a training room, a joinery that sands, a mill that
    /// cuts wet and dry.
    #[must_use]
    pub const fn dustiness(self) -> f64 {
        match self {
            Self::TeachingRail => 0.05,
            Self::RouterGantry | Self::GantryLift => 0.8,
            Self::SmallMill | Self::MillHead | Self::RotaryTable => 0.3,
        }
    }
}
