//! The Countlight bench as a deterministic model: from light on a grating to a following-error alarm.
//!
//! ```text
//!  table place --scale, head pose--> light on the fields --> photocurrents --> channel volts
//!       ^                                                                          | comparators
//!       |                                                                          v or interpolation
//!  drive and mass <- servo <- place <- counter <------------------------------ levels A, B
//!       ^                      |
//!       +------ alarms <-------+---- monitors
//! ```
//!
//! A run is a pure function of the bench and its commands; the same bits come out natively and in the browser.
//!
//! ```
//! use sim_core::bench::Sim;
//! use sim_core::setup::{BenchId, Setup};
//!
//! let mut sim = Sim::start(Setup::healthy(BenchId::TeachingRail), 1, 0.1);
//! sim.advance(1000, &mut ());
//! assert!((sim.record().counted_m - sim.record().table_m).abs() < 0.25e-3);
//! ```

pub mod axis;
pub mod bench;
pub mod chain;
pub mod event;
pub mod fault;
pub mod inspect;
pub mod instrument;
pub mod limits;
pub mod monitor;
pub mod names;
pub mod num;
pub mod numbers;
pub mod params;
pub mod record;
pub mod scale;
pub mod scene;
pub mod setup;
pub mod surface;
pub mod upkeep;
