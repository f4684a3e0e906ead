//! From a scene file to a scene, or to an error that names file, line and remedy.

use crate::claims;
use crate::error::SceneError;
use crate::source::Source;
use crate::tree::Spanned;
use serde::Deserialize;
use sim_core::bench::Arrangement;
use sim_core::bench::command::{Command, PlaceMm, SettingList, check_place};
use sim_core::numbers::Within;
use sim_core::scene::{AsFound, Expect, FORMAT, LookAlike, Scene, Timed};
use sim_core::setup::{BenchId, Setup};
use sim_core::upkeep::Upkeep;

/// Largest scene file that is read, bytes. A scene is a page of text; more is a mistake.
pub const LARGEST_FILE: usize = 1 << 20;

/// Most steps in one scene.
const MOST_STEPS: usize = 10_000;

/// What to do about a setting that a bench does not have.
const NOT_HERE: &str = "take the line out, or choose another bench.";

/// Most characters of a title: one line on the sheet.
const LONGEST_TITLE: usize = 80;

/// The file as it stands, with places for messages.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    #[serde(rename = "format")]
    _format: u32,
    title: Spanned<String>,
    about: String,
    bench: BenchId,
    #[serde(default = "first_seed")]
    seed: u32,
    duration_s: Spanned<Within<0, 3600>>,
    #[serde(default = "usual_start")]
    start_mm: Spanned<PlaceMm>,
    #[serde(default)]
    set: Option<Spanned<SettingList>>,
    #[serde(default)]
    as_found: Option<Spanned<AsFound>>,
    #[serde(default, rename = "step")]
    steps: Vec<Step>,
    #[serde(default, rename = "expect")]
    expects: Vec<Spanned<Expect>>,
    #[serde(default, rename = "look_alike")]
    look_alikes: Vec<Spanned<LookAlike>>,
}

/// A step as it stands.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Step {
    at_s: Spanned<Within<0, 3600>>,
    #[serde(rename = "do")]
    command: Spanned<Command>,
}

fn first_seed() -> u32 {
    1
}

fn usual_start() -> Spanned<PlaceMm> {
    Spanned::new(0..0, PlaceMm::nearest(100.0))
}

/// Reads a scene from the bytes of a file.
///
/// # Errors
/// Also when the file is too large, empty or not text.
pub fn read_bytes(file: &str, bytes: &[u8]) -> Result<Scene, SceneError> {
    if bytes.len() > LARGEST_FILE {
        return Err(SceneError::too_large(file, bytes.len() as u64));
    }
    let refuse = |what: &str, mend| Err(SceneError::of_file(file, what, mend));
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        return refuse("this is text in UTF-16", "save it again as UTF-8.");
    }
    if let Some(place) = bytes.iter().position(|b| *b == 0) {
        let what = format!("this is not a text file: byte {place} is zero");
        return refuse(&what, "choose a scene file (.toml), or save it again as UTF-8 text.");
    }
    match std::str::from_utf8(bytes) {
        Ok(text) => read(file, text),
        Err(error) => {
            let (sound, _) = bytes.split_at(error.valid_up_to());
            let text = String::from_utf8_lossy(bytes);
            let what = "this character is not UTF-8";
            let mend = "save the file again as UTF-8 text; if it is no text, choose a scene file (.toml).";
            Err(SceneError::at_span(file, &text, sound.len()..sound.len(), what, mend))
        }
    }
}

/// Reads a scene from its text; `file` is the name for messages.
///
/// # Errors
/// The first thing that is wrong, with file, line, what is allowed and the remedy.
pub fn read(file: &str, text: &str) -> Result<Scene, SceneError> {
    if text.len() > LARGEST_FILE {
        return Err(SceneError::too_large(file, text.len() as u64));
    }
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let source = Source { file, text };
    if text.trim().is_empty() {
        return Err(SceneError::of_file(file, "the file is empty", "start from a copy of a scene that works."));
    }
    let tree = source.tree(text)?;
    source.check_format(&tree, "scene", "line", i64::from(FORMAT))?;
    let parsed: File = source.value(&tree)?;
    check(&source, &parsed)?;
    Ok(Scene {
        format: FORMAT,
        title: parsed.title.into_inner(),
        about: parsed.about,
        bench: parsed.bench,
        seed: parsed.seed,
        duration_s: parsed.duration_s.into_inner(),
        start_mm: parsed.start_mm.into_inner(),
        set: parsed.set.map(Spanned::into_inner).unwrap_or_default(),
        as_found: parsed.as_found.map(Spanned::into_inner),
        steps: parsed
            .steps
            .into_iter()
            .map(|step| Timed { at_s: step.at_s.into_inner(), command: step.command.into_inner() })
            .collect(),
        expects: parsed.expects.into_iter().map(Spanned::into_inner).collect(),
        look_alikes: parsed.look_alikes.into_iter().map(Spanned::into_inner).collect(),
    })
}

