//! The head of the sheet: which bench and scene, how the clock runs, the look.

use super::keep_menu::KeepMenu;
use super::present_flap::Flap;
use super::sign::{PAUSE, RIGHT, START, STEP, STEP_BACK, Sign};
use crate::draw::tokens::Theme;
use crate::keys::{Deed, act};
use crate::lab::PACES;
use crate::store::cover::scene_covered;
use crate::store::{Action, use_store};
use sim_core::record::Doing;
use web_sys::{HtmlInputElement, HtmlSelectElement};
use yew::prelude::*;

/// The head.
#[function_component(Header)]
pub fn header() -> Html {
    let store = use_store();
    let lab = store.lab.0.borrow();
    let clock = &lab.clock;
    let running = clock.running;
    let restart = {
        let store = store.clone();
        move |_: MouseEvent| store.change(|lab| lab.restart())
    };
    let toggle = {
        let store = store.clone();
        move |_: MouseEvent| act(&store, Deed::Run)
    };
    let step = {
        let store = store.clone();
        move |_: MouseEvent| act(&store, Deed::StepOn)
    };
    let back = {
        let store = store.clone();
        move |_: MouseEvent| act(&store, Deed::StepBack)
    };
    let pace = {
        let store = store.clone();
        move |event: InputEvent| {
            let Some(input) = event.target_dyn_into::<HtmlInputElement>() else { return };
            let index = input.value().parse::<usize>().unwrap_or(0);
            // The slider runs from slow to real time, left to right.
            store.change(|lab| lab.clock.set_pace(PACES.len() - 1 - index.min(PACES.len() - 1)));
        }
    };
    let theme = {
        let ui = store.ui.clone();
        move |_: MouseEvent| {
            let other = if ui.theme == Theme::Light { Theme::Dark } else { Theme::Light };
            crate::web::keep_theme(other);
            ui.dispatch(Action::Theme(other));
        }
    };
    let slower = clock.slower();
    let pace_words = if slower <= 1.0 { "real time".to_owned() } else { format!("1 : {slower:.0}") };
    let pace_index = PACES.len() - 1 - clock.pace();
    html! {
        <header class="head">
            <h1>{ "Countlight" }</h1>
            <ScenePicker />
            <p class="state" role="status" id="state">{ state_words(&lab) }</p>
            <div class="transport" role="group" aria-label="Clock">
                <button type="button" onclick={restart} aria-label="Start the scene again" title="Start the scene again"><Sign d={START} /></button>
                <button type="button" onclick={back} aria-label="One step back" title="One step back, into the recording (,)"><Sign d={STEP_BACK} /></button>
                <button type="button" onclick={toggle} id="run" aria-label={if running { "Pause" } else { "Run" }} title={if running { "Pause" } else { "Run" }}>
                    <Sign d={if running { PAUSE } else { RIGHT }} />
                </button>
                <button type="button" onclick={step} aria-label="One step on" title="One step on (.)"><Sign d={STEP} /></button>
            </div>
            <label class="pace">
                <span>{ "speed" }</span>
                <input type="range" aria-label="speed" min="0" max={(PACES.len() - 1).to_string()} step="1" value={pace_index.to_string()}
                    aria-valuetext={pace_words.clone()} oninput={pace} />
                <output>{ pace_words }</output>
            </label>
            <KeepMenu />
            <button type="button" class="plain" onclick={theme}>{ if store.ui.theme == Theme::Light { "Dark sheet" } else { "Light sheet" } }</button>
        </header>
    }
}

/// What the clock and the axis are doing.
fn state_words(lab: &crate::lab::Lab) -> String {
    let record = lab.sim().record();
    let doing = match record.doing {
        Doing::Off => "drive off",
        Doing::Holding => "holding its place",
        Doing::Moving => "moving",
        Doing::Homing => "homing",
        Doing::Stopping => "being stopped",
        Doing::Tripped => "stopped by an alarm",
    };
    if lab.in_past() {
        return format!("Looking back: {doing}");
    }
    if lab.clock.running {
        let behind = if lab.clock.is_behind() { ", slower than asked" } else { "" };
        return format!("Running{behind}: {doing}");
    }
    match lab.last_alarm_s() {
        Some(alarm_s) if lab.sim().time_s() - alarm_s < 1.0 => {
            format!("Paused {:.1} ms after the alarm", (lab.sim().time_s() - alarm_s) * 1e3)
        }
        _ => format!("Paused: {doing}"),
    }
}

/// Chooses one of the shipped scenes.
#[function_component(ScenePicker)]
fn scene_picker() -> Html {
    let store = use_store();
    let current = store.lab.0.borrow().scene_id().to_owned();
    let scenes = use_memo((), |()| {
        lessons::shipped()
            .into_iter()
            .filter_map(|shipped| {
                lessons::read(shipped.id, shipped.text).ok().map(|scene| (shipped.group, shipped.id, scene.title))
            })
            .collect::<Vec<_>>()
    });
    let own = !scenes.iter().any(|(_, id, _)| *id == current);
    let onchange = {
        let store = store.clone();
        move |event: Event| {
            let Some(select) = event.target_dyn_into::<HtmlSelectElement>() else { return };
            if let Some(shipped) = lessons::shipped_by_name(&select.value()) {
                crate::web::open_file(&store, shipped.id, shipped.text.as_bytes());
            }
        }
    };
    let title = store.lab.0.borrow().scene().title.clone();
    let of = |group: &'static str| {
        scenes.iter().filter(move |(of, _, _)| *of == group).map(|(_, id, title)| {
            html! { <option key={*id} value={*id} selected={*id == current}>{ title.clone() }</option> }
        })
    };
    if scene_covered(&store) {
        return html! { <div class="bench"><Flap what="scene" /></div> };
    }
    html! {
        <label class="bench">
            <span class="unseen">{ "Scene" }</span>
            <select id="scene" {onchange}>
                { if own { html! { <option value={current.clone()} selected=true>{ title }</option> } } else { Html::default() } }
                { for of("") }
                <optgroup label="Faults and their signatures">{ for of("faults") }</optgroup>
            </select>
        </label>
    }
}
