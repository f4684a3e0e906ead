//! The rail of a lesson: its steps in a row; those that are open can be gone to.

use super::deed;
use crate::components::poll_row::CHECK;
use crate::components::sign::Sign;
use crate::store::lesson::LessonDeed;
use crate::store::use_store;
use lessons::lesson::session::Step;
use yew::prelude::*;

/// The rail.
#[function_component(Rail)]
pub fn rail() -> Html {
    let store = use_store();
    let Some((_, session)) = store.ui.learning.open() else { return Html::default() };
    let steps = session.steps().iter().enumerate().map(|(at, step)| {
        let (open, here) = (session.is_open(at), session.at() == at);
        let done = at < session.at() && session.is_done(*step);
        let name = name_of(*step);
        html! {
            <li key={at} class={classes!(here.then_some("here"), done.then_some("done"))}>
                <button type="button" class="plain" disabled={!open} aria-current={here.then_some("step")} title={name.clone()} onclick={deed(&store, LessonDeed::Go(at))}>
                    { if done { html! { <Sign d={CHECK} /> } } else { html! { <span class="dot" /> } } }
                    <span class={if here { "" } else { "unseen" }}>{ name }</span>
                </button>
            </li>
        }
    });
    html! { <nav class="rail" aria-label="Steps of the lesson"><ol>{ for steps }</ol></nav> }
}

fn name_of(step: Step) -> String {
    match step {
        Step::Recall => "Before".to_owned(),
        Step::Opening => "What it is about".to_owned(),
        Step::Predict(i) => format!("Question {}", i + 1),
        Step::Task(i) => format!("Task {}", i + 1),
        Step::See => "What you saw".to_owned(),
        Step::Why => "Why".to_owned(),
        Step::Exit => "Exit check".to_owned(),
        Step::End => "Done".to_owned(),
    }
}
