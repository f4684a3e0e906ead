//! The tour for the first visit: six things to do by hand, each done when the model says so.

use crate::lab::Lab;
use sim_core::bench::Arrangement;

/// A step of the tour.
pub struct TourStep {
    /// What to do, in a few words.
    pub title: &'static str,
    /// How, and what to look at.
    pub words: &'static str,
    /// What the leader line points at: a selector.
    pub at: &'static str,
}

/// The steps.
pub const STEPS: [TourStep; 6] = [
    TourStep {
        title: "Stop the clock, then run on",
        words: "Press pause, then run: the table goes on where it stood. Everything here is computed, also what you see in slow motion.",
        at: "#run",
    },
    TourStep {
        title: "Move the head away",
        words: "Drag the arrow of the gap upward, or use the arrow keys on it. The lines blur, and the amplitude falls.",
        at: ".knob.gap",
    },
    TourStep {
        title: "Smear the scale",
        words: "Draw along the scale of the machine, ahead of the head: dirt lies on the lines.",
        at: ".side-view",
    },
    TourStep {
        title: "Watch the chain break",
        words: "When the head comes to the dirt the count stands while the table moves. The first broken link carries a cross.",
        at: ".chain",
    },
    TourStep {
        title: "Go back to that moment",
        words: "Drag the knob of the recording to the left: every instrument shows how it was then.",
        at: "#recording",
    },
    TourStep {
        title: "Put it right",
        words: "Go back to now, wipe the scale, acknowledge. On a real machine wiping alone does not bring lost counts back: home it.",
        at: ".actions",
    },
];

/// What a step starts from.
#[derive(Clone, Debug, PartialEq)]
pub struct Start {
    amplitude_v: f64,
    arrangement: Arrangement,
    table_m: f64,
    /// The clock has stood since.
    stood: bool,
    /// Something was there to put right.
    wrong: bool,
}

impl Start {
    /// The bench as a step finds it.
    pub fn of(lab: &Lab) -> Self {
        let sim = lab.sim();
        let record = sim.record();
        Self {
            amplitude_v: record.amplitude_a_v,
            arrangement: sim.arrangement(),
            table_m: record.table_m,
            stood: !lab.clock.running,
            wrong: is_wrong(lab),
        }
    }

    /// Looks whether a step is done.
    pub fn done(&mut self, step: usize, lab: &Lab) -> bool {
        let (sim, record) = (lab.sim(), lab.sim().record());
        match step {
            0 => {
                if !lab.clock.running && !self.stood {
                    (self.stood, self.table_m) = (true, record.table_m);
                }
                self.stood && lab.clock.running && (record.table_m - self.table_m).abs() > 1e-3
            }
            1 => {
                let moved = sim.bench().setup.head.gap_um > self.arrangement.setup.head.gap_um + 50.0;
                moved && record.amplitude_a_v < 0.9 * self.amplitude_v
            }
            2 => sim.bench().state.dirt != self.arrangement.dirt && !sim.params().surface.is_clean(),
            3 => record.alarm || record.blind,
            4 => lab.in_past(),
            _ => {
                self.wrong |= is_wrong(lab);
                self.wrong && !is_wrong(lab)
            }
        }
    }
}

/// Whether there is something to put right: the past, an alarm, dirt.
fn is_wrong(lab: &Lab) -> bool {
    lab.in_past() || lab.sim().record().alarm || !lab.sim().params().surface.is_clean()
}

#[cfg(test)]
mod tests {
    use super::*;
    use sim_core::bench::command::{Command, Percent, PlaceMm, SettingList, Smear};
    use sim_core::names::{Setting, Value};
    use sim_core::record::STEP_S;

    #[test]
    fn every_step_is_done_by_doing_it_and_not_before() {
        let shipped = lessons::shipped_by_name("first-look").unwrap();
        let mut lab = Lab::new(shipped.id, lessons::read(shipped.id, shipped.text).unwrap());
        let run = |lab: &mut Lab, s: f64| lab.advance((s / STEP_S) as u64);
        lab.clock.running = true;
        run(&mut lab, 0.5);
        let mut start = Start::of(&lab);
        run(&mut lab, 0.5);
        assert!(!start.done(0, &lab), "nobody has stopped the clock");
        assert!(!start.done(5, &lab), "nothing was there to put right");
        lab.clock.running = false;
        assert!(!start.done(0, &lab));
        lab.clock.running = true;
        run(&mut lab, 0.1);
        assert!(start.done(0, &lab));
        let mut start = Start::of(&lab);
        let gap_um = lab.sim().bench().setup.head.gap_um + 600.0;
        assert!(!start.done(1, &lab));
        lab.command(&Command::Set(SettingList(vec![(Setting::HeadGap, Value::Number(gap_um))]))).unwrap();
        run(&mut lab, 0.01);
        assert!(start.done(1, &lab));
        let mut start = Start::of(&lab);
        assert!(!start.done(2, &lab));
        let at_mm = lab.sim().record().table_m * 1e3 + 15.0;
        let smear = Smear::blocking(PlaceMm::nearest(at_mm), PlaceMm::nearest(at_mm + 30.0), Percent::nearest(95.0));
        lab.command(&Command::Smear(smear)).unwrap();
        assert!(start.done(2, &lab));
        let mut start = Start::of(&lab);
        assert!(!start.done(3, &lab));
        run(&mut lab, 3.0);
        assert!(start.done(3, &lab) && !start.done(4, &lab));
        lab.look_at(1.0);
        assert!(start.done(4, &lab) && !start.done(5, &lab));
        lab.leave_past();
        run(&mut lab, 1.0);
        assert!(lab.sim().record().alarm && !start.done(5, &lab));
        lab.command(&Command::WipeAll).unwrap();
        lab.command(&Command::Acknowledge).unwrap();
        run(&mut lab, 0.01);
        assert!(start.done(5, &lab));
    }
}
