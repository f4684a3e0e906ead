//! The head's plug: pulled, put in again, and moved to and fro to find a poor contact.

use super::harness::Harness;
use crate::store::cover::covered;
use crate::store::{Action, Store, use_store};
use sim_core::bench::command::{Break, Command, Percent, PlaceMm, SettingList};
use sim_core::fault::FaultId;
use sim_core::names::{Setting, Value};
use sim_core::setup::Setup;
use web_sys::{Element, KeyboardEvent, PointerEvent};
use yew::prelude::*;

/// Whether the plug is out, and how to put it in.
pub fn pull(store: &Store) {
    let set_v = store.lab.0.borrow().sim().bench().setup.cable.supply_v;
    let volts = if is_out(store) {
        let bench = store.lab.0.borrow().sim().bench().setup.bench;
        store.ui.unplugged_v.unwrap_or(Setup::healthy(bench).cable.supply_v)
    } else {
        0.0
    };
    store.ui.dispatch(Action::Unplugged((volts == 0.0).then_some(set_v)));
    store.command(Command::Set(SettingList(vec![(Setting::CableSupply, Value::Number(volts))])));
}

/// Whether the plug is out: it was pulled, and nobody has given the head its supply again.
pub fn is_out(store: &Store) -> bool {
    store.ui.unplugged_v.is_some() && store.lab.0.borrow().sim().bench().setup.cable.supply_v == 0.0
}

/// The controls of the plug.
#[function_component(Plug)]
pub fn plug() -> Html {
    let store = use_store();
    let harness = Harness::of(store.lab.0.borrow().sim());
    let out = is_out(&store);
    let before = use_mut_ref(|| None::<(FaultId, f64)>);
    let moved = use_state(|| false);
    let onclick = {
        let store = store.clone();
        move |_: MouseEvent| pull(&store)
    };
    let loose = harness.loose;
    let wiggle = {
        let (store, before, moved) = (store.clone(), before.clone(), moved.clone());
        move || {
            moved.set(true);
            store.change(|lab| lab.clock.running = true);
            if let Some((id, severity)) = loose
                && before.borrow().is_none()
            {
                *before.borrow_mut() = Some((id, severity));
                set_severity(&store, id, 1.0);
            }
        }
    };
    let rest = {
        let (store, before) = (store.clone(), before);
        move || {
            if let Some((id, severity)) = before.borrow_mut().take() {
                set_severity(&store, id, severity);
            }
        }
    };
    let onpointerdown = {
        let wiggle = wiggle.clone();
        move |event: PointerEvent| {
            if let Some(element) = event.target_dyn_into::<Element>() {
                let _ = element.set_pointer_capture(event.pointer_id());
            }
            wiggle();
        }
    };
    let onpointerup = {
        let rest = rest.clone();
        move |_: PointerEvent| rest()
    };
    let is_press = |event: &KeyboardEvent| matches!(event.key().as_str(), " " | "Enter");
    let onkeydown = move |event: KeyboardEvent| {
        if is_press(&event) && !event.repeat() {
            event.prevent_default();
            wiggle();
        }
    };
    let onkeyup = {
        let rest = rest.clone();
        move |event: KeyboardEvent| {
            if is_press(&event) {
                rest();
            }
        }
    };
    let onblur = move |_: FocusEvent| rest();
    let words = if out {
        "The plug is out: no supply, no signals."
    } else if !*moved {
        "Hold the plug and move it: a poor contact gets worse while you do."
    } else if loose.is_some() {
        "It answers: the signal changes while the plug is moved."
    } else {
        "Nothing changes: this plug is sound."
    };
    html! {
        <div class="plug-box" role="group" aria-label="Plug of the head">
            <h3>{ "Plug of the head" }</h3>
            <div class="plug-buttons">
                <button type="button" id="unplug" {onclick}>{ if out { "Plug in" } else { "Unplug" } }</button>
                <button type="button" id="wiggle" disabled={out} {onpointerdown} onpointerup={onpointerup.clone()} onpointercancel={onpointerup} {onkeydown} {onkeyup} {onblur}>{ "Wiggle, hold" }</button>
            </div>
            <p class="note" id="wiggle-says" role="status">{ words }</p>
            { if harness.other_head && !covered(&store) { html! { <p class="wrong">{ "\u{d7} This is the plug of another axis." }</p> } } else { Html::default() } }
        </div>
    }
}

fn set_severity(store: &Store, id: FaultId, severity: f64) {
    let at_m = store.lab.0.borrow().sim().faults().iter().find(|f| f.id == id).map(|f| f.at_m);
    let at_mm = at_m.filter(|_| id.row().has_place).map(|m| PlaceMm::nearest(m * 1e3));
    store.command(Command::Break(Break { fault: id, severity_percent: Percent::nearest(severity * 100.0), at_mm }));
}
