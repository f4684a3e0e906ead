//! Amplitude over the travel as an instrument.

use super::instrument_frame::InstrumentFrame;
use super::picture::Picture;
use crate::lab::travel_words;
use crate::pictures::PictureKind;
use crate::store::use_store;
use yew::prelude::*;

/// Amplitude over the travel.
#[function_component(InstrumentTravel)]
pub fn instrument_travel() -> Html {
    let store = use_store();
    let label = travel_words(&store.lab.0.borrow().travel_view());
    let clear = {
        let store = store.clone();
        move |_: MouseEvent| store.change(|lab| lab.instruments_mut().clear_travel())
    };
    let tools = html! {
        <>
            <button type="button" class="plain" onclick={clear}>{ "Clear" }</button>
        </>
    };
    html! {
        <InstrumentFrame title="Amplitude over the travel" note="half of peak to peak; grows as the axis moves" {tools}>
            <Picture kind={PictureKind::Travel} {label} />
        </InstrumentFrame>
    }
}
