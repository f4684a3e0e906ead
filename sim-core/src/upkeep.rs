//! What time, dirt and cleaning have left on a bench beside the dirt on its scale: part of the saved state.

use crate::chain::photo::HeadWindow;
use crate::numbers::{NumberError, check};
use crate::surface::Bump;
use serde::{Deserialize, Serialize};

/// Most places where cleaning has lifted the tape; further ones do not count.
pub const LIFTED_MAX: usize = 8;

/// How a bench was kept.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Upkeep {
    /// The run's seed: decides what chance decides in cleaning, and when a loose lamp flickers.
    pub seed: u64,
    /// Cleanings so far: each draws from a seed of its own.
    pub cleanings: u64,
    /// Dirt on the head's window.
    pub window: HeadWindow,
    /// Places where cleaning has lifted the tape or driven a chip under it, at most [`LIFTED_MAX`].
    pub lifted: Vec<Bump>,
    /// Whether the film that a failed housing let in before it was found still belongs to the fault. Once somebody
    /// has wiped, what is left of it is dirt like any other.
    pub film_as_found: bool,
}

impl Default for Upkeep {
    fn default() -> Self {
        Self { seed: 0, cleanings: 0, window: HeadWindow::default(), lifted: Vec::new(), film_as_found: true }
    }
}

impl Upkeep {
    /// A new bench.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self { seed, ..Self::default() }
    }

    /// The seed of the next cleaning.
    pub fn next_cleaning(&mut self) -> u64 {
        self.cleanings += 1;
        // Cleanings are few and seeds have 32 bits: the pair fits in one number.
        (self.cleanings << 32) ^ self.seed
    }

    /// Remembers a place where the tape has come up.
    pub fn lift(&mut self, bump: Bump) {
        if self.lifted.len() < LIFTED_MAX {
            self.lifted.push(bump);
        }
    }

    /// Refuses numbers that cannot be.
    ///
    /// # Errors
    /// The name of the field and what is wrong with it.
    pub fn check(&self) -> Result<(), (&'static str, NumberError)> {
        self.window.check().map_err(|error| ("dirt on the window", error))?;
        check(self.lifted.len() as f64, 0.0, LIFTED_MAX as f64).map_err(|error| ("number of lifted places", error))?;
        self.lifted.iter().try_for_each(|bump| {
            check(bump.at_m, -100.0, 100.0).map_err(|error| ("place of a lifted tape", error))?;
            check(bump.width_m, 1e-4, 1.0).map_err(|error| ("width of a lifted tape", error))?;
            check(bump.rise_m, -3e-3, 3e-3).map(|_| ()).map_err(|error| ("height of a lifted tape", error))
        })
    }
}
