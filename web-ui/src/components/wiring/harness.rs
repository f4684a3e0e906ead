//! How the head is wired to the control, read from the faults that are in; and what laying a conductor elsewhere means.

use sim_core::bench::Sim;
use sim_core::fault::FaultId;

/// A conductor of the cable.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wire {
    /// Channel A.
    APlus,
    /// Channel A, inverted.
    AMinus,
    /// Channel B.
    BPlus,
    /// Channel B, inverted.
    BMinus,
    /// Reference mark.
    RPlus,
    /// Reference mark, inverted.
    RMinus,
    /// Supply.
    Supply,
    /// Return of the supply.
    Ground,
    /// Screen.
    Screen,
}

impl Wire {
    /// All of them, from top to bottom, with what stands beside their pins.
    pub const ALL: [(Wire, &'static str); 9] = [
        (Wire::APlus, "A+"),
        (Wire::AMinus, "A\u{2212}"),
        (Wire::BPlus, "B+"),
        (Wire::BMinus, "B\u{2212}"),
        (Wire::RPlus, "R+"),
        (Wire::RMinus, "R\u{2212}"),
        (Wire::Supply, "5 V"),
        (Wire::Ground, "0 V"),
        (Wire::Screen, "screen"),
    ];

    /// Its row.
    pub fn row(self) -> usize {
        self as usize
    }

    /// What stands beside its pin.
    pub fn name(self) -> &'static str {
        Self::ALL[self as usize].1
    }
}

/// Trouble on one conductor.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Trouble {
    /// Open, or nearly so.
    Open,
    /// A contact that has resistance.
    Poor,
    /// Touches the conductor of another row.
    Touches(Wire),
}

/// The wiring as it is.
#[derive(Clone, Debug, PartialEq)]
pub struct Harness {
    /// The terminal of the control that each conductor of the head ends at.
    pub ends: [Wire; 9],
    /// What is wrong on a conductor.
    pub troubles: Vec<(Wire, Trouble)>,
    /// How far the motor cable is away, mm.
    pub motor_cable_mm: f64,
    /// Whether the plug at the head is that of another axis.
    pub other_head: bool,
    /// Whether the line ends in its termination.
    pub terminated: bool,
    /// Whether a poor contact or a broken strand answers when the plug is moved.
    pub loose: Option<(FaultId, f64)>,
}

/// Distance at which the motor cable does no harm any more, mm: own value, of the order of what makers of drives ask for
/// (common practice: 200 to 300 mm apart).
pub const FAR_MM: f64 = 300.0;
/// Side by side, mm.
pub const NEAR_MM: f64 = 10.0;

/// Severity of the motor cable at a distance, percent.
pub fn near_percent(mm: f64) -> f64 {
    ((FAR_MM - mm) / (FAR_MM - NEAR_MM)).clamp(0.0, 1.0) * 100.0
}

impl Harness {
    /// The wiring of a bench.
    pub fn of(sim: &Sim) -> Self {
        let severity = |id: FaultId| sim.faults().iter().find(|f| f.id == id).map_or(0.0, |f| f.severity);
        let mut ends = Wire::ALL.map(|(wire, _)| wire);
        if severity(FaultId::ChannelInverted) >= 0.5 {
            ends.swap(Wire::APlus.row(), Wire::AMinus.row());
        }
        if severity(FaultId::PairsSwapped) >= 0.5 {
            ends.swap(Wire::APlus.row(), Wire::BPlus.row());
            ends.swap(Wire::AMinus.row(), Wire::BMinus.row());
        }
        let mut troubles = Vec::new();
        let mut note = |id: FaultId, wire: Wire, trouble: Trouble| {
            if severity(id) > 0.0 {
                troubles.push((wire, trouble));
            }
        };
        let open = if severity(FaultId::ConductorOpen) >= 0.95 { Trouble::Open } else { Trouble::Poor };
        note(FaultId::ConductorOpen, Wire::APlus, open);
        note(FaultId::ConductorSupply, Wire::APlus, Trouble::Touches(Wire::Supply));
        note(FaultId::ConductorShort, Wire::BPlus, Trouble::Touches(Wire::Screen));
        note(FaultId::ContactPoor, Wire::BPlus, Trouble::Poor);
        note(FaultId::PlugWet, Wire::BPlus, Trouble::Touches(Wire::Supply));
        note(FaultId::SupplyThin, Wire::Supply, Trouble::Poor);
        let near = severity(FaultId::PowerCableNear);
        let loose = [FaultId::ContactPoor, FaultId::ConductorOpen, FaultId::FlexBreak];
        Self {
            ends,
            troubles,
            motor_cable_mm: FAR_MM - near * (FAR_MM - NEAR_MM),
            other_head: severity(FaultId::AxisPlugsSwapped) >= 0.5,
            terminated: severity(FaultId::TerminationMissing) == 0.0,
            loose: loose.into_iter().map(|id| (id, severity(id))).find(|(_, s)| *s > 0.0),
        }
    }

