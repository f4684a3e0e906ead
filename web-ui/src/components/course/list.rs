//! The lessons in their order: what each is about, how far it has got, and what it asks for.

use crate::components::language::LanguageChoice;
use crate::keep::browser;
use crate::store::lesson::{Leaf, LessonDeed};
use crate::store::{Action, Store, room, use_store};
use lessons::lesson::Lesson;
use lessons::lesson::learner::{Gate, Mastery};
use yew::prelude::*;

/// The list.
#[function_component(LessonList)]
pub fn lesson_list() -> Html {
    let store = use_store();
    let learning = &store.ui.learning;
    let lessons = learning.lessons();
    let done = lessons.iter().filter(|lesson| learning.record.mastery(lesson) == Mastery::Mastered).count();
    // The one to go on with: begun and not finished, or the first that is open and new.
    let state = |lesson: &&Lesson| learning.record.mastery(lesson);
    let next = lessons.iter().find(|l| matches!(state(l), Mastery::Begun | Mastery::Shaky)).or_else(|| {
        lessons.iter().find(|l| state(l) == Mastery::New && learning.record.gate(l, lessons) == Gate::Open)
    });
    let due = learning.record.due(browser::today()).len();
    html! {
        <>
            <div class="course-head">
                <h2>{ "Lessons" }</h2>
                <LanguageChoice />
                <p>{ format!("{done} of {} are yours.", lessons.len()) }
                    { match due {
                        0 => "",
                        1 => " One thing that you learnt is due to be asked again; it comes at the start of the next lesson.",
                        _ => " Some things that you learnt are due to be asked again; they come at the start of the next lesson.",
                    } }</p>
            </div>
            <ol class="lessons">
                { for lessons.iter().enumerate().map(|(at, lesson)| row(&store, at, lesson, next.is_some_and(|next| next.id == lesson.id))) }
            </ol>
            <p class="note">{ "Each lesson goes the same way: you decide, you do it on the bench, it is explained, and five questions at the end show whether it stays. Write lessons of your own: a folder with a text file and scenes, dropped on this page, opens at once." }</p>
        </>
    }
}

fn row(store: &Store, at: usize, lesson: &Lesson, next: bool) -> Html {
    let learning = &store.ui.learning;
    let text = lesson.text(store.ui.learning.language());
    let mastery = learning.record.mastery(lesson);
    let gate = learning.record.gate(lesson, learning.lessons());
    let (number, _) = lesson.id.split_once('-').unwrap_or((&lesson.id, ""));
    let (sign, words) = match mastery {
        Mastery::New => ("new", "not begun"),
        Mastery::Begun => ("begun", "begun"),
        Mastery::Shaky => ("shaky", "passed; a task is still open"),
        Mastery::Mastered => ("mastered", "yours"),
    };
    let missing = match &gate {
        Gate::Open => Html::default(),
        Gate::Missing(missing) => {
            let first: Vec<&str> = missing.iter().take(2).map(|k| k.can).collect();
            let more = if missing.len() > 2 { format!(" and {} more", missing.len() - 2) } else { String::new() };
            html! { <p class="note">{ format!("Builds on: {}{more}.", first.join("; ")) }</p> }
        }
    };
    let anyway = gate != Gate::Open;
    let begin = {
        let (store, id) = (store.clone(), lesson.id.clone());
        move |_: MouseEvent| {
            // A demonstration runs as long as it says.
            store.change(|lab| lab.clock.set_pace(0));
            store.ui.dispatch(Action::Lesson(LessonDeed::Begin(id.clone(), browser::today(), anyway)));
        }
    };
    let teach = {
        let (store, id) = (store.clone(), lesson.id.clone());
        move |_: MouseEvent| {
            if let Some(lesson) = store.ui.learning.lesson(&id) {
                room::enter(&store, lesson);
            }
        }
    };
    let notes = {
        let ui = store.ui.clone();
        move |_: MouseEvent| ui.dispatch(Action::Lesson(LessonDeed::Leaf(Some(Leaf::Notes(at)))))
    };
    let button = match (mastery, anyway) {
        (_, true) => "Open anyway",
        (Mastery::New, _) => "Begin",
        (Mastery::Begun | Mastery::Shaky, _) => "Go on",
        (Mastery::Mastered, _) => "Once more",
    };
    html! {
        <li key={lesson.id.clone()} class={classes!("lesson-row", sign, next.then_some("next"))} data-lesson={number.to_owned()}>
            <span class="no">{ number.trim_start_matches('L').trim_start_matches('0').to_owned() }</span>
            <div lang={store.ui.learning.shown_in(lesson)}>
                <h3>{ text.title("title").to_owned() }</h3>
                <p>{ lesson.teaches.iter().map(|k| k.can).collect::<Vec<_>>().join("; ") }</p>
                { missing }
            </div>
            <p class="state"><span class="mark" aria-hidden="true" /><span>{ words }</span><br /><span class="note">{ format!("{:.0} min", lesson.minutes) }</span></p>
            <div class="row-ends">
                <button type="button" class={classes!(next.then_some("solid"))} onclick={begin}>{ button }</button>
                <button type="button" class="plain" title="Large, leaf by leaf, with the questions as a show of hands" onclick={teach}>{ "Teach it" }</button>
                <button type="button" class="plain" title="Notes for the instructor, sheets to print" onclick={notes}>{ "Notes, paper" }</button>
            </div>
        </li>
    }
}
