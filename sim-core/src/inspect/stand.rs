//! Stands: benches as they are fitted out for a survey.

use crate::setup::{BenchId, HeadOutput, Marks, Reading, Setup};

/// A bench fitted out for a survey.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stand {
    /// The small mill's table as it is.
    Mill,
    /// With marks every 20 mm.
    PeriodicMill,
    /// With an absolute scale.
    AbsoluteMill,
    /// With a head that sends square waves.
    SquareMill,
    /// With scale and motor encoder compared.
    ComparedMill,
    /// The mill after five minutes at work.
    WarmMill,
    /// The mill's hanging head.
    Head,
    /// The gantry's spindle lift, with its absolute motor encoder.
    Lift,
    /// The rotary table.
    Rotary,
    /// The gantry's long axis.
    Gantry,
    /// The teaching rail with its one-ended sensors.
    Rail,
}

impl Stand {
    /// All stands.
    pub const ALL: [Self; 11] = [
        Self::Mill,
        Self::PeriodicMill,
        Self::AbsoluteMill,
        Self::SquareMill,
        Self::ComparedMill,
        Self::WarmMill,
        Self::Head,
        Self::Lift,
        Self::Rotary,
        Self::Gantry,
        Self::Rail,
    ];

    /// Its name in tables and files.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Mill => "mill",
            Self::PeriodicMill => "mill-periodic-marks",
            Self::AbsoluteMill => "mill-absolute",
            Self::SquareMill => "mill-square-waves",
            Self::ComparedMill => "mill-compared",
            Self::WarmMill => "mill-warm",
            Self::Head => "mill-head",
            Self::Lift => "gantry-lift",
            Self::Rotary => "rotary-table",
            Self::Gantry => "router-gantry",
            Self::Rail => "teaching-rail",
        }
    }

    /// Its healthy set-up.
    #[must_use]
    pub fn setup(self) -> Setup {
        let bench = match self {
            Self::Head => BenchId::MillHead,
            Self::Lift => BenchId::GantryLift,
            Self::Rotary => BenchId::RotaryTable,
            Self::Gantry => BenchId::RouterGantry,
            Self::Rail => BenchId::TeachingRail,
            _ => BenchId::SmallMill,
        };
        let mut setup = Setup::healthy(bench);
        match self {
            Self::PeriodicMill => setup.scale.marks = Marks::Periodic,
            Self::AbsoluteMill => setup.scale.reading = Reading::Absolute,
            Self::SquareMill => setup.head.output = HeadOutput::Square,
            Self::ComparedMill => setup.monitor.comparison = crate::setup::Comparison::On,
            Self::Head => setup.machine.counterbalance_n = 300.0,
            _ => {}
        }
        setup
    }
}
