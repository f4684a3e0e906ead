//! The strip at the foot of the presenter view: everything that works by key also stands here. It fades while nobody
//! moves.

use super::present_cover::ChainCover;
use super::present_scenes::PresentScenes;
use super::sign::{PAUSE, RIGHT, Sign};
use crate::keys::{Deed, act};
use crate::store::cover::covered;
use crate::store::present::{self, Choosing, Present, PresentDeed};
use crate::store::{Action, Store, use_store};
use sim_core::bench::command::Command;
use std::cell::Cell;
use std::rc::Rc;
use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;
use web_sys::HtmlInputElement;
use yew::prelude::*;

/// After this time without a move the strip fades, ms.
const QUIET_MS: i32 = 3000;

/// The strip.
#[function_component(PresentStrip)]
pub fn present_strip() -> Html {
    let store = use_store();
    let awake = use_awake();
    let (running, alarm) = {
        let lab = store.lab.0.borrow();
        (lab.clock.running, lab.sim().record().alarm)
    };
    let chosen = store.ui.present.choosing;
    let covered = covered(&store);
    let button = |deed: Deed, words: &str, key: &str| {
        let store = store.clone();
        html! { <button type="button" title={format!("{words} ({key})")} onclick={move |_: MouseEvent| act(&store, deed)}>{ words.to_owned() }</button> }
    };
    let run = if running { "Pause" } else { "Run" };
    let clock = {
        let store = store.clone();
        move |_: MouseEvent| act(&store, Deed::Run)
    };
    let open = |what: Choosing, words: &'static str| {
        let ui = store.ui.clone();
        let expanded = chosen == what;
        let onclick = move |_: MouseEvent| {
            ui.dispatch(Action::Present(PresentDeed::Choosing(if expanded { Choosing::Nothing } else { what })));
        };
        html! { <button type="button" aria-expanded={expanded.to_string()} {onclick}>{ words }</button> }
    };
    // Here the instructor decides, also about a hidden fault.
    let flap = {
        let store = store.clone();
        move |_: MouseEvent| present::cover(&store, !covered)
    };
    let acknowledge = {
        let store = store.clone();
        move |_: MouseEvent| {
            store.change(|lab| lab.clock.running = true);
            store.command(Command::Acknowledge);
        }
    };
    html! {
        <footer class={classes!("strip", (!awake).then_some("quiet"))} aria-label="Presenter's controls">
            { if chosen == Choosing::Instruments && awake { html! { <Instruments /> } } else { Html::default() } }
            <div class="strip-row">
                { button(Deed::Back, "Back", "left, Page Up") }
                { button(Deed::Next, "Next", "right, Page Down") }
                <button type="button" id="run" aria-label={run} title={format!("{run} (k)")} onclick={clock}><Sign d={if running { PAUSE } else { RIGHT }} /></button>
                { if alarm { html! { <button type="button" onclick={acknowledge}>{ "Acknowledge" }</button> } } else { Html::default() } }
                <button type="button" title="Cover the cause, or reveal it (c)" onclick={flap}>{ if covered { "Reveal" } else { "Cover" } }</button>
                { button(Deed::Poll, "Poll", "q") }
                { button(Deed::Pen, "Pen", "w") }
                { button(Deed::Blank, "Blank", "b") }
                { open(Choosing::Instruments, "Instruments") }
                { open(Choosing::Scenes, "Scenes") }
                { button(Deed::Present, "Leave", "Esc") }
            </div>
            { if chosen == Choosing::Scenes { html! { <PresentScenes /> } } else { Html::default() } }
        </footer>
    }
}

/// Which instruments are shown.
#[function_component(Instruments)]
fn instruments() -> Html {
    let store = use_store();
    let ticks = Present::choices().into_iter().map(|(key, name)| {
        let store = store.clone();
        let checked = store.ui.present.shows(key);
        let onchange = move |event: Event| {
            if let Some(input) = event.target_dyn_into::<HtmlInputElement>() {
                show(&store, key, input.checked());
            }
        };
        html! { <label class="switch" key={key}><input type="checkbox" {checked} {onchange} />{ name }</label> }
    });
    html! {
        <div class="strip-row instruments" role="group" aria-label="Instruments that are shown">
            { for ticks }
            <ChainCover />
        </div>
    }
}

fn show(store: &Store, key: &str, show: bool) {
    let deed = PresentDeed::Show(key.to_owned(), show);
    crate::web::keep("present-shown", &store.ui.present.clone().after(deed.clone()).shown.join(" "));
    store.ui.dispatch(Action::Present(deed));
}

/// Whether somebody moved the pointer or pressed a key in the last seconds.
#[hook]
fn use_awake() -> bool {
    let awake = use_state(|| true);
    {
        let awake = awake.setter();
        use_effect_with((), move |()| {
            let window = web_sys::window();
            let timer = Rc::new(Cell::new(None::<i32>));
            let sleep = {
                let awake = awake.clone();
                Closure::<dyn FnMut()>::new(move || awake.set(false))
            };
            let stir = {
                let (window, timer) = (window.clone(), timer.clone());
                let sleep = sleep.as_ref().unchecked_ref::<js_sys::Function>().clone();
                move || {
                    let Some(window) = &window else { return };
                    if let Some(id) = timer.take() {
                        window.clear_timeout_with_handle(id);
                    }
                    timer.set(window.set_timeout_with_callback_and_timeout_and_arguments_0(&sleep, QUIET_MS).ok());
                }
            };
            stir();
            let listener = Closure::<dyn FnMut(web_sys::Event)>::new(move |_| {
                awake.set(true);
                stir();
            });
            let document = window.as_ref().and_then(|w| w.document());
            const KINDS: [&str; 3] = ["pointermove", "pointerdown", "keydown"];
            for kind in KINDS {
                if let Some(document) = &document {
                    let _ = document.add_event_listener_with_callback(kind, listener.as_ref().unchecked_ref());
                }
            }
            move || {
                for kind in KINDS {
                    if let Some(document) = &document {
                        let _ = document.remove_event_listener_with_callback(kind, listener.as_ref().unchecked_ref());
                    }
                }
                if let (Some(window), Some(id)) = (window, timer.take()) {
                    window.clear_timeout_with_handle(id);
                }
                drop((listener, sleep));
            }
        });
    }
    *awake
}
