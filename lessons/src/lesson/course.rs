//! All lessons together: what is taught where, what is checked again, which beliefs are broken.

use super::draw::{self, Item};
use super::ids::{self, COMPETENCIES, Competency, MISCONCEPTIONS, Misconception};
use super::learner::Record;
use super::model::Lesson;
use std::fmt::Write;

/// Most questions on earlier competencies at the start of a lesson.
pub const RECALLED: usize = 3;

/// Where a competency is taught and where it is checked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Covered {
    /// The competency.
    pub competency: &'static Competency,
    /// Lessons that teach it.
    pub taught: Vec<String>,
    /// Parts that check it, as `lesson/part`.
    pub checked: Vec<String>,
    /// Whether a part of another lesson than the one that teaches it checks it.
    pub again: bool,
}

/// Where each competency is taught and checked.
#[must_use]
pub fn coverage(lessons: &[Lesson]) -> Vec<Covered> {
    let covered = |competency: &'static Competency| {
        let taught: Vec<String> = lessons
            .iter()
            .filter(|l| l.teaches.iter().any(|k| k.id == competency.id))
            .map(|l| short(l).to_owned())
            .collect();
        let mut checked = Vec::new();
        let mut again = false;
        for lesson in lessons {
            for (_, part) in lesson.checks().filter(|(k, _)| k.id == competency.id) {
                again |= !taught.iter().any(|t| t == short(lesson));
                checked.push(format!("{}/{part}", short(lesson)));
            }
        }
        Covered { competency, taught, checked, again }
    };
    COMPETENCIES.iter().map(covered).collect()
}

/// Questions on earlier competencies that are due on a day, with numbers of that day, for the start of a lesson: at most
/// [`RECALLED`], those longest due first. A competency that no exit item checks is not asked.
#[must_use]
pub fn recall<'a>(lessons: &'a [Lesson], record: &Record, day: u32) -> Vec<(&'static Competency, Item<'a>)> {
    let due = record.due(day).into_iter().filter_map(ids::competency);
    let asked = |k: &'static Competency| {
        let exits = lessons.iter().flat_map(|lesson| lesson.exits.iter().map(move |exit| (lesson, exit)));
        let fitting: Vec<_> = exits.filter(|(_, exit)| exit.checks.contains(&k)).collect();
        // Another item on another day, where there are several.
        let (lesson, exit) = fitting.get(day as usize % fitting.len().max(1))?;
        Some((k, draw::item(lesson, exit, record.learner, day)))
    };
    due.filter_map(asked).take(RECALLED).collect()
}

/// Parts whose answer breaks each belief, as `lesson/part.answer`.
#[must_use]
pub fn broken_beliefs(lessons: &[Lesson]) -> Vec<(&'static Misconception, Vec<String>)> {
    let at = |m: &'static Misconception| {
        let found = lessons.iter().flat_map(|lesson| {
            let answers = lesson.answers().filter(|(_, w)| w.believes.is_some_and(|b| b.id == m.id));
            answers.map(|(id, _)| format!("{}/{id}", short(lesson))).collect::<Vec<_>>()
        });
        (m, found.collect())
    };
    MISCONCEPTIONS.iter().map(at).collect()
}

/// `L01` of `L01-one-light-one-line`.
fn short(lesson: &Lesson) -> &str {
    lesson.id.split('-').next().unwrap_or(&lesson.id)
}

/// What does not fit between lessons: lesson, what is wrong, and how to mend it.
#[must_use]
pub fn misfits(lessons: &[Lesson]) -> Vec<(String, String, String)> {
    let mut found = Vec::new();
    for (i, lesson) in lessons.iter().enumerate() {
        for k in &lesson.teaches {
            if let Some(other) = lessons[..i].iter().find(|other| other.teaches.contains(k)) {
                let what = format!("{} is taught here and in {}", k.id, other.id);
                found.push((lesson.id.clone(), what, "teach it in one lesson, check it in the other.".to_owned()));
            }
        }
        for k in &lesson.needs {
            if lessons[..i].iter().any(|other| other.teaches.contains(k)) {
                continue;
            }
            let later = lessons.iter().find(|other| other.teaches.contains(k));
            let what = match later {
                Some(other) => format!("{} is needed here, but {} teaches it only later", k.id, other.id),
                None => format!("{} is needed here, but no lesson teaches it", k.id),
            };
            found.push((lesson.id.clone(), what, "take it out of needs, or teach it in an earlier lesson.".to_owned()));
        }
        if let Some(other) = lessons[..i].iter().find(|other| short(other) == short(lesson)) {
            let what = format!("{} and {} have the same number", other.id, lesson.id);
            found.push((lesson.id.clone(), what, "give the folder a number of its own.".to_owned()));
        }
    }
    found
}

/// The coverage in a table of text.
#[must_use]
pub fn table(lessons: &[Lesson]) -> String {
    let mut text = String::new();
    let rows = coverage(lessons);
    let list = |places: &[String]| if places.is_empty() { "-".to_owned() } else { places.join(" ") };
    // Writing to a string cannot fail.
    let _ = writeln!(
        text,
        "competency                                                                      taught  checked"
    );
    for row in &rows {
        let can = format!("{} {}", row.competency.id, row.competency.can);
        let mark = match (row.taught.is_empty(), row.again) {
            (true, _) => "",
            (false, true) => "",
            (false, false) => "  (only where it is taught)",
        };
        let _ = writeln!(text, "{can:<79} {:<7} {}{mark}", list(&row.taught), list(&row.checked));
    }
    let _ = writeln!(text, "\nbelief                                                    broken by");
    for (belief, places) in broken_beliefs(lessons) {
        let _ = writeln!(text, "{:<57} {}", format!("{} {}", belief.id, belief.belief), list(&places));
    }
    let taught = rows.iter().filter(|r| !r.taught.is_empty()).count();
    let again = rows.iter().filter(|r| r.again).count();
    let _ = writeln!(text, "\n{taught} of {} competencies taught, {again} checked again elsewhere", rows.len());
    text
}
