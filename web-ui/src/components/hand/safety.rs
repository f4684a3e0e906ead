//! Making safe: the acts in their order, which of them stand, what the DC link still holds, and the way back.

use crate::components::poll_row::CHECK;
use crate::components::sign::Sign;
use crate::store::use_store;
use sim_core::bench::command::{Command, SafetyAct};
use yew::prelude::*;

/// The list.
#[function_component(Safety)]
pub fn safety() -> Html {
    let store = use_store();
    let (safety, link_v, hangs) = {
        let lab = store.lab.0.borrow();
        let sim = lab.sim();
        let hangs = sim.params().machine.mechanics.incline > 0.0;
        (sim.bench().state.safety.clone(), sim.link_v(), hangs)
    };
    let button = |act: SafetyAct, stands: bool| {
        let store = store.clone();
        // The shop's time goes on while the clock runs; a dead machine needs it to bleed its DC link.
        let onclick = move |_: MouseEvent| store.command_and_run(Command::Safety(act));
        let title = if stands { format!("{}: stands", act.order()) } else { act.order().to_owned() };
        html! {
            <li key={act.order()} class={if stands { "met" } else { "" }}>
                <button type="button" {title} {onclick}>{ if stands { html! { <Sign d={CHECK} /> } } else { html! { <span class="dot" /> } } }{ act.order() }</button>
            </li>
        }
    };
    let said = if safety.locked_out(hangs) {
        "Locked out: hands may go in."
    } else if safety.isolated() {
        "Not safe yet: not all acts stand, or not in their order."
    } else {
        "The machine has power."
    };
    html! {
        <div class="safety">
            <h3>{ "Make it safe" }</h3>
            <ol>{ for SafetyAct::IN_ORDER.into_iter().map(|act| button(act, safety.stands(act))) }
                { if hangs { button(if safety.propped() { SafetyAct::PropOut } else { SafetyAct::Prop }, safety.propped()) } else { Html::default() } }</ol>
            <p class={classes!("reading", (!safety.locked_out(hangs)).then_some("not-safe"))} role="status" id="safety-state">{ said }</p>
            <p class="note">{ format!("DC link of the drive: {link_v:.0} V. While the disconnector is open a second here is a minute in the shop; the drive's label says how long to wait.") }</p>
            <ol class="back">{ button(SafetyAct::Unlock, false) }{ button(SafetyAct::SwitchOn, false) }</ol>
        </div>
    }
}
