//! A goal in words for the learner.

use super::{Condition, Over, Scope, Test, What, step};
use crate::lesson::units::{self, Dimension, Unit, tidy};

impl What {
    /// What is asked for, without the run.
    fn words(&self) -> String {
        match self {
            What::Measured { measure, test, unit } => format!("{}: {}", measure.title(), test.words(unit)),
            What::Limit { measure, passed } => {
                format!("{}: {} its limit", measure.title(), if *passed { "past" } else { "within" })
            }
            What::NoFault => "no alarm".to_owned(),
            What::Fault(kind) => format!("the alarm \u{201c}{}\u{201d}", kind.title()),
            What::Done { step, not } => {
                format!("{}: {}", step::words(step), if *not { "not done" } else { "done" })
            }
            What::Referenced => "zero taken from the reference mark".to_owned(),
        }
    }
}

impl Test {
    /// The range in words.
    pub fn words(&self, unit: &Unit) -> String {
        let show = |value: f64| in_unit(value, unit);
        match (self.low.is_finite(), self.high.is_finite()) {
            (true, true) if self.low == self.high => format!("exactly {}", show(self.low)),
            (true, true) => format!("{} to {}", tidy(self.low / unit.factor, 6), show(self.high)),
            (true, false) if self.low_in => format!("{} or more", show(self.low)),
            (true, false) => format!("more than {}", show(self.low)),
            (false, _) if self.high_in => format!("{} or less", show(self.high)),
            (false, _) => format!("less than {}", show(self.high)),
        }
    }
}

/// A number with its unit; pieces need none.
pub fn in_unit(value: f64, unit: &Unit) -> String {
    let number = value / unit.factor;
    // Four digits that mean something.
    let decimals = (0..6).find(|d| number.abs() * 10_f64.powi(*d) >= 1000.0).unwrap_or(6);
    let number = tidy(number, decimals as usize);
    match unit.of {
        Dimension::Count => number,
        Dimension::Share => format!("{number} %"),
        Dimension::Angle => format!("{number}\u{b0}"),
        _ => format!("{number} {}", unit.shown()),
    }
}

impl Condition {
    /// What is asked for, in words.
    pub fn words(&self) -> String {
        format!("{}{}", self.what.words(), self.scope.words())
    }
}

impl Scope {
    fn words(&self) -> String {
        let mm = |metres: f64| in_unit(metres, units::usual(Dimension::Length));
        let times = |n: u32, of: &str| format!("{n} {of}{}", if n == 1 { "" } else { "s" });
        let mut text = match self.over {
            Over::Now => String::new(),
            Over::Move(length_m) if self.both_ways => format!(", after a move of {} out and one back", mm(length_m)),
            Over::Move(length_m) => format!(", after a move of {}", mm(length_m)),
            Over::Strokes(n) => format!(", after {} out and back", times(n, "stroke")),
            Over::Homings(n) => format!(", after {}", times(n, "homing")),
            Over::Travel(None) => ", everywhere on the travel".to_owned(),
            Over::Travel(Some((low, high))) => format!(", everywhere from {} to {}", mm(low), mm(high)),
        };
        if let Some(speed) = self.at_mps {
            text += &format!(" at {}", in_unit(speed, units::usual(Dimension::Speed)));
        }
        if let Some(time) = self.within_s {
            text += &format!(" within {}", in_unit(time, units::usual(Dimension::Time)));
        }
        if let Some(time) = self.for_s {
            text += &format!(" for {}", in_unit(time, units::usual(Dimension::Time)));
        }
        text
    }
}