    /// What is wrong on a conductor.
    pub fn trouble(&self, wire: Wire) -> Option<Trouble> {
        self.troubles.iter().find(|(of, _)| *of == wire).map(|(_, trouble)| *trouble)
    }
}

/// What it is to lay the conductor of one terminal on another: the fault that it makes, or mends when it is in.
///
/// # Errors
/// What the bench can do, when it cannot do this.
pub fn laid_on(from: Wire, onto: Wire) -> Result<FaultId, &'static str> {
    use Wire::{AMinus, APlus, BMinus, BPlus, Screen, Supply};
    match (from, onto) {
        (APlus, AMinus) | (AMinus, APlus) => Ok(FaultId::ChannelInverted),
        (APlus, BPlus) | (BPlus, APlus) | (AMinus, BMinus) | (BMinus, AMinus) => Ok(FaultId::PairsSwapped),
        (APlus, Supply) | (Supply, APlus) => Ok(FaultId::ConductorSupply),
        (BPlus, Screen) | (Screen, BPlus) => Ok(FaultId::ConductorShort),
        _ => Err(
            "This bench can exchange A+ with A\u{2212}, pair A with pair B (A+ with B+), lay A+ on the 5 V or B+ on the screen.",
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use sim_core::fault::Active;
    use sim_core::setup::{BenchId, Setup};

    fn with(faults: &[(FaultId, f64)]) -> Harness {
        let mut sim = Sim::start(Setup::healthy(BenchId::RouterGantry), 1, 0.5);
        let faults: Vec<Active> = faults.iter().map(|&(id, severity)| Active { id, severity, at_m: 0.5 }).collect();
        sim.put_in(&faults);
        Harness::of(&sim)
    }

    #[test]
    fn a_healthy_cable_runs_straight() {
        let harness = with(&[]);
        assert!(harness.ends.iter().enumerate().all(|(row, wire)| wire.row() == row));
        assert!(harness.troubles.is_empty() && harness.terminated && harness.loose.is_none());
        assert_eq!(harness.motor_cable_mm, FAR_MM);
    }

    #[test]
    fn both_exchanges_together_are_drawn_as_they_act() {
        let harness = with(&[(FaultId::ChannelInverted, 1.0), (FaultId::PairsSwapped, 1.0)]);
        let ends: Vec<&str> = harness.ends[..4].iter().map(|wire| wire.name()).collect();
        assert_eq!(ends, ["B+", "B\u{2212}", "A\u{2212}", "A+"]);
    }

    #[test]
    fn what_can_be_laid_makes_the_fault_that_the_drawing_then_shows() {
        for (from, _) in Wire::ALL {
            for (onto, _) in Wire::ALL {
                let Ok(id) = laid_on(from, onto) else { continue };
                assert_eq!(laid_on(onto, from), Ok(id));
                assert_ne!(with(&[(id, 1.0)]), with(&[]), "{id:?} shows");
            }
        }
        assert!(laid_on(Wire::RPlus, Wire::Ground).is_err());
    }

    #[test]
    fn distance_and_severity_of_the_motor_cable_are_one_thing() {
        for mm in [10.0, 150.0, 300.0] {
            let severity = near_percent(mm) / 100.0;
            let harness = if severity > 0.0 { with(&[(FaultId::PowerCableNear, severity)]) } else { with(&[]) };
            assert!((harness.motor_cable_mm - mm).abs() < 1e-9);
        }
    }
}
