//! Locking out and making ready again, and what is done on a dead machine.

use super::go;
use super::turns::{dead_checks, row};
use crate::components::poll_row::CHECK;
use crate::components::sign::Sign;
use crate::store::use_store;
use lessons::callout::Act;
use lessons::callout::act::LABEL_WAIT_MIN;
use sim_core::bench::command::SafetyAct;
use yew::prelude::*;

/// The turn.
#[function_component(SafeTurn)]
pub fn safe_turn() -> Html {
    let store = use_store();
    let Some(visit) = store.ui.calls.visit.clone() else { return Html::default() };
    let (now, busy) = (&visit.now, visit.doing.is_some());
    let step = |act: Act, title: String, stands: bool| {
        let (store, line) = (store.clone(), act.to_string());
        let id = format!("act-{}", line.replace(' ', "-"));
        let onclick = move |_: MouseEvent| go::act(&store, std::slice::from_ref(&line));
        html! {
            <li key={id.clone()} class={if stands { "met" } else { "" }}>
                <button type="button" {id} disabled={busy} {onclick}>{ if stands { html! { <Sign d={CHECK} /> } } else { html! { <span class="dot" /> } } }<span class="grow">{ title }</span><span class="takes digits">{ format!("{} min", act.minutes()) }</span></button>
            </li>
        }
    };
    let safety = |act: SafetyAct| step(Act::Safety(act), act.order().to_owned(), now.safe.contains(&act));
    let waited = visit
        .entries
        .iter()
        .rev()
        .take_while(|entry| entry.act != "isolate")
        .any(|entry| entry.act.starts_with("wait"));
    html! {
        <>
            <h3>{ "Make it safe" }</h3>
            <p class="note">{ "In this order. The drive keeps a charge behind an open disconnector: its label says how long to wait. Your site's rules and the maker's manual decide." }</p>
            <ol class="steps">
                { safety(SafetyAct::SwitchOff) }
                { if now.hangs { safety(SafetyAct::Prop) } else { Html::default() } }
                { for [SafetyAct::Isolate, SafetyAct::Lock, SafetyAct::TryStart].map(safety) }
                { step(Act::Wait(LABEL_WAIT_MIN), format!("Wait {LABEL_WAIT_MIN} min, as the label says"), now.isolated && waited) }
                { safety(SafetyAct::VerifyDead) }
            </ol>
            <h3>{ "On a dead machine" }</h3>
            <ul class="acts">
                { dead_checks(&store) }
                { row(&store, Act::BreakOut, "Fit the break-out at the head's plug", "Then signals can be read there with power on.", Act::BreakOut.minutes()) }
            </ul>
            <h3>{ "Make it ready" }</h3>
            <ol class="steps">
                { safety(SafetyAct::Unlock) }
                { if now.hangs { safety(SafetyAct::PropOut) } else { Html::default() } }
                { safety(SafetyAct::SwitchOn) }
                { step(Act::Ready, "Alarm acknowledged, drive on, zero taken".to_owned(), !now.isolated && now.drive_on && now.referenced) }
            </ol>
        </>
    }
}
