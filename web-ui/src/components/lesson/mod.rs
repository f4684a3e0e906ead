//! The lesson beside the bench: where it stands, the step that is shown, and what is still to do.

mod bench;
mod goal;
mod opening;
mod predict;
mod quiz;
mod rail;
pub mod room;
mod task;
pub mod words;
mod write;

pub use bench::{bench_of, use_numbers};

use super::drawer::Drawer;
use super::sign::Sign;
use crate::later::later_view;
use crate::store::lesson::LessonDeed;
use crate::store::{Action, Store, use_store};
use bench::LessonBench;
use goal::GoalStrip;
use lessons::lesson::session::Step;
use opening::{Ending, Opening};
use predict::PredictStep;
use quiz::QuizStep;
use rail::Rail;
use task::TaskStep;
use words::{filled, marked};
use write::SeeStep;
use yew::prelude::*;

/// A cross: put away.
const CLOSE: &str = "M3 1.6l5 5l5 -5l1.4 1.4l-5 5l5 5l-1.4 1.4l-5 -5l-5 5l-1.4 -1.4l5 -5l-5 -5z";

later_view! {
    /// [`LessonColumn`], fetched.
    pub fn lesson_later() of LessonColumn, in teach
}

/// The column; it takes the drawer's place while a lesson is open.
#[function_component(LessonColumn)]
pub fn lesson_column() -> Html {
    let store = use_store();
    let learning = &store.ui.learning;
    let Some((lesson, session)) = learning.open() else { return Html::default() };
    let title = lesson.text(store.ui.learning.language()).title("title").to_owned();
    let tab = |drawer: bool, words: &'static str| {
        let onclick = deed(&store, LessonDeed::Drawer(drawer));
        html! { <button type="button" class="view" aria-pressed={(learning.drawer == drawer).to_string()} {onclick}>{ words }</button> }
    };
    html! {
        <aside class="lesson" aria-label={format!("Lesson: {title}")}>
            <LessonBench />
            <div class="lesson-head">
                <div class="views" role="group" aria-label="Lesson or settings">{ tab(false, "Lesson") }{ tab(true, "Break and set") }</div>
                <p class="lesson-title" aria-hidden="true">{ title.clone() }</p>
                <button type="button" class="plain" aria-label="Put the lesson away" title="Put the lesson away; the record keeps how far you got" onclick={deed(&store, LessonDeed::Close)}><Sign d={CLOSE} /></button>
            </div>
            { if learning.drawer { html! { <Drawer /> } } else { html! {
                <div class="lesson-sheet" id="lesson">
                    <h1 class="lesson-title">{ title }</h1>
                    <Rail />
                    <div class="step" lang={learning.shown_in(lesson)} key={session.at()}>{ step_of(session.step()) }</div>
                </div>
            } } }
            <GoalStrip />
        </aside>
    }
}

fn step_of(step: Step) -> Html {
    match step {
        Step::Recall => {
            html! { <QuizStep title="What you learnt before" about="A few questions on earlier lessons, with fresh numbers. Remembering is what makes it stay." /> }
        }
        Step::Opening => html! { <Opening /> },
        Step::Predict(_) => html! { <PredictStep /> },
        Step::Task(_) => html! { <TaskStep /> },
        Step::See => html! { <SeeStep /> },
        Step::Why => html! { <Why /> },
        Step::Exit => {
            html! { <QuizStep title="Exit check" about="Five questions with numbers of your own. Four right answers open the next lesson." /> }
        }
        Step::End => html! { <Ending /> },
    }
}

/// A handler that does something to the lesson.
pub(super) fn deed(store: &Store, deed: LessonDeed) -> impl Fn(MouseEvent) + 'static {
    let ui = store.ui.clone();
    move |_: MouseEvent| ui.dispatch(Action::Lesson(deed.clone()))
}

/// The button that goes on to the next step, once it is open.
#[function_component(GoOn)]
pub(super) fn go_on() -> Html {
    let store = use_store();
    let Some((_, session)) = store.ui.learning.open() else { return Html::default() };
    let next = session.at() + 1;
    if !session.is_open(next) {
        return Html::default();
    }
    html! { <p class="ends"><button type="button" class="solid" id="go-on" onclick={deed(&store, LessonDeed::Go(next))}>{ "Go on" }</button></p> }
}

/// The explanation, with the words of the trade that the lesson brings.
#[function_component(Why)]
fn why() -> Html {
    let store = use_store();
    let Some((lesson, _)) = store.ui.learning.open() else { return Html::default() };
    let text = lesson.text(store.ui.learning.language());
    let terms = text.items("words");
    let term = |item: &String| {
        let (term, meaning) = lessons::lesson::text::term(item)?;
        Some(html! { <><dt translate="no">{ term.to_owned() }</dt><dd>{ words::line(meaning) }</dd></> })
    };
    html! {
        <>
            <h2>{ words::line(text.title("why")) }</h2>
            { marked(&filled(&store, lesson, text.body("why"), None)) }
            <h3>{ words::line(text.title("words")) }</h3>
            <dl class="terms">{ for terms.iter().filter_map(term) }</dl>
            <GoOn />
        </>
    }
}
