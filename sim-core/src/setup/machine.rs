//! What a person can choose about the machine: what lies on its table, what balances it, how warm its room is.

use serde::{Deserialize, Serialize};

/// The machine in its room.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct MachineSetup {
    /// Load on the table, kg; on the rotary table as if at the radius of its lines.
    pub load_kg: f64,
    /// Temperature of the room, degrees Celsius.
    pub ambient_c: f64,
    /// Force of the counterbalance of a hanging axis, N; 0 where none is fitted, and without effect on a lying one.
    pub counterbalance_n: f64,
}

impl Default for MachineSetup {
    /// Nothing on the table, 20 C (ISO 1), no counterbalance.
    fn default() -> Self {
        Self { load_kg: 0.0, ambient_c: 20.0, counterbalance_n: 0.0 }
    }
}
