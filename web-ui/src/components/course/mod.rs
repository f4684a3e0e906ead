//! The course over the whole sheet: the lessons, what the learner can do, the words of the trade, the class.

mod class;
mod list;
mod map;
mod notes;
mod terms;
mod worksheet;

use crate::store::lesson::{Leaf, LessonDeed, Shelf};
use crate::store::{Action, Store, use_store};
use class::ClassLeaf;
use list::LessonList;
use map::RecordLeaf;
use notes::NotesLeaf;
use terms::TermsLeaf;
use yew::prelude::*;

/// Opens a leaf of the course, reading the lessons first if nobody has.
pub fn open(store: &Store, leaf: Leaf) {
    if store.ui.learning.shelf.is_none() {
        match Shelf::shipped() {
            Ok(shelf) => store.ui.dispatch(Action::Lesson(LessonDeed::Shelve(shelf))),
            Err(why) => return store.ui.dispatch(Action::Notice(why)),
        }
    }
    store.ui.dispatch(Action::Lesson(LessonDeed::Leaf(Some(leaf))));
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
