//! The reference tables say how they were made, with the pinned libraries, and stay small.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use system_tests::{Result, table};

fn scripts() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("reference")
}

fn tables() -> Result<Vec<PathBuf>> {
    let mut files = Vec::new();
    for entry in std::fs::read_dir(table::folder())? {
        files.push(entry?.path());
    }
    files.sort();
    Ok(files)
}

/// Every table begins with the command that made it and the versions of `requirements.txt`, and then says what it holds.
#[test]
fn every_table_says_how_it_was_made() -> Result<()> {
    let pinned = std::fs::read_to_string(scripts().join("requirements.txt"))?;
    let libraries: Vec<String> = pinned.lines().map(|l| l.replace("==", " ")).collect();
    assert!(!libraries.is_empty());
    for file in tables()? {
        let text = std::fs::read_to_string(&file)?;
        let name = file.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
        let head: Vec<&str> = text.lines().take_while(|l| l.starts_with('#')).collect();
        let command = head.first().copied().unwrap_or_default();
        let module = command.strip_prefix("# Made by: python tests/reference/make.py ").unwrap_or_default();
        assert!(scripts().join(format!("{module}.py")).is_file(), "{name} does not name its script: {command}");
        let source = std::fs::read_to_string(scripts().join(format!("{module}.py")))?;
        // numpy and scipy write every table; another library stands in those that it made.
        let used = |l: &&String| {
            let import = format!("import {}", l.split(' ').next().unwrap_or_default());
            ["numpy ", "scipy "].iter().any(|always| l.starts_with(always)) || source.contains(&import)
        };
        for library in libraries.iter().filter(used) {
            assert!(head.get(1).is_some_and(|l| l.contains(library.as_str())), "{name} was not made with {library}");
        }
        assert!(head.len() > 2, "{name} does not say what it holds");
        assert!(text.lines().count() > head.len() + 1, "{name} has no rows");
    }
    Ok(())
}

/// `make.py` without arguments makes everything: each module that a table names is in its list.
#[test]
fn one_command_makes_every_table() -> Result<()> {
    let make = std::fs::read_to_string(scripts().join("make.py"))?;
    for file in tables()? {
        let text = std::fs::read_to_string(&file)?;
        let module = text.lines().next().and_then(|l| l.rsplit(' ').next()).unwrap_or_default();
        assert!(make.contains(&format!("\"{module}\"")), "make.py does not know {module}");
    }
    Ok(())
}

/// A table that nothing reads checks nothing.
#[test]
fn every_table_is_compared_or_waits_for_its_counterpart() -> Result<()> {
    /// Tables whose counterpart in the model is still to be written.
    const WAITING: [&str; 0] = [];
    let mut tests = String::new();
    for entry in std::fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests"))? {
        let path = entry?.path();
        let name = path.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
        if name.starts_with("reference_") && name != "reference_tables.rs" {
            tests.push_str(&std::fs::read_to_string(path)?);
        }
    }
    let unread: BTreeSet<String> = tables()?
        .iter()
        .filter_map(|f| f.file_stem().map(|n| n.to_string_lossy().into_owned()))
        .filter(|name| !tests.contains(&format!("\"{name}\"")))
        .collect();
    assert_eq!(unread, WAITING.map(String::from).into());
    Ok(())
}

#[test]
fn the_tables_are_small() -> Result<()> {
    let mut bytes = 0;
    for file in tables()? {
        bytes += std::fs::metadata(file)?.len();
    }
    assert!(bytes < 200_000, "the tables take {bytes} bytes");
    Ok(())
}
