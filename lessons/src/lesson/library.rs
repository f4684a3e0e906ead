//! The lessons that come with the program.

use super::model::Lesson;
use super::read::{LessonFile, read};
use crate::error::SceneError;
use crate::library::files;

/// The folders of the lessons that come with the program, in their order, with their files.
pub fn folders() -> Vec<(String, Vec<LessonFile>)> {
    let mut folders: Vec<(String, Vec<LessonFile>)> = Vec::new();
    for (path, text) in files("content/") {
        let Some((folder, name)) = path.split_once('/') else { continue };
        let file = LessonFile { name: name.to_owned(), bytes: text.as_bytes().to_vec() };
        match folders.last_mut() {
            Some((last, files)) if last == folder => files.push(file),
            _ => folders.push((folder.to_owned(), vec![file])),
        }
    }
    folders
}

/// The lessons that come with the program, in their order.
///
/// # Errors
/// None in a program that was tested: all shipped lessons are read by a test.
pub fn all() -> Result<Vec<Lesson>, SceneError> {
    folders().iter().map(|(folder, files)| read(folder, files)).collect()
}
