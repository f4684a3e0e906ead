//! A class: the records of several learners in one table, and which questions failed most.

use super::learner::{Mastery, Record};
use super::model::Lesson;
use super::session::RIGHT;
use std::collections::BTreeMap;

/// One learner of a class.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Member {
    /// The name that the learner chose.
    pub name: String,
    /// Seed of the learner's numbers.
    pub learner: u32,
    /// How far each lesson has got, in the order of the lessons.
    pub mastery: Vec<Mastery>,
    /// Best exit check of each lesson: right answers.
    pub best: Vec<Option<usize>>,
}

/// How a question or an item went in a class.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Outcome {
    /// Id of the lesson.
    pub lesson: String,
    /// Id of the question or item.
    pub part: String,
    /// Whether it is a question before the bench is touched.
    pub predict: bool,
    /// Answers.
    pub asked: usize,
    /// Wrong ones.
    pub wrong: usize,
    /// The wrong answer given most often, and how often.
    pub commonest: Option<(String, usize)>,
}

/// Reads the record of a learner into the row of a class.
#[must_use]
pub fn member(lessons: &[Lesson], record: &Record) -> Member {
    let best = |lesson: &Lesson| {
        record.lessons.get(&lesson.id).and_then(|kept| kept.exits.iter().map(super::learner::ExitRecord::right).max())
    };
    Member {
        name: record.name.clone(),
        learner: record.learner,
        mastery: lessons.iter().map(|lesson| record.mastery(lesson)).collect(),
        best: lessons.iter().map(best).collect(),
    }
}

/// A question or item: lesson, part, and whether it is a question before the bench is touched.
type Place = (String, String, bool);
/// Answers, and the wrong ones by their ids.
type Count = (usize, BTreeMap<String, usize>);

/// How every question and item went, those that failed most first; only what somebody answered.
#[must_use]
pub fn outcomes(lessons: &[Lesson], records: &[Record]) -> Vec<Outcome> {
    let mut counts: BTreeMap<Place, Count> = BTreeMap::new();
    let mut count = |lesson: &str, part: &str, predict: bool, wrong: Option<String>| {
        let (asked, wrongs) = counts.entry((lesson.to_owned(), part.to_owned(), predict)).or_default();
        *asked += 1;
        if let Some(wrong) = wrong {
            *wrongs.entry(wrong).or_default() += 1;
        }
    };
    for record in records {
        for (lesson, kept) in record.lessons.iter().filter(|(id, _)| lessons.iter().any(|lesson| lesson.id == **id)) {
            for (question, answer) in &kept.predicted {
                count(lesson, question, true, (answer != RIGHT).then(|| answer.clone()));
            }
            for item in kept.exits.iter().flat_map(|exit| &exit.items) {
                count(lesson, &item.item, false, (!item.right).then(|| item.wrong.clone().unwrap_or_default()));
            }
        }
    }
    let outcome = |((lesson, part, predict), (asked, wrongs)): (Place, Count)| {
        let known = wrongs.iter().filter(|(id, _)| !id.is_empty());
        let commonest = known.max_by_key(|(_, n)| **n).map(|(id, n)| (id.clone(), *n));
        Outcome { lesson, part, predict, asked, wrong: wrongs.values().sum(), commonest }
    };
    let mut outcomes: Vec<Outcome> = counts.into_iter().map(outcome).collect();
    // By share of wrong answers; among equals, what was asked more often says more.
    outcomes.sort_by(|a, b| {
        (b.wrong * a.asked).cmp(&(a.wrong * b.asked)).then(b.asked.cmp(&a.asked)).then(a.lesson.cmp(&b.lesson))
    });
    outcomes
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lesson::all;
    use crate::lesson::learner::ItemRecord;

    fn item(name: &str, wrong: Option<&str>) -> ItemRecord {
        ItemRecord { item: name.to_owned(), right: wrong.is_none(), wrong: wrong.map(str::to_owned) }
    }

    #[test]
    fn the_question_that_failed_most_stands_first_with_its_commonest_wrong_answer() {
        let lessons = all().unwrap();
        let first = &lessons[0];
        let mut records: Vec<Record> = (0..3).map(Record::new).collect();
        for (record, answer) in records.iter_mut().zip(["distance", "distance", "right"]) {
            record.predicted(first, "reaches", answer);
        }
        records[0].exited(first, 1, vec![item("how-far", None), item("how-many", Some("multiplied"))]);
        records[1].exited(first, 1, vec![item("how-far", Some("")), item("how-many", Some("multiplied"))]);
        // A lesson that is not known here says nothing.
        let elsewhere = records[0].lessons[&first.id].clone();
        records[2].lessons.insert("L99-elsewhere".to_owned(), elsewhere);
        let outcomes = outcomes(&lessons, &records);
        let row = |i: usize| (outcomes[i].part.as_str(), outcomes[i].asked, outcomes[i].wrong);
        assert_eq!([row(0), row(1), row(2)], [("how-many", 2, 2), ("reaches", 3, 2), ("how-far", 2, 1)]);
        assert_eq!(outcomes[0].commonest, Some(("multiplied".to_owned(), 2)));
        assert_eq!(outcomes[2].commonest, None, "a wrong answer that no belief explains has no name");
        assert!(outcomes[1].predict && !outcomes[0].predict);
        assert_eq!(outcomes.len(), 3);
        let member = member(&lessons, &records[0]);
        assert_eq!((member.best[0], member.mastery[0], member.mastery[1]), (Some(1), Mastery::Begun, Mastery::New));
    }
}
