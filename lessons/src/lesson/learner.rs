//! What a learner has done and can do, and when to ask again. Pure functions over one record; days come from the caller.

use super::draw::ENOUGH;
use super::ids::Competency;
use super::model::Lesson;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// The format of records that this program writes and the newest that it reads.
pub const RECORD_FORMAT: u32 = 1;

/// Days until a competency is asked again, by how often it was recalled (own choice, after the finding that recall
/// works best spaced over days: Adesope, Trevisan, Sundararajan 2017).
pub const AGAIN_DAYS: [u32; 3] = [2, 6, 14];

/// From this rung on a hint tells the way: the task counts as done with help.
pub const HELP_FROM: u32 = 3;

/// What is kept of a learner. Nothing of it leaves the machine by itself.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Record {
    /// Format of the record.
    pub format: u32,
    /// Seed of the learner's numbers.
    pub learner: u32,
    /// The name that the learner chose, for the instructor's table; may be empty.
    #[serde(default)]
    pub name: String,
    /// Lessons by id.
    #[serde(default)]
    pub lessons: BTreeMap<String, LessonRecord>,
    /// Competencies by id.
    #[serde(default)]
    pub recall: BTreeMap<String, Recall>,
}

/// What was done in one lesson.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct LessonRecord {
    /// Version of the lesson at the last entry.
    pub version: String,
    /// First answers to the questions, by id: the id of the answer.
    pub predicted: BTreeMap<String, String>,
    /// Tasks by id.
    pub tasks: BTreeMap<String, TaskRecord>,
    /// Exit checks in their order.
    pub exits: Vec<ExitRecord>,
    /// Whether the lesson was opened although something was missing.
    pub opened_anyway: bool,
}

/// What was done of a task.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct TaskRecord {
    /// Hints shown since it was last begun.
    pub hints: u32,
    /// Done without help.
    pub alone: bool,
    /// Done with help.
    pub helped: bool,
}

/// An exit check.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ExitRecord {
    /// Day, counted by the caller.
    pub day: u32,
    /// The items in their order.
    pub items: Vec<ItemRecord>,
}

/// An answer in an exit check.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ItemRecord {
    /// Id of the item in its lesson.
    pub item: String,
    /// Whether the answer was right.
    pub right: bool,
    /// The wrong answer of the lesson that was hit.
    #[serde(default)]
    pub wrong: Option<String>,
}

impl ExitRecord {
    /// Right answers.
    pub fn right(&self) -> usize {
        self.items.iter().filter(|item| item.right).count()
    }
}

/// What is known of a competency.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Recall {
    /// Day of the last answer.
    pub day: u32,
    /// How often it was recalled on different days without a miss.
    pub firm: u32,
    /// Day on which it is asked again.
    pub due: u32,
}

/// How far a lesson has got.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mastery {
    /// Not begun.
    New,
    /// Begun.
    Begun,
    /// Exit check passed, but a task was only done with help or is open.
    Shaky,
    /// All tasks done alone and the exit check passed.
    Mastered,
}

/// Whether a lesson is open.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Gate {
    /// It is.
    Open,
    /// These competencies are missing; the learner may open it anyway, and that is kept.
    Missing(Vec<&'static Competency>),
}

impl Record {
    /// The record of a new learner.
    #[must_use]
    pub fn new(learner: u32) -> Self {
        let (lessons, recall) = (BTreeMap::new(), BTreeMap::new());
        Self { format: RECORD_FORMAT, learner, name: String::new(), lessons, recall }
    }

    /// Reads a record.
    ///
    /// # Errors
    /// It is no record, or one of a newer program.
    pub fn read(text: &str) -> Result<Self, String> {
        let record: Self = crate::kept::read(text).map_err(|why| format!("this is no record of a learner: {why}"))?;
        if record.format == RECORD_FORMAT {
            return Ok(record);
        }
        Err(format!("this record has format {}; this program reads format {RECORD_FORMAT}", record.format))
    }

    /// Writes the record.
    ///
    /// # Errors
    /// None: a record is plain numbers and words.
    pub fn write(&self) -> Result<String, String> {
        serde_json::to_string(self).map_err(|why| why.to_string())
    }

