//! Hidden faults for a rehearsal: drawn by level and seed, so that a whole class can have the same one. A draw is a pure
//! function of set-up, level and seed, with the same outcome on every device.

use super::{Active, FaultId, Group, Row, TABLE};
use crate::num::math::nearest;
use crate::num::random::Stream;
use crate::params::params_of;
use crate::setup::Setup;
use crate::surface::SurfaceMap;
use serde::{Deserialize, Serialize};

/// How hard the fault is to find.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Level {
    /// One clear fault of scale, head or cable, 60 to 100 %, in the middle of the travel where it has a place.
    #[default]
    Clear,
    /// One fault of any group, 30 to 100 %.
    Any,
    /// One or two faults of any group, 20 to 60 %, anywhere on the travel.
    Partial,
}

impl Level {
    /// All levels, easy first.
    pub const ALL: [Level; 3] = [Level::Clear, Level::Any, Level::Partial];

    /// Its number for people, 1 to 3.
    #[must_use]
    pub fn number(self) -> u8 {
        self as u8 + 1
    }

    /// Least and greatest severity, 0..1.
    #[must_use]
    pub fn severity(self) -> (f64, f64) {
        match self {
            Level::Clear => (0.6, 1.0),
            Level::Any => (0.3, 1.0),
            Level::Partial => (0.2, 0.6),
        }
    }

    /// Where on the travel a fault with a place may sit, shares of the travel.
    #[must_use]
    pub fn places(self) -> (f64, f64) {
        match self {
            Level::Clear => (0.3, 0.7),
            Level::Any => (0.15, 0.85),
            Level::Partial => (0.02, 0.98),
        }
    }

    /// Whether a group of faults may be drawn.
    #[must_use]
    pub fn covers(self, group: Group) -> bool {
        self > Level::Clear || group <= Group::Cable
    }
}

impl FaultId {
    /// Whether the bench of a set-up has what this fault breaks: full severity changes one of its parameters.
    #[must_use]
    pub fn fits(self, setup: &Setup) -> bool {
        let at_m = 0.5 * setup.machine().spec().travel;
        changes(setup, Active { id: self, severity: 1.0, at_m })
    }
}

/// Whether a fault, as severe as it is, changes a parameter of the bench.
#[must_use]
pub fn changes(setup: &Setup, fault: Active) -> bool {
    let clean = SurfaceMap::default();
    params_of(setup, &[fault], &clean) != params_of(setup, &[], &clean)
}

/// The faults that a level may draw on a bench, in the order of the catalogue.
#[must_use]
pub fn candidates(setup: &Setup, level: Level) -> Vec<FaultId> {
    let fitting = |row: &&Row| level.covers(row.group) && row.id.fits(setup);
    TABLE.iter().filter(fitting).map(|row| row.id).collect()
}