fn check(source: &Source<'_>, parsed: &File) -> Result<(), SceneError> {
    let letters = parsed.title.get_ref().trim().chars().count();
    if !(1..=LONGEST_TITLE).contains(&letters) {
        let what = format!("the title has {letters} characters; 1 to {LONGEST_TITLE} are allowed");
        return source.wrong(parsed.title.span(), what, "give the scene a short name and tell the rest in about.");
    }
    let duration_s = parsed.duration_s.get_ref().get();
    if duration_s <= 0.0 {
        let what = "a run must last longer than 0 s";
        return source.wrong(parsed.duration_s.span(), what, "write for example duration_s = 10.");
    }
    let setup = Setup::healthy(parsed.bench);
    if let Err(why) = check_place(&setup, parsed.start_mm.get_ref().get()) {
        return source.wrong(parsed.start_mm.span(), why, "choose a start on the travel, or another bench.");
    }
    if let Some(set) = &parsed.set {
        check_set(source, set, &setup)?;
    }
    if let Some(found) = &parsed.as_found {
        check_found(source, parsed, found)?;
    }
    if let Some(step) = parsed.steps.get(MOST_STEPS) {
        let what = format!("this scene has {} steps; {MOST_STEPS} are allowed", parsed.steps.len());
        return source.wrong(step.at_s.span(), what, "split the scene in two, or let a shuttle repeat the moves.");
    }
    check_steps(source, &parsed.steps, duration_s, &setup)?;
    check_claims(source, parsed)
}

/// Claims name readings that exist, in ranges that can be met; look-alikes are told apart by a claim.
fn check_claims(source: &Source<'_>, parsed: &File) -> Result<(), SceneError> {
    for (at, expect) in parsed.expects.iter().map(|e| (e.span(), e.get_ref())) {
        if let Err(why) = claims::check(expect) {
            return source.wrong(at, why.what, &why.mend);
        }
    }
    for (at, alike) in parsed.look_alikes.iter().map(|a| (a.span(), a.get_ref())) {
        if !parsed.expects.iter().any(|e| e.get_ref().reading == alike.reading) {
            let what =
                format!("\"{}\" tells two scenes apart, but this scene does not say where it lies", alike.reading);
            return source.wrong(at, what, "write an [[expect]] for this reading, or name another reading.");
        }
    }
    Ok(())
}

/// Settings that are in the range of their row but not in that of this bench; the message points at the setting.
fn check_set(source: &Source<'_>, set: &Spanned<SettingList>, setup: &Setup) -> Result<(), SceneError> {
    for (setting, value) in &set.get_ref().0 {
        if let Err(why) = setting.check_on(setup, value) {
            let start = set.span().start;
            let key = setting.row().name.rsplit('.').next().unwrap_or_default();
            let place = source.text.get(start..).and_then(|text| text.find(key)).map_or(start, |at| start + at);
            let why = why.to_string();
            let mend =
                if why.contains("does not fit this bench") { NOT_HERE } else { "choose a number inside the range." };
            return source.wrong(place..place + key.len(), why, mend);
        }
    }
    Ok(())
}

/// What the bench was found with must make a bench, together with its settings.
fn check_found(source: &Source<'_>, parsed: &File, found: &Spanned<AsFound>) -> Result<(), SceneError> {
    let mut setup = Setup::healthy(parsed.bench);
    for (setting, value) in parsed.set.iter().flat_map(|set| &set.get_ref().0) {
        // Each was checked on its own before.
        let _ = setting.set(&mut setup, value);
    }
    let AsFound { faults, dirt, upkeep } = found.get_ref().clone();
    let upkeep = upkeep.unwrap_or_else(|| Upkeep::new(u64::from(parsed.seed)));
    if let Err(why) = (Arrangement { setup, faults, dirt, upkeep }).check() {
        let mend = "take the table as_found out and break the bench with steps.";
        return source.wrong(found.span(), why, mend);
    }
    Ok(())
}

fn check_steps(source: &Source<'_>, steps: &[Step], duration_s: f64, setup: &Setup) -> Result<(), SceneError> {
    let mut last_s = 0.0;
    for step in steps {
        let at_s = step.at_s.get_ref().get();
        if at_s < last_s {
            let what = format!("this step at {at_s} s stands after a step at {last_s} s");
            return source.wrong(step.at_s.span(), what, "put the steps in the order of at_s.");
        }
        if at_s > duration_s {
            let what = format!("this step is at {at_s} s, but the run ends at {duration_s} s");
            return source.wrong(step.at_s.span(), what, "make duration_s longer, or move the step forward.");
        }
        if let Err(why) = step.command.get_ref().check(setup) {
            if let Some((what, mend)) = why.split_once("; write ") {
                return source.wrong(step.command.span(), what, &format!("write {mend}."));
            }
            let mend = if why.contains("this axis") {
                "choose a number that this bench can reach, or another bench."
            } else if why.contains("outside the allowed range") {
                "choose a number inside the range."
            } else if why.contains("does not fit this bench") {
                NOT_HERE
            } else {
                "correct the numbers of this step."
            };
            return source.wrong(step.command.span(), why, mend);
        }
        last_s = at_s;
    }
    Ok(())
}

/// The text of a scene file, which [`read`] takes back to the same scene.
pub fn write(scene: &Scene) -> String {
    // A scene holds only finite numbers, short texts and known words: all of them have a form in TOML.
    crate::tree::toml_text(scene).unwrap_or_default()
}
