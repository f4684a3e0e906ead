//! Which remedies take all of a case away in the fewest minutes.

use crate::callout::remedy::{REMEDIES, Remedy};
use sim_core::fault::FaultId;

/// The remedies that cure all of some faults, the quickest set of them; those on a dead machine first. None of them is
/// done in vain.
pub(super) fn cures(faults: &[FaultId]) -> Result<Vec<Remedy>, String> {
    let mut best: Option<Vec<Remedy>> = None;
    cover(faults, &mut Vec::new(), &mut best);
    let mut best = best.ok_or("no remedy takes all of it away; hide another fault")?;
    best.sort_by_key(|remedy| (!remedy.row().dead, *remedy));
    Ok(best)
}

/// Minutes of remedies; on a tie the first in the order of remedies counts.
fn cost(remedies: &[Remedy]) -> u32 {
    remedies.iter().map(|remedy| u32::from(remedy.row().minutes)).sum()
}

fn cover(left: &[FaultId], taken: &mut Vec<Remedy>, best: &mut Option<Vec<Remedy>>) {
    if best.as_ref().is_some_and(|best| cost(best) <= cost(taken)) {
        return;
    }
    let Some(first) = left.first() else {
        *best = Some(taken.clone());
        return;
    };
    for row in REMEDIES.iter().filter(|row| row.remedy.cures(*first)) {
        let rest: Vec<FaultId> = left.iter().copied().filter(|fault| !row.remedy.cures(*fault)).collect();
        taken.push(row.remedy);
        cover(&rest, taken, best);
        taken.pop();
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use sim_core::fault::TABLE;

    #[test]
    fn each_fault_has_a_cure_and_one_remedy_may_serve_two() {
        for row in &TABLE {
            let cure = cures(&[row.id]).unwrap();
            let quickest = REMEDIES.iter().filter(|r| r.remedy.cures(row.id)).map(|r| r.minutes).min();
            assert_eq!((cure.len(), Some(cure[0].row().minutes)), (1, quickest), "{}", row.name);
        }
        assert_eq!(cures(&[FaultId::TapeSmear, FaultId::OilFilm]), Ok(vec![Remedy::CleanRight]));
        // A dirty scale and an open housing: restoring the housing cleans as well.
        assert_eq!(cures(&[FaultId::TapeSmear, FaultId::PurgeLost]), Ok(vec![Remedy::Housing]));
        let two = cures(&[FaultId::KvHalved, FaultId::GapWide]);
        assert_eq!(two, Ok(vec![Remedy::Regap, Remedy::Values]));
        // Poor contacts sit in the cable, but drying the plug is quicker; with a broken conductor the cable goes anyway.
        assert_eq!(cures(&[FaultId::ConductorOpen, FaultId::ConductorShort]), Ok(vec![Remedy::ReplaceCable]));
    }
}
