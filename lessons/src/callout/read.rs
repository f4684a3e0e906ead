//! From a case file to a case, or to an error that names file, line and remedy.

use super::act::Act;
use super::case::{Case, Hidden, Statement, Trust};
use crate::error::SceneError;
use crate::source::Source;
use crate::tree::Spanned;
use diagnosis::Check;
use serde::Deserialize;
use sim_core::bench::command::{SettingList, check_place};
use sim_core::fault::FaultId;
use sim_core::names::nearest_hint;
use sim_core::numbers::Within;
use sim_core::scene::Timed;
use sim_core::setup::{BenchId, Setup};

/// The format of case files that this program reads.
pub const CASE_FORMAT: u32 = 1;

/// The file as it stands, with places for messages.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    #[serde(rename = "format")]
    _format: u32,
    title: Spanned<String>,
    level: Spanned<u8>,
    machine: BenchId,
    #[serde(default)]
    set: Option<Spanned<SettingList>>,
    order: Spanned<String>,
    lesson: Spanned<String>,
    par: Spanned<Vec<String>>,
    proof: Spanned<Vec<String>>,
    #[serde(default = "a_moment")]
    before_s: Within<0, 600>,
    #[serde(default, rename = "before")]
    before: Vec<Spanned<Timed>>,
    #[serde(default, rename = "say")]
    says: Vec<Say>,
    #[serde(rename = "hidden")]
    hidden: Vec<Spanned<HiddenRow>>,
}

