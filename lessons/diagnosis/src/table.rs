//! Outcomes of every check for every form of every cause, on one machine: what the simulation has tried.
//!
//! ```text
//! countlight outcomes 1 router-gantry
//! traverse amplitude-scan xy-figure ...
//! tape-smear 0 cbaaaaaabaaaaaaaaa
//! ```
//!
//! A line has the cause, the number of the form, and a letter for each check in the order of the second line: `a` is the
//! check's first outcome. Settings that differ from delivery stand behind the machine: `small-mill servo.feedback=motor`.

use crate::check::Check;
use crate::machine::Machine;
use crate::measure::{Measured, measure};
use crate::outcome::{Baseline, outcome_of, read};
use crate::particle::{Cause, Particle, causes};
use sim_core::fault::TABLE;
use sim_core::setup::Setup;
use std::fmt::Write as _;

/// First words of the text of a table.
const HEAD: &str = "countlight outcomes 1";

/// What the simulation has tried on a machine.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// The machine.
    pub machine: Machine,
    /// Checks that were made.
    pub checks: Vec<Check>,
    /// One row for each form of each cause, forms of a cause beside each other.
    pub rows: Vec<Row>,
}

/// A form of a cause and what each check gave.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// The cause.
    pub cause: Cause,
    /// The number of its form.
    pub k: u32,
    /// An outcome for each check of the table.
    pub outcomes: Vec<u8>,
}

/// Why a text is no table.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("line {line}: {what}; make the table again with the program that reads it")]
pub struct TableError {
    /// The line, counted from 1.
    pub line: usize,
    /// What is wrong there.
    pub what: String,
}

/// Makes every check of a list on a machine with a form of a cause, each on a bench of its own.
#[must_use]
pub fn tried(setup: &Setup, baseline: &Baseline, particle: &Particle, checks: &[Check]) -> Vec<u8> {
    let bench = particle.bench(setup);
    // Both read the same run; on benches that are alike to the bit it is made once.
    let mut both_ways: Option<Measured> = None;
    let mut outcome = |check: Check| {
        if !matches!(check, Check::CurrentScan | Check::Compare) {
            return read(check, &mut bench.clone(), baseline).outcome;
        }
        let measured = both_ways.get_or_insert_with(|| measure(check, &mut bench.clone()));
        outcome_of(check, measured, baseline)
    };
    checks.iter().map(|check| outcome(*check)).collect()
}

impl Table {
    /// Tries `forms` forms of each cause that a machine can have; after each cause `done` is told which share is done, 0..1.
    #[must_use]
    pub fn build(machine: &Machine, forms: u32, checks: &[Check], done: &mut dyn FnMut(f64)) -> Self {
        Self::build_of(machine, &causes(&machine.setup()), forms, checks, done)
    }

    /// The same for some causes alone.
    #[must_use]
    pub fn build_of(
        machine: &Machine,
        causes: &[Cause],
        forms: u32,
        checks: &[Check],
        done: &mut dyn FnMut(f64),
    ) -> Self {
        let setup = machine.setup();
        let baseline = Baseline::of(&setup);
        let mut rows = Vec::with_capacity(causes.len() * forms as usize);
        for (i, cause) in causes.iter().enumerate() {
            for k in 0..forms {
                let particle = Particle::draw(&setup, *cause, k);
                rows.push(Row { cause: *cause, k, outcomes: tried(&setup, &baseline, &particle, checks) });
            }
            done((i + 1) as f64 / causes.len() as f64);
        }
        Self { machine: machine.clone(), checks: checks.to_vec(), rows }
    }

    /// The causes of the table, each once.
    #[must_use]
    pub fn causes(&self) -> Vec<Cause> {
        let mut causes: Vec<Cause> = self.rows.iter().map(|row| row.cause).collect();
        causes.dedup();
        causes
    }

    /// The place of a check in the rows.
    #[must_use]
    pub fn column(&self, check: Check) -> Option<usize> {
        self.checks.iter().position(|other| *other == check)
    }

    /// Its text.
    #[must_use]
    pub fn text(&self) -> String {
        let mut text = format!("{HEAD} {}\n", self.machine.words());
        let names: Vec<&str> = self.checks.iter().map(|check| check.row().name).collect();
        text.push_str(&names.join(" "));
        text.push('\n');
        for row in &self.rows {
            let letters: String = row.outcomes.iter().map(|outcome| char::from(b'a' + outcome)).collect();
            // Writing to a string cannot fail.
            let _ = writeln!(text, "{} {} {letters}", row.cause.row().name, row.k);
        }
        text
    }

