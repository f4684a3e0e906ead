//! The bench: one serialisable value, and the runner that steps it.

pub mod command;
mod compiled;
mod narrator;
mod orders;
mod reading;
mod recording;
mod signal;
mod sim;
mod squared;
mod state;

pub use compiled::Compiled;
pub use sim::{Sim, run};
pub use state::{BENCH_FORMAT, Bench, BenchError, State};
