//! A message that waits to be read: why something was refused, and how to mend it.

use crate::store::{Action, use_store};
use yew::prelude::*;

/// The message, if there is one.
#[function_component(Notice)]
pub fn notice() -> Html {
    let store = use_store();
    let Some(text) = store.ui.notice.clone() else { return Html::default() };
    let onclick = {
        let ui = store.ui.clone();
        move |_| ui.dispatch(Action::NoticeRead)
    };
    html! {
        <div class="notice" role="alert">
            <pre>{ text }</pre>
            <button type="button" {onclick}>{ "Close" }</button>
        </div>
    }
}
