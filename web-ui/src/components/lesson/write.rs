//! What was seen, written down before the explanation is read. It stays on this page.

use super::GoOn;
use super::words::{filled, line, marked};
use crate::store::lesson::LessonDeed;
use crate::store::{Action, use_store};
use web_sys::HtmlTextAreaElement;
use yew::prelude::*;

/// The leaf to write on.
#[function_component(SeeStep)]
pub fn see_step() -> Html {
    let store = use_store();
    let Some((lesson, session)) = store.ui.learning.open() else { return Html::default() };
    let text = lesson.text(store.ui.learning.language());
    let oninput = {
        let ui = store.ui.clone();
        move |event: InputEvent| {
            if let Some(area) = event.target_dyn_into::<HtmlTextAreaElement>() {
                ui.dispatch(Action::Lesson(LessonDeed::Seen(area.value())));
            }
        }
    };
    html! {
        <>
            <h2>{ line(text.title("see")) }</h2>
            { marked(&filled(&store, lesson, text.body("see"), None)) }
            <label class="write"><span>{ "In your own words" }</span>
                <textarea id="seen" rows="7" value={session.seen.clone()} {oninput} /></label>
            <p class="note">{ "Nobody reads this but you. It is not kept." }</p>
            <GoOn />
        </>
    }
}
