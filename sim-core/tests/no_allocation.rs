//! The running bench asks the system for no memory: not per sample, not per step.

use allocation_counter::measure;
use sim_core::bench::Sim;
use sim_core::bench::cost;
use sim_core::record::{Sample, Tap};

/// Looks at every sample, as an instrument does, so that samples are made.
#[derive(Default)]
struct Look(u64);

impl Tap for Look {
    fn sample(&mut self, _: &Sample) {
        self.0 += 1;
    }
}

/// How often a bench asks for memory in a number of steps, and how many samples it takes.
fn asked_in(sim: &mut Sim, steps: u64) -> (u64, u64) {
    let mut look = Look::default();
    let info = measure(|| sim.advance(steps, &mut look));
    (info.count_total, look.0)
}

#[test]
fn no_step_of_a_busy_or_a_healthy_bench_allocates() {
    for (name, mut sim) in [("busy", cost::busy()), ("dirty", cost::dirty()), ("healthy", cost::quiet())] {
        // A stroke there and back, so that every stretch of dirt and both turns are in it.
        let (asked, samples) = asked_in(&mut sim, 60_000);
        assert_eq!(asked, 0, "{name}: {samples} samples");
        assert!(samples > 300_000, "{name}: only {samples} samples; it does not run as it should");
    }
}

/// Negative control: the count counts.
#[test]
fn an_allocation_is_noticed() {
    let info = measure(|| drop(std::hint::black_box(vec![1_u8; 100])));
    assert_eq!(info.count_total, 1);
}
