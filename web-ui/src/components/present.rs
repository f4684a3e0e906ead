//! The presenter view: question or title, machine, chain, the instruments that were chosen, and the poll beside them.

use super::chain_strip::ChainStrip;
use super::lesson::room::{self, RoomPanel};
use super::machine::Machine;
use super::poll::PollPanel;
use super::present_strip::PresentStrip;
use crate::app::part_of;
use crate::later::later_view;
use crate::store::cover::scene_covered;
use crate::store::present::{Present, PresentDeed, Turn};
use crate::store::{Action, use_store};
use yew::prelude::*;

later_view! {
    /// [`Presented`], fetched.
    pub fn present_later() of Presented, in teach
}

/// The sheet for a room.
#[function_component(Presented)]
pub fn presented() -> Html {
    let blank = use_store().ui.present.blank;
    html! {
        <>
            <PresentHead />
            <Machine />
            <ChainStrip />
            <PresentParts />
            <PresentStrip />
            { if blank { html! { <Blank /> } } else { Html::default() } }
        </>
    }
}

/// Head of the sheet in the presenter view.
#[function_component(PresentHead)]
pub fn present_head() -> Html {
    let store = use_store();
    let lab = store.lab.0.borrow();
    let scene = lab.scene();
    let present = &store.ui.present;
    if let Some((lesson, leaf, at, of)) = room::taught(&store) {
        let title = lesson.text(store.ui.learning.language()).title("title");
        return html! {
            <header class="present-head">
                <h1>{ room::heading(&store, lesson, leaf) }</h1>
                <p class="turn" role="status">{ format!("{title}, {} of {of}: {}", at + 1, room::name_of(leaf)) }</p>
            </header>
        };
    }
    let scenes = present.scenes();
    let place = scenes.iter().position(|id| id == lab.scene_id());
    let place = place.map_or(String::new(), |i| format!("scene {} of {}, ", i + 1, scenes.len()));
    let covered = scene_covered(&store);
    let title = if covered { store.ui.poll.question.clone() } else { scene.title.clone() };
    let about = if covered { String::new() } else { scene.about.clone() };
    let said = match present.turn {
        Turn::Question => "the machine stands at its start",
        Turn::Run if lab.clock.running => "the machine runs",
        Turn::Run => "the clock stands",
        Turn::Reveal => "the cause is open",
    };
    html! {
        <header class="present-head">
            <h1>{ title }</h1>
            <p class="turn" role="status">{ format!("{place}{}: {said}", present.turn.title().to_lowercase()) }</p>
            { if about.is_empty() { Html::default() } else { html! { <p class="about">{ about }</p> } } }
        </header>
    }
}

/// The instruments that were chosen, and the poll.
#[function_component(PresentParts)]
pub fn present_parts() -> Html {
    let store = use_store();
    let present = &store.ui.present;
    html! {
        <div class="lower present-parts" data-off={present.off()}>
            { if present.room.is_some() { html! { <RoomPanel /> } } else { Html::default() } }
            { for present.parts().into_iter().map(part_of) }
            { if store.ui.poll.open { html! { <PollPanel /> } } else { Html::default() } }
        </div>
    }
}

/// Paper and nothing else.
#[function_component(Blank)]
pub fn blank() -> Html {
    let store = use_store();
    let back = {
        let ui = store.ui.clone();
        move |_: MouseEvent| ui.dispatch(Action::Present(PresentDeed::Blank(false)))
    };
    html! {
        <div class="blank" role="status">
            <button type="button" class="plain" onclick={back}>{ "Blank sheet. Press b for the bench." }</button>
        </div>
    }
}

/// The view as it was kept, opened at once when the address asks for it.
pub fn first_present() -> Present {
    let kept = Present::kept(crate::web::kept("present-shown"), crate::web::kept("present-scenes"));
    let asked = crate::web::address_says("#present");
    Present { on: asked, ..kept }
}
