//! A hidden fault to find: drawn by level and number, guessed from the catalogue, or given up.

use super::field::use_field_value;
use super::level_choice::LevelChoice;
use super::poll_row::CHECK;
use super::sign::Sign;
use crate::lab::{Drawn, Guess};
use crate::store::{Action, use_store};
use sim_core::fault::hidden::Level;
use sim_core::fault::service::service_of;
use sim_core::fault::{FaultId, TABLE};
use web_sys::HtmlInputElement;
use yew::prelude::*;

/// A cross: not this one.
const CROSS: &str = "M3 1.6l5 5l5 -5l1.4 1.4l-5 5l5 5l-1.4 1.4l-5 -5l-5 5l-1.4 -1.4l5 -5l-5 -5z";
/// Numbers that are offered: 1 up to this.
const MOST: u64 = 9999;
/// Most faults listed for a guess.
const LISTED: usize = 7;

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
    if let Some(drawn) = drawn.as_ref().filter(|_| hides) {
        return html! { <Hunt level={drawn.level.number()} seed={drawn.seed} tries={drawn.guesses.len()} found={drawn.found().collect::<Vec<_>>()} /> };
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
            { drawn.filter(Drawn::is_open).map(|drawn| html! { <Outcome {drawn} /> }) }
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

/// What was hidden, once it is open.
#[derive(Properties, PartialEq)]
struct OutcomeProps {
    drawn: Drawn,
}

#[function_component(Outcome)]
fn outcome(props: &OutcomeProps) -> Html {
    let rows = props.drawn.faults.iter().map(|fault| {
        let row = fault.id.row();
        let place = if row.has_place { format!(" at {:.0} mm", fault.at_m * 1e3) } else { String::new() };
        html! {
            <>
                <p><b>{ format!("It was: {}, {:.0} %{place}.", row.title, fault.severity * 100.0) }</b></p>
                { evidence(fault.id) }
            </>
        }
    });
    let class = if props.drawn.given_up { "outcome" } else { "outcome right" };
    html! { <div {class} role="status" id="surprise-outcome">{ for rows }</div> }
}

/// What tells a fault from its look-alikes.
fn evidence(id: FaultId) -> Html {
    let tells = service_of(id.row().name).map_or(&[][..], |service| service.tells);
    html! { <ul class="tells">{ for tells.iter().map(|words| html! { <li>{ *words }</li> }) }</ul> }
}

/// Properties of [`Hunt`].
#[derive(Properties, PartialEq)]
struct HuntProps {
    level: u8,
    seed: u64,
    tries: usize,
    found: Vec<FaultId>,
}

/// While it is hidden: search the catalogue and say what it is.
#[function_component(Hunt)]
fn hunt(props: &HuntProps) -> Html {
    let store = use_store();
    let wanted = use_state(String::new);
    let last = use_state(|| None::<(FaultId, Guess)>);
    let look = {
        let wanted = wanted.clone();
        move |event: InputEvent| {
            if let Some(input) = event.target_dyn_into::<HtmlInputElement>() {
                wanted.set(input.value().to_lowercase());
            }
        }
    };
    let give_up = {
        let store = store.clone();
        move |_: MouseEvent| store.change(crate::lab::Lab::give_up)
    };
    let hits: Vec<FaultId> = if wanted.trim().is_empty() {
        Vec::new()
    } else {
        TABLE.iter().filter(|row| row.title.to_lowercase().contains(wanted.trim())).map(|row| row.id).collect()
    };
    let listed = hits.iter().take(LISTED).map(|id| {
        let (store, last, id) = (store.clone(), last.clone(), *id);
        let onclick = move |_: MouseEvent| {
            let guess = store.change(|lab| lab.guess(id));
            last.set(Some((id, guess)));
        };
        html! { <li key={id.row().name}><button type="button" {onclick}>{ id.row().title }</button></li> }
    });
    let more = hits.len().saturating_sub(LISTED);
    let answer = (*last).map(|(id, guess)| {
        let title = id.row().title;
        match guess {
            Guess::Wrong => html! {
                <><p><b class="wrong"><Sign d={CROSS} />{ format!("Not that: {title}.") }</b>{ " You would see:" }</p>{ evidence(id) }</>
            },
            _ => html! {
                <><p><b><Sign d={CHECK} />{ format!("Right: {title}. Another fault is still hidden.") }</b></p>{ evidence(id) }</>
            },
        }
    });
    html! {
        <div class="surprise hunt">
            <h2>{ "A fault is hidden" }</h2>
            <p class="note">{ format!("Level {}, no. {}; {} so far.", props.level, props.seed, tries_words(props.tries)) }</p>
            <label class="find"><span class="unseen">{ "What do you think it is?" }</span>
                <input id="guess" type="search" placeholder="what is it? smear, gap, screen\u{2026}" oninput={look} /></label>
            <ul class="guesses">{ for listed }</ul>
            { if more > 0 { html! { <p class="note">{ format!("and {more} more; write another letter") }</p> } } else { Html::default() } }
            <div class="outcome" role="status" id="surprise-answer">{ answer }</div>
            <button type="button" class="plain" onclick={give_up}>{ "Give up: show it" }</button>
        </div>
    }
}

fn tries_words(tries: usize) -> String {
    match tries {
        0 => "no guess".to_owned(),
        1 => "1 guess".to_owned(),
        n => format!("{n} guesses"),
    }
}
