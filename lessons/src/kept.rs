//! Benches as they cross to a worker: exact JSON text of a bench, and of commands to come.
//!
//! Here rather than where they are used, since this crate is built for size in the page (`Cargo.toml`), and the readers
//! of so many fields are large.

use crate::tree::{Node, Tree};
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use sim_core::bench::Bench;
use sim_core::scene::Timed;

/// The format of kept benches that this program writes and the newest that it reads.
pub const FORMAT: u32 = 1;

/// What the file says that it is.
pub const KIND: &str = "countlight bench";

/// A bench at its exact moment, with the scene that it came from.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Kept {
    /// [`FORMAT`].
    pub format: u32,
    /// [`KIND`].
    pub kind: String,
    /// Its name on the sheet.
    pub title: String,
    /// When it was kept, milliseconds since the start of 1970 (UTC).
    pub saved_ms: f64,
    /// Seed of all noise.
    pub seed: u32,
    /// Id or file name of the scene.
    pub scene_id: String,
    /// The scene as the text of its file: what "start again" goes back to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scene: Option<String>,
    /// How many of the scene's last steps were still to come.
    #[serde(default)]
    pub waiting: usize,
    /// The bench.
    pub bench: Bench,
}

impl Kept {
    /// Its text.
    pub fn text(&self) -> String {
        // Numbers, texts and lists alone: all of them have a form in JSON.
        serde_json::to_string(self).unwrap_or_default()
    }
}

/// A kept bench from the tree of its text; what it holds is still to be checked.
///
/// # Errors
/// What is missing or wrong, with its path.
pub fn kept_of(tree: &Tree) -> Result<Kept, String> {
    of_tree(tree)
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

/// Reads a value of JSON text with the reader that scenes and benches have: fields that may be empty must be written.
///
/// # Errors
/// The text is no such value: why, with line and column or with the path.
pub fn read<T: DeserializeOwned>(text: &str) -> Result<T, String> {
    of_tree(&Tree::of_json(text).map_err(|why| why.to_string())?)
}

/// The value of a tree.
///
/// # Errors
/// It is no such value: why, with the path.
pub fn of_tree<T: DeserializeOwned>(tree: &Tree) -> Result<T, String> {
    T::deserialize(Node(tree)).map_err(|why| why.to_string())
}

fn write<T: Serialize + ?Sized>(value: &T) -> Result<String, String> {
    serde_json::to_string(value).map_err(|why| why.to_string())
}
