//! What a reading was worth, held against a simulation that knows nothing of logarithms: many technicians come to many
//! machines, and those who saw the same are counted. And the tables themselves, held against the bench.

use diagnosis::table::{Row, tried};
use diagnosis::{Baseline, Check, Family, Particle, Table, family_of};
use lessons::callout::{Act, Visit, read, score, script};
use sim_core::num::random::Stream;
use std::rc::Rc;

/// Technicians who are sent out for each case.
const SENT: u32 = 6_000_000;
/// Of a hundred machines so many have something that no table knows.
const NONE: usize = 6;
/// Of a hundred reports so many are each of the outcomes that it was not.
const SLIPS: usize = 3;

fn tables() -> impl Iterator<Item = (String, Table)> {
    let names: std::collections::BTreeSet<String> = lessons::cases()
        .map(|(id, text)| read(id, text).unwrap_or_else(|why| panic!("{why}")).machine().file())
        .collect();
    names.into_iter().map(|name| {
        let text = lessons::outcomes(&name).unwrap_or_else(|| panic!("{name} has no table"));
        let table = Table::read(text).unwrap_or_else(|why| panic!("{name}: {why}"));
        (name, table)
    })
}

/// The rows of a table by family and cause, as a machine is drawn.
fn drawers(table: &Table) -> Vec<(&'static Family, Vec<Vec<&Row>>)> {
    let mut drawers: Vec<(&'static Family, Vec<Vec<&Row>>)> = Vec::new();
    for row in &table.rows {
        let family = family_of(row.cause);
        let at = drawers.iter().position(|(other, _)| *other == family).unwrap_or_else(|| {
            drawers.push((family, Vec::new()));
            drawers.len() - 1
        });
        let causes = &mut drawers[at].1;
        match causes.iter_mut().find(|rows| rows[0].cause == row.cause) {
            Some(rows) => rows.push(row),
            None => causes.push(vec![row]),
        }
    }
    drawers
}

/// Of those who saw the readings before, how many saw each reading, on machines with the true cause and on others:
/// for each reading the kept and the agreeing of both.
fn count(table: &Table, truth: &Family, seen: &[(Check, u8)]) -> Vec<[[u32; 2]; 2]> {
    let drawers = drawers(table);
    let mut stream = Stream::named(11, "technicians");
    let mut pick = |n: usize| ((stream.uniform() * n as f64) as usize).min(n - 1);
    let columns: Vec<usize> = seen.iter().map(|(check, _)| table.column(*check).unwrap()).collect();
    let mut counts = vec![[[0; 2]; 2]; seen.len()];
    for _ in 0..SENT {
        let (is_true, row) = if pick(100) < NONE {
            (false, None)
        } else {
            let (family, causes) = &drawers[pick(drawers.len())];
            let rows = &causes[pick(causes.len())];
            (family.name == truth.name, Some(rows[pick(rows.len())]))
        };
        for ((column, (check, outcome)), count) in columns.iter().zip(seen).zip(&mut counts) {
            let outcomes = check.row().outcomes.len();
            let reported = match row {
                // Something else: any outcome is as likely.
                None => pick(outcomes),
                Some(row) => {
                    let given = usize::from(row.outcomes[*column]);
                    let slip = pick(100) / SLIPS;
                    (0..outcomes).filter(|other| *other != given).nth(slip).unwrap_or(given)
                }
            };
            let agrees = reported == usize::from(*outcome);
            count[usize::from(is_true)][0] += 1;
            count[usize::from(is_true)][1] += u32::from(agrees);
            if !agrees {
                break;
            }
        }
    }
    counts
}

/// Source: counting. Five standard errors of the logarithm of a ratio of two shares.
#[test]
fn the_worth_in_the_debrief_is_what_counting_finds() {
    for id in ["J02", "J10", "J15"] {
        let (name, text) = lessons::cases().find(|(name, _)| name.starts_with(id)).unwrap();
        let case = Rc::new(read(name, text).unwrap());
        let table = Table::read(lessons::outcomes(&case.machine().file()).unwrap()).unwrap();
        let baseline = Rc::new(Baseline::of(&case.setup()));
        let mut visit = Visit::arrive(&case, &baseline, 1);
        let note = script::expert(&mut visit).unwrap();
        let score = score::score(&visit, &note, &table);
        let seen: Vec<(Check, u8)> = score
            .worth
            .iter()
            .map(|worth| {
                let done = &visit.done()[worth.at];
                let reading = done.reading.as_ref().unwrap();
                assert_eq!(done.act, Act::Check(reading.check));
                (reading.check, reading.outcome)
            })
            .collect();
        assert!(seen.len() >= 3, "{name}: {seen:?}");
        let counts = count(&table, score.worth[0].family, &seen);
        for (worth, [others, truly]) in score.worth.iter().zip(counts) {
            let share = |[kept, agree]: [u32; 2]| f64::from(agree) / f64::from(kept);
            // Of the logarithm of a share p of n: the square root of (1 - p) / (p n).
            let error = |of: [u32; 2]| (1.0 - share(of)) / f64::from(of[1]);
            let (found, scatter) = (share(truly) / share(others), (error(truly) + error(others)).sqrt());
            println!(
                "{name} {:?}: {:.3} counted {found:.3}, one standard error {scatter:.4}",
                visit.done()[worth.at].act,
                worth.ratio
            );
            assert!(scatter < 0.04, "{name}: too few are left to tell, {truly:?} {others:?}");
            assert!((found / worth.ratio).ln().abs() < 5.0 * scatter, "{name}: {worth:?} and counted {found}");
        }
    }
}

/// A table that was made with another bench is stale: some rows of each are made anew, letter for letter.
#[test]
fn rows_of_every_table_come_from_the_bench() {
    let mut made = 0;
    for (name, table) in tables() {
        assert_eq!(table.machine.file(), name);
        assert_eq!(table.checks, Check::all().collect::<Vec<_>>(), "{name}");
        let setup = table.machine.setup();
        let baseline = Baseline::of(&setup);
        let causes = diagnosis::particle::causes(&setup);
        assert_eq!(table.causes(), causes, "{name} lacks causes");
        for row in table.rows.iter().skip(5).step_by(table.rows.len() / 6) {
            let particle = Particle::draw(&setup, row.cause, row.k);
            let anew = tried(&setup, &baseline, &particle, &table.checks);
            assert_eq!(anew, row.outcomes, "{name}: {} {} is stale; make the table again", row.cause.row().name, row.k);
            made += 1;
        }
    }
    println!("{made} rows made anew");
    assert!(made >= 6 * 5, "{made}");
}
