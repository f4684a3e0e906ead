//! The lab: the running bench with its recorders and its clock. Knows no browser, so it is tested natively.

mod charts;
mod clock;
mod ghost;
mod links;
mod machine;
mod trail;

pub use charts::{COLUMNS, Charts};
pub use clock::{Clock, PACES};

use ghost::Healthy;
use sim_core::bench::command::Command;
use sim_core::bench::{Bench, BenchError, Sim};
use sim_core::event::{Event, Weight, What};
use sim_core::instrument::waveform::Waveform;
use sim_core::record::{Record, STEP_S, Tap};
use sim_core::scene::{Scene, Timed};
use std::collections::VecDeque;
use trail::Trail;

/// Entries that the log keeps.
const LOG_LENGTH: usize = 200;

/// Steps between two looks at the clock of the device.
const CHUNK: u64 = 40;

/// What watches the bench for the page.
#[derive(Default)]
struct Watchers {
    wave: Waveform,
    trail: Trail,
    log: VecDeque<Event>,
    /// Events since the start, so that a reader of the log can see what is new.
    told: u64,
    last_alarm_s: Option<f64>,
    before: Record,
}

impl Tap for Watchers {
    fn sample(&mut self, sample: &sim_core::record::Sample) {
        self.wave.sample(sample);
        self.trail.sample(sample);
    }

    fn record(&mut self, record: &Record) {
        self.wave.record(record);
    }

    fn event(&mut self, event: &Event) {
        if event.weight() == Weight::Alarm {
            self.last_alarm_s = Some(event.time_s);
        }
        // A stroke of the pointer smears bit by bit; the log tells it once.
        if let Some(last) = self.log.front_mut()
            && extend_smear(last, event)
        {
            return;
        }
        self.told += 1;
        self.log.push_front(event.clone());
        self.log.truncate(LOG_LENGTH);
    }
}

/// Joins a smear to the one before it when they touch and follow each other; false when they are two.
fn extend_smear(last: &mut Event, event: &Event) -> bool {
    let (What::Smeared { from_m, to_m }, What::Smeared { from_m: from, to_m: to }) = (&mut last.what, &event.what)
    else {
        return false;
    };
    let touching = *from <= *to_m + 1e-9 && *to >= *from_m - 1e-9;
    if !touching || event.time_s - last.time_s > 1.0 {
        return false;
    }
    (*from_m, *to_m) = (from_m.min(*from), to_m.max(*to));
    true
}

/// The running bench.
pub struct Lab {
    sim: Sim,
    watchers: Watchers,
    /// The clock; the page turns it.
    pub clock: Clock,
    scene: Scene,
    scene_id: String,
    waiting: VecDeque<Timed>,
    healthy: Healthy,
}

impl Lab {
    /// A lab with a scene at its start.
    pub fn new(id: &str, scene: Scene) -> Self {
        let sim = Sim::of_scene(&scene);
        let healthy = Healthy::of(&sim);
        let watchers = Watchers { before: *sim.record(), ..Watchers::default() };
        let waiting = scene.steps.iter().cloned().collect();
        Self { sim, watchers, clock: Clock::default(), scene, scene_id: id.to_owned(), waiting, healthy }
    }

    /// Starts another scene; pace and run state of the clock stay.
    pub fn load(&mut self, id: &str, scene: Scene) {
        let clock = self.clock.restarted();
        *self = Self::new(id, scene);
        self.clock = clock;
    }

    /// Starts the scene again.
    pub fn restart(&mut self) {
        let (id, scene) = (self.scene_id.clone(), self.scene.clone());
        self.load(&id, scene);
    }

    /// Goes on with a kept bench that began with a scene, paused; the last `waiting` of its steps are still to come.
    ///
    /// # Errors
    /// When it is no bench; then nothing is changed.
    pub fn open_bench(&mut self, id: &str, scene: Scene, bench: Bench, waiting: usize) -> Result<(), BenchError> {
        let sim = Sim::resume(bench)?;
        self.load(id, scene);
        self.waiting.drain(..self.waiting.len().saturating_sub(waiting));
        (self.healthy, self.watchers.before, self.clock.running) = (Healthy::of(&sim), *sim.record(), false);
        self.sim = sim;
        Ok(())
    }

    /// Steps of the scene that are still to come.
    pub fn waiting(&self) -> usize {
        self.waiting.len()
    }

    /// The scene that was loaded.
    pub fn scene(&self) -> &Scene {
        &self.scene
    }

    /// Its id.
    pub fn scene_id(&self) -> &str {
        &self.scene_id
    }

    /// The bench.
    pub fn sim(&self) -> &Sim {
        &self.sim
    }

    /// The log, newest first.
    pub fn log(&self) -> impl Iterator<Item = &Event> {
        self.watchers.log.iter()
    }

    /// Events told since the start.
    pub fn told(&self) -> u64 {
        self.watchers.told
    }

    /// Carries a command of the person out. What the scene still had planned is dropped when the person moves the axis.
    ///
    /// # Errors
    /// Why it was refused.
    pub fn command(&mut self, command: &Command) -> Result<(), String> {
        let moves = matches!(
            command,
            Command::Jog(_)
                | Command::MoveTo(_)
                | Command::MoveBy(_)
                | Command::Shuttle(_)
                | Command::Stop
                | Command::Home
                | Command::Acknowledge
                | Command::Drive(_)
                | Command::PowerCycle(_)
        );
        if moves {
            self.waiting.clear();
        }
        let outcome = self.sim.command(command);
        self.healthy.follow(&self.sim);
        outcome
    }

