//! Views of the sheet: which instruments stand below the chain, for which task. The chain from light to alarm keeps its
//! place in all of them.

/// A part of the sheet that can be enlarged to the whole screen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// The axis from the side.
    Machine,
    /// The head over the scale.
    Optics,
    /// Channels, count and following error on one ruler.
    Charts,
    /// A against B, the log, what to do.
    Side,
    /// Cable, plug and supply.
    Wiring,
    /// Indicator, shims, feeler gauge.
    Hand,
    /// Channels with trigger, cursors and measured values.
    Traces,
    /// Edges and counts.
    Count,
    /// A against B with its ellipse.
    Figure,
    /// Command, count and table, following error.
    Loop,
    /// Amplitude over the travel.
    Travel,
    /// The log and what to do.
    Log,
}

impl Part {
    /// All parts: key in the style sheet, name for people.
    pub const ALL: [(Part, &'static str, &'static str); 12] = [
        (Part::Machine, "machine", "the machine"),
        (Part::Optics, "optics", "the head over the scale"),
        (Part::Charts, "charts", "the charts"),
        (Part::Side, "side", "figure and log"),
        (Part::Wiring, "wiring", "cable and supply"),
        (Part::Hand, "hand", "the hand tools"),
        (Part::Traces, "traces", "the traces"),
        (Part::Count, "count", "the count strip"),
        (Part::Figure, "figure-part", "A against B with its ellipse"),
        (Part::Loop, "loop", "the loop strip"),
        (Part::Travel, "travel", "amplitude over the travel"),
        (Part::Log, "log-part", "the log"),
    ];

    /// Its key in the style sheet.
    pub fn key(self) -> &'static str {
        Self::ALL[self as usize].1
    }

    /// Its name for people.
    pub fn name(self) -> &'static str {
        Self::ALL[self as usize].2
    }

    /// The part with a key.
    pub fn by_key(key: &str) -> Option<Part> {
        Self::ALL.iter().find(|(_, of, _)| *of == key).map(|(part, _, _)| *part)
    }
}

/// A view.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Layout {
    /// From light to alarm: a little of everything.
    #[default]
    Whole,
    /// Head, light, and what comes of them along the travel.
    Light,
    /// Everything electrical.
    Signals,
    /// Axis, loop, travel.
    Axis,
    /// Cable, supply, hand tools.
    Cable,
}

impl Layout {
    /// All views: key in the style sheet, name, the parts below the chain.
    pub const ALL: [(Layout, &'static str, &'static str, &'static [Part]); 5] = [
        (Layout::Whole, "whole", "Whole chain", &[Part::Optics, Part::Charts, Part::Side]),
        (Layout::Light, "light", "Head and light", &[Part::Optics, Part::Travel, Part::Figure, Part::Log]),
        (Layout::Signals, "signals", "Signals", &[Part::Traces, Part::Count, Part::Figure, Part::Log]),
        (Layout::Axis, "axis", "Axis and loop", &[Part::Loop, Part::Travel, Part::Log]),
        (Layout::Cable, "cable", "Cable and hand tools", &[Part::Wiring, Part::Hand, Part::Side]),
    ];

    /// Its key in the style sheet.
    pub fn key(self) -> &'static str {
        Self::ALL[self as usize].1
    }

    /// The parts below the chain.
    pub fn parts(self) -> &'static [Part] {
        Self::ALL[self as usize].3
    }

    /// The view with a key.
    pub fn by_key(key: &str) -> Option<Layout> {
        Self::ALL.iter().find(|row| row.1 == key).map(|row| row.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_tables_stand_in_the_order_of_their_enums() {
        for (i, (part, key, _)) in Part::ALL.iter().enumerate() {
            assert_eq!(*part as usize, i);
            assert_eq!(Part::by_key(key), Some(*part));
        }
        for (i, (layout, key, _, parts)) in Layout::ALL.iter().enumerate() {
            assert_eq!(*layout as usize, i);
            assert_eq!(Layout::by_key(key), Some(*layout));
            assert!(!parts.is_empty() && !parts.contains(&Part::Machine), "the machine stands above the chain");
        }
    }
}
