//! A task: what is to be done on the bench, and hints one at a time.

use super::deed;
use super::words::{filled, line, marked};
use crate::store::lesson::LessonDeed;
use crate::store::use_store;
use lessons::lesson::learner::HELP_FROM;
use lessons::lesson::session::Step;
use yew::prelude::*;

/// What the rungs of the ladder are.
const RUNGS: [&str; 4] = ["Where to look", "What to compare", "The principle", "The step"];

/// The task that is shown.
#[function_component(TaskStep)]
pub fn task_step() -> Html {
    let store = use_store();
    let learning = &store.ui.learning;
    let Some((lesson, session)) = learning.open() else { return Html::default() };
    let Step::Task(i) = session.step() else { return Html::default() };
    let (task, now) = (&lesson.tasks[i], &session.tasks[i]);
    let text = lesson.text(store.ui.learning.language());
    let hints = text.items(&format!("{}.hints", task.id));
    let caution = text.get(&format!("{}.caution", task.id)).map(|block| filled(&store, lesson, &block.body, None));
    let done = text
        .get(&format!("{}.done", task.id))
        .filter(|_| now.done)
        .map(|block| filled(&store, lesson, &block.body, None));
    let rung = |n: usize| RUNGS.get(n).copied().unwrap_or("Hint");
    html! {
        <>
            <h2>{ line(&filled(&store, lesson, text.title(&task.id), None)) }</h2>
            { marked(&filled(&store, lesson, text.body(&task.id), None)) }
            { for caution.map(|words| html! { <div class="caution-box"><h3>{ "Take care" }</h3>{ marked(&words) }</div> }) }
            { for done.map(|words| html! { <div class="told right">{ marked(&words) }</div> }) }
            { if now.done && !now.alone { html! { <p class="told">{ "Done with help. Begin afresh and do it without: then it is yours." }</p> } } else { Html::default() } }
            <ol class="hints">
                { for hints.iter().take(now.hints).enumerate().map(|(n, hint)| html! { <li key={n}><b>{ rung(n) }</b><br />{ line(&filled(&store, lesson, hint, None)) }</li> }) }
            </ol>
            { if now.hints < hints.len() && !now.done { html! {
                <p>
                    <button type="button" id="hint" onclick={deed(&store, LessonDeed::Hint(hints.len()))}>{ format!("Hint: {}", rung(now.hints).to_lowercase()) }</button>
                    { if now.hints + 1 == HELP_FROM as usize { html! { <span class="note">{ " From here on it counts as done with help." }</span> } } else { Html::default() } }
                </p>
            } } else { Html::default() } }
        </>
    }
}
