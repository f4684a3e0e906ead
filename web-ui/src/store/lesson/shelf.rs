//! The lessons that can be opened, with the functions that read and change lessons.

use super::{Learning, LessonDeed};
use crate::later::later;
use lessons::SceneError;
use lessons::lesson::{Lesson, LessonFile, read};
use std::rc::Rc;

/// What reads and changes lessons. It comes with the first of them, and so does not lie in what the bench waits for.
#[derive(Clone, Copy, Debug)]
pub(super) struct Engine {
    read: fn(&str, &[LessonFile]) -> Result<Lesson, SceneError>,
    pub(super) begin: fn(&mut Learning, &str, u32, bool),
    pub(super) in_session: fn(&mut Learning, LessonDeed),
}

/// Lessons with the folders that they were read from.
#[derive(Debug)]
pub struct Shelved {
    /// The lessons, by id.
    pub lessons: Vec<Lesson>,
    /// Their folders with their files.
    pub folders: Vec<(String, Vec<LessonFile>)>,
    engine: Engine,
}

later! {
    /// [`Shelf::shipped`], fetched.
    pub fn shipped_later() -> Result<Shelf, String>, in teach = Shelf::shipped()
}

/// The lessons that can be opened.
#[derive(Clone, Debug)]
pub struct Shelf(pub Rc<Shelved>);

impl PartialEq for Shelf {
    fn eq(&self, other: &Self) -> bool {
        Rc::ptr_eq(&self.0, &other.0)
    }
}

impl Shelf {
    /// The lessons that come with the program.
    ///
    /// # Errors
    /// The first thing that is wrong with them, in words.
    pub fn shipped() -> Result<Self, String> {
        let engine = Engine { read, begin: Learning::begin, in_session: Learning::in_session };
        Self::of(engine, lessons::lesson::folders())
    }

    /// Lessons of these folders.
    fn of(engine: Engine, mut folders: Vec<(String, Vec<LessonFile>)>) -> Result<Self, String> {
        folders.sort_by(|a, b| a.0.cmp(&b.0));
        let lessons = folders.iter().map(|(folder, files)| (engine.read)(folder, files)).collect::<Result<_, _>>();
        Ok(Self(Rc::new(Shelved { lessons: lessons.map_err(|error| error.to_string())?, folders, engine })))
    }

    /// These lessons and one more, which takes the place of one with the same id.
    ///
    /// # Errors
    /// What is wrong with the folder, in words.
    pub fn with(&self, folder: &str, files: Vec<LessonFile>) -> Result<Self, String> {
        let mut folders = self.0.folders.clone();
        folders.retain(|(id, _)| id != folder);
        folders.push((folder.to_owned(), files));
        Self::of(self.0.engine, folders)
    }

    /// What changes them.
    pub(super) fn engine(&self) -> Engine {
        self.0.engine
    }

    /// Names and texts of a lesson's files.
    pub fn files(&self, id: &str) -> Vec<(String, String)> {
        let text = |file: &LessonFile| (file.name.clone(), String::from_utf8_lossy(&file.bytes).into_owned());
        let folder = self.0.folders.iter().find(|(folder, _)| folder == id);
        folder.map_or(Vec::new(), |(_, files)| files.iter().map(text).collect())
    }
}
