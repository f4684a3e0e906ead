//! The running bench asks the system for no memory: not per sample, not per step. Only an event may, which is told
//! once, and a path, which is planned once.

use allocation_counter::measure;
use sim_core::bench::{Sim, cost};
use sim_core::event::Event;
use sim_core::record::{Sample, Tap};

/// Looks at every sample, as an instrument does, so that samples are made; counts them and the events.
#[derive(Default)]
struct Look {
    samples: u64,
    events: u64,
}

impl Tap for Look {
    fn sample(&mut self, _: &Sample) {
        self.samples += 1;
    }

    fn event(&mut self, _: &Event) {
        self.events += 1;
    }
}

/// Steps in which memory was asked for although nothing happened that is told and no path began.
fn steps_that_ask(sim: &mut Sim, steps: u64, look: &mut Look) -> u64 {
    let asks = |_: &u64| {
        let before = look.events;
        let info = measure(|| sim.step(&mut *look));
        let path_begins = sim.record().command_mps == 0.0;
        info.count_total > 0 && look.events == before && !path_begins
    };
    (0..steps).filter(asks).count() as u64
}

#[test]
fn no_step_of_a_busy_or_a_healthy_bench_allocates() {
    for (name, mut sim) in [("busy", cost::busy()), ("dirty", cost::dirty()), ("healthy", cost::quiet())] {
        let mut look = Look::default();
        // A stroke there and back, so that every stretch of dirt and both turns are in it.
        assert_eq!(steps_that_ask(&mut sim, 60_000, &mut look), 0, "{name}");
        assert!(look.samples > 300_000, "{name}: only {} samples; it does not run as it should", look.samples);
        assert!(look.events < 100, "{name}: {} events", look.events);
    }
}

/// Negative control: the count counts.
#[test]
fn an_allocation_is_noticed() {
    let info = measure(|| drop(std::hint::black_box(vec![1_u8; 100])));
    assert_eq!(info.count_total, 1);
}
