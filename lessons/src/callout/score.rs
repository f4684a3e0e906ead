//! The score of a visit and its debrief.
//!
//! Cause 30, evidence before parts 20, safety 20, proof 15, minutes 10, parts 5; 75 of 100 is a pass. What a reading was
//! worth comes from the simulation ([`diagnosis`]): how many times as usual its outcome is with the true cause as with the
//! others, after the readings before it.

use super::act::Act;
use super::hazard::Hazard;
use super::visit::Visit;
use diagnosis::{Belief, Family, Table, family_of};
use sim_core::fault::FaultId;

/// Points that pass.
pub const PASS: f64 = 75.0;
/// Most points after something serious, and after a good part was exchanged.
const AFTER_SERIOUS: f64 = 49.0;
const AFTER_SWAP: f64 = 60.0;
/// Believed this much, a cause may be acted on.
const SURE: f64 = 0.8;

/// The parts of a service note, in words: their name and what belongs there.
pub const PARTS: [(&str, &str); 7] = [
    ("Complaint", "as you heard it, and what you saw of it yourself"),
    ("Evidence", "readings: value, where, with what instrument"),
    ("Ruled out", "what it was not, and by which reading"),
    ("Remedy", "what was done, and which parts went in"),
    ("Zero", "how it was taken again, and against what it was held"),
    ("Cautions", "what was made safe, and how"),
    ("Open points", "what the owner should see to"),
];

/// The service note that closes a case.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Note {
    /// What was wrong.
    pub causes: Vec<&'static Family>,
    /// What stands in its [`PARTS`].
    pub words: [String; PARTS.len()],
}

impl Note {
    /// Whether every part of it is written.
    #[must_use]
    pub fn complete(&self) -> bool {
        self.words.iter().all(|words| !words.trim().is_empty())
    }
}

/// What one reading was worth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Worth {
    /// Its place among what was done.
    pub at: usize,
    /// How many times as usual with the true cause as with the others.
    pub ratio: f64,
    /// What was believed of the true cause after it, 0..1.
    pub share: f64,
}

/// The points of a visit.
#[derive(Clone, Debug, PartialEq)]
pub struct Score {
    /// Right cause, of 30.
    pub cause: f64,
    /// Evidence before parts, of 20.
    pub evidence: f64,
    /// Safety, of 20.
    pub safety: f64,
    /// Proof, of 15.
    pub proof: f64,
    /// Minutes, of 10.
    pub minutes: f64,
    /// Parts, of 5.
    pub parts: f64,
    /// The sum, as far as nothing caps it.
    pub total: f64,
    /// What could be believed of the true cause before any reading, 0..1.
    pub before: f64,
    /// What each reading was worth.
    pub worth: Vec<Worth>,
    /// What was unsafe, each once.
    pub hazards: Vec<Hazard>,
}

impl Score {
    /// Whether it passes.
    #[must_use]
    pub fn passed(&self) -> bool {
        self.total >= PASS
    }
}

/// What is true of a visit, for the table.
struct Truth {
    families: Vec<&'static Family>,
    members: Vec<FaultId>,
}

impl Truth {
    fn of(visit: &Visit) -> Self {
        let mut families: Vec<&'static Family> = Vec::new();
        for fault in visit.hidden() {
            let family = family_of(fault.id);
            if !families.iter().any(|other| other.name == family.name) {
                families.push(family);
            }
        }
        let members = families.iter().flat_map(|family| family.members.iter().copied()).collect();
        Self { families, members }
    }

    fn share(&self, belief: &Belief<'_>) -> f64 {
        self.families.iter().map(|family| belief.share_of(family)).sum()
    }
}

/// Scores a visit that was closed with a note. `table` is that of the machine.
#[must_use]
pub fn score(visit: &Visit, note: &Note, table: &Table) -> Score {
    let truth = Truth::of(visit);
    let mut belief = Belief::before(table);
    let before = truth.share(&belief);
    let first_remedy = visit.done().iter().position(|done| matches!(done.act, Act::Remedy(_)));
    let (mut weight, mut known, mut worth) = (0.0, before, Vec::new());
    for (at, done) in visit.done().iter().enumerate() {
        let Some(reading) = &done.reading else { continue };
        let ratio = belief.worth(&truth.members, reading.check, reading.outcome).unwrap_or(1.0);
        belief.take(reading.check, reading.outcome);
        let share = truth.share(&belief);
        worth.push(Worth { at, ratio, share });
        if first_remedy.is_none_or(|first| at < first) {
            weight += ratio.log10();
            known = share;
        }
    }
    let mut hazards: Vec<Hazard> = Vec::new();
    for hazard in visit.done().iter().flat_map(|done| &done.hazards) {
        if !hazards.contains(hazard) {
            hazards.push(*hazard);
        }
    }
    let proven = visit.proof() == Some(true);
    let wasted = visit.done().iter().any(super::visit::Done::wasted_part);
    let serious = hazards.iter().any(|hazard| hazard.serious());
    let needed = (SURE / (1.0 - SURE)).log10() - (before / (1.0 - before)).log10();
    let evidence = if first_remedy.is_some() { 20.0 * (weight / needed).clamp(0.0, 1.0) } else { 0.0 };
    let parts_of = |points: f64| if proven { points } else { 0.0 };
    let mut score = Score {
        cause: cause(&truth, note, known),
        evidence,
        safety: if serious { 0.0 } else { (20.0 - 5.0 * hazards.len() as f64).max(0.0) },
        proof: if proven { 10.0 + if note.complete() && zero_is_right(visit) { 5.0 } else { 0.0 } } else { 0.0 },
        minutes: parts_of(10.0 * late(visit)),
        parts: parts_of(if wasted { 0.0 } else { 5.0 }),
        total: 0.0,
        before,
        worth,
        hazards,
    };
    let sum = score.cause + score.evidence + score.safety + score.proof + score.minutes + score.parts;
    let most = if serious { AFTER_SERIOUS } else { 100.0 };
    score.total = sum.min(if wasted { AFTER_SWAP } else { 100.0 }).min(most);
    score
}

/// Points for the causes that are named: all of them, and no other.
fn cause(truth: &Truth, note: &Note, known: f64) -> f64 {
    let each = 30.0 / truth.families.len().max(1) as f64;
    let named = |family: &&&'static Family| note.causes.iter().any(|other| other.name == family.name);
    let right = truth.families.iter().filter(named).count();
    let extra = note.causes.len().saturating_sub(right);
    let points = (each * right as f64 - 10.0 * extra as f64).max(0.0);
    // Named without evidence for it, it was a guess.
    if known < 0.5 { 0.5 * points } else { points }
}

/// How little time was taken beside the par path, 0..1.
fn late(visit: &Visit) -> f64 {
    let times = f64::from(visit.minutes()) / f64::from(visit.case().par_minutes().max(1));
    ((2.5 - times) / 1.5).clamp(0.0, 1.0)
}

/// Whether the machine has its zero and tells the place of the table.
#[must_use]
pub fn zero_is_right(visit: &Visit) -> bool {
    let (sim, r) = (visit.sim(), visit.sim().record());
    let limit_m = 30e-6 + 3.0 * sim.params().metres_per_count();
    r.referenced && sim.params().ahead_m(r.counted_m, r.table_m).abs() < limit_m
}
