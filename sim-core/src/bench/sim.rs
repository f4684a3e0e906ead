//! The running bench: steps in the order of the chain, and nothing else. A run is a pure function of the bench and
//! the commands.

use super::compiled::{Compiled, STEP_S};
use super::filtered::InputFilterState;
use super::hanging::BrakeCare;
use super::isolating::params_now;
use super::narrator::Narrator;
use super::reading::Seen;
use super::safety::Safety;
use super::samples::Samples;
use super::state::{BENCH_FORMAT, Bench, State};
use super::zero::ZeroState;
use crate::axis::homing::{HomeSwitch, HomingState};
use crate::axis::{AxisInput, AxisState, Travelled};
use crate::chain::alignment::AlignmentState;
use crate::chain::analog::AnalogState;
use crate::chain::counter::CounterState;
use crate::chain::edge_filter::InputEdge;
use crate::chain::interference::{InterferenceState, InterferenceStep};
use crate::chain::interpolate::InterpolateState;
use crate::chain::lamp::LampState;
use crate::chain::loss::LossState;
use crate::chain::mark::MarkCursor;
use crate::chain::square::SquareState;
use crate::chain::square_line::SquareLine;
use crate::chain::wiring::WiringState;
use crate::event::What;
use crate::fault::Active;
use crate::monitor::Watch;
use crate::monitor::signal::SignalWatch;
use crate::num::random::Stream;
use crate::params::{Params, params_of};
use crate::record::{Record, Tap, Watched, Watcher};
use crate::scene::Scene;
use crate::setup::Setup;
use crate::surface::{SurfaceCursor, SurfaceGains, SurfaceMap, WindowCursor};
use crate::upkeep::Upkeep;

/// A bench with everything that it takes to step it.
#[derive(Clone, Debug)]
pub struct Sim {
    pub(super) bench: Bench,
    pub(super) params: Params,
    pub(super) compiled: Compiled,
    pub(super) cursor: SurfaceCursor,
    /// What the surface does to the light where the head reads now.
    pub(super) seen: [SurfaceGains; 4],
    pub(super) mark_cursor: MarkCursor,
    pub(super) code_cursor: WindowCursor,
    /// Channels at the input at the end of the last step, V.
    pub(super) at_input_v: [f64; 2],
    pub(super) around: InterferenceStep,
    pub(super) samples: Samples,
    pub(super) record: Record,
    pub(super) pending: Vec<What>,
    /// What the last step's samples showed of the signal; made anew in each step.
    pub(super) signal_seen: Seen,
    /// Edges of a sample ahead of the input filter; work space.
    pub(super) edges: Vec<InputEdge>,
}

impl Sim {
    /// A healthy bench as if it had just been homed, holding at a place, m from machine zero.
    pub fn start(setup: Setup, seed: u32, start_m: f64) -> Self {
        let faults = Vec::new();
        let params = params_of(&setup, &faults, &SurfaceMap::default());
        let compiled = Compiled::new(&params);
        let q = params.metres_per_count();
        // In the middle of a count's stretch, so that noise cannot decide the first count.
        let table_m = (libm::floor(start_m / q + 1e-6) + 0.5) * q;
        let mut axis = AxisState::at_rest(&compiled.axis, table_m, 0);
        let counts = libm::floor(table_m / q) as i64 * params.sign as i64;
        axis.scale_zero = -counts;
        axis.motor_zero -= libm::round(table_m / compiled.axis.servo.motor_count()) as i64;
        axis.switch = HomeSwitch::with_noise(Stream::named(u64::from(seed), "home switch"));
        axis.switch.step(&compiled.axis.home, &compiled.axis.switch, table_m, STEP_S);
        axis.homing.state = HomingState::Referenced { switch_to_mark: -compiled.axis.home.switch_at };
        let state = State {
            dirt: SurfaceMap::default(),
            axis,
            watch: Watch::default(),
            alignment: AlignmentState::settled(&params.alignment, 0.0),
            lamp: LampState::new(&params.lamp),
            interference: InterferenceState::new(u64::from(seed)),
            wiring: WiringState::new(u64::from(seed)),
            analog: AnalogState::new(u64::from(seed)),
            squares: [SquareState::default(); 2],
            interpolate: InterpolateState::default(),
            counter: CounterState::default(),
            latched: None,
            readout_zero_m: 0.0,
            narrator: Narrator::default(),
            upkeep: Upkeep::new(u64::from(seed)),
            square_line: SquareLine::default(),
            loss: LossState::default(),
            signal: SignalWatch::default(),
            zero: ZeroState::new(u64::from(seed)),
            filter: InputFilterState::default(),
            brake: BrakeCare::default(),
            safety: Safety::default(),
            flexing: None,
        };
        let bench = Bench { format: BENCH_FORMAT, setup, faults, state };
        let mut sim = Self::with(bench, params, compiled);
        sim.settle();
        sim.teach_turns();
        sim.seat_code();
        // On a bench that was just switched on there is nothing to acknowledge.
        let count = sim.bench.state.counter.count;
        sim.bench.state.axis.hold(&sim.compiled.axis, count);
        sim.refresh_record();
        sim
    }

