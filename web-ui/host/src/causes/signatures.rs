//! The matrix of causes and readings, as the simulation makes it now: for people as text, for programs as JSON.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use serde::Serialize;
use sim_core::inspect::proof::PROOFS;
use sim_core::inspect::signatures::{ALIKE, Signature, signature};
use sim_core::inspect::stand::Stand;
use sim_core::inspect::survey::{Shift, Survey, survey};

use crate::progress::Progress;
use crate::{Error, Result};

/// Format of the JSON.
const FORMAT: u32 = 1;

/// Makes the signatures of all causes that the bench has, or of one.
pub fn make(name: Option<&str>, progress: Progress) -> Vec<Signature> {
    let wanted: Vec<_> = PROOFS.iter().filter(|proof| name.is_none_or(|name| proof.name == name)).collect();
    let step = progress.step(format!("surveying {} broken benches", wanted.len()));
    let mut healthy: BTreeMap<Stand, Survey> = BTreeMap::new();
    let mut made = Vec::new();
    for (i, proof) in wanted.iter().enumerate() {
        step.tick(&format!("{} of {}: {}", i + 1, wanted.len(), proof.name));
        let usual = healthy.entry(proof.stand).or_insert_with(|| survey(proof.stand, &[]));
        made.push(signature(proof, usual));
    }
    step.done();
    made
}

/// As text: for each cause what is less (-), more (+) or otherwise (!) than on the healthy bench.
pub fn page(signatures: &[Signature]) -> String {
    let mut text = String::from(
        "What each cause at full severity does to a survey: - less, + more, ! otherwise than on the healthy bench.\n",
    );
    for signature in signatures {
        // Writing to a string cannot fail.
        let _ = writeln!(text, "\n{}  ({})", signature.name, signature.stand.name());
        let mut line = String::from("   ");
        for (reading, shift) in &signature.shifts {
            let word = format!(" {}{reading}", shift.sign());
            if line.chars().count() + word.chars().count() > 100 {
                let _ = writeln!(text, "{line}");
                line = String::from("   ");
            }
            line.push_str(&word);
        }
        if line.trim().is_empty() {
            line.push_str(" nothing");
        }
        let _ = writeln!(text, "{line}");
        for (stage, words) in &signature.stops {
            let _ = writeln!(text, "    {stage} ended by: {words}");
        }
    }
    let _ = writeln!(text, "\nPairs that no reading of the survey tells apart:");
    for pair in ALIKE {
        let _ = writeln!(text, "    {} and {}: {}", pair.one, pair.other, pair.why);
    }
    text
}

#[derive(Serialize)]
struct Matrix<'a> {
    format: u32,
    signatures: Vec<Row<'a>>,
    alike: Vec<Pair>,
}

#[derive(Serialize)]
struct Row<'a> {
    name: &'static str,
    stand: &'static str,
    /// -1 less, 1 more, 0 otherwise.
    readings: BTreeMap<&'a str, i8>,
    stops: &'a BTreeMap<&'static str, String>,
}

impl<'a> Row<'a> {
    fn of(signature: &'a Signature) -> Self {
        let number = |shift: &Shift| match shift {
            Shift::Down => -1,
            Shift::Up => 1,
            Shift::Other => 0,
        };
        let readings = signature.shifts.iter().map(|(reading, shift)| (reading.as_str(), number(shift))).collect();
        Row { name: signature.name, stand: signature.stand.name(), readings, stops: &signature.stops }
    }
}

#[derive(Serialize)]
struct Pair {
    one: &'static str,
    other: &'static str,
    why: &'static str,
}

/// As JSON text.
///
/// # Errors
/// Never with the words and numbers of a survey.
pub fn json(signatures: &[Signature]) -> Result<String> {
    let matrix = Matrix {
        format: FORMAT,
        signatures: signatures.iter().map(Row::of).collect(),
        alike: ALIKE.iter().map(|pair| Pair { one: pair.one, other: pair.other, why: pair.why }).collect(),
    };
    let text = serde_json::to_string_pretty(&matrix).map_err(|e| {
        Error::new(format!("cannot write the signatures: {e}"), "the catalogue of causes", "report this")
    })?;
    Ok(text + "\n")
}
