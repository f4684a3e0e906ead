//! From a folder of text to a lesson, or to an error that names file, line and remedy.

mod exits;
mod front;
mod parts;
mod wording;

use super::model::Lesson;
use super::slip::Slip;
use super::text::{Text, is_id};
use crate::error::SceneError;
use crate::read::LARGEST_FILE;
use crate::source::Source;
use crate::tree::Spanned;
use front::{Front, Translated};
use sim_core::names::nearest_hint;
use sim_core::scene::Scene;
use std::collections::BTreeMap;
use std::ops::Range;

/// The format of lesson files that this program reads.
pub const LESSON_FORMAT: i64 = 1;

/// A file of a lesson's folder.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LessonFile {
    /// Its name without the folder.
    pub name: String,
    /// What is in it.
    pub bytes: Vec<u8>,
}

type Read<T> = Result<T, SceneError>;

/// Reads a lesson from the files of its folder; `folder` is the lesson's id and stands before file names in messages.
///
/// # Errors
/// The first thing that is wrong, with file, line, what is allowed and the remedy.
pub fn read(folder: &str, files: &[LessonFile]) -> Result<Lesson, SceneError> {
    check_folder(folder)?;
    let scenes = read_scenes(folder, files)?;
    let name = |language: &str| format!("lesson.{language}.md");
    let english = name("en");
    let Some(file) = files.iter().find(|file| file.name == english) else {
        let mend = "write the lesson into a file lesson.en.md; other languages are translations of it.";
        return Err(SceneError::of_file(folder, "there is no lesson.en.md in this folder", mend));
    };
    let path = format!("{folder}/{english}");
    let text = utf8(&path, &file.bytes)?;
    let mut lesson = read_english(folder, &path, &text, scenes)?;
    for file in files {
        let Some(language) = file.name.strip_prefix("lesson.").and_then(|n| n.strip_suffix(".md")) else {
            if file.name.ends_with(".md") {
                let mend = "name it lesson.en.md, or after its language as lesson.es.md.";
                return Err(SceneError::of_file(
                    &format!("{folder}/{}", file.name),
                    "this is no file of a lesson",
                    mend,
                ));
            }
            continue;
        };
        if language != "en" {
            let path = format!("{folder}/{}", file.name);
            let text = read_translation(&lesson, &path, &utf8(&path, &file.bytes)?)?;
            lesson.texts.insert(language.to_owned(), text);
        }
    }
    Ok(lesson)
}

fn check_folder(folder: &str) -> Read<()> {
    let parts = folder.strip_prefix('L').and_then(|rest| rest.split_once('-'));
    let good = parts.is_some_and(|(n, words)| {
        n.len() == 2 && n.chars().all(|c| c.is_ascii_digit()) && is_id(words) && !words.contains('.')
    });
    if good {
        return Ok(());
    }
    let mend = "name it L, two digits, a hyphen and small letters, as L01-one-light-one-line.";
    Err(SceneError::of_file(folder, "this is no name for the folder of a lesson", mend))
}

fn utf8(path: &str, bytes: &[u8]) -> Read<String> {
    if bytes.len() > LARGEST_FILE {
        let what =
            format!("the file is too large for a lesson: {} bytes, where {LARGEST_FILE} are allowed", bytes.len());
        return Err(SceneError::of_file(path, what, "a lesson is a few pages of text; split it in two."));
    }
    let text = std::str::from_utf8(bytes)
        .map_err(|_| SceneError::of_file(path, "this is not text in UTF-8", "save it again as UTF-8."))?;
    Ok(text.strip_prefix('\u{feff}').unwrap_or(text).to_owned())
}

fn read_scenes(folder: &str, files: &[LessonFile]) -> Read<BTreeMap<String, Scene>> {
    let mut scenes = BTreeMap::new();
    for file in files {
        if let Some(id) = file.name.strip_suffix(".toml") {
            scenes.insert(id.to_owned(), crate::read_bytes(&format!("{folder}/{}", file.name), &file.bytes)?);
        }
    }
    Ok(scenes)
}

