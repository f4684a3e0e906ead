//! The words of a lesson against its parts: everything has its words, and all words belong to something.

use super::front::Front;
use super::{Around, Read, at_slip};
use crate::error::SceneError;
use crate::lesson::fill;
use crate::lesson::model::{ExitKind, Lesson};
use crate::lesson::text::{Block, Text, items, term};
use crate::source::Source;
use sim_core::names::nearest_hint;
use std::ops::Range;

/// Headings that every lesson has, and what belongs there.
const FIXED: [(&str, &str); 10] = [
    ("title", "the title, with what will be learnt below it"),
    ("see", "the question what was seen"),
    ("why", "the explanation"),
    ("words", "the glossary"),
    ("notes.timing", "the timing, for the instructor"),
    ("notes.points", "the points to make, for the instructor"),
    ("notes.show", "the demonstration, for the instructor"),
    ("notes.ask", "what to ask, for the instructor"),
    ("notes.trouble", "where learners go wrong, for the instructor"),
    ("notes.sources", "the sources of what is claimed, for the instructor"),
];

/// Ways in which a claim can be backed.
const BACKED: [&str; 3] = ["Source:", "Common practice", "Computed by the model"];

/// A heading that must be there.
struct Wanted {
    id: String,
    what: String,
    /// Where the file says that it must be.
    at: Range<usize>,
    title: bool,
    body: bool,
}

pub fn check(around: &Around<'_>, lesson: &Lesson, front: &Front) -> Read<()> {
    let wanted = wanted(lesson, front);
    for block in around.words.blocks() {
        let known = block.id == "notes" || wanted.iter().any(|w| w.id == block.id) || optional(lesson, &block.id);
        if !known {
            let hint = nearest_hint(&block.id, wanted.iter().map(|w| w.id.as_str()));
            let what = format!("no part of the lesson is called \"{}\"; {hint}", block.id);
            return Err(around.fault(
                block.at.clone(),
                what,
                "correct the id behind the heading, or take the heading out.",
            ));
        }
    }
    for w in &wanted {
        let Some(block) = around.words.get(&w.id) else {
            let mend = format!("write a heading ## ... {{#{}}} with the words below it.", w.id);
            return Err(around.fault(w.at.clone(), format!("{} is missing", w.what), &mend));
        };
        if w.title && block.title.is_empty() {
            let what = format!("{} has no heading", w.what);
            return Err(around.fault(block.at.clone(), what, "write the words before the id."));
        }
        if w.body && block.body.is_empty() {
            let what = format!("nothing stands below this heading: {}", w.what);
            return Err(around.fault(block.at.clone(), what, "write the words on the lines below it."));
        }
    }
    lists(around)?;
    check_sums(around.source, lesson, around.words)?;
    unused(around, lesson, front)
}

fn wanted(lesson: &Lesson, front: &Front) -> Vec<Wanted> {
    let mut wanted = Vec::new();
    let mut want = |id: String, what: String, at: Range<usize>, title: bool, body: bool| {
        wanted.push(Wanted { id, what, at, title, body });
    };
    for (id, what) in FIXED {
        want(id.to_owned(), what.to_owned(), front.version.span(), true, true);
    }
    for p in &front.predict {
        let id = p.id.get_ref();
        want(id.clone(), format!("the question \"{id}\""), p.id.span(), true, false);
        want(format!("{id}.right"), format!("the right answer to \"{id}\""), p.id.span(), true, true);
        for w in &p.wrong {
            let what = format!("the wrong answer \"{}\" with what is said to it", w.id.get_ref());
            want(format!("{id}.{}", w.id.get_ref()), what, w.id.span(), true, true);
        }
    }
    for t in &front.task {
        let id = t.id.get_ref();
        want(id.clone(), format!("the task \"{id}\""), t.id.span(), true, true);
        want(format!("{id}.hints"), format!("the ladder of hints of the task \"{id}\""), t.id.span(), false, true);
    }
    for (e, exit) in front.exit.iter().zip(&lesson.exits) {
        let id = e.id.get_ref();
        want(id.clone(), format!("the item \"{id}\""), e.id.span(), true, true);
        want(format!("{id}.answer"), format!("the working of the item \"{id}\""), e.id.span(), false, true);
        let choice = matches!(exit.kind, ExitKind::Choice(_));
        for w in e.wrong.iter().chain(&e.option) {
            let what = format!("the answer \"{}\" with what is said to it when it is wrong", w.id.get_ref());
            want(format!("{id}.{}", w.id.get_ref()), what, w.id.span(), choice, true);
        }
    }
    wanted
}

