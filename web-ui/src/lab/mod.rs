//! The lab: the running bench with its recorders and its clock. Knows no browser, so it is tested natively.

mod charts;
mod clock;
mod columns;
mod count_log;
mod ghost;
mod goal;
mod hidden;
mod history;
mod instrument_words;
mod instruments;
mod kept;
mod links;
mod machine;
mod measured;
mod past;
mod recorder;
mod strip;
mod sweeps;
mod trail;
mod views;
mod watchers;

pub use charts::{COLUMNS, Charts};
pub use clock::{Clock, PACES};
pub use hidden::{Drawn, Guess};
pub use instrument_words::{count_words, figure_rows, illegal_words, travel_words};
pub use instruments::{InstrumentSettings, Instruments};
pub use measured::{Cursors, Measure, Verdict, frequency_text, time_text, way_text};
pub use sweeps::{BEFORE, MOST_SWEEPS, TriggerOn};

use ghost::Healthy;
use goal::{Eyes, Graded};
use history::History;
use past::Past;
use recorder::{Deed, Recorder};
use sim_core::bench::Sim;
use sim_core::bench::command::Command;
use sim_core::event::{Event, What};
use sim_core::record::{Record, STEP_S, Tap};
use sim_core::scene::{Scene, Timed};
use std::cell::OnceCell;
use std::collections::VecDeque;
use watchers::Watchers;

/// Steps between two looks at the clock of the device.
const CHUNK: u64 = 40;

/// Why the past cannot be changed, and what to do.
const PAST: &str = "this is the recording; go back to now, or choose \"Go on from here\", before you change the bench";

/// The running bench.
pub struct Lab {
    /// The bench as it is now; what is shown is [`Lab::sim`].
    now: Sim,
    watchers: Watchers,
    /// The clock; the page turns it.
    pub clock: Clock,
    scene: Scene,
    /// Its text, once somebody asked for it: the bench is kept many times a second.
    scene_text: OnceCell<String>,
    scene_id: String,
    waiting: VecDeque<Timed>,
    healthy: Healthy,
    history: History,
    recorder: Recorder,
    past: Option<Past>,
    /// The goal of a lesson's task.
    graded: Option<Graded>,
    /// The hidden fault that was drawn last.
    drawn: Option<Drawn>,
    /// The person's time since the lab was made, s.
    wall_s: f64,
    /// What the person has done since the page was opened: commands, scenes.
    acts: u64,
}

impl Lab {
    /// A lab with a scene at its start.
    pub fn new(id: &str, scene: Scene) -> Self {
        let sim = Sim::of_scene(&scene);
        let waiting = scene.steps.iter().cloned().collect();
        Self::with(id, scene, sim, waiting)
    }

    fn with(id: &str, scene: Scene, now: Sim, waiting: VecDeque<Timed>) -> Self {
        let healthy = Healthy::of(&now);
        let instruments = Instruments::of(&now, None);
        let watchers = Watchers { before: *now.record(), instruments, ..Watchers::default() };
        let recorder = Recorder::start(&now);
        let (clock, history, scene_id) = (Clock::default(), History::default(), id.to_owned());
        Self {
            now,
            watchers,
            clock,
            scene,
            scene_text: OnceCell::new(),
            scene_id,
            waiting,
            healthy,
            history,
            recorder,
            past: None,
            graded: None,
            drawn: None,
            wall_s: 0.0,
            acts: 0,
        }
    }

    /// Starts another scene; pace and run state of the clock stay.
    pub fn load(&mut self, id: &str, scene: Scene) {
        let clock = self.clock.restarted();
        self.become_another(Self { clock, wall_s: self.wall_s, ..Self::new(id, scene) });
    }

    /// Another run; what was set on the instruments stays.
    fn become_another(&mut self, other: Self) {
        let before = std::mem::replace(self, other);
        self.acts = before.acts + 1;
        self.watchers.instruments = Instruments::of(&self.now, Some(&before.watchers.instruments));
    }

    /// Starts the scene again.
    pub fn restart(&mut self) {
        let (id, scene, drawn) = (self.scene_id.clone(), self.scene.clone(), self.drawn.take());
        let graded = self.graded.take();
        self.load(&id, scene);
        self.graded = graded.map(|graded| graded.afresh(&self.now));
        self.hide_again(drawn);
    }

    /// The scene that was loaded.
    pub fn scene(&self) -> &Scene {
        &self.scene
    }

    /// Its text as a file.
    pub fn scene_text(&self) -> &str {
        self.scene_text.get_or_init(|| lessons::write(&self.scene))
    }

    /// Its id.
    pub fn scene_id(&self) -> &str {
        &self.scene_id
    }

    /// The bench at the moment that is shown: now, or a moment of the recording.
    pub fn sim(&self) -> &Sim {
        self.past.as_ref().map_or(&self.now, Past::sim)
    }

    /// The bench as it is now, whatever is shown: what is kept and shared.
    pub fn sim_now(&self) -> &Sim {
        &self.now
    }

    /// What watched the run up to the moment that is shown.
    fn watchers(&self) -> &Watchers {
        self.past.as_ref().map_or(&self.watchers, Past::watchers)
    }

    /// The log up to the moment that is shown, newest first.
    pub fn log(&self) -> impl Iterator<Item = &Event> {
        let until_s = self.sim().time_s() + 0.5 * STEP_S;
        self.watchers.log.iter().filter(move |event| event.time_s <= until_s)
    }

