//! One answer of the poll: its hands drawn as a dimension line with the number on it.

use super::sign::Sign;
use crate::store::poll::PollDeed;
use crate::store::{Action, use_store};
use web_sys::HtmlInputElement;
use yew::prelude::*;

/// A check: this one was right.
pub const CHECK: &str = "M2 8.6l4.2 4.6l8 -10.4l-1.9 -1.3l-6.3 8.2l-2.4 -2.6z";

/// Properties of [`PollRow`].
#[derive(Properties, PartialEq)]
pub struct Props {
    /// Place in the list, from 0.
    pub index: usize,
    /// The answer.
    pub words: AttrValue,
    /// Hands up.
    pub hands: u32,
    /// Their share, per cent.
    pub percent: u32,
    /// Length of the line, 0..1 of the longest.
    pub share: f64,
    /// What is being typed for this answer.
    pub typed: Option<AttrValue>,
    /// Whether it was right, once that is known.
    pub right: Option<bool>,
}

/// The answer.
#[function_component(PollRow)]
pub fn poll_row(props: &Props) -> Html {
    let store = use_store();
    let index = props.index;
    let send = |deed: PollDeed| {
        let ui = store.ui.clone();
        move |_: MouseEvent| ui.dispatch(Action::Poll(deed.clone()))
    };
    let write = {
        let ui = store.ui.clone();
        move |event: InputEvent| {
            if let Some(input) = event.target_dyn_into::<HtmlInputElement>() {
                ui.dispatch(Action::Poll(PollDeed::Words(index, input.value())));
            }
        }
    };
    let number = index + 1;
    let shown = props.typed.as_ref().map_or_else(|| props.hands.to_string(), |typed| format!("{typed}_"));
    let right = props.right == Some(true);
    let mark = if right {
        html! { <><Sign d={CHECK} />{ "right" }</> }
    } else {
        html! { "right?" }
    };
    let end = format!("{:.1}%", 0.5 + 98.0 * props.share);
    html! {
        <li class={classes!(props.typed.is_some().then_some("chosen"), right.then_some("right"))}>
            <span class="letter">{ number }</span>
            <input class="words" aria-label={format!("Answer {number}")} value={props.words.clone()} oninput={write} />
            <button type="button" class="mark" aria-pressed={right.to_string()} aria-label={format!("Answer {number} was right")} onclick={send(PollDeed::Right(index))}>{ mark }</button>
            <span class="bar">
                <svg role="img" aria-label={format!("{} hands, {} per cent", props.hands, props.percent)}>
                    <path class="end" d="M1 3v18" />
                    { if props.hands > 0 { html! { <>
                        <line x1="1" y1="12" x2={end.clone()} y2="12" />
                        <path class="tip" d="M1 12l9 -3v6z" />
                        <svg x={end.clone()} y="0" overflow="visible"><path class="end" d="M0 3v18" /><path class="tip" d="M0 12l-9 -3v6z" /></svg>
                    </> } } else { Html::default() } }
                </svg>
                <output>{ shown }<small>{ format!("{} %", props.percent) }</small></output>
            </span>
            <span class="count">
                <button type="button" aria-label={format!("One hand less for answer {number}")} onclick={send(PollDeed::Hands(index, -1))}>{ "\u{2212}" }</button>
                <button type="button" aria-label={format!("One hand more for answer {number}")} onclick={send(PollDeed::Hands(index, 1))}>{ "+" }</button>
            </span>
        </li>
    }
}
