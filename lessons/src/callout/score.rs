//! The score of a visit and its debrief.
//!
//! Cause 30, evidence before parts 20, safety 20, proof 15, minutes 10, parts 5; 75 of 100 is a pass. What a reading was
//! worth comes from the simulation ([`diagnosis`]): how many times as usual its outcome is with the true cause as with the
//! others, after the readings before it.
//!
//! The table knows machines with one fault. Where two are hidden, each has a ledger of its own: a finding is laid to the
//! fault for which it is worth most and says nothing of the other, since what one fault does to a machine is no evidence
//! against a second one; a reading as on the healthy machine goes into both. A ledger takes readings until its fault is
//! cured, so that the first cure may uncover the second fault; a remedy that cures nothing was a guess and closes all.

use super::act::Act;
use super::hazard::Hazard;
use super::visit::{Done, Visit};
use diagnosis::{Belief, Family, Reading, Table, family_of};

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
    /// For which of the true causes.
    pub family: &'static Family,
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

/// The evidence for one of the true causes.
struct Ledger<'a> {
    family: &'static Family,
    belief: Belief<'a>,
    /// Share of the cause before any reading, 0..1.
    before: f64,
    /// Sum of the decimal logarithms of what its readings were worth.
    weight: f64,
    /// Whether readings still count.
    open: bool,
}

impl Ledger<'_> {
    fn ratio(&self, reading: &Reading) -> f64 {
        self.belief.worth(self.family.members, reading.check, reading.outcome).unwrap_or(1.0)
    }

    /// Share of the cause after its readings, 0..1.
    fn known(&self) -> f64 {
        self.belief.share_of(self.family)
    }

    /// How much of the evidence that it takes to be sure is there, 0..1.
    fn full(&self) -> f64 {
        let odds = |share: f64| (share / (1.0 - share)).log10();
        (self.weight / (odds(SURE) - odds(self.before))).clamp(0.0, 1.0)
    }
}

/// One ledger for each family of the hidden causes.
fn ledgers<'a>(visit: &Visit, table: &'a Table) -> Vec<Ledger<'a>> {
    let mut ledgers: Vec<Ledger<'a>> = Vec::new();
    for fault in visit.hidden() {
        let family = family_of(fault.id);
        if !ledgers.iter().any(|ledger| ledger.family == family) {
            let belief = Belief::before(table);
            ledgers.push(Ledger { family, before: belief.share_of(family), belief, weight: 0.0, open: true });
        }
    }
    ledgers
}

/// Lays a reading to the ledgers that it speaks to.
fn lay(ledgers: &mut [Ledger<'_>], at: usize, reading: &Reading, worth: &mut Vec<Worth>) {
    let ratios: Vec<f64> = ledgers.iter().filter(|ledger| ledger.open).map(|ledger| ledger.ratio(reading)).collect();
    let most = ratios.iter().copied().fold(0.0, f64::max);
    let mut taken = false;
    for (ledger, ratio) in ledgers.iter_mut().filter(|ledger| ledger.open).zip(ratios) {
        if reading.outcome != 0 && (ratio < most || taken) {
            continue;
        }
        taken = true;
        ledger.belief.take(reading.check, reading.outcome);
        ledger.weight += ratio.log10();
        worth.push(Worth { at, family: ledger.family, ratio, share: ledger.known() });
    }
}

/// Closes the ledgers of what a remedy cured, and all when it cured nothing.
fn close(ledgers: &mut [Ledger<'_>], done: &Done) {
    for ledger in ledgers {
        if done.cured.is_empty() || done.cured.iter().any(|cause| ledger.family.members.contains(cause)) {
            ledger.open = false;
        }
    }
}

/// Scores a visit that was closed with a note. `table` is that of the machine.
#[must_use]
pub fn score(visit: &Visit, note: &Note, table: &Table) -> Score {
    let mut ledgers = ledgers(visit, table);
    let mut worth = Vec::new();
    for (at, done) in visit.done().iter().enumerate() {
        if let Some(reading) = &done.reading {
            lay(&mut ledgers, at, reading, &mut worth);
        } else if matches!(done.act, Act::Remedy(_)) {
            close(&mut ledgers, done);
        }
    }
    let acted = visit.done().iter().any(|done| matches!(done.act, Act::Remedy(_)));
    let mut hazards: Vec<Hazard> = Vec::new();
    for hazard in visit.done().iter().flat_map(|done| &done.hazards) {
        if !hazards.contains(hazard) {
            hazards.push(*hazard);
        }
    }
    let proven = visit.proof() == Some(true);
    let wasted = visit.done().iter().any(Done::wasted_part);
    let serious = hazards.iter().any(|hazard| hazard.serious());
    let full = ledgers.iter().map(Ledger::full).sum::<f64>() / ledgers.len().max(1) as f64;
    let evidence = if acted { 20.0 * full } else { 0.0 };
    let parts_of = |points: f64| if proven { points } else { 0.0 };
    let mut score = Score {
        cause: cause(&ledgers, note),
        evidence,
        safety: if serious { 0.0 } else { (20.0 - 5.0 * hazards.len() as f64).max(0.0) },
        proof: if proven { 10.0 + if note.complete() && zero_is_right(visit) { 5.0 } else { 0.0 } } else { 0.0 },
        minutes: parts_of(10.0 * late(visit)),
        parts: parts_of(if wasted { 0.0 } else { 5.0 }),
        total: 0.0,
        worth,
        hazards,
    };
    let sum = score.cause + score.evidence + score.safety + score.proof + score.minutes + score.parts;
    let most = if serious { AFTER_SERIOUS } else { 100.0 };
    score.total = sum.min(if wasted { AFTER_SWAP } else { 100.0 }).min(most);
    score
}

/// Points for the causes that are named: all of them, and no other.
fn cause(ledgers: &[Ledger<'_>], note: &Note) -> f64 {
    let right: Vec<&Ledger<'_>> = ledgers.iter().filter(|ledger| note.causes.contains(&ledger.family)).collect();
    let extra = note.causes.len().saturating_sub(right.len());
    let each = 30.0 / ledgers.len().max(1) as f64;
    let points = (each * right.len() as f64 - 10.0 * extra as f64).max(0.0);
    // Named without evidence for it, it was a guess.
    let counts: f64 = right.iter().map(|ledger| if ledger.known() < 0.5 { 0.5 } else { 1.0 }).sum();
    points * counts / right.len().max(1) as f64
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
