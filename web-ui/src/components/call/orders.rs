//! The work orders: those that come with the program, one by chance, one from a link, one that an instructor makes.

use super::go;
use super::hide::HideBox;
use crate::components::level_choice::LevelChoice;
use crate::store::{Store, use_store};
use lessons::callout::code::Ticket;
use lessons::callout::{Case, made, read};
use sim_core::fault::hidden::Level;
use sim_core::setup::BenchId;
use web_sys::{HtmlInputElement, HtmlSelectElement};
use yew::prelude::*;

/// Greatest number that is offered for a call by chance.
const MOST: u64 = 9999;

/// The leaf.
#[function_component(OrdersLeaf)]
pub fn orders_leaf() -> Html {
    let store = use_store();
    let cases = use_memo((), |()| lessons::cases().filter_map(|(id, text)| read(id, text).ok()).collect::<Vec<_>>());
    let kept = use_memo(store.ui.calls.visit.is_some(), |_| go::kept());
    let again = kept.as_ref().as_ref().filter(|_| store.ui.calls.visit.is_none()).map(|handed| {
        let (store, to) = (store.clone(), handed.clone());
        let onclick = move |_: MouseEvent| go::take_up(&store, &to);
        html! { <p class="ends"><button type="button" class="solid" id="call-again" {onclick}>{ format!("Go on with the visit that was begun ({} things done)", handed.acts.len()) }</button></p> }
    });
    html! {
        <>
            <div class="course-head">
                <h2>{ "Call-outs" }</h2>
                <p>{ "A machine stands still at Pell Harbour Joinery. Find out why, prove it, put it right, leave it safe. Every reading comes from the machine as it stands; it costs minutes, and parts cost more." }</p>
                { again.unwrap_or_default() }
            </div>
            <ol class="lessons orders">{ for cases.iter().map(|case| row(&store, case)) }</ol>
            <div class="order-boxes">
                <ChanceBox />
                <LinkBox />
                <HideBox />
            </div>
            <p class="note">{ "What is hidden is not written anywhere on the page before you close a call. Somebody who takes the program apart can find it; so a result shows what was done, and proves nobody's name. Rules of your site, the maker's manual and people licensed for it come before anything that this page says." }</p>
        </>
    }
}

fn row(store: &Store, case: &Case) -> Html {
    let letters = Ticket::Shipped { id: case.id.clone(), seed: go::SEED }.letters();
    let here = store.ui.calls.visit.as_ref().is_some_and(|visit| visit.ticket == letters);
    let (number, _) = case.id.split_once('-').unwrap_or((&case.id, ""));
    let start = {
        let store = store.clone();
        move |_: MouseEvent| go::open(&store, &letters)
    };
    let level = usize::from(case.level);
    html! {
        <li key={case.id.clone()} class={classes!("lesson-row", here.then_some("next"))}>
            <span class="no digits">{ number.trim_start_matches('J') }</span>
            <div><h3 translate="no">{ case.title.clone() }</h3><p class="note">{ case.bench.title() }</p></div>
            <span class="state" title={format!("Level {level} of 5")}><span class="unseen">{ format!("Level {level} of 5") }</span><span class="levels" aria-hidden="true">{ for (0..5).map(|i| html! { <i class={if i < level { "on" } else { "" }} /> }) }</span></span>
            <div class="row-ends"><button type="button" id={format!("go-{number}")} onclick={start}>{ if here { "Begin again" } else { "Take the call" } }</button></div>
        </li>
    }
}

/// A call by chance, the same on every device for a machine, a level and a number.
#[function_component(ChanceBox)]
fn chance_box() -> Html {
    let store = use_store();
    let (bench, level) = (use_state(|| BenchId::RouterGantry), use_state(Level::default));
    let number = use_state(|| (js_sys::Math::random() * MOST as f64) as u64 + 1);
    let machine = {
        let bench = bench.clone();
        move |event: Event| {
            let Some(select) = event.target_dyn_into::<HtmlSelectElement>() else { return };
            if let Some(chosen) = made::MACHINES.into_iter().find(|of| of.name() == select.value()) {
                bench.set(chosen);
            }
        }
    };
    let choose = {
        let level = level.clone();
        Callback::from(move |chosen| level.set(chosen))
    };
    let type_number = {
        let number = number.clone();
        move |event: Event| {
            if let Some(input) = event.target_dyn_into::<HtmlInputElement>() {
                number.set(input.value().trim().parse::<u64>().map_or(*number, |n| n.clamp(1, MOST)));
            }
        }
    };
    let start = {
        let (store, bench, level, number) = (store.clone(), *bench, *level, *number);
        move |_: MouseEvent| go::open(&store, &Ticket::Random { bench, level, seed: number }.letters())
    };
    html! {
        <section class="order-box">
            <h3>{ "By chance" }</h3>
            <p>{ "Any fault of the catalogue. The same machine, level and number give the same call on every device: a class can race." }</p>
            <div class="setting field"><label>{ "Machine " }<select id="chance-machine" onchange={machine}>{ for made::MACHINES.iter().map(|of| html! { <option value={of.name()} selected={*of == *bench}>{ of.title() }</option> }) }</select></label></div>
            <div class="setting field">
                <LevelChoice level={*level} onchoose={choose} />
                <label>{ "No. " }<input id="chance-number" type="number" min="1" max={MOST.to_string()} step="1" value={number.to_string()} onchange={type_number} /></label>
            </div>
            <p class="ends"><button type="button" id="chance-go" disabled={store.ui.calls.busy.is_some()} onclick={start}>{ "Take this call" }</button></p>
        </section>
    }
}

/// A call that somebody handed on.
#[function_component(LinkBox)]
fn link_box() -> Html {
    let store = use_store();
    let node = use_node_ref();
    let start = {
        let (store, node) = (store.clone(), node.clone());
        move |_: MouseEvent| {
            if let Some(input) = node.cast::<HtmlInputElement>() {
                go::open(&store, &input.value());
            }
        }
    };
    html! {
        <section class="order-box">
            <h3>{ "From a link" }</h3>
            <p>{ "Somebody sent you a call: open its link, or put its letters in here." }</p>
            <label class="write"><span>{ "Link or letters" }</span><input ref={node} id="call-link" type="text" spellcheck="false" autocomplete="off" /></label>
            <p class="ends"><button type="button" id="call-link-go" onclick={start}>{ "Open it" }</button></p>
        </section>
    }
}
