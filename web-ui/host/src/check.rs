//! The verb `check`: reads every scene and every lesson below a folder and says which are broken.

mod lesson_folders;
mod reading;

use std::fmt::Write as _;
use std::fs;
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

use lessons::dictionary::Dictionary;
use sim_core::scene::Scene;

use self::lesson_folders::Lessons;
use crate::workspace::Workspace;
use crate::{Error, Result, scene_file};

/// Checks scenes and lessons: prints one line for each, and for a broken one where, why and how to mend it; of lessons
/// also which competencies they teach and check. With `--run` scenes are run as well, and what they claim of their
/// readings is held against the run; the scripts of a lesson's tasks must meet their goals, or must not.
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  countlight check my-scenes\n  countlight check lessons/content --run\n\n\
    A folder with a lesson.en.md in it is a lesson, with the scenes beside it; a file in a folder words holds the words of\n\
    the page in another language; one in a folder callouts is a case of a call-out.\n\
    Ends with code 1 when a scene or a lesson is broken. Other files are named and change nothing.")]
pub struct Args {
    /// A folder, which is looked through with everything below it, or one file. Without it the shipped scenes and
    /// lessons are checked.
    #[arg(value_name = "DIR")]
    pub dir: Option<PathBuf>,
    /// Runs each scene and each script, and holds claims and goals against the runs.
    #[arg(long)]
    pub run: bool,
}

/// Runs the verb.
///
/// # Errors
/// A scene is broken, there is none, or the folder cannot be read.
pub fn run(args: &Args) -> Result<()> {
    let shipped = || Workspace::locate().ok().map(|w| w.root().join("lessons")).filter(|dir| dir.is_dir());
    let (found, place) = match (&args.dir, shipped()) {
        (Some(dir), _) => (Found::below(std::slice::from_ref(dir), args.run)?, dir.display().to_string()),
        (None, Some(home)) => {
            let folders = ["scenes", "content", "words", "callouts"].map(|folder| home.join(folder));
            (Found::below(&folders, args.run)?, home.display().to_string())
        }
        (None, None) => (Found::embedded(args.run), "what is inside this program".to_owned()),
    };
    let told = io::stdout().lock().write_all(found.told().as_bytes());
    if let Err(e) = told
        && e.kind() != io::ErrorKind::BrokenPipe
    {
        return Err(Error::file("print the result", "standard output".as_ref(), &e));
    }
    let broken = |broken: usize, all: usize, of: &str| {
        let what = format!("{broken} of {all} {of}s {} broken", if broken == 1 { "is" } else { "are" });
        Err(Error::new(what, &place, format!("see above, below each broken {of}")))
    };
    let (scenes, lessons) = (found.scenes.len(), found.lessons.found.len());
    match (found.broken(), found.lessons.broken()) {
        _ if broken_in(&found.words) > 0 => broken(broken_in(&found.words), found.words.len(), "words file"),
        _ if broken_in(&found.cases) > 0 => broken(broken_in(&found.cases), found.cases.len(), "call-out file"),
        _ if scenes + lessons == 0 && found.words.len() + found.cases.len() > 0 => Ok(()),
        _ if scenes + lessons == 0 => {
            let mend = "name a folder with scene files (.toml), or with lessons (lesson.en.md)";
            Err(Error::new("there is no scene and no lesson here", place, mend))
        }
        (0, 0) => Ok(()),
        (0, of_lessons) => broken(of_lessons, lessons, "lesson"),
        (of_scenes, _) => broken(of_scenes, scenes, "scene"),
    }
}

/// What was found.
#[derive(Debug, Default)]
struct Found {
    /// Name of each scene, with its title or what is wrong with it.
    scenes: Vec<(String, Result<String>)>,
    /// Files with the words of the page in another language, in a folder `words`: how many, or what is wrong.
    words: Vec<(String, Result<String>)>,
    /// Cases of call-outs in a folder `callouts`, and the tables of outcomes below it: what each is, or what is wrong.
    cases: Vec<(String, Result<String>)>,
    /// Files that are no scenes.
    stray: Vec<String>,
    /// Lessons, with the scenes beside them.
    lessons: Lessons,
}

impl Found {
    fn embedded(run: bool) -> Self {
        let read = |s: &lessons::Shipped| {
            lessons::read(s.id, s.text).map_err(scene_file::refused).and_then(|scene| borne_out(scene, s.id, run))
        };
        let scenes = lessons::shipped().iter().map(|s| (s.id.to_owned(), read(s))).collect();
        Self { scenes, lessons: Lessons::embedded(run), ..Self::default() }
    }

    fn below(dirs: &[PathBuf], run: bool) -> Result<Self> {
        let mut files = Vec::new();
        for dir in dirs {
            gather(dir, &mut files)?;
        }
        files.sort();
        let mut found = Self { lessons: Lessons::take(&mut files, run)?, ..Self::default() };
        for file in files {
            let name = dirs.iter().find_map(|dir| file.strip_prefix(dir).ok()).filter(|p| !p.as_os_str().is_empty());
            let name = name.unwrap_or(&file);
            let name = name.display().to_string();
            let among = |folder: &str| file.parent().is_some_and(|parent| parent.ends_with(folder));
            if file.extension().is_some_and(|ending| ending == "txt") && among("outcomes") {
                found.cases.push((name, outcomes(&file)));
            } else if file.extension().is_some_and(|ending| ending == "toml") {
                if among("callouts") {
                    found.cases.push((name, case(&file)));
                } else if among("words") {
                    found.words.push((name, words(&file)));
                } else {
                    let read = scene_file::read(&file).and_then(|scene| borne_out(scene, &name, run));
                    found.scenes.push((name, read));
                }
            } else {
                found.stray.push(name);
            }
        }
        Ok(found)
    }

