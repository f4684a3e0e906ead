//! Going back: a moment of the recording, shown on every instrument as if it were now.

use super::instruments::Instruments;
use super::recorder::{Replay, step_of};
use super::watchers::Watchers;
use super::{Lab, PACES};
use sim_core::bench::Sim;
use sim_core::record::STEP_S;

/// Stretch ahead of the moment that is computed at once, s: enough for the figure and for slow motion.
const AT_ONCE_S: f64 = 0.02;

/// A moment of the past.
pub struct Past {
    at: u64,
    shown: Replay,
    /// The whole window of the charts, still being computed.
    filling: Option<Replay>,
}

impl Past {
    /// The bench at the moment.
    pub fn sim(&self) -> &Sim {
        &self.shown.sim
    }

    /// What had been seen until then.
    pub fn watchers(&self) -> &Watchers {
        &self.shown.watchers
    }

    /// Instruments show the past as they are set now.
    pub fn take_settings(&mut self, instruments: &Instruments) {
        self.shown.watchers.instruments.settings = instruments.settings;
    }

    /// Computes more of the window; what is finished is shown.
    pub fn fill(&mut self, window_s: f64, in_time: &mut impl FnMut() -> bool) {
        let replays = self.filling.iter_mut().chain([&mut self.shown]);
        for Replay { sim, watchers, .. } in replays {
            watchers.instruments.frame(sim, window_s);
        }
        if let Some(replay) = &mut self.filling
            && replay.run_to(self.at, in_time)
            && let Some(done) = self.filling.take()
        {
            self.shown = done;
        }
    }
}

impl Lab {
    /// Whether a moment of the recording is shown.
    pub fn in_past(&self) -> bool {
        self.past.is_some()
    }

    /// Whether the recorder still computes what the charts show of the past.
    pub fn is_filling(&self) -> bool {
        self.past.as_ref().is_some_and(|past| past.filling.is_some())
    }

    /// First and last moment that can be looked at, s.
    pub fn recorded_s(&self) -> (f64, f64) {
        (self.recorder.first_step() as f64 * STEP_S, self.now.time_s())
    }

    /// Goes back to a moment of the recording; the newest one is now.
    pub fn look_at(&mut self, time_s: f64) {
        self.clock.running = false;
        let (first, last) = (self.recorder.first_step(), step_of(&self.now));
        let at = ((time_s / STEP_S).round().max(0.0) as u64).clamp(first, last);
        if at >= last {
            self.past = None;
            return;
        }
        let steps = |seconds: f64| (seconds / STEP_S).ceil() as u64;
        let instruments = &self.watchers.instruments;
        let window_s = self.clock.window_s();
        let Some(mut shown) = self.recorder.replay_from(at.saturating_sub(steps(AT_ONCE_S)).max(first), instruments)
        else {
            return;
        };
        shown.watchers.instruments.frame(&shown.sim, window_s);
        shown.run_to(at, || true);
        let from = at.saturating_sub(steps(window_s)).max(first);
        let filling = if shown.start <= from { None } else { self.recorder.replay_from(from, instruments) };
        self.past = Some(Past { at, shown, filling });
    }

    /// One step of the screen back: a fortieth of the window.
    pub fn step_back(&mut self) {
        self.look_at(self.sim().time_s() - self.stride_s());
    }

    /// Goes on by one fortieth of the window and stays paused.
    pub fn step_on(&mut self) {
        if self.past.is_some() {
            self.look_at(self.sim().time_s() + self.stride_s());
            return;
        }
        self.clock.running = false;
        self.clock.settle();
        self.advance((self.stride_s() / STEP_S).round().clamp(1.0, 20_000.0) as u64);
    }

    fn stride_s(&self) -> f64 {
        ((self.window_s() / 40.0 / STEP_S).ceil().max(1.0) * STEP_S).min(4.0 / PACES[0])
    }

    /// Back to now.
    pub fn leave_past(&mut self) {
        self.past = None;
    }

