//! The switch that lays the healthy bench under the broken one in every instrument.

use crate::store::use_store;
use yew::prelude::*;

/// The switch.
#[function_component(InstrumentCompare)]
pub fn instrument_compare() -> Html {
    let store = use_store();
    let on = store.lab.0.borrow().instruments().settings.compare;
    let onclick = {
        let store = store.clone();
        move |_: MouseEvent| store.change(|lab| lab.instruments_mut().settings.compare = !on)
    };
    html! {
        <button
            type="button" class="plain compare" aria-pressed={if on { "true" } else { "false" }} {onclick}
            title="Dashed under the picture: the healthy bench doing the same"
        >{ "healthy" }</button>
    }
}
