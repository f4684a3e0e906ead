//! What comes with the program: scenes and lessons as text files. They are embedded in native programs (feature
//! `embedded`); the page is handed them as one file before it starts.

use crate::callout::veil::unveil;
use std::collections::BTreeMap;
use std::sync::OnceLock;

/// Texts by their path below the folder of this package, such as `scenes/faults/chip.toml`.
type Files = BTreeMap<String, String>;

static FILES: OnceLock<Files> = OnceLock::new();

#[cfg(feature = "embedded")]
mod embedded {
    use include_dir::{Dir, include_dir};

    static SCENES: Dir<'static> = include_dir!("$CARGO_MANIFEST_DIR/scenes");
    static CONTENT: Dir<'static> = include_dir!("$CARGO_MANIFEST_DIR/content");
    static WORDS: Dir<'static> = include_dir!("$CARGO_MANIFEST_DIR/words");
    static CALLOUTS: Dir<'static> = include_dir!("$CARGO_MANIFEST_DIR/callouts");

    /// Every file below the folders with its text; none where it is no text.
    pub fn texts() -> Vec<(String, Option<&'static str>)> {
        let mut found = Vec::new();
        for (root, dir) in [("scenes", &SCENES), ("content", &CONTENT), ("words", &WORDS), ("callouts", &CALLOUTS)] {
            below(root, dir, &mut found);
        }
        found
    }

    fn below(root: &str, dir: &'static Dir<'static>, found: &mut Vec<(String, Option<&'static str>)>) {
        let name = |file: &include_dir::File<'_>| format!("{root}/{}", file.path().display()).replace('\\', "/");
        found.extend(dir.files().map(|file| (name(file), file.contents_utf8())));
        for dir in dir.dirs() {
            below(root, dir, found);
        }
    }
}

#[cfg(feature = "embedded")]
fn at_first() -> Files {
    // A test holds that all of them are text.
    embedded::texts().into_iter().filter_map(|(path, text)| Some((path, text?.to_owned()))).collect()
}

#[cfg(not(feature = "embedded"))]
fn at_first() -> Files {
    Files::new()
}

/// Takes the scenes and lessons over from a JSON object of paths and texts, cases of call-outs veiled. To be called once, before anything is asked
/// of the library; later calls change nothing.
///
/// # Errors
/// The text is no such object: why, with line and column.
pub fn take(json: &str) -> Result<(), String> {
    let mut files: Files = serde_json::from_str(json).map_err(|why| why.to_string())?;
    for (path, text) in files.iter_mut().filter(|(path, _)| path.starts_with("callouts/") && path.ends_with(".toml")) {
        *text = unveil(text).map_err(|why| format!("{path}: {why}"))?;
    }
    let _ = FILES.set(files);
    Ok(())
}

/// The files below a folder, `scenes/` or `content/`, with their path below it, in the order of paths.
pub(crate) fn files(folder: &str) -> impl Iterator<Item = (&'static str, &'static str)> {
    FILES.get_or_init(at_first).iter().filter_map(move |(path, text)| Some((path.strip_prefix(folder)?, text.as_str())))
}

/// The words of the page in other languages: the sign of the language and the text of its file.
pub fn words() -> impl Iterator<Item = (&'static str, &'static str)> {
    files("words/").filter_map(|(path, text)| Some((path.strip_suffix(".toml")?, text)))
}

/// The cases of call-outs: id and text of each file.
pub fn cases() -> impl Iterator<Item = (&'static str, &'static str)> {
    files("callouts/").filter_map(|(path, text)| Some((path.strip_suffix(".toml")?, text)))
}

/// The table of outcomes of a machine, by the name of its file ([`diagnosis::Machine::file`]).
pub fn outcomes(machine: &str) -> Option<&'static str> {
    files("callouts/outcomes/").find(|(path, _)| path.strip_suffix(".txt") == Some(machine)).map(|(_, text)| text)
}

/// A scene file that comes with the program.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shipped {
    /// File name without its ending: the scene's stable id.
    pub id: &'static str,
    /// Folder that it stands in below `scenes`, such as `faults`; empty for the first scenes.
    pub group: &'static str,
    /// The text of the file.
    pub text: &'static str,
}

/// All scenes that come with the program, the first ones before those in folders, in order of their id.
pub fn shipped() -> Vec<Shipped> {
    let read = |(path, text): (&'static str, &'static str)| {
        let path = path.strip_suffix(".toml")?;
        let (group, id) = path.rsplit_once('/').unwrap_or(("", path));
        Some(Shipped { id, group, text })
    };
    let mut scenes: Vec<Shipped> = files("scenes/").filter_map(read).collect();
    scenes.sort_by_key(|scene| (scene.group, scene.id));
    scenes
}

/// The shipped scene of an id.
pub fn shipped_by_name(id: &str) -> Option<Shipped> {
    shipped().into_iter().find(|scene| scene.id == id)
}

#[cfg(all(test, feature = "embedded"))]
mod tests {
    use super::*;

    #[test]
    fn every_shipped_scene_is_readable_and_survives_a_round_trip() {
        let scenes = shipped();
        assert!(scenes.len() >= 6);
        for shipped in scenes {
            let scene = crate::read(shipped.id, shipped.text).unwrap_or_else(|e| panic!("{e}"));
            let again = crate::read(shipped.id, &crate::write(&scene)).unwrap_or_else(|e| panic!("{e}"));
            assert_eq!(scene, again, "{}", shipped.id);
        }
    }

    #[test]
    fn every_embedded_file_is_text() {
        let texts = embedded::texts();
        assert!(texts.len() > 50, "{}", texts.len());
        for (path, text) in texts {
            assert!(text.is_some(), "{path} is not UTF-8");
        }
        assert_eq!(files("scenes/").filter(|(path, _)| *path == "faults/chip.toml").count(), 1);
        assert!(files("content/").any(|(path, _)| path.ends_with("/lesson.en.md")));
    }

    #[test]
    fn what_is_no_library_is_refused_with_its_place() {
        for (json, word) in [("", "EOF"), ("[]", "expected a map"), ("{\"scenes/a.toml\": 1}", "column")] {
            let why = take(json).expect_err(json);
            assert!(why.contains(word), "{json}: {why}");
        }
    }
}
