//! What a reading says about a cause.
//!
//! A technician at a stopped machine has checks, and each check has a few outcomes. The simulation tells how often a
//! cause gives an outcome: it is put in again and again, at another severity and another place each time (a
//! [`Particle`]), and each check is made. From there on it is arithmetic: how many times as usual is this outcome with
//! that cause as with the others, and what remains likely after all readings.
//!
//! ```text
//!  cause, severity, place ──> bench ──> measure ──> figures ──> outcome      (sim-core, check, measure, outcome)
//!  many of them                                        └──────> Table        (particle, table)
//!  Table + report of the technician ──> Belief ──> ratio of a reading        (report, belief)
//! ```
//!
//! Readings are independent given the particle, not given the cause: two readings that both say "it is a bad one" are
//! not counted twice.

pub mod belief;
pub mod check;
pub mod family;
pub mod machine;
pub mod measure;
pub mod outcome;
pub mod particle;
pub mod report;
pub mod table;

pub use belief::Belief;
pub use check::Check;
pub use family::{Family, family_of};
pub use machine::Machine;
pub use outcome::{Baseline, Reading, read};
pub use particle::{Cause, Particle};
pub use table::Table;
