//! The record of a learner: mastery, the gate, hints, and when a competency is asked again.

use lessons::lesson::learner::{AGAIN_DAYS, Gate, ItemRecord, Mastery, RECORD_FORMAT, Record};
use lessons::lesson::{Lesson, all, course, ids};

fn lessons() -> Vec<Lesson> {
    all().unwrap_or_else(|e| panic!("{e}"))
}

/// Five items, of which so many are right.
fn items(right: usize) -> Vec<ItemRecord> {
    (0..5).map(|i| ItemRecord { item: format!("item-{i}"), right: i < right, wrong: None }).collect()
}

#[test]
fn mastery_wants_four_of_five_and_every_task_alone() {
    let lessons = lessons();
    let lesson = &lessons[0];
    let mut record = Record::new(7);
    assert_eq!(record.mastery(lesson), Mastery::New);
    record.predicted(lesson, "reaches", "distance");
    record.predicted(lesson, "reaches", "right");
    assert_eq!(record.lessons[&lesson.id].predicted["reaches"], "distance", "only the first answer counts");
    assert_eq!(record.mastery(lesson), Mastery::Begun);
    record.exited(lesson, 3, items(3));
    assert_eq!(record.mastery(lesson), Mastery::Begun, "three of five are not enough");
    record.exited(lesson, 3, items(4));
    assert_eq!(record.mastery(lesson), Mastery::Shaky, "the tasks are open");
    for task in &lesson.tasks {
        for _ in 0..3 {
            record.hinted(lesson, &task.id);
        }
        record.done(lesson, &task.id);
    }
    assert_eq!(record.mastery(lesson), Mastery::Shaky, "done with help");
    for task in &lesson.tasks {
        record.hinted(lesson, &task.id);
        record.done(lesson, &task.id);
    }
    assert_eq!(record.mastery(lesson), Mastery::Mastered, "asked again, with one small hint");
    let kept = record.lessons[&lesson.id].tasks[&lesson.tasks[0].id];
    assert!(kept.alone && kept.helped && kept.hints == 0);
}

#[test]
fn the_gate_asks_for_what_is_needed_and_can_be_passed_anyway() {
    let lessons = lessons();
    let second = &lessons[1];
    let mut record = Record::new(7);
    assert_eq!(record.gate(&lessons[0], &lessons), Gate::Open);
    let Gate::Missing(missing) = record.gate(second, &lessons) else { panic!("open") };
    assert_eq!(missing.iter().map(|k| k.id).collect::<Vec<_>>(), ["K01"]);
    let mut other = record.clone();
    other.opened_anyway(second);
    assert_eq!(other.gate(second, &lessons), Gate::Open);
    record.exited(&lessons[0], 1, items(5));
    assert_eq!(record.gate(second, &lessons), Gate::Open);
}

#[test]
fn a_competency_comes_back_after_two_six_and_fourteen_days() {
    let [k1, k2] = ["K01", "K02"].map(|id| ids::competency(id).unwrap());
    let mut record = Record::new(7);
    let mut day = 100;
    record.recalled(k1, day, true);
    for wait in [AGAIN_DAYS[0], AGAIN_DAYS[1], AGAIN_DAYS[2], AGAIN_DAYS[2]] {
        assert_eq!(record.due(day + wait - 1), Vec::<&str>::new());
        day += wait;
        assert_eq!(record.due(day), ["K01"]);
        record.recalled(k1, day, true);
    }
    assert_eq!(AGAIN_DAYS, [2, 6, 14]);
    // Twice on one day is once.
    record.recalled(k2, day, true);
    record.recalled(k2, day, true);
    assert_eq!(record.recall["K02"].firm, 1);
    // A miss begins again, tomorrow; what is longest due comes first.
    record.recalled(k1, day + 1, false);
    assert_eq!(record.recall["K01"].firm, 0);
    assert_eq!(record.due(day + 2), ["K01", "K02"]);
    record.recalled(k1, day + 2, true);
    assert_eq!((record.recall["K01"].firm, record.recall["K01"].due), (1, day + 4));
    record.recalled(k1, u32::MAX, true);
    assert_eq!(record.recall["K01"].due, u32::MAX, "no day after the last");
}

#[test]
fn records_are_kept_and_strange_ones_refused() {
    let lessons = lessons();
    let mut record = Record::new(7);
    record.predicted(&lessons[0], "reaches", "right");
    record.hinted(&lessons[0], "twelve");
    record.exited(&lessons[0], 9, items(5));
    record.recalled(ids::competency("K01").unwrap(), 9, true);
    assert_eq!(record.lessons[&lessons[0].id].version, lessons[0].version);
    let text = record.write().unwrap();
    assert_eq!(Record::read(&text), Ok(record));
    assert!(Record::read("{").unwrap_err().contains("no record of a learner"));
    assert!(Record::read("{\"format\":1,\"learner\":1,\"marks\":3}").is_err());
    let newer = format!("{{\"format\":{},\"learner\":1}}", RECORD_FORMAT + 1);
    assert!(Record::read(&newer).unwrap_err().contains("this program reads format 1"));
}

#[test]
fn a_lesson_begins_with_what_is_due_and_no_more_than_three() {
    let lessons = lessons();
    let mut record = Record::new(7);
    assert!(course::recall(&lessons, &record, 50).is_empty());
    for (i, id) in ["K05", "K02", "K01", "K04"].into_iter().enumerate() {
        record.recalled(ids::competency(id).unwrap(), 10 + i as u32, true);
    }
    // None of these first lessons asks it: it waits, and nothing breaks.
    let lessons = &lessons[..5];
    record.recalled(ids::competency("K38").unwrap(), 1, true);
    let asked = course::recall(lessons, &record, 20);
    assert_eq!(asked.iter().map(|(k, _)| k.id).collect::<Vec<_>>(), ["K05", "K02", "K01"], "longest due first");
    for (k, item) in &asked {
        assert!(item.exit.checks.contains(k), "{}", item.exit.id);
        assert!(item.right().is_some() || item.right_option().is_some());
    }
    let drawn = |day| course::recall(lessons, &record, day).into_iter().map(|(_, item)| item.drawn).collect::<Vec<_>>();
    assert_eq!(drawn(20), drawn(20));
    assert_ne!(drawn(20), drawn(21), "another day, other numbers");
}
