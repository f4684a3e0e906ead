//! The head's window, time in the shop, the cabinet's switch.

use super::field::use_first_value;
use crate::store::{Action, use_store};
use sim_core::bench::command::{Age, Command, Hours, Percent, PowerCycle, SmearWindow, WipeWindow};
use sim_core::chain::photo::WindowPart;
use sim_core::numbers::Within;
use sim_core::surface::Substance;
use web_sys::{HtmlInputElement, HtmlSelectElement};
use yew::prelude::*;

/// How long the cabinet stays off, s.
const OFF_S: f64 = 60.0;

/// The controls.
#[function_component(Care)]
pub fn care() -> Html {
    let store = use_store();
    let (what, hours) = (use_node_ref(), use_node_ref());
    use_first_value(&hours, "200");
    let smear = {
        let (store, what) = (store.clone(), what.clone());
        move |_: MouseEvent| {
            let name = what.cast::<HtmlSelectElement>().map(|select| select.value()).unwrap_or_default();
            let Some(substance) = Substance::ALL.into_iter().find(|s| s.name() == name) else { return };
            let strength_percent = Percent::nearest(store.ui.smear_percent);
            store.command(Command::SmearWindow(SmearWindow {
                substance,
                strength_percent,
                part: WindowPart::default(),
            }));
        }
    };
    let wipe = {
        let store = store.clone();
        move |_: MouseEvent| store.command(Command::WipeWindow(WipeWindow { method: store.ui.method }))
    };
    let age = {
        let (store, hours) = (store.clone(), hours.clone());
        move |_: MouseEvent| {
            let number = hours.cast::<HtmlInputElement>().map_or(f64::NAN, |input| input.value_as_number());
            match Hours::new(number) {
                Ok(hours) => store.command(Command::Age(Age { hours, dust_percent: None })),
                Err(why) => store.ui.dispatch(Action::Notice(format!("Time in the shop, hours: {why}"))),
            }
        }
    };
    let power = {
        let store = store.clone();
        move |_: MouseEvent| store.command(Command::PowerCycle(PowerCycle { off_s: Within::nearest(OFF_S) }))
    };
    let films = Substance::ALL.into_iter().filter(|s| !s.is_damage());
    html! {
        <>
            <h3 class="group">{ "Head's window, time, power" }</h3>
            <div class="setting"><label for="window-what">{ "On the window" }</label>
                <select id="window-what" ref={what}>{ for films.map(|s| html! { <option value={s.name()}>{ s.title() }</option> }) }</select></div>
            <div class="setting"><span class="note">{ "as much as above" }</span>
                <span class="ends"><button type="button" id="window-smear" onclick={smear}>{ "Lay on" }</button>
                <button type="button" id="window-wipe" onclick={wipe}>{ "Clean" }</button></span></div>
            <div class="setting field"><label for="age-hours">{ "Time in the shop, h" }</label>
                <input ref={hours} id="age-hours" type="number" min="1" max="100000" step="any" /></div>
            <div class="setting"><span class="note">{ "dirt settles, the light source ages" }</span><button type="button" id="age" onclick={age}>{ "Let it pass" }</button></div>
            <div class="setting"><span class="note">{ "cabinet off for a minute, drive off after" }</span><button type="button" id="power-cycle" onclick={power}>{ "Off and on" }</button></div>
        </>
    }
}
