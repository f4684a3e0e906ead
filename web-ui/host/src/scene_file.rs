//! Finding and reading the scene that a person named on the command line.

use std::fs::File;
use std::io::Read;
use std::path::Path;

use lessons::{LARGEST_FILE, SceneError};
use sim_core::scene::Scene;

use crate::{Error, Result};

/// Reads the scene of a file, or the shipped one of that id.
///
/// # Errors
/// There is neither, or the file is no scene.
pub fn find(name: &str) -> Result<Scene> {
    let path = Path::new(name);
    if path.is_file() || (path.exists() && !path.is_dir()) {
        return read(path);
    }
    if let Some(shipped) = lessons::shipped_by_name(name) {
        return lessons::read(shipped.id, shipped.text).map_err(refused);
    }
    if path.is_dir() {
        let mend = "name one file in it; `countlight check` looks through a whole folder";
        return Err(Error::new("this is a folder, not a scene", name, mend));
    }
    let ids: Vec<&str> = lessons::shipped().iter().map(|scene| scene.id).collect();
    Err(Error::new(
        "there is no such file and no shipped scene of this name",
        name,
        format!("check the path, or name one of the shipped scenes: {}", ids.join(", ")),
    ))
}

/// Reads a scene file. No more than a scene's worth of it is taken in, whatever its size.
///
/// # Errors
/// It cannot be read or is no scene.
pub fn read(path: &Path) -> Result<Scene> {
    let fail = |e: &std::io::Error| Error::file("read the scene", path, e);
    let name = path.display().to_string();
    let mut file = File::open(path).map_err(|e| fail(&e))?;
    let known_size = file.metadata().map_err(|e| fail(&e))?.len();
    if known_size > LARGEST_FILE as u64 {
        return Err(refused(SceneError::too_large(&name, known_size)));
    }
    let mut bytes = Vec::new();
    file.by_ref().take(LARGEST_FILE as u64 + 1).read_to_end(&mut bytes).map_err(|e| fail(&e))?;
    lessons::read_bytes(&name, &bytes).map_err(refused)
}

/// The reader's refusal as an error of this program: the quoted line goes under the place.
pub fn refused(error: SceneError) -> Error {
    let place = format!("{}\n{}", error.place(), error.quote).trim_end().to_owned();
    Error::new(error.what, place, error.mend)
}
