use super::{Belief, NONE_SHARE};
use crate::check::Check;
use crate::report::{FLOOR, chance};
use crate::table::{Row, Table};
use proptest::prelude::*;
use sim_core::fault::FaultId::{self, ConductorOpen, SupplyThin, TapeSmear};
use sim_core::num::random::Stream;
use sim_core::setup::BenchId;

fn table(rows: &[(FaultId, &[u8])]) -> Table {
    let mut k = 0;
    let rows = rows
        .iter()
        .map(|(cause, outcomes)| {
            k += 1;
            Row { cause: *cause, k, outcomes: outcomes.to_vec() }
        })
        .collect();
    Table { machine: BenchId::SmallMill.into(), checks: vec![Check::Lamp, Check::Flex], rows }
}

/// Lamp: clean, place, film, damage, window, none. Flex: quiet, lets go, none.
fn three() -> Table {
    table(&[
        (TapeSmear, &[1, 0]),
        (TapeSmear, &[2, 0]),
        (ConductorOpen, &[0, 1]),
        (ConductorOpen, &[0, 0]),
        (SupplyThin, &[0, 0]),
    ])
}

/// Source: Bayes' rule by hand on the table above.
#[test]
fn shares_follow_bayes_rule() {
    let table = three();
    let mut belief = Belief::before(&table);
    let each = (1.0 - NONE_SHARE) / 3.0;
    assert!((belief.share(TapeSmear) - each).abs() < 1e-12);
    belief.take(Check::Lamp, 1);
    let outcomes = Check::Lamp.row().outcomes.len() as f64;
    let hit = 1.0 - (outcomes - 1.0) * FLOOR;
    let smear = each * 0.5 * (hit + FLOOR);
    let whole = smear + 2.0 * each * FLOOR + NONE_SHARE / outcomes;
    assert!((belief.share(TapeSmear) - smear / whole).abs() < 1e-12);
    let (shares, none) = belief.shares();
    assert_eq!(shares[0].0, TapeSmear);
    assert!((shares.iter().map(|(_, share)| share).sum::<f64>() + none - 1.0).abs() < 1e-12);
    assert!((none - NONE_SHARE / outcomes / whole).abs() < 1e-12);
}

/// Source: the definition, p(o | true) / p(o | not true), by hand.
#[test]
fn a_reading_is_worth_the_ratio_of_its_chances() {
    let table = three();
    let belief = Belief::before(&table);
    let flex_hit = 1.0 - 2.0 * FLOOR;
    let with = 0.5 * (flex_hit + FLOOR);
    let each = (1.0 - NONE_SHARE) / 3.0;
    let without = (2.0 * each * FLOOR + NONE_SHARE / 3.0) / (2.0 * each + NONE_SHARE);
    let worth = belief.worth(&[ConductorOpen], Check::Flex, 1).unwrap();
    assert!((worth - with / without).abs() < 1e-12, "{worth}");
    // A check that nobody has tried says nothing.
    assert_eq!(belief.worth(&[ConductorOpen], Check::Ohms, 1), None);
    let mut same = belief.clone();
    same.take(Check::Ohms, 1);
    assert_eq!(same.shares(), belief.shares());
    assert_eq!(belief.gain_bits(Check::Ohms), 0.0);
}

/// Two readings that are both bad when the cause is bad: together they say less than their product.
/// Source: low with chance .15 when mild and .95 when bad, half of each: .5 (.95^2 + .15^2) = .4625 for both, and
/// .55^2 = .3025 if they were multiplied.
#[test]
fn readings_of_one_form_are_not_counted_twice() {
    let forms: Vec<(FaultId, Vec<u8>)> =
        (0..40).map(|k| (TapeSmear, if k < 20 { vec![1, 1] } else { vec![0, 0] })).collect();
    let rows: Vec<(FaultId, &[u8])> = forms.iter().map(|(cause, outcomes)| (*cause, outcomes.as_slice())).collect();
    let table = table(&rows);
    let belief = Belief::before(&table);
    let is = |cause: Option<FaultId>| cause == Some(TapeSmear);
    let first = belief.expects(Check::Lamp, 1, is).unwrap();
    let alone = belief.expects(Check::Flex, 1, is).unwrap();
    let mut after = belief.clone();
    after.take(Check::Lamp, 1);
    let then = after.expects(Check::Flex, 1, is).unwrap();
    let (a, b) = (chance(Check::Lamp, 1, 1), chance(Check::Lamp, 1, 0));
    let (c, d) = (chance(Check::Flex, 1, 1), chance(Check::Flex, 1, 0));
    assert!((first * then - 0.5 * (a * c + b * d)).abs() < 1e-12);
    assert!(then > 1.5 * alone, "{then} {alone}");
}

