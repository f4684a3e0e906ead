//! How a reading is reported: instruments and people confuse an outcome with another now and then.

use crate::check::Check;

/// Chance of each outcome that is not the one of the bench (own value; with it nothing is ever impossible).
pub const FLOOR: f64 = 0.03;

/// The chance that a check is reported as one outcome when the bench gives another.
#[must_use]
pub fn chance(check: Check, reported: u8, given: u8) -> f64 {
    let others = check.row().outcomes.len().saturating_sub(1) as f64;
    if reported == given { 1.0 - FLOOR * others } else { FLOOR }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_chances_of_all_reports_add_up_to_one() {
        for check in Check::all() {
            let n = check.row().outcomes.len() as u8;
            for given in 0..n {
                let sum: f64 = (0..n).map(|reported| chance(check, reported, given)).sum();
                assert!((sum - 1.0).abs() < 1e-12 && chance(check, given, given) > 0.5, "{check:?}: {sum}");
            }
        }
    }
}
