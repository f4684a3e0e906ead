//! The list of keys, and the switch for those of one character.

use crate::keys::KEYS;
use crate::later::later_view;
use crate::store::{Action, use_store};
use web_sys::{HtmlDialogElement, HtmlInputElement};
use yew::prelude::*;

later_view! {
    /// [`Help`], fetched.
    pub fn help_later() of Help, in desk
}

/// The dialog; open while the store says so.
#[function_component(Help)]
pub fn help() -> Html {
    let store = use_store();
    let node = use_node_ref();
    {
        let node = node.clone();
        use_effect_with(store.ui.help, move |open| {
            let Some(dialog) = node.cast::<HtmlDialogElement>() else { return };
            if *open && !dialog.open() {
                let _ = dialog.show_modal();
            } else if !*open && dialog.open() {
                dialog.close();
            }
        });
    }
    let close = {
        let ui = store.ui.clone();
        move || ui.dispatch(Action::Help(false))
    };
    let (onclose, onclick) = {
        let again = close.clone();
        (move |_: Event| close(), move |_: MouseEvent| again())
    };
    let single = {
        let ui = store.ui.clone();
        move |event: Event| {
            if let Some(input) = event.target_dyn_into::<HtmlInputElement>() {
                crate::web::keep("single-keys", if input.checked() { "on" } else { "off" });
                ui.dispatch(Action::SingleKeys(input.checked()));
            }
        }
    };
    let tour = {
        let store = store.clone();
        move |_: MouseEvent| super::tour::start(&store)
    };
    html! {
        <dialog ref={node} class="help" aria-labelledby="help-title" {onclose}>
            <h2 id="help-title">{ "Keys" }</h2>
            <dl>
                { for KEYS.iter().map(|(key, _, words, _)| html! { <><dt><kbd>{ *key }</kbd></dt><dd>{ *words }</dd></> }) }
            </dl>
            <p>{ "On a dimension: arrow keys one step, Page keys ten, Home back to nominal, Enter to type the number. On the jog triangles: hold Space." }</p>
            <label class="setting">{ "Keys of one character work" }<input id="single-keys" type="checkbox" checked={store.ui.single_keys} onchange={single} /></label>
            <p class="caution">{ "Countlight is for learning. On a real machine: lock out, prove it dead, support what can fall, and follow local rules and the maker's manual." }</p>
            <p class="ends"><button type="button" {onclick}>{ "Close" }</button><button type="button" class="plain" onclick={tour}>{ "Show the tour" }</button></p>
        </dialog>
    }
}