    fn broken(&self) -> usize {
        broken_in(&self.scenes)
    }

    fn told(&self) -> String {
        let mut text = String::new();
        let width = self.scenes.iter().map(|(name, _)| name.chars().count()).max().unwrap_or(0);
        tell(&mut text, &self.scenes, width);
        tell(&mut text, &self.words, width);
        tell(&mut text, &self.cases, width);
        for name in &self.stray {
            let _ = writeln!(text, "stray   {name:<width$}  not a scene (.toml)");
        }
        if !self.lessons.found.is_empty() {
            text.push_str(&self.lessons.told());
            if self.scenes.is_empty() && self.words.is_empty() && self.cases.is_empty() && self.stray.is_empty() {
                return text;
            }
        }
        if !self.words.is_empty() {
            let (all, broken) = (self.words.len(), broken_in(&self.words));
            let files = if all == 1 { "file" } else { "files" };
            let _ = writeln!(text, "{all} {files} of words checked: {} ok, {broken} broken", all - broken);
        }
        if !self.cases.is_empty() {
            let (all, broken) = (self.cases.len(), broken_in(&self.cases));
            let files = if all == 1 { "file" } else { "files" };
            let _ = writeln!(text, "{all} {files} of call-outs checked: {} ok, {broken} broken", all - broken);
        }
        if self.scenes.is_empty() && self.stray.is_empty() {
            return text;
        }
        let (all, broken, stray) = (self.scenes.len(), self.broken(), self.stray.len());
        let scenes = if all == 1 { "scene" } else { "scenes" };
        let _ = writeln!(text, "{all} {scenes} checked: {} ok, {broken} broken; stray files: {stray}", all - broken);
        text
    }
}

fn broken_in(checked: &[(String, Result<String>)]) -> usize {
    checked.iter().filter(|(_, read)| read.is_err()).count()
}

/// One line for each file, and for a broken one where, why and how to mend it.
fn tell(text: &mut String, checked: &[(String, Result<String>)], width: usize) {
    for (name, read) in checked {
        // Writing to a string cannot fail.
        let _ = match read {
            Ok(title) => writeln!(text, "ok      {name:<width$}  {title}"),
            Err(error) => {
                let place = error.place.replace('\n', "\n          ");
                writeln!(text, "broken  {name:<width$}  {}\n    at    {place}\n    mend  {}", error.what, error.mend)
            }
        };
    }
}

/// How many lines a file of words has.
fn words(file: &Path) -> Result<String> {
    let text = text_of(file, "read the words")?;
    let read = Dictionary::read(&file.display().to_string(), &text).map_err(scene_file::refused)?;
    Ok(format!("{} texts", read.len()))
}

/// Text of a file; `what` is what it is read for.
fn text_of(file: &Path, what: &str) -> Result<String> {
    let bytes = fs::read(file).map_err(|e| Error::file(what, file, &e))?;
    String::from_utf8(bytes)
        .map_err(|_| Error::new("this is not text in UTF-8", file.display(), "save it again as UTF-8 text"))
}

/// A case with its level and what its par path takes.
fn case(file: &Path) -> Result<String> {
    let text = text_of(file, "read the case")?;
    let case = lessons::callout::read(&file.display().to_string(), &text).map_err(scene_file::refused)?;
    Ok(format!("{} (level {}, par {} min)", case.title, case.level, case.par_minutes()))
}

/// How much a table of outcomes holds.
fn outcomes(file: &Path) -> Result<String> {
    let text = text_of(file, "read the table of outcomes")?;
    let refused = |why: diagnosis::table::TableError| {
        let what = format!("line {}: {}", why.line, why.what);
        Error::new(what, file.display(), "make the table again: cargo run --release -p diagnosis --example outcomes")
    };
    let table = diagnosis::Table::read(&text).map_err(refused)?;
    Ok(format!("{} causes, {} forms, {} checks", table.causes().len(), table.rows.len(), table.checks.len()))
}

/// The title of a scene, if its run bears out what it claims; without `run` it is taken at its word.
fn borne_out(scene: Scene, place: &str, run: bool) -> Result<String> {
    let unmet = if run { lessons::unmet(&scene) } else { Vec::new() };
    if unmet.is_empty() {
        return Ok(scene.title);
    }
    let what: Vec<String> = unmet.iter().map(ToString::to_string).collect();
    Err(Error::new(
        what.join("; "),
        place,
        "look at the run with `countlight trace`, then correct the scene or the claim",
    ))
}

/// All files below a folder. Folders that are links are not entered, so that no circle can be walked.
fn gather(place: &Path, files: &mut Vec<PathBuf>) -> Result<()> {
    if place.is_file() {
        files.push(place.to_owned());
        return Ok(());
    }
    let fail = |e: &io::Error| Error::file("look through the folder", place, e);
    for entry in fs::read_dir(place).map_err(|e| fail(&e))? {
        let entry = entry.map_err(|e| fail(&e))?;
        if entry.file_type().map_err(|e| fail(&e))?.is_dir() {
            gather(&entry.path(), files)?;
        } else {
            files.push(entry.path());
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_embedded_scenes_are_all_right() {
        let found = Found::embedded(false);
        assert_eq!((found.broken(), found.scenes.len()), (0, lessons::shipped().len()), "{}", found.told());
        assert_eq!(found.lessons.broken(), 0, "{}", found.told());
        assert!(!found.lessons.found.is_empty());
    }
}
