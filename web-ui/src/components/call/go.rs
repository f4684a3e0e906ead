//! What the page does about call-outs: opens a ticket, has an act played, closes a visit, shows its bench.

use crate::jobs::call::{CallJob, CallOutcome};
use crate::jobs::{Job, Jobs, Outcome, read_outcome};
use crate::keep::browser;
use crate::later::later;
use crate::store::calls::{CallDeed, CallLeaf, Graded, OnSite, Turn};
use crate::store::{Action, Store};
use lessons::callout::code::Ticket;
use lessons::callout::play::{Ask, NoteText, Told};
use lessons::callout::result::Handed;
use lessons::callout::{Case, read};
use sim_core::bench::Sim;
use std::rc::Rc;
use yew::prelude::*;

/// Name of the visit in the browser's storage.
const KEPT: &str = "countlight.visit";
/// Draw of a shipped case: the same for everybody, so that a class can talk about it.
pub const SEED: u32 = 1;

thread_local! {
    // One helper for all visits: it keeps the last one.
    static JOBS: Jobs = Jobs::default();
}

fn deed(store: &Store, deed: CallDeed) {
    store.ui.dispatch(Action::Call(deed));
}

fn notice(store: &Store, why: String) {
    deed(store, CallDeed::Busy(None));
    deed(store, CallDeed::Doing(None));
    store.ui.dispatch(Action::Notice(why));
}

/// Has something computed beside the page.
fn start(store: &Store, job: CallJob, done: impl Fn(Store, CallOutcome) + 'static) {
    let store = store.clone();
    let on_done = Callback::from(move |result: Result<crate::jobs::Done, String>| {
        match result.and_then(|done| read_outcome(&done.outcome)) {
            Ok(Outcome::Call(outcome)) => done(store.clone(), *outcome),
            Ok(_) => notice(&store, "The helper gave something else than was asked for; try again.".to_owned()),
            Err(why) => notice(&store, why),
        }
    });
    JOBS.with(|jobs| jobs.start(&Job::Call(Box::new(job)), Callback::noop(), on_done));
}

/// Text of the table of outcomes of a machine.
fn table_of(case: &Case) -> String {
    // Settings that no table was made for: that of the machine as delivered says most of it.
    let own = lessons::outcomes(&case.machine().file());
    own.or_else(|| lessons::outcomes(case.bench.name())).unwrap_or_default().to_owned()
}

/// Arrives at the machine of a ticket.
pub fn open(store: &Store, letters: &str) {
    arrive(store, letters, Vec::new(), None);
}

/// Arrives; `acts` are done there first and the note is as it was, as after a reload of the page.
fn arrive(store: &Store, letters: &str, acts: Vec<String>, note: Option<NoteText>) {
    let ticket = match Ticket::read(letters) {
        Ok(ticket) => ticket,
        Err(why) => return notice(store, why.to_string()),
    };
    let (letters, seed) = (ticket.letters(), ticket.seed());
    case_of(store, ticket, move |store, case, text| {
        let mut visit = OnSite::arrive(letters.clone(), case, &text, seed);
        if let Some(note) = &note {
            visit.note = note.clone();
        }
        let ask = visit.ask(0, &acts);
        deed(&store, CallDeed::Arrive(Rc::new(visit)));
        play(&store, ask, None);
    });
}

/// Finds or makes the case of a ticket.
fn case_of(store: &Store, ticket: Ticket, done: impl Fn(Store, Case, String) + 'static) {
    deed(store, CallDeed::Busy(Some("The work order is being made out.")));
    let finish = move |store: Store, id: &str, text: String| match read(id, &text) {
        Ok(case) => done(store, case, text),
        Err(why) => notice(&store, why.to_string()),
    };
    if let Ticket::Shipped { id, .. } = &ticket {
        return match lessons::cases().find(|(of, _)| of == id) {
            Some((_, text)) => finish(store.clone(), id, text.to_owned()),
            None => notice(store, format!("This page has no case \"{id}\". Ask for a link from the same edition.")),
        };
    }
    let table = ticket.bench().and_then(|bench| lessons::outcomes(bench.name())).map(str::to_owned);
    let job = CallJob::Open { ticket: ticket.letters(), table };
    start(store, job, move |store, outcome| {
        if let CallOutcome::Case(text) = outcome {
            finish(store, "call", text);
        }
    });
}

fn play(store: &Store, ask: Ask, doing: Option<String>) {
    deed(store, CallDeed::Doing(doing.or_else(|| Some(String::new()))));
    start(store, CallJob::Play(ask), |store, outcome| {
        if let CallOutcome::Told(told) = outcome {
            deed(&store, CallDeed::Told(told));
        }
    });
}

/// Does one or more things, one after the other.
pub fn act(store: &Store, lines: &[String]) {
    let Some(visit) = store.ui.calls.visit.as_ref().filter(|visit| visit.doing.is_none()) else { return };
    let ask = visit.ask(visit.entries.len(), lines);
    play(store, ask, lines.last().cloned());
}

/// Signs the note: the debrief is worked out.
pub fn close(store: &Store) {
    let Some(visit) = store.ui.calls.visit.as_ref().filter(|visit| visit.doing.is_none()) else { return };
    let mut ask = visit.ask(visit.entries.len(), &[]);
    ask.close = Some((visit.note.clone(), table_of(&visit.case)));
    play(store, ask, Some("close".to_owned()));
}

