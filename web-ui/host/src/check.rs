//! The verb `check`: reads every scene below a folder and says which are broken.

use std::fmt::Write as _;
use std::fs;
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

use sim_core::scene::Scene;

use crate::workspace::Workspace;
use crate::{Error, Result, scene_file};

/// Checks scene files: prints one line for each, and for a broken one where, why and how to mend it. With `--run` the
/// scenes are run as well, and what they claim of their readings is held against the run.
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  countlight check my-scenes\n\n\
    Ends with code 1 when a scene is broken. Files that are no scenes are named and change nothing.")]
pub struct Args {
    /// A folder, which is looked through with everything below it, or one file. Without it the shipped scenes are
    /// checked.
    #[arg(value_name = "DIR")]
    pub dir: Option<PathBuf>,
    /// Runs each scene and holds its claims against the run.
    #[arg(long)]
    pub run: bool,
}

/// Runs the verb.
///
/// # Errors
/// A scene is broken, there is none, or the folder cannot be read.
pub fn run(args: &Args) -> Result<()> {
    let shipped = Workspace::locate().ok().map(|w| w.root().join("lessons/scenes")).filter(|dir| dir.is_dir());
    let (found, place) = match args.dir.clone().or(shipped) {
        Some(dir) => (Found::below(&dir, args.run)?, dir.display().to_string()),
        None => (Found::embedded(args.run), "the scenes inside this program".to_owned()),
    };
    let told = io::stdout().lock().write_all(found.told().as_bytes());
    if let Err(e) = told
        && e.kind() != io::ErrorKind::BrokenPipe
    {
        return Err(Error::file("print the result", "standard output".as_ref(), &e));
    }
    match (found.scenes.len(), found.broken()) {
        (0, _) => Err(Error::new("there is no scene here", place, "name a folder with scene files (.toml)")),
        (_, 0) => Ok(()),
        (all, broken) => {
            let what = format!("{broken} of {all} {} broken", if broken == 1 { "scenes is" } else { "scenes are" });
            Err(Error::new(what, place, "see above, below each broken scene"))
        }
    }
}

/// What was found.
#[derive(Debug, Default)]
struct Found {
    /// Name of each scene, with its title or what is wrong with it.
    scenes: Vec<(String, Result<String>)>,
    /// Files that are no scenes.
    stray: Vec<String>,
}

impl Found {
    fn embedded(run: bool) -> Self {
        let read = |s: &lessons::Shipped| {
            lessons::read(s.id, s.text).map_err(scene_file::refused).and_then(|scene| borne_out(scene, s.id, run))
        };
        let scenes = lessons::shipped().iter().map(|s| (s.id.to_owned(), read(s))).collect();
        Self { scenes, stray: Vec::new() }
    }

    fn below(dir: &Path, run: bool) -> Result<Self> {
        let mut files = Vec::new();
        gather(dir, &mut files)?;
        files.sort();
        let mut found = Self::default();
        for file in files {
            let name = file.strip_prefix(dir).ok().filter(|p| !p.as_os_str().is_empty()).unwrap_or(&file);
            let name = name.display().to_string();
            if file.extension().is_some_and(|ending| ending == "toml") {
                let read = scene_file::read(&file).and_then(|scene| borne_out(scene, &name, run));
                found.scenes.push((name, read));
            } else {
                found.stray.push(name);
            }
        }
        Ok(found)
    }

    fn broken(&self) -> usize {
        self.scenes.iter().filter(|(_, read)| read.is_err()).count()
    }

    fn told(&self) -> String {
        let mut text = String::new();
        let width = self.scenes.iter().map(|(name, _)| name.chars().count()).max().unwrap_or(0);
        for (name, read) in &self.scenes {
            // Writing to a string cannot fail.
            let _ = match read {
                Ok(title) => writeln!(text, "ok      {name:<width$}  {title}"),
                Err(error) => {
                    let place = error.place.replace('\n', "\n          ");
                    writeln!(
                        text,
                        "broken  {name:<width$}  {}\n    at    {place}\n    mend  {}",
                        error.what, error.mend
                    )
                }
            };
        }
        for name in &self.stray {
            let _ = writeln!(text, "stray   {name:<width$}  not a scene (.toml)");
        }
        let (all, broken, stray) = (self.scenes.len(), self.broken(), self.stray.len());
        let scenes = if all == 1 { "scene" } else { "scenes" };
        let _ = writeln!(text, "{all} {scenes} checked: {} ok, {broken} broken; stray files: {stray}", all - broken);
        text
    }
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
    }
}
