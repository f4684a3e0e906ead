//! An instructor's own call: what is broken on the bench now, handed out by link.

use super::go;
use crate::components::keep_code::KeepCode;
use crate::keep::browser;
use crate::store::{Action, use_store};
use web_sys::{HtmlInputElement, HtmlTextAreaElement};
use yew::prelude::*;

/// The box.
#[function_component(HideBox)]
pub fn hide_box() -> Html {
    let store = use_store();
    let (title, order) = (use_node_ref(), use_node_ref());
    let letters = use_state(|| None::<String>);
    let faults = store.lab.0.borrow().sim().faults().len();
    let make = {
        let (store, title, order, letters) = (store.clone(), title.clone(), order.clone(), letters.clone());
        move |_: MouseEvent| {
            let title = title.cast::<HtmlInputElement>().map(|input| input.value()).unwrap_or_default();
            let order = order.cast::<HtmlTextAreaElement>().map(|area| area.value()).unwrap_or_default();
            let letters = letters.clone();
            go::hide(&store, title, order, move |made| letters.set(Some(made)));
        }
    };
    let link = letters.as_ref().map(|letters| {
        let address = go::address_of(letters);
        let copy = {
            let (ui, address) = (store.ui.clone(), address.clone());
            move |_: MouseEvent| {
                let (ui, address) = (ui.clone(), address.clone());
                wasm_bindgen_futures::spawn_local(async move {
                    let said = if browser::copy(address).await { "The link is copied." } else { "The browser does not let the page copy: select the link and press Ctrl and C." };
                    ui.dispatch(Action::Notice(said.to_owned()));
                });
            }
        };
        html! {
            <div class="with-code">
                <div class="grow">
                    <textarea id="call-address" class="address" readonly=true rows="4" aria-label="Link" value={address.clone()} />
                    <p class="ends"><button type="button" onclick={copy}>{ "Copy the link" }</button></p>
                </div>
                <KeepCode {address} title="A call-out" />
            </div>
        }
    });
    html! {
        <section class="order-box">
            <h3>{ "For instructors: hide what is broken on the bench" }</h3>
            <p>{ match faults {
                0 => "Nothing is broken on the bench now. Break something there first.".to_owned(),
                1 => "One fault is in on the bench now. It becomes a call; the link does not tell it.".to_owned(),
                n => format!("{n} faults are in on the bench now. They become one call; the link does not tell them."),
            } }</p>
            <label class="write"><span>{ "What the call is named (may stay empty)" }</span><input ref={title} id="hide-title" type="text" maxlength="80" /></label>
            <label class="write"><span>{ "What the office writes (may stay empty: then it is what the machine shows)" }</span><textarea ref={order} id="hide-order" rows="2" maxlength="600" /></label>
            <p class="ends"><button type="button" id="hide-go" disabled={faults == 0 || store.ui.calls.busy.is_some()} onclick={make}>{ "Make a link of it" }</button></p>
            { link.unwrap_or_default() }
        </section>
    }
}
