//! The lessons that come with the program, embedded in it.

use super::model::Lesson;
use super::read::{LessonFile, read};
use crate::error::SceneError;
use include_dir::{Dir, include_dir};

static CONTENT: Dir<'static> = include_dir!("$CARGO_MANIFEST_DIR/content");

/// The folders of the lessons that come with the program, in their order, with their files.
pub fn folders() -> Vec<(String, Vec<LessonFile>)> {
    let name = |path: &std::path::Path| path.file_name().and_then(|n| n.to_str()).unwrap_or_default().to_owned();
    let files = |dir: &Dir<'static>| {
        dir.files().map(|file| LessonFile { name: name(file.path()), bytes: file.contents().to_vec() }).collect()
    };
    let mut folders: Vec<(String, Vec<LessonFile>)> =
        CONTENT.dirs().map(|dir| (name(dir.path()), files(dir))).collect();
    folders.sort_by(|a, b| a.0.cmp(&b.0));
    folders
}

/// The lessons that come with the program, in their order.
///
/// # Errors
/// None in a program that was tested: all shipped lessons are read by a test.
pub fn all() -> Result<Vec<Lesson>, SceneError> {
    folders().iter().map(|(folder, files)| read(folder, files)).collect()
}
