//! What a step and its samples cost, stage by stage: the work that the benchmark and the page measure alike.
//!
//! Everything here is work without a clock, so that the model stays free of one: whoever measures runs a [`Stage`]
//! often and divides. The stages run alone over inputs taken from one running bench: their sum leaves out what
//! handing on from stage to stage costs, and counts in what a processor would have done side by side.

use super::command::{Break, Command, PlaceMm, Shuttle, Smear};
use super::compiled::STEP_S;
use super::sim::Sim;
use crate::axis::{AxisInput, ControlOutput, Travelled};
use crate::chain::analog::{self, SampleCoefficients};
use crate::chain::photo::Photocurrents;
use crate::chain::wiring::Follow;
use crate::fault::FaultId;
use crate::numbers::Within;
use crate::record::{Sample, Tap};
use crate::setup::{BenchId, LampControl, Setup};
use serde::Serialize;
use std::ops::Range;

/// Samples that the stages go round in: enough to pass over dirty and bare scale, few enough for the nearest cache.
const ROUND: usize = 512;
/// Steps until a bench has reached its speed.
const RUN_UP: u64 = 4000;
/// A healthy small mill on its 20 um glass scale, shuttling at 12 m/min.
#[must_use]
pub fn quiet() -> Sim {
    running(Setup::healthy(BenchId::SmallMill), &[])
}

/// The same with dirt all along, noise, a poor contact and another that opens elsewhere on the travel.
#[must_use]
pub fn dirty() -> Sim {
    running(Setup::healthy(BenchId::SmallMill), &trouble())
}

/// The same with everything else that a step can meet as well: an inverter and hum beside the cable, vibration over a
/// wedge, a regulated lamp.
#[must_use]
pub fn busy() -> Sim {
    let mut setup = Setup::healthy(BenchId::SmallMill);
    setup.head.vibration_um = 5.0;
    setup.head.wedge_um_per_m = 20.0;
    setup.lamp.control = LampControl::Regulated;
    setup.cable.inverter_v = 100.0;
    setup.cable.hum_mv = 50.0;
    running(setup, &trouble())
}

fn trouble() -> Vec<Command> {
    let mut commands: Vec<Command> = (0..10).map(|i| smear(50.0 + 25.0 * f64::from(i))).collect();
    commands.push(broken(FaultId::ConductorOpen, 2.0, 0.0));
    commands.push(broken(FaultId::FlexBreak, 50.0, 10.0));
    commands
}

/// A healthy mill that shuttles as machines do: 400 mm to and fro at 6 m/min with half a second of rest at each end.
#[must_use]
pub fn shuttling() -> Sim {
    let shuttle = Shuttle {
        from_mm: PlaceMm::nearest(50.0),
        to_mm: PlaceMm::nearest(450.0),
        speed_m_per_min: Within::nearest(6.0),
        dwell_s: Within::nearest(0.5),
    };
    let mut sim = running(Setup::healthy(BenchId::SmallMill), &[]);
    let taken = sim.command(&Command::Shuttle(shuttle));
    debug_assert!(taken.is_ok(), "{taken:?}");
    sim
}

fn smear(from_mm: f64) -> Command {
    Command::Smear(Smear::blocking(PlaceMm::nearest(from_mm), PlaceMm::nearest(from_mm + 15.0), Within::nearest(20.0)))
}

fn broken(fault: FaultId, percent: f64, at_mm: f64) -> Command {
    Command::Break(Break { fault, severity_percent: Within::nearest(percent), at_mm: Some(PlaceMm::nearest(at_mm)) })
}

fn running(setup: Setup, commands: &[Command]) -> Sim {
    let mut sim = Sim::start(setup, 7, 0.06);
    let shuttle = Command::Shuttle(Shuttle {
        from_mm: PlaceMm::nearest(60.0),
        to_mm: PlaceMm::nearest(260.0),
        speed_m_per_min: Within::nearest(12.0),
        dwell_s: Within::nearest(0.0),
    });
    for command in commands.iter().chain([&shuttle]) {
        let taken = sim.command(command);
        debug_assert!(taken.is_ok(), "{taken:?}");
    }
    sim.advance(RUN_UP, &mut ());
    sim
}

/// How many samples a bench takes in a number of steps.
#[must_use]
pub fn samples_in(mut sim: Sim, steps: u64) -> u64 {
    struct Count(u64);
    impl Tap for Count {
        fn sample(&mut self, _: &Sample) {
            self.0 += 1;
        }
    }
    let mut count = Count(0);
    sim.advance(steps, &mut count);
    count.0
}

/// What a stage is done for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum Per {
    /// Every sample; the stage does a whole step's samples at a time.
    Sample,
    /// Every step.
    Step,
}

/// A part of the chain that can be run alone.
#[derive(Clone, Copy, Debug)]
pub struct Stage {
    /// Its name.
    pub name: &'static str,
    /// What it is done for.
    pub per: Per,
    run: fn(&mut Rig) -> f64,
}