    /// A frame of the screen: runs the model for `wall_s` of the person's time, as long as `in_time` says that there is
    /// time left in the frame.
    pub fn frame(&mut self, wall_s: f64, mut in_time: impl FnMut() -> bool) {
        if !self.clock.running {
            return;
        }
        let mut steps = self.clock.steps_due(wall_s);
        while steps > 0 && self.clock.running {
            let chunk = steps.min(CHUNK);
            self.advance(chunk);
            steps -= chunk;
            if steps > 0 && !in_time() {
                self.clock.fell_behind(steps);
                break;
            }
        }
    }

    /// Goes on by one fortieth of the window and stays paused.
    pub fn step_on(&mut self) {
        self.clock.running = false;
        self.clock.settle();
        let steps = (self.window_s() / 40.0 / STEP_S).ceil().max(1.0) as u64;
        self.advance(steps.min(20_000));
    }

    /// Steps the bench, giving the scene's commands when they are due, and stops the clock where it should.
    pub fn advance(&mut self, steps: u64) {
        for _ in 0..steps {
            while self.waiting.front().is_some_and(|timed| timed.at_s.get() <= self.sim.time_s() + 0.5 * STEP_S) {
                if let Some(timed) = self.waiting.pop_front()
                    && let Err(why) = self.sim.command(&timed.command)
                {
                    let what = What::Refused { why };
                    let (time_s, place_m) = (self.sim.time_s(), self.sim.record().table_m);
                    self.watchers.event(&Event { time_s, place_m, what });
                }
                self.healthy.follow(&self.sim);
            }
            self.watchers.before = *self.sim.record();
            self.sim.step(&mut self.watchers);
            if let Some(alarm_s) = self.watchers.last_alarm_s
                && self.clock.stop_after_alarm(alarm_s, self.sim.time_s())
            {
                break;
            }
        }
    }

    /// Model time that the screen shows, s: within a step motion is a straight line, so slow motion moves smoothly.
    pub fn shown_s(&self) -> f64 {
        (self.sim.time_s() - STEP_S + self.clock.share() * STEP_S).max(0.0)
    }

    /// The record at the shown moment.
    pub fn shown(&self) -> Record {
        let (before, now, share) = (&self.watchers.before, self.sim.record(), self.clock.share());
        let mix = |a: f64, b: f64| a + (b - a) * share;
        let mut shown = *now;
        shown.table_m = mix(before.table_m, now.table_m);
        shown.command_m = mix(before.command_m, now.command_m);
        shown.counted_m = mix(before.counted_m, now.counted_m);
        for (lit, old) in shown.lit.iter_mut().zip(before.lit) {
            *lit = mix(old, *lit);
        }
        shown
    }

    /// Length of the time window of the charts, s.
    pub fn window_s(&self) -> f64 {
        self.clock.window_s()
    }

    /// Moment of the last alarm, s.
    pub fn last_alarm_s(&self) -> Option<f64> {
        self.watchers.last_alarm_s
    }

    /// How far the readout is off the table, m; zero while it is right to within a count.
    pub fn uncounted_m(&self) -> f64 {
        let record = self.sim.record();
        let q = self.sim.params().metres_per_count();
        let off = record.table_m - record.counted_m - 0.5 * q;
        if off.abs() <= 1.01 * q { 0.0 } else { off }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lab(id: &str) -> Lab {
        let shipped = lessons::shipped_by_name(id).unwrap();
        Lab::new(id, lessons::read(id, shipped.text).unwrap())
    }

    #[test]
    fn stepping_in_frames_gives_the_same_run_as_running_the_scene() {
        let mut lab = lab("wide-smear");
        lab.clock.running = true;
        lab.clock.set_pace(0);
        lab.clock.pause_at_alarm = false;
        while lab.sim.time_s() < 2.0 - 1e-9 {
            lab.frame(0.0137, || true);
        }
        let mut short = lab.scene.clone();
        short.duration_s = sim_core::numbers::Within::new(lab.sim.time_s()).unwrap();
        let whole = sim_core::bench::run(&short, &mut ());
        assert_eq!(lab.sim.record(), whole.record());
    }

    #[test]
    fn the_clock_stops_shortly_after_an_alarm() {
        let mut lab = lab("wide-smear");
        lab.clock.running = true;
        lab.clock.set_pace(7);
        for _ in 0..100_000 {
            lab.frame(0.016, || true);
            if !lab.clock.running {
                break;
            }
        }
        let alarm_s = lab.last_alarm_s().expect("the wide smear trips the axis");
        assert!(!lab.clock.running);
        let after_s = lab.sim.time_s() - alarm_s;
        assert!((after_s - 0.2 * lab.window_s()).abs() < 0.01 * lab.window_s() + 2.0 * STEP_S, "{after_s}");
    }

    #[test]
    fn a_stroke_of_the_pointer_is_one_entry_of_the_log() {
        let mut lab = lab("first-look");
        for i in 0..10 {
            let place = |mm: f64| sim_core::bench::command::PlaceMm::nearest(mm);
            let blocked_percent = sim_core::numbers::Within::nearest(90.0);
            let (from_mm, to_mm) = (place(200.0 + f64::from(i)), place(201.0 + f64::from(i)));
            lab.command(&Command::Smear(sim_core::bench::command::Smear::blocking(from_mm, to_mm, blocked_percent)))
                .unwrap();
            lab.advance(10);
        }
        let words: Vec<String> = lab.log().map(Event::words).collect();
        assert_eq!(words, ["Dirt was smeared on the scale from 200.0 to 210.0 mm."]);
    }

    #[test]
    fn moving_the_axis_by_hand_drops_what_the_scene_had_planned() {
        let mut lab = lab("wipe-and-home");
        lab.advance(10);
        lab.command(&Command::Stop).unwrap();
        lab.advance(40_000);
        assert!(lab.log().next().is_none(), "the smear was not made");
    }
}
