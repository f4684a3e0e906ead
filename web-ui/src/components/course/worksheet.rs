//! A lesson on paper: a sheet to write on, and its key.

use crate::components::lesson::words::{filled, line, marked};
use crate::components::paper::Paper;
use crate::keep::worksheet::{machine, pictures, seed_of};
use crate::store::{Store, use_store};
use lessons::lesson::Lesson;
use lessons::lesson::draw::{self, Item};
use lessons::lesson::model::ExitKind;
use lessons::lesson::session::{RIGHT, options};
use yew::prelude::*;

/// Properties of [`Worksheet`] and [`Key`].
#[derive(Properties, PartialEq)]
pub struct Props {
    /// Id of the lesson.
    pub lesson: String,
    /// Letter of the variant.
    pub variant: char,
}

fn head(store: &Store, lesson: &Lesson, variant: char, what: &str) -> Html {
    let number = lesson.id.split('-').next().unwrap_or_default();
    html! {
        <header>
            <h1>{ lesson.text(store.ui.learning.language()).title("title").to_owned() }</h1>
            <dl class="block">
                <div><dt>{ "Lesson" }</dt><dd>{ number.to_owned() }</dd></div>
                <div><dt>{ "Sheet" }</dt><dd>{ what.to_owned() }</dd></div>
                <div><dt>{ "Variant" }</dt><dd>{ format!("{number}-{variant}, version {}", lesson.version) }</dd></div>
                <div class="wide-cell"><dt>{ "Name" }</dt><dd>{ "\u{a0}" }</dd></div>
                <div><dt>{ "Date" }</dt><dd>{ "\u{a0}" }</dd></div>
            </dl>
        </header>
    }
}

/// Lines to write on.
fn lines(count: usize) -> Html {
    html! { <div class="lines">{ for (0..count).map(|_| html! { <div /> }) }</div> }
}

/// Answers of an item to choose from, as boxes.
fn choices(store: &Store, lesson: &Lesson, item: &Item<'_>) -> Html {
    let ExitKind::Choice(options) = &item.exit.kind else { return Html::default() };
    let text = lesson.text(store.ui.learning.language());
    let words = |id: &str| filled(store, lesson, text.title(&format!("{}.{id}", item.exit.id)), Some(item));
    html! { <ul class="boxes">{ for options.iter().map(|(option, _)| html! { <li>{ words(&option.id) }</li> }) }</ul> }
}

/// The sheet to write on.
#[function_component(Worksheet)]
pub fn worksheet(props: &Props) -> Html {
    let store = use_store();
    let Some(lesson) = store.ui.learning.lesson(&props.lesson) else { return Html::default() };
    let text = lesson.text(store.ui.learning.language());
    let seed = seed_of(props.variant);
    let put = |words: &str| filled(&store, lesson, words, None);
    let drawing = machine(lesson).map(|drawing| AttrValue::from(drawing.inside("machine")));
    let question = |(i, predict): (usize, &lessons::lesson::Predict)| {
        let ids = options(&lesson.id, predict, seed);
        html! {
            <section>
                <h2>{ format!("Question {}. {}", i + 1, put(text.title(&predict.id))) }</h2>
                { marked(&put(text.body(&predict.id))) }
                <ul class="boxes">{ for ids.iter().map(|id| html! { <li>{ put(text.title(&format!("{}.{id}", predict.id))) }</li> }) }</ul>
                <p class="ask">{ "Why do you think so?" }</p>{ lines(2) }
            </section>
        }
    };
    let task = |(i, task): (usize, &lessons::lesson::Task)| {
        html! {
            <section>
                <h2>{ format!("Task {}. {}", i + 1, put(text.title(&task.id))) }</h2>
                { marked(&put(text.body(&task.id))) }
                <p class="ask">{ "What I did, and what I measured" }</p>{ lines(3) }
            </section>
        }
    };
    let item = |(i, item): (usize, Item<'_>)| {
        let unit = match &item.exit.kind {
            ExitKind::Number { unit, .. } => Some(unit.name),
            ExitKind::Choice(_) => None,
        };
        html! {
            <section>
                <h2>{ format!("{}. {}", i + 1, filled(&store, lesson, text.title(&item.exit.id), Some(&item))) }</h2>
                { marked(&filled(&store, lesson, text.body(&item.exit.id), Some(&item))) }
                { choices(&store, lesson, &item) }
                { for unit.map(|unit| html! { <><p class="ask">{ "Working" }</p>{ lines(2) }<p class="answer-line">{ format!("Answer: ______________ {unit}") }</p></> }) }
            </section>
        }
    };
    html! {
        <Paper><article class="report worksheet" lang={store.ui.learning.shown_in(lesson)}>
            { head(&store, lesson, props.variant, "to write on") }
            { marked(&put(text.body("title"))) }
            { for drawing.map(|drawing| html! { <figure>{ Html::from_html_unchecked(drawing) }</figure> }) }
            { for lesson.predicts.iter().enumerate().map(question) }
            { for lesson.tasks.iter().enumerate().map(task) }
            <section><h2>{ put(text.title("see")) }</h2>{ marked(&put(text.body("see"))) }{ lines(4) }</section>
            <h2 class="part">{ "Exit check" }</h2>
            { for draw::items(lesson, seed, 0).into_iter().enumerate().map(item) }
            <footer>{ "Countlight: a computed bench for learning. Its machines exist only there. On a real machine defer to local codes, the maker's manual and licensed practice." }</footer>
        </article></Paper>
    }
}