    fn with(bench: Bench, params: Params, compiled: Compiled) -> Self {
        Self {
            bench,
            params,
            compiled,
            cursor: SurfaceCursor::default(),
            seen: [SurfaceGains::CLEAN; 4],
            mark_cursor: MarkCursor::default(),
            code_cursor: WindowCursor::default(),
            at_input_v: [0.0; 2],
            around: InterferenceStep::default(),
            samples: Samples::default(),
            record: Record::default(),
            pending: Vec::new(),
            signal_seen: Seen::default(),
            edges: Vec::with_capacity(64),
        }
    }

    /// The start of a scene, with its settings made.
    pub fn of_scene(scene: &Scene) -> Self {
        let mut setup = Setup::healthy(scene.bench);
        for (setting, value) in &scene.set.0 {
            // Values of a scene were checked when it was read; a wrong one leaves the healthy setting.
            let _ = setting.set(&mut setup, value);
        }
        let mut sim = Self::start(setup, scene.seed, scene.start_mm.get() * 1e-3);
        if let Some(found) = &scene.as_found {
            let mut to = sim.arrangement();
            (to.faults, to.dirt) = (found.faults.clone(), found.dirt.clone());
            to.upkeep = found.upkeep.clone().unwrap_or(to.upkeep);
            // Checked with the rest of the scene; a bench that cannot be stays healthy.
            let _ = sim.arrange(&to);
        }
        sim
    }

    /// Goes on with a kept bench.
    ///
    /// # Errors
    /// When the bench is not one that could have been kept.
    pub fn resume(bench: Bench) -> Result<Self, super::state::BenchError> {
        bench.check()?;
        let params = params_now(&bench);
        let compiled = Compiled::new(&params);
        let mut sim = Self::with(bench, params, compiled);
        if sim.bench.format < 2 {
            sim.bench.state.axis.adopt_rigid(&sim.compiled.axis);
        }
        sim.bench.format = BENCH_FORMAT;
        sim.refresh_record();
        Ok(sim)
    }

    /// The bench as it stands.
    pub fn bench(&self) -> &Bench {
        &self.bench
    }

    /// The parameters in force.
    pub fn params(&self) -> &Params {
        &self.params
    }

    /// What follows from the parameters.
    pub fn compiled(&self) -> &Compiled {
        &self.compiled
    }

    /// The end of the last step.
    pub fn record(&self) -> &Record {
        &self.record
    }

    /// Faults that are in.
    pub fn faults(&self) -> &[Active] {
        &self.bench.faults
    }

    /// Model time, s.
    pub fn time_s(&self) -> f64 {
        self.bench.state.axis.step as f64 * STEP_S
    }

    /// Many steps.
    pub fn advance<T: Tap>(&mut self, steps: u64, tap: &mut T) {
        for _ in 0..steps {
            self.step(tap);
        }
    }

    /// One step, seen through a pointer: the same for every watcher, compiled once.
    #[inline(never)]
    pub fn step_watched(&mut self, watcher: &mut dyn Watcher) {
        self.step(&mut Watched(watcher));
    }

    /// Many steps that nobody watches, compiled once.
    #[inline(never)]
    pub fn advance_unwatched(&mut self, steps: u64) {
        self.advance(steps, &mut ());
    }

    /// One step of 50 us, in the order of the chain.
    pub fn step<T: Tap>(&mut self, tap: &mut T) {
        if self.bench.state.safety.isolated() {
            return self.step_dead(tap);
        }
        let start_s = self.time_s();
        let input = self.axis_input();
        self.bench.state.latched = None;
        let out = self.bench.state.axis.control(&self.compiled.axis, &input);
        self.watch(&out);
        self.look_at_zero(&out);
        if let Some(count) = input.latched {
            self.mark_passed(count);
        }
        let way = self.move_table();
        self.bend_cable();
        let light = self.read_head(start_s, way, tap);
        self.narrow_counter();
        self.watch_signal();
        self.read_absolute();
        self.watch_brake();
        self.finish(light, tap);
    }

    /// The table goes on by a step; one without torque that stands on its prop stays.
    pub(super) fn move_table(&mut self) -> Travelled {
        let state = &mut self.bench.state;
        if state.safety.propped() && !state.axis.powered() {
            return state.axis.stay(&self.compiled.axis);
        }
        state.axis.advance(&self.compiled.axis)
    }

    pub(super) fn axis_input(&self) -> AxisInput {
        AxisInput { scale_count: self.bench.state.counter.count, latched: self.bench.state.latched }
    }

    pub(super) fn refresh_record(&mut self) {
        let light = self.place_head();
        self.make_record(light);
    }
}

/// Runs a scene like [`run`], seen through a pointer.
#[inline(never)]
pub fn run_watched(scene: &Scene, watcher: &mut dyn Watcher) -> Sim {
    run(scene, &mut Watched(watcher))
}

/// Runs a scene from start to end: nothing but the scene decides what comes out.
pub fn run<T: Tap>(scene: &Scene, tap: &mut T) -> Sim {
    let mut sim = Sim::of_scene(scene);
    let step_of = |seconds: f64| libm::round(seconds / STEP_S) as u64;
    let mut done = 0;
    for timed in &scene.steps {
        let due = step_of(timed.at_s.get());
        sim.advance(due.saturating_sub(done), tap);
        done = done.max(due);
        if let Err(why) = sim.command(&timed.command) {
            sim.pending.push(What::Refused { why });
        }
    }
    sim.advance(step_of(scene.duration_s.get()).saturating_sub(done), tap);
    sim
}
