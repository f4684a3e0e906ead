//! Bench and commands cross as text of their own within a job: their readers stand once in the page, built for size.

use lessons::kept;
use serde::{Deserialize, Deserializer, Serializer, de, ser};

/// A bench.
pub mod bench {
    use super::{Deserialize, Deserializer, Serializer, de, kept, ser};
    use sim_core::bench::Bench;

    /// Writes it.
    pub fn serialize<S: Serializer>(bench: &Bench, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&kept::write_bench(bench).map_err(ser::Error::custom)?)
    }

    /// Reads it.
    pub fn deserialize<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Box<Bench>, D::Error> {
        kept::read_bench(&String::deserialize(deserializer)?).map(Box::new).map_err(de::Error::custom)
    }
}

/// Commands with their moments.
pub mod commands {
    use super::{Deserialize, Deserializer, Serializer, de, kept, ser};
    use sim_core::scene::Timed;

    /// Writes them.
    pub fn serialize<S: Serializer>(commands: &[Timed], serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&kept::write_commands(commands).map_err(ser::Error::custom)?)
    }

    /// Reads them.
    pub fn deserialize<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Vec<Timed>, D::Error> {
        kept::read_commands(&String::deserialize(deserializer)?).map_err(de::Error::custom)
    }
}
