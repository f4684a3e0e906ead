//! The search for a hidden fault: guessed from the catalogue, or given up; and what it was.

use super::poll_row::CHECK;
use super::sign::Sign;
use crate::lab::Guess;
use crate::later::later_view;
use crate::store::use_store;
use sim_core::fault::service::service_of;
use sim_core::fault::{FaultId, TABLE};
use web_sys::HtmlInputElement;
use yew::prelude::*;

/// A cross: not this one.
const CROSS: &str = "M3 1.6l5 5l5 -5l1.4 1.4l-5 5l5 5l-1.4 1.4l-5 -5l-5 5l-1.4 -1.4l5 -5l-5 -5z";
/// Most faults listed for a guess.
const LISTED: usize = 7;

later_view! {
    /// [`Outcome`], fetched.
    pub fn outcome_later() of Outcome, in desk
}

/// What was hidden, once it is open.
#[function_component(Outcome)]
fn outcome() -> Html {
    let store = use_store();
    let Some(drawn) = store.lab.0.borrow().drawn().cloned() else { return Html::default() };
    let rows = drawn.faults.iter().map(|fault| {
        let row = fault.id.row();
        let place = if row.has_place { format!(" at {:.0} mm", fault.at_m * 1e3) } else { String::new() };
        html! {
            <>
                <p><b>{ format!("It was: {}, {:.0} %{place}.", row.title, fault.severity * 100.0) }</b></p>
                { evidence(fault.id) }
            </>
        }
    });
    let class = if drawn.given_up { "outcome" } else { "outcome right" };
    html! { <div {class} role="status" id="surprise-outcome">{ for rows }</div> }
}

/// What tells a fault from its look-alikes.
fn evidence(id: FaultId) -> Html {
    let tells = service_of(id.row().name).map_or(&[][..], |service| service.tells);
    html! { <ul class="tells">{ for tells.iter().map(|words| html! { <li>{ *words }</li> }) }</ul> }
}

later_view! {
    /// [`Hunt`], fetched.
    pub fn hunt_later() of Hunt, in desk
}

/// While it is hidden: search the catalogue and say what it is.
#[function_component(Hunt)]
fn hunt() -> Html {
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
    let told = store.lab.0.borrow().drawn().map_or_else(String::new, |drawn| {
        format!("Level {}, no. {}; {} so far.", drawn.level.number(), drawn.seed, tries_words(drawn.guesses.len()))
    });
    html! {
        <div class="surprise hunt">
            <h2>{ "A fault is hidden" }</h2>
            <p class="note">{ told }</p>
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
