//! Items asked one after the other, each answered once and explained at once.

use crate::lesson::course;
use crate::lesson::draw::{self, Drawn, Item, Judged};
use crate::lesson::ids::{self, Competency};
use crate::lesson::learner::{ItemRecord, Record};
use crate::lesson::model::{ExitKind, Lesson, Wrong};
use sim_core::num::random::Stream;

/// An item that is asked.
#[derive(Clone, Debug, PartialEq)]
pub struct Asked {
    /// Id of the lesson that it belongs to.
    pub lesson: String,
    /// Its place among the exit items of that lesson.
    pub exit: usize,
    /// Its numbers.
    pub drawn: Drawn,
    /// The competency for which it was asked, in recall.
    pub asks: Option<&'static str>,
    /// The answer, once there is one.
    pub given: Option<Given>,
}

/// An answer that was given.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Given {
    /// As it was typed, or the id of the option.
    pub text: String,
    /// Whether it was right.
    pub right: bool,
    /// The wrong answer of the lesson that it hit.
    pub wrong: Option<String>,
}

/// A row of items.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Quiz {
    /// The items.
    pub items: Vec<Asked>,
    /// The one that is shown.
    pub at: usize,
}

impl Asked {
    /// The item and its lesson.
    pub fn of<'a>(&self, lessons: &'a [Lesson]) -> Option<(&'a Lesson, Item<'a>)> {
        let lesson = lessons.iter().find(|lesson| lesson.id == self.lesson)?;
        Some((lesson, Item { exit: lesson.exits.get(self.exit)?, drawn: self.drawn.clone() }))
    }

    /// Ids of the answers to choose from, in the order of this learner; empty where a number is asked for.
    pub fn options(&self, lessons: &[Lesson], learner: u32) -> Vec<String> {
        let Some((lesson, item)) = self.of(lessons) else { return Vec::new() };
        let ExitKind::Choice(options) = &item.exit.kind else { return Vec::new() };
        let ids = options.iter().map(|(option, _)| option.id.clone()).collect();
        shuffled(ids, learner, &format!("{}/{}", lesson.id, item.exit.id))
    }

    /// The wrong answer that was hit, with what the lesson says to it.
    pub fn hit<'a>(&self, lessons: &'a [Lesson]) -> Option<&'a Wrong> {
        let wrong = self.given.as_ref()?.wrong.as_ref()?;
        let (_, item) = self.of(lessons)?;
        item.exit.wrongs().find(|w| w.id == *wrong)
    }
}

impl Quiz {
    /// The exit check of a lesson.
    pub fn exit(lesson: &Lesson, learner: u32, attempt: u32) -> Self {
        let asked = |item: Item<'_>| Asked {
            lesson: lesson.id.clone(),
            exit: lesson.exits.iter().position(|exit| std::ptr::eq(exit, item.exit)).unwrap_or(0),
            drawn: item.drawn,
            asks: None,
            given: None,
        };
        Self { items: draw::items(lesson, learner, attempt).into_iter().map(asked).collect(), at: 0 }
    }

    /// What is due of earlier lessons.
    pub fn recall(lessons: &[Lesson], record: &Record, day: u32) -> Self {
        let asked = |(competency, item): (&'static Competency, Item<'_>)| {
            let found = lessons
                .iter()
                .find_map(|l| Some((l, l.exits.iter().position(|exit| std::ptr::eq(exit, item.exit))?)))?;
            let (lesson, exit) = (found.0.id.clone(), found.1);
            Some(Asked { lesson, exit, drawn: item.drawn, asks: Some(competency.id), given: None })
        };
        Self { items: course::recall(lessons, record, day).into_iter().filter_map(asked).collect(), at: 0 }
    }

    /// The item that is shown.
    pub fn now(&self) -> Option<&Asked> {
        self.items.get(self.at)
    }

    /// Whether all are answered.
    pub fn done(&self) -> bool {
        self.items.iter().all(|asked| asked.given.is_some())
    }

    /// Right answers.
    pub fn right(&self) -> usize {
        self.items.iter().filter(|asked| asked.given.as_ref().is_some_and(|given| given.right)).count()
    }

    /// Answers the item that is shown; a second answer to it changes nothing.
    ///
    /// # Errors
    /// Why this is no answer, in words for the learner.
    pub fn answer(&mut self, lessons: &[Lesson], text: &str) -> Result<(), String> {
        let Some(asked) = self.items.get_mut(self.at).filter(|asked| asked.given.is_none()) else { return Ok(()) };
        let Some((_, item)) = asked.of(lessons) else { return Ok(()) };
        let (right, wrong) = match item.judge(text) {
            Judged::Unreadable(why) => return Err(why),
            Judged::Right => (true, None),
            Judged::Known(wrong) => (false, Some(wrong.id.clone())),
            Judged::Wrong => (false, None),
        };
        asked.given = Some(Given { text: text.trim().to_owned(), right, wrong });
        Ok(())
    }

    /// What is kept of it.
    pub fn kept(&self, lessons: &[Lesson]) -> Vec<ItemRecord> {
        let kept = |asked: &Asked| {
            let given = asked.given.clone()?;
            let id = asked.of(lessons).map_or(String::new(), |(_, item)| item.exit.id.clone());
            Some(ItemRecord { item: id, right: given.right, wrong: given.wrong })
        };
        self.items.iter().filter_map(kept).collect()
    }

    /// Each competency that was asked for, and whether every answer about it was right.
    pub fn competencies(&self, lessons: &[Lesson]) -> Vec<(&'static Competency, bool)> {
        let mut found: Vec<(&'static Competency, bool)> = Vec::new();
        for asked in &self.items {
            let (Some(given), Some((_, item))) = (&asked.given, asked.of(lessons)) else { continue };
            let one = asked.asks.and_then(ids::competency).map(|k| vec![k]);
            for k in one.unwrap_or_else(|| item.exit.checks.clone()) {
                match found.iter_mut().find(|(other, _)| other.id == k.id) {
                    Some((_, right)) => *right &= given.right,
                    None => found.push((k, given.right)),
                }
            }
        }
        found
    }
}

/// Words in an order that is the learner's own and always the same.
pub(super) fn shuffled(mut words: Vec<String>, learner: u32, name: &str) -> Vec<String> {
    let mut stream = Stream::named(u64::from(learner), &format!("order/{name}"));
    for i in (1..words.len()).rev() {
        let j = ((stream.uniform() * (i + 1) as f64) as usize).min(i);
        words.swap(i, j);
    }
    words
}
