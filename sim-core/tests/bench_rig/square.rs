//! What the tests of the receiving end share.
#![allow(dead_code)]

use super::{Log, give};
use sim_core::bench::Sim;
use sim_core::chain::loss::SignalFault;
use sim_core::event::What;
use sim_core::record::{Sample, Tap};
use sim_core::setup::{BenchId, HeadOutput, Setup};

pub fn bench(id: BenchId, output: HeadOutput, change: impl Fn(&mut Setup), at_mm: f64) -> Sim {
    let mut setup = Setup::healthy(id);
    setup.head.output = output;
    change(&mut setup);
    Sim::start(setup, 7, at_mm * 1e-3)
}

pub fn gantry(output: HeadOutput) -> Sim {
    bench(BenchId::RouterGantry, output, |_| {}, 200.0)
}

pub fn break_it(sim: &mut Sim, fault: &str, percent: f64) {
    give(sim, &format!(r#"{{"break":{{"fault":"{fault}","severity_percent":{percent}}}}}"#));
}

pub fn move_by(sim: &mut Sim, mm: f64, speed: f64) {
    give(sim, &format!(r#"{{"move_by":{{"by_mm":{mm},"speed_m_per_min":{speed}}}}}"#));
}

/// Extremes of the volts of A and B, and edges of A in the samples.
#[derive(Default)]
pub struct Volts {
    pub a: (f64, f64),
    pub b: (f64, f64),
    pub edges: u32,
    pub last: Option<bool>,
}

impl Tap for Volts {
    fn sample(&mut self, s: &Sample) {
        self.a = (self.a.0.min(s.a_v), self.a.1.max(s.a_v));
        self.b = (self.b.0.min(s.b_v), self.b.1.max(s.b_v));
        self.edges += u32::from(self.last.is_some_and(|last| last != s.square_a));
        self.last = Some(s.square_a);
    }
}

/// Signal faults in the order in which they were told, and how often the signal was told to be good again.
pub fn told(log: &Log) -> (Vec<SignalFault>, usize) {
    let faults = log.0.iter().filter_map(|e| match e.what {
        What::Signal { fault, .. } => Some(fault),
        _ => None,
    });
    (faults.collect(), log.0.iter().filter(|e| e.what == What::SignalGood).count())
}
