//! Puts on the bench what the step of the lesson wants, and tells the lesson when a goal was met there. Shows nothing.

use crate::jobs::{Job, Jobs, Outcome, read_outcome};
use crate::store::lesson::{LessonDeed, Worked, scene_of};
use crate::store::{Action, Store, use_store};
use lessons::lesson::session::Step;
use lessons::lesson::{Lesson, Numbers};
use std::rc::Rc;
use yew::prelude::*;

/// The part without a picture.
#[function_component(LessonBench)]
pub fn lesson_bench() -> Html {
    let store = use_store();
    let learning = &store.ui.learning;
    let wanted = learning.open().and_then(|(lesson, session)| {
        let (scene, runs) = scene_of(lesson, session)?;
        let task = if let Step::Task(i) = session.step() { Some(i) } else { None };
        Some((lesson.id.clone(), scene, runs, task, session.at(), learning.fresh))
    });
    {
        let store = store.clone();
        use_effect_with(wanted, move |wanted| {
            let Some((lesson, scene, runs, task, ..)) = wanted else { return };
            let Some(lesson) = store.ui.learning.lesson(lesson) else { return };
            show(&store, lesson, scene, *runs);
            if let Some(task) = task.and_then(|i| lesson.tasks.get(i)) {
                store.change(|lab| lab.pursue(&task.goal));
            }
        });
    }
    {
        let met = store.lab.0.borrow().goal_met();
        let ui = store.ui.clone();
        use_effect_with(met, move |met| {
            if *met {
                ui.dispatch(Action::Lesson(LessonDeed::Met));
            }
        });
    }
    let mut named: Vec<String> = learning.open().map(|(lesson, _)| lesson.id.clone()).into_iter().collect();
    if let Some((_, session)) = learning.open() {
        named.extend(session.recall.items.iter().map(|asked| asked.lesson.clone()));
    }
    use_numbers(&store, named);
    Html::default()
}

/// Puts a scene of a lesson on the bench.
pub fn show(store: &Store, lesson: &Lesson, scene: &str, runs: bool) {
    let Some(found) = lesson.scenes.get(scene) else { return };
    store.change(|lab| {
        lab.load(&format!("{}-{scene}", lesson.id), found.clone());
        lab.clock.running = runs;
    });
}

/// Puts the bench of a lesson on the page, running.
pub fn bench_of(store: &Store, lesson: &Lesson) {
    show(store, lesson, &lesson.bench, true);
}

/// Sees to it that the numbers in the words of these lessons are worked out, beside the page.
#[hook]
pub fn use_numbers(store: &Store, lessons: Vec<String>) {
    let jobs = use_state(Jobs::default);
    let lessons: std::collections::BTreeSet<String> = lessons.into_iter().collect();
    let store = store.clone();
    let shelf = store.ui.learning.shelf.clone();
    use_effect_with((lessons, shelf), move |(lessons, _)| {
        for id in lessons.iter().filter(|id| store.ui.learning.numbers(id).is_none()) {
            work_out(&store, &jobs, id);
        }
    });
}

fn work_out(store: &Store, jobs: &Jobs, id: &str) {
    let Some(shelf) = &store.ui.learning.shelf else { return };
    let job = Job::Lesson { folder: id.to_owned(), files: shelf.files(id) };
    let ui = store.ui.clone();
    let done = Callback::from(move |result: Result<crate::jobs::Done, String>| {
        match result.and_then(|done| read_outcome(&done.outcome)) {
            Ok(Outcome::Lesson(found)) => {
                let numbers = Rc::new(Numbers::of_values(found.values));
                ui.dispatch(Action::Lesson(LessonDeed::Worked(Worked { lesson: found.lesson, numbers })));
            }
            Ok(_) => {}
            Err(why) => ui.dispatch(Action::Notice(why)),
        }
    });
    jobs.start(&job, Callback::noop(), done);
}
