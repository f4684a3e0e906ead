//! A cause in one of its forms: how severe, where.

use serde::{Deserialize, Serialize};
use sim_core::bench::Sim;
use sim_core::fault::hidden::changes;
use sim_core::fault::{Active, FaultId, TABLE};
use sim_core::num::random::Stream;
use sim_core::setup::Setup;

/// What may be wrong: a fault of the catalogue.
pub type Cause = FaultId;

/// Severities that are drawn, 0..1: less is not called out for.
pub const SEVERITY: (f64, f64) = (0.3, 1.0);
/// Places that are drawn, shares of the travel.
const PLACES: (f64, f64) = (0.05, 0.95);

/// Most drawings until a form changes anything.
const TRIES: u32 = 20;

/// One form of a cause.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Particle {
    /// The fault as it is put in.
    pub fault: Active,
    /// Seed of all noise.
    pub seed: u32,
}

/// The causes that a machine can have, in the order of the catalogue.
#[must_use]
pub fn causes(setup: &Setup) -> Vec<Cause> {
    TABLE.iter().map(|row| row.id).filter(|id| id.fits(setup)).collect()
}

impl Particle {
    /// The k-th form of a cause on a machine. The same numbers for ever: tables that were made with them are kept.
    #[must_use]
    pub fn draw(setup: &Setup, cause: Cause, k: u32) -> Self {
        let row = cause.row();
        let mut stream = Stream::named(u64::from(k), &format!("particle of {}", row.name));
        let mut between = |(low, high): (f64, f64)| low + (high - low) * stream.uniform();
        let mut form = || {
            let severity = between(SEVERITY);
            let place_m = between(PLACES) * setup.machine().spec().travel;
            Active { id: cause, severity, at_m: if row.has_place { place_m } else { 0.0 } }
        };
        let mut fault = form();
        // Some causes are there or not: too little of them is nothing. At full severity each is there.
        for _ in 0..TRIES {
            if changes(setup, fault) {
                break;
            }
            fault = form();
        }
        Self { fault, seed: 1000 + k }
    }

    /// A machine with this wrong, standing at a quarter of its travel.
    #[must_use]
    pub fn bench(&self, setup: &Setup) -> Sim {
        let mut sim = Sim::start(setup.clone(), self.seed, 0.25 * setup.machine().spec().travel);
        sim.put_in(&[self.fault]);
        sim
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use sim_core::setup::BenchId;

    #[test]
    fn forms_keep_to_their_bounds_and_stay_what_they_are() {
        let setup = Setup::healthy(BenchId::RouterGantry);
        let travel_m = setup.machine().spec().travel;
        let causes = causes(&setup);
        assert!(causes.len() > 60, "{}", causes.len());
        for cause in causes {
            let forms: Vec<Particle> = (0..50).map(|k| Particle::draw(&setup, cause, k)).collect();
            for form in &forms {
                assert!(changes(&setup, form.fault), "{form:?} does nothing");
                assert!((SEVERITY.0..SEVERITY.1).contains(&form.fault.severity));
                assert!((0.0..travel_m).contains(&form.fault.at_m));
            }
        }
        // Uniform over 0.3 to 1: mean 0.65, standard deviation of a mean of two hundred 0.2 / sqrt(200) = 0.0143.
        let smears = (0..200).map(|k| Particle::draw(&setup, FaultId::TapeSmear, k).fault.severity);
        let mean = smears.sum::<f64>() / 200.0;
        assert!((mean - 0.65).abs() < 5.0 * 0.0143, "{mean}");
        let first = Particle::draw(&setup, FaultId::TapeSmear, 0);
        assert_eq!(first, Particle::draw(&setup, FaultId::TapeSmear, 0));
    }
}
