//! The debrief: points, what it was, the way with what each reading was worth, the expert's way beside it.

use super::entry::heading;
use super::{bar, family_title, go, in_ten};
use crate::components::keep_files::handed_out;
use crate::keep::browser;
use crate::store::calls::{CallDeed, OnSite};
use crate::store::{Action, Store, use_store};
use diagnosis::Check;
use lessons::callout::debrief::{Debrief, Fork};
use lessons::callout::play::trust_words;
use web_sys::HtmlInputElement;
use yew::prelude::*;

/// The points with their most.
pub const POINTS: [(&str, f64); 6] = [
    ("Cause", 30.0),
    ("Evidence before parts", 20.0),
    ("Safety", 20.0),
    ("Proof", 15.0),
    ("Minutes", 10.0),
    ("Parts", 5.0),
];

/// The sheet.
#[function_component(DebriefSheet)]
pub fn debrief_sheet() -> Html {
    let store = use_store();
    let name = use_node_ref();
    let Some(visit) = store.ui.calls.visit.clone() else { return Html::default() };
    let Some(debrief) = visit.debrief.clone() else { return Html::default() };
    let save = {
        let (ui, visit, name) = (store.ui.clone(), visit.clone(), name.clone());
        move |_: MouseEvent| {
            let who = name.cast::<HtmlInputElement>().map(|input| input.value()).unwrap_or_default();
            let text = go::handed(&visit, who.trim()).text();
            let file = "countlight-call.json";
            ui.dispatch(Action::Notice(handed_out(
                file,
                browser::hand_out(file, "application/json", text.as_bytes()).is_ok(),
            )));
        }
    };
    let leave = {
        let ui = store.ui.clone();
        move |_: MouseEvent| {
            go::keep(None);
            ui.dispatch(Action::Call(CallDeed::Leave));
        }
    };
    let again = {
        let (store, visit) = (store.clone(), visit.clone());
        move |_: MouseEvent| go::open(&store, &visit.ticket)
    };
    html! {
        <article class="debrief" id="debrief">
            <header>
                <div class="verdict"><p class="total digits" id="debrief-total">{ format!("{:.0}", debrief.total) }</p><p>{ "of 100" }<br /><b>{ if debrief.passed { "passed" } else { "75 pass" } }</b></p></div>
                <div><h2 translate="no">{ visit.case.title.clone() }</h2>
                    <p class="it-was" id="debrief-cause">{ format!("It was: {}.", debrief.causes.join("; and ")) }</p>
                    <p translate="no">{ debrief.lesson.replace('\n', " ") }</p></div>
            </header>
            { points(&debrief) }
            { hazards(&visit, &debrief) }
            <div class="two-ways">
                <section><h3>{ "Your way" }</h3>
                    <p class="note">{ format!("{} minutes, cost {}. What a reading was worth: how many times as often it comes with the true cause as with all others, after what was known before. Computed from the simulation of every cause in many forms.", visit.now.minutes, visit.now.cost) }</p>
                    <ol class="way">{ for (0..visit.entries.len()).map(|at| step(&store, &visit, &debrief, at)) }</ol></section>
                <section><h3>{ "A short way" }</h3>
                    <p class="note">{ format!("{} minutes, cost {}.", debrief.par.iter().map(|(_, minutes)| u32::from(*minutes)).sum::<u32>(), debrief.par_cost) }</p>
                    <ol class="way par">{ for debrief.par.iter().map(|(act, minutes)| html! { <li><p class="when"><span class="digits">{ format!("{minutes} min") }</span>{ heading(act, &visit.case) }</p></li> }) }</ol>
                    { said(&visit, &debrief) }
                    { thought(&visit, &debrief) }
                    <h3>{ "For your notebook" }</h3>
                    <ul class="asked"><li>{ "What would you do first next time?" }</li><li>{ "Which reading told you most, and would you have believed it without the one before?" }</li></ul></section>
            </div>
            <footer class="off-paper">
                <label class="write"><span>{ "Your name, if you hand it in" }</span><input ref={name} id="debrief-name" type="text" maxlength="80" autocomplete="off" /></label>
                <p class="ends">
                    <button type="button" class="solid" id="debrief-save" onclick={save}>{ "Save the result as a file" }</button>
                    <button type="button" onclick={|_: MouseEvent| browser::print()}>{ "Print this page" }</button>
                    <button type="button" onclick={again}>{ "The same call again" }</button>
                    <button type="button" id="debrief-leave" onclick={leave}>{ "To the work orders" }</button>
                </p>
            </footer>
        </article>
    }
}

