//! The par path of a made case: what is done at the machine, chosen one thing after the other by what it tells a minute.

use super::cure::cures;
use super::shop::{Found, Shop, minutes, told};
use super::{Case, SEED};
use crate::callout::{Act, Remedy, Visit};
use diagnosis::check::Power;
use diagnosis::{Belief, Check, Family, Table, family_of};
use std::rc::Rc;

/// Believed this much, a cause is acted on.
const SURE: f64 = 0.8;
/// A check that tells less than this tells nothing, bits.
const LEAST_BITS: f64 = 0.02;
/// Most checks on the way.
const MOST_CHECKS: usize = 8;
/// Checks where there is no table to choose by.
const BY_SIGHT: usize = 2;

/// A way in progress.
struct Way<'a> {
    shop: &'a Shop,
    visit: Visit,
    acts: Vec<Act>,
    locked: bool,
    break_out: bool,
}

/// Finds a way from the arrival to the proof run.
pub(super) fn find(case: &Case, shop: &Shop, found: &Found, table: Option<&Table>) -> Result<Vec<Act>, String> {
    let visit = Visit::arrive(&Rc::new(case.clone()), &shop.baseline, SEED);
    let mut way = Way { shop, visit, acts: Vec::new(), locked: false, break_out: false };
    way.go(&[Act::Ask(0), Act::Log])?;
    match table {
        Some(table) => way.by_belief(table)?,
        None => way.by_sight(found)?,
    }
    let hidden: Vec<_> = way.visit.hidden().iter().map(|fault| fault.id).collect();
    way.mend(&cures(&hidden)?)?;
    Ok(way.acts)
}

impl Way<'_> {
    fn go(&mut self, acts: &[Act]) -> Result<(), String> {
        for act in acts {
            self.visit.act(*act).map_err(|why| format!("{act}: {why}"))?;
            self.acts.push(*act);
        }
        Ok(())
    }

    fn line(&self, line: &str) -> Vec<Act> {
        // Lines of this file, all of which are known.
        Act::read(line, self.shop.hangs).unwrap_or_default()
    }

    /// What has to be done before a check, and whether the machine is locked out then.
    fn before(&self, check: Check) -> (Vec<Act>, bool) {
        let dead = check.row().power == Power::Dead;
        let fits = check == Check::ScopeHead && !self.break_out;
        let mut acts = Vec::new();
        if (dead || fits) && !self.locked {
            acts.extend(self.line("lockout"));
        }
        if fits {
            acts.push(Act::BreakOut);
        }
        if !dead && (fits || self.locked) {
            acts.extend(self.line("power-up"));
        }
        (acts, dead)
    }

    /// What a check costs with all that goes with it, min: whoever locks out has to switch on again.
    fn cost(&self, check: Check) -> u32 {
        let (before, dead) = self.before(check);
        let after = if dead && !self.locked { minutes(&self.line("power-up")) } else { 0 };
        minutes(&before) + after + u32::from(check.row().minutes)
    }

    /// Makes a check; gives its outcome.
    fn check(&mut self, check: Check) -> Result<u8, String> {
        let (before, locked) = self.before(check);
        self.go(&before)?;
        self.locked = locked;
        self.break_out |= before.contains(&Act::BreakOut);
        self.go(&[Act::Check(check)])?;
        let reading = self.visit.done().last().and_then(|done| done.reading.as_ref());
        Ok(reading.map_or(0, |reading| reading.outcome))
    }

    /// The check that tells most a minute, again and again, until the cause is believed or nothing tells more.
    fn by_belief(&mut self, table: &Table) -> Result<(), String> {
        let mut families: Vec<&Family> = self.visit.hidden().iter().map(|fault| family_of(fault.id)).collect();
        families.sort_by_key(|family| family.name);
        families.dedup_by_key(|family| family.name);
        let mut belief = Belief::before(table);
        let mut left: Vec<Check> = table.checks.clone();
        for _ in 0..MOST_CHECKS {
            let share: f64 = families.iter().map(|family| belief.share_of(family)).sum();
            if share >= SURE {
                break;
            }
            let gains = left.iter().map(|check| (*check, belief.gain_bits(*check)));
            let rates = gains
                .filter(|(_, bits)| *bits >= LEAST_BITS)
                .map(|(check, bits)| (check, bits / f64::from(self.cost(check))));
            // The first of those that are equal.
            let best = rates.reduce(|best, next| if next.1 > best.1 { next } else { best });
            let Some((check, _)) = best else { break };
            left.retain(|other| *other != check);
            let outcome = self.check(check)?;
            belief.take(check, outcome);
        }
        Ok(())
    }

    /// Without a table: for each fault the cheapest check that shows it, two at least where two show anything.
    fn by_sight(&mut self, found: &Found) -> Result<(), String> {
        let mut able: Vec<Check> = Check::all().filter(|check| told(*check) && found.differs(*check)).collect();
        able.sort_by_key(|check| (self.cost(*check), *check));
        let mut chosen: Vec<Check> = Vec::new();
        for at in 0..found.faults() {
            let seen = chosen.iter().any(|check| found.shows(at, *check));
            chosen.extend(able.iter().filter(|check| !seen && found.shows(at, **check)).take(1));
        }
        let further: Vec<Check> = able.iter().copied().filter(|check| !chosen.contains(check)).collect();
        chosen.extend(further.into_iter().take(BY_SIGHT.saturating_sub(chosen.len())));
        chosen.sort_by_key(|check| (check.row().power == Power::Dead, self.cost(*check), *check));
        chosen.into_iter().try_for_each(|check| self.check(check).map(drop))
    }

    /// The remedies, those on a dead machine inside one lockout, then ready and proof run.
    fn mend(&mut self, remedies: &[Remedy]) -> Result<(), String> {
        let (dead, live): (Vec<Remedy>, Vec<Remedy>) = remedies.iter().partition(|remedy| remedy.row().dead);
        if !dead.is_empty() && !self.locked {
            self.go(&self.line("lockout"))?;
            self.locked = true;
        }
        self.go(&dead.into_iter().map(Act::Remedy).collect::<Vec<_>>())?;
        let mut rest = if self.locked { self.line("power-up") } else { vec![Act::Ready] };
        let ready = rest.pop();
        rest.extend(live.into_iter().map(Act::Remedy));
        rest.extend(ready);
        rest.push(Act::Prove);
        self.go(&rest)
    }
}