impl Stage {
    /// Does the stage's work of one step and returns something that depends on all of it.
    pub fn run(&self, rig: &mut Rig) -> f64 {
        (self.run)(rig)
    }
}

const fn stage(name: &'static str, per: Per, run: fn(&mut Rig) -> f64) -> Stage {
    Stage { name, per, run }
}

/// The stages in the order of a step.
pub const STAGES: [Stage; 9] = [
    stage("axis", Per::Step, Rig::axis),
    stage("monitors", Per::Step, Rig::monitors),
    stage("pose, surface and lamp", Per::Step, Rig::lead),
    stage("photocurrents", Per::Sample, Rig::currents),
    stage("pickup", Per::Sample, Rig::pickup),
    stage("amplifier and noise", Per::Sample, Rig::amplifier),
    stage("driver and wiring", Per::Sample, Rig::wiring),
    stage("interpolate and count", Per::Sample, Rig::count),
    stage("narrator and record", Per::Step, Rig::record),
];

/// One line of the table of costs.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Cost {
    /// What was measured.
    pub name: &'static str,
    /// What the time is for.
    pub per: Per,
    /// Time, ns.
    pub ns: f64,
}

/// Runs everything against a clock that counts seconds and returns what it costs: the quickest of many rounds of some
/// steps, because whatever else a machine does can only slow a round down. Rounds should be short, so that some of
/// them are not interrupted, and many ticks of the clock long.
pub fn measure(rounds: u32, steps: u64, now_s: impl Fn() -> f64) -> Vec<Cost> {
    let mut costs = Vec::new();
    let now_s = (rounds, now_s);
    let mut whole = |sim: Sim, name: &'static str| {
        let samples = samples_in(sim.clone(), steps) as f64;
        let round_s = quickest(&now_s, || sim.clone(), |sim| sim.advance(steps, &mut ()));
        costs.push(Cost { name, per: Per::Sample, ns: round_s * 1e9 / samples });
        costs.push(Cost { name, per: Per::Step, ns: round_s * 1e9 / steps as f64 });
    };
    whole(busy(), "everything at once");
    whole(dirty(), "dirt, noise, wiring");
    whole(quiet(), "healthy");
    whole(Sim::start(Setup::healthy(BenchId::SmallMill), 7, 0.06), "healthy, at rest");
    let rig = Rig::new(busy());
    for stage in &STAGES {
        let mut sum = 0.0;
        let round_s = quickest(&now_s, || rig.clone(), |rig| (0..steps).for_each(|_| sum += stage.run(rig)));
        std::hint::black_box(sum);
        let times = if stage.per == Per::Sample { f64::from(rig.samples()) } else { 1.0 };
        costs.push(Cost { name: stage.name, per: stage.per, ns: round_s * 1e9 / (steps as f64 * times) });
    }
    costs
}

/// Time of the quickest round, s.
fn quickest<T>((rounds, now_s): &(u32, impl Fn() -> f64), fresh: impl Fn() -> T, mut round: impl FnMut(&mut T)) -> f64 {
    (0..*rounds).fold(f64::INFINITY, |quickest_s, _| {
        let mut subject = fresh();
        let start_s = now_s();
        round(&mut subject);
        quickest_s.min(now_s() - start_s)
    })
}

/// A bench with the inputs of its stages.
#[derive(Clone, Debug)]
pub struct Rig {
    sim: Sim,
    samples: u32,
    coefficients: SampleCoefficients,
    follow: Follow,
    at: usize,
    place_m: Vec<f64>,
    light: Vec<Photocurrents>,
    head_v: Vec<[f64; 2]>,
    seen_v: Vec<[f64; 2]>,
    control: Vec<ControlOutput>,
}

impl Rig {
    /// Takes the inputs from a running bench.
    #[must_use]
    pub fn new(mut sim: Sim) -> Self {
        let (from_m, before) = (sim.record.table_m, sim.clone());
        let samples = samples_in(before, 1) as u32;
        sim.step(&mut ());
        let stride_m = (sim.record.table_m - from_m) / f64::from(samples);
        let mut rig = Self {
            samples,
            coefficients: sim.compiled.samples.of(samples),
            follow: sim.compiled.wiring.follow(samples),
            at: 0,
            place_m: (0..ROUND).map(|i| from_m + i as f64 * stride_m).collect(),
            light: Vec::new(),
            head_v: Vec::new(),
            seen_v: Vec::new(),
            control: Vec::new(),
            sim,
        };
        let mut axis = rig.sim.bench.state.axis.clone();
        for _ in 0..ROUND {
            rig.control.push(axis.control(&rig.sim.compiled.axis, &rig.sim.axis_input()));
            axis.step += 1;
        }
        for i in 0..ROUND {
            rig.take_inputs(rig.place_m[i]);
        }
        rig
    }

    /// Samples in a step of this bench.
    #[must_use]
    pub fn samples(&self) -> u32 {
        self.samples
    }

