//! Every row of the validation tables has its test, by name: `signal_v07_...` tests row V07 of the signal model,
//! `axis_v07_...` that of the axis model.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use system_tests::Result;

/// A validation table: what its tests are called, and its last row.
struct Table {
    prefix: &'static str,
    last: u32,
}

/// Rows V01 to V61 of the signal model, V01 to V62 of the axis model.
const TABLES: [Table; 2] = [Table { prefix: "signal", last: 61 }, Table { prefix: "axis", last: 62 }];

/// A test of a row, as found in the sources.
#[derive(Debug)]
struct Found {
    table: &'static str,
    row: u32,
    name: String,
    file: PathBuf,
    /// It is run: marked as a test and not as ignored.
    runs: bool,
    /// The comment above it, or the file's own heading, names its source.
    sourced: bool,
}

/// Rust files below a folder, without build output and hidden folders.
fn rust_files(folder: &Path, into: &mut Vec<PathBuf>) -> Result<()> {
    for entry in std::fs::read_dir(folder)? {
        let path = entry?.path();
        let name = path.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
        if path.is_dir() {
            if !name.starts_with('.') && name != "target" {
                rust_files(&path, into)?;
            }
        } else if name.ends_with(".rs") {
            into.push(path);
        }
    }
    Ok(())
}

/// Table, number and name of the row's test that a line defines.
fn row_of(line: &str) -> Option<(&'static str, u32, String)> {
    TABLES.iter().find_map(|table| row_in(table.prefix, line).map(|(row, name)| (table.prefix, row, name)))
}

fn row_in(prefix: &str, line: &str) -> Option<(u32, String)> {
    let start = line.trim_start();
    let start = start.strip_prefix("async ").unwrap_or(start);
    let name = start.strip_prefix("fn ")?.strip_prefix(prefix)?.strip_prefix("_v")?;
    let (digits, rest) = name.split_at_checked(2)?;
    let row = digits.parse().ok()?;
    let end = rest.find(|c: char| !(c.is_ascii_alphanumeric() || c == '_'))?;
    rest.starts_with('_').then(|| (row, format!("{prefix}_v{digits}{}", &rest[..end])))
}

/// The tests of rows in one file.
fn tests_in(file: &Path, text: &str) -> Vec<Found> {
    let lines: Vec<&str> = text.lines().collect();
    let names_source = |l: &&str| l.to_lowercase().contains("source");
    let heading = lines.iter().take_while(|l| l.starts_with("//!")).any(names_source);
    let mut found = Vec::new();
    for (i, line) in lines.iter().enumerate() {
        let Some((table, row, name)) = row_of(line) else { continue };
        // Attributes and comments stand directly above.
        let above: Vec<&str> = lines[..i]
            .iter()
            .rev()
            .map(|l| l.trim_start())
            .take_while(|l| l.starts_with("#[") || l.starts_with("//"))
            .collect();
        let marked = |what: &str| above.iter().any(|l| l.starts_with(what));
        found.push(Found {
            table,
            row,
            name,
            file: file.to_owned(),
            runs: (marked("#[test]") || marked("#[tokio::test")) && !marked("#[ignore"),
            sourced: heading || above.iter().filter(|l| l.starts_with("//")).any(names_source),
        });
    }
    found
}

fn all() -> Result<Vec<Found>> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let mut files = Vec::new();
    for package in ["sim-core", "lessons", "web-ui", "tests"] {
        rust_files(&root.join(package), &mut files)?;
    }
    files.sort();
    let mut found = Vec::new();
    for file in files {
        // This file quotes names of tests.
        if !file.ends_with("coverage.rs") {
            found.extend(tests_in(&file, &std::fs::read_to_string(&file)?));
        }
    }
    Ok(found)
}

#[test]
fn every_row_of_the_validation_tables_has_a_test() -> Result<()> {
    let tests = all()?;
    for table in &TABLES {
        let mut by_row: BTreeMap<u32, Vec<&str>> = (1..=table.last).map(|row| (row, Vec::new())).collect();
        for test in tests.iter().filter(|t| t.runs && t.table == table.prefix) {
            let Some(names) = by_row.get_mut(&test.row) else {
                panic!("{} in {}: the table has no such row", test.name, test.file.display());
            };
            names.push(&test.name);
        }
        let missing: Vec<String> =
            by_row.iter().filter(|(_, n)| n.is_empty()).map(|(row, _)| format!("V{row:02}")).collect();
        let (count, rows, of) = (missing.len(), table.last, table.prefix);
        assert!(missing.is_empty(), "{count} of {rows} rows of the {of} table have no test: {}", missing.join(" "));
    }
    Ok(())
}

#[test]
fn every_test_of_a_row_runs_and_names_its_source() -> Result<()> {
    let tests = all()?;
    assert!(!tests.is_empty());
    let wrong: Vec<String> = tests
        .iter()
        .filter(|t| !(t.runs && t.sourced))
        .map(|t| format!("{} in {}: runs {}, source {}", t.name, t.file.display(), t.runs, t.sourced))
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    Ok(())
}

/// Negative control: what is not a running test of a row does not count.
#[test]
fn a_test_counts_only_if_it_is_one() {
    let text = "
// Source: a book.
#[test]
fn signal_v07_counts() {}
// Source: a book.
#[test]
#[ignore]
fn signal_v08_is_skipped() {}
    fn signal_v09_is_a_helper() {}
#[test]
fn signal_v10() {}
#[test]
fn signal_v100_has_three_digits() {}
// signal_v11_is_a_word
#[tokio::test]
async fn signal_v12_has_no_comment() {}
// Source: a book.
#[test]
fn axis_v07_stops() {}
";
    let found = tests_in(Path::new("x.rs"), text);
    let seen: Vec<(u32, bool, bool)> = found.iter().map(|t| (t.row, t.runs, t.sourced)).collect();
    assert_eq!(seen, [(7, true, true), (8, false, true), (9, false, false), (12, true, false), (7, true, true)]);
    assert_eq!((found[3].table, found[4].table, found[4].name.as_str()), ("signal", "axis", "axis_v07_stops"));
    assert_eq!(found[0].name, "signal_v07_counts");
}
