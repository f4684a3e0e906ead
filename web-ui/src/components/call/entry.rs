//! One thing that was done, as the notebook and the debrief show it.

use super::plot::Plot;
use crate::jobs::words::{plain, with_unit};
use diagnosis::Check;
use lessons::callout::Act;
use lessons::callout::Case;
use lessons::callout::play::{Entry, Shown};
use yew::prelude::*;

/// What was done, in words.
pub fn title(act: &str, case: &Case) -> String {
    match Act::read(act, false).ok().and_then(|acts| acts.first().copied()) {
        Some(Act::Ask(n)) => case.statements.get(n).map_or_else(String::new, |statement| statement.ask.clone()),
        Some(act) => act.title(),
        None => act.to_owned(),
    }
}

/// What was done as a heading; what a person of the case says stays in the language of the case.
pub fn heading(act: &str, case: &Case) -> Html {
    html! { <b translate={act.starts_with("ask").then_some("no")}>{ title(act, case) }</b> }
}

/// What came of it: a reading in the words of its outcome, else what was told.
pub fn result(entry: &Entry) -> Html {
    let Some(shown) = &entry.shown else {
        let said = entry.act.starts_with("ask").then_some("no");
        return html! { <>{ for entry.told.lines().map(|line| html! { <p translate={said}>{ line.to_owned() }</p> }) }</> };
    };
    let words = Check::by_name(&shown.check)
        .and_then(|check| check.row().outcomes.get(usize::from(shown.outcome)))
        .map_or("", |outcome| outcome.words);
    // Behind the first sentence stands what ended it early, or what broke.
    let rest = entry.told.split_once(&format!("{words}.")).map_or("", |(_, rest)| rest).trim();
    html! {
        <>
            <p class={classes!("found", (shown.outcome > 0).then_some("odd"))}>{ words }</p>
            { if rest.is_empty() { Html::default() } else { html! { <p>{ rest.to_owned() }</p> } } }
        </>
    }
}

/// Figures and picture of a reading.
pub fn figures(shown: &Shown) -> Html {
    let row = |(name, value, usual): &(String, f64, Option<f64>)| {
        let usual = usual.map_or(String::new(), |usual| with_unit(name, usual));
        html! { <tr><th scope="row">{ plain(name) }</th><td class="digits">{ with_unit(name, *value) }</td><td class="digits">{ usual }</td></tr> }
    };
    html! {
        <>
            { shown.picture.as_ref().map(|picture| html! { <Plot picture={picture.clone()} usual={shown.usual.clone()} /> }).unwrap_or_default() }
            { if shown.figures.is_empty() { Html::default() } else { html! {
                <details class="figures"><summary>{ "Figures" }</summary>
                    <table><thead><tr><th scope="col"><span class="unseen">{ "what" }</span></th><th scope="col">{ "read" }</th><th scope="col">{ "as delivered" }</th></tr></thead>
                    <tbody>{ for shown.figures.iter().map(row) }</tbody></table>
                </details>
            } } }
        </>
    }
}
