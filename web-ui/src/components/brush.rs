//! Smear and wipe: what the pointer does on the scale, and the same by number.

use super::choice::Choice;
use super::field::use_first_value;
use crate::store::{Action, Tool, use_store};
use sim_core::bench::command::PlaceMm;
use sim_core::surface::Substance;
use sim_core::surface::wiping::Method;
use web_sys::{HtmlInputElement, HtmlSelectElement};
use yew::prelude::*;

/// The brush.
#[function_component(Brush)]
pub fn brush() -> Html {
    let store = use_store();
    let (from, to) = (use_node_ref(), use_node_ref());
    use_first_value(&from, "200");
    use_first_value(&to, "220");
    let choose = {
        let ui = store.ui.clone();
        Callback::from(move |value: AttrValue| {
            ui.dispatch(Action::Take(if value == "wipe" { Tool::Wipe } else { Tool::Smear }));
        })
    };
    let strength = {
        let ui = store.ui.clone();
        move |event: InputEvent| {
            if let Some(input) = event.target_dyn_into::<HtmlInputElement>() {
                ui.dispatch(Action::SmearPercent(input.value().parse().unwrap_or(90.0)));
            }
        }
    };
    let what = {
        let ui = store.ui.clone();
        move |event: Event| {
            let Some(select) = event.target_dyn_into::<HtmlSelectElement>() else { return };
            ui.dispatch(Action::Substance(Substance::ALL.into_iter().find(|s| s.name() == select.value())));
        }
    };
    let with = {
        let ui = store.ui.clone();
        move |event: Event| {
            let Some(select) = event.target_dyn_into::<HtmlSelectElement>() else { return };
            ui.dispatch(Action::Method(Method::ALL.into_iter().find(|m| m.name() == select.value())));
        }
    };
    let apply = {
        let (store, from, to) = (store.clone(), from.clone(), to.clone());
        move |_: MouseEvent| {
            let number =
                |node: &NodeRef| node.cast::<HtmlInputElement>().map_or(f64::NAN, |input| input.value_as_number());
            let (Ok(from_mm), Ok(to_mm)) = (PlaceMm::new(number(&from)), PlaceMm::new(number(&to))) else {
                store.ui.dispatch(Action::Notice("Write two places in mm, such as 200 and 220.".into()));
                return;
            };
            store.command(store.ui.stroke(from_mm, to_mm));
        }
    };
    let wiping = store.ui.tool == Tool::Wipe;
    let verb = if wiping { "Wipe" } else { "Smear" };
    html! {
        <>
            <h3 class="group">{ "Smear and wipe" }</h3>
            <div class="setting">
                <span>{ "Pointer" }</span>
                <Choice label="What the pointer does on the scale" value={if wiping { "wipe" } else { "smear" }}
                    options={vec![("smear".into(), "smears".into()), ("wipe".into(), "wipes".into())]} onchoose={choose} />
            </div>
            { if wiping { html! {
                <div class="setting"><label for="wipe-method">{ "Wipe with" }</label>
                    <select id="wipe-method" onchange={with}>
                        <option value="" selected={store.ui.method.is_none()}>{ "as new (for teaching)" }</option>
                        { for Method::ALL.iter().map(|m| html! { <option value={m.name()} selected={store.ui.method == Some(*m)}>{ m.title() }</option> }) }
                    </select></div>
            } } else { html! {
                <div class="setting"><label for="smear-what">{ "Smear" }</label>
                    <select id="smear-what" onchange={what}>
                        <option value="" selected={store.ui.substance.is_none()}>{ "a plain film" }</option>
                        { for Substance::ALL.iter().map(|s| html! { <option value={s.name()} selected={store.ui.substance == Some(*s)}>{ s.title() }</option> }) }
                    </select></div>
            } } }
            <div class="row">
                <label for="smear-strength">{ if store.ui.substance.is_some() { "How much" } else { "Takes away" } }</label>
                <input id="smear-strength" type="range" min="5" max="99" step="1" value={store.ui.smear_percent.to_string()} oninput={strength} />
                <output>{ format!("{:.0} %", store.ui.smear_percent) }</output>
            </div>
            <div class="setting field">
                <label>{ "from " }<input ref={from} id="brush-from" type="number" step="0.5" /></label>
                <label>{ "to " }<input ref={to} id="brush-to" type="number" step="0.5" />{ " mm" }</label>
            </div>
            <div class="setting"><span class="note">{ "or by number" }</span><button type="button" id="brush-apply" onclick={apply}>{ verb }</button></div>
            <p class="caution">
                { "On a real machine: lock out and wait for stored energy, support hanging axes, use only what the maker permits for the scale, air the room, do not look into the light source. Local rules and the maker's manual come first." }
            </p>
        </>
    }
}
