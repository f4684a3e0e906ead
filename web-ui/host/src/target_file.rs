//! Where results go: a file that appears only when it is complete, or the standard output.

use std::fs;
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};

use crate::{Error, Result};

/// Where a result goes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Target {
    /// Standard output, written as `-`.
    Output,
    /// A file.
    File(PathBuf),
}

impl From<&str> for Target {
    fn from(text: &str) -> Self {
        if text == "-" { Self::Output } else { Self::File(text.into()) }
    }
}

/// A target that is being written. Dropped without [`Writing::finish`] it leaves nothing behind.
#[derive(Debug)]
pub struct Writing {
    place: PathBuf,
    to: To,
}

#[derive(Debug)]
enum To {
    Output(io::Stdout),
    /// Written beside the target and then moved onto it, so that nobody ever meets half a file.
    Beside(tempfile::NamedTempFile),
    /// A device or a pipe, which cannot be replaced.
    Device(fs::File),
}

impl Target {
    /// Begins to write; a file that cannot be written is found out here, before the long work.
    ///
    /// # Errors
    /// The folder is missing or may not be written, or the target is a folder.
    pub fn begin(&self) -> Result<Writing> {
        let Self::File(path) = self else {
            return Ok(Writing { place: "standard output".into(), to: To::Output(io::stdout()) });
        };
        let fail = |e: &io::Error| Error::file("write the file", path, e);
        // A link is kept and what it points to is replaced.
        let place = match fs::canonicalize(path) {
            Ok(place) => place,
            Err(e) if e.kind() == ErrorKind::NotFound => path.clone(),
            Err(e) => return Err(fail(&e)),
        };
        if place.is_dir() {
            return Err(Error::new("cannot write the file: this is a folder", path.display(), "add a file name to it"));
        }
        if place.exists() && !place.is_file() {
            let device = fs::OpenOptions::new().write(true).open(&place).map_err(|e| fail(&e))?;
            return Ok(Writing { place, to: To::Device(device) });
        }
        let folder = place.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
        if !folder.is_dir() {
            let what = "cannot write the file: its folder does not exist";
            return Err(Error::new(what, path.display(), "make the folder, or choose another"));
        }
        let beside = beside(folder).map_err(|e| fail(&e))?;
        Ok(Writing { place, to: To::Beside(beside) })
    }
}

/// A temporary file in a folder, with the rights that a new file usually has.
fn beside(folder: &Path) -> io::Result<tempfile::NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    #[cfg(unix)]
    let rights = <fs::Permissions as std::os::unix::fs::PermissionsExt>::from_mode(0o666);
    #[cfg(unix)]
    builder.permissions(rights);
    builder.prefix(".countlight-").suffix(".part").tempfile_in(folder)
}

impl Writing {
    /// Completes the target: everything is out, and a file stands in its place.
    ///
    /// # Errors
    /// The disk is full, or the file can no longer be put in its place.
    pub fn finish(mut self) -> Result<()> {
        match self.flush() {
            Ok(()) => {}
            Err(e) if self.reader_left(&e) => return Ok(()),
            Err(e) => return Err(Error::file("write the file", &self.place, &e)),
        }
        if let To::Beside(file) = self.to {
            file.persist(&self.place).map_err(|e| Error::file("write the file", &self.place, &e.error))?;
        }
        Ok(())
    }

    /// Whether a failure only means that the reader of the standard output had seen enough (`| head`).
    pub fn reader_left(&self, error: &io::Error) -> bool {
        matches!(self.to, To::Output(_)) && error.kind() == ErrorKind::BrokenPipe
    }

    /// What is being written, for messages.
    pub fn place(&self) -> &Path {
        &self.place
    }
}

impl Write for Writing {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        match &mut self.to {
            To::Output(out) => out.write(bytes),
            To::Beside(file) => file.write(bytes),
            To::Device(file) => file.write(bytes),
        }
    }

    fn flush(&mut self) -> io::Result<()> {
        match &mut self.to {
            To::Output(out) => out.flush(),
            To::Beside(file) => file.flush(),
            To::Device(file) => file.flush(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_appears_only_when_it_is_complete() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("out.csv");
        fs::write(&path, "old").expect("an old file");
        let target = Target::File(path.clone());
        let mut writing = target.begin().expect("a start");
        writing.write_all(b"new").expect("room");
        assert_eq!(fs::read_to_string(&path).expect("the old file"), "old");
        drop(writing);
        assert_eq!(fs::read_dir(folder.path()).expect("the folder").count(), 1, "a part is left over");
        let mut writing = target.begin().expect("a start");
        writing.write_all(b"new").expect("room");
        writing.finish().expect("an end");
        assert_eq!(fs::read_to_string(&path).expect("the new file"), "new");
        assert_eq!(fs::read_dir(folder.path()).expect("the folder").count(), 1);
    }

    #[test]
    fn a_place_that_cannot_be_written_is_refused_at_once() {
        let folder = tempfile::tempdir().expect("a folder");
        let error = Target::File(folder.path().to_owned()).begin().expect_err("a folder");
        assert!(error.what.contains("this is a folder"), "{error}");
        let error = Target::File(folder.path().join("missing/out.csv")).begin().expect_err("no folder");
        assert!(error.place.contains("missing"), "{error}");
    }

    #[cfg(unix)]
    #[test]
    fn links_stay_and_devices_are_not_replaced() {
        let folder = tempfile::tempdir().expect("a folder");
        let (path, link) = (folder.path().join("out.csv"), folder.path().join("link.csv"));
        fs::write(&path, "old").expect("a file");
        std::os::unix::fs::symlink(&path, &link).expect("a link");
        let mut writing = Target::File(link.clone()).begin().expect("a start");
        writing.write_all(b"new").expect("room");
        writing.finish().expect("an end");
        assert!(fs::symlink_metadata(&link).expect("the link").is_symlink());
        assert_eq!(fs::read_to_string(&path).expect("the file"), "new");
        let writing = Target::File("/dev/null".into()).begin().expect("a start");
        assert!(matches!(writing.to, To::Device(_)));
    }
}
