//! The bench: one serialisable value, and the runner that steps it.

pub mod command;
mod compiled;
mod narrator;
mod orders;
mod power;
mod reading;
mod recording;
mod sim;
mod state;
mod zero;

pub use compiled::Compiled;
pub use sim::{Sim, run};
pub use state::{BENCH_FORMAT, Bench, BenchError, State};
