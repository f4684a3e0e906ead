//! At the next visit: the quiet offer to go on where the person was.

use crate::keep::when::Wall;
use crate::keep::{browser, names, open};
use crate::store::{Action, use_store};
use yew::prelude::*;

/// The offer, until it is taken, put away, or something else is begun.
#[function_component(KeepOffer)]
pub fn keep_offer() -> Html {
    let store = use_store();
    let offered = use_state(|| browser::shelf().and_then(|shelf| names::last(&shelf)));
    let Some((text, about)) = (*offered).clone() else { return Html::default() };
    if store.lab.0.borrow().acts() > 0 {
        return Html::default();
    }
    let words = format!("{}, {}", about.machine, Wall::of(about.saved_ms).words(&Wall::of(browser::now_ms())));
    let go_on = {
        let (store, offered) = (store.clone(), offered.clone());
        move |_: MouseEvent| {
            let (ui, offered) = (store.ui.clone(), offered.clone());
            open::bench(&store, "the last visit", text.as_bytes(), move |opened| match opened {
                Ok(()) => offered.set(None),
                // The offer stays: what was kept is still there.
                Err(why) => ui.dispatch(Action::Notice(why)),
            });
        }
    };
    let put_away = move |_: MouseEvent| offered.set(None);
    html! {
        <aside class="offer" aria-label="Last visit">
            <span>{ "Go on where you were?" }<small>{ words }</small></span>
            <button type="button" onclick={go_on}>{ "Go on" }</button>
            <button type="button" class="plain" onclick={put_away}>{ "Not now" }</button>
        </aside>
    }
}
