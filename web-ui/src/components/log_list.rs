//! What happened, in plain words, newest first.

use super::present_flap::Flap;
use crate::store::cover::covered;
use crate::store::use_store;
use sim_core::event::Weight;
use yew::prelude::*;

/// The log.
#[function_component(LogList)]
pub fn log_list() -> Html {
    let store = use_store();
    let covered = covered(&store);
    let lab = store.lab.0.borrow();
    let told = lab.told();
    let shown = lab.log().enumerate().filter(|(_, event)| !(covered && event.tells_cause()));
    let entries = shown.map(|(i, event)| {
        let class = match event.weight() {
            Weight::Alarm => "alarm",
            Weight::Warning => "warning",
            Weight::Note => "",
        };
        html! {
            <li key={told - i as u64} class={classes!(class, event.follows().then_some("follows"))}>
                <time>{ format!("{:.4} s", event.time_s) }</time>
                { event.words() }
            </li>
        }
    });
    let empty = !covered && lab.log().next().is_none();
    html! {
        <div class="log-box">
            <div class="title"><h2>{ "What happened" }</h2></div>
            { if covered { html! { <Flap what="lines that name the cause" /> } } else { Html::default() } }
            <div class="log" role="log" aria-label="What happened" tabindex="0">
                <ol>
                    { for entries }
                    { if empty { html! { <li class="note">{ "Nothing yet: the axis is in order." }</li> } } else { Html::default() } }
                </ol>
            </div>
        </div>
    }
}
