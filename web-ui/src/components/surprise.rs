//! A hidden fault to find: drawn by level and number.

use super::field::use_field_value;
use super::hunt::{hunt_later, outcome_later};
use super::later::{Fetch, Later};
use super::level_choice::LevelChoice;
use crate::lab::Drawn;
use crate::store::{Action, use_store};
use sim_core::fault::hidden::Level;
use web_sys::HtmlInputElement;
use yew::prelude::*;

/// Numbers that are offered: 1 up to this.
const MOST: u64 = 9999;

/// The box at the top of the drawer.
#[function_component(SurpriseBox)]
pub fn surprise_box() -> Html {
    let store = use_store();
    let level = use_state(Level::default);
    // Any number will do; a class agrees on one.
    let seed = use_state(|| (js_sys::Math::random() * MOST as f64) as u64 + 1);
    let node = use_node_ref();
    use_field_value(&node, seed.to_string());
    let (drawn, hides) = {
        let lab = store.lab.0.borrow();
        (lab.drawn().cloned(), lab.hides())
    };
    if drawn.is_some() && hides {
        return html! { <Later key="hunt" view={hunt_later as Fetch} /> };
    }
    let choose = {
        let level = level.clone();
        Callback::from(move |chosen| level.set(chosen))
    };
    let number = {
        let seed = seed.clone();
        move |event: Event| {
            if let Some(input) = event.target_dyn_into::<HtmlInputElement>() {
                // A word instead of a number leaves the number as it is.
                seed.set(input.value().trim().parse::<u64>().map_or(*seed, |n| n.clamp(1, MOST)));
            }
        }
    };
    let draw = {
        let (store, level, seed) = (store.clone(), *level, seed.clone());
        move |_: MouseEvent| {
            if let Err(why) = store.change(|lab| lab.surprise(level, *seed)) {
                store.ui.dispatch(Action::Notice(why));
                return;
            }
            seed.set(*seed % MOST + 1);
        }
    };
    html! {
        <div class="surprise">
            <h2>{ "Find a hidden fault" }</h2>
            { drawn.filter(Drawn::is_open).map(|_| html! { <Later key="outcome" view={outcome_later as Fetch} /> }) }
            <div class="setting field">
                <LevelChoice level={*level} onchoose={choose} />
                <label>{ "No. " }<input ref={node} id="surprise-seed" type="number" min="1" max={MOST.to_string()} step="1" onchange={number} /></label>
            </div>
            <p class="note">{ words_of(*level) }</p>
            <button type="button" id="surprise" onclick={draw}>{ "Surprise me" }</button>
        </div>
    }
}

fn words_of(level: Level) -> &'static str {
    match level {
        Level::Clear => "One clear fault of scale, head or cable.",
        Level::Any => "One fault of any part, sometimes a weak one.",
        Level::Partial => "One or two weak faults, anywhere.",
    }
}
