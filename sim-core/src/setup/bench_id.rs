//! The benches by name.

use serde::{Deserialize, Serialize};

/// A named healthy bench: a machine with a scale on it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum BenchId {
    /// Training room: a light rail with the 1 mm tape and one or two simple sensors; everything visible by eye.
    TeachingRail,
    /// Pell Harbour Joinery: long axis of the router gantry, open 40 um tape.
    RouterGantry,
    /// Training room: table axis of the small mill, 20 um glass scale.
    SmallMill,
    /// Pell Harbour Joinery: spindle lift of the router gantry, held by its motor encoder; the tape is only read out.
    GantryLift,
    /// Training room: hanging head of the small mill, 20 um glass scale.
    MillHead,
    /// Training room: rotary table, ring of 20 um lines; places in arc length, 1 mm is 1 degree.
    RotaryTable,
}

impl BenchId {
    /// All benches in the order in which they are offered.
    pub const ALL: [BenchId; 6] = [
        BenchId::TeachingRail,
        BenchId::RouterGantry,
        BenchId::SmallMill,
        BenchId::GantryLift,
        BenchId::MillHead,
        BenchId::RotaryTable,
    ];

    /// Its name in files and links.
    pub fn name(self) -> &'static str {
        match self {
            BenchId::TeachingRail => "teaching-rail",
            BenchId::RouterGantry => "router-gantry",
            BenchId::SmallMill => "small-mill",
            BenchId::GantryLift => "gantry-lift",
            BenchId::MillHead => "mill-head",
            BenchId::RotaryTable => "rotary-table",
        }
    }

    /// Its name on the sheet.
    pub fn title(self) -> &'static str {
        match self {
            BenchId::TeachingRail => "Teaching rail, 1 mm tape",
            BenchId::RouterGantry => "Router gantry, X axis",
            BenchId::SmallMill => "Small mill, X axis",
            BenchId::GantryLift => "Router gantry, Z axis (spindle lift)",
            BenchId::MillHead => "Small mill, Z axis (hanging head)",
            BenchId::RotaryTable => "Rotary table",
        }
    }
}