fn points(debrief: &Debrief) -> Html {
    let row = |((name, most), got): (&(&'static str, f64), &f64)| {
        html! { <li key={*name}><span>{ *name }</span>{ bar(got / most, "") }<b class="digits">{ format!("{got:.0} of {most:.0}") }</b></li> }
    };
    let sum: f64 = debrief.points.iter().sum();
    let capped = (sum > debrief.total + 0.5).then(|| {
        let why = if debrief.hazards.iter().any(|(.., serious)| *serious) {
            "something serious happened"
        } else {
            "a good part was exchanged"
        };
        html! { <p class="note">{ format!("Together {sum:.0}; held at {:.0}, since {why}.", debrief.total) }</p> }
    });
    html! { <><ul class="points">{ for POINTS.iter().zip(&debrief.points).map(row) }</ul>{ capped.unwrap_or_default() }</> }
}

fn hazards(visit: &OnSite, debrief: &Debrief) -> Html {
    if debrief.hazards.is_empty() {
        return Html::default();
    }
    let row = |(at, words, serious): &(usize, String, bool)| {
        let minute = visit.entries.get(*at).map_or(0, |entry| entry.from_min);
        html! { <li class={classes!(serious.then_some("serious"))}><span class="digits">{ format!("{minute} min") }</span>{ " " }{ words.clone() }</li> }
    };
    html! { <section class="caution-box" id="debrief-unsafe"><h3>{ "What was unsafe" }</h3><ul>{ for debrief.hazards.iter().map(row) }</ul></section> }
}

/// One thing that was done, with what it was worth.
fn step(store: &Store, visit: &OnSite, debrief: &Debrief, at: usize) -> Html {
    let entry = &visit.entries[at];
    let several = debrief.families.len() > 1;
    let forks = debrief.forks.iter().filter(|fork| fork.at == at);
    let (wasted, cured) = (debrief.wasted.contains(&at), debrief.cured.contains(&at));
    let look = {
        let store = store.clone();
        move |_: MouseEvent| go::show_bench(&store, at + 1)
    };
    html! {
        <li key={at.to_string()} class={classes!(wasted.then_some("wasted"), cured.then_some("cured"))}>
            <p class="when"><span class="digits">{ format!("{} min", entry.from_min) }</span>{ heading(&entry.act, &visit.case) }
                <button type="button" class="link off-paper" title="Put the machine on the bench as it stood after this, with its cause open" onclick={look}>{ "see the bench" }</button></p>
            { super::entry::result(entry) }
            { if wasted { html! { <p class="odd">{ "A good part went into the bin." }</p> } } else { Html::default() } }
            { if cured { html! { <p class="good">{ "This mended something." }</p> } } else { Html::default() } }
            { for forks.map(|fork| worth(fork, several)) }
        </li>
    }
}

fn worth(fork: &Fork, several: bool) -> Html {
    let [before, after] = fork.share;
    let best = Check::by_name(&fork.best.0).map_or("", |check| check.row().title);
    let better = fork.best.1 > 0.05 && fork.bits < 0.7 * fork.best.1;
    let likely: Vec<String> = fork
        .likely
        .iter()
        .filter(|(_, share)| *share > 0.04)
        .map(|(name, share)| format!("{} {}", family_title(name), in_ten(*share)))
        .collect();
    html! {
        <div class="worth" data-ratio={format!("{:.6}", fork.ratio)}>
            <p><b class="digits">{ times(fork.ratio) }</b>{ times_words(fork.ratio) }{ if several { format!(" ({})", family_title(&fork.family)) } else { String::new() } }</p>
            <p class="shares" title={format!("The true cause: {} before, {} after", in_ten(before), in_ten(after))}><span class="unseen">{ format!("The true cause: {} before, {} after", in_ten(before), in_ten(after)) }</span>{ bar(before, "before") }{ bar(after, "") }</p>
            { if likely.is_empty() { Html::default() } else { html! { <p class="note">{ format!("Then it could be: {}.", likely.join(", ")) }</p> } } }
            { if better { html! { <p class="note">{ format!("More to learn for the minutes: {best}.") }</p> } } else { Html::default() } }
        </div>
    }
}

/// The ratio as a number that people say.
fn times(ratio: f64) -> String {
    match ratio {
        r if r >= 10.0 => format!("{r:.0} times"),
        r if r >= 1.0 => format!("{r:.1} times"),
        r if r > 0.0 => format!("1 in {:.1}", 1.0 / r),
        _ => "never".to_owned(),
    }
}

fn times_words(ratio: f64) -> &'static str {
    match ratio {
        r if r >= 20.0 => " as often with the true cause: strong for it",
        r if r >= 5.0 => " as often with the true cause: clearly for it",
        r if r >= 2.0 => " as often with the true cause: somewhat for it",
        r if r >= 0.5 => " as often with the true cause: it told hardly anything",
        _ => " as often with the true cause: it spoke against it",
    }
}

/// What the operator said, and how far it was so.
fn said(visit: &OnSite, debrief: &Debrief) -> Html {
    let row = |(statement, trust): (&lessons::callout::case::Statement, &lessons::callout::case::Trust)| {
        html! { <li><span translate="no">{ format!("\u{201c}{}\u{201d} ", statement.answer) }</span><em>{ trust_words(*trust) }</em></li> }
    };
    html! { <><h3>{ "What the operator said" }</h3><ul class="asked">{ for visit.case.statements.iter().zip(&debrief.trust).map(row) }</ul></> }
}

/// What the learner thought on the way.
fn thought(visit: &OnSite, debrief: &Debrief) -> Html {
    if visit.guesses.is_empty() {
        return Html::default();
    }
    let row = |guess: &crate::store::calls::Guess| {
        let minute = guess.after.checked_sub(1).and_then(|at| visit.entries.get(at)).map_or(0, |entry| entry.from_min);
        let right = debrief.families.contains(&guess.family);
        html! { <li><span class="digits">{ format!("{minute} min") }</span>{ format!(" {}, {} in 10: ", family_title(&guess.family), guess.percent / 10) }<em>{ if right { "it was so" } else { "it was not" } }</em></li> }
    };
    html! { <><h3>{ "What you thought" }</h3><ul class="asked">{ for visit.guesses.iter().map(row) }</ul></> }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_ratio_is_said_as_people_say_it() {
        assert_eq!(times(12.4), "12 times");
        assert_eq!(times(1.04), "1.0 times");
        assert_eq!(times(0.1), "1 in 10.0");
        assert!(times_words(0.1).contains("against") && times_words(1.0).contains("hardly"));
    }
}
