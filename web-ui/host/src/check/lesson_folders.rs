//! Lessons below a folder: read, put together and, if wanted, proved.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};

use lessons::lesson::{Lesson, LessonFile, course, folders, read, trial};

use super::reading::Reading;
use crate::{Error, Result, scene_file};

/// Lessons that were found.
#[derive(Debug, Default)]
pub struct Lessons {
    /// Name of each folder, with its lesson or all that is wrong with it.
    pub found: Vec<(String, std::result::Result<Lesson, Vec<Error>>)>,
}

impl Lessons {
    /// The lessons inside this program.
    pub fn embedded(run: bool) -> Self {
        let found =
            folders().iter().map(|(name, files)| (name.clone(), one(Path::new(""), name, files, run))).collect();
        Self { found }.put_together()
    }

    /// Takes the files of lesson folders out of a list: a folder with a Markdown file in it is one.
    ///
    /// # Errors
    /// A file cannot be read.
    pub fn take(files: &mut Vec<PathBuf>, run: bool) -> Result<Self> {
        let mut folders: BTreeMap<PathBuf, Vec<LessonFile>> = BTreeMap::new();
        for file in files.iter().filter(|f| ends(f, "md")) {
            folders.entry(file.parent().unwrap_or(Path::new("")).to_owned()).or_default();
        }
        let mut rest = Vec::new();
        for file in std::mem::take(files) {
            let parent = file.parent().unwrap_or(Path::new(""));
            match (folders.get_mut(parent), file.file_name().and_then(|n| n.to_str())) {
                (Some(folder), Some(name)) if ends(&file, "md") || ends(&file, "toml") => {
                    let bytes = fs::read(&file).map_err(|e| Error::file("read the lesson", &file, &e))?;
                    folder.push(LessonFile { name: name.to_owned(), bytes });
                }
                _ => rest.push(file),
            }
        }
        *files = rest;
        let mut lessons = Self::default();
        for (path, files) in folders {
            let full = path.canonicalize().unwrap_or_else(|_| path.clone());
            let name = full.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
            let above = path.parent().unwrap_or(Path::new("")).to_owned();
            lessons.found.push((name.clone(), one(&above, &name, &files, run)));
        }
        lessons.found.sort_by(|a, b| a.0.cmp(&b.0));
        Ok(lessons.put_together())
    }

    /// How many are broken.
    pub fn broken(&self) -> usize {
        self.found.iter().filter(|(_, lesson)| lesson.is_err()).count()
    }

    /// What does not fit between the lessons makes the later one broken.
    fn put_together(mut self) -> Self {
        let sound: Vec<Lesson> = self.found.iter().filter_map(|(_, l)| l.as_ref().ok().cloned()).collect();
        // A lesson that cannot be read, or that was not looked at, may teach what another needs.
        if sound.len() < self.found.len().max(2) {
            return self;
        }
        for (id, what, mend) in course::misfits(&sound) {
            if let Some((_, lesson)) = self.found.iter_mut().find(|(name, _)| *name == id) {
                let error = Error::new(what, format!("{id}/lesson.en.md"), mend);
                match lesson {
                    Ok(_) => *lesson = Err(vec![error]),
                    Err(errors) => errors.push(error),
                }
            }
        }
        self
    }

    /// What was found, and the table of what is covered.
    pub fn told(&self) -> String {
        let mut text = String::new();
        let width = self.found.iter().map(|(name, _)| name.chars().count()).max().unwrap_or(0);
        for (name, lesson) in &self.found {
            // Writing to a string cannot fail.
            match lesson {
                Ok(lesson) => {
                    let (tasks, items, scenes) = (lesson.tasks.len(), lesson.exits.len(), lesson.scenes.len());
                    let (title, grade) = (lesson.title(), Reading::of(lesson).grade());
                    let _ = writeln!(
                        text,
                        "ok      {name:<width$}  {title} ({tasks} tasks, {items} items, {scenes} scenes, reads at grade {grade:.0})"
                    );
                }
                Err(errors) => {
                    for error in errors {
                        let place = error.place.replace('\n', "\n          ");
                        let _ = writeln!(
                            text,
                            "broken  {name:<width$}  {}\n    at    {place}\n    mend  {}",
                            error.what, error.mend
                        );
                    }
                }
            }
        }
        let sound: Vec<Lesson> = self.found.iter().filter_map(|(_, l)| l.as_ref().ok().cloned()).collect();
        let _ = writeln!(text, "\n{}", course::table(&sound));
        let (all, broken) = (self.found.len(), self.broken());
        let noun = if all == 1 { "lesson" } else { "lessons" };
        let _ = writeln!(text, "{all} {noun} checked: {} ok, {broken} broken", all - broken);
        text
    }
}

fn ends(file: &Path, ending: &str) -> bool {
    file.extension().is_some_and(|e| e == ending)
}

fn one(above: &Path, name: &str, files: &[LessonFile], run: bool) -> std::result::Result<Lesson, Vec<Error>> {
    let full = |file: &str| above.join(file).display().to_string();
    let lesson = read(name, files).map_err(|mut error| {
        error.file = full(&error.file);
        vec![scene_file::refused(error)]
    })?;
    let unproven = if run { trial::unproven(&lesson) } else { Vec::new() };
    if unproven.is_empty() {
        return Ok(lesson);
    }
    Err(unproven.into_iter().map(|u| Error::new(u.what, full(&format!("{name}: {}", u.part)), u.mend)).collect())
}
