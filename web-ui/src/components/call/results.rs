//! Results of a class: files that were handed in are played again here, so that points come from the bench.

use super::debrief::POINTS;
use super::{deed, go};
use crate::components::keep_files::handed_out;
use crate::keep::browser;
use crate::store::calls::{CallDeed, Graded};
use crate::store::{Action, use_store};
use crate::web;
use yew::prelude::*;

/// The leaf.
#[function_component(ResultsLeaf)]
pub fn results_leaf() -> Html {
    let store = use_store();
    let graded = &store.ui.calls.graded;
    let open = {
        let store = store.clone();
        move |event: Event| {
            web::chosen_files(&event, |file| {
                web::read_bytes(store.clone(), file, |store, name, bytes| {
                    if let Err(why) = go::grade(store, &String::from_utf8_lossy(bytes)) {
                        store.ui.dispatch(Action::Notice(format!("{name}: {why}")));
                    }
                });
            });
        }
    };
    let save = {
        let (ui, text) = (store.ui.clone(), csv(graded));
        move |_: MouseEvent| {
            let name = "countlight-calls.csv";
            ui.dispatch(Action::Notice(handed_out(name, browser::hand_out(name, "text/csv", text.as_bytes()).is_ok())));
        }
    };
    let row = |(at, of): (usize, &Graded)| {
        let serious = of.debrief.hazards.iter().any(|(.., serious)| *serious);
        html! {
            <tr key={at.to_string()}><th scope="row">{ if of.name.is_empty() { "no name" } else { &of.name }.to_owned() }</th><td>{ of.title.clone() }</td>
                <td class="digits"><b>{ format!("{:.0}", of.debrief.total) }</b></td>
                { for of.debrief.points.iter().map(|points| html! { <td class="digits">{ format!("{points:.0}") }</td> }) }
                <td class="digits">{ of.now.minutes.to_string() }</td><td class="digits">{ of.now.cost.to_string() }</td>
                <td>{ if serious { "serious" } else if of.debrief.hazards.is_empty() { "" } else { "a step missed" } }</td></tr>
        }
    };
    html! {
        <>
            <div class="course-head">
                <h2>{ "Results of a class" }</h2>
                <p>{ "Learners save their result after the debrief. Open the files here: each visit is played again on this machine, and the points are worked out anew." }</p>
                <p class="ends off-paper"><label class="button file solid">{ "Open results" }<input type="file" id="call-files" multiple=true accept=".json" onchange={open} /></label></p>
            </div>
            { if graded.is_empty() { Html::default() } else { html! {
                <>
                    <div class="wide-table"><table class="class" id="call-results">
                        <thead><tr><th scope="col">{ "Learner" }</th><th scope="col">{ "Call" }</th><th scope="col">{ "Points" }</th>{ for POINTS.iter().map(|(name, _)| html! { <th scope="col">{ *name }</th> }) }<th scope="col">{ "Min" }</th><th scope="col">{ "Cost" }</th><th scope="col">{ "Unsafe" }</th></tr></thead>
                        <tbody>{ for graded.iter().enumerate().map(row) }</tbody>
                    </table></div>
                    <p class="ends off-paper"><button type="button" onclick={save}>{ "Save as CSV" }</button><button type="button" class="plain" onclick={deed(&store, CallDeed::NoResults)}>{ "Clear the table" }</button></p>
                </>
            } } }
            <p class="note">{ "A file can be altered by whoever has it; since it is played again, points cannot simply be written in. It proves nobody's identity. For a mark that counts, sit in the room." }</p>
        </>
    }
}

/// The table as comma-separated values after RFC 4180.
fn csv(graded: &[Graded]) -> String {
    let quoted = |text: &str| format!("\"{}\"", text.replace('"', "\"\""));
    let mut text = "learner,call,points,cause,evidence,safety,proof,minutes points,parts,minutes,cost\r\n".to_owned();
    for of in graded {
        let points: Vec<String> = of.debrief.points.iter().map(|points| format!("{points:.0}")).collect();
        let (name, title) = (quoted(&of.name), quoted(&of.title));
        text += &format!(
            "{name},{title},{:.0},{},{},{}\r\n",
            of.debrief.total,
            points.join(","),
            of.now.minutes,
            of.now.cost
        );
    }
    text
}
