//! Hand tools at the machine: a dial indicator against the table, shims under the head's bracket, a feeler gauge.

mod feeler;
mod indicator;
mod looks;
mod safety;
mod shims;

use super::enlarge::{Enlarge, part_class};
use crate::later::later_view;
use crate::layout::Part;
use crate::store::use_store;
use feeler::Feeler;
use indicator::Indicator;
use looks::Looks;
use safety::Safety;
use shims::Shims;
use yew::prelude::*;

later_view! {
    /// [`Hand`], fetched.
    pub fn hand_later() of Hand, in desk
}

/// The part.
#[function_component(Hand)]
pub fn hand() -> Html {
    let store = use_store();
    html! {
        <section class={part_class(&store, Part::Hand)} data-part="hand" aria-label="Hand tools">
            <Enlarge part={Part::Hand} />
            <div class="title"><h2>{ "Hand tools" }</h2><span class="note">{ "what the table and the head really do, whatever the count says" }</span></div>
            <Indicator />
            <Shims />
            <Feeler />
            <Safety />
            <Looks />
            <p class="caution">{ "On a real machine: lock out, wait for stored energy to go, support a hanging axis before hands go near it. Work on a moving axis only in the ways that the maker's manual allows." }</p>
        </section>
    }
}
