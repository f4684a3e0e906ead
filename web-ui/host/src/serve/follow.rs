//! The two files that change while the page is served: scenes and lessons as an author has left them, and the offline
//! script that names their hash.

use std::path::PathBuf;
use std::sync::{Mutex, PoisonError};

use super::answer::Entry;
use crate::site::Site;
use crate::{Result, content, offline};

/// The page and the folder that it follows.
#[derive(Debug)]
pub(super) struct Follow {
    /// The package `lessons`.
    folder: PathBuf,
    made: Mutex<Made>,
}

/// The page as it was made last, and the two files of it.
#[derive(Debug)]
struct Made {
    site: Site,
    entries: Option<[Entry; 2]>,
}

/// Addresses of the two files, in the order of [`Made::entries`].
const ADDRESSES: [&str; 2] = [content::ADDRESS, offline::ADDRESS];

impl Follow {
    /// Follows `folder` from the page as it was built.
    pub fn new(site: &Site, folder: PathBuf) -> Self {
        Self { folder, made: Mutex::new(Made { site: site.clone(), entries: None }) }
    }

    /// The file at a path as it must be sent now; `None` if it is not one of those that change.
    pub fn now(&self, path: &str) -> Option<Result<Entry>> {
        let which = ADDRESSES.iter().position(|address| path.strip_prefix('/') == Some(*address))?;
        // Whatever a request that broke off has left is made anew.
        let mut made = self.made.lock().unwrap_or_else(PoisonError::into_inner);
        Some(made.follow(&self.folder).map(|entries| entries[which].clone()))
    }
}

impl Made {
    fn follow(&mut self, folder: &std::path::Path) -> Result<&[Entry; 2]> {
        let packed = content::pack(folder)?;
        if self.site.get(content::ADDRESS) != Some(&packed) {
            self.site.replace(content::ADDRESS, packed);
            self.site.remove(offline::ADDRESS);
            offline::add(&mut self.site)?;
            self.entries = None;
        }
        let entry = |address: &'static str| Entry::new(address, self.site.get(address).unwrap_or_default());
        Ok(self.entries.get_or_insert_with(|| ADDRESSES.map(entry)))
    }
}
