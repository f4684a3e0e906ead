//! A question: decide, watch the bench, say what it showed, then read why.

use super::GoOn;
use super::bench::show;
use super::words::{filled, line, marked};
use crate::store::lesson::LessonDeed;
use crate::store::{Action, use_store};
use lessons::lesson::session::{RIGHT, Step};
use web_sys::HtmlInputElement;
use yew::prelude::*;

/// The question that is shown.
#[function_component(PredictStep)]
pub fn predict_step() -> Html {
    let store = use_store();
    let chosen = use_state(|| None::<String>);
    let learning = &store.ui.learning;
    let Some((lesson, session)) = learning.open() else { return Html::default() };
    let Step::Predict(i) = session.step() else { return Html::default() };
    let (predict, now) = (&lesson.predicts[i], &session.predicts[i]);
    let text = lesson.text(store.ui.learning.language());
    let words = |answer: &str| line(&filled(&store, lesson, text.title(&format!("{}.{answer}", predict.id)), None));
    let options = session.options(predict);
    let row = |answer: &String| {
        let chosen_here = chosen.as_ref() == Some(answer);
        let onchange = {
            let (chosen, answer) = (chosen.clone(), answer.clone());
            move |event: Event| {
                if event.target_dyn_into::<HtmlInputElement>().is_some_and(|input| input.checked()) {
                    chosen.set(Some(answer.clone()));
                }
            }
        };
        html! {
            <label key={answer.clone()} class={classes!("answer", chosen_here.then_some("chosen"))}>
                <input type="radio" name="answer" value={answer.clone()} checked={chosen_here} {onchange} />{ words(answer) }
            </label>
        }
    };
    let commit = {
        let (ui, chosen, told) = (store.ui.clone(), chosen.clone(), now.answer.is_some());
        move |_: MouseEvent| {
            let Some(answer) = (*chosen).clone() else { return };
            ui.dispatch(Action::Lesson(if told { LessonDeed::Saw(answer) } else { LessonDeed::Commit(answer) }));
            chosen.set(None);
        }
    };
    let again = {
        let (store, id, scene) = (store.clone(), lesson.id.clone(), predict.show.clone());
        move |_: MouseEvent| {
            if let Some(lesson) = store.ui.learning.lesson(&id) {
                show(&store, lesson, &scene, true);
            }
        }
    };
    let ask = |legend: String, button: &'static str| {
        html! {
            <>
                <fieldset class="answers"><legend>{ legend }</legend>{ for options.iter().map(row) }</fieldset>
                <p class="ends"><button type="button" class="solid" id="commit" disabled={chosen.is_none()} onclick={commit.clone()}>{ button }</button></p>
            </>
        }
    };
    let title = line(text.title(&predict.id));
    match (&now.answer, &now.seen) {
        (None, _) => html! {
            <>
                <h2>{ title }</h2>
                { marked(&filled(&store, lesson, text.body(&predict.id), None)) }
                { ask("Your answer".to_owned(), "This is my answer") }
                <p class="note">{ "The bench waits until you have decided. A wrong answer costs nothing; not deciding costs the lesson." }</p>
            </>
        },
        (Some(answer), None) => html! {
            <>
                <h2>{ title }</h2>
                <p class="told"><span class="note">{ "You said" }</span><br />{ words(answer) }</p>
                <p>{ "Watch the bench. Slow it down, step through it, look at every instrument." }</p>
                <p><button type="button" onclick={again}>{ "Show it again" }</button></p>
                { ask("What did the bench show?".to_owned(), "This is what I saw") }
            </>
        },
        (Some(answer), Some(seen)) => {
            let part = |answer: &str| format!("{}.{answer}", predict.id);
            let wrong = predict.wrongs.iter().find(|wrong| wrong.id == *answer);
            let watch = wrong.and_then(|wrong| wrong.show.clone()).map(|scene| {
                let (store, id) = (store.clone(), lesson.id.clone());
                move |_: MouseEvent| {
                    if let Some(lesson) = store.ui.learning.lesson(&id) {
                        show(&store, lesson, &scene, true);
                    }
                }
            });
            html! {
                <>
                    <h2>{ title }</h2>
                    { if answer == RIGHT { html! { <p class="told right"><b>{ "You decided rightly." }</b></p> } } else { html! {
                        <div class="told wrong">
                            <p><span class="note">{ "You said" }</span><br /><b>{ words(answer) }</b></p>
                            { marked(&filled(&store, lesson, text.body(&part(answer)), None)) }
                            { for watch.map(|onclick| html! { <p><button type="button" id="watch" {onclick}>{ "Watch it on the bench" }</button></p> }) }
                        </div>
                    } } }
                    { if seen != RIGHT { html! { <p>{ "The bench showed something else than you saw. That happens to many; look once more." }</p> } } else { Html::default() } }
                    <h3>{ words(RIGHT) }</h3>
                    { marked(&filled(&store, lesson, text.body(&part(RIGHT)), None)) }
                    <p><button type="button" class="plain" onclick={again}>{ "Show it again" }</button></p>
                    <GoOn />
                </>
            }
        }
    }
}
