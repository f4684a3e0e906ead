//! Where things are: the source folder and the folders below `target/` that the program writes.

use std::fs::{self, File};
use std::path::{Path, PathBuf};

use crate::progress::Progress;
use crate::{Error, Result};

/// The source folder from which the page is built.
#[derive(Debug, Clone)]
pub struct Workspace {
    root: PathBuf,
}

impl Workspace {
    /// The folder this program was compiled from.
    ///
    /// # Errors
    /// The folder has been moved or deleted since.
    pub fn locate() -> Result<Self> {
        let root = Path::new(env!("CARGO_MANIFEST_DIR")).ancestors().nth(2).map(Path::to_path_buf).unwrap_or_default();
        let manifest = root.join("Cargo.toml");
        if manifest.is_file() {
            return Ok(Self { root });
        }
        Err(Error::new(
            "the source folder this program was compiled from is gone",
            manifest.display(),
            "run `cargo run` in the folder where the sources are now",
        ))
    }

    /// The top folder, the one with `Cargo.lock`.
    pub fn root(&self) -> &Path {
        &self.root
    }

    /// The page's static files, copied as they are.
    pub fn assets(&self) -> PathBuf {
        self.root.join("web-ui/assets")
    }

    /// The package whose folders `scenes` and `content` hold what authors write.
    pub fn lessons(&self) -> PathBuf {
        self.root.join("lessons")
    }

    /// The nested cargo's own target folder: sharing the outer one would make the two wait for each other's lock.
    pub fn wasm_target(&self) -> PathBuf {
        self.root.join("target/wasm")
    }

    /// The folder with the finished page, as it is served.
    pub fn dist(&self) -> PathBuf {
        self.root.join("target/dist")
    }

    /// Holds the build lock until the returned file is dropped, so that programs running at once build one by one.
    ///
    /// # Errors
    /// The lock file cannot be created or locked.
    pub fn lock_build(&self, progress: Progress) -> Result<File> {
        let path = self.wasm_target().join("build.lock");
        let fail = |cause: &std::io::Error| Error::file("take the build lock", &path, cause);
        fs::create_dir_all(self.wasm_target()).map_err(|e| fail(&e))?;
        let file = File::create(&path).map_err(|e| fail(&e))?;
        if file.try_lock().is_err() {
            let step = progress.step("waiting for another build of the page to end");
            file.lock().map_err(|e| fail(&e))?;
            step.done();
        }
        Ok(file)
    }
}
