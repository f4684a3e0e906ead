//! Call-outs over the whole sheet: the work orders, the machine that is visited, results of a class.

mod debrief;
mod entry;
pub mod go;
mod hide;
mod notebook;
mod orders;
mod plot;
mod prove;
mod results;
mod safe;
mod site;
mod turns;

use crate::later::later_view;
use crate::store::calls::{CallDeed, CallLeaf};
use crate::store::{Action, Store, use_store};
use orders::OrdersLeaf;
use results::ResultsLeaf;
use site::SiteLeaf;
use yew::prelude::*;

/// A handler that changes something about call-outs.
fn deed(store: &Store, deed: CallDeed) -> impl Fn(MouseEvent) + 'static {
    let ui = store.ui.clone();
    move |_: MouseEvent| ui.dispatch(Action::Call(deed.clone()))
}

/// Name and title of a family of causes.
fn family_title(name: &str) -> &'static str {
    diagnosis::family::FAMILIES.iter().find(|family| family.name == name).map_or("", |family| family.title)
}

/// A share in words, by tens: "3 in 10".
fn in_ten(share: f64) -> String {
    match (share * 10.0).round() as u32 {
        0 => "hardly".to_owned(),
        10 => "nearly sure".to_owned(),
        tens => format!("{tens} in 10"),
    }
}

/// A bar that is full to a share, 0..1.
fn bar(share: f64, class: &'static str) -> Html {
    let width = format!("{:.1}", share.clamp(0.0, 1.0) * 100.0);
    html! { <svg class={classes!("bar", class)} viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true"><rect {width} height="10" /></svg> }
}

later_view! {
    /// [`Calls`], fetched.
    pub fn calls_later() of Calls, in teach
}

/// The leaf that lies over the sheet.
#[function_component(Calls)]
pub fn calls() -> Html {
    let store = use_store();
    let calls = &store.ui.calls;
    {
        // What was done is kept after each act, so that a reload of the page does not lose it.
        use_effect_with(calls.visit.clone(), |visit| {
            if let Some(visit) = visit {
                go::keep(Some(visit));
            }
        });
    }
    let Some(leaf) = calls.leaf else { return Html::default() };
    let tab = |(of, words): (CallLeaf, &'static str)| {
        html! { <button type="button" class="view" aria-pressed={(leaf == of).to_string()} onclick={deed(&store, CallDeed::Leaf(Some(of)))}>{ words }</button> }
    };
    let mut tabs = vec![(CallLeaf::Orders, "Work orders")];
    if calls.visit.is_some() {
        tabs.push((CallLeaf::Site, "At the machine"));
    }
    tabs.push((CallLeaf::Results, "Results of a class"));
    html! {
        <>
            <header class="head">
                <h1>{ "Countlight" }</h1>
                <div class="views" role="group" aria-label="Call-outs">{ for tabs.into_iter().map(tab) }</div>
                <button type="button" class="solid" id="to-bench" onclick={deed(&store, CallDeed::Leaf(None))}>{ "To the bench" }</button>
            </header>
            { calls.busy.map(|words| html! { <p class="busy" role="status"><span class="turning" aria-hidden="true" />{ words }</p> }) }
            <div class={classes!("course", (leaf == CallLeaf::Site).then_some("wide"))}>
                { match leaf {
                    CallLeaf::Orders => html! { <OrdersLeaf /> },
                    CallLeaf::Site => html! { <SiteLeaf /> },
                    CallLeaf::Results => html! { <ResultsLeaf /> },
                } }
            </div>
        </>
    }
}
