//! What a technician can turn to: the operator and the log, readings, remedies.

use super::go;
use crate::store::calls::{OnSite, Turn};
use crate::store::{Store, use_store};
use diagnosis::check::{CHECKS, CheckRow, Power};
use lessons::callout::Act;
use lessons::callout::cost;
use lessons::callout::remedy::REMEDIES;
use yew::prelude::*;

/// One thing that can be done, as a row: what, the minutes, what it needs.
pub fn row(store: &Store, act: Act, title: &str, about: &str, minutes: u16) -> Html {
    let Some(visit) = &store.ui.calls.visit else { return Html::default() };
    let line = act.to_string();
    let times = visit.entries.iter().filter(|entry| entry.act == line).count();
    let id = format!("act-{}", line.replace(' ', "-"));
    let onclick = {
        let (store, line) = (store.clone(), line.clone());
        move |_: MouseEvent| go::act(&store, std::slice::from_ref(&line))
    };
    let parts = cost::parts_of(act);
    html! {
        <li key={line}>
            <button type="button" class="act" {id} disabled={visit.doing.is_some()} {onclick}>
                <span class="what"><span translate={matches!(act, Act::Ask(_)).then_some("no")}>{ title.to_owned() }</span>{ if times > 0 { html! { <em>{ if times == 1 { "done".to_owned() } else { format!("done {times} times") } }</em> } } else { Html::default() } }</span>
                <span class="takes digits">{ format!("{minutes} min") }{ if parts > 0 { format!(", parts {parts}") } else { String::new() } }</span>
                { if about.is_empty() { Html::default() } else { html! { <span class="about">{ about.to_owned() }</span> } } }
            </button>
        </li>
    }
}

/// Operator and log.
#[function_component(AskTurn)]
pub fn ask_turn() -> Html {
    let store = use_store();
    let Some(visit) = store.ui.calls.visit.clone() else { return Html::default() };
    let ask = |(n, statement): (usize, &lessons::callout::case::Statement)| {
        row(&store, Act::Ask(n), &statement.ask, "", Act::Ask(n).minutes())
    };
    html! {
        <>
            <h3>{ "The operator" }</h3>
            <p class="note">{ "People tell what they saw and what they think. Hold the one apart from the other." }</p>
            <ul class="acts">{ for visit.case.statements.iter().enumerate().map(ask) }</ul>
            <h3>{ "The control" }</h3>
            <ul class="acts">{ row(&store, Act::Log, "Read the log", "What the control wrote down, with time and place. It needs the machine with power.", Act::Log.minutes()) }</ul>
        </>
    }
}

fn check_row(store: &Store, of: &CheckRow) -> Html {
    row(store, Act::Check(of.check), of.title, of.before, of.minutes)
}

fn checks(store: &Store, power: Power) -> Html {
    CHECKS.iter().filter(|row| row.power == power).map(|row| check_row(store, row)).collect()
}

/// Checks that need a dead machine.
pub fn dead_checks(store: &Store) -> Html {
    checks(store, Power::Dead)
}

/// Says that the machine has no power, where that is so.
fn no_power(visit: &OnSite, store: &Store) -> Html {
    if !visit.now.isolated {
        return Html::default();
    }
    html! { <p class="caution-line">{ "The machine has no power: these would be refused. " }<button type="button" class="link" onclick={go::turn(store, Turn::Safe)}>{ "Make it ready" }</button></p> }
}

/// Readings with power.
#[function_component(MeasureTurn)]
pub fn measure_turn() -> Html {
    let store = use_store();
    let Some(visit) = store.ui.calls.visit.clone() else { return Html::default() };
    html! {
        <>
            { no_power(&visit, &store) }
            <h3>{ "The axis moves" }</h3>
            <p class="note">{ "Guards shut, area clear, one hand at the emergency stop." }</p>
            <ul class="acts">{ checks(&store, Power::Moves) }</ul>
            <h3>{ "The axis stands, power on" }</h3>
            <p class="note">{ "An open cabinet is for authorised people; finger-safe test points, insulated probes. The head's end of the cable needs a break-out, and that is fitted on a dead machine." }</p>
            <ul class="acts">{ checks(&store, Power::On) }</ul>
            <p class="note">{ "What needs a dead machine stands under \u{201c}Lock out\u{201d}." }</p>
        </>
    }
}

/// Remedies.
#[function_component(MendTurn)]
pub fn mend_turn() -> Html {
    let store = use_store();
    let Some(visit) = store.ui.calls.visit.clone() else { return Html::default() };
    let remedies = |dead: bool| {
        let of = REMEDIES.iter().filter(move |remedy| remedy.dead == dead);
        of.map(|remedy| row(&store, Act::Remedy(remedy.remedy), remedy.title, about(remedy), remedy.minutes))
            .collect::<Html>()
    };
    html! {
        <>
            <p class="note">{ "A part that was good stays in the bin. Say first what you would expect to read if you are right." }</p>
            <h3>{ "On a dead machine" }</h3>
            { if visit.now.isolated { Html::default() } else { html! { <p class="caution-line">{ "The machine has power: hands in it now are in danger. " }<button type="button" class="link" onclick={go::turn(&store, Turn::Safe)}>{ "Lock it out first" }</button></p> } } }
            <ul class="acts">{ remedies(true) }</ul>
            <h3>{ "With power" }</h3>
            { no_power(&visit, &store) }
            <ul class="acts">{ remedies(false) }</ul>
        </>
    }
}

fn about(row: &lessons::callout::remedy::RemedyRow) -> &'static str {
    match () {
        () if row.frees_weight => "The table may come off its drive: prop what can fall.",
        () if row.unplugs => "A plug comes off: never with power on it.",
        () if row.name.starts_with("clean-right") => {
            "Gloves and air for the solvent; no flame; what the maker permits."
        }
        () => "",
    }
}
