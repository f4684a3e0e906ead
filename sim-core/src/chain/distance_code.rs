//! Distance-coded reference marks: the absolute place from any two neighbouring marks.
//!
//! Fixed marks lie at every `N_D` periods, coded marks between them, each a step further from
//! its fixed neighbour than the one before. The distance of two neighbours therefore tells
//! which two they are. The scheme is common practice; the numbering is our own: fixed marks
//! `F_j` at `j N_D`, coded marks `C_j` at `j N_D + N_D/2 + j m`, `j` from 1.
//!
//! Two marks are believed at once, and that is the catch: a period lost between them names
//! another pair. With a coding step of one period it always names a neighbouring pair, and
//! the place is off by `N_D` periods without a word; with two it is found at once. The third
//! mark finds it in both cases.

use crate::limits::{self, FieldError};
use crate::num::math::nearest;
use serde::{Deserialize, Serialize};
use thiserror::Error;

/// Farthest from a whole number that a distance in periods may be.
const TOLERANCE: f64 = 0.25;

/// Where the marks of a distance-coded scale are.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DistancePlan {
    /// Basic spacing `N_D` of the fixed marks, periods, even, 10 to 20 000.
    pub basic_periods: u32,
    /// Coding step m, periods, 1 to 1000: how much further each coded mark lies.
    pub step_periods: u32,
    /// Coded marks J, 1 or more, with `J m < N_D/2`.
    pub coded_marks: u32,
}

/// Which mark a mark is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum MarkName {
    /// Fixed mark number j.
    Fixed(u32),
    /// Coded mark number j.
    Coded(u32),
}

/// Two neighbouring marks, told by their distance.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pair {
    /// The mark met first.
    pub first: MarkName,
    /// The mark met second.
    pub second: MarkName,
    /// Place of the first mark, periods.
    pub first_periods: i64,
    /// Place of the second mark, periods.
    pub second_periods: i64,
}

/// Why marks do not fit the plan. Distances in signal periods.
#[derive(Clone, Copy, Debug, PartialEq, Error, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum MarkError {
    /// The distance is not a whole number of periods.
    #[error("{distance} periods between two marks is no whole number; check the counting and the mark's adjustment")]
    Fraction {
        /// Distance as counted.
        distance: f64,
    },
    /// No two neighbouring marks are that far apart.
    #[error(
        "no two neighbouring marks are {distance} periods apart; a mark was missed, one is false, or counts were lost"
    )]
    NoSuchPair {
        /// Distance as counted.
        distance: f64,
    },
    /// The mark is not where the marks before it put it.
    #[error(
        "mark found at {found} periods where the marks before it give {expected}; counts were lost between two marks"
    )]
    Disagree {
        /// Place by the distance to the mark before.
        found: i64,
        /// Place by the reference taken earlier.
        expected: i64,
    },
}

impl DistancePlan {
    /// The longest scale for this spacing and step: as many coded marks as fit.
    #[must_use]
    pub fn longest(basic_periods: u32, step_periods: u32) -> Self {
        let coded_marks = (basic_periods / 2).saturating_sub(1) / step_periods.max(1);
        Self { basic_periods, step_periods, coded_marks }
    }

    /// Refuses a plan in which distances would not be unique.
    ///
    /// # Errors
    /// The first field outside its range.
    pub fn check(&self) -> Result<(), FieldError> {
        limits::whole_within("basic_periods", self.basic_periods, 10, 20_000)?;
        limits::even("basic_periods", self.basic_periods)?;
        limits::whole_within("step_periods", self.step_periods, 1, 1000)?;
        limits::whole_within("coded_marks", self.coded_marks, 1, (self.basic_periods / 2 - 1) / self.step_periods)
    }

    /// Number of marks: J coded ones and the J + 1 fixed ones around them.
    #[must_use]
    pub fn count(&self) -> u32 {
        2 * self.coded_marks + 1
    }

    /// Mark number `i` along the scale, from 0: `F_1, C_1, F_2, ..., C_J, F_(J+1)`.
    #[must_use]
    pub fn mark(&self, i: u32) -> MarkName {
        if i.is_multiple_of(2) { MarkName::Fixed(i / 2 + 1) } else { MarkName::Coded(i / 2 + 1) }
    }

