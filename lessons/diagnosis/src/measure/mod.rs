//! Checks made on a bench: figures, and what ended them early. Nothing in here knows a cause.

mod moving;
mod picture;
mod standing;
mod swap;

pub use picture::{Picture, View};
pub use standing::OPEN_OHM;

use crate::Check;
use sim_core::bench::Sim;
use sim_core::bench::command::{Command, DriveSwitch, Part};
use sim_core::inspect::drive::{Stopped, order, settle, wait};
use sim_core::inspect::{Figure, rest, stored, weekend};
use sim_core::record::Doing;

/// What a check measured.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Measured {
    /// Figures by name, the unit at its end, with the difference that means something.
    pub figures: Vec<Figure>,
    /// What ended it early.
    pub stopped: Option<Stopped>,
    /// What the instrument shows.
    pub picture: Option<Picture>,
}

impl Measured {
    /// A figure by its name.
    #[must_use]
    pub fn get(&self, name: &str) -> Option<f64> {
        self.figures.iter().find(|figure| figure.name == name).map(|figure| figure.value)
    }

    /// Figures without a picture.
    fn just(figures: Vec<Figure>) -> Self {
        Self { figures, ..Self::default() }
    }

    /// Nothing but what ended it.
    fn ended(stopped: Stopped) -> Self {
        Self { stopped: Some(stopped), ..Self::default() }
    }

    fn of(result: Result<Vec<Figure>, Stopped>) -> Self {
        match result {
            Ok(figures) => Self::just(figures),
            Err(stopped) => Self::ended(stopped),
        }
    }
}

/// Makes a check on a bench as it stands. The bench goes on from there: time has passed, the axis may stand elsewhere, an
/// alarm may be up.
pub fn measure(check: Check, sim: &mut Sim) -> Measured {
    match check {
        Check::Traverse => moving::traverse(sim),
        Check::AmplitudeScan => moving::amplitudes(sim),
        Check::Figure => moving::figure(sim),
        Check::CurrentScan | Check::Compare => moving::scan_both_ways(check, sim),
        Check::HomeTest => moving::home(sim),
        Check::Indicator => moving::indicator(sim),
        Check::Rest => Measured::of(ready(sim).and_then(|()| rest::figures(sim))),
        Check::ScopeDrive | Check::ScopeHead => standing::scope(sim, check == Check::ScopeHead),
        Check::Supply => standing::supply(sim),
        Check::Ohms => standing::ohms(sim),
        Check::ScreenPath => standing::screen(sim),
        Check::Flex => standing::flex(sim),
        Check::Lamp => standing::lamp(sim),
        Check::Housing => standing::housing(sim),
        Check::SwapInput => swap::swapped(sim, Part::Input),
        Check::SwapCable => swap::swapped(sim, Part::Cable),
        Check::GapGauge => Measured::just(rest::gaps(sim).to_vec()),
        Check::LoopValues => Measured::just(stored::figures(sim)),
        // Nothing hangs that could sink, and no place is kept that could be lost.
        Check::MainsCycle if !keeps_or_holds(sim) => Measured::default(),
        Check::MainsCycle => match ready(sim) {
            Ok(()) => {
                let (figures, stopped) = weekend::figures(sim);
                Measured { figures: figures.to_vec(), stopped, picture: None }
            }
            Err(stopped) => Measured::ended(stopped),
        },
    }
}

/// Whether an axis has something to lose while the cabinet is off: its place, or a weight that its brake holds.
fn keeps_or_holds(sim: &Sim) -> bool {
    let params = sim.params();
    let keeps = params.zero.absolute || (params.zero.motor_feedback && params.zero.multiturn);
    keeps || params.machine.mechanics.incline > 0.0
}

/// Acknowledges an alarm and switches the drive on where it is off, as one does before a move.
fn ready(sim: &mut Sim) -> Result<(), Stopped> {
    // An axis that was tripped a moment ago is still coming to rest.
    let _ = settle(sim, 5.0, &mut ());
    if matches!(sim.record().doing, Doing::Tripped) {
        order(sim, &Command::Acknowledge)?;
        wait(sim, 0.2, &mut ())?;
    }
    if matches!(sim.record().doing, Doing::Off) {
        order(sim, &Command::Drive(DriveSwitch::On))?;
        wait(sim, 0.3, &mut ())?;
    }
    settle(sim, 2.0, &mut ())
}

/// Both ends of the stretch that is driven, m: a little inside the travel.
fn ends_m(sim: &Sim) -> (f64, f64) {
    let travel_m = sim.params().machine.travel;
    (0.015 * travel_m, 0.985 * travel_m)
}

/// How far the table is ahead of its reading by whole turns, m, on an axis that turns for ever; nothing on others.
fn turns_m(sim: &Sim) -> f64 {
    let r = sim.record();
    r.table_m - r.counted_m - sim.params().ahead_m(r.table_m, r.counted_m)
}
