//! What is the matter with the head itself: it stays with the head when the head moves.

use crate::numbers::{NumberError, check};
use crate::surface::Film;
use serde::{Deserialize, Serialize};

/// What is the matter with one field of the head itself; stays with the head when it moves.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct FieldCondition {
    /// Factor on the periodic part: film on the head's window, weak photodiode, 0 to 1.
    pub signal: f64,
    /// Factor on the mean light, 0 to 1; equal to `signal` for pure absorption.
    pub mean: f64,
    /// Misphase of this field's mask, turns, 0 to 0.02.
    pub misphase_turns: f64,
    /// Current from ambient light, A.
    pub ambient_a: f64,
}

impl FieldCondition {
    /// A healthy field in the dark.
    pub const HEALTHY: Self = Self { signal: 1.0, mean: 1.0, misphase_turns: 0.0, ambient_a: 0.0 };
}

/// Conditions of the four fields; two-window heads use the first two.
pub type HeadCondition = [FieldCondition; 4];

/// A healthy head.
pub const HEALTHY_HEAD: HeadCondition = [FieldCondition::HEALTHY; 4];

/// A film on the window of the head: a constant loss that does not move with the scale. With
/// different weights it is an imbalance between the fields that no travel and no cleaning of the
/// scale changes. Usual values: depth 0.1 to 0.7, scattered share 0.1 to 0.4, `kappa_s` 0.4 (own).
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WindowFilm {
    /// The film where the weight is 1.
    pub film: Film,
    /// Thickness of the film before each field, 0 (clean) to 1.
    pub weights: [f64; 4],
}

/// Which number of a window film is wrong.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("window film: {field}: {error}")]
pub struct WindowFilmError {
    /// The number.
    pub field: &'static str,
    /// What is wrong with it.
    pub error: NumberError,
}

impl WindowFilm {
    /// The same film before every field.
    #[must_use]
    pub const fn even(film: Film) -> Self {
        Self { film, weights: [1.0; 4] }
    }

    /// Refuses numbers that are not finite or out of their range.
    ///
    /// # Errors
    /// The first wrong number with its range.
    pub fn check(&self) -> Result<(), WindowFilmError> {
        let range =
            |field, value, high| check(value, 0.0, high).map(|_| ()).map_err(|error| WindowFilmError { field, error });
        range("mu_t", self.film.mu_t, 20.0)?;
        range("scatter", self.film.scatter, 1.0)?;
        range("kappa_s", self.film.kappa_s, 1.0)?;
        self.weights.iter().try_for_each(|weight| range("weights", *weight, 1.0))
    }

    /// The head behind this film: factors of the film on top of the condition that the head is in.
    /// `passes` is how often the light crosses the window on its way, 1 or 2.
    #[must_use]
    pub fn over(&self, mut head: HeadCondition, passes: u8) -> HeadCondition {
        for (field, weight) in head.iter_mut().zip(self.weights) {
            let (tau, eta) = self.film.scaled(weight).direct_and_scattered(passes);
            field.signal *= tau;
            field.mean *= tau + eta;
        }
        head
    }
}

#[cfg(test)]
mod tests {
    use super::{HEALTHY_HEAD, WindowFilm};
    use crate::surface::Film;

    // Source: V25 of the validation table, Beer-Lambert and the unscattered share, two passes.
    #[test]
    fn a_film_on_the_window_acts_like_one_on_the_scale() {
        let film = Film { mu_t: 0.05, scatter: 0.2, kappa_s: 0.4 };
        let head = WindowFilm { film, weights: [1.0, 0.0, 0.5, 1.0] }.over(HEALTHY_HEAD, 2);
        assert!((head[0].signal / 0.579_096 - 1.0).abs() < 1e-6);
        assert!((head[0].mean / 0.709_393 - 1.0).abs() < 1e-6);
        assert_eq!(head[1], HEALTHY_HEAD[1]);
        assert!(head[0].signal < head[2].signal && head[2].signal < 1.0);
        // Two films one after the other multiply.
        let twice = WindowFilm::even(film).over(head, 2);
        assert!((twice[0].signal / (0.579_096 * 0.579_096) - 1.0).abs() < 2e-6);
    }

    #[test]
    fn wrong_numbers_are_refused_by_name() {
        let mut window = WindowFilm::even(Film::FINGERPRINT);
        assert_eq!(window.check(), Ok(()));
        window.weights[2] = 1.5;
        let error = window.check().expect_err("too thick");
        assert_eq!(error.to_string(), "window film: weights: 1.5 is outside the allowed range 0 to 1");
        assert!(WindowFilm::even(Film { mu_t: f64::NAN, ..Film::CLEAR }).check().is_err());
    }
}
