//! Destinations on a phone.

use crate::layout::Layout;
use crate::store::{Action, Page, use_store};
use yew::prelude::*;

/// The row at the bottom of a phone's screen; hidden on larger ones.
#[function_component(Tabs)]
pub fn tabs() -> Html {
    let store = use_store();
    let lesson = store.ui.learning.session.is_some();
    let shown = Page::ALL.iter().filter(|(page, ..)| lesson || *page != Page::Lesson);
    let buttons = shown.map(|(page, _, name)| {
        let pressed = if *page == store.ui.page && store.ui.layout == Layout::default() { "true" } else { "false" };
        let onclick = {
            let (ui, page) = (store.ui.clone(), *page);
            move |_| ui.dispatch(Action::Go(page))
        };
        html! { <button type="button" aria-pressed={pressed} {onclick}>{ *name }</button> }
    });
    html! { <nav class="tabs" aria-label="Parts of the bench">{ for buttons }</nav> }
}
