//! The order of the source: dependencies only downwards, no circle, no world in the core, no file too long.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use countlight_host::workspace::Workspace;

/// Parts of `sim-core`, from the bottom up: a part uses only parts before it. A file belongs to the part with the
/// longest name that its path begins with, so private files belong to the module that owns them.
const ORDER: [&str; 52] = [
    "numbers",
    "limits",
    "num/math",
    "num",
    "scale",
    "chain/light",
    "surface",
    "scale/housing",
    "chain/photo",
    "chain/lamp",
    "chain/analog",
    "chain/interference",
    "chain/conductor",
    "chain/line",
    "chain/supply",
    "chain/wiring",
    "chain/loss",
    "chain/square",
    "chain/counter",
    "chain/edge_filter",
    "chain/squaring",
    "chain/square_line",
    "chain/interpolate",
    "chain/distance_code",
    "chain/mark",
    "chain/absolute",
    "chain/alignment",
    "chain/count_limits",
    "axis/friction",
    "axis/profile",
    "axis/machine",
    "axis/motion",
    "axis/motor_encoder",
    "axis/velocity",
    "axis/plant",
    "axis/servo",
    "axis/homing",
    "axis",
    "monitor",
    "setup",
    "names",
    "event",
    "record",
    "upkeep",
    "params",
    "fault",
    "bench/command",
    "scene",
    "bench",
    "instrument/waveform",
    "instrument",
    "inspect",
];

/// Uses against the order, each with its reason. There is one.
const ALLOWED: [(&str, &str); 1] = [
    // `params_of` is the one door through which faults enter: it applies the catalogue, whose rows are functions on
    // `Params`. Either half alone would have to be spread over the other's callers.
    ("params", "fault"),
];

/// What only modules without content of their own may hold: lists of the parts below them.
const LISTS: [&str; 2] = ["lib", "chain/mod"];

fn core() -> PathBuf {
    Workspace::locate().expect("the sources are here").root().join("sim-core/src")
}

fn rust_files(dir: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(dir).unwrap_or_else(|e| panic!("{}: {e}", dir.display())) {
        let path = entry.expect("an entry").path();
        let name = path.file_name().and_then(|n| n.to_str()).unwrap_or_default();
        if path.is_dir() {
            if name != "target" && !name.starts_with('.') {
                rust_files(&path, found);
            }
        } else if name.ends_with(".rs") {
            found.push(path);
        }
    }
}

/// Path below `sim-core/src` without its ending, with `/`.
fn name_of(path: &Path, root: &Path) -> String {
    let below = path.strip_prefix(root).expect("below the root").with_extension("");
    below.to_str().expect("a plain path").replace('\\', "/")
}

/// Place in [`ORDER`] of the part that a file or a path of modules belongs to.
fn part_of(name: &str) -> Option<usize> {
    let begins = |part: &str| name == part || name.strip_prefix(part).is_some_and(|rest| rest.starts_with('/'));
    (0..ORDER.len()).filter(|i| begins(ORDER[*i])).max_by_key(|i| ORDER[*i].len())
}

/// The code of a file without notes and without what is only compiled for tests.
fn code(path: &Path) -> String {
    let text = fs::read_to_string(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    let text = text.split("#[cfg(test)]").next().unwrap_or_default();
    let lines = text.lines().map(|line| line.split("//").next().unwrap_or_default());
    lines.collect::<Vec<_>>().join("\n")
}

/// Files that are compiled for tests only: `#[cfg(test)] mod NAME;`, with or without a path of its own.
fn test_files(files: &[PathBuf], root: &Path) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    for path in files {
        let (name, text) = (name_of(path, root), fs::read_to_string(path).expect("a file"));
        let home = name.strip_suffix("/mod").unwrap_or(&name);
        for after in text.split("#[cfg(test)]\n").skip(1) {
            let mut lines = after.lines();
            let first = lines.next().unwrap_or_default();
            if let Some(file) = first.strip_prefix("#[path = \"").and_then(|p| p.split(".rs").next()) {
                let folder = name.rsplit_once('/').map_or("", |(folder, _)| folder);
                found.insert(format!("{folder}/{file}"));
            } else if let Some(module) = first.strip_prefix("mod ").and_then(|m| m.strip_suffix(';')) {
                found.insert(format!("{home}/{module}"));
            }
        }
    }
    found
}

/// Whether a file or one that it belongs to is compiled for tests only.
fn is_test(name: &str, tests: &BTreeSet<String>) -> bool {
    tests.iter().any(|test| name == test || name.strip_prefix(test.as_str()).is_some_and(|rest| rest.starts_with('/')))
}

/// Paths of modules that the code names behind `crate::`, a list in braces taken apart.
fn uses(code: &str) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    for rest in code.split("crate::").skip(1) {
        let path: String = rest.chars().take_while(|c| c.is_alphanumeric() || "_:".contains(*c)).collect();
        let modules: Vec<&str> =
            path.split("::").take_while(|m| m.starts_with(|c: char| c.is_ascii_lowercase())).collect();
        let modules = modules.join("/");
        found.insert(modules.clone());
        let after = &rest[path.len()..];
        if let Some(list) = after.strip_prefix('{').and_then(|l| l.split('}').next())
            && path.ends_with("::")
        {
            let names = list.split(',').map(str::trim).filter(|n| n.starts_with(|c: char| c.is_ascii_lowercase()));
            let joined = names.map(|n| {
                let n = n.split("::").next().unwrap_or(n);
                if modules.is_empty() { n.to_owned() } else { format!("{modules}/{n}") }
            });
            found.extend(joined);
        }
    }
    found.remove("");
    found
}

