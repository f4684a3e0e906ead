//! From a scene file to a scene, or to an error that names file, line and remedy.

use serde::Deserialize;
use sim_core::bench::command::{PlaceMm, SettingList};
use sim_core::numbers::Within;
use sim_core::scene::{FORMAT, Scene, Timed};
use sim_core::setup::{BenchId, Setup};
use std::ops::Range;
use toml::Spanned;

/// Largest scene file that is read, bytes. A scene is a page of text; more is a mistake.
pub const LARGEST_FILE: usize = 1 << 20;

/// Most steps in one scene.
const MOST_STEPS: usize = 10_000;

/// Why a scene was refused.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{file}{}: {what}\n{}  To mend it: {mend}", self.place(), self.quoted())]
pub struct SceneError {
    /// Which file.
    pub file: String,
    /// Line and column, from 1, where they are known.
    pub at: Option<(usize, usize)>,
    /// The text of that line.
    pub line: String,
    /// What is wrong and what is allowed.
    pub what: String,
    /// How to mend it.
    pub mend: String,
}

impl SceneError {
    fn place(&self) -> String {
        self.at.map_or(String::new(), |(line, column)| format!(":{line}:{column}"))
    }

    fn quoted(&self) -> String {
        match self.at {
            Some((number, column)) if !self.line.is_empty() => {
                format!("  {number} | {}\n  {} ^\n", self.line, " ".repeat(number.to_string().len() + 1 + column))
            }
            _ => String::new(),
        }
    }
}

/// The file as it stands, with places for messages.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    #[serde(rename = "format")]
    _format: u32,
    title: String,
    about: String,
    bench: BenchId,
    #[serde(default = "first_seed")]
    seed: u32,
    duration_s: Spanned<Within<0, 3600>>,
    #[serde(default = "usual_start")]
    start_mm: Spanned<PlaceMm>,
    #[serde(default)]
    set: SettingList,
    #[serde(default, rename = "step")]
    steps: Vec<Spanned<Timed>>,
}

fn first_seed() -> u32 {
    1
}

fn usual_start() -> Spanned<PlaceMm> {
    Spanned::new(0..0, PlaceMm::nearest(100.0))
}

/// Only the format number, to be read before anything else.
#[derive(Deserialize)]
struct Head {
    format: Option<Spanned<toml::Value>>,
}

/// Reads a scene from the bytes of a file.
///
/// # Errors
/// Also when the file is too large, empty or not text.
pub fn read_bytes(file: &str, bytes: &[u8]) -> Result<Scene, SceneError> {
    let refuse = |at, what: String, mend: &str| SceneError {
        file: file.to_owned(),
        at,
        line: String::new(),
        what,
        mend: mend.to_owned(),
    };
    if bytes.len() > LARGEST_FILE {
        let what = format!("the file has {} bytes; a scene has at most {LARGEST_FILE}", bytes.len());
        return Err(refuse(None, what, "choose a scene file (.toml); a recording or picture is not a scene."));
    }
    let text = std::str::from_utf8(bytes).map_err(|error| {
        let line = 1 + bytes[..error.valid_up_to()].iter().filter(|b| **b == b'\n').count();
        let what = format!("this is not text: byte {} is not UTF-8", error.valid_up_to());
        refuse(Some((line, 1)), what, "choose a scene file (.toml) and save it as UTF-8 text.")
    })?;
    read(file, text)
}

/// Reads a scene from its text; `file` is the name for messages.
///
/// # Errors
/// The first thing that is wrong, with file, line, what is allowed and the remedy.
pub fn read(file: &str, text: &str) -> Result<Scene, SceneError> {
    if text.len() > LARGEST_FILE {
        return read_bytes(file, text.as_bytes());
    }
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let error = |span: Option<Range<usize>>, what: String, mend: &str| locate(file, text, span, what, mend);
    if text.trim().is_empty() {
        return Err(error(
            None,
            "the file is empty".to_owned(),
            "start from a scene of the README or of lessons/scenes.",
        ));
    }
    let toml_error = |e: toml::de::Error| {
        let what = e.message().trim().replace('\n', "; ");
        let mend = remedy(&what);
        locate(file, text, e.span(), what, mend)
    };
    check_format(toml::from_str::<Head>(text).map_err(toml_error)?, &error)?;
    let parsed: File = toml::from_str(text).map_err(toml_error)?;
    let scene = Scene {
        format: FORMAT,
        title: parsed.title,
        about: parsed.about,
        bench: parsed.bench,
        seed: parsed.seed,
        duration_s: *parsed.duration_s.get_ref(),
        start_mm: *parsed.start_mm.get_ref(),
        set: parsed.set,
        steps: parsed.steps.iter().map(|s| s.get_ref().clone()).collect(),
    };
    if scene.title.trim().is_empty() || scene.title.chars().count() > 80 {
        let span = text.find("title").map(|i| i..i + 5);
        return Err(error(span, "the title must have 1 to 80 characters".to_owned(), "give the scene a short name."));
    }
    if scene.steps.len() > MOST_STEPS {
        let span = parsed.steps.get(MOST_STEPS).map(Spanned::span);
        return Err(error(span, format!("a scene has at most {MOST_STEPS} steps"), "split the scene in two."));
    }
    if scene.duration_s.get() <= 0.0 {
        return Err(error(
            Some(parsed.duration_s.span()),
            "a run must last longer than 0 s".to_owned(),
            "write for example duration_s = 10.",
        ));
    }
    let setup = Setup::healthy(scene.bench);
    sim_core::bench::command::check_place(&setup, scene.start_mm.get())
        .map_err(|why| error(Some(parsed.start_mm.span()), why, "choose a start on the travel of this bench."))?;
    check_steps(&scene, &setup, &parsed.steps, &error)?;
    Ok(scene)
}

