//! How the goal of the task stands: one line for each thing that must be measured, live from the bench.

use super::deed;
use super::words::filled;
use crate::components::poll_row::CHECK;
use crate::components::sign::Sign;
use crate::store::lesson::LessonDeed;
use crate::store::{Store, use_store};
use lessons::lesson::room::RoomLeaf;
use lessons::lesson::session::Step;
use yew::prelude::*;

/// The strip at the foot of the column; it stays while the settings are shown.
#[function_component(GoalStrip)]
pub fn goal_strip() -> Html {
    let store = use_store();
    let learning = &store.ui.learning;
    let Some((_, session)) = learning.open() else { return Html::default() };
    let Step::Task(i) = session.step() else { return Html::default() };
    let (begun, met) = {
        let lab = store.lab.0.borrow();
        (lab.goal_state().is_some(), lab.goal_met())
    };
    let next = session.at() + 1;
    html! {
        <section class="goal" aria-label="Goal of the task">
            <h3>{ if met { "Reached" } else { "To be measured on the bench" } }</h3>
            { if !begun && session.tasks[i].done { html! { <p>{ "This task is done." }</p> } } else { html! { <GoalRows /> } } }
            <p class="unseen" role="status">{ if met { "The goal is reached." } else { "" } }</p>
            <p class="ends">
                { if session.tasks[i].done { html! { <button type="button" class="solid" id="go-on" onclick={deed(&store, LessonDeed::Go(next))}>{ "Go on" }</button> } } else { Html::default() } }
                <button type="button" onclick={deed(&store, LessonDeed::Afresh)}>{ "Begin afresh" }</button>
                { if session.tasks[i].done { Html::default() } else { html! { <button type="button" class="plain" onclick={deed(&store, LessonDeed::Leave)}>{ "Leave it open" }</button> } } }
            </p>
        </section>
    }
}

/// One line for each thing that must be measured.
#[function_component(GoalRows)]
pub fn goal_rows() -> Html {
    let store = use_store();
    let state = store.lab.0.borrow().goal_state();
    let met = state.as_ref().is_some_and(|state| state.met);
    let own = own_words(&store);
    let rows = state.iter().flat_map(|state| &state.conditions).enumerate().map(|(i, standing)| {
        let reached = met || standing.met;
        html! {
            <li class={if reached { "met" } else { "" }}>
                { if reached { html! { <Sign d={CHECK} /> } } else { html! { <span class="dot" /> } } }
                <span><b>{ own.get(i).unwrap_or(&standing.asked).clone() }</b><br /><span class="note">{ standing.now.clone() }</span></span>
            </li>
        }
    });
    html! { <ul class="goal-rows">{ for rows }</ul> }
}

/// The lesson's own words for each thing that must be measured, where it has some: exact ones may tell too much.
fn own_words(store: &Store) -> Vec<String> {
    let learning = &store.ui.learning;
    let taught = super::room::taught(store).and_then(|(lesson, leaf, ..)| match leaf {
        RoomLeaf::Task(i) | RoomLeaf::Solve(i) => Some((lesson, i)),
        _ => None,
    });
    let open = || {
        let (lesson, session) = learning.open()?;
        if let Step::Task(i) = session.step() { Some((lesson, i)) } else { None }
    };
    let Some((lesson, i)) = taught.or_else(open) else { return Vec::new() };
    let items = lesson.text(store.ui.learning.language()).items(&format!("{}.goal", lesson.tasks[i].id));
    items.iter().map(|words| filled(store, lesson, words, None)).collect()
}
