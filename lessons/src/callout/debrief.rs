//! The debrief: what it was, what each reading was worth, what would have been the better next check, what was unsafe,
//! what was wasted, and the expert's way beside it.

use super::case::Trust;
use super::score::{self, Note, Score};
use super::visit::Visit;
use super::{Hazard, cost};
use diagnosis::{Belief, Check, Table};
use serde::{Deserialize, Serialize};
use sim_core::fault::Active;
use std::collections::BTreeMap;

/// Causes that are listed with their shares.
const LISTED: usize = 4;

/// What a reading was worth, and what could have been read instead.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Fork {
    /// Its place among what was done.
    pub at: usize,
    /// Name of the true cause's family that it speaks to.
    pub family: String,
    /// How many times as usual with the true cause as with the others.
    pub ratio: f64,
    /// What could be believed of the true cause before and after it, 0..1.
    pub share: [f64; 2],
    /// Likeliest families after it with their shares.
    pub likely: Vec<(String, f64)>,
    /// The check with the most to tell for its minutes before this one was made: name in files, bits.
    pub best: (String, f64),
    /// What the check that was made could tell then, bits.
    pub bits: f64,
}

/// The debrief of a visit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Debrief {
    /// What was wrong, in words.
    pub causes: Vec<String>,
    /// Names of the families of what was wrong.
    pub families: Vec<String>,
    /// Points: cause, evidence, safety, proof, minutes, parts.
    pub points: [f64; 6],
    /// Their sum, as far as nothing caps it.
    pub total: f64,
    /// Whether it passes.
    pub passed: bool,
    /// What each reading was worth.
    pub forks: Vec<Fork>,
    /// What was unsafe: its place among what was done, in words, and whether it was serious.
    pub hazards: Vec<(usize, String, bool)>,
    /// Where a good part was exchanged.
    pub wasted: Vec<usize>,
    /// Where something was cured.
    pub cured: Vec<usize>,
    /// The expert's way: what, and its minutes.
    pub par: Vec<(String, u16)>,
    /// What the expert's way costs, time and parts.
    pub par_cost: u32,
    /// How far each statement of the operator was to be trusted.
    pub trust: Vec<Trust>,
    /// What is behind the case.
    pub lesson: String,
}

/// Makes the debrief of a visit that was closed with a note.
#[must_use]
pub fn debrief(visit: &Visit, note: &Note, table: &Table) -> Debrief {
    let score = score::score(visit, note, table);
    let case = visit.case();
    let at_places = |what: fn(&super::visit::Done) -> bool| {
        visit.done().iter().enumerate().filter(|(_, done)| what(done)).map(|(at, _)| at).collect()
    };
    let hazards = |(at, done): (usize, &super::visit::Done)| -> Vec<(usize, String, bool)> {
        done.hazards.iter().map(|hazard: &Hazard| (at, hazard.words(), hazard.serious())).collect()
    };
    let mut families: Vec<String> =
        visit.hidden().iter().map(|fault| diagnosis::family_of(fault.id).name.to_owned()).collect();
    families.dedup();
    Debrief {
        causes: visit.hidden().iter().map(words).collect(),
        families,
        points: [score.cause, score.evidence, score.safety, score.proof, score.minutes, score.parts],
        total: score.total,
        passed: score.passed(),
        forks: forks(visit, &score, table),
        hazards: visit.done().iter().enumerate().flat_map(hazards).collect(),
        wasted: at_places(super::visit::Done::wasted_part),
        cured: at_places(|done| !done.cured.is_empty()),
        par: case.par.iter().map(|act| (act.to_string(), act.minutes())).collect(),
        par_cost: case.par_minutes() * cost::PER_MINUTE + case.par.iter().map(|act| cost::parts_of(*act)).sum::<u32>(),
        trust: case.statements.iter().map(|statement| statement.trust).collect(),
        lesson: case.lesson.clone(),
    }
}

/// A fault with how bad it is and where.
fn words(fault: &Active) -> String {
    let row = fault.id.row();
    let place = if row.has_place { format!(" at {:.0} mm", fault.at_m * 1e3) } else { String::new() };
    format!("{}, {:.0} %{place}", row.title, fault.severity * 100.0)
}

fn forks(visit: &Visit, score: &Score, table: &Table) -> Vec<Fork> {
    // Each true cause has its own ledger of readings, as in the score.
    let mut beliefs: BTreeMap<&'static str, Belief<'_>> = BTreeMap::new();
    let mut forks = Vec::with_capacity(score.worth.len());
    for worth in &score.worth {
        let Some(reading) = visit.done().get(worth.at).and_then(|done| done.reading.as_ref()) else { continue };
        let belief = beliefs.entry(worth.family.name).or_insert_with(|| Belief::before(table));
        let rate = |check: &Check| belief.gain_bits(*check) / f64::from(check.row().minutes);
        let best = table.checks.iter().copied().max_by(|a, b| rate(a).total_cmp(&rate(b))).unwrap_or(reading.check);
        let best = (best.row().name.to_owned(), belief.gain_bits(best));
        let (bits, before) = (belief.gain_bits(reading.check), belief.share_of(worth.family));
        belief.take(reading.check, reading.outcome);
        let likely = belief.families().into_iter().take(LISTED).map(|(f, share)| (f.name.to_owned(), share)).collect();
        forks.push(Fork {
            at: worth.at,
            family: worth.family.name.to_owned(),
            ratio: worth.ratio,
            share: [before, worth.share],
            likely,
            best,
            bits,
        });
    }
    forks
}
