//! A case as the text of a case file, which [`super::read`] takes back to the same case.

use super::case::{Case, Hidden, Statement, Trust};
use super::read::CASE_FORMAT;
use serde::Serialize;
use sim_core::bench::command::SettingList;
use sim_core::fault::FaultId;
use sim_core::num::math::nearest;
use sim_core::scene::Timed;

/// The file as it is written; plain values stand before tables, as TOML wants them.
#[derive(Serialize)]
struct File<'a> {
    format: u32,
    title: &'a str,
    level: u8,
    machine: &'static str,
    order: &'a str,
    par: Vec<String>,
    proof: Vec<&'static str>,
    before_s: f64,
    lesson: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    set: Option<&'a SettingList>,
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    before: &'a [Timed],
    #[serde(skip_serializing_if = "Vec::is_empty")]
    say: Vec<Say<'a>>,
    hidden: Vec<HiddenRow>,
}

#[derive(Serialize)]
struct Say<'a> {
    ask: &'a str,
    answer: &'a str,
    trust: Trust,
}

#[derive(Serialize)]
struct HiddenRow {
    fault: FaultId,
    severity_percent: [f64; 2],
    #[serde(skip_serializing_if = "Option::is_none")]
    at_mm: Option<[f64; 2]>,
}

/// The text of a case file. Its id is not in it: that is the name of the file. Title, order and lesson lose blanks at
/// their ends; severities and places of a case that was read, or made in whole per cent and millimetres, come back to the bit.
#[must_use]
pub fn text_of(case: &Case) -> String {
    let file = File {
        format: CASE_FORMAT,
        title: &case.title,
        level: case.level,
        machine: case.bench.name(),
        order: &case.order,
        par: case.par.iter().map(ToString::to_string).collect(),
        proof: case.proof.iter().map(|check| check.row().name).collect(),
        before_s: case.before_s,
        lesson: &case.lesson,
        set: Some(&case.set).filter(|set| !set.0.is_empty()),
        before: &case.before,
        say: case.statements.iter().map(said).collect(),
        hidden: case.hidden.iter().map(row).collect(),
    };
    // Finite numbers, texts and known words: all of them have a form in TOML.
    crate::tree::toml_text(&file).unwrap_or_default()
}

fn said(statement: &Statement) -> Say<'_> {
    Say { ask: &statement.ask, answer: &statement.answer, trust: statement.trust }
}

fn row(hidden: &Hidden) -> HiddenRow {
    let percent = |share: f64| written(share, share * 100.0, |percent| percent / 100.0);
    let mm = |place_m: f64| written(place_m, place_m * 1e3, |mm| mm * 1e-3);
    HiddenRow {
        fault: hidden.fault,
        severity_percent: [percent(hidden.severity.0), percent(hidden.severity.1)],
        at_mm: hidden.fault.row().has_place.then(|| [mm(hidden.at_m.0), mm(hidden.at_m.1)]),
    }
}

/// The number near `about` that the reader turns into `value` to the last bit; the shortest of those that do.
fn written(value: f64, about: f64, reads: impl Fn(f64) -> f64) -> f64 {
    let rounded = [1.0, 1e3, 1e6, 1e9].map(|scale| nearest(about * scale) / scale);
    let mut tried = rounded.into_iter().chain([about, about.next_up(), about.next_down()]);
    tried.find(|number| reads(*number) == value).unwrap_or(about)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::callout::read;
    use proptest::prelude::*;

    fn again(case: &Case) -> Case {
        let text = text_of(case);
        read(&case.id, &text).unwrap_or_else(|why| panic!("{why}\n{text}"))
    }

    fn shipped() -> Vec<Case> {
        crate::cases().map(|(id, text)| read(id, text).unwrap()).collect()
    }

    #[test]
    fn every_shipped_case_comes_back() {
        let cases = shipped();
        assert_eq!(cases.len(), 26);
        for case in cases {
            assert_eq!(again(&case), case, "{}", case.id);
            // Written once more it is the same text.
            assert_eq!(text_of(&again(&case)), text_of(&case));
        }
    }

    #[test]
    fn whole_per_cent_and_millimetres_are_written_as_such() {
        for n in 1..=100_u32 {
            let share = f64::from(n) / 100.0;
            assert_eq!(written(share, share * 100.0, |percent| percent / 100.0), f64::from(n));
            let place_m = f64::from(37 * n) * 1e-3;
            assert_eq!(written(place_m, place_m * 1e3, |mm| mm * 1e-3), f64::from(37 * n));
        }
    }

    proptest! {
        #[test]
        fn whatever_people_write_comes_back(
            words in prop::collection::vec("(\\PC|[\"'\\\\\n\t#=\\[\\]]){0,40}", 4),
            at in 0_usize..26,
            percent in prop::collection::vec(1.0_f64..100.0, 2),
        ) {
            let mut case = shipped().swap_remove(at);
            let filled = |words: &str| format!("a{words}z");
            case.title = filled(&words[0]);
            case.order = filled(&words[1]);
            case.lesson = filled(&words[2]);
            for statement in &mut case.statements {
                statement.answer.clone_from(&words[3]);
            }
            let (low, high) = (percent[0].min(percent[1]), percent[0].max(percent[1]));
            case.hidden[0].severity = (low / 100.0, high / 100.0);
            prop_assert_eq!(again(&case), case);
        }
    }
}
