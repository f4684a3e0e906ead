//! Looking with an instrument, bending the cable, a new part: acts at the machine, each answered by what the model finds.

use crate::components::field::use_first_value;
use crate::store::{Action, use_store};
use sim_core::bench::command::{Command, Flex, Look, Part, PlaceMm};
use web_sys::{HtmlInputElement, HtmlSelectElement};
use yew::prelude::*;

fn words(look: Look) -> &'static str {
    match look {
        Look::Ohm => "Ohmmeter: each conductor",
        Look::Screen => "Ohmmeter: the screen",
        Look::GapGauge => "Feeler gauge at three places",
        Look::Lamp => "Lamp and eye: scale, window",
        Look::MeterSupply => "Voltmeter: drive and head",
        Look::ScopeDrive => "Scope at the drive's plug",
        Look::ScopeHead => "Scope at the head",
        Look::LoopValues => "Values beside the record",
    }
}

fn part_words(part: Part) -> &'static str {
    match part {
        Part::Head => "reading head",
        Part::Cable => "encoder cable",
        Part::Scale => "scale",
        Part::Input => "input of the control",
        Part::Motor => "motor",
    }
}

/// The acts.
#[function_component(Looks)]
pub fn looks() -> Html {
    let store = use_store();
    let (from, to, part) = (use_node_ref(), use_node_ref(), use_node_ref());
    use_first_value(&from, "0");
    use_first_value(&to, "500");
    let found = {
        let lab = store.lab.0.borrow();
        let told = lab.log().find(|event| matches!(event.what, sim_core::event::What::Hands(_)));
        told.map(|event| event.words())
    };
    let group = |dead: bool| {
        Look::ALL
            .into_iter()
            .filter(move |look| look.needs_dead() == dead)
            .map(|look| {
                let store = store.clone();
                let onclick = move |_: MouseEvent| store.command_and_run(Command::Look(look));
                html! { <button type="button" key={look.name()} id={format!("look-{}", look.name())} {onclick}>{ words(look) }</button> }
            })
            .collect::<Html>()
    };
    let bend = {
        let (store, from, to) = (store.clone(), from.clone(), to.clone());
        move |_: MouseEvent| {
            let number = |node: &NodeRef| node.cast::<HtmlInputElement>().map_or(f64::NAN, |i| i.value_as_number());
            match (PlaceMm::new(number(&from)), PlaceMm::new(number(&to))) {
                (Ok(from_mm), Ok(to_mm)) => store.command_and_run(Command::Flex(Flex { from_mm, to_mm })),
                (Err(why), _) | (_, Err(why)) => {
                    store.ui.dispatch(Action::Notice(format!("Place where the cable is bent, mm: {why}")));
                }
            }
        }
    };
    let replace = {
        let (store, part) = (store.clone(), part.clone());
        move |_: MouseEvent| {
            let name = part.cast::<HtmlSelectElement>().map(|select| select.value()).unwrap_or_default();
            if let Some(part) = Part::ALL.into_iter().find(|p| p.name() == name) {
                store.command_and_run(Command::Replace(part));
            }
        }
    };
    html! {
        <div class="looks">
            <h3>{ "Look and measure" }</h3>
            <p class="note">{ "on the machine with power; cabinet work only by authorised persons" }</p>
            <div class="buttons">{ group(false) }</div>
            <p class="note">{ "on the dead machine" }</p>
            <div class="buttons">{ group(true) }</div>
            <div class="setting field"><span>{ "Bend the cable" }</span><span>
                <input ref={from} type="number" step="any" aria-label="Bend from, mm" />{ " to " }<input ref={to} type="number" step="any" aria-label="Bend to, mm" />{ " mm " }
                <button type="button" id="flex" onclick={bend}>{ "Bend" }</button></span></div>
            <div class="setting"><label for="replace-part">{ "New part" }</label><span class="ends">
                <select id="replace-part" ref={part}>{ for Part::ALL.into_iter().map(|p| html! { <option value={p.name()}>{ part_words(p) }</option> }) }</select>
                <button type="button" id="replace" onclick={replace}>{ "Fit" }</button></span></div>
            <p class="reading found" role="status" id="found">{ found.unwrap_or_else(|| "What is found stands here and in the log.".to_owned()) }</p>
        </div>
    }
}
