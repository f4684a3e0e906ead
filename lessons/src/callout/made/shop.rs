//! What each check gives on a machine with the faults of a case in.

use super::{Case, SEED};
use crate::callout::Act;
use diagnosis::check::Power;
use diagnosis::outcome::outcome_of;
use diagnosis::{Baseline, Check, Reading, read};
use sim_core::bench::Sim;
use sim_core::bench::command::{Command, MoveTo, PlaceMm, SettingList, SpeedMPerMin};
use sim_core::fault::Active;
use sim_core::num::math::nearest;
use sim_core::numbers::Within;
use sim_core::scene::Timed;
use sim_core::setup::{BenchId, Setup};
use std::rc::Rc;

/// Further checks of a proof besides the run over the travel.
const FURTHER: usize = 3;
/// Share of the travel to which the operator moved before the call, and of the highest speed.
const MOVED_TO: f64 = 0.9;
const MOVED_AT: f64 = 0.6;

/// The healthy machine of a case.
pub(super) struct Shop {
    pub setup: Setup,
    pub baseline: Rc<Baseline>,
    pub hangs: bool,
}

/// What each check gave, in the order of [`Check::all`].
pub(super) struct Found {
    /// With everything in.
    pub all: Vec<Reading>,
    /// On the healthy machine: one that has no housing gives nothing there.
    usual: Vec<u8>,
    /// With each fault alone.
    alone: Vec<Vec<u8>>,
}

impl Shop {
    pub fn open(bench: BenchId, set: &SettingList, baseline: &Rc<Baseline>) -> Self {
        let mut setup = Setup::healthy(bench);
        for (setting, value) in &set.0 {
            // Checked by whoever gives them.
            let _ = setting.set(&mut setup, value);
        }
        let hangs = setup.machine().spec().mechanics.incline > 0.0;
        Self { setup, baseline: Rc::clone(baseline), hangs }
    }

    pub fn travel_m(&self) -> f64 {
        self.setup.machine().spec().travel
    }

    /// Makes every check with all faults of a case in, and with each alone.
    pub fn look(&self, case: &Case) -> Result<Found, String> {
        let hidden = case.draw(SEED);
        let all = self.readings(&hidden);
        let outcomes = |readings: &[Reading]| readings.iter().map(|reading| reading.outcome).collect::<Vec<u8>>();
        let alone = match hidden.as_slice() {
            [_] => vec![outcomes(&all)],
            faults => faults.iter().map(|fault| outcomes(&self.readings(&[*fault]))).collect(),
        };
        let healthy = |check| outcome_of(check, self.baseline.get(check), &self.baseline);
        let found = Found { all, usual: Check::all().map(healthy).collect(), alone };
        let seen = |at: &usize| Check::all().any(|check| told(check) && found.shows(*at, check));
        match (0..found.faults()).find(|at| !seen(at)) {
            None => Ok(found),
            Some(at) => Err(format!(
                "\"{}\" shows in no check of this machine; make it more severe, or hide another fault",
                hidden[at].id.row().title
            )),
        }
    }

    fn readings(&self, faults: &[Active]) -> Vec<Reading> {
        let mut bench = Sim::start(self.setup.clone(), SEED, 0.25 * self.travel_m());
        bench.put_in(faults);
        Check::all().map(|check| read(check, &mut bench.clone(), &self.baseline)).collect()
    }

    /// What the operator did before the call: the axis over most of its travel, as far as it came; and how long it took, s.
    pub fn before(&self) -> (Vec<Timed>, f64) {
        let speed_mps = MOVED_AT * self.setup.machine().spec().limits.speed;
        let place_mm = nearest(MOVED_TO * self.travel_m() * 1e3);
        let to = MoveTo {
            to_mm: PlaceMm::nearest(place_mm),
            speed_m_per_min: SpeedMPerMin::nearest(nearest(speed_mps * 60.0).max(1.0)),
        };
        let long_s = (MOVED_TO - 0.25) * self.travel_m() / speed_mps + 4.0;
        let timed = Timed { at_s: Within::nearest(0.5), command: Command::MoveTo(to) };
        (vec![timed], nearest(long_s).clamp(1.0, 600.0))
    }
}

/// Whether a check tells something by itself. An exchange of parts mixes two axes up, and a break-out is no daily tool: they
/// serve on the way, not as the only sign of a fault.
pub(super) fn told(check: Check) -> bool {
    !matches!(check, Check::SwapInput | Check::SwapCable | Check::ScopeHead)
}

impl Found {
    /// What came of a check with everything in.
    pub fn outcome(&self, check: Check) -> u8 {
        self.all.get(check as usize).map_or(0, |reading| reading.outcome)
    }

    /// Whether a check gives anything else with everything in than on the healthy machine.
    pub fn differs(&self, check: Check) -> bool {
        self.usual.get(check as usize).is_some_and(|usual| *usual != self.outcome(check))
    }

    /// Whether fault number `at` by itself shows in a check.
    pub fn shows(&self, at: usize, check: Check) -> bool {
        let outcome = self.alone.get(at).and_then(|outcomes| outcomes.get(check as usize));
        outcome.is_some_and(|outcome| self.usual.get(check as usize) != Some(outcome))
    }

    /// Whether a check tells of anything: a fault may hide behind another one and come out when that one is gone.
    fn serves(&self, check: Check) -> bool {
        self.differs(check) || (0..self.faults()).any(|at| self.shows(at, check))
    }

    /// How many faults there are.
    pub fn faults(&self) -> usize {
        self.alone.len()
    }

    /// Checks that fail with any of the faults in, the run over the travel first: those with power before those without,
    /// short ones before long ones; those in `barred` are left out.
    pub fn proof(&self, barred: &[Check]) -> Result<Vec<Check>, String> {
        let mut able: Vec<Check> = Check::all().filter(|check| told(*check) && !barred.contains(check)).collect();
        able.retain(|check| *check != Check::Traverse && self.serves(*check));
        able.sort_by_key(|check| (check.row().power == Power::Dead, check.row().minutes, *check));
        let mut proof: Vec<Check> = Vec::new();
        for at in 0..self.faults() {
            let covered = self.shows(at, Check::Traverse) || proof.iter().any(|check| self.shows(at, *check));
            if !covered && let Some(check) = able.iter().find(|check| self.shows(at, **check)) {
                proof.push(*check);
            } else if !covered {
                return Err("a proof run cannot tell whether all of it is gone; hide fewer faults".to_owned());
            }
        }
        let further = able.iter().find(|check| check.row().power != Power::Dead && !proof.contains(check));
        // One more than needed: a repair is shown by what was wrong before.
        if proof.is_empty()
            && let Some(check) = further
        {
            proof.push(*check);
        }
        if proof.len() > FURTHER {
            return Err("a proof run cannot tell whether all of it is gone; hide fewer faults".to_owned());
        }
        // A cabinet that was off leaves an axis without its zero, and homing takes it again.
        proof.sort_by_key(|check| (*check == Check::HomeTest, *check != Check::MainsCycle, check.row().minutes));
        proof.insert(0, Check::Traverse);
        Ok(proof)
    }
}

/// What it takes to do things, min.
pub(super) fn minutes(acts: &[Act]) -> u32 {
    acts.iter().map(|act| u32::from(act.minutes())).sum()
}