    fn lesson(&mut self, lesson: &Lesson) -> &mut LessonRecord {
        let kept = self.lessons.entry(lesson.id.clone()).or_default();
        kept.version.clone_from(&lesson.version);
        kept
    }

    /// An answer to a question was committed to; only the first counts.
    pub fn predicted(&mut self, lesson: &Lesson, question: &str, answer: &str) {
        self.lesson(lesson).predicted.entry(question.to_owned()).or_insert_with(|| answer.to_owned());
    }

    /// A hint was asked for.
    pub fn hinted(&mut self, lesson: &Lesson, task: &str) {
        self.lesson(lesson).tasks.entry(task.to_owned()).or_default().hints += 1;
    }

    /// A task was done; asked again, it begins without hints.
    pub fn done(&mut self, lesson: &Lesson, task: &str) {
        let kept = self.lesson(lesson).tasks.entry(task.to_owned()).or_default();
        let helped = kept.hints >= HELP_FROM;
        *kept = TaskRecord { hints: 0, alone: kept.alone || !helped, helped: kept.helped || helped };
    }

    /// The exit check was finished.
    pub fn exited(&mut self, lesson: &Lesson, day: u32, items: Vec<ItemRecord>) {
        self.lesson(lesson).exits.push(ExitRecord { day, items });
    }

    /// A task is done once more; it begins without hints.
    pub fn begun_again(&mut self, lesson: &Lesson, task: &str) {
        self.lesson(lesson).tasks.entry(task.to_owned()).or_default().hints = 0;
    }

    /// A lesson was opened although something was missing.
    pub fn opened_anyway(&mut self, lesson: &Lesson) {
        self.lesson(lesson).opened_anyway = true;
    }

    /// A competency was asked for and known, or not.
    pub fn recalled(&mut self, competency: &Competency, day: u32, right: bool) {
        let before = self.recall.get(competency.id).copied();
        let firm = match before {
            _ if !right => 0,
            Some(kept) if kept.day == day => kept.firm.max(1),
            Some(kept) => kept.firm + 1,
            None => 1,
        };
        let wait = if right { AGAIN_DAYS[(firm.max(1) as usize - 1).min(AGAIN_DAYS.len() - 1)] } else { 1 };
        self.recall.insert(competency.id.to_owned(), Recall { day, firm, due: day.saturating_add(wait) });
    }

    /// Competencies to ask on that day, those longest due first.
    #[must_use]
    pub fn due(&self, day: u32) -> Vec<&str> {
        let mut due: Vec<(u32, &str)> =
            self.recall.iter().filter(|(_, r)| r.due <= day).map(|(id, r)| (r.due, id.as_str())).collect();
        due.sort_unstable();
        due.into_iter().map(|(_, id)| id).collect()
    }

    /// How far a lesson has got.
    #[must_use]
    pub fn mastery(&self, lesson: &Lesson) -> Mastery {
        let Some(kept) = self.lessons.get(&lesson.id) else { return Mastery::New };
        let alone = |id: &str| kept.tasks.get(id).is_some_and(|t| t.alone);
        match (passed(kept), lesson.tasks.iter().all(|t| alone(&t.id))) {
            (true, true) => Mastery::Mastered,
            (true, false) => Mastery::Shaky,
            _ => Mastery::Begun,
        }
    }

    /// Whether a lesson is open: all that it needs was taught in lessons whose exit check was passed.
    #[must_use]
    pub fn gate(&self, lesson: &Lesson, all: &[Lesson]) -> Gate {
        if self.lessons.get(&lesson.id).is_some_and(|kept| kept.opened_anyway) {
            return Gate::Open;
        }
        let taught = |k: &Competency| {
            all.iter().any(|l| l.teaches.iter().any(|t| t.id == k.id) && self.lessons.get(&l.id).is_some_and(passed))
        };
        let missing: Vec<_> = lesson.needs.iter().copied().filter(|k| !taught(k)).collect();
        if missing.is_empty() { Gate::Open } else { Gate::Missing(missing) }
    }
}

fn passed(kept: &LessonRecord) -> bool {
    kept.exits.iter().any(|exit| exit.right() >= ENOUGH)
}
