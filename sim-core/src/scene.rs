//! A scene: a bench, what is changed on it, and what is done to it when. A scene and nothing else decides a run.

use crate::bench::command::{Command, PlaceMm, SettingList};
use crate::numbers::Within;
use crate::setup::BenchId;
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
    /// What is done, in order of time.
    #[serde(default, rename = "step")]
    pub steps: Vec<Timed>,
}
