//! The choice of the page's language, each named by itself.

use crate::components::choice::Choice;
use crate::store::Action;
use crate::store::lesson::{LANGUAGES, LessonDeed};
use crate::store::use_store;
use yew::prelude::*;

/// The choice.
#[function_component(LanguageChoice)]
pub fn language_choice() -> Html {
    let store = use_store();
    let options: Vec<(AttrValue, AttrValue)> =
        LANGUAGES.iter().enumerate().map(|(at, (_, name))| (at.to_string().into(), (*name).into())).collect();
    let onchoose = {
        let ui = store.ui.clone();
        Callback::from(move |at: AttrValue| {
            if let Ok(at) = at.parse::<usize>() {
                crate::web::keep("language", LANGUAGES.get(at).map_or("en", |(sign, _)| sign));
                ui.dispatch(Action::Lesson(LessonDeed::Language(at)));
            }
        })
    };
    let value = store.ui.learning.language.to_string();
    html! { <div class="setting"><span>{ "Language" }</span><Choice label="Language" {options} {value} {onchoose} /></div> }
}
