//! A scene: a bench, what is changed on it, and what is done to it when. A scene and nothing else decides a run.

use crate::bench::command::{Command, PlaceMm, SettingList};
use crate::fault::Active;
use crate::numbers::Within;
use crate::setup::BenchId;
use crate::surface::SurfaceMap;
use crate::upkeep::Upkeep;
use serde::{Deserialize, Serialize};

/// The format of scene files that this program writes and the newest that it reads.
pub const FORMAT: u32 = 1;

/// A command with its moment.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Timed {
    /// When, s from the start.
    pub at_s: Within<0, 3600>,
    /// What.
    #[serde(rename = "do")]
    pub command: Command,
}

/// What a scene claims of its run: a reading, and where it lies. At least one of the bounds is given.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Expect {
    /// Name of the reading, see [`crate::instrument::readings::READINGS`].
    pub reading: String,
    /// Least value, in the unit of the reading.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<f64>,
    /// Greatest value.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to: Option<f64>,
}

impl Expect {
    /// The bounds; open ones are infinite.
    #[must_use]
    pub fn range(&self) -> (f64, f64) {
        (self.from.unwrap_or(f64::NEG_INFINITY), self.to.unwrap_or(f64::INFINITY))
    }

    /// Whether a reading is as claimed; a reading that the run did not give is not.
    #[must_use]
    pub fn holds(&self, value: Option<f64>) -> bool {
        let (low, high) = self.range();
        value.is_some_and(|value| (low..=high).contains(&value))
    }
}

/// Another scene that looks much the same, and the reading that tells them apart.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LookAlike {
    /// Id of the other scene.
    pub scene: String,
    /// Name of the reading that differs; both scenes claim it, in ranges that do not meet.
    pub reading: String,
}

/// What a bench was found with: faults, dirt and the marks of its upkeep, exactly as they were on another bench. A step
/// that breaks or smears is told in the log; this is not, so benches that are shared have it, and tasks whose cause is to
/// be found.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct AsFound {
    /// Faults that are in.
    pub faults: Vec<Active>,
    /// Dirt and damage on the scale.
    pub dirt: SurfaceMap,
    /// What time and cleaning have left.
    pub upkeep: Option<Upkeep>,
}

/// A scene.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Scene {
    /// Format of the file, [`FORMAT`].
    pub format: u32,
    /// Its name on the sheet.
    pub title: String,
    /// What it shows and what to look at, for people.
    pub about: String,
    /// Healthy bench that it starts from.
    pub bench: BenchId,
    /// Seed of all noise.
    pub seed: u32,
    /// Length of the run, s.
    pub duration_s: Within<0, 3600>,
    /// Where the table starts, mm from machine zero.
    pub start_mm: PlaceMm,
    /// Settings changed from the healthy bench before the start.
    #[serde(default)]
    pub set: SettingList,
    /// Faults and dirt that are there from the start.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub as_found: Option<AsFound>,
    /// What is done, in order of time.
    #[serde(default, rename = "step")]
    pub steps: Vec<Timed>,
    /// What the run shows, by its readings.
    #[serde(default, rename = "expect", skip_serializing_if = "Vec::is_empty")]
    pub expects: Vec<Expect>,
    /// Scenes that are easily taken for this one.
    #[serde(default, rename = "look_alike", skip_serializing_if = "Vec::is_empty")]
    pub look_alikes: Vec<LookAlike>,
}
