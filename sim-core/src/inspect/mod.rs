//! Inspection runs: what a technician does with a stopped or suspicious axis, as programs that drive the bench and
//! bring back figures.
//!
//! A run drives a bench by the same commands as a person, so it costs model time, wears what it wears, and is ended
//! by the monitors when something is wrong. Nothing in here reads a fault: figures come from what the bench shows.
//! Each needs its safe state first; local rules and the maker's manual decide.

pub mod count_return;
pub mod drive;
pub mod flex;
pub mod home_repeat;
pub mod play;
pub mod positioning;
pub mod proof;
pub mod remedy;
pub mod rest;
pub mod scan;
pub mod signatures;
pub mod stand;
pub mod stored;
pub mod survey;
pub mod weekend;

pub use drive::Stopped;

/// One figure of an inspection.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Figure {
    /// Its stable name; the ending is the unit.
    pub name: &'static str,
    /// Its value in that unit.
    pub value: f64,
    /// Difference from another machine's figure that means something: what the instrument and the axis scatter by.
    pub resolution: f64,
}

impl Figure {
    /// A figure with the difference that counts.
    #[must_use]
    pub const fn new(name: &'static str, value: f64, resolution: f64) -> Self {
        Self { name, value, resolution }
    }
}

#[cfg(test)]
mod tests;
