//! What a simulated sample costs: `cargo bench -p sim-core`. Every line is time and rate for one step's work; `elem`
//! is one sample, or one step for the stages that are done once a step.

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use sim_core::bench::Sim;
use sim_core::bench::cost::{self, Per, Rig, STAGES};
use std::hint::black_box;

/// Steps of one measurement of the whole: one stroke of the shuttle there and back.
const STEPS: u64 = 40_000;

fn whole(c: &mut Criterion) {
    let mut group = c.benchmark_group("whole step (elem: sample)");
    group.sample_size(20);
    for (name, sim) in
        [("everything at once", cost::busy()), ("dirt, noise, wiring", cost::dirty()), ("healthy", cost::quiet())]
    {
        group.throughput(Throughput::Elements(cost::samples_in(sim.clone(), STEPS)));
        group.bench_function(name, |b| b.iter_batched_ref(|| sim.clone(), run, criterion::BatchSize::PerIteration));
    }
    group.finish();
}

fn run(sim: &mut Sim) {
    sim.advance(STEPS, &mut ());
    black_box(sim.record().count);
}

fn stages(c: &mut Criterion) {
    let mut group = c.benchmark_group("stage");
    let rig = Rig::new(cost::busy());
    for stage in &STAGES {
        let (unit, elements) = match stage.per {
            Per::Sample => ("sample", u64::from(rig.samples())),
            Per::Step => ("step", 1),
        };
        let mut rig = rig.clone();
        group.throughput(Throughput::Elements(elements));
        group.bench_function(format!("{} (per {unit})", stage.name), |b| b.iter(|| stage.run(black_box(&mut rig))));
    }
    group.finish();
}

criterion_group!(benches, whole, stages);
criterion_main!(benches);