    /// A table from its text.
    ///
    /// # Errors
    /// The first line that is none of a table, and what is wrong with it.
    pub fn read(text: &str) -> Result<Self, TableError> {
        let mut lines = text.lines().enumerate().map(|(i, line)| (i + 1, line));
        let fault = |line: usize, what: String| TableError { line, what };
        let (line, head) = lines.next().unwrap_or((1, ""));
        let named = head
            .strip_prefix(HEAD)
            .ok_or_else(|| fault(line, format!("it begins with \"{head}\" and not with \"{HEAD}\" and a machine")))?;
        let machine = Machine::read(named).map_err(|why| fault(line, why))?;
        let (line, names) = lines.next().unwrap_or((2, ""));
        let checks: Vec<Check> = names
            .split_whitespace()
            .map(|name| Check::by_name(name).ok_or_else(|| fault(line, format!("there is no check \"{name}\""))))
            .collect::<Result<_, _>>()?;
        let mut rows: Vec<Row> = Vec::new();
        for (line, words) in lines.filter(|(_, line)| !line.trim().is_empty()) {
            let [name, k, letters] = words.split_whitespace().collect::<Vec<_>>()[..] else {
                return Err(fault(line, "a line has a cause, a number and letters".to_owned()));
            };
            let cause = TABLE.iter().find(|row| row.name == name).map(|row| row.id);
            let cause = cause.ok_or_else(|| fault(line, format!("there is no cause \"{name}\"")))?;
            let k = k.parse().map_err(|_| fault(line, format!("\"{k}\" is no number of a form")))?;
            if letters.len() != checks.len() {
                return Err(fault(line, format!("{} letters for {} checks", letters.len(), checks.len())));
            }
            let outcomes = letters
                .bytes()
                .zip(&checks)
                .map(|(letter, check)| {
                    let outcome = letter.checked_sub(b'a');
                    let known = outcome.filter(|o| usize::from(*o) < check.row().outcomes.len());
                    known.ok_or_else(|| {
                        fault(line, format!("\"{}\" is no outcome of {}", char::from(letter), check.row().name))
                    })
                })
                .collect::<Result<_, _>>()?;
            rows.push(Row { cause, k, outcomes });
        }
        if rows.is_empty() || checks.is_empty() {
            return Err(fault(3, "nothing was tried".to_owned()));
        }
        Ok(Self { machine, checks, rows })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use sim_core::fault::FaultId;
    use sim_core::setup::BenchId;

    fn small() -> Table {
        let row = |cause, k, outcomes: [u8; 2]| Row { cause, k, outcomes: outcomes.to_vec() };
        Table {
            machine: BenchId::SmallMill.into(),
            checks: vec![Check::Lamp, Check::Ohms],
            rows: vec![row(FaultId::TapeSmear, 0, [1, 0]), row(FaultId::ConductorOpen, 0, [0, 1])],
        }
    }

    #[test]
    fn a_table_is_text_and_back() {
        let table = small();
        insta::assert_snapshot!(table.text(), @r"
        countlight outcomes 1 small-mill
        lamp ohm
        tape-smear 0 ba
        conductor-open 0 ab
        ");
        assert_eq!(Table::read(&table.text()), Ok(table.clone()));
        assert_eq!(table.causes(), [FaultId::TapeSmear, FaultId::ConductorOpen]);
        assert_eq!((table.column(Check::Ohms), table.column(Check::Flex)), (Some(1), None));
    }

    #[test]
    fn slips_are_told_with_their_line() {
        let good = small().text();
        let told: Vec<String> = [
            String::new(),
            good.replace("outcomes 1", "outcomes 2"),
            good.replace("lamp", "lantern"),
            good.replace("tape-smear 0", "tape-smear"),
            good.replace("tape-smear", "tape-smudge"),
            good.replace(" 0 ba", " x ba"),
            good.replace(" ba", " baa"),
            good.replace(" ba", " b?"),
            good.lines().take(2).collect::<Vec<_>>().join("\n"),
        ]
        .iter()
        .map(|text| Table::read(text).unwrap_err().to_string())
        .collect();
        insta::assert_snapshot!(told.join("\n"));
    }

    proptest! {
        #[test]
        fn no_text_makes_the_reader_fall_over(text in "[ -~\n]{0,200}", cut in 0_usize..80) {
            let _ = Table::read(&text);
            let good = small().text();
            let _ = Table::read(&format!("{}{text}", &good[..cut.min(good.len())]));
        }
    }
}
