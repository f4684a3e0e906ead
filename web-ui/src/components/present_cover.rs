//! Covers the cause and takes the flap off again.

use super::present_flap::Flap;
use crate::keys::{Deed, act};
use crate::store::cover::covered;
use crate::store::{Action, use_store};
use web_sys::HtmlInputElement;
use yew::prelude::*;

/// The row in the drawer.
#[function_component(CoverRow)]
pub fn cover_row() -> Html {
    let store = use_store();
    let covered = covered(&store);
    let hides = store.lab.0.borrow().hides();
    let onclick = {
        let store = store.clone();
        move |_: MouseEvent| act(&store, Deed::Cover)
    };
    if !covered {
        return html! {
            <p class="setting"><span class="note">{ "For a question to the room:" }</span>
                <button type="button" title="Faults, settings, dirt and words that tell the cause (c)" {onclick}>{ "Cover the cause" }</button></p>
        };
    }
    let reveal = if hides {
        html! { <span class="note">{ "Find the hidden fault, or give up." }</span> }
    } else {
        html! { <button type="button" class="solid" title="Takes the flap off (c)" {onclick}>{ "Reveal" }</button> }
    };
    html! {
        <div class="cover-row">
            <Flap what="faults, settings, dirt" />
            <ChainCover />
            <p class="setting">{ reveal }</p>
        </div>
    }
}

/// The switch for the words of the chain.
#[function_component(ChainCover)]
pub fn chain_cover() -> Html {
    let store = use_store();
    let onchange = {
        let ui = store.ui.clone();
        move |event: Event| {
            if let Some(input) = event.target_dyn_into::<HtmlInputElement>() {
                ui.dispatch(Action::CoverChain(input.checked()));
            }
        }
    };
    html! {
        <label class="switch"><input type="checkbox" checked={store.ui.cover.chain} {onchange} />{ "cover the words of broken links too" }</label>
    }
}
