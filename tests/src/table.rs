//! Reference tables: what independent programs computed, under `tests/reference/tables/`.
//!
//! `tests/reference/README.md` says how they are made. A table begins with comment lines: the command that made it,
//! the library versions, what it holds.

use serde::de::DeserializeOwned;
use std::path::PathBuf;

/// Folder of the tables.
#[must_use]
pub fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("reference/tables")
}

/// Rows of a table by its name without extension; panics with file and place if it cannot be read.
#[must_use]
pub fn read<Row: DeserializeOwned>(name: &str) -> Vec<Row> {
    let file = folder().join(format!("{name}.csv"));
    let reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_path(&file);
    let mut reader = reader.unwrap_or_else(|e| panic!("{}: {e}", file.display()));
    let rows: Result<Vec<Row>, _> = reader.deserialize().collect();
    let rows = rows.unwrap_or_else(|e| panic!("{}: {e}", file.display()));
    assert!(!rows.is_empty(), "{} has no rows", file.display());
    rows
}

/// Differences between model and reference that are larger than they may be, gathered so that one run shows all.
#[derive(Default)]
pub struct Differences {
    found: Vec<String>,
    compared: usize,
}

impl Differences {
    /// Compares one value; both in the same unit, `tolerance` absolute.
    pub fn compare(&mut self, what: impl std::fmt::Display, model: f64, reference: f64, tolerance: f64) {
        self.compared += 1;
        let off = (model - reference).abs();
        if off.is_nan() || off > tolerance {
            self.found
                .push(format!("{what}: model {model:.9e}, reference {reference:.9e}, off {off:.1e} > {tolerance:.1e}"));
        }
    }

    /// Fails with the list if anything was off, or if nothing was compared.
    #[track_caller]
    pub fn none(self) {
        assert!(self.compared > 0, "nothing was compared");
        assert!(self.found.is_empty(), "{} of {} differ:\n{}", self.found.len(), self.compared, self.found.join("\n"));
    }
}
