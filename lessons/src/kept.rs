//! Benches as they cross to a worker: exact JSON text of a bench, and of commands to come.
//!
//! Here rather than where they are used, since this crate is built for size in the page (`Cargo.toml`), and the readers
//! of so many fields are large.

use serde::Serialize;
use serde::de::DeserializeOwned;
use sim_core::bench::Bench;
use sim_core::scene::Timed;

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
