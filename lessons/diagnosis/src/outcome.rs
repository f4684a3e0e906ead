//! What came of a check: its figures beside those of the healthy machine, put into one of a few outcomes.
//!
//! A technician holds a reading beside the record of the commissioning; so does this. Where the limit between "as
//! usual" and "not" lies is common practice (own values), wide enough for the scatter of instrument and axis.

use crate::check::Check;
use crate::measure::{Measured, measure};
use sim_core::bench::Sim;
use sim_core::setup::Setup;
use std::cell::OnceCell;

mod moving;
mod signals;
mod stands;

/// Seed of the healthy machine's record.
const SEED: u32 = 1;

/// What each check measures on the healthy machine: the record of its commissioning.
pub struct Baseline {
    healthy: Sim,
    of: Vec<OnceCell<Measured>>,
}

impl Baseline {
    /// The healthy machine of a set-up. A check is made there when it is first asked for.
    #[must_use]
    pub fn of(setup: &Setup) -> Self {
        let start_m = 0.25 * setup.machine().spec().travel;
        let healthy = Sim::start(setup.clone(), SEED, start_m);
        Self { healthy, of: Check::all().map(|_| OnceCell::new()).collect() }
    }

    /// What a check measures there.
    #[must_use]
    pub fn get(&self, check: Check) -> &Measured {
        // A test holds that checks stand in their order.
        self.of[check as usize].get_or_init(|| measure(check, &mut self.healthy.clone()))
    }
}

/// A check that was made.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// Which.
    pub check: Check,
    /// Which of its outcomes.
    pub outcome: u8,
    /// What was measured.
    pub measured: Measured,
}

impl Reading {
    /// The outcome in words.
    #[must_use]
    pub fn words(&self) -> &'static str {
        self.check.row().outcomes.get(usize::from(self.outcome)).map_or("", |outcome| outcome.words)
    }
}

/// Makes a check and says what came of it.
pub fn read(check: Check, sim: &mut Sim, baseline: &Baseline) -> Reading {
    let measured = measure(check, sim);
    Reading { check, outcome: outcome_of(check, &measured, baseline), measured }
}

/// The outcome that figures amount to.
#[must_use]
pub fn outcome_of(check: Check, measured: &Measured, baseline: &Baseline) -> u8 {
    let name = named(check, measured, baseline.get(check));
    // A test holds that every name is one of the check's.
    check.outcome(name).unwrap_or(0)
}

fn named(check: Check, measured: &Measured, healthy: &Measured) -> &'static str {
    let beside = Beside { measured, healthy };
    match check {
        Check::Traverse => moving::traverse(&beside),
        Check::AmplitudeScan => signals::scan(&beside),
        Check::Figure => signals::figure(&beside),
        Check::Rest => signals::rest(&beside),
        Check::ScopeDrive | Check::ScopeHead => signals::scope(&beside),
        Check::Supply => stands::supply(&beside),
        Check::Ohms => stands::ohms(&beside),
        Check::ScreenPath => stands::screen(&beside),
        Check::Flex => stands::flex(&beside),
        Check::Lamp => stands::lamp(&beside),
        Check::GapGauge => stands::gap(&beside),
        Check::Housing => stands::housing(&beside),
        Check::SwapInput | Check::SwapCable => stands::swapped(&beside),
        Check::LoopValues => stands::values(&beside),
        Check::CurrentScan => moving::current(&beside),
        Check::Compare => moving::compare(&beside),
        Check::HomeTest => moving::home(&beside),
        Check::Indicator => moving::indicator(&beside),
        Check::MainsCycle => moving::mains(&beside),
    }
}

/// Figures beside those of the healthy machine.
struct Beside<'a> {
    measured: &'a Measured,
    healthy: &'a Measured,
}

impl Beside<'_> {
    /// A figure and that of the healthy machine.
    fn both(&self, name: &str) -> Option<(f64, f64)> {
        Some((self.measured.get(name)?, self.healthy.get(name)?))
    }

    /// How much more than usual.
    fn more(&self, name: &str) -> Option<f64> {
        self.both(name).map(|(found, usual)| found - usual)
    }

    /// How many times as much as usual.
    fn times(&self, name: &str) -> Option<f64> {
        self.both(name).map(|(found, usual)| found / usual.abs().max(1e-9))
    }

    /// By how many of its resolutions a figure differs.
    fn steps(&self, name: &str) -> Option<f64> {
        let resolution = self.healthy.figures.iter().find(|figure| figure.name == name)?.resolution;
        self.more(name).map(|more| more / resolution)
    }

    /// Whether both ended alike without figures: the machine has no such thing.
    fn has_none(&self) -> bool {
        self.healthy.figures.is_empty() && self.measured.figures.is_empty()
    }
}
