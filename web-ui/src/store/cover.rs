//! The flap over the cause: while it lies there, nothing on the page tells what is wrong, only the signals do.

use super::Store;

/// What is covered.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Cover {
    /// The cause: faults, settings, dirt, the scene's own words.
    pub on: bool,
    /// The words of the broken links of the chain as well.
    pub chain: bool,
}

/// Whether the cause is covered: by the instructor, or because a hidden fault is to be found.
pub fn covered(store: &Store) -> bool {
    store.ui.cover.on || store.lab.0.borrow().hides()
}

/// What is covered on the page now.
pub fn cover_of(store: &Store) -> Cover {
    Cover { on: covered(store), chain: chain_covered(store) }
}

/// Whether the scene's title and text are covered as well. A hidden fault is not the scene's, so it leaves them.
pub fn scene_covered(store: &Store) -> bool {
    store.ui.cover.on
}

/// Whether the words of the broken links are covered.
pub fn chain_covered(store: &Store) -> bool {
    store.ui.cover.chain && covered(store)
}
