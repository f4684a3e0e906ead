//! A learner going through every lesson: what must be answered before what, what is kept, what the exit check draws.

use lessons::lesson::learner::{Gate, Mastery, Record};
use lessons::lesson::model::ExitKind;
use lessons::lesson::session::{Asked, RIGHT, Session, Step};
use lessons::lesson::{Lesson, all, draw};

fn lessons() -> Vec<Lesson> {
    all().unwrap_or_else(|e| panic!("{e}"))
}

fn next(session: &mut Session) {
    let at = session.at();
    session.go(at + 1);
    assert_eq!(session.at(), at + 1, "{:?} holds up", session.step());
}

/// An answer that is right, or one that is not.
fn answer_to(asked: &Asked, lessons: &[Lesson], right: bool) -> String {
    let (_, item) = asked.of(lessons).expect("the item is one of the lesson's");
    match &item.exit.kind {
        ExitKind::Number { .. } => {
            let number = item.right().expect("it has a right number");
            // Far from every wrong value that the lesson knows.
            format!("{}", if right { number } else { 7.3 * number + 1234.5 })
        }
        ExitKind::Choice(options) => {
            let id = item.right_option().expect("one of the options is right");
            let other = options.iter().find(|(option, _)| option.id != id).expect("there are several");
            if right { id.to_owned() } else { other.0.id.clone() }
        }
    }
}

/// Goes through a lesson; tasks count as met, as the bench would say.
fn learn(lessons: &[Lesson], lesson: &Lesson, record: &mut Record, day: u32, right: usize) -> Session {
    let mut session = Session::new(lessons, lesson, record, day);
    loop {
        match session.step() {
            Step::Recall => {
                while let Some(asked) = session.quiz().and_then(|quiz| quiz.now()).cloned() {
                    session.answer(record, lessons, &answer_to(&asked, lessons, true)).expect("it can be read");
                    let at = session.recall.at;
                    session.show_item(at + 1);
                    if session.recall.at == at {
                        break;
                    }
                }
            }
            Step::Predict(_) if session.predicts[0].answer.is_none() || session.locks_bench() => {
                session.commit(record, lesson, RIGHT);
                session.saw(RIGHT);
            }
            Step::Task(_) => session.met(record, lesson),
            Step::Exit => {
                for i in 0..draw::ITEMS {
                    session.show_item(i);
                    let asked = session.exit.now().cloned().expect("five items");
                    let text = answer_to(&asked, lessons, i < right);
                    session.answer(record, lessons, &text).expect("it can be read");
                }
            }
            Step::End => return session,
            Step::Opening | Step::See | Step::Why | Step::Predict(_) => {}
        }
        next(&mut session);
    }
}

#[test]
fn every_lesson_can_be_gone_through_and_opens_what_needs_it() {
    let lessons = lessons();
    let mut record = Record::new(3);
    for (day, lesson) in lessons.iter().enumerate() {
        assert_eq!(record.gate(lesson, &lessons), Gate::Open, "{}", lesson.id);
        let session = learn(&lessons, lesson, &mut record, 3 * day as u32, draw::ITEMS);
        assert_eq!(session.exit.right(), draw::ITEMS, "{}", lesson.id);
        assert_eq!(record.mastery(lesson), Mastery::Mastered, "{}", lesson.id);
        assert!(lesson.teaches.iter().all(|k| !session.recall.items.iter().any(|a| a.asks == Some(k.id))));
        assert_eq!(session.recall.items.is_empty(), day == 0, "after three days something is due");
    }
    // Two wrong answers are one too many, whatever was known before.
    let mut other = Record::new(3);
    let session = learn(&lessons, &lessons[0], &mut other, 0, 3);
    assert_eq!((session.exit.right(), other.mastery(&lessons[0])), (3, Mastery::Begun));
    assert!(matches!(other.gate(&lessons[1], &lessons), Gate::Missing(_)));
    let kept = &other.lessons[&lessons[0].id].exits[0];
    assert_eq!((kept.right(), kept.items.len()), (3, draw::ITEMS));
    assert_eq!(Record::read(&other.write().expect("it can be written")), Ok(other.clone()));
}

