//! The first and the last leaf of a lesson: what it is about, and what was reached.

use super::words::{filled, marked};
use super::{GoOn, deed};
use crate::keep::browser;
use crate::store::lesson::{Leaf, LessonDeed};
use crate::store::use_store;
use lessons::lesson::draw::ENOUGH;
use lessons::lesson::learner::Mastery;
use yew::prelude::*;

/// What it is about.
#[function_component(Opening)]
pub fn opening() -> Html {
    let store = use_store();
    let Some((lesson, _)) = store.ui.learning.open() else { return Html::default() };
    let text = lesson.text(store.ui.learning.language());
    html! {
        <>
            <h2>{ text.title("title").to_owned() }</h2>
            { marked(&filled(&store, lesson, text.body("title"), None)) }
            <h3>{ "When it is done, you can do this" }</h3>
            <ul>{ for lesson.teaches.iter().map(|k| html! { <li>{ k.can }</li> }) }</ul>
            <p class="note">{ format!("About {:.0} minutes. First you decide, then you do it on the bench, then it is explained.", lesson.minutes) }</p>
            <GoOn />
        </>
    }
}

/// What was reached.
#[function_component(Ending)]
pub fn ending() -> Html {
    let store = use_store();
    let learning = &store.ui.learning;
    let Some((lesson, session)) = learning.open() else { return Html::default() };
    let mastery = learning.record.mastery(lesson);
    let right = session.exit.right();
    let open: Vec<usize> = (0..session.tasks.len()).filter(|i| !session.tasks[*i].alone).collect();
    let step_at = |i: usize| {
        session.steps().iter().position(|step| *step == lessons::lesson::session::Step::Task(i)).unwrap_or(0)
    };
    let at = learning.lessons().iter().position(|other| other.id == lesson.id);
    let next = at.and_then(|at| learning.lessons().get(at + 1));
    let said = match mastery {
        Mastery::Mastered => "You can do this. It will be asked again in some days, so that it stays.",
        Mastery::Shaky => {
            "The exit check is passed. A task is still open, or was done with help: do it once more without, and it is yours."
        }
        Mastery::New | Mastery::Begun => {
            "Not there yet. Read what was wrong, try it on the bench, then take the check again: the numbers will be others."
        }
    };
    html! {
        <>
            <h2>{ format!("{right} of {} right", session.exit.items.len()) }</h2>
            <p>{ said }</p>
            <ul class="can">{ for lesson.teaches.iter().map(|k| html! { <li>{ k.can }</li> }) }</ul>
            { for open.iter().map(|i| html! {
                <p><button type="button" onclick={deed(&store, LessonDeed::Go(step_at(*i)))}>{ format!("Task {} without help", i + 1) }</button></p>
            }) }
            <p class="ends">
                { if right < ENOUGH { html! { <button type="button" class="solid" onclick={deed(&store, LessonDeed::ExitAgain)}>{ "Take the check again" }</button> } } else { match next {
                    Some(next) => html! { <button type="button" class="solid" id="next-lesson" onclick={deed(&store, LessonDeed::Begin(next.id.clone(), browser::today(), false))}>{ format!("Next: {}", next.text(store.ui.learning.language()).title("title")) }</button> },
                    None => Html::default(),
                } } }
                <button type="button" onclick={deed(&store, LessonDeed::Leaf(Some(Leaf::Lessons)))}>{ "All lessons" }</button>
            </p>
        </>
    }
}
