//! The bench: one serialisable value, and the runner that steps it.

mod arrangement;
mod care;
pub mod command;
mod compiled;
pub mod cost;
mod filtered;
mod flexing;
mod flicker;
mod hanging;
mod isolating;
mod looking;
mod narrator;
mod orders;
mod power;
mod react;
mod reading;
mod recording;
pub mod safety;
mod samples;
mod signal;
mod sim;
mod squared;
mod state;
mod zero;

pub use arrangement::Arrangement;
pub use compiled::Compiled;
pub use looking::part_of;
pub use sim::{Sim, run, run_watched};
pub use state::{BENCH_FORMAT, Bench, BenchError, State};
