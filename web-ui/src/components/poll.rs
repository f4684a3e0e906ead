//! A show of hands beside the instruments: the question, the answers, the hands as dimension lines.

use super::poll_row::PollRow;
use crate::store::poll::{MOST, PollDeed, QUESTIONS};
use crate::store::{Action, use_store};
use web_sys::{HtmlInputElement, HtmlSelectElement};
use yew::prelude::*;

/// The poll.
#[function_component(PollPanel)]
pub fn poll_panel() -> Html {
    let store = use_store();
    let poll = &store.ui.poll;
    let send = |deed: PollDeed| {
        let ui = store.ui.clone();
        move |_: MouseEvent| ui.dispatch(Action::Poll(deed.clone()))
    };
    let ask = {
        let ui = store.ui.clone();
        move |event: InputEvent| {
            if let Some(input) = event.target_dyn_into::<HtmlInputElement>() {
                ui.dispatch(Action::Poll(PollDeed::Ask(input.value())));
            }
        }
    };
    let ready = {
        let ui = store.ui.clone();
        move |event: Event| {
            let Some(select) = event.target_dyn_into::<HtmlSelectElement>() else { return };
            if let Some(question) = select.value().parse::<usize>().ok().and_then(|i| QUESTIONS.get(i)) {
                ui.dispatch(Action::Poll(PollDeed::Ask((*question).to_owned())));
            }
            select.set_value("");
        }
    };
    let most = poll.answers.iter().map(|answer| answer.hands).max().unwrap_or(0).max(1);
    let rows = poll.answers.iter().enumerate().map(|(index, answer)| {
        let share = f64::from(answer.hands) / f64::from(most);
        let typed = (poll.chosen == Some(index)).then(|| AttrValue::from(poll.typed.clone()));
        let words = AttrValue::from(answer.words.clone());
        html! {
            <PollRow key={index} {index} {words} hands={answer.hands} percent={poll.percent(index)} {share} {typed} right={poll.right.map(|right| right == index)} />
        }
    });
    let hint = match poll.chosen {
        Some(index) => format!("Hands for {}: type the number, then Enter.", index + 1),
        None => format!("Keys 1 to {} choose an answer, then type its hands.", poll.answers.len()),
    };
    html! {
        <section class="poll" aria-label="Poll">
            <div class="title"><h2>{ "Hands up" }</h2><span class="note" id="hands">{ format!("{} hands", poll.all_hands()) }</span></div>
            <div class="asks">
                <input id="question" aria-label="Question" value={poll.question.clone()} oninput={ask} />
                <select aria-label="Questions that lie ready" onchange={ready}>
                    <option value="" selected=true>{ "ready ones" }</option>
                    { for QUESTIONS.iter().enumerate().map(|(i, q)| html! { <option value={i.to_string()}>{ *q }</option> }) }
                </select>
            </div>
            <ol>{ for rows }</ol>
            <p class="note" role="status">{ hint }</p>
            <div class="ends">
                <button type="button" onclick={send(PollDeed::Clear)}>{ "Clear" }</button>
                <button type="button" class="plain" disabled={poll.answers.len() >= MOST} onclick={send(PollDeed::More)}>{ "Answer +" }</button>
                <button type="button" class="plain" disabled={poll.answers.len() <= 2} onclick={send(PollDeed::Fewer)}>{ "Answer \u{2212}" }</button>
                <button type="button" class="plain" onclick={send(PollDeed::Open(false))}>{ "Close the poll" }</button>
            </div>
        </section>
    }
}