/// The key of a sheet.
#[function_component(Key)]
pub fn key(props: &Props) -> Html {
    let store = use_store();
    let Some(lesson) = store.ui.learning.lesson(&props.lesson) else { return Html::default() };
    let text = lesson.text(store.ui.learning.language());
    let put = |words: &str| filled(&store, lesson, words, None);
    let question = |(i, predict): (usize, &lessons::lesson::Predict)| {
        let part = |id: &str| format!("{}.{id}", predict.id);
        html! {
            <section>
                <h2>{ format!("Question {}. {}", i + 1, put(text.title(&predict.id))) }</h2>
                <p><b>{ put(text.title(&part(RIGHT))) }</b></p>
                { marked(&put(text.body(&part(RIGHT)))) }
                <table><thead><tr><th>{ "Wrong answer" }</th><th>{ "Belief behind it" }</th><th>{ "What to say" }</th></tr></thead><tbody>
                    { for predict.wrongs.iter().map(|wrong| html! { <tr>
                        <td>{ put(text.title(&part(&wrong.id))) }</td>
                        <td>{ wrong.believes.map_or("", |belief| belief.belief) }</td>
                        <td>{ line(&put(text.body(&part(&wrong.id)))) }</td>
                    </tr> }) }
                </tbody></table>
            </section>
        }
    };
    let task = |(i, task): (usize, &lessons::lesson::Task)| {
        let hints = text.items(&format!("{}.hints", task.id));
        html! {
            <section>
                <h2>{ format!("Task {}. {}", i + 1, put(text.title(&task.id))) }</h2>
                <p>{ for hints.last().map(|hint| line(&put(hint))) }</p>
                <p class="note">{ "Done when: " }{ task.goal.text.clone() }</p>
            </section>
        }
    };
    let item = |(i, item): (usize, Item<'_>)| {
        let right = match (&item.exit.kind, item.right_option()) {
            (ExitKind::Choice(_), Some(id)) => {
                filled(&store, lesson, text.title(&format!("{}.{id}", item.exit.id)), Some(&item))
            }
            (ExitKind::Number { unit, .. }, _) => {
                format!("{} {}", filled(&store, lesson, "{answer:4}", Some(&item)), unit.name)
            }
            _ => String::new(),
        };
        html! {
            <section>
                <h2>{ format!("{}. {}", i + 1, filled(&store, lesson, text.title(&item.exit.id), Some(&item))) }</h2>
                <p><b>{ right }</b></p>
                { marked(&filled(&store, lesson, text.body(&format!("{}.answer", item.exit.id)), Some(&item))) }
            </section>
        }
    };
    html! {
        <Paper><article class="report worksheet" lang={store.ui.learning.shown_in(lesson)}>
            { head(&store, lesson, props.variant, "key, for the instructor") }
            { for lesson.predicts.iter().enumerate().map(question) }
            { for pictures(lesson).into_iter().map(|(title, text)| html! { <figure><figcaption>{ title }</figcaption>{ Html::from_html_unchecked(AttrValue::from(text)) }</figure> }) }
            { for lesson.tasks.iter().enumerate().map(task) }
            <h2 class="part">{ "Exit check" }</h2>
            { for draw::items(lesson, seed_of(props.variant), 0).into_iter().enumerate().map(item) }
            <footer>{ "Pictures and numbers are computed by the model." }</footer>
        </article></Paper>
    }
}