fn a_moment() -> Within<0, 600> {
    Within::nearest(1.0)
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Say {
    ask: String,
    answer: String,
    trust: Trust,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct HiddenRow {
    fault: FaultId,
    severity_percent: [f64; 2],
    #[serde(default)]
    at_mm: Option<[f64; 2]>,
}

/// Reads a case from its text; `file` is the name for messages, its id the name without folders and ending.
///
/// # Errors
/// The first thing that is wrong, with file, line, what is allowed and the remedy.
pub fn read(file: &str, text: &str) -> Result<Case, SceneError> {
    let source = Source { file, text };
    let tree = source.tree(text)?;
    source.check_format(&tree, "case", "line", i64::from(CASE_FORMAT))?;
    let parsed: File = source.value(&tree)?;
    let setup = checked_setup(&source, &parsed)?;
    let hangs = setup.machine().spec().mechanics.incline > 0.0;
    for (name, words) in [("title", &parsed.title), ("order", &parsed.order), ("lesson", &parsed.lesson)] {
        if words.get_ref().trim().is_empty() {
            let what = format!("{name} is empty");
            return source.wrong(words.span(), what, "write it; the learner, or the debrief, has nothing else.");
        }
    }
    if !(1..=5).contains(parsed.level.get_ref()) {
        let what = format!("level {} does not exist", parsed.level.get_ref());
        return source.wrong(parsed.level.span(), what, "write 1 (one clear fault) to 5.");
    }
    let hidden = parsed.hidden.iter().map(|row| hidden(&source, row, &setup)).collect::<Result<Vec<_>, _>>()?;
    if hidden.is_empty() {
        return Err(SceneError::of_file(file, "nothing is hidden", "write at least one [[hidden]] with its fault."));
    }
    for timed in &parsed.before {
        if let Err(why) = timed.get_ref().command.check(&setup) {
            return source.wrong(timed.span(), why, "correct what the operator did.");
        }
    }
    let id = file.rsplit(['/', '\\']).next().unwrap_or(file).trim_end_matches(".toml").to_owned();
    Ok(Case {
        id,
        title: parsed.title.get_ref().trim().to_owned(),
        level: *parsed.level.get_ref(),
        bench: parsed.machine,
        par: par(&source, &parsed, hangs)?,
        proof: proof(&source, &parsed.proof)?,
        set: parsed.set.map(Spanned::into_inner).unwrap_or_default(),
        order: parsed.order.into_inner().trim().to_owned(),
        lesson: parsed.lesson.into_inner().trim().to_owned(),
        statements: parsed
            .says
            .into_iter()
            .map(|say| Statement { ask: say.ask, answer: say.answer, trust: say.trust })
            .collect(),
        hidden,
        before: parsed.before.into_iter().map(Spanned::into_inner).collect(),
        before_s: parsed.before_s.get(),
    })
}

/// The machine with the settings of the file.
fn checked_setup(source: &Source<'_>, parsed: &File) -> Result<Setup, SceneError> {
    let mut setup = Setup::healthy(parsed.machine);
    let Some(set) = &parsed.set else { return Ok(setup) };
    for (setting, value) in &set.get_ref().0 {
        if let Err(why) = setting.check_on(&setup, value) {
            return source.wrong(set.span(), why.to_string(), "choose a value that this machine can have.");
        }
        // Checked just now.
        let _ = setting.set(&mut setup, value);
    }
    Ok(setup)
}

fn hidden(source: &Source<'_>, row: &Spanned<HiddenRow>, setup: &Setup) -> Result<Hidden, SceneError> {
    let HiddenRow { fault, severity_percent: [low, high], at_mm } = row.get_ref();
    let name = fault.row().name;
    if !fault.fits(setup) {
        let what = format!("this machine has nothing that {name} could break");
        return source.wrong(row.span(), what, "choose another fault or another machine.");
    }
    if !(0.0 < *low && low <= high && *high <= 100.0) {
        let what = format!("severity_percent = [{low}, {high}] is no range within 0 to 100");
        return source.wrong(row.span(), what, "write the smaller number first, such as [50, 80].");
    }
    let at_m = match (fault.row().has_place, at_mm) {
        (true, Some([from, to])) => {
            for place in [from, to] {
                if let Err(why) = check_place(setup, *place) {
                    return source.wrong(row.span(), why, "choose places on the travel.");
                }
            }
            if from > to {
                let what = format!("at_mm = [{from}, {to}] is no range");
                return source.wrong(row.span(), what, "write the smaller place first.");
            }
            (from * 1e-3, to * 1e-3)
        }
        (true, None) => {
            let what = format!("{name} sits at a place, and none is given");
            return source.wrong(row.span(), what, "write for example at_mm = [200, 300].");
        }
        (false, Some(_)) => {
            let what = format!("{name} sits at no place of the axis");
            return source.wrong(row.span(), what, "take at_mm out.");
        }
        (false, None) => (0.0, 0.0),
    };
    Ok(Hidden { fault: *fault, severity: (low / 100.0, high / 100.0), at_m })
}

fn par(source: &Source<'_>, parsed: &File, hangs: bool) -> Result<Vec<Act>, SceneError> {
    let mut acts = Vec::new();
    for line in parsed.par.get_ref() {
        let read = Act::read(line, hangs).or_else(|(what, mend)| source.wrong(parsed.par.span(), what, &mend))?;
        if let [Act::Ask(n)] = read[..]
            && n >= parsed.says.len()
        {
            let what = format!("the operator has no answer {}; there are {}", n + 1, parsed.says.len());
            return source.wrong(parsed.par.span(), what, "ask one of the [[say]] of this case.");
        }
        acts.extend(read);
    }
    if !acts.contains(&Act::Prove) {
        return source.wrong(parsed.par.span(), "the expert never proves the repair", "write \"prove\" at its end.");
    }
    Ok(acts)
}

fn proof(source: &Source<'_>, names: &Spanned<Vec<String>>) -> Result<Vec<Check>, SceneError> {
    let known = || diagnosis::check::CHECKS.iter().map(|row| row.name);
    let read = |name: &String| match Check::by_name(name) {
        Some(check) => Ok(check),
        None => source.wrong(names.span(), format!("there is no check \"{name}\""), &nearest_hint(name, known())),
    };
    let checks = names.get_ref().iter().map(read).collect::<Result<Vec<_>, SceneError>>()?;
    if checks.is_empty() {
        return source.wrong(names.span(), "the proof has no check", "write for example proof = [\"traverse\"].");
    }
    Ok(checks)
}
