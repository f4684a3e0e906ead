//! Items with numbers of the learner's own: asked one by one, answered once, explained at once.

use super::bench::show;
use super::words::{filled, line, marked};
use super::{GoOn, deed};
use crate::store::lesson::LessonDeed;
use crate::store::{Action, Store, use_store};
use lessons::lesson::Lesson;
use lessons::lesson::draw::Item;
use lessons::lesson::model::ExitKind;
use lessons::lesson::session::Asked;
use web_sys::HtmlInputElement;
use yew::prelude::*;

/// Properties of [`QuizStep`].
#[derive(Properties, PartialEq)]
pub struct Props {
    /// Its heading.
    pub title: &'static str,
    /// What it is about.
    pub about: &'static str,
}

/// The row of items.
#[function_component(QuizStep)]
pub fn quiz_step(props: &Props) -> Html {
    let store = use_store();
    let typed = use_node_ref();
    let chosen = use_state(|| None::<String>);
    let learning = &store.ui.learning;
    let Some((_, session)) = learning.open() else { return Html::default() };
    let Some(quiz) = session.quiz() else { return Html::default() };
    let Some(asked) = quiz.now() else { return Html::default() };
    let Some((lesson, item)) = asked.of(learning.lessons()) else { return Html::default() };
    let text = lesson.text(store.ui.learning.language());
    let send = {
        let (ui, typed, chosen) = (store.ui.clone(), typed.clone(), chosen.clone());
        Callback::from(move |()| {
            let text = typed.cast::<HtmlInputElement>().map(|input| input.value());
            let answer = text.or_else(|| (*chosen).clone()).unwrap_or_default();
            ui.dispatch(Action::Lesson(LessonDeed::Answer(answer)));
        })
    };
    let onsubmit = {
        let send = send.clone();
        move |event: SubmitEvent| {
            event.prevent_default();
            send.emit(());
        }
    };
    let choose = {
        let chosen = chosen.clone();
        move |event: Event| {
            if let Some(input) = event.target_dyn_into::<HtmlInputElement>() {
                chosen.set(Some(input.value()));
            }
        }
    };
    let field = match &item.exit.kind {
        ExitKind::Number { unit, .. } => html! {
            <label class="setting field answer-field"><span>{ "Your answer" }</span>
                <span><input ref={typed} id="answer" type="text" inputmode="decimal" autocomplete="off" key={quiz.at} />{ format!(" {}", unit.shown()) }</span></label>
        },
        ExitKind::Choice(_) => {
            let options = asked.options(learning.lessons(), learning.record.learner);
            let row = |id: &String| {
                html! {
                    <label key={id.clone()} class={classes!("answer", (chosen.as_ref() == Some(id)).then_some("chosen"))}>
                        <input type="radio" name="item" value={id.clone()} checked={chosen.as_ref() == Some(id)} onchange={choose.clone()} />
                        { line(&filled(&store, lesson, text.title(&format!("{}.{id}", item.exit.id)), Some(&item))) }
                    </label>
                }
            };
            html! { <fieldset class="answers"><legend>{ "Your answer" }</legend>{ for options.iter().map(row) }</fieldset> }
        }
    };
    let next = (0..quiz.items.len()).find(|i| *i > quiz.at && quiz.items[*i].given.is_none());
    let dots = quiz.items.iter().enumerate().map(|(i, asked)| {
        let words = match &asked.given {
            None => "open",
            Some(given) if given.right => "right",
            Some(_) => "wrong",
        };
        html! { <li class={classes!(words, (i == quiz.at).then_some("here"))} title={format!("{}: {words}", i + 1)}>{ i + 1 }</li> }
    });
    html! {
        <>
            <h2>{ props.title }</h2>
            { if quiz.at == 0 && asked.given.is_none() { html! { <p class="note">{ props.about }</p> } } else { Html::default() } }
            <ol class="items" aria-label="Items">{ for dots }</ol>
            <h3>{ line(&filled(&store, lesson, text.title(&item.exit.id), Some(&item))) }</h3>
            { marked(&filled(&store, lesson, text.body(&item.exit.id), Some(&item))) }
            { match &asked.given {
                None => html! {
                    <form {onsubmit}>
                        { field }
                        { for learning.said.as_ref().map(|said| html! { <p class="refused" role="alert">{ said.clone() }</p> }) }
                        <p class="ends"><button type="submit" class="solid" id="commit">{ "This is my answer" }</button></p>
                    </form>
                },
                Some(_) => html! {
                    <>
                        { explained(&store, lesson, &item, asked) }
                        { match next {
                            Some(next) => html! { <p class="ends"><button type="button" class="solid" id="next-item" onclick={deed(&store, LessonDeed::Item(next))}>{ "Next question" }</button></p> },
                            None => html! { <GoOn /> },
                        } }
                    </>
                },
            } }
        </>
    }
}

/// What is said to an answer: whether it was right, what the wrong one overlooks, and how the right one comes about.
fn explained(store: &Store, lesson: &Lesson, item: &Item<'_>, asked: &Asked) -> Html {
    let Some(given) = &asked.given else { return Html::default() };
    let text = lesson.text(store.ui.learning.language());
    let id = &item.exit.id;
    let said = match &item.exit.kind {
        ExitKind::Number { unit, .. } => format!("{} {}", given.text, unit.shown()),
        ExitKind::Choice(_) => filled(store, lesson, text.title(&format!("{id}.{}", given.text)), Some(item)),
    };
    let lessons = store.ui.learning.lessons();
    let hit = asked.hit(lessons);
    let body = hit.map(|wrong| filled(store, lesson, text.body(&format!("{id}.{}", wrong.id)), Some(item)));
    let watch = hit.and_then(|wrong| wrong.show.clone()).map(|scene| {
        let (store, lesson) = (store.clone(), lesson.id.clone());
        move |_: MouseEvent| {
            if let Some(lesson) = store.ui.learning.lesson(&lesson) {
                show(&store, lesson, &scene, true);
            }
        }
    });
    let way = filled(store, lesson, text.body(&format!("{id}.answer")), Some(item));
    html! {
        <div class={classes!("told", if given.right { "right" } else { "wrong" })} role="status">
            <p><span class="note">{ "You said" }</span><br /><b translate="no">{ said }</b>{ if given.right { ": right." } else { ": not right." } }</p>
            { for body.map(|words| marked(&words)) }
            { for watch.map(|onclick| html! { <p><button type="button" id="watch" {onclick}>{ "Watch it on the bench" }</button></p> }) }
            { marked(&way) }
        </div>
    }
}
