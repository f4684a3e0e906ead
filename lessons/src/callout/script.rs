//! Ways through a case that need no person: the expert's, that of somebody who exchanges parts until it runs, an unsafe
//! one, and none.

use super::act::Act;
use super::case::Case;
use super::remedy::{REMEDIES, Remedy};
use super::score::Note;
use super::visit::Visit;
use diagnosis::{Check, Family, family_of};

/// A note with everything in it.
#[must_use]
pub fn note(causes: Vec<&'static Family>) -> Note {
    let words = ["as told", "as read", "as read", "as done", "homed", "locked out", "none"];
    Note { causes, words: words.map(str::to_owned) }
}

/// What was hidden, as a note names it.
#[must_use]
pub fn truth(visit: &Visit) -> Note {
    let mut families: Vec<&'static Family> = visit.hidden().iter().map(|fault| family_of(fault.id)).collect();
    families.dedup_by_key(|family| family.name);
    note(families)
}

/// Does one thing after the other; what is refused is told with its act.
///
/// # Errors
/// The first act that was refused, and why.
pub fn play(visit: &mut Visit, acts: &[Act]) -> Result<(), String> {
    for act in acts {
        visit.act(*act).map_err(|why| format!("{act}: {why}"))?;
    }
    Ok(())
}

/// The expert's way.
///
/// # Errors
/// As [`play`].
pub fn expert(visit: &mut Visit) -> Result<Note, String> {
    let par = visit.case().par.clone();
    play(visit, &par)?;
    Ok(truth(visit))
}

/// Exchanges parts, then does whatever else there is, until the machine runs. Names what was done last.
///
/// # Errors
/// As [`play`].
pub fn part_swapper(visit: &mut Visit) -> Result<Note, String> {
    let hangs = visit.sim().params().machine.mechanics.incline > 0.0;
    let acts = |line: &str| Act::read(line, hangs).map_err(|(what, _)| what);
    let parts =
        [Remedy::ReplaceCable, Remedy::ReplaceHead, Remedy::ReplaceScale, Remedy::ReplaceInput, Remedy::ReplaceMotor];
    let rest = REMEDIES.iter().map(|row| row.remedy).filter(|remedy| !parts.contains(remedy));
    for remedy in parts.into_iter().chain(rest) {
        if remedy.row().dead {
            play(visit, &acts("lockout")?)?;
            play(visit, &[Act::Remedy(remedy)])?;
            play(visit, &acts("power-up")?)?;
        } else {
            play(visit, &[Act::Remedy(remedy), Act::Ready])?;
        }
        let done = visit.done().iter().rev().find(|done| done.act == Act::Remedy(remedy));
        let untouched =
            done.is_some_and(|done| done.cured.is_empty()) && remedy != Remedy::CleanDry && !remedy.cleans();
        if untouched {
            // Nothing has changed on the machine: it would fail again.
            continue;
        }
        play(visit, &[Act::Prove])?;
        if visit.proof() == Some(true) {
            let causes = visit.done().iter().flat_map(|done| &done.cured).map(|cause| family_of(*cause)).collect();
            return Ok(note(causes));
        }
    }
    Ok(note(vec![]))
}

/// The expert's way without a thought for safety, with a plug pulled under voltage first.
///
/// # Errors
/// As [`play`].
pub fn unsafe_path(visit: &mut Visit) -> Result<Note, String> {
    let bold = |act: &&Act| !matches!(act, Act::Safety(_) | Act::Wait(_) | Act::BreakOut);
    let par: Vec<Act> = visit.case().par.iter().filter(bold).copied().collect();
    play(visit, &[Act::Check(Check::Ohms)])?;
    play(visit, &par)?;
    Ok(truth(visit))
}

/// Looks at nothing and writes nothing.
#[must_use]
pub fn nothing(_: &Case) -> Note {
    Note::default()
}