/// The front matter of a file, with the fences turned into notes so that places stay right, and where the words begin.
fn split(source: &Source<'_>) -> Read<(String, usize)> {
    let first = source.text.lines().next().unwrap_or_default();
    if first.trim_end() != "+++" {
        let mend = "write +++ as the first line, then the settings of the lesson, then +++ again.";
        return Err(source.fault(0..0, "the file does not begin with +++", mend));
    }
    let mut at = 0;
    for (i, line) in source.text.split_inclusive('\n').enumerate() {
        if i > 0 && line.trim_end() == "+++" {
            let front = format!("###{}", &source.text[3..at]);
            return Ok((front, at + line.len()));
        }
        at += line.len();
    }
    Err(source.fault(
        0..3,
        "the settings at the top have no end",
        "write a line +++ between them and the first heading.",
    ))
}

fn read_english(folder: &str, path: &str, text: &str, scenes: BTreeMap<String, Scene>) -> Read<Lesson> {
    let whole = Source { file: path, text };
    let (front, start) = split(&whole)?;
    let front = whole.tree(&front)?;
    whole.check_format(&front, "lesson", "setting", LESSON_FORMAT)?;
    let front: Front = whole.value(&front)?;
    let words = Text::read(text, start).map_err(|slip| at_slip(&whole, 0, slip))?;
    let around = Around { source: &whole, words: &words, scenes: &scenes };
    let mut lesson = around.lesson(folder, &front)?;
    lesson.scenes.clone_from(&scenes);
    wording::check(&around, &lesson, &front)?;
    lesson.texts.insert("en".to_owned(), words);
    Ok(lesson)
}

fn read_translation(lesson: &Lesson, path: &str, text: &str) -> Read<Text> {
    let whole = Source { file: path, text };
    let (front, start) = split(&whole)?;
    let front = whole.tree(&front)?;
    whole.check_format(&front, "lesson", "setting", LESSON_FORMAT)?;
    let front: Translated = whole.value(&front)?;
    if *front.of.get_ref() != lesson.version {
        let what =
            format!("this translates version {}; the lesson is version {} now", front.of.get_ref(), lesson.version);
        return Err(whole.fault(
            front.of.span(),
            what,
            "compare the words with lesson.en.md, then write its version here.",
        ));
    }
    let words = Text::read(text, start).map_err(|slip| at_slip(&whole, 0, slip))?;
    wording::same_ids(&whole, lesson.text("en"), &words)?;
    wording::check_sums(&whole, lesson, &words)?;
    Ok(words)
}

/// An error at a place of a text that begins at `start` in the file.
fn at_slip(source: &Source<'_>, start: usize, slip: Slip) -> SceneError {
    source.fault(start + slip.at.start..start + slip.at.end, slip.what, &slip.mend)
}

/// What parts of a lesson are read against.
struct Around<'a> {
    source: &'a Source<'a>,
    words: &'a Text,
    scenes: &'a BTreeMap<String, Scene>,
}

impl Around<'_> {
    fn fault(&self, at: Range<usize>, what: impl Into<String>, mend: &str) -> SceneError {
        self.source.fault(at, what, mend)
    }

    /// A short text inside a quoted value: a slip in it is shown at its own place where that can be told.
    fn inner(&self, word: &Spanned<String>, slip: &Slip) -> SceneError {
        let span = word.span();
        let inside = span.start + 1;
        let plain = self.source.text.get(inside..).is_some_and(|rest| rest.starts_with(word.get_ref().as_str()));
        let at = if plain { inside + slip.at.start..inside + slip.at.end } else { span };
        self.fault(at, slip.what.clone(), &slip.mend)
    }

    fn scene(&self, word: &Spanned<String>) -> Read<String> {
        let name = word.get_ref();
        if self.scenes.contains_key(name) {
            return Ok(name.clone());
        }
        let hint = nearest_hint(name, self.scenes.keys().map(String::as_str));
        let mend = format!("write {name}.toml into the lesson's folder, or correct the name.");
        let hint = if self.scenes.is_empty() { "there is no scene at all".to_owned() } else { hint };
        Err(self.fault(word.span(), format!("there is no scene \"{name}\" in this folder; {hint}"), &mend))
    }
}
