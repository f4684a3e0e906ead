//! Whatever becomes of the bytes of a scene file, the reader gives a scene that runs or an error that says where.

mod mutation;

use lessons::{read_bytes, shipped};
use mutation::{mutate, mutation};
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::Index;
use sim_core::bench::Sim;
use sim_core::record::{Record, STEP_S, Sample, Tap};

/// What can happen to a file on its way.
/// Asks that every number that comes out is finite.
struct Finite;

impl Tap for Finite {
    fn sample(&mut self, s: &Sample) {
        assert!([s.table_m, s.a_v, s.b_v].iter().all(|n| n.is_finite()), "{s:?}");
    }

    fn record(&mut self, r: &Record) {
        let numbers = [r.table_m, r.speed_mps, r.command_m, r.counted_m, r.motor_m, r.error_m, r.current_a, r.gap_m];
        assert!(numbers.iter().chain(&r.lit).chain(&r.photocurrent_a).all(|n| n.is_finite()), "{r:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_mutation_gives_a_scene_that_runs_or_an_error_with_a_place(
        which in any::<Index>(),
        mutations in vec(mutation(), 1..4),
    ) {
        let scenes = shipped();
        let mut bytes = which.get(&scenes).text.as_bytes().to_vec();
        for one in &mutations {
            mutate(&mut bytes, one);
        }
        match read_bytes("mutant.toml", &bytes) {
            Ok(mut scene) => {
                // The first tenth of a second, with the commands of the whole scene drawn into it.
                let mut sim = Sim::of_scene(&scene);
                for timed in scene.steps.drain(..).take(20) {
                    // A command may be refused; it must not break anything.
                    let _ = sim.command(&timed.command);
                    sim.advance((0.1 / STEP_S / 20.0) as u64, &mut Finite);
                }
                sim.advance((0.1 / STEP_S) as u64, &mut Finite);
            }
            Err(error) => {
                let text = error.to_string();
                prop_assert!(text.starts_with("mutant.toml:"), "{}", text);
                prop_assert!(text.contains("  To mend it: "), "{}", text);
                let lines = bytes.iter().filter(|b| **b == b'\n').count() + 1;
                prop_assert!(error.at.is_none_or(|(line, column)| (1..=lines).contains(&line) && column >= 1), "{}", text);
            }
        }
    }
}
