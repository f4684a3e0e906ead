//! The position loop as an instrument.

use super::instrument_frame::InstrumentFrame;
use super::picture::Picture;
use crate::pictures::PictureKind;
use crate::store::use_store;
use yew::prelude::*;

/// The loop strip.
#[function_component(InstrumentLoop)]
pub fn instrument_loop() -> Html {
    let store = use_store();
    let label = store.lab.0.borrow().loop_words();
    html! {
        <InstrumentFrame title="Position loop" note="command, count and table" tools={html! {  }}>
            <Picture kind={PictureKind::Loop} {label} />
        </InstrumentFrame>
    }
}
