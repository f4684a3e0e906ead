//! The checks of a technician: what each costs, what has to be safe before it, and what can come of it.

mod rows;

pub use rows::CHECKS;
use serde::{Deserialize, Serialize};

/// Something that a technician can do to learn about the machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Check {
    /// The axis out and back over its travel at speed.
    Traverse,
    /// The amplitude over the travel.
    AmplitudeScan,
    /// A drawn against B over a few millimetres.
    Figure,
    /// The signals of the standing axis, drive on and off.
    Rest,
    /// An oscilloscope at the plug of the drive.
    ScopeDrive,
    /// An oscilloscope at the head's end of the cable.
    ScopeHead,
    /// The supply at both ends of the cable.
    Supply,
    /// Each conductor of the cable.
    Ohms,
    /// The way of the screen to earth.
    ScreenPath,
    /// The cable bent place by place while the axis stands.
    Flex,
    /// Scale and window looked at with a lamp.
    Lamp,
    /// The gap at three places.
    GapGauge,
    /// Motor current over the travel, both ways.
    CurrentScan,
    /// Scale and motor encoder compared over the travel.
    Compare,
    /// The control's values beside the stored ones.
    LoopValues,
    /// Homing four times.
    HomeTest,
    /// An indicator on the table, a place come to from both sides.
    Indicator,
    /// The cabinet off and on again after a long weekend.
    MainsCycle,
    /// Purge air and lips of an enclosed scale.
    Housing,
    /// The input of the control exchanged with that of another axis.
    SwapInput,
    /// The cable exchanged with that of another axis.
    SwapCable,
}

/// Whether a check needs the machine with power.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Power {
    /// Guards shut, area clear: the axis moves.
    Moves,
    /// With power, the axis stands; the cabinet only by authorised people.
    On,
    /// Locked out and proved dead.
    Dead,
}

/// What can come of a check.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OutcomeRow {
    /// Its stable name in files.
    pub name: &'static str,
    /// What was found, in words.
    pub words: &'static str,
}

/// What is known of a check.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CheckRow {
    /// Which.
    pub check: Check,
    /// Its stable name in files.
    pub name: &'static str,
    /// What is done, in words.
    pub title: &'static str,
    /// How long it takes in the shop, min (common practice; the case may say otherwise).
    pub minutes: u16,
    /// What it needs.
    pub power: Power,
    /// What has to be done before it, in words; local rules and the maker's manual decide.
    pub before: &'static str,
    /// What can come of it; the first is that of a healthy machine, the last that there is nothing to be had.
    pub outcomes: &'static [OutcomeRow],
}

impl Check {
    /// What is known of it.
    #[must_use]
    pub fn row(self) -> &'static CheckRow {
        &CHECKS[self as usize]
    }

    /// The check of a name in files.
    #[must_use]
    pub fn by_name(name: &str) -> Option<Self> {
        CHECKS.iter().find(|row| row.name == name).map(|row| row.check)
    }

    /// All checks.
    pub fn all() -> impl Iterator<Item = Self> {
        CHECKS.iter().map(|row| row.check)
    }

    /// The place of an outcome in the list of this check.
    #[must_use]
    pub fn outcome(self, name: &str) -> Option<u8> {
        self.row().outcomes.iter().position(|outcome| outcome.name == name).map(|at| at as u8)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_rows_stand_in_the_order_of_the_checks_and_no_name_twice() {
        for (i, row) in CHECKS.iter().enumerate() {
            assert_eq!(row.check as usize, i, "{}", row.name);
            assert_eq!(Check::by_name(row.name), Some(row.check));
            assert!((1..=60).contains(&row.minutes) && !row.before.is_empty());
            let names: Vec<&str> = row.outcomes.iter().map(|outcome| outcome.name).collect();
            assert!(names.len() >= 3 && names.last() == Some(&"none"), "{names:?}");
            for (at, name) in names.iter().enumerate() {
                assert_eq!(row.check.outcome(name), Some(at as u8), "{name} stands twice");
            }
        }
        assert_eq!(Check::by_name("nothing"), None);
    }
}
