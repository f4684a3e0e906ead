//! A text as a tree, whatever its notation, and from the tree to a value.
//!
//! ```text
//!  JSON text ─> json ─┐            ┌─> node ─> a value, or what is wrong and where
//!                     ├─> Tree ────┤
//!  TOML text ─> toml ─┘            └─> JSON or TOML text
//! ```
//!
//! The readers of so many types are compiled once for both notations, which matters for the size of the page.

mod error;
mod json;
mod node;
mod spanned;
mod toml;

pub use error::TreeError;
pub use node::Node;
pub use spanned::Spanned;
pub use toml::text as toml_text;

use std::ops::Range;

/// A node with what stands below it.
#[derive(Clone, Debug, PartialEq)]
pub struct Tree {
    /// What it holds.
    pub kind: Kind,
    /// Where it stands in the text, bytes. TOML has places; in JSON what is wrong is told by its path.
    pub at: Option<Range<usize>>,
}

/// What a node holds.
#[derive(Clone, Debug, PartialEq)]
pub enum Kind {
    /// Nothing stands here: a field that was left out.
    Missing,
    /// `null`.
    Nothing,
    /// `true` or `false`.
    Truth(bool),
    /// A whole number that may be negative.
    Whole(i64),
    /// A whole number from zero.
    Natural(u64),
    /// A whole number beyond both.
    Huge(i128),
    /// A number beyond what a program can hold: what the parser says of it.
    Overflow(&'static str),
    /// A number.
    Number(f64),
    /// A text.
    Text(String),
    /// A list.
    List(Vec<Tree>),
    /// A table, in the order in which it was read.
    Table(Vec<Row>),
}

/// A name in a table with its value.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// The name.
    pub name: String,
    /// Where the name stands in the text, bytes.
    pub at: Option<Range<usize>>,
    /// The value.
    pub tree: Tree,
}

/// What stands in place of a field that was left out.
static MISSING: Tree = Tree { kind: Kind::Missing, at: None };

impl Tree {
    /// Reads JSON.
    ///
    /// # Errors
    /// The text is no JSON: why, with line and column.
    pub fn of_json(text: &str) -> Result<Self, serde_json::Error> {
        serde_json::from_str(text)
    }

    /// Reads TOML.
    ///
    /// # Errors
    /// The text is no TOML: why, and where.
    pub fn of_toml(text: &str) -> Result<Self, TreeError> {
        toml::read(text)
    }

    /// The value of a name, if this is a table that has it; of a name that stands twice the last.
    pub fn get(&self, name: &str) -> Option<&Tree> {
        find(self.rows(), name)
    }

    /// The rows of a table; none where this is no table.
    pub fn rows(&self) -> &[Row] {
        match &self.kind {
            Kind::Table(rows) => rows,
            _ => &[],
        }
    }

    /// Where it stands in the text; the beginning where that is not known.
    pub fn place(&self) -> Range<usize> {
        self.at.clone().unwrap_or(0..0)
    }

    /// The whole number that stands here.
    pub fn whole(&self) -> Option<i64> {
        match self.kind {
            Kind::Whole(n) => Some(n),
            Kind::Natural(n) => i64::try_from(n).ok(),
            _ => None,
        }
    }

    /// The number that stands here.
    pub fn number(&self) -> Option<f64> {
        match self.kind {
            Kind::Number(x) => Some(x),
            _ => self.whole().map(|n| n as f64),
        }
    }

    /// The text that stands here.
    pub fn text(&self) -> Option<&str> {
        match &self.kind {
            Kind::Text(text) => Some(text),
            _ => None,
        }
    }
}

fn find<'a>(rows: &'a [Row], name: &str) -> Option<&'a Tree> {
    rows.iter().rfind(|row| row.name == name).map(|row| &row.tree)
}

#[cfg(test)]
mod json_tests;
#[cfg(test)]
mod toml_tests;
