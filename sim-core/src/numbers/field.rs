//! The door of a set of parameters: a refusal names the field, the value and the range.

use super::{NumberError, check};

/// A parameter was refused; the text names field, value, range and unit.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{field}: {error}{}", told_unit(unit))]
pub struct FieldError {
    /// Which one, as in the code and in files.
    pub field: &'static str,
    /// Its unit, "1" for a plain ratio; empty where the name of the field already says it.
    pub unit: &'static str,
    /// What is wrong with it.
    pub error: NumberError,
}

fn told_unit(unit: &str) -> String {
    if unit.is_empty() { String::new() } else { format!(" (unit: {unit})") }
}

/// Checks one field: finite and within `low..=high`, both allowed, in the given unit.
///
/// # Errors
/// When it is not finite or outside the range.
pub fn check_field(
    field: &'static str,
    value: f64,
    (low, high): (f64, f64),
    unit: &'static str,
) -> Result<(), FieldError> {
    match check(value, low, high) {
        Ok(_) => Ok(()),
        Err(error) => Err(FieldError { field, unit, error }),
    }
}

#[cfg(test)]
mod tests {
    use super::check_field;

    #[test]
    fn a_refused_field_is_told_with_its_value_and_range() {
        let told = |value| check_field("mains_hz", value, (40.0, 70.0), "Hz").map_err(|e| e.to_string());
        assert_eq!(told(50.0), Ok(()));
        assert_eq!(told(-3.0).unwrap_err(), "mains_hz: -3 is outside the allowed range 40 to 70 (unit: Hz)");
        assert_eq!(
            told(f64::NAN).unwrap_err(),
            "mains_hz: NaN is not a finite number; write a plain number such as 40 (unit: Hz)"
        );
    }
}
