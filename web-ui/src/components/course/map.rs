//! What the learner can do: every competency with how firmly it sits, to be read, printed, or taken along as a file.

use crate::components::keep_files::handed_out;
use crate::keep::browser;
use crate::keep::when::Wall;
use crate::store::lesson::LessonDeed;
use crate::store::{Action, use_store};
use lessons::lesson::class::member;
use lessons::lesson::code;
use lessons::lesson::ids::{COMPETENCIES, Competency};
use lessons::lesson::learner::Record;
use web_sys::HtmlInputElement;
use yew::prelude::*;

/// How firmly a competency sits: key in the style sheet, and words.
fn firmness(record: &Record, competency: &Competency, today: u32) -> (&'static str, String) {
    match record.recall.get(competency.id) {
        None => ("new", "not shown yet".to_owned()),
        Some(kept) if kept.firm == 0 => ("missed", "missed last time".to_owned()),
        Some(kept) if kept.due <= today => ("due", "due to be asked again".to_owned()),
        Some(kept) if kept.firm == 1 => ("shaky", "shown once".to_owned()),
        Some(kept) => ("firm", format!("shown on {} days", kept.firm)),
    }
}

/// The leaf.
#[function_component(RecordLeaf)]
pub fn record_leaf() -> Html {
    let store = use_store();
    let learning = &store.ui.learning;
    let today = browser::today();
    let name = {
        let ui = store.ui.clone();
        move |event: InputEvent| {
            if let Some(input) = event.target_dyn_into::<HtmlInputElement>() {
                ui.dispatch(Action::Lesson(LessonDeed::Name(input.value())));
            }
        }
    };
    let save = {
        let (ui, record) = (store.ui.clone(), learning.record.clone());
        move |_: MouseEvent| {
            let who: String = record.name.chars().filter(|c| c.is_alphanumeric()).collect();
            let name =
                format!("countlight-record-{}.json", if who.is_empty() { record.learner.to_string() } else { who });
            let well =
                record.write().is_ok_and(|text| browser::hand_out(&name, "application/json", text.as_bytes()).is_ok());
            ui.dispatch(Action::Notice(handed_out(&name, well)));
        }
    };
    let open = {
        let store = store.clone();
        move |event: Event| {
            let input = event.target_dyn_into::<HtmlInputElement>();
            if let Some(file) = input.and_then(|input| input.files()).and_then(|files| files.get(0)) {
                crate::web::read_file(store.clone(), file);
            }
        }
    };
    let print = |_: MouseEvent| browser::print();
    let taught = |k: &Competency| {
        let lesson = learning.lessons().iter().find(|lesson| lesson.teaches.iter().any(|t| t.id == k.id));
        lesson.map_or("", |lesson| lesson.id.split('-').next().unwrap_or_default())
    };
    let rows = COMPETENCIES.iter().map(|k| {
        let (sign, words) = firmness(&learning.record, k, today);
        html! { <li key={k.id} class={sign}><span class="mark" aria-hidden="true" /><span class="can">{ k.can }</span><span class="note">{ format!("{words}{}{}", if taught(k).is_empty() { "" } else { ", " }, taught(k)) }</span></li> }
    });
    let code = code::write(&member(learning.lessons(), &learning.record));
    let shown =
        COMPETENCIES.iter().filter(|k| learning.record.recall.get(k.id).is_some_and(|kept| kept.firm > 0)).count();
    html! {
        <>
            <div class="course-head">
                <h2>{ "What I can do" }</h2>
                <p>{ format!("{shown} of {} shown.", COMPETENCIES.len()) }<span class="on-paper">{ format!(" {}", Wall::of(browser::now_ms()).day_words()) }</span></p>
                <label class="setting"><span>{ "Name, if you like" }</span><input id="learner-name" type="text" maxlength="40" value={learning.record.name.clone()} oninput={name} /></label>
                <p class="ends off-paper">
                    <button type="button" onclick={print}>{ "Print this page" }</button>
                    <button type="button" id="save-record" onclick={save}>{ "Save my record" }</button>
                    <label class="button file">{ "Open a record" }<input type="file" accept=".json" onchange={open} /></label>
                </p>
            </div>
            <p class="note">{ "Your code, to read out or write down: " }<code id="learner-code">{ code }</code></p>
            <ul class="map">{ for rows }</ul>
            <p class="note">{ "This is kept in this browser only. Save it as a file to take it to another machine or to your instructor. It is no certificate: a page on your own machine proves nothing to anybody but you." }</p>
        </>
    }
}
