//! The code of a link: dark on light in both themes, and large for a projector.

use crate::keep::code::{Code, code_of};
use web_sys::HtmlDialogElement;
use yew::prelude::*;

/// Properties of [`KeepCode`].
#[derive(Properties, PartialEq)]
pub struct Props {
    /// The link.
    pub address: AttrValue,
    /// Title of the bench.
    pub title: AttrValue,
}

/// The code.
#[function_component(KeepCode)]
pub fn keep_code(props: &Props) -> Html {
    let large = use_node_ref();
    let code = use_memo(props.address.clone(), |address| code_of(address));
    let Some(code) = &*code else {
        return html! {
            <p class="note no-code">{ "This link is too long for a code that telephones read with ease. Send the link, or save a file." }</p>
        };
    };
    let show = {
        let large = large.clone();
        move |_: MouseEvent| {
            if let Some(dialog) = large.cast::<HtmlDialogElement>() {
                let _ = dialog.show_modal();
            }
        }
    };
    let close = {
        let large = large.clone();
        move |_: MouseEvent| {
            if let Some(dialog) = large.cast::<HtmlDialogElement>() {
                dialog.close();
            }
        }
    };
    html! {
        <div class="code">
            { drawn(code, "The link as a code for a telephone's camera") }
            <button type="button" onclick={show}>{ "Show large" }</button>
            <dialog class="code-large" ref={large} aria-label="The link as a code">
                <p class="title">{ &props.title }</p>
                { drawn(code, "The link as a code, large") }
                <p class="address">{ &props.address }</p>
                <button type="button" onclick={close}>{ "Back to the sheet" }</button>
            </dialog>
        </div>
    }
}

/// One path over a light field, its quiet zone included.
fn drawn(code: &Code, label: &'static str) -> Html {
    let side = code.side.to_string();
    html! {
        <svg class="qr" viewBox={format!("0 0 {side} {side}")} role="img" aria-label={label} shape-rendering="crispEdges">
            <rect width={side.clone()} height={side} fill="#FFFFFF" />
            <path d={code.path.clone()} fill="#000000" />
        </svg>
    }
}
