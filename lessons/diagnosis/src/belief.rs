//! What remains likely after readings, and what a reading was worth.
//!
//! With forms k of causes c, weights w, and q the chance of a report:
//! `p(c, k | x) ~ pi_c w_k prod_j q_j(x_j | r_jk)`, worked out in logarithms. The worth of a reading is the ratio of its
//! chance with the true cause to its chance with all others, both after the readings before it (the Bayes factor; I. J.
//! Good, "Probability and the Weighing of Evidence", 1950, from memory).

use crate::check::Check;
use crate::family::{FAMILIES, Family, family_of};
use crate::particle::Cause;
use crate::report::chance;
use crate::table::Table;
use sim_core::num::math::{exp, ln};

/// Share of "none of these" before any reading (own estimate).
pub const NONE_SHARE: f64 = 0.06;

/// What is believed after some readings.
#[derive(Clone, Debug)]
pub struct Belief<'a> {
    table: &'a Table,
    /// Logarithm of the weight of each row, not brought to a sum.
    logs: Vec<f64>,
    /// The same of "none of these".
    none_log: f64,
}

impl<'a> Belief<'a> {
    /// What is believed before any reading: each family of the table's causes alike, in it each cause, of it each form.
    #[must_use]
    pub fn before(table: &'a Table) -> Self {
        let causes = table.causes();
        let like = |cause: Cause| causes.iter().filter(|other| family_of(**other) == family_of(cause)).count();
        Self::with(table, |cause| 1.0 / like(cause) as f64)
    }

    /// The same with a share for each cause; shares need not add up to one.
    #[must_use]
    pub fn with(table: &'a Table, share: impl Fn(Cause) -> f64) -> Self {
        let causes = table.causes();
        let whole: f64 = causes.iter().map(|cause| share(*cause).max(0.0)).sum();
        let forms = |cause: Cause| table.rows.iter().filter(|row| row.cause == cause).count() as f64;
        let of: Vec<(Cause, f64)> = causes
            .iter()
            .map(|cause| (*cause, ln((1.0 - NONE_SHARE) * share(*cause).max(0.0) / whole / forms(*cause))))
            .collect();
        let log_of = |cause: Cause| of.iter().find(|(other, _)| *other == cause).map_or(f64::NEG_INFINITY, |(_, l)| *l);
        Self { table, logs: table.rows.iter().map(|row| log_of(row.cause)).collect(), none_log: ln(NONE_SHARE) }
    }

    /// Takes a reading in. A check that the table has not tried says nothing.
    pub fn take(&mut self, check: Check, outcome: u8) {
        let Some(column) = self.table.column(check) else { return };
        for (log, row) in self.logs.iter_mut().zip(&self.table.rows) {
            *log += ln(chance(check, outcome, row.outcomes[column]));
        }
        self.none_log -= ln(check.row().outcomes.len() as f64);
    }

    /// Shares of all causes, likeliest first, and that of "none of these".
    #[must_use]
    pub fn shares(&self) -> (Vec<(Cause, f64)>, f64) {
        let most = self.logs.iter().copied().fold(self.none_log, f64::max);
        let none = exp(self.none_log - most);
        let mut shares: Vec<(Cause, f64)> = self.table.causes().into_iter().map(|cause| (cause, 0.0)).collect();
        let mut at = 0;
        for (log, row) in self.logs.iter().zip(&self.table.rows) {
            if shares[at].0 != row.cause {
                at += 1;
            }
            shares[at].1 += exp(log - most);
        }
        let whole = none + shares.iter().map(|(_, share)| share).sum::<f64>();
        shares.iter_mut().for_each(|(_, share)| *share /= whole);
        shares.sort_by(|a, b| b.1.total_cmp(&a.1));
        (shares, none / whole)
    }

    /// The share of one cause.
    #[must_use]
    pub fn share(&self, cause: Cause) -> f64 {
        self.shares().0.into_iter().find(|(other, _)| *other == cause).map_or(0.0, |(_, share)| share)
    }

    /// The share of a family.
    #[must_use]
    pub fn share_of(&self, family: &Family) -> f64 {
        self.shares().0.iter().filter(|(cause, _)| family.members.contains(cause)).map(|(_, share)| share).sum()
    }

    /// Shares of all families that the table knows, likeliest first.
    #[must_use]
    pub fn families(&self) -> Vec<(&'static Family, f64)> {
        let (shares, _) = self.shares();
        let of = |family: &'static Family| {
            let share: f64 =
                shares.iter().filter(|(cause, _)| family.members.contains(cause)).map(|(_, share)| share).sum();
            (family, share)
        };
        let mut families: Vec<_> = FAMILIES.iter().map(of).filter(|(_, share)| *share > 0.0).collect();
        families.sort_by(|a, b| b.1.total_cmp(&a.1));
        families
    }

    /// The chance that a check now gives an outcome, among the causes that `fits` lets in; `None` is "none of these".
    /// Nothing when the table has not tried the check, or when none is let in.
    #[must_use]
    pub fn expects(&self, check: Check, outcome: u8, fits: impl Fn(Option<Cause>) -> bool) -> Option<f64> {
        let column = self.table.column(check)?;
        let most = self.logs.iter().copied().fold(self.none_log, f64::max);
        let (mut with, mut whole) = (0.0, 0.0);
        for (log, row) in self.logs.iter().zip(&self.table.rows).filter(|(_, row)| fits(Some(row.cause))) {
            let weight = exp(log - most);
            with += weight * chance(check, outcome, row.outcomes[column]);
            whole += weight;
        }
        if fits(None) {
            let weight = exp(self.none_log - most);
            with += weight / check.row().outcomes.len() as f64;
            whole += weight;
        }
        (whole > 0.0).then(|| with / whole)
    }

    /// How many times as usual an outcome is with the true causes as with all others, after the readings taken in so far.
    #[must_use]
    pub fn worth(&self, truth: &[Cause], check: Check, outcome: u8) -> Option<f64> {
        let is_true = |cause: Option<Cause>| cause.is_some_and(|cause| truth.contains(&cause));
        Some(self.expects(check, outcome, is_true)? / self.expects(check, outcome, |cause| !is_true(cause))?)
    }

    /// How many bits a check will tell about the family of the cause on the average.
    #[must_use]
    pub fn gain_bits(&self, check: Check) -> f64 {
        let outcomes = check.row().outcomes.len() as u8;
        let after: f64 = (0..outcomes)
            .filter_map(|outcome| {
                let chance = self.expects(check, outcome, |_| true)?;
                let mut then = self.clone();
                then.take(check, outcome);
                Some(chance * then.doubt_bits())
            })
            .sum();
        if self.table.column(check).is_some() { (self.doubt_bits() - after).max(0.0) } else { 0.0 }
    }

    /// How much is unknown about the family of the cause, bits (C. E. Shannon, 1948).
    #[must_use]
    pub fn doubt_bits(&self) -> f64 {
        let (shares, none) = self.shares();
        let term = |p: f64| if p > 0.0 { -p * ln(p) / std::f64::consts::LN_2 } else { 0.0 };
        let of = |family: &Family| -> f64 {
            shares.iter().filter(|(cause, _)| family.members.contains(cause)).map(|(_, share)| share).sum()
        };
        FAMILIES.iter().map(|family| term(of(family))).sum::<f64>() + term(none)
    }
}

#[cfg(test)]
#[path = "belief_tests.rs"]
mod tests;
