//! The proof run, and the service note that closes a call.

use super::turns::row;
use super::{deed, family_title, go};
use crate::store::calls::CallDeed;
use crate::store::{Action, use_store};
use diagnosis::family::FAMILIES;
use lessons::callout::Act;
use lessons::callout::score::PARTS;
use web_sys::{HtmlSelectElement, HtmlTextAreaElement};
use yew::prelude::*;

/// The turn.
#[function_component(ProveTurn)]
pub fn prove_turn() -> Html {
    let store = use_store();
    let Some(visit) = store.ui.calls.visit.clone() else { return Html::default() };
    let checks: Vec<&str> = visit.case.proof.iter().map(|check| check.row().title).collect();
    let about = format!(
        "As the fault showed itself: {}. Every one has to come out as on the healthy machine.",
        checks.join("; ")
    );
    let choose = {
        let ui = store.ui.clone();
        move |event: Event| {
            let Some(select) = event.target_dyn_into::<HtmlSelectElement>() else { return };
            let name = select.value();
            if !name.is_empty() {
                ui.dispatch(Action::Call(CallDeed::Cause(name)));
            }
            select.set_value("");
        }
    };
    let part = |(at, (name, about)): (usize, &(&'static str, &'static str))| {
        let ui = store.ui.clone();
        let oninput = move |event: InputEvent| {
            if let Some(area) = event.target_dyn_into::<HtmlTextAreaElement>() {
                ui.dispatch(Action::Call(CallDeed::Write(at, area.value())));
            }
        };
        html! { <label class="write" key={*name}><span><b>{ *name }</b>{ ": " }{ *about }</span><textarea id={format!("note-{at}")} rows="2" maxlength="2000" {oninput} value={visit.note.words[at].clone()} /></label> }
    };
    let cite = {
        let (ui, visit) = (store.ui.clone(), visit.clone());
        move |_: MouseEvent| {
            let lines: Vec<String> = visit
                .pinned
                .iter()
                .filter_map(|at| {
                    let entry = visit.entries.get(*at)?;
                    let found = entry.told.lines().next().unwrap_or_default();
                    Some(format!("{} min, {found}", entry.from_min))
                })
                .collect();
            let before = visit.note.words[1].trim().to_owned();
            let all = if before.is_empty() { lines.join("\n") } else { format!("{before}\n{}", lines.join("\n")) };
            ui.dispatch(Action::Call(CallDeed::Write(1, all)));
        }
    };
    let sign = {
        let store = store.clone();
        move |_: MouseEvent| go::close(&store)
    };
    let missing = visit.unfinished();
    html! {
        <>
            <h3>{ "Proof run" }</h3>
            <ul class="acts">{ row(&store, Act::Prove, "Make the proof run", &about, Act::Prove.minutes()) }</ul>
            <h3>{ "Service note" }</h3>
            <div class="write"><span><b>{ "Cause" }</b>{ ": all that was wrong, and nothing else" }</span>
                <ul class="named">{ for visit.note.causes.iter().map(|name| html! { <li key={name.clone()}>{ family_title(name) }<button type="button" class="plain" aria-label={format!("Take out: {}", family_title(name))} onclick={deed(&store, CallDeed::Cause(name.clone()))}>{ "\u{00d7}" }</button></li> }) }</ul>
                <select id="note-cause" aria-label="Name a cause" onchange={choose}><option value="" selected=true>{ "Name a cause \u{2026}" }</option>{ for FAMILIES.iter().filter(|f| !visit.note.causes.iter().any(|n| n == f.name)).map(|f| html! { <option value={f.name}>{ f.title }</option> }) }</select>
            </div>
            { if visit.pinned.is_empty() { Html::default() } else { html! { <p class="ends"><button type="button" id="note-cite" onclick={cite}>{ "Put the marked readings into the evidence" }</button></p> } } }
            { for PARTS.iter().enumerate().map(part) }
            <p class="ends"><button type="button" class="solid" id="note-sign" disabled={visit.note.causes.is_empty() || visit.doing.is_some()} onclick={sign}>{ "Sign and close the call" }</button>
                <span class="note">{ missing.unwrap_or("Nothing can be done at the machine after that.") }</span></p>
        </>
    }
}
