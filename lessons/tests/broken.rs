//! Broken scenes. Each is refused with the file, the right line, what is wrong and a remedy; the snapshot shows all
//! messages together, so that a reader can judge whether they help.

mod broken_table;

use broken_table::{GOOD, cases, with};
use lessons::{LARGEST_FILE, SceneError, read, read_bytes};
use std::fmt::Write;

#[test]
fn every_broken_scene_is_refused_with_place_reason_and_remedy() {
    let cases = cases();
    assert!(cases.len() >= 30, "{} cases", cases.len());
    for case in cases {
        let file = format!("{}.toml", case.name);
        let error = read_bytes(&file, &case.bytes).expect_err(case.name);
        let text = error.to_string();
        assert_eq!(error.at.map(|(line, _)| line), case.line, "line of {text}");
        let place = case.line.map_or(format!("{file}: "), |line| format!("{file}:{line}:"));
        assert!(text.starts_with(&place), "{place} at the start of {text}");
        assert!(text.contains(case.says), "\"{}\" in {text}", case.says);
        assert!(text.contains("\n  To mend it: "), "{text}");
        assert!(error.mend.len() > 8 && error.mend.ends_with(|c: char| !c.is_whitespace()), "{text}");
        assert!(!text.contains('`') && !text.chars().any(|c| c.is_control() && c != '\n'), "{text:?}");
        assert!(text.lines().all(|l| l.chars().count() <= 270), "too long for a screen: {text}");
    }
}

#[test]
fn the_messages_read_well() {
    let mut all = String::new();
    for case in cases() {
        let error = read_bytes(&format!("{}.toml", case.name), &case.bytes).expect_err(case.name);
        writeln!(all, "{error}\n").unwrap();
    }
    insta::assert_snapshot!(all);
}

#[test]
fn the_table_starts_from_a_good_scene_and_uses_every_file() {
    read("good.toml", GOOD).unwrap_or_else(|e| panic!("{e}"));
    let names: Vec<&str> = cases().iter().map(|case| case.name).collect();
    for (i, name) in names.iter().enumerate() {
        assert!(!names[..i].contains(name), "{name} twice");
    }
    for entry in std::fs::read_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/broken")).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        assert!(names.contains(&name.trim_end_matches(".toml")), "{name} is in no test");
    }
}

/// What editors and other systems leave in files is no mistake of the writer.
#[test]
fn harmless_oddities_are_read() {
    let good = read("good.toml", GOOD).unwrap();
    let same = |text: &str| assert_eq!(read_bytes("odd.toml", text.as_bytes()).as_ref(), Ok(&good), "{text:?}");
    same(&format!("\u{feff}{GOOD}"));
    same(&GOOD.replace('\n', "\r\n"));
    same(&format!("\u{feff}{}", GOOD.replace('\n', "\r\n")));
    same(GOOD.trim_end());
    same(&GOOD.replace(" = ", "="));
    same(&format!("# a note: \u{e4}\u{df}\u{4e2d}\n\n\n{GOOD}# end"));
    same(&GOOD.replace("head.gap_um", "\"head\".\"gap_um\""));
    same(&GOOD.replace("duration_s = 10", "duration_s = 1e1"));
}

#[test]
fn the_line_is_right_with_a_mark_at_the_start_and_with_windows_line_ends() {
    let text = format!("\u{feff}{}", with(5, "duration_s = 0").replace('\n', "\r\n"));
    assert_eq!(read("odd.toml", &text).unwrap_err().at, Some((5, 14)));
}

#[test]
fn a_file_of_a_hundred_megabytes_is_refused_by_its_size() {
    let bytes = vec![b'#'; 100 << 20];
    let error = read_bytes("big.toml", &bytes).unwrap_err();
    assert_eq!(error, SceneError::too_large("big.toml", 100 << 20));
    assert!(error.to_string().contains("too large for a scene: 104857600 bytes, where 1048576 are allowed"), "{error}");
    // Just small enough, it is read and refused for what it says.
    let error = read_bytes("big.toml", &bytes[..LARGEST_FILE]).unwrap_err();
    assert!(error.what.contains("format number is missing"), "{error}");
}

/// Depth must neither overflow the stack nor take long.
#[test]
fn deep_nesting_of_every_kind_is_refused() {
    for (open, shut) in [("[", "]"), ("{ a = ", " }"), ("[{ a = ", " }]")] {
        let text = format!("format = 1\nset = {}1{}\n", open.repeat(50_000), shut.repeat(50_000));
        let error = read("deep.toml", &text).unwrap_err();
        assert_eq!(error.at.map(|(line, _)| line), Some(2), "{error}");
    }
    let dotted = format!("format = 1\n{} = 1\n", vec!["a"; 50_000].join("."));
    let error = read("deep.toml", &dotted).unwrap_err();
    assert!(error.what.contains("too many dots"), "{error}");
}
