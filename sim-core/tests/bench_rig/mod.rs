//! What the tests of the whole bench share.
#![allow(dead_code)]

pub mod mechanics;
pub mod square;

use sim_core::bench::command::Command;
use sim_core::bench::{Bench, Sim};
use sim_core::event::{Event, What};
use sim_core::monitor::MonitorKind;
use sim_core::record::{Doing, Record, STEP_S, Sample, Tap};
use sim_core::setup::{BenchId, Reading, Setup};

/// A healthy bench of an id with its table at a place, mm.
pub fn healthy(bench: BenchId, at_mm: f64) -> Sim {
    Sim::start(Setup::healthy(bench), 7, at_mm * 1e-3)
}

/// A bench with an absolute scale and its table at a place, mm.
pub fn absolute(bench: BenchId, at_mm: f64) -> Sim {
    let mut setup = Setup::healthy(bench);
    setup.scale.reading = Reading::Absolute;
    Sim::start(setup, 7, at_mm * 1e-3)
}

/// A command as it stands in a scene, in JSON.
pub fn command(json: &str) -> Command {
    serde_json::from_str(json).unwrap_or_else(|e| panic!("{json}: {e}"))
}

/// Gives a command that must be taken.
pub fn give(sim: &mut Sim, json: &str) {
    sim.command(&command(json)).unwrap_or_else(|why| panic!("{json}: {why}"));
}

/// Steps in a time, s.
pub fn steps(seconds: f64) -> u64 {
    (seconds / STEP_S).round() as u64
}

/// The bench as it would be kept.
pub fn kept(sim: &Sim) -> String {
    serde_json::to_string(sim.bench()).expect("a bench can be kept")
}

/// A kept bench, going on.
pub fn resumed(kept: &str) -> Sim {
    let bench: Bench = serde_json::from_str(kept).unwrap_or_else(|e| panic!("{e}: {kept}"));
    Sim::resume(bench).unwrap_or_else(|e| panic!("{e}"))
}

/// Runs until the axis does one thing, at most so long, s.
pub fn run_until(sim: &mut Sim, doing: Doing, at_most_s: f64, tap: &mut impl Tap) {
    for _ in 0..steps(at_most_s) {
        sim.step(tap);
        if sim.record().doing == doing {
            return;
        }
    }
    panic!("still {:?} after {at_most_s} s, {:?} was expected", sim.record().doing, doing);
}

/// Way per count, m.
pub fn count_m(sim: &Sim) -> f64 {
    sim.params().metres_per_count()
}

/// How far the count is from the place of the table, in counts: 0 when the table stands in the middle of its count.
pub fn off_counts(sim: &Sim) -> f64 {
    let (r, q) = (sim.record(), count_m(sim));
    let off_m = r.counted_m + 0.5 * q - r.table_m;
    let machine = &sim.params().machine;
    // A turn more is the same place on a table that turns for ever.
    let turns = if machine.endless { (off_m / machine.travel).round() } else { 0.0 };
    (off_m - turns * machine.travel) / q
}

/// Keeps the log.
#[derive(Default)]
pub struct Log(pub Vec<Event>);

impl Tap for Log {
    const SAMPLES: bool = false;
    fn event(&mut self, event: &Event) {
        self.0.push(event.clone());
    }
}

/// Asks that every number that comes out is finite.
pub struct Finite;

impl Tap for Finite {
    fn sample(&mut self, s: &Sample) {
        assert!([s.time_s, s.table_m, s.a_v, s.b_v].iter().all(|n| n.is_finite()), "{s:?}");
    }

    fn record(&mut self, r: &Record) {
        let numbers = [
            r.table_m,
            r.speed_mps,
            r.command_m,
            r.command_mps,
            r.counted_m,
            r.readout_m,
            r.motor_m,
            r.error_m,
            r.expected_m,
            r.band_m.0,
            r.band_m.1,
            r.current_a,
            r.gap_m,
            r.contrast,
            r.amplitude_a_v,
            r.amplitude_b_v,
            r.needed_v,
        ];
        assert!(numbers.iter().chain(&r.lit).chain(&r.photocurrent_a).all(|n| n.is_finite()), "{r:?}");
    }
}

/// Which monitors spoke.
pub fn kinds(log: &Log) -> Vec<MonitorKind> {
    log.0.iter().filter_map(|e| if let What::Monitor { kind, .. } = e.what { Some(kind) } else { None }).collect()
}

/// The log as people read it.
pub fn words(log: &Log) -> Vec<String> {
    log.0.iter().map(Event::words).collect()
}
