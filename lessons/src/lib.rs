//! Scenes of the bench: the ones that come with the program, and the reader for everybody's.
//!
//! A scene is a text file (TOML). [`read`] turns it into a [`sim_core::scene::Scene`] or says which file and line is
//! wrong, why, and how to mend it. A lesson is a folder of text; [`lesson`] reads and grades it.

pub mod callout;
mod claims;
pub mod dictionary;
mod error;
pub mod kept;
pub mod lesson;
mod library;
mod read;
pub mod share;
mod slips;
mod source;
mod sum;
pub mod tree;
mod words;

pub use claims::{Slip, Unmet, told_apart, unmet};
pub use error::SceneError;
pub use library::{Shipped, cases, outcomes, shipped, shipped_by_name, take, words};
pub use read::{LARGEST_FILE, read, read_bytes, write};
