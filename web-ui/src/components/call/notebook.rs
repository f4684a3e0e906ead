//! The notebook: everything that was done and read, newest first; marks; what the learner thinks it is.

use super::entry::{figures, heading, result, title};
use super::{deed, family_title};
use crate::store::calls::{CallDeed, OnSite};
use crate::store::{Action, Store, use_store};
use diagnosis::family::FAMILIES;
use lessons::callout::play::Entry;
use web_sys::{HtmlInputElement, HtmlSelectElement};
use yew::prelude::*;

/// The notebook.
#[function_component(Notebook)]
pub fn notebook() -> Html {
    let store = use_store();
    let Some(visit) = store.ui.calls.visit.clone() else { return Html::default() };
    // What was thought stands where it was thought.
    let mut rows: Vec<Html> = Vec::new();
    for (at, entry) in visit.entries.iter().enumerate().rev() {
        rows.extend(thoughts(&visit, at + 1));
        rows.push(row(&store, &visit, at, entry));
    }
    rows.extend(thoughts(&visit, 0));
    html! {
        <section class="notebook" aria-labelledby="notebook-title">
            <h3 id="notebook-title">{ "Notebook" }</h3>
            <GuessBox />
            { if rows.is_empty() { html! { <p class="note">{ "What you do and read is written down here." }</p> } } else { html! { <ol reversed=true>{ for rows }</ol> } } }
        </section>
    }
}

fn thoughts(visit: &OnSite, after: usize) -> Vec<Html> {
    let of = visit.guesses.iter().enumerate().rev().filter(|(_, guess)| guess.after == after);
    of.map(|(i, guess)| html! { <li class="thought" key={format!("g{i}")}>{ format!("It may be: {}, {} in 10.", family_title(&guess.family), guess.percent / 10) }</li> }).collect()
}

fn row(store: &Store, visit: &OnSite, at: usize, entry: &Entry) -> Html {
    let pinned = visit.pinned.contains(&at);
    let name = title(&entry.act, &visit.case);
    let label = format!("{}: {name}", if pinned { "Unmark" } else { "Mark as evidence" });
    html! {
        <li key={at.to_string()} class={classes!(pinned.then_some("pinned"))} data-entry={at.to_string()}>
            <p class="when"><span class="digits">{ format!("{} min", entry.from_min) }</span>{ heading(&entry.act, &visit.case) }
                <button type="button" class="plain pin" aria-pressed={pinned.to_string()} aria-label={label.clone()} title={label} onclick={deed(store, CallDeed::Pin(at))}>{ if pinned { "\u{25cf}" } else { "\u{25cb}" } }</button></p>
            { result(entry) }
            { entry.shown.as_ref().map(figures).unwrap_or_default() }
        </li>
    }
}

/// What it may be, and how sure.
#[function_component(GuessBox)]
fn guess_box() -> Html {
    let store = use_store();
    let (family, sure) = (use_node_ref(), use_state(|| 5u8));
    let slide = {
        let sure = sure.clone();
        move |event: InputEvent| {
            if let Some(input) = event.target_dyn_into::<HtmlInputElement>() {
                sure.set(input.value().parse().unwrap_or(5));
            }
        }
    };
    let write = {
        let (ui, family, sure) = (store.ui.clone(), family.clone(), *sure);
        move |_: MouseEvent| {
            let Some(select) = family.cast::<HtmlSelectElement>() else { return };
            if !select.value().is_empty() {
                ui.dispatch(Action::Call(CallDeed::Guess(select.value(), sure * 10)));
            }
        }
    };
    html! {
        <details class="guess"><summary>{ "What may it be?" }</summary>
            <select ref={family} id="guess-family" aria-label="What it may be"><option value="">{ "\u{2026}" }</option>{ for FAMILIES.iter().map(|f| html! { <option value={f.name}>{ f.title }</option> }) }</select>
            <label class="sure"><span>{ format!("How sure: {} in 10", *sure) }</span><input id="guess-sure" type="range" min="1" max="9" step="1" value={sure.to_string()} oninput={slide} /></label>
            <button type="button" id="guess-write" onclick={write}>{ "Write it down" }</button>
        </details>
    }
}
