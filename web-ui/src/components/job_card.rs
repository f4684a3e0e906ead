//! Checks that take long: started here, done on a copy of the bench beside the page, told in a short table.

use crate::jobs::words::{Row, table_later};
use crate::jobs::{Done, Job, Jobs};
use crate::store::use_store;
use sim_core::bench::Bench;
use yew::prelude::*;

/// What came of a job.
#[derive(Clone, Debug, PartialEq)]
struct Found {
    rows: Vec<Row>,
    on_page: bool,
}

impl Found {
    async fn of(result: Result<Done, String>) -> Result<Self, String> {
        let Done { outcome, on_page } = result?;
        let table = table_later().await.map_err(|missing| missing.to_string())?;
        Ok(Self { rows: table(&outcome)?, on_page })
    }
}

/// A job as the card shows it.
#[derive(Clone, Debug, PartialEq)]
enum State {
    /// It runs, and how far it is, 0..1.
    Running(u32, f64),
    /// It is done, or why it is not.
    Ended(Result<Found, String>),
    /// It was given up.
    Cancelled,
}

/// What the card is about.
#[derive(Clone, Debug, PartialEq)]
struct Shown {
    name: &'static str,
    state: State,
}

/// Changes of a job that came by themselves.
enum Told {
    Begun(&'static str, u32),
    Share(f64),
    Ended(Result<Found, String>),
    Cancelled,
}

#[derive(Clone, Default, PartialEq)]
struct Card(Option<Shown>);

impl Reducible for Card {
    type Action = Told;

    fn reduce(self: std::rc::Rc<Self>, told: Told) -> std::rc::Rc<Self> {
        let name = self.0.as_ref().map_or("", |shown| shown.name);
        let (name, state) = match (told, self.0.as_ref().map(|shown| &shown.state)) {
            (Told::Begun(name, id), _) => (name, State::Running(id, 0.0)),
            (Told::Share(share), Some(State::Running(id, _))) => (name, State::Running(*id, share)),
            (Told::Share(_), _) => return self,
            (Told::Ended(result), _) => (name, State::Ended(result)),
            (Told::Cancelled, _) => (name, State::Cancelled),
        };
        std::rc::Rc::new(Self(Some(Shown { name, state })))
    }
}

/// The buttons of the long checks, and the card of the one that runs or ran last.
#[function_component(JobCard)]
pub fn job_card() -> Html {
    let store = use_store();
    let jobs = use_state(Jobs::default);
    let card = use_reducer(Card::default);
    let busy = matches!(&card.0, Some(Shown { state: State::Running(..), .. }));
    let start = |of: fn(Box<Bench>) -> Job| {
        let (store, jobs, tell) = (store.clone(), jobs.clone(), card.dispatcher());
        move |_: MouseEvent| {
            let job = of(Box::new(store.lab.0.borrow().sim().bench().clone()));
            let name = job.name();
            let (on_share, on_end) = (tell.clone(), tell.clone());
            let id = jobs.start(
                &job,
                Callback::from(move |share| on_share.dispatch(Told::Share(share))),
                Callback::from(move |result| {
                    let on_end = on_end.clone();
                    wasm_bindgen_futures::spawn_local(async move {
                        on_end.dispatch(Told::Ended(Found::of(result).await));
                    });
                }),
            );
            tell.dispatch(Told::Begun(name, id));
        }
    };
    let cancel = |id: u32| {
        let (jobs, tell) = (jobs.clone(), card.dispatcher());
        move |_: MouseEvent| {
            jobs.cancel(id);
            tell.dispatch(Told::Cancelled);
        }
    };
    html! {
        <section class="jobs" aria-label="Longer checks">
            <div class="choices">
                <button type="button" disabled={busy} onclick={start(|bench| Job::TravelScan { bench })}>{ "Scan the travel" }</button>
                <button type="button" disabled={busy} onclick={start(|bench| Job::Survey { bench })}>{ "Survey" }</button>
            </div>
            { for card.0.as_ref().map(|shown| view(shown, &cancel)) }
        </section>
    }
}

fn view<C: Fn(MouseEvent) + 'static>(shown: &Shown, cancel: &dyn Fn(u32) -> C) -> Html {
    let name = shown.name;
    match &shown.state {
        State::Running(id, share) => html! {
            <div class="job">
                <label for="job-share">{ name }</label>
                <progress id="job-share" max="1" value={format!("{share:.3}")}>{ format!("{:.0} %", share * 100.0) }</progress>
                <button type="button" onclick={cancel(*id)}>{ "Cancel" }</button>
            </div>
        },
        State::Cancelled => html! { <p role="status">{ format!("{name}: cancelled. The bench is as it was.") }</p> },
        State::Ended(Err(why)) => html! {
            <div role="alert"><p>{ format!("\u{2717} {name}: not done.") }</p><pre>{ why }</pre></div>
        },
        State::Ended(Ok(done)) => html! {
            <>
                <p role="status" class="unseen">{ format!("{name}: done.") }</p>
                { if done.on_page { html! { <p>{ "This browser has no helper for long work, so the page stood still meanwhile." }</p> } } else { Html::default() } }
                <table>
                    <caption>{ name }</caption>
                    <tbody>
                        { for done.rows.iter().map(|(what, how_much)| html! {
                            <tr><th scope="row">{ what }</th><td>{ how_much }</td></tr>
                        }) }
                    </tbody>
                </table>
            </>
        },
    }
}
