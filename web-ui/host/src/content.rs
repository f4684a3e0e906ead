//! Scenes and lessons as one file of the page, made from the folders in which authors write them.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use crate::{Error, Result};
use lessons::callout::veil::veil;

/// The file's address.
pub const ADDRESS: &str = "content.json";
/// Folders that it is made from, below the package `lessons`.
const FOLDERS: [&str; 4] = ["scenes", "content", "words", CASES];
/// Folder of the call-outs: what its files hide is veiled, so that nobody reads it by accident.
const CASES: &str = "callouts";
/// Endings of the files that it is made from. Others, such as an editor's copies, stay where they are.
const ENDINGS: [&str; 3] = ["toml", "md", "txt"];

/// Packs the folders of the package `lessons`: a JSON object of paths below it and texts.
///
/// # Errors
/// A file cannot be read or is not UTF-8.
pub fn pack(lessons: &Path) -> Result<Vec<u8>> {
    let mut files = BTreeMap::new();
    for folder in FOLDERS {
        let path = lessons.join(folder);
        if path.is_dir() {
            below(&path, folder, &mut files)?;
        }
    }
    let hides = |name: &str| name.starts_with(CASES) && name.ends_with(".toml");
    for (_, text) in files.iter_mut().filter(|(name, _)| hides(name)) {
        *text = veil(text);
    }
    serde_json::to_vec(&files)
        .map_err(|e| Error::new(format!("cannot pack scenes and lessons: {e}"), lessons.display(), "try again"))
}

fn below(folder: &Path, name: &str, files: &mut BTreeMap<String, String>) -> Result<()> {
    let fail = |e: &std::io::Error| Error::file("read scenes and lessons", folder, e);
    for entry in fs::read_dir(folder).map_err(|e| fail(&e))? {
        let path = entry.map_err(|e| fail(&e))?.path();
        let file = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let name = format!("{name}/{file}");
        if path.is_dir() {
            below(&path, &name, files)?;
        } else if !file.starts_with('.') && path.extension().is_some_and(|e| ENDINGS.iter().any(|known| e == *known)) {
            let bytes = fs::read(&path).map_err(|e| Error::file("read a scene or lesson", &path, &e))?;
            let text = String::from_utf8(bytes).map_err(|e| {
                Error::new(format!("this file is not UTF-8: {e}"), path.display(), "save it again as UTF-8 text")
            })?;
            files.insert(name, text);
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::workspace::Workspace;
    use lessons::callout::veil::unveil;

    #[test]
    fn the_file_holds_what_is_embedded_in_this_program() {
        let packed = pack(&Workspace::locate().unwrap().lessons()).unwrap();
        let files: BTreeMap<String, String> = serde_json::from_slice(&packed).unwrap();
        for scene in lessons::shipped() {
            let folder = if scene.group.is_empty() { String::new() } else { format!("{}/", scene.group) };
            assert_eq!(files.get(&format!("scenes/{folder}{}.toml", scene.id)).map(String::as_str), Some(scene.text));
        }
        let lessons = lessons::lesson::folders();
        assert!(!lessons.is_empty());
        let mut count = lessons::shipped().len();
        for (folder, in_it) in lessons {
            for file in in_it {
                assert_eq!(files[&format!("content/{folder}/{}", file.name)].as_bytes(), file.bytes);
                count += 1;
            }
        }
        for (sign, text) in lessons::words() {
            assert_eq!(files[&format!("words/{sign}.toml")], text);
            count += 1;
        }
        for (id, text) in lessons::cases() {
            let veiled = &files[&format!("callouts/{id}.toml")];
            assert_eq!(unveil(veiled).as_deref(), Ok(text));
            count += 1;
        }
        count += files.keys().filter(|name| name.starts_with("callouts/outcomes/")).count();
        assert_eq!(files.len(), count);
    }

    #[test]
    fn what_a_case_hides_is_not_readable_in_the_file() {
        let packed = pack(&Workspace::locate().unwrap().lessons()).unwrap();
        let files: BTreeMap<String, String> = serde_json::from_slice(&packed).unwrap();
        let cases: Vec<&String> =
            files.iter().filter(|(name, _)| name.starts_with("callouts/J")).map(|(_, text)| text).collect();
        assert_eq!(cases.len(), 26);
        for row in &sim_core::fault::TABLE {
            assert!(cases.iter().all(|text| !text.contains(row.name) && !text.contains(row.title)), "{}", row.name);
        }
    }

    #[test]
    fn copies_and_hidden_files_stay_out_and_other_encodings_are_refused() {
        let folder = tempfile::tempdir().unwrap();
        let scenes = folder.path().join("scenes");
        fs::create_dir(&scenes).unwrap();
        for name in ["a.toml", "a.toml~", ".a.toml", "notes.doc"] {
            fs::write(scenes.join(name), "x").unwrap();
        }
        assert_eq!(pack(folder.path()).unwrap(), br#"{"scenes/a.toml":"x"}"#);
        fs::write(scenes.join("b.toml"), [0xb5]).unwrap();
        let error = pack(folder.path()).unwrap_err();
        assert!(error.place.ends_with("b.toml") && error.what.contains("UTF-8"), "{error}");
    }
}