/// Source: a simulation of the definitions, independent of the arithmetic: draw a cause, a form and a report, keep the
/// runs that agree with what was read, count.
#[test]
fn shares_and_gains_agree_with_a_simulation() {
    let table = three();
    let mut stream = Stream::named(7, "visits");
    let mut pick = |n: usize| ((stream.uniform() * n as f64) as usize).min(n - 1);
    let (mut kept, mut true_smear, mut flex_after) = (0_u32, 0_u32, 0_u32);
    for _ in 0..400_000 {
        let cause = pick(10_000);
        // None of these: six in a hundred; then the three causes alike.
        let cause = if cause < 600 { None } else { Some([TapeSmear, ConductorOpen, SupplyThin][(cause - 600) % 3]) };
        let mut report = |given: Option<u8>, outcomes: usize| match given {
            None => pick(outcomes) as u8,
            Some(given) => {
                let slot = pick(100);
                let wrong = slot / 3;
                let others: Vec<u8> = (0..outcomes as u8).filter(|o| *o != given).collect();
                others.get(wrong).copied().unwrap_or(given)
            }
        };
        let forms: Vec<&Row> = table.rows.iter().filter(|row| Some(row.cause) == cause).collect();
        let half = report(None, 2);
        let row = if forms.is_empty() { None } else { Some(forms[usize::from(half) % forms.len()]) };
        let lamp = report(row.map(|row| row.outcomes[0]), Check::Lamp.row().outcomes.len());
        let flex = report(row.map(|row| row.outcomes[1]), 3);
        if lamp == 1 {
            kept += 1;
            true_smear += u32::from(cause == Some(TapeSmear));
            flex_after += u32::from(flex == 1);
        }
    }
    let mut belief = Belief::before(&table);
    belief.take(Check::Lamp, 1);
    let (share, chance) = (belief.share(TapeSmear), belief.expects(Check::Flex, 1, |_| true).unwrap());
    for (counted, worked_out) in [(true_smear, share), (flex_after, chance)] {
        let found = f64::from(counted) / f64::from(kept);
        // Five standard deviations of a share of so many runs.
        let scatter = 5.0 * (worked_out * (1.0 - worked_out) / f64::from(kept)).sqrt();
        assert!((found - worked_out).abs() < scatter, "{found} {worked_out} {kept}");
    }
}

proptest! {
    /// A check tells never less than nothing and never more than there is to know; the order of readings is all one.
    #[test]
    fn gains_are_bounded_and_the_order_is_all_one(
        outcomes in proptest::collection::vec((0_u8..6, 0_u8..3), 6),
        read in (0_u8..6, 0_u8..3),
    ) {
        let causes = [TapeSmear, TapeSmear, ConductorOpen, ConductorOpen, SupplyThin, SupplyThin];
        let rows: Vec<(FaultId, Vec<u8>)> =
            causes.iter().zip(&outcomes).map(|(cause, (lamp, flex))| (*cause, vec![*lamp, *flex])).collect();
        let rows: Vec<(FaultId, &[u8])> = rows.iter().map(|(cause, o)| (*cause, o.as_slice())).collect();
        let table = table(&rows);
        let belief = Belief::before(&table);
        for check in [Check::Lamp, Check::Flex] {
            let gain = belief.gain_bits(check);
            prop_assert!((0.0..=belief.doubt_bits() + 1e-9).contains(&gain));
            let sum: f64 =
                (0..check.row().outcomes.len() as u8).filter_map(|o| belief.expects(check, o, |_| true)).sum();
            prop_assert!((sum - 1.0).abs() < 1e-9);
        }
        let (mut one, mut other) = (belief.clone(), belief);
        one.take(Check::Lamp, read.0);
        one.take(Check::Flex, read.1);
        other.take(Check::Flex, read.1);
        other.take(Check::Lamp, read.0);
        for cause in [TapeSmear, ConductorOpen, SupplyThin] {
            prop_assert!((one.share(cause) - other.share(cause)).abs() < 1e-12);
        }
    }
}