#[test]
fn the_bench_waits_for_an_answer_and_the_answer_stays() {
    let lessons = lessons();
    let lesson = &lessons[0];
    let mut record = Record::new(11);
    let mut session = Session::new(&lessons, lesson, &record, 0);
    assert!(!session.locks_bench() && session.step() == Step::Opening);
    assert!(!session.is_open(2), "the question stands before the task");
    next(&mut session);
    assert!(session.locks_bench());
    session.saw(RIGHT);
    session.go(2);
    assert_eq!(session.step(), Step::Predict(0), "nothing was seen before an answer was given");
    let wrong = lesson.predicts[0].wrongs[0].id.clone();
    session.commit(&mut record, lesson, &wrong);
    session.commit(&mut record, lesson, RIGHT);
    assert!(!session.locks_bench() && !session.is_open(2));
    assert_eq!(record.lessons[&lesson.id].predicted[&lesson.predicts[0].id], wrong, "the first answer counts");
    session.saw(RIGHT);
    assert!(session.is_open(2));
    // Later the lesson goes on with what is known.
    let again = Session::new(&lessons, lesson, &record, 1);
    assert_eq!(again.predicts[0].answer.as_deref(), Some(wrong.as_str()));
    assert!(again.is_open(2) && !again.is_open(3));
    let mut sorted = session.options(&lesson.predicts[0]);
    assert_eq!(sorted, again.options(&lesson.predicts[0]), "in the same order each time");
    sorted.sort();
    let mut ids: Vec<String> = lesson.predicts[0].wrongs.iter().map(|w| w.id.clone()).chain([RIGHT.into()]).collect();
    ids.sort();
    assert_eq!(sorted, ids);
    let firsts: std::collections::BTreeSet<String> = (0..40)
        .map(|n| Session::new(&lessons, lesson, &Record::new(n), 0).options(&lesson.predicts[0]).remove(0))
        .collect();
    assert_eq!(firsts.len(), ids.len(), "every answer stands first for somebody");
}

#[test]
fn the_third_hint_is_help_and_a_task_can_be_left_or_begun_again() {
    let lessons = lessons();
    let lesson = &lessons[0];
    let mut record = Record::new(5);
    let mut session = Session::new(&lessons, lesson, &record, 0);
    next(&mut session);
    session.commit(&mut record, lesson, RIGHT);
    session.saw(RIGHT);
    next(&mut session);
    assert_eq!(session.step(), Step::Task(0));
    session.go(3);
    assert_eq!(session.step(), Step::Task(0), "it is not done yet");
    for shown in [1, 2, 3, 4, 4] {
        session.hint(&mut record, lesson, 4);
        assert_eq!(session.tasks[0].hints, shown);
    }
    session.met(&mut record, lesson);
    assert!(session.tasks[0].done && !session.tasks[0].alone);
    session.begin_again(&mut record, lesson);
    session.hint(&mut record, lesson, 4);
    session.met(&mut record, lesson);
    assert!(session.tasks[0].alone);
    let kept = record.lessons[&lesson.id].tasks[&lesson.tasks[0].id];
    assert!(kept.alone && kept.helped);
    next(&mut session);
    session.leave();
    assert_eq!(session.step(), Step::Task(2));
    assert!(session.tasks[1].left && !session.tasks[1].done);
}

#[test]
fn answers_are_judged_once_and_strange_ones_not_at_all() {
    let lessons = lessons();
    let lesson = &lessons[0];
    let mut record = Record::new(5);
    let mut session = learn(&lessons, lesson, &mut record, 0, 5);
    let before = session.exit.clone();
    session.exit_again(lesson);
    assert_eq!(session.step(), Step::Exit);
    let drawn = |session: &Session| session.exit.items.iter().map(|a| a.drawn.clone()).collect::<Vec<_>>();
    assert_ne!(drawn(&session), before.items.iter().map(|a| a.drawn.clone()).collect::<Vec<_>>(), "fresh numbers");
    let why = session.answer(&mut record, &lessons, "many").unwrap_err();
    assert!(why.contains("number") || why.contains("Choose"), "{why}");
    assert!(session.exit.now().is_some_and(|asked| asked.given.is_none()));
    let asked = session.exit.now().cloned().expect("five items");
    session.answer(&mut record, &lessons, &answer_to(&asked, &lessons, false)).expect("it can be read");
    session.answer(&mut record, &lessons, &answer_to(&asked, &lessons, true)).expect("it can be read");
    assert_eq!(session.exit.right(), 0, "the first answer stays");
    assert_eq!(record.lessons[&lesson.id].exits.len(), 1, "an unfinished check is not kept");
}