    fn take_inputs(&mut self, x_m: f64) {
        let Sim { bench, compiled, cursor, .. } = &mut self.sim;
        let light = compiled.optics.currents(x_m, &compiled.surface, cursor);
        let sigma_v = compiled.analog.noise_v(&light);
        let head = analog::step_with(&compiled.analog, &mut bench.state.analog, &light, &self.coefficients, sigma_v);
        let legs = compiled.driver.channels([head.a_v, head.b_v]);
        let dt_s = STEP_S / f64::from(self.samples);
        let [a_v, b_v] = compiled.wiring.step_channels(&mut bench.state.wiring, &legs, x_m, dt_s, &self.follow);
        self.light.push(light);
        self.head_v.push([head.a_v, head.b_v]);
        self.seen_v.push([a_v, b_v]);
    }

    /// The samples of the next step.
    fn next(&mut self) -> Range<usize> {
        let count = self.samples as usize;
        let from = if self.at + count <= ROUND { self.at } else { 0 };
        self.at = from + count;
        from..self.at
    }

    fn axis(&mut self) -> f64 {
        // The count is where the table is, so that the loop stays closed.
        let (state, axis) = (&mut self.sim.bench.state.axis, &self.sim.compiled.axis);
        let scale_count = libm::floor(state.plant.x / axis.scale_count) as i64 + state.scale_zero;
        let out = state.control(axis, &AxisInput { scale_count, latched: None });
        let Travelled { from, to } = state.advance(axis);
        to - from + out.velocity.map_or(0.0, |v| v.v_ref)
    }

    fn monitors(&mut self) -> f64 {
        self.at = (self.at + 1) % self.control.len();
        let mut raised = 0.0;
        let out = &self.control[self.at];
        self.sim.bench.state.watch.step(&self.sim.compiled.watch, out, |event| raised += event.value);
        raised
    }

    fn lead(&mut self) -> f64 {
        let at = self.next();
        let way = Travelled { from: self.place_m[at.start], to: self.place_m[at.end - 1] };
        self.sim.bench.state.axis.step += 1;
        self.sim.lead_head(self.sim.time_s(), way).to_m
    }

    fn currents(&mut self) -> f64 {
        let at = self.next();
        let Sim { compiled, seen, .. } = &self.sim;
        let (from_m, to_m) = (self.place_m[at.start], self.place_m[at.end - 1]);
        let mut sweep = compiled.optics.sweep(from_m, to_m, [seen, seen], self.samples);
        at.map(|_| compiled.optics.next(&mut sweep).iter().sum::<f64>()).sum()
    }

    fn pickup(&mut self) -> f64 {
        let Sim { bench, compiled, around, params, .. } = &mut self.sim;
        let state = &mut bench.state.interference;
        bench.state.axis.step += 1;
        let (step, matters_v) = (bench.state.axis.step, 0.5 * params.square.hysteresis_v);
        let wanted = compiled.pickup.samples_wanted(step, state, matters_v);
        compiled.pickup.begin(step, self.samples, state, around);
        let picked_v = (0..self.samples).map(|_| compiled.pickup.sample(around, state).common_v);
        f64::from(wanted) + picked_v.sum::<f64>()
    }

    fn amplifier(&mut self) -> f64 {
        let at = self.next();
        let Sim { bench, compiled, .. } = &mut self.sim;
        let sigma_v = compiled.analog.noise_v(&self.light[at.start]);
        let (coefficients, state) = (&self.coefficients, &mut bench.state.analog);
        let one = |light| analog::step_with(&compiled.analog, state, light, coefficients, sigma_v).b_v;
        self.light[at].iter().map(one).sum()
    }

    fn wiring(&mut self) -> f64 {
        let at = self.next();
        let Sim { bench, compiled, .. } = &mut self.sim;
        let (place_m, dt_s) = (self.place_m[at.start], STEP_S / f64::from(self.samples));
        let follow = compiled.wiring.follow(self.samples);
        let one = |v: &[f64; 2]| {
            let legs = compiled.driver.channels(*v).lifted(compiled.ground_v);
            compiled.wiring.step_channels(&mut bench.state.wiring, &legs, place_m, dt_s, &follow)[1]
        };
        self.head_v[at].iter().map(one).sum()
    }

    fn count(&mut self) -> f64 {
        let at = self.next();
        for (i, [a_v, b_v]) in self.seen_v[at.clone()].iter().enumerate() {
            (self.sim.samples.a_v[i], self.sim.samples.b_v[i]) = (*a_v, *b_v);
        }
        self.sim.samples.find_phases(self.samples as usize, [0.0; 2]);
        for (i, x_m) in self.place_m[at].iter().enumerate() {
            self.sim.count(*x_m, i);
        }
        self.sim.bench.state.counter.count as f64
    }

    fn record(&mut self) -> f64 {
        self.sim.finish(self.light[0], &mut ());
        self.sim.record.amplitude_a_v
    }
}
