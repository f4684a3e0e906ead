//! The units that lessons are written and answered in.

/// What a number measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dimension {
    /// Pieces, or a plain ratio.
    Count,
    /// Metres inside.
    Length,
    /// Metres a second inside.
    Speed,
    /// Seconds inside.
    Time,
    /// Volts inside.
    Voltage,
    /// Amperes inside.
    Current,
    /// Degrees inside: no formula needs radians here.
    Angle,
    /// Percent inside.
    Share,
    /// Volts a metre inside.
    Slope,
}

/// A unit.
#[derive(Debug, PartialEq)]
pub struct Unit {
    /// As it is written.
    pub name: &'static str,
    /// What it measures.
    pub of: Dimension,
    /// How much one of it is, in the unit inside.
    pub factor: f64,
}

impl Unit {
    /// As a reader sees it: the sign where a keyboard has only letters for it.
    pub fn shown(&self) -> &'static str {
        match self.name {
            "um" => "\u{b5}m",
            "us" => "\u{b5}s",
            "deg" => "\u{b0}",
            name => name,
        }
    }
}

const fn unit(name: &'static str, of: Dimension, factor: f64) -> Unit {
    Unit { name, of, factor }
}

/// All units; the first of a dimension is the one that is offered.
pub static UNITS: [Unit; 25] = [
    unit("counts", Dimension::Count, 1.0),
    unit("count", Dimension::Count, 1.0),
    unit("pulses", Dimension::Count, 1.0),
    unit("lines", Dimension::Count, 1.0),
    unit("mm", Dimension::Length, 1e-3),
    unit("m", Dimension::Length, 1.0),
    unit("um", Dimension::Length, 1e-6),
    unit("\u{b5}m", Dimension::Length, 1e-6),
    unit("nm", Dimension::Length, 1e-9),
    unit("in", Dimension::Length, 25.4e-3),
    unit("m/min", Dimension::Speed, 1.0 / 60.0),
    unit("mm/s", Dimension::Speed, 1e-3),
    unit("in/min", Dimension::Speed, 25.4e-3 / 60.0),
    unit("s", Dimension::Time, 1.0),
    unit("ms", Dimension::Time, 1e-3),
    unit("us", Dimension::Time, 1e-6),
    unit("min", Dimension::Time, 60.0),
    unit("h", Dimension::Time, 3600.0),
    unit("V", Dimension::Voltage, 1.0),
    unit("mV", Dimension::Voltage, 1e-3),
    unit("A", Dimension::Current, 1.0),
    unit("deg", Dimension::Angle, 1.0),
    unit("\u{b0}", Dimension::Angle, 1.0),
    unit("%", Dimension::Share, 1.0),
    unit("V/m", Dimension::Slope, 1.0),
];

/// The unit of that name.
pub fn by_name(name: &str) -> Option<&'static Unit> {
    UNITS.iter().find(|unit| unit.name == name)
}

/// The names of the units of a dimension.
pub fn names_of(of: Dimension) -> Vec<&'static str> {
    UNITS.iter().filter(|unit| unit.of == of).map(|unit| unit.name).collect()
}

/// The unit in which a dimension is shown when nobody chose one.
pub fn usual(of: Dimension) -> &'static Unit {
    // Every dimension has a row; the first row stands in, which a test rules out.
    UNITS.iter().find(|unit| unit.of == of).unwrap_or(&UNITS[0])
}

/// A number as people write it: a few digits that mean something, no empty zeros behind the point.
pub fn tidy(value: f64, decimals: usize) -> String {
    let text = sim_core::event::fixed(value, decimals);
    if !text.contains('.') {
        return text;
    }
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_unique_and_every_dimension_has_a_unit() {
        for (i, unit) in UNITS.iter().enumerate() {
            assert!(UNITS[..i].iter().all(|other| other.name != unit.name), "{}", unit.name);
            assert_eq!(usual(unit.of).of, unit.of);
        }
        // Source: the inch is 25.4 mm exactly (International Yard and Pound agreement, 1959).
        assert!((by_name("in").unwrap().factor - 0.0254).abs() < 1e-15);
    }

    #[test]
    fn numbers_are_written_without_empty_zeros() {
        assert_eq!((tidy(5.0, 3).as_str(), tidy(0.250, 3).as_str(), tidy(-0.0001, 2).as_str()), ("5", "0.25", "0"));
        assert_eq!(tidy(120.0, 0), "120");
    }
}
