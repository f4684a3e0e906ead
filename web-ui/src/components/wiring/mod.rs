//! Cable and supply: the conductors from the head's plug to the control, the screen, the motor cable beside them, the
//! supply. Conductors are laid elsewhere by drawing a line, the plug is pulled and moved, the motor cable is shifted.

mod conductors;
pub mod harness;
mod plug;
mod supply;

use super::enlarge::{Enlarge, part_class};
use crate::components::present_flap::Flap;
use crate::later::later_view;
use crate::layout::Part;
use crate::store::cover::covered;
use crate::store::use_store;
use conductors::Conductors;
use plug::Plug;
use supply::SupplyBox;
use yew::prelude::*;

later_view! {
    /// [`Wiring`], fetched.
    pub fn wiring_later() of Wiring, in desk
}

/// The part.
#[function_component(Wiring)]
pub fn wiring() -> Html {
    let store = use_store();
    html! {
        <section class={part_class(&store, Part::Wiring)} data-part="wiring" aria-label="Cable and supply">
            <Enlarge part={Part::Wiring} />
            <div class="title"><h2>{ "Cable" }</h2><span class="note">{ "draw from terminal to terminal at the control to lay a conductor elsewhere" }</span></div>
            { if covered(&store) { html! { <Flap what="how the conductors run" /> } } else { html! { <Conductors /> } } }
            <div class="wiring-foot"><SupplyBox /><Plug /></div>
            <p class="caution">{ "On a real machine: switch off and prove it dead before a plug is pulled or a conductor touched; an encoder plug pulled under power can destroy the head, and an axis without its encoder can run away or fall. Live measuring is for people who may do it." }</p>
        </section>
    }
}