/// What may be there: words when a task is done, and the lesson's own words for what must be measured, one item for each
/// condition of the goal.
fn optional(lesson: &Lesson, id: &str) -> bool {
    let of = |ending: &str| lesson.tasks.iter().any(|t| id.strip_suffix(ending) == Some(&t.id));
    of(".done") || of(".goal")
}

/// Lists that are read item by item.
fn lists(around: &Around<'_>) -> Read<()> {
    let fault = |block: &Block, what: &str, mend: &str| Err(around.fault(block.at.clone(), what, mend));
    if let Some(words) = around.words.get("words") {
        let list = items(&words.body);
        if list.is_empty() || list.iter().any(|item| term(item).is_none()) {
            let mend = "write each as - **word**: what it means.";
            return fault(words, "the glossary is a list of words with their meanings", mend);
        }
    }
    if let Some(sources) = around.words.get("notes.sources") {
        let list = items(&sources.body);
        if list.is_empty() || list.iter().any(|item| !BACKED.iter().any(|mark| item.contains(mark))) {
            let mend = "write into each item \"Source: ...\", \"Common practice\" or \"Computed by the model\".";
            return fault(sources, "a claim stands here without anything that backs it", mend);
        }
    }
    Ok(())
}

/// Sums in braces.
pub fn check_sums(source: &Source<'_>, lesson: &Lesson, words: &Text) -> Read<()> {
    let scenes = &lesson.scenes;
    for block in words.blocks() {
        let part = block.id.split('.').next().unwrap_or_default();
        let exit = lesson.exits.iter().find(|e| e.id == part);
        let drawn: Vec<&str> = exit.iter().flat_map(|e| e.params.iter().map(|p| p.name.as_str())).collect();
        let known =
            |name: &str| fill::is_known(name, scenes) || drawn.contains(&name) || (exit.is_some() && name == "answer");
        for (text, start) in [(&block.title, block.at.start), (&block.body, block.body_at)] {
            if let Err(slip) = fill::check(text, &known, &drawn, scenes) {
                let start = start + source.text.get(start..).and_then(|rest| rest.find(text.as_str())).unwrap_or(0);
                return Err(at_slip(source, start, slip));
            }
        }
    }
    Ok(())
}

/// Every scene of the folder is used.
fn unused(around: &Around<'_>, lesson: &Lesson, front: &Front) -> Read<()> {
    let answers: Vec<&str> = lesson.answers().filter_map(|(_, wrong)| wrong.show.as_deref()).collect();
    let used = |name: &str| {
        name == lesson.bench
            || lesson.predicts.iter().any(|p| p.show == name)
            || lesson.tasks.iter().any(|t| t.scene == name)
            || answers.contains(&name)
            || around.words.blocks().iter().any(|b| b.body.contains(&format!("{name}.")))
    };
    match around.scenes.keys().find(|name| !used(name)) {
        None => Ok(()),
        Some(name) => {
            let what = format!("no part of the lesson uses the scene \"{name}\"");
            Err(around.fault(front.bench.span(), what, "name it behind show or scene, or take the file away."))
        }
    }
}

/// A translation has the same headings as the English words.
pub fn same_ids(source: &Source<'_>, english: &Text, words: &Text) -> Result<(), SceneError> {
    for block in words.blocks() {
        if english.get(&block.id).is_none() {
            let hint = nearest_hint(&block.id, english.blocks().iter().map(|b| b.id.as_str()));
            let what = format!("lesson.en.md has no heading \"{}\"; {hint}", block.id);
            return Err(source.fault(block.at.clone(), what, "correct the id, or take the heading out."));
        }
    }
    match english.blocks().iter().find(|b| words.get(&b.id).is_none()) {
        None => Ok(()),
        Some(missing) => {
            let end = source.text.trim_end().len();
            let mend = format!("translate \"{}\" below a heading with {{#{}}}.", missing.title, missing.id);
            Err(source.fault(end..end, format!("the heading \"{}\" of lesson.en.md is missing", missing.id), &mend))
        }
    }
}
