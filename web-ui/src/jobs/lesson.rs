//! The numbers in the words of a lesson: its scenes are run and read.

use lessons::lesson::{LessonFile, Numbers, read};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Numbers of a lesson.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct LessonNumbers {
    /// Id of the lesson.
    pub lesson: String,
    /// Numbers by `scene.name`.
    pub values: BTreeMap<String, f64>,
}

/// Works them out from the files of the lesson's folder, by name and text.
pub fn run(folder: &str, files: Vec<(String, String)>) -> Result<LessonNumbers, String> {
    let file = |(name, text): (String, String)| LessonFile { name, bytes: text.into_bytes() };
    let files: Vec<LessonFile> = files.into_iter().map(file).collect();
    let lesson = read(folder, &files).map_err(|error| error.to_string())?;
    Ok(LessonNumbers { lesson: folder.to_owned(), values: Numbers::of(&lesson).values().clone() })
}
