//! Commands of dirt and care: smearing, cleaning, letting time pass.

use super::{Percent, PlaceMm, check_stretch};
use crate::chain::photo::WindowPart;
use crate::numbers::Within;
use crate::setup::Setup;
use crate::surface::Substance;
use crate::surface::wiping::Method;
use serde::{Deserialize, Serialize};

/// A time in the shop, h.
pub type Hours = Within<0, 100_000>;

/// `smear`: dirt over a stretch of the scale, either a film by how much light it takes or a substance by name.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Smear {
    /// Start.
    pub from_mm: PlaceMm,
    /// End.
    pub to_mm: PlaceMm,
    /// How much of the light a film of no particular kind takes away in one pass, percent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub blocked_percent: Option<Percent>,
    /// What is laid, by name; damage too.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub substance: Option<Substance>,
    /// How much of the substance, percent of its usual amount; all of it when not said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub strength_percent: Option<Percent>,
}

impl Smear {
    /// A film of no particular kind that takes a share of the light in one pass.
    #[must_use]
    pub fn blocking(from_mm: PlaceMm, to_mm: PlaceMm, blocked_percent: Percent) -> Self {
        Self { from_mm, to_mm, blocked_percent: Some(blocked_percent), substance: None, strength_percent: None }
    }

    pub(super) fn check(&self, setup: &Setup) -> Result<(), String> {
        check_stretch(setup, self.from_mm.get(), self.to_mm.get())?;
        let why = match (self.blocked_percent, self.substance, self.strength_percent) {
            (Some(_), None, None) | (None, Some(_), _) => return Ok(()),
            (None, None, _) => {
                "this smear does not say what is smeared; write blocked_percent = 90 for a film, or substance = \"fingerprint\" for a known one"
            }
            (Some(_), Some(_), _) => {
                "a smear takes blocked_percent or substance, not both; write one of them, with strength_percent beside substance"
            }
            (Some(_), None, Some(_)) => {
                "strength_percent belongs to a substance; write it beside substance = \"fingerprint\", not beside blocked_percent"
            }
        };
        Err(why.to_owned())
    }
}

/// `wipe`: cleans a stretch of the scale.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Wipe {
    /// Start.
    pub from_mm: PlaceMm,
    /// End.
    pub to_mm: PlaceMm,
    /// In which way; everything comes off and nothing is harmed when not said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub method: Option<Method>,
}

impl Wipe {
    /// Takes everything off a stretch and harms nothing.
    #[must_use]
    pub fn clean(from_mm: PlaceMm, to_mm: PlaceMm) -> Self {
        Self { from_mm, to_mm, method: None }
    }
}

/// `wipe_all_with`: cleans the whole scale and the head's window in one of the ways.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WipeAllWith {
    /// In which way.
    pub method: Method,
}

/// `wipe_window`: cleans the head's window.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WipeWindow {
    /// In which way; everything comes off and nothing is harmed when not said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub method: Option<Method>,
}

/// `smear_window`: dirt on the head's window.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SmearWindow {
    /// What is laid.
    pub substance: Substance,
    /// How much, percent of its usual amount; of grains the share that they cover.
    pub strength_percent: Percent,
    /// Where on the window.
    #[serde(default)]
    pub part: WindowPart,
}

impl SmearWindow {
    pub(super) fn check(&self) -> Result<(), String> {
        if !self.substance.is_damage() {
            return Ok(());
        }
        let films: Vec<&str> = Substance::ALL.into_iter().filter(|s| !s.is_damage()).map(Substance::name).collect();
        let name = self.substance.name();
        Err(format!("{name} is damage to the lines of a scale, a window has none; write one of {}", films.join(", ")))
    }
}

/// `age`: time passes in the shop while the machine works on: dirt gets at the scale as its housing lets it, the lamp
/// ages. Model time stands still meanwhile.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Age {
    /// How long.
    pub hours: Hours,
    /// How much dust and mist is in the air, percent: 0 clean room, 10 assembly, 30 dry milling, 100 grinding or
    /// sanding without extraction. What is usual in the bench's shop when not said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dust_percent: Option<Percent>,
}
