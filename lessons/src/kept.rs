//! Benches as they are kept: exact JSON text of a bench, of what stands around it, and of commands to come.
//!
//! Here rather than where they are used, since this crate is built for size in the page (`Cargo.toml`), and the readers
//! of so many fields are large.

use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use sim_core::bench::Bench;
use sim_core::scene::{Scene, Timed};

/// What stands around a kept bench, so that it goes on as it was.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Around {
    /// Model time, s; for the words of the recovery page.
    pub time_s: f64,
    /// Id or file name of the scene.
    pub scene_id: String,
    /// The scene that it began with.
    pub scene: Scene,
    /// How many of its steps are still to come.
    pub waiting: usize,
    /// Pace of the clock.
    pub pace: usize,
}

/// Reads a bench; whether it is one that can go on, [`Bench::check`] says.
///
/// # Errors
/// The text is no bench: why, with line and column.
pub fn read_bench(text: &str) -> Result<Bench, String> {
    read(text)
}

/// Writes a bench so that it is read again to the bit.
///
/// # Errors
/// None of those that the model makes: their numbers are finite.
pub fn write_bench(bench: &Bench) -> Result<String, String> {
    write(bench)
}

/// Reads what stands around a bench.
///
/// # Errors
/// As [`read_bench`].
pub fn read_around(text: &str) -> Result<Around, String> {
    read(text)
}

/// Writes what stands around a bench.
///
/// # Errors
/// As [`write_bench`].
pub fn write_around(around: &Around) -> Result<String, String> {
    write(around)
}

/// Reads commands with their moments.
///
/// # Errors
/// As [`read_bench`].
pub fn read_commands(text: &str) -> Result<Vec<Timed>, String> {
    read(text)
}

/// Writes commands with their moments.
///
/// # Errors
/// As [`write_bench`].
pub fn write_commands(commands: &[Timed]) -> Result<String, String> {
    write(commands)
}

fn read<T: DeserializeOwned>(text: &str) -> Result<T, String> {
    serde_json::from_str(text).map_err(|why| why.to_string())
}

fn write<T: Serialize + ?Sized>(value: &T) -> Result<String, String> {
    serde_json::to_string(value).map_err(|why| why.to_string())
}