#[test]
fn the_core_uses_only_what_lies_below() {
    let root = core();
    let mut files = Vec::new();
    rust_files(&root, &mut files);
    let tests = test_files(&files, &root);
    assert!(is_test("chain/light/tests", &tests) && is_test("axis/plant_tests", &tests), "{tests:?}");
    let (mut against, mut needed, mut edges) = (Vec::new(), BTreeSet::new(), 0);
    for path in &files {
        let name = name_of(path, &root);
        if is_test(&name, &tests) || LISTS.contains(&name.as_str()) {
            continue;
        }
        let part = part_of(&name).unwrap_or_else(|| panic!("{name} has no place in the order; give it one"));
        for used in uses(&code(path)) {
            let Some(below) = part_of(&used) else { panic!("{name} uses {used}, which has no place in the order") };
            edges += usize::from(below != part);
            if below > part {
                match ALLOWED.iter().find(|allowed| **allowed == (ORDER[part], ORDER[below])) {
                    Some(allowed) => {
                        needed.insert(*allowed);
                    }
                    None => against.push(format!("{name} ({}) uses {used} ({})", ORDER[part], ORDER[below])),
                }
            }
        }
    }
    assert!(against.is_empty(), "against the order: {against:#?}");
    assert_eq!(needed.len(), ALLOWED.len(), "an exception is no longer needed: take it out");
    assert!(edges > 60, "only {edges} uses were found; the search is broken");
}

#[test]
fn every_part_of_the_order_exists() {
    let root = core();
    for part in ORDER {
        let there = root.join(format!("{part}.rs")).is_file() || root.join(part).join("mod.rs").is_file();
        assert!(there, "{part} is in the order and not in the source");
    }
}

/// A file may go up to its own parent's private types, never past it to another module by `super::super::`.
#[test]
fn nobody_climbs_past_the_parent() {
    let root = core();
    let mut files = Vec::new();
    rust_files(&root, &mut files);
    let tests = test_files(&files, &root);
    for path in &files {
        let name = name_of(path, &root);
        assert!(is_test(&name, &tests) || !code(path).contains("super::super::"), "{name}");
    }
}

/// The model has no clock, no files, no threads, no network, no environment and no browser.
#[test]
fn the_core_knows_no_world() {
    let root = core();
    let mut files = Vec::new();
    rust_files(&root, &mut files);
    let world = [
        "web_sys",
        "web-sys",
        "js_sys",
        "wasm_bindgen",
        "std::time",
        "std::fs",
        "std::thread",
        "std::net",
        "std::env",
        "std::process",
        "std::io",
        "println!",
        "eprintln!",
        "thread_local!",
        "static mut",
        "HashMap",
        "HashSet",
    ];
    for path in &files {
        // Tests included: a test of the model needs none of it either.
        let text = fs::read_to_string(path).expect("a file");
        for word in world {
            assert!(!text.contains(word), "{} names {word}", name_of(path, &root));
        }
    }
    let manifest = fs::read_to_string(root.join("../Cargo.toml")).expect("the manifest");
    let manifest: toml::Table = manifest.parse().expect("TOML");
    let wanted: BTreeSet<&str> = ["libm", "rand", "serde", "thiserror"].into();
    let found: BTreeSet<&str> =
        manifest["dependencies"].as_table().expect("a table").keys().map(String::as_str).collect();
    assert_eq!(found, wanted, "what the core depends on");
}

/// Packages depend downwards too: tests -> page -> lessons -> diagnosis -> model.
#[test]
fn packages_depend_downwards() {
    let workspace = Workspace::locate().expect("the sources are here");
    let order = ["sim-core", "lessons/diagnosis", "lessons", "web-ui", "web-ui/host", "tests"];
    let names = ["sim-core", "diagnosis", "lessons", "web-ui", "countlight-host", "system-tests"];
    for (place, package) in order.iter().enumerate() {
        let text = fs::read_to_string(workspace.root().join(package).join("Cargo.toml")).expect("a manifest");
        let manifest: toml::Table = text.parse().expect("TOML");
        for table in ["dependencies", "dev-dependencies", "build-dependencies"] {
            for dependency in manifest.get(table).and_then(toml::Value::as_table).into_iter().flat_map(|t| t.keys()) {
                let at = names.iter().position(|name| name == dependency);
                assert!(at.is_none_or(|at| at < place), "{package} depends on {dependency}");
            }
        }
    }
}

/// A file past 400 lines wants a split; past 450 it gets one.
#[test]
fn no_file_is_too_long() {
    const MOST: usize = 450;
    let workspace = Workspace::locate().expect("the sources are here");
    let mut files = Vec::new();
    rust_files(workspace.root(), &mut files);
    assert!(files.len() > 100, "only {} files were found", files.len());
    let long: Vec<String> = files
        .iter()
        .map(|path| (path, fs::read_to_string(path).expect("a file").lines().count()))
        .filter(|(_, lines)| *lines > MOST)
        .map(|(path, lines)| format!("{}: {lines} lines", path.display()))
        .collect();
    assert!(long.is_empty(), "split these: {long:#?}");
}

#[test]
fn uses_are_found_in_every_form() {
    let found = uses("use crate::a::b::Type;\nuse crate::c;\nlet x = crate::d::e::f(1);\nuse crate::g::{self, h, I};");
    assert_eq!(found, ["a/b", "c", "d/e/f", "g", "g/h", "g/self"].map(str::to_owned).into());
    assert_eq!(part_of("chain/light/table").map(|i| ORDER[i]), Some("chain/light"));
    assert_eq!(part_of("axis/state").map(|i| ORDER[i]), Some("axis"));
    assert_eq!(part_of("scaled"), None);
}