    /// The moment that is shown becomes now; what came after it is forgotten.
    pub fn go_on_from_here(&mut self) {
        let Some(mut past) = self.past.take() else { return };
        if let Some(mut whole) = past.filling.take() {
            whole.run_to(past.at, || true);
            past.shown = whole;
        }
        let until_s = past.shown.sim.time_s() + 0.5 * STEP_S;
        self.recorder.forget_after(past.at);
        let (log, told) = (std::mem::take(&mut self.watchers.log), self.watchers.told);
        self.watchers = past.shown.watchers;
        self.watchers.log = log.into_iter().filter(|event| event.time_s <= until_s).collect();
        self.watchers.told = told;
        self.watchers.last_alarm_s = self.log_alarm_s();
        self.now = past.shown.sim;
        // What the scene had planned from here on comes again.
        let planned = self.scene.steps.iter().filter(|timed| timed.at_s.get() > self.now.time_s() + 0.5 * STEP_S);
        self.waiting = planned.cloned().collect();
        self.clock = self.clock.restarted();
        self.clock.settle();
        self.healthy.follow(&self.now);
        self.watchers.instruments.follow(&self.now);
    }

    fn log_alarm_s(&self) -> Option<f64> {
        let alarms = self.watchers.log.iter().filter(|e| e.weight() == sim_core::event::Weight::Alarm);
        alarms.map(|e| e.time_s).next()
    }
}

#[cfg(test)]
mod tests {
    use super::super::Lab;
    use sim_core::bench::command::{Break, Command, Percent};
    use sim_core::fault::FaultId;
    use sim_core::record::STEP_S;

    fn lab(id: &str) -> Lab {
        let shipped = lessons::shipped_by_name(id).unwrap();
        let mut lab = Lab::new(id, lessons::read(id, shipped.text).unwrap());
        lab.clock.pause_at_alarm = false;
        lab
    }

    fn offset(percent: f64) -> Command {
        let severity_percent = Percent::nearest(percent);
        Command::Break(Break { fault: FaultId::ChannelOffset, severity_percent, at_mm: None })
    }

    #[test]
    fn a_moment_of_the_past_is_the_bench_of_that_moment_bit_for_bit() {
        let mut lab = lab("wide-smear");
        let mut then = Vec::new();
        for i in 0..40 {
            lab.advance(617);
            if i == 11 {
                lab.command(&offset(30.0)).unwrap();
            }
            if i == 23 {
                lab.undo(true).unwrap();
            }
            if i % 5 == 3 {
                then.push((lab.sim().time_s(), lab.sim().bench().clone(), *lab.sim().record()));
            }
        }
        let now = lab.sim().bench().clone();
        for (time_s, bench, record) in &then {
            lab.look_at(*time_s);
            assert!(lab.in_past());
            assert_eq!(lab.sim().bench(), bench, "at {time_s} s");
            assert_eq!(lab.sim().record(), record);
        }
        lab.leave_past();
        assert_eq!(lab.sim().bench(), &now);
    }

    #[test]
    fn the_charts_of_the_past_are_those_of_then() {
        let mut lab = lab("wide-smear");
        lab.clock.set_pace(3);
        lab.advance((0.99 / STEP_S) as u64);
        let then = lab.charts(400);
        lab.advance((1.5 / STEP_S) as u64);
        lab.look_at(0.99);
        lab.frame(0.016, || true);
        assert!(!lab.is_filling());
        let again = lab.charts(400);
        let (n, m) = (then.trace.a_v.len(), again.trace.a_v.len());
        assert!(n.abs_diff(m) <= 2, "{n} {m}");
        let highest = |v: &[crate::draw::view::MinMax]| v.iter().map(|c| c.max).fold(f64::MIN, f64::max);
        let part = n / 4;
        assert!((highest(&then.trace.a_v[n - part..]) - highest(&again.trace.a_v[m - part..])).abs() < 0.01);
        assert_eq!(lab.last_alarm_s(), None, "the alarm lies ahead of this moment");
    }

    #[test]
    fn going_on_from_the_past_forgets_what_came_after_and_runs_the_same_way() {
        let mut lab = lab("wide-smear");
        lab.advance((1.4 / STEP_S) as u64);
        let end = lab.sim().bench().clone();
        assert!(lab.last_alarm_s().is_some());
        lab.look_at(0.5);
        assert!(lab.command(&Command::Stop).unwrap_err().contains("recording"));
        lab.go_on_from_here();
        assert!(!lab.in_past() && lab.last_alarm_s().is_none());
        assert!((lab.recorded_s().1 - 0.5).abs() < STEP_S);
        lab.advance((1.4 / STEP_S) as u64 - (0.5 / STEP_S).round() as u64);
        assert_eq!(lab.sim().bench(), &end);
    }
}
