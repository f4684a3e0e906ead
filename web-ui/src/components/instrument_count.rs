//! The count strip as an instrument.

use super::instrument_frame::InstrumentFrame;
use super::picture::Picture;
use crate::lab::{count_words, illegal_words};
use crate::pictures::PictureKind;
use crate::store::use_store;
use yew::prelude::*;

/// The count strip.
#[function_component(InstrumentCount)]
pub fn instrument_count() -> Html {
    let store = use_store();
    let view = store.lab.0.borrow().count_view(600);
    let note = if view.has_b { "A leads B: up; B leads A: down" } else { "one sensor: no direction" };
    let class = if view.illegal > 0 { "note wrong" } else { "note" };
    let cross = if view.illegal > 0 { "\u{d7} " } else { "" };
    html! {
        <InstrumentFrame
            title="Count strip" {note} tools={html! {  }}
            foot={html! { <p {class}>{ format!("{cross}{}", illegal_words(view.illegal)) }</p> }}
        >
            <Picture kind={PictureKind::CountStrip} label={count_words(&view)} />
        </InstrumentFrame>
    }
}
