//! Opening what was kept or sent: links, bench files, benches of the shelf. What cannot be opened changes nothing and
//! says why.

use super::{browser, kept};
use crate::store::lesson::LessonDeed;
use crate::store::{Action, Store};
use lessons::lesson::learner::Record;
use lessons::share;
use std::rc::Rc;

/// Opens the bench of a link, running.
///
/// # Errors
/// Why it was refused, in words.
pub fn link(store: &Store, text: &str) -> Result<(), String> {
    let scene = share::scene_of(text).map_err(|error| error.to_string())?;
    store.change(|lab| {
        lab.load("link", scene);
        lab.clock.running = true;
    });
    Ok(())
}

/// Opens the bench that stands behind `#` in the page's address, if there is one.
pub fn address(store: &Store) {
    let text = browser::fragment();
    if !text.trim_start_matches('#').starts_with(share::KEY) {
        return;
    }
    if let Err(why) = link(store, &text) {
        store.ui.dispatch(Action::Notice(why));
    }
}

/// Goes on with a kept bench, standing: its moment is there to be looked at. `done` is told when it is, or why not.
pub fn bench(store: &Store, name: &str, bytes: &[u8], done: impl FnOnce(Result<(), String>) + 'static) {
    let (store, name, bytes) = (store.clone(), name.to_owned(), bytes.to_vec());
    wasm_bindgen_futures::spawn_local(async move {
        done(read_on(&store, &name, &bytes).await);
    });
}

async fn read_on(store: &Store, name: &str, bytes: &[u8]) -> Result<(), String> {
    let read = kept::read_later().await.map_err(|missing| missing.to_string())?;
    let ready = read(name, bytes).map_err(|error| error.to_string())?;
    store.change(|lab| {
        lab.resume(&ready.scene_id, ready.scene, ready.waiting, ready.sim);
        lab.clock.running = false;
    });
    Ok(())
}

/// Opens a file of either kind by what is in it. A kept bench is opened a moment later, and refused by a notice.
///
/// # Errors
/// Why it was refused, in words.
pub fn file(store: &Store, name: &str, bytes: &[u8]) -> Result<(), String> {
    if super::record::looks_like_record(bytes) {
        let record = Record::read(&String::from_utf8_lossy(bytes)).map_err(|why| format!("{name}: {why}"))?;
        store.ui.dispatch(Action::Lesson(LessonDeed::Take(Rc::new(record))));
        return Ok(());
    }
    if kept::looks_kept(bytes) {
        let ui = store.ui.clone();
        bench(store, name, bytes, move |opened| {
            if let Err(why) = opened {
                ui.dispatch(Action::Notice(why));
            }
        });
        return Ok(());
    }
    let scene = lessons::read_bytes(name, bytes).map_err(|error| error.to_string())?;
    store.change(|lab| {
        lab.load(name, scene);
        lab.clock.running = true;
    });
    Ok(())
}
