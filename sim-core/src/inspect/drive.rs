//! Driving the bench through an inspection: moves that are waited for, and what ends them.

use crate::bench::Sim;
use crate::bench::command::{Command, MoveTo};
use crate::event::{Event, What};
use crate::monitor::MonitorKind;
use crate::numbers::Within;
use crate::record::{Doing, Record, STEP_S, Sample, Tap};

/// What ended an inspection early.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Stopped {
    /// A monitor stopped the axis.
    #[error("stopped at {place_m:.4} m: {}", kind.title())]
    ByMonitor {
        /// Which.
        kind: MonitorKind,
        /// Where the table was, m.
        place_m: f64,
    },
    /// The bench refused a command; why, in its words.
    #[error("refused: {why}")]
    Refused {
        /// Why.
        why: String,
    },
    /// The axis did not come to rest in time.
    #[error("the axis did not come to rest within {limit_s} s")]
    Late {
        /// How long it was waited for, s.
        limit_s: f64,
    },
}

/// Time that a move gets on top of what it needs, s.
const PATIENCE_S: f64 = 3.0;

/// Standing still this long after the command is arrival, s.
const SETTLED_S: f64 = 0.25;

/// A tap that also keeps the first alarm.
struct Alarmed<'a, T: Tap> {
    tap: &'a mut T,
    alarm: Option<(MonitorKind, f64)>,
}

impl<T: Tap> Tap for Alarmed<'_, T> {
    const SAMPLES: bool = T::SAMPLES;

    fn sample(&mut self, sample: &Sample) {
        self.tap.sample(sample);
    }

    fn record(&mut self, record: &Record) {
        self.tap.record(record);
    }

    fn event(&mut self, event: &Event) {
        if let What::Monitor { kind, warning: false, .. } = event.what {
            self.alarm = self.alarm.or(Some((kind, event.place_m)));
        }
        self.tap.event(event);
    }
}

/// Gives a command.
///
/// # Errors
/// Why the bench refuses it.
pub fn order(sim: &mut Sim, command: &Command) -> Result<(), Stopped> {
    sim.command(command).map_err(|why| Stopped::Refused { why })
}

/// Lets time pass, until an alarm.
///
/// # Errors
/// The alarm.
pub fn wait<T: Tap>(sim: &mut Sim, seconds: f64, tap: &mut T) -> Result<(), Stopped> {
    let mut alarmed = Alarmed { tap, alarm: None };
    for _ in 0..libm::round(seconds / STEP_S) as u64 {
        sim.step(&mut alarmed);
        if let Some((kind, place_m)) = alarmed.alarm {
            return Err(Stopped::ByMonitor { kind, place_m });
        }
    }
    Ok(())
}

/// Moves to a place by the control's own reading and waits until the axis has settled there.
///
/// # Errors
/// What stopped it, or why it never began.
pub fn move_to<T: Tap>(sim: &mut Sim, place_m: f64, speed_mps: f64, tap: &mut T) -> Result<(), Stopped> {
    let speed_m_per_min = Within::nearest(speed_mps * 60.0);
    order(sim, &Command::MoveTo(MoveTo { to_mm: Within::nearest(place_m * 1e3), speed_m_per_min }))?;
    settle(sim, (place_m - sim.record().command_m).abs() / speed_mps + PATIENCE_S, tap)
}

/// Waits until the command has ended and the axis has had time to settle.
///
/// # Errors
/// An alarm, or that it takes too long.
pub fn settle<T: Tap>(sim: &mut Sim, limit_s: f64, tap: &mut T) -> Result<(), Stopped> {
    let mut alarmed = Alarmed { tap, alarm: None };
    let (mut waited_s, mut still_s) = (0.0, 0.0);
    while still_s < SETTLED_S {
        sim.step(&mut alarmed);
        waited_s += STEP_S;
        if let Some((kind, place_m)) = alarmed.alarm {
            return Err(Stopped::ByMonitor { kind, place_m });
        }
        let at_rest = matches!(sim.record().doing, Doing::Holding | Doing::Off | Doing::Tripped);
        still_s = if at_rest { still_s + STEP_S } else { 0.0 };
        if waited_s > limit_s {
            return Err(Stopped::Late { limit_s });
        }
    }
    Ok(())
}
