//! The supply: a knob at the control, a meter at both ends.

use crate::components::knob::Knob;
use crate::store::use_store;
use sim_core::bench::command::{Command, SettingList};
use sim_core::instrument::volts::{HIGHEST_V, LOWEST_V, Verdict, verdict};
use sim_core::names::{Kind, Setting, Value};
use yew::prelude::*;

/// Knob and meters.
#[function_component(SupplyBox)]
pub fn supply_box() -> Html {
    let store = use_store();
    let lab = store.lab.0.borrow();
    let set_v = lab.sim().bench().setup.cable.supply_v;
    let head_v = lab.sim().record().head_supply_v;
    drop(lab);
    let onchange = {
        let store = store.clone();
        Callback::from(move |volts: f64| {
            store.command(Command::Set(SettingList(vec![(Setting::CableSupply, Value::Number(volts))])));
        })
    };
    let range = match Setting::CableSupply.row().kind {
        Kind::Number { low, high, .. } => (low, high),
        Kind::Words(_) => (0.0, 6.0),
    };
    let meter = |place: &'static str, id: &'static str, volts: f64| {
        let (words, wrong) = match verdict(volts) {
            Verdict::Good => ("good", false),
            Verdict::Low => ("too low", true),
            Verdict::High => ("too high", true),
            Verdict::NoReading => ("no reading", true),
        };
        html! {
            <div class={classes!("meter", wrong.then_some("wrong"))} {id}>
                <span class="note">{ place }</span><b>{ format!("{volts:.2} V") }</b>
                <span class="note">{ if wrong { format!("\u{d7} {words}") } else { words.to_owned() } }</span>
            </div>
        }
    };
    html! {
        <div class="supply-box" role="group" aria-label="Supply">
            <h3>{ "Supply" }</h3>
            <Knob name="Supply at the control" id="supply-v" unit="V" value={set_v} {range} good={(LOWEST_V, HIGHEST_V)} step=0.05 {onchange} />
            { meter("at the control", "meter-control", set_v) }
            { meter("at the head", "meter-head", head_v) }
            <p class="note">{ "5 V with 5 % either way is the usual promise (common practice); the maker's data sheet decides." }</p>
        </div>
    }
}
