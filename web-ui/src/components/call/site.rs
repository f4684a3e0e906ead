//! At the machine: the work order, what can be done, the notebook; then the debrief.

use super::debrief::DebriefSheet;
use super::entry::{figures, heading, result};
use super::go;
use super::notebook::Notebook;
use super::prove::ProveTurn;
use super::safe::SafeTurn;
use super::turns::{AskTurn, MeasureTurn, MendTurn};
use crate::store::calls::{CallDeed, OnSite, Turn};
use crate::store::{Action, use_store};
use sim_core::bench::command::SafetyAct;
use yew::prelude::*;

/// The leaf.
#[function_component(SiteLeaf)]
pub fn site_leaf() -> Html {
    let store = use_store();
    let Some(visit) = store.ui.calls.visit.clone() else {
        return html! { <p>{ "No call is taken. Choose a work order." }</p> };
    };
    if visit.debrief.is_some() {
        return html! { <DebriefSheet /> };
    }
    let tab = |(turn, words): &(Turn, &'static str)| {
        html! { <button type="button" class="view" aria-pressed={(visit.turn == *turn).to_string()} onclick={go::turn(&store, *turn)}>{ *words }</button> }
    };
    let leave = {
        let ui = store.ui.clone();
        move |_: MouseEvent| {
            go::keep(None);
            ui.dispatch(Action::Call(CallDeed::Leave));
        }
    };
    html! {
        <>
            <StateStrip />
            <div class="site">
                <section class="work-order" aria-labelledby="order-title">
                    <p class="order-head"><span>{ "Work order" }</span><span class="digits">{ visit.case.id.split_once('-').map_or("", |(number, _)| if number.starts_with('J') { number } else { "" }).to_owned() }</span></p>
                    <h2 id="order-title" translate="no">{ visit.case.title.clone() }</h2>
                    <p class="note">{ visit.case.bench.title() }</p>
                    { for visit.case.order.split("\n\n").map(|words| html! { <p translate="no">{ words.replace('\n', " ") }</p> }) }
                    <p class="ends"><button type="button" class="link" onclick={leave}>{ "Give the call back" }</button></p>
                </section>
                <section class="turns" aria-label="What you do">
                    <div class="views" role="group" aria-label="What you turn to">{ for Turn::ALL.iter().map(tab) }</div>
                    { latest(&visit) }
                    { match visit.turn {
                        Turn::Ask => html! { <AskTurn /> },
                        Turn::Measure => html! { <MeasureTurn /> },
                        Turn::Safe => html! { <SafeTurn /> },
                        Turn::Mend => html! { <MendTurn /> },
                        Turn::Close => html! { <ProveTurn /> },
                    } }
                </section>
                <Notebook />
            </div>
        </>
    }
}

/// What was done last, where the notebook is out of sight: on a phone.
fn latest(visit: &OnSite) -> Html {
    let Some(entry) = visit.entries.last() else { return Html::default() };
    html! {
        <div class="latest" role="status">
            <p class="when">{ heading(&entry.act, &visit.case) }</p>
            { result(entry) }
            { entry.shown.as_ref().map(figures).unwrap_or_default() }
        </div>
    }
}

/// Time, cost, and how the machine stands.
#[function_component(StateStrip)]
fn state_strip() -> Html {
    let store = use_store();
    let Some(visit) = store.ui.calls.visit.clone() else { return Html::default() };
    let now = &visit.now;
    let (sign, power) = match () {
        () if now.safe.contains(&SafetyAct::VerifyDead) => ("dead", "locked out, proved dead"),
        () if now.isolated => ("open", "disconnector open, not proved dead"),
        () if now.tripped => ("alarm", "has power; an alarm stands, drive off"),
        () if now.drive_on => ("live", "has power; drive on"),
        () => ("live", "has power; drive off"),
    };
    let doing = visit.doing.as_ref().map(|act| {
        let words = if act.is_empty() { "You arrive.".to_owned() } else { working(act, &visit) };
        html! { <p class="busy" role="status" id="call-doing"><span class="turning" aria-hidden="true" />{ words }</p> }
    });
    html! {
        <div class="state-strip">
            <p><span>{ "Minutes" }</span><b class="digits" id="call-minutes">{ now.minutes.to_string() }</b></p>
            <p><span>{ "Cost" }</span><b class="digits" id="call-cost">{ now.cost.to_string() }</b></p>
            <p class="grow"><span>{ "Machine" }</span><b id="call-state" data-state={sign}><i class={classes!("state-sign", sign)} aria-hidden="true" />{ power }
                { if now.hangs { if now.safe.contains(&SafetyAct::Prop) { "; table propped" } else { "; the table hangs" } } else { "" } }
                { if now.break_out { "; break-out fitted" } else { "" } }</b></p>
            { match now.proof { Some(true) => html! { <p><span>{ "Proof run" }</span><b>{ "good" }</b></p> }, Some(false) => html! { <p><span>{ "Proof run" }</span><b class="odd">{ "failed" }</b></p> }, None => Html::default() } }
            { doing.unwrap_or_default() }
        </div>
    }
}

fn working(act: &str, visit: &OnSite) -> String {
    if act == "close" {
        return "The debrief is being worked out.".to_owned();
    }
    format!("{} \u{2026}", super::entry::title(act, &visit.case).trim_end_matches('?'))
}
