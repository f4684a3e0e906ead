//! The bench as a link: to copy, or as a code to point a telephone at.

use super::keep_code::KeepCode;
use super::keep_sheet::Desk;
use crate::keep::browser;
use lessons::share;
use sim_core::scene::Scene;
use std::rc::Rc;
use web_sys::HtmlTextAreaElement;
use yew::prelude::*;

/// Properties of [`KeepLink`].
#[derive(Properties, PartialEq)]
pub struct Props {
    /// The sheet.
    pub desk: Desk,
    /// The bench as a scene.
    pub scene: Rc<Scene>,
}

/// The link.
#[function_component(KeepLink)]
pub fn keep_link(props: &Props) -> Html {
    let text = use_node_ref();
    let address = use_memo(props.scene.clone(), |scene| {
        share::short_link_of(scene).map(|link| share::address_of(&browser::base(), &link))
    });
    let Some(address) = (*address).clone() else {
        return html! {
            <section aria-labelledby="keep-link">
                <h3 id="keep-link">{ "As a link" }</h3>
                <p>{ "There is more dirt on this scale than fits into a link. Save the bench as a file instead." }</p>
            </section>
        };
    };
    let onclick = {
        let (address, text, say) = (address.clone(), text.clone(), props.desk.say.clone());
        move |_: MouseEvent| {
            let (address, text, say) = (address.clone(), text.clone(), say.clone());
            wasm_bindgen_futures::spawn_local(async move {
                if browser::copy(address).await {
                    say.emit("The link is copied.".to_owned());
                } else if let Some(text) = text.cast::<HtmlTextAreaElement>() {
                    let _ = text.focus();
                    text.select();
                    say.emit(
                        "The browser does not let the page copy. The link is selected: press Ctrl and C.".to_owned(),
                    );
                }
            });
        }
    };
    // A page from a disk opens only where that disk is.
    let local = address.starts_with("file:") || address.contains("//127.0.0.1") || address.contains("//localhost");
    html! {
        <section aria-labelledby="keep-link">
            <h3 id="keep-link">{ "As a link" }</h3>
            <p>{ "Opens this bench as it is set up, broken and dirty, with the table where it is, at rest. Movement and counts are not in a link: a bench file keeps those." }</p>
            <div class="with-code">
                <div class="grow">
                    <textarea ref={text} id="keep-address" class="address" readonly=true rows="4" aria-label="Link" value={address.clone()} />
                    <div class="buttons">
                        <button type="button" class="solid" {onclick}>{ "Copy the link" }</button>
                        <span class="note">{ format!("{} letters", address.chars().count()) }</span>
                    </div>
                    { if local { html! { <p class="note">{ "This page runs on this machine only. On another one, open Countlight there and put everything from # on behind its address." }</p> } } else { Html::default() } }
                </div>
                <KeepCode {address} title={props.scene.title.clone()} />
            </div>
        </section>
    }
}