fn check_format(
    head: Head,
    error: &impl Fn(Option<Range<usize>>, String, &str) -> SceneError,
) -> Result<(), SceneError> {
    let Some(format) = head.format else {
        let what = "the line with the format number is missing".to_owned();
        return Err(error(None, what, "write format = 1 as the first line."));
    };
    match format.get_ref().as_integer() {
        Some(n) if n == i64::from(FORMAT) => Ok(()),
        Some(n) if n > i64::from(FORMAT) => Err(error(
            Some(format.span()),
            format!("this scene has format {n}; this program reads format {FORMAT}"),
            "use a newer Countlight, or save the scene again with this one.",
        )),
        _ => Err(error(
            Some(format.span()),
            format!("the format must be the whole number {FORMAT}"),
            "write format = 1 as the first line.",
        )),
    }
}

fn check_steps(
    scene: &Scene,
    setup: &Setup,
    places: &[Spanned<Timed>],
    error: &impl Fn(Option<Range<usize>>, String, &str) -> SceneError,
) -> Result<(), SceneError> {
    let mut last_s = 0.0;
    for (step, place) in scene.steps.iter().zip(places) {
        let (at_s, span) = (step.at_s.get(), Some(place.span()));
        if at_s < last_s {
            let what = format!("step at {at_s} s comes after a step at {last_s} s");
            return Err(error(span, what, "put the steps in order of at_s."));
        }
        if at_s > scene.duration_s.get() {
            let what = format!("step at {at_s} s, but the run ends at {} s", scene.duration_s.get());
            return Err(error(span, what, "make duration_s longer or move the step."));
        }
        step.command.check(setup).map_err(|why| error(span, why, "correct this step."))?;
        last_s = at_s;
    }
    Ok(())
}

fn locate(file: &str, text: &str, span: Option<Range<usize>>, what: String, mend: &str) -> SceneError {
    let at = span.filter(|s| s.start <= text.len()).map(|s| {
        let before = &text.as_bytes()[..s.start];
        let line = 1 + before.iter().filter(|b| **b == b'\n').count();
        let start = before.iter().rposition(|b| *b == b'\n').map_or(0, |i| i + 1);
        let column = 1 + text.get(start..s.start).map_or(0, |t| t.chars().count());
        (line, column)
    });
    // Errors without a place belong to the file as a whole: its first line.
    let at = at.or(Some((1, 1)));
    let line = at.and_then(|(line, _)| text.lines().nth(line - 1)).unwrap_or_default();
    let line: String = line.chars().take(100).filter(|c| !c.is_control()).collect();
    SceneError { file: file.to_owned(), at, line, what, mend: mend.to_owned() }
}

/// The remedy for what the reader found, where its own words do not carry one already.
fn remedy(what: &str) -> &'static str {
    if what.contains("unknown field") || what.contains("unknown variant") {
        "use one of the names listed, or remove the line."
    } else if what.contains("missing field") {
        "add the missing line."
    } else if what.contains("outside the allowed range") || what.contains("not a finite number") {
        "choose a number inside the range."
    } else if what.contains("invalid type") {
        "write the value in the form that is expected; numbers stand without quotes and without a unit."
    } else if what.contains("there is no") || what.contains("takes a number") || what.contains("not one of its words") {
        "correct the name or the value as said."
    } else if what.contains("duplicate key") {
        "keep one of the two lines."
    } else {
        "look at the marked place: a quote, bracket or equals sign is missing or too many."
    }
}

/// The text of a scene file, which [`read`] takes back to the same scene.
pub fn write(scene: &Scene) -> String {
    // A scene holds only finite numbers, short texts and known words: all of them have a form in TOML.
    toml::to_string(scene).unwrap_or_default()
}
