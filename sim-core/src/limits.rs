//! The door for parameters whose names say their unit: finite and inside a stated range, or refused with the name of
//! the field. Where the name does not say it, [`crate::numbers::check_field`] tells the unit.

use crate::numbers::{self, NumberError};

pub use crate::numbers::FieldError;

/// Checks that a field is finite and from `low` to `high` (both allowed).
///
/// # Errors
/// [`FieldError`] with the field, the value and the range.
pub fn within(field: &'static str, value: f64, low: f64, high: f64) -> Result<(), FieldError> {
    numbers::check(value, low, high).map(|_| ()).map_err(|error| FieldError { field, unit: "", error })
}

/// Checks that a whole number is from `low` to `high` (both allowed).
///
/// # Errors
/// [`FieldError`] with the field, the value and the range.
pub fn whole_within(field: &'static str, value: u32, low: u32, high: u32) -> Result<(), FieldError> {
    within(field, f64::from(value), f64::from(low), f64::from(high))
}

/// Checks that a whole number is even.
///
/// # Errors
/// [`FieldError`] with the field and the value.
pub fn even(field: &'static str, value: u32) -> Result<(), FieldError> {
    if value.is_multiple_of(2) {
        Ok(())
    } else {
        Err(FieldError { field, unit: "", error: NumberError::Odd(f64::from(value)) })
    }
}

#[cfg(test)]
mod tests {
    use super::{even, whole_within, within};

    #[test]
    fn a_refusal_names_field_value_and_range() {
        let error = within("period_m", -1.0, 4e-6, 2e-3).unwrap_err();
        assert_eq!(error.to_string(), "period_m: -1 is outside the allowed range 0.000004 to 0.002");
        assert!(within("gap_m", f64::NAN, 0.0, 1.0).unwrap_err().to_string().starts_with("gap_m: NaN is not a finite"));
        assert!(whole_within("bits", 17, 3, 16).is_err());
        assert_eq!(whole_within("bits", 16, 3, 16), Ok(()));
        assert_eq!(even("periods", 1001).unwrap_err().to_string(), "periods: 1001 is odd; give an even number");
    }
}
