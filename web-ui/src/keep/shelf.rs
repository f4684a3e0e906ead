//! Where a browser keeps things between visits: names with texts.

use std::cell::RefCell;
use std::collections::BTreeMap;

/// There is no room left, or nothing may be kept here.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NoRoom;

/// Names with texts.
pub trait Shelf {
    /// The text of a name.
    fn get(&self, name: &str) -> Option<String>;
    /// Puts a text under a name, in place of what was there.
    ///
    /// # Errors
    /// There is no room; what was there stays.
    fn put(&self, name: &str, text: &str) -> Result<(), NoRoom>;
    /// Takes a name away.
    fn remove(&self, name: &str);
    /// All names, in order.
    fn names(&self) -> Vec<String>;
}

/// A shelf for tests, with room for so many letters.
#[derive(Debug, Default)]
pub struct Board {
    texts: RefCell<BTreeMap<String, String>>,
    /// Room, letters; `None` is as much as wanted.
    pub room: Option<usize>,
}

impl Shelf for Board {
    fn get(&self, name: &str) -> Option<String> {
        self.texts.borrow().get(name).cloned()
    }

    fn put(&self, name: &str, text: &str) -> Result<(), NoRoom> {
        let taken: usize = self.texts.borrow().iter().filter(|(n, _)| *n != name).map(|(n, t)| n.len() + t.len()).sum();
        if self.room.is_some_and(|room| taken + name.len() + text.len() > room) {
            return Err(NoRoom);
        }
        self.texts.borrow_mut().insert(name.to_owned(), text.to_owned());
        Ok(())
    }

    fn remove(&self, name: &str) {
        self.texts.borrow_mut().remove(name);
    }

    fn names(&self) -> Vec<String> {
        self.texts.borrow().keys().cloned().collect()
    }
}

impl Shelf for web_sys::Storage {
    fn get(&self, name: &str) -> Option<String> {
        self.get_item(name).ok().flatten()
    }

    fn put(&self, name: &str, text: &str) -> Result<(), NoRoom> {
        self.set_item(name, text).map_err(|_| NoRoom)
    }

    fn remove(&self, name: &str) {
        let _ = self.remove_item(name);
    }

    fn names(&self) -> Vec<String> {
        let count = self.length().unwrap_or(0);
        let mut names: Vec<String> = (0..count).filter_map(|i| self.key(i).ok().flatten()).collect();
        names.sort();
        names
    }
}