/// Draws the hidden faults of a level: one, on the highest level one or two, each at whole per cent and whole mm.
/// Empty only on a bench without anything that can break.
#[must_use]
pub fn draw(setup: &Setup, level: Level, seed: u64) -> Vec<Active> {
    let mut left = candidates(setup, level);
    let mut stream = Stream::named(seed, &format!("hidden fault, level {}", level.number()));
    let wanted = if level == Level::Partial && stream.uniform() < 0.5 { 2 } else { 1 };
    let travel_mm = setup.machine().spec().travel * 1e3;
    let mut faults: Vec<Active> = Vec::with_capacity(wanted);
    while faults.len() < wanted && !left.is_empty() {
        let id = left.remove(((stream.uniform() * left.len() as f64) as usize).min(left.len() - 1));
        let mut between = |(low, high): (f64, f64)| low + (high - low) * stream.uniform();
        let severity = nearest(between(level.severity()) * 100.0) / 100.0;
        let place_mm = nearest(between(level.places()) * travel_mm);
        let at_m = if id.row().has_place { place_mm * 1e-3 } else { 0.0 };
        let fault = Active { id, severity, at_m };
        // A few need more than the level gives before anything changes; then the next one is drawn.
        if changes(setup, fault) {
            faults.push(fault);
        }
    }
    faults.sort_by_key(|fault| fault.id);
    faults
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::setup::BenchId;
    use std::collections::BTreeSet;

    #[test]
    fn a_draw_keeps_to_its_level_and_fits_the_bench() {
        for bench in BenchId::ALL {
            let setup = Setup::healthy(bench);
            let travel_m = setup.machine().spec().travel;
            for level in Level::ALL {
                let allowed = candidates(&setup, level);
                for seed in 0..200 {
                    let faults = draw(&setup, level, seed);
                    assert!(faults.len() == 1 || (level == Level::Partial && faults.len() == 2), "{faults:?}");
                    for fault in &faults {
                        assert!(allowed.contains(&fault.id));
                        let (low, high) = level.severity();
                        assert!((low - 1e-9..=high + 1e-9).contains(&fault.severity), "{fault:?}");
                        assert!((0.0..=travel_m).contains(&fault.at_m), "{fault:?}");
                        assert!(changes(&setup, *fault), "{fault:?} does nothing");
                    }
                    if let [a, b] = faults.as_slice() {
                        assert_ne!(a.id, b.id);
                    }
                }
            }
        }
    }

    #[test]
    fn seeds_reach_every_fault_of_a_level_and_level_one_stays_in_the_signal_chain() {
        let setup = Setup::healthy(BenchId::SmallMill);
        for level in Level::ALL {
            let drawn: BTreeSet<FaultId> =
                (0..2500).flat_map(|seed| draw(&setup, level, seed)).map(|fault| fault.id).collect();
            let never: Vec<FaultId> = candidates(&setup, level).into_iter().filter(|id| !drawn.contains(id)).collect();
            assert_eq!(never, [], "{level:?}");
        }
        let groups: BTreeSet<Group> = candidates(&setup, Level::Clear).iter().map(|id| id.row().group).collect();
        assert_eq!(groups.into_iter().collect::<Vec<_>>(), [Group::Scale, Group::Head, Group::Cable]);
        let two = (0..1000).filter(|seed| draw(&setup, Level::Partial, *seed).len() == 2).count();
        assert!((400..600).contains(&two), "{two} of 1000 have two faults");
    }

    #[test]
    fn what_a_machine_has_not_got_is_never_drawn() {
        let flat = Setup::healthy(BenchId::TeachingRail);
        let any = candidates(&flat, Level::Any);
        for id in [FaultId::BrakeWorn, FaultId::BalanceLost, FaultId::ClampOn] {
            assert!(!id.fits(&flat) && !any.contains(&id), "{id:?}");
        }
        assert!(FaultId::BrakeWorn.fits(&Setup::healthy(BenchId::MillHead)));
    }

    /// The same seed is the same fault on every device and in every later build: a class may have written it down.
    #[test]
    fn a_seed_means_the_same_fault_for_ever() {
        let setup = Setup::healthy(BenchId::TeachingRail);
        assert_eq!(draw(&setup, Level::Partial, 7), draw(&setup.clone(), Level::Partial, 7));
        let names = |level, seed| -> Vec<String> {
            let of = |f: Active| format!("{} {:.0} % {:.0} mm", f.id.row().name, f.severity * 100.0, f.at_m * 1e3);
            draw(&setup, level, seed).into_iter().map(of).collect()
        };
        let drawn: Vec<Vec<String>> = [(Level::Clear, 1), (Level::Any, 1), (Level::Partial, 2)]
            .into_iter()
            .map(|(level, seed)| names(level, seed))
            .collect();
        assert_eq!(drawn, [["power-cable-near 94 % 0 mm"], ["tape-lift 44 % 340 mm"], ["channel-offset 37 % 0 mm"]]);
    }
}
