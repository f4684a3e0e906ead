//! Scenes of the bench: the ones that come with the program, and the reader for everybody's.
//!
//! A scene is a text file (TOML). [`read`] turns it into a [`sim_core::scene::Scene`] or says which file and line is
//! wrong, why, and how to mend it. A lesson is a folder of text; [`lesson`] reads and grades it.

mod claims;
mod error;
pub mod kept;
pub mod lesson;
mod library;
mod read;
pub mod share;
mod slips;
mod source;
mod tree;
mod words;

pub use claims::{Slip, Unmet, told_apart, unmet};
pub use error::SceneError;
pub use library::{Shipped, shipped, shipped_by_name};
pub use read::{LARGEST_FILE, read, read_bytes, write};
