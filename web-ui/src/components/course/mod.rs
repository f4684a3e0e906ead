//! The course over the whole sheet: the lessons, what the learner can do, the words of the trade, the class.

mod class;
mod list;
mod map;
mod notes;
mod terms;
mod worksheet;

use crate::later::later_view;
use crate::store::lesson::{Leaf, LessonDeed, shipped_later};
use crate::store::{Action, Store, use_store};
use class::ClassLeaf;
use list::LessonList;
use map::RecordLeaf;
use notes::NotesLeaf;
use terms::TermsLeaf;
use yew::prelude::*;

/// Opens a leaf of the course, reading the lessons first if nobody has.
pub fn open(store: &Store, leaf: Leaf) {
    let ui = store.ui.clone();
    if ui.learning.shelf.is_some() {
        return ui.dispatch(Action::Lesson(LessonDeed::Leaf(Some(leaf))));
    }
    wasm_bindgen_futures::spawn_local(async move {
        match shipped_later().await.map_err(|missing| missing.to_string()).flatten() {
            Ok(shelf) => {
                ui.dispatch(Action::Lesson(LessonDeed::Shelve(shelf)));
                ui.dispatch(Action::Lesson(LessonDeed::Leaf(Some(leaf))));
            }
            Err(why) => ui.dispatch(Action::Notice(why)),
        }
    });
}

later_view! {
    /// [`Course`], fetched.
    pub fn course_later() of Course, in teach
}

/// The leaf that lies over the sheet.
#[function_component(Course)]
pub fn course() -> Html {
    let store = use_store();
    let learning = &store.ui.learning;
    let Some(leaf) = learning.leaf else { return Html::default() };
    let tab = |(of, words): &(Leaf, &'static str)| {
        let ui = store.ui.clone();
        let of = *of;
        let onclick = move |_: MouseEvent| ui.dispatch(Action::Lesson(LessonDeed::Leaf(Some(of))));
        html! { <button type="button" class="view" aria-pressed={(leaf == of).to_string()} {onclick}>{ *words }</button> }
    };
    let back = {
        let ui = store.ui.clone();
        move |_: MouseEvent| ui.dispatch(Action::Lesson(LessonDeed::Leaf(None)))
    };
    html! {
        <>
            <header class="head">
                <h1>{ "Countlight" }</h1>
                <div class="views" role="group" aria-label="Course">{ for Leaf::ALL.iter().map(tab) }</div>
                <button type="button" class="solid" id="to-bench" onclick={back}>{ "To the bench" }</button>
            </header>
            <div class="course" >
                { match leaf {
                    Leaf::Lessons => html! { <LessonList /> },
                    Leaf::Record => html! { <RecordLeaf /> },
                    Leaf::Notes(at) => html! { <NotesLeaf {at} /> },
                    Leaf::Words => html! { <TermsLeaf /> },
                    Leaf::Class => html! { <ClassLeaf /> },
                } }
            </div>
        </>
    }
}
