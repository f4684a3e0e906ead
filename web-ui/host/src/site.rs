//! The finished page as a set of files in memory.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use crate::{Error, Result};

/// Files by their address below the page, such as `fonts/text.woff2`.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Site {
    files: BTreeMap<String, Vec<u8>>,
}

impl Site {
    /// Reads every file below `folder`.
    ///
    /// # Errors
    /// A file cannot be read, or its name needs escaping in an address.
    pub fn read(folder: &Path) -> Result<Self> {
        let mut site = Self::default();
        site.read_below(folder, "")?;
        Ok(site)
    }

    fn read_below(&mut self, folder: &Path, prefix: &str) -> Result<()> {
        let fail = |e: &std::io::Error| Error::file("read the page's files", folder, e);
        for entry in fs::read_dir(folder).map_err(|e| fail(&e))? {
            let path = entry.map_err(|e| fail(&e))?.path();
            let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
            if !plain(&name) {
                return Err(Error::new(
                    "a file of the page has a name that needs escaping in an address",
                    path.display(),
                    "rename it: letters, digits, `-`, `_` and `.` only, and no leading dot",
                ));
            }
            let address = format!("{prefix}{name}");
            if path.is_dir() {
                self.read_below(&path, &format!("{address}/"))?;
            } else {
                let bytes = fs::read(&path).map_err(|e| Error::file("read a file of the page", &path, &e))?;
                self.files.insert(address, bytes);
            }
        }
        Ok(())
    }

    /// Writes every file below `folder`; other files there stay. A file that is the same already is not touched.
    ///
    /// # Errors
    /// A file or folder cannot be written.
    pub fn write(&self, folder: &Path) -> Result<()> {
        for (address, bytes) in &self.files {
            let path = folder.join(address);
            if fs::read(&path).is_ok_and(|old| &old == bytes) {
                continue;
            }
            let parent = path.parent().unwrap_or(folder);
            fs::create_dir_all(parent).map_err(|e| Error::file("make a folder", parent, &e))?;
            fs::write(&path, bytes).map_err(|e| Error::file("write a file", &path, &e))?;
        }
        Ok(())
    }

    /// Adds a file.
    ///
    /// # Errors
    /// The address is taken.
    pub fn add(&mut self, address: &str, bytes: Vec<u8>) -> Result<()> {
        if self.files.contains_key(address) {
            return Err(Error::new(
                "a static file has the name of a generated one",
                format!("web-ui/assets/{address}"),
                "rename the static file",
            ));
        }
        self.files.insert(address.to_owned(), bytes);
        Ok(())
    }

    /// Puts other bytes in place of a file's, or adds it.
    pub fn replace(&mut self, address: &str, bytes: Vec<u8>) {
        self.files.insert(address.to_owned(), bytes);
    }

    /// Takes a file out.
    pub fn remove(&mut self, address: &str) {
        self.files.remove(address);
    }

    /// The bytes of a file.
    pub fn get(&self, address: &str) -> Option<&[u8]> {
        self.files.get(address).map(Vec::as_slice)
    }

    /// All files in the order of their addresses.
    pub fn iter(&self) -> impl Iterator<Item = (&str, &[u8])> {
        self.files.iter().map(|(address, bytes)| (address.as_str(), bytes.as_slice()))
    }

    /// The bytes of all files together.
    pub fn size(&self) -> usize {
        self.files.values().map(Vec::len).sum()
    }
}

/// Whether a name is its own address.
fn plain(name: &str) -> bool {
    !name.starts_with('.') && name.bytes().all(|b| b.is_ascii_alphanumeric() || b"-_.".contains(&b))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn files_come_back_with_their_folders() {
        let mut site = Site::default();
        site.add("index.html", b"<p>".to_vec()).unwrap();
        site.add("fonts/text.woff2", vec![0, 1]).unwrap();
        let folder = tempfile::tempdir().unwrap();
        site.write(folder.path()).unwrap();
        assert_eq!(Site::read(folder.path()).unwrap(), site);
        assert_eq!(site.size(), 5);
    }

    #[test]
    fn other_files_in_the_folder_stay() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("mine.txt"), "kept").unwrap();
        let mut site = Site::default();
        site.add("index.html", vec![]).unwrap();
        site.write(folder.path()).unwrap();
        assert_eq!(fs::read_to_string(folder.path().join("mine.txt")).unwrap(), "kept");
    }

    #[test]
    fn names_that_need_escaping_are_refused() {
        for name in ["a b.css", "ü.css", ".hidden", "a%2f.css"] {
            let folder = tempfile::tempdir().unwrap();
            fs::write(folder.path().join(name), "").unwrap();
            let error = Site::read(folder.path()).unwrap_err();
            assert!(error.place.ends_with(name), "{error}");
        }
    }

    #[test]
    fn a_generated_name_cannot_be_taken() {
        let mut site = Site::default();
        site.add("app.js", vec![]).unwrap();
        assert!(site.add("app.js", vec![]).is_err());
    }
}
