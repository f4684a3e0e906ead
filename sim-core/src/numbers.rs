//! Numbers from files, links and people: finite and inside a stated range, or refused with words.

use serde::{Deserialize, Deserializer, Serialize};

mod field;
pub use field::{FieldError, check_field};

/// A finite number from `LO` to `HI` (both allowed), checked where it enters.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Serialize)]
#[serde(transparent)]
pub struct Within<const LO: i32, const HI: i32>(f64);

/// Why a number was refused.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NumberError {
    /// Not a number, or infinite.
    #[error("{0} is not a finite number; write a plain number such as {1}")]
    NotFinite(f64, f64),
    /// Outside the range.
    #[error("{} is outside the allowed range {low} to {high}", short(*value))]
    OutOfRange {
        /// What was given.
        value: f64,
        /// Smallest allowed.
        low: f64,
        /// Largest allowed.
        high: f64,
    },
    /// A whole number that must be even.
    #[error("{0} is odd; give an even number")]
    Odd(f64),
}

/// A number as a person would write it: with a power of ten where its digits would fill the line.
fn short(value: f64) -> String {
    let plain = value == 0.0 || (1e-6..1e12).contains(&value.abs());
    if plain { value.to_string() } else { format!("{value:e}") }
}

impl<const LO: i32, const HI: i32> Within<LO, HI> {
    /// Checks a number.
    ///
    /// # Errors
    /// When it is not finite or lies outside `LO..=HI`.
    pub fn new(value: f64) -> Result<Self, NumberError> {
        check(value, f64::from(LO), f64::from(HI)).map(Self)
    }

    /// The nearest allowed number; NaN becomes `LO`. For values that the program computed itself.
    pub fn nearest(value: f64) -> Self {
        let value = if value.is_nan() { f64::from(LO) } else { value };
        Self(value.clamp(f64::from(LO), f64::from(HI)))
    }

    /// The number.
    pub fn get(self) -> f64 {
        self.0
    }
}

impl<'de, const LO: i32, const HI: i32> Deserialize<'de> for Within<LO, HI> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let value = f64::deserialize(deserializer)?;
        Self::new(value).map_err(serde::de::Error::custom)
    }
}

/// Checks that a number is finite and inside a range.
///
/// # Errors
/// See [`NumberError`].
pub fn check(value: f64, low: f64, high: f64) -> Result<f64, NumberError> {
    if !value.is_finite() {
        return Err(NumberError::NotFinite(value, low));
    }
    if value < low || value > high {
        return Err(NumberError::OutOfRange { value, low, high });
    }
    Ok(value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_outside_its_range_is_refused_with_the_range() {
        let error = Within::<0, 10>::new(11.0).unwrap_err();
        assert_eq!(error.to_string(), "11 is outside the allowed range 0 to 10");
        let huge = Within::<0, 10>::new(-1e300).unwrap_err();
        assert_eq!(huge.to_string(), "-1e300 is outside the allowed range 0 to 10");
        assert!(Within::<0, 10>::new(f64::NAN).is_err());
        assert!(Within::<0, 10>::new(f64::INFINITY).is_err());
        assert_eq!(Within::<0, 10>::new(10.0).unwrap().get(), 10.0);
        assert_eq!(Within::<0, 10>::nearest(f64::NAN).get(), 0.0);
    }
}
