//! Exchanging a part with that of another axis: does the reading change?

use super::moving::figure;
use super::standing::levels;
use super::{Measured, ready};
use sim_core::bench::Sim;
use sim_core::bench::command::Part;
use sim_core::bench::part_of;
use sim_core::bench::safety::Safety;
use sim_core::inspect::Figure;

/// Changes that mean something: share of an amplitude, mV, degrees, share of the noise.
const CHANGES: [(&str, f64, bool); 8] = [
    ("amplitude_a_v", 0.1, true),
    ("amplitude_b_v", 0.1, true),
    ("offset_a_mv", 25.0, false),
    ("offset_b_mv", 25.0, false),
    ("phase_error_deg", 5.0, false),
    ("noise_mv", 1.0, true),
    ("mean_a_mv", 25.0, false),
    ("mean_b_mv", 25.0, false),
];

/// Draws the figure and looks at the levels at the drive, before and after a good part of another axis is in. The old part goes back in: the bench stays as it was.
pub fn swapped(sim: &Sim, part: Part) -> Measured {
    let run = |faults: Vec<_>| -> Measured {
        // Plugged and switched on again for the run; the lock is off as long as it takes.
        let mut bench = sim.bench().clone();
        bench.state.safety = Safety::default();
        bench.faults = faults;
        let Ok(mut trial) = Sim::resume(bench) else { return Measured::default() };
        let mut measured = match ready(&mut trial) {
            Ok(()) => figure(&mut trial),
            Err(stopped) => Measured::ended(stopped),
        };
        // Where the axis cannot be moved for a figure, the levels at the drive are left.
        measured.figures.extend(levels(&trial, false));
        measured
    };
    let left: Vec<_> = sim.faults().iter().copied().filter(|fault| part_of(fault.id) != Some(part)).collect();
    let (before, after) = (run(sim.faults().to_vec()), run(left));
    let changed = before.stopped != after.stopped || differ(&before, &after);
    Measured::just(vec![Figure::new("changed", f64::from(u8::from(changed)), 0.5)])
}

fn differ(before: &Measured, after: &Measured) -> bool {
    CHANGES.iter().any(|(name, limit, as_share)| match (before.get(name), after.get(name)) {
        (Some(b), Some(a)) if *as_share => (a - b).abs() > limit * b.abs().max(1e-9),
        (Some(b), Some(a)) => (a - b).abs() > *limit,
        (b, a) => b.is_some() != a.is_some(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use sim_core::fault::{Active, FaultId};
    use sim_core::setup::{BenchId, Setup};

    fn changed(id: FaultId, part: Part) -> Option<f64> {
        let setup = Setup::healthy(BenchId::RouterGantry);
        let mut sim = Sim::start(setup, 1, 0.5);
        sim.put_in(&[Active { id, severity: 1.0, at_m: 0.0 }]);
        swapped(&sim, part).get("changed")
    }

    #[test]
    fn a_good_part_changes_what_sat_in_the_old_one_and_nothing_else() {
        assert_eq!(changed(FaultId::ConductorOpen, Part::Cable), Some(1.0));
        assert_eq!(changed(FaultId::ConductorOpen, Part::Input), Some(0.0));
        assert_eq!(changed(FaultId::InputDamaged, Part::Input), Some(1.0));
        assert_eq!(changed(FaultId::InputDamaged, Part::Cable), Some(0.0));
        // Twice the same film would be another film: the trial has it once.
        assert_eq!(changed(FaultId::WindowFilm, Part::Cable), Some(0.0));
    }
}
