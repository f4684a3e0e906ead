//! The pen's own row: colour, width, rubber, undo, clear, arrow, away.

use super::pen::PenDeed;
use crate::store::pen::{PenInk, PenState, WIDTHS};
use yew::prelude::*;

/// Properties of [`PenBar`].
#[derive(Properties, PartialEq)]
pub struct Props {
    /// The pen.
    pub pen: PenState,
    /// Called with the pen as it is wanted.
    pub change: Callback<PenState>,
    /// Called with what is to be done to the drawing.
    pub deed: Callback<PenDeed>,
    /// Whether there is something to take back.
    pub can_undo: bool,
    /// Whether anything is drawn.
    pub any: bool,
}

/// The row.
#[function_component(PenBar)]
pub fn pen_bar(props: &Props) -> Html {
    let pen = props.pen;
    let take = |wanted: PenState| {
        let change = props.change.clone();
        move |_: MouseEvent| change.emit(wanted)
    };
    let act = |deed: PenDeed| {
        let send = props.deed.clone();
        move |_: MouseEvent| send.emit(deed)
    };
    let inks = PenInk::ALL.iter().map(|(ink, key, name)| {
        let pressed = !pen.rubs && pen.ink == *ink;
        html! {
            <button type="button" key={*key} class={*key} aria-pressed={pressed.to_string()} onclick={take(PenState { ink: *ink, rubs: false, ..pen })}>
                <svg class="swatch" viewBox="0 0 16 16" aria-hidden="true"><path d="M2 13C5 3 8 13 14 4" /></svg>{ *name }
            </button>
        }
    });
    let widths = WIDTHS.iter().map(|(width, name)| {
        let class = format!("width-{width}");
        html! {
            <button type="button" key={*name} class={class} aria-label={format!("{name} line")} title={format!("{name} line")} aria-pressed={(pen.width == *width).to_string()} onclick={take(PenState { width: *width, ..pen })}>
                <svg class="swatch" viewBox="0 0 16 16" aria-hidden="true"><path d="M2 8h12" /></svg>
            </button>
        }
    });
    html! {
        <div class="pen-bar" role="toolbar" aria-label="Pen">
            <span class="set">{ for inks }</span>
            <span class="set">{ for widths }</span>
            <button type="button" aria-pressed={pen.rubs.to_string()} onclick={take(PenState { rubs: !pen.rubs, ..pen })}>{ "Rubber" }</button>
            <button type="button" disabled={!props.can_undo} onclick={act(PenDeed::Undo)} title="Ctrl Z">{ "Take back" }</button>
            <button type="button" disabled={!props.any} onclick={act(PenDeed::Clear)}>{ "Clear" }</button>
            <button type="button" onclick={act(PenDeed::Drop)} title="Enter drops it where the marker is; arrow keys move the marker">{ "Arrow" }</button>
            <button type="button" class="solid" onclick={take(PenState { on: false, ..pen })} title="Esc">{ "Put away" }</button>
        </div>
    }
}
