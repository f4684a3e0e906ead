//! What came of one thing that was done, and what the machine wrote down meanwhile.

use super::act::Act;
use super::hazard::Hazard;
use diagnosis::Reading;
use sim_core::event::{Event, mm};
use sim_core::fault::FaultId;
use sim_core::inspect::drive::Stopped;
use sim_core::record::Tap;

/// Something that was done.
#[derive(Clone, Debug, PartialEq)]
pub struct Done {
    /// What.
    pub act: Act,
    /// When it began, min from the arrival.
    pub from_min: u32,
    /// What came of it, in words.
    pub told: String,
    /// What was read, where it was a check.
    pub reading: Option<Reading>,
    /// What was unsafe about it.
    pub hazards: Vec<Hazard>,
    /// Causes that it cured.
    pub cured: Vec<FaultId>,
}

impl Done {
    /// Whether a part was exchanged that was good.
    #[must_use]
    pub fn wasted_part(&self) -> bool {
        matches!(self.act, Act::Remedy(remedy) if remedy.row().exchanges && self.cured.is_empty())
    }
}

/// Keeps what the machine told.
#[derive(Clone, Default)]
pub(super) struct Log(pub(super) Vec<Event>);

impl Tap for Log {
    const SAMPLES: bool = false;

    fn event(&mut self, event: &Event) {
        // A control does not know why its signal went.
        if !event.tells_cause() {
            self.0.push(event.clone());
        }
    }
}

/// What ended a check before its end, in the units of the shop.
pub(super) fn ended(stopped: &Stopped) -> String {
    match stopped {
        Stopped::ByMonitor { kind, place_m } => format!(" Stopped at {} mm: {}.", mm(*place_m, 1), kind.title()),
        Stopped::Refused { why } => format!(" {}.", why.trim_end_matches('.')),
        Stopped::Late { limit_s } => format!(" The axis did not come to rest within {limit_s} s."),
    }
}
