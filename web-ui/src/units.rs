//! Shop units. The model counts in SI, settings stand in micrometres, millimetres and metres a minute; the sheet shows
//! them in the units that the person chose. An inch is 25.4 mm exactly (ISO 31-1, and the agreement of 1959).

/// Millimetres of an inch.
const INCH_MM: f64 = 25.4;

/// Units that the sheet shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Units {
    /// Small lengths in micrometres, large ones in millimetres.
    #[default]
    Metric,
    /// All lengths in millimetres.
    Millimetres,
    /// All lengths in inches.
    Inches,
}

/// How a quantity is shown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shown {
    /// The unit on the sheet.
    pub unit: &'static str,
    /// What a value in its own unit is multiplied by.
    pub factor: f64,
    /// Decimals more (or fewer) than in its own unit.
    pub decimals: i32,
}

impl Shown {
    /// A value of the quantity's own unit as it is shown.
    pub fn out(&self, value: f64) -> f64 {
        value * self.factor
    }

    /// A shown value in the quantity's own unit.
    pub fn back(&self, shown: f64) -> f64 {
        shown / self.factor
    }

    /// Decimals, where the quantity's own unit has `own`.
    pub fn places(&self, own: usize) -> usize {
        (own as i32 + self.decimals).max(0) as usize
    }
}

impl Units {
    /// All of them: key, name for people.
    pub const ALL: [(Units, &'static str, &'static str); 3] =
        [(Units::Metric, "metric", "\u{b5}m, mm"), (Units::Millimetres, "mm", "mm"), (Units::Inches, "inch", "inch")];

    /// Its key.
    pub fn key(self) -> &'static str {
        Self::ALL[self as usize].1
    }

    /// The units with a key.
    pub fn by_key(key: &str) -> Option<Units> {
        Self::ALL.iter().find(|row| row.1 == key).map(|row| row.0)
    }

    /// How a quantity in `unit` (`um`, `mm`, `m/min`, `um/m`; others stay as they are) is shown.
    pub fn of(self, unit: &'static str) -> Shown {
        let shown = |unit, factor, decimals| Shown { unit, factor, decimals };
        match (unit, self) {
            ("um", Units::Metric) => shown("\u{b5}m", 1.0, 0),
            ("um", Units::Millimetres) => shown("mm", 1e-3, 3),
            ("um", Units::Inches) => shown("in", 1e-3 / INCH_MM, 5),
            ("mm", Units::Inches) => shown("in", 1.0 / INCH_MM, 2),
            ("m/min", Units::Inches) => shown("in/min", 1e3 / INCH_MM, -1),
            ("um/m", Units::Metric) => shown("\u{b5}m/m", 1.0, 0),
            ("um/m", Units::Millimetres) => shown("mm/m", 1e-3, 3),
            ("um/m", Units::Inches) => shown("in/ft", 12e-6, 6),
            _ => shown(unit, 1.0, 0),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_and_speeds_convert_as_the_inch_is_defined() {
        let inches = Units::Inches;
        assert!((inches.of("mm").out(25.4) - 1.0).abs() < 1e-12);
        assert!((inches.of("um").out(800.0) - 0.031_496_06).abs() < 1e-8);
        assert!((inches.of("m/min").out(6.0) - 236.220_47).abs() < 1e-5);
        // A wedge of 1 mm/m is 12 thousandths of an inch a foot.
        assert!((inches.of("um/m").out(1000.0) - 0.012).abs() < 1e-12);
        assert_eq!(Units::Millimetres.of("um").out(800.0), 0.8);
        assert_eq!(inches.of("V"), Shown { unit: "V", factor: 1.0, decimals: 0 });
    }

    #[test]
    fn there_and_back_is_the_same_value() {
        for (units, key, _) in Units::ALL {
            assert_eq!(Units::by_key(key), Some(units));
            for unit in ["um", "mm", "m/min", "um/m", "V"] {
                let shown = units.of(unit);
                assert!((shown.back(shown.out(123.4)) - 123.4).abs() < 1e-10);
            }
        }
    }
}