    /// Place of a mark, periods.
    #[must_use]
    pub fn place_periods(&self, mark: MarkName) -> i64 {
        let (basic, step) = (i64::from(self.basic_periods), i64::from(self.step_periods));
        match mark {
            MarkName::Fixed(j) => i64::from(j) * basic,
            MarkName::Coded(j) => i64::from(j) * (basic + step) + basic / 2,
        }
    }

    /// Distance of the two closest neighbours, the last ones of the scale, periods.
    #[must_use]
    pub fn closest_periods(&self) -> u32 {
        (self.basic_periods / 2).saturating_sub(self.coded_marks.saturating_mul(self.step_periods))
    }

    /// Length over which the distances are unique, periods: about `N_D^2/(2 m)` for the longest plan.
    #[must_use]
    pub fn length_periods(&self) -> i64 {
        i64::from(self.coded_marks) * i64::from(self.basic_periods)
    }

    /// Which two neighbouring marks are `distance` periods apart, positive when the second lies
    /// further up the scale: `B = 2 |D| - N_D`, `j = |B|/(2 m)`, a whole number.
    ///
    /// # Errors
    /// When the distance is no whole number of periods or belongs to no pair.
    pub fn pair(&self, distance: f64) -> Result<Pair, MarkError> {
        let whole = nearest(distance);
        if (distance - whole).abs() > TOLERANCE || !distance.is_finite() {
            return Err(MarkError::Fraction { distance });
        }
        // In whole periods, so exactly: a tolerance on j would let |D| be wrong by m/4 periods.
        let beyond = whole.abs() - f64::from(self.basic_periods) / 2.0;
        let j = beyond.abs() / f64::from(self.step_periods);
        if j != nearest(j) || j < 1.0 || j > f64::from(self.coded_marks) {
            return Err(MarkError::NoSuchPair { distance });
        }
        let j = j as u32;
        let (left, right) = if beyond > 0.0 {
            (MarkName::Fixed(j), MarkName::Coded(j))
        } else {
            (MarkName::Coded(j), MarkName::Fixed(j + 1))
        };
        let (first, second) = if whole > 0.0 { (left, right) } else { (right, left) };
        let place = |mark| self.place_periods(mark);
        Ok(Pair { first, second, first_periods: place(first), second_periods: place(second) })
    }
}

/// What one mark told.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Sighting {
    /// The first mark: nothing known yet.
    First,
    /// The same mark once more, after turning round on it.
    SameAgain,
    /// The second mark: the place is known, but not proven.
    Located(Pair),
    /// A further mark fits: the place is proven.
    Confirmed(Pair),
    /// A mark that does not fit: reference withdrawn, this mark is the first of a new try.
    Refused(MarkError),
}

/// What finding the place carries from mark to mark.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct DistanceState {
    /// Count at the last mark, periods.
    last: Option<f64>,
    /// Absolute place minus count, periods.
    offset: Option<f64>,
    /// A third mark has fitted.
    confirmed: bool,
}

impl DistanceState {
    /// Takes the count latched at a mark, in signal periods (counts divided by 4 and by the
    /// interpolation factor).
    pub fn sight(&mut self, plan: &DistancePlan, count_periods: f64) -> Sighting {
        let Some(last) = self.last else {
            *self = Self { last: Some(count_periods), ..Self::default() };
            return Sighting::First;
        };
        if (count_periods - last).abs() <= TOLERANCE {
            return Sighting::SameAgain;
        }
        let fits = plan.pair(count_periods - last).and_then(|pair| match self.absolute_periods(count_periods) {
            Some(expected) if nearest(expected) as i64 != pair.second_periods => {
                Err(MarkError::Disagree { found: pair.second_periods, expected: nearest(expected) as i64 })
            }
            _ => Ok(pair),
        });
        match fits {
            Ok(pair) => {
                self.confirmed = self.offset.is_some();
                self.last = Some(count_periods);
                self.offset = Some(pair.second_periods as f64 - count_periods);
                if self.confirmed { Sighting::Confirmed(pair) } else { Sighting::Located(pair) }
            }
            Err(error) => {
                *self = Self { last: Some(count_periods), ..Self::default() };
                Sighting::Refused(error)
            }
        }
    }

    /// Absolute place, periods, at a count in periods; none before two marks.
    #[must_use]
    pub fn absolute_periods(&self, count_periods: f64) -> Option<f64> {
        self.offset.map(|offset| count_periods + offset)
    }

    /// Whether a third mark has proven the place.
    #[must_use]
    pub fn is_confirmed(&self) -> bool {
        self.confirmed
    }
}

#[cfg(test)]
mod tests;