/// Puts the machine on the bench as it was after the first `upto` acts, with everything that was wrong with it.
pub fn show_bench(store: &Store, upto: usize) {
    let Some(visit) = &store.ui.calls.visit else { return };
    let title = visit.case.title.clone();
    let job = CallJob::Bench(visit.ask(upto, &[]));
    deed(store, CallDeed::Busy(Some("The visit is played again up to this moment.")));
    start(store, job, move |store, outcome| {
        let CallOutcome::Bench(bench) = outcome else { return };
        match Sim::resume(*bench) {
            Ok(sim) => {
                let scene = lessons::share::scene_of_bench(&sim, &title, "As it stood in your visit.", SEED);
                store.change(|lab| {
                    lab.resume("call", scene, 0, sim);
                    lab.clock.running = false;
                });
                deed(&store, CallDeed::Busy(None));
                deed(&store, CallDeed::Leaf(None));
            }
            Err(why) => notice(&store, why.to_string()),
        }
    });
}

/// Makes a ticket of what is broken on the bench.
pub fn hide(store: &Store, title: String, order: String, done: impl Fn(String) + 'static) {
    let (bench, set, faults) = {
        let lab = store.lab.0.borrow();
        let scene = lessons::share::scene_of_bench(lab.sim(), "", "", SEED);
        (scene.bench, scene.set, lab.sim().faults().to_vec())
    };
    deed(store, CallDeed::Busy(Some("The fault is being tried with every check.")));
    let table = lessons::outcomes(bench.name()).map(str::to_owned);
    start(store, CallJob::Hide { bench, set, faults, title, order, table }, move |store, outcome| {
        deed(&store, CallDeed::Busy(None));
        if let CallOutcome::Ticket(letters) = outcome {
            done(letters);
        }
    });
}

/// The link of a ticket.
pub fn address_of(letters: &str) -> String {
    Ticket::read(letters).map_or_else(|_| String::new(), |ticket| ticket.address(&browser::base()))
}

/// Plays a result that was handed in and puts it into the table.
pub fn grade(store: &Store, text: &str) -> Result<(), String> {
    let handed = lessons::callout::result::read(text)?;
    let ticket = Ticket::read(&handed.ticket).map_err(|why| why.to_string())?;
    let (letters, seed) = (ticket.letters(), ticket.seed());
    case_of(store, ticket, move |store, case, text| {
        let title = case.title.clone();
        let table = table_of(&case);
        let visit = OnSite::arrive(letters.clone(), case, &text, seed);
        let mut ask = visit.ask(0, &handed.acts);
        ask.close = Some((note_of(&handed), table));
        let name = handed.name.clone();
        start(&store, CallJob::Play(ask), move |store, outcome| {
            let CallOutcome::Told(told) = outcome else { return };
            let Told { now, debrief: Some(debrief), .. } = *told else { return };
            let graded = Graded { name: name.clone(), title: title.clone(), now, debrief: Rc::new(debrief) };
            deed(&store, CallDeed::Graded(Box::new(graded)));
        });
    });
    Ok(())
}

/// The note of a result.
fn note_of(handed: &Handed) -> NoteText {
    NoteText { causes: handed.causes.clone(), words: handed.words.clone() }
}

/// What the learner hands in.
pub fn handed(visit: &OnSite, name: &str) -> Handed {
    Handed {
        format: lessons::callout::result::HANDED_FORMAT,
        name: name.to_owned(),
        ticket: visit.ticket.clone(),
        acts: visit.acts(),
        causes: visit.note.causes.clone(),
        words: visit.note.words.clone(),
    }
}

/// Keeps a visit in the browser, so that a reload does not lose it: the ticket and what was done, not what is hidden.
pub fn keep(visit: Option<&OnSite>) {
    let Some(shelf) = browser::shelf() else { return };
    match visit.filter(|visit| visit.debrief.is_none()) {
        // A browser without room keeps nothing; the visit goes on all the same.
        Some(visit) => drop(shelf.set_item(KEPT, &handed(visit, "").text())),
        None => drop(shelf.remove_item(KEPT)),
    }
}

/// The visit that was kept.
pub fn kept() -> Option<Handed> {
    let text = browser::shelf()?.get_item(KEPT).ok()??;
    lessons::callout::result::read(&text).ok()
}

/// Goes on with a visit that was kept.
pub fn take_up(store: &Store, handed: &Handed) {
    arrive(store, &handed.ticket, handed.acts.clone(), Some(note_of(handed)));
}

/// Opens the ticket that stands behind `#` in the page's address, if there is one.
pub fn address(store: &Store) {
    let text = browser::fragment();
    if Ticket::looks_like(&text) {
        // The address is used up: the page would otherwise open it again whenever its head is drawn anew.
        browser::forget_fragment();
        deed(store, CallDeed::Leaf(Some(CallLeaf::Orders)));
        let store = store.clone();
        wasm_bindgen_futures::spawn_local(async move {
            match open_later().await {
                Ok(open) => open(&store, &text),
                Err(missing) => notice(&store, missing.to_string()),
            }
        });
    }
}

later! {
    /// [`open`], fetched.
    fn open_later() -> fn(&Store, &str), in teach = open
}

/// Turns to something.
pub fn turn(store: &Store, to: Turn) -> impl Fn(MouseEvent) + 'static {
    let ui = store.ui.clone();
    move |_: MouseEvent| ui.dispatch(Action::Call(CallDeed::Turn(to)))
}