    /// The whole log, also what lies ahead of the moment that is shown.
    pub fn whole_log(&self) -> impl Iterator<Item = &Event> {
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
        if self.past.is_some() {
            return Err(PAST.to_owned());
        }
        let moves = command.moves_axis() || matches!(command, Command::PowerCycle(_));
        self.acts += 1;
        if moves {
            self.waiting.clear();
        }
        let before = self.now.arrangement();
        self.recorder.note(&self.now, Deed::Command(Box::new(command.clone())));
        let outcome = self.now.command(command);
        if let Some(graded) = self.graded.as_mut().filter(|_| outcome.is_ok()) {
            graded.grader.did(command, &self.now);
        }
        if outcome.is_ok() && self.now.arrangement() != before {
            self.history.note(history::name_of(command), before, self.wall_s);
        }
        self.healthy.follow(&self.now);
        self.watchers.instruments.follow(&self.now);
        outcome
    }

    /// Takes the last change back (`true`) or makes it again. The axis goes on as it is.
    ///
    /// # Errors
    /// Why the bench cannot be changed now.
    pub fn undo(&mut self, undo: bool) -> Result<(), String> {
        if self.past.is_some() {
            return Err(PAST.to_owned());
        }
        let Some(to) = self.history.target(undo).cloned() else { return Ok(()) };
        let from = self.now.arrangement();
        self.now.arrange(&to)?;
        self.recorder.note(&self.now, Deed::Arrange(Box::new(to)));
        self.history.went(undo, from);
        if let Some(graded) = &mut self.graded {
            graded.grader.changed(&self.now);
        }
        self.acts += 1;
        self.healthy.follow(&self.now);
        self.watchers.instruments.follow(&self.now);
        Ok(())
    }

    /// What undo (`true`) or redo would do, if there is anything.
    pub fn undo_name(&self, undo: bool) -> Option<&str> {
        if undo { self.history.undo_name() } else { self.history.redo_name() }
    }

    /// A frame of the screen: runs the model for `wall_s` of the person's time, as long as `in_time` says that there is
    /// time left in the frame. While the past is shown it is filled in instead.
    pub fn frame(&mut self, wall_s: f64, mut in_time: impl FnMut() -> bool) {
        self.wall_s += wall_s;
        let window_s = self.clock.window_s();
        if let Some(past) = &mut self.past {
            past.take_settings(&self.watchers.instruments);
            past.fill(window_s, &mut in_time);
            return;
        }
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

    /// Steps the bench, giving the scene's commands when they are due, and stops the clock where it should.
    pub fn advance(&mut self, steps: u64) {
        self.watchers.instruments.frame(&self.now, self.clock.window_s());
        for _ in 0..steps {
            while self.waiting.front().is_some_and(|timed| timed.at_s.get() <= self.now.time_s() + 0.5 * STEP_S) {
                if let Some(timed) = self.waiting.pop_front() {
                    self.recorder.note(&self.now, Deed::Command(Box::new(timed.command.clone())));
                    match (self.now.command(&timed.command), &mut self.graded) {
                        (Ok(()), Some(graded)) => graded.grader.did(&timed.command, &self.now),
                        (Ok(()), None) => {}
                        (Err(why), _) => {
                            let what = What::Refused { why };
                            let (time_s, place_m) = (self.now.time_s(), self.now.record().table_m);
                            self.watchers.event(&Event { time_s, place_m, what });
                        }
                    }
                }
                self.healthy.follow(&self.now);
                self.watchers.instruments.follow(&self.now);
            }
            self.watchers.before = *self.now.record();
            let grader = self.graded.as_mut().map(|graded| &mut graded.grader);
            self.now.step_watched(&mut Eyes { watchers: &mut self.watchers, grader });
            self.recorder.look(&self.now);
            if let Some(alarm_s) = self.watchers.last_alarm_s
                && self.clock.stop_after_alarm(alarm_s, self.now.time_s())
            {
                break;
            }
        }
    }

    /// How much of the last step is shown, 0..1: moments of the past are shown at the end of their step.
    fn share(&self) -> f64 {
        if self.past.is_some() { 1.0 } else { self.clock.share() }
    }

    /// Model time that the screen shows, s: within a step motion is a straight line, so slow motion moves smoothly.
    pub fn shown_s(&self) -> f64 {
        (self.sim().time_s() - STEP_S + self.share() * STEP_S).max(0.0)
    }

    /// The record at the shown moment.
    pub fn shown(&self) -> Record {
        let (before, now, share) = (&self.watchers().before, self.sim().record(), self.share());
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

    /// Moment of the last alarm before the moment that is shown, s.
    pub fn last_alarm_s(&self) -> Option<f64> {
        let until_s = self.sim().time_s() + 0.5 * STEP_S;
        let newest = self.watchers.last_alarm_s.filter(|alarm_s| *alarm_s <= until_s);
        let logged = || self.log().find(|event| event.weight() == sim_core::event::Weight::Alarm).map(|e| e.time_s);
        newest.or_else(logged)
    }

    /// Moment of the newest alarm, also when it lies ahead of the moment that is shown, s.
    pub fn newest_alarm_s(&self) -> Option<f64> {
        self.watchers.last_alarm_s
    }

    /// Runs or pauses the clock; from the past it runs on from now.
    pub fn run_or_pause(&mut self) {
        self.clock.running = self.past.is_some() || !self.clock.running;
        self.past = None;
    }

    /// How far the readout is off the table, m; zero while it is right to within a count.
    pub fn uncounted_m(&self) -> f64 {
        let record = self.sim().record();
        let q = self.sim().params().metres_per_count();
        let off = record.table_m - record.counted_m - 0.5 * q;
        if off.abs() <= 1.01 * q { 0.0 } else { off }
    }
}

/// A lab with a shipped scene, for tests.
#[cfg(test)]
pub(crate) fn shipped(id: &str) -> Lab {
    let shipped = lessons::shipped_by_name(id).unwrap();
    Lab::new(id, lessons::read(id, shipped.text).unwrap())
}

#[cfg(test)]
mod tests;
