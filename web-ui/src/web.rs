//! What the page needs of the browser besides drawing: theme, kept settings, files.

use crate::draw::tokens::Theme;
use crate::keep::folder;
use crate::store::lesson::{Handed, LessonDeed};
use crate::store::{Action, Store};
use lessons::lesson::learner::Record;
use std::rc::Rc;
use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;
use web_sys::{DragEvent, Event, File, FileReader, HtmlInputElement};
use yew::TargetCast;

const THEME_KEY: &str = "countlight.theme";

fn storage() -> Option<web_sys::Storage> {
    // A page from a file, or a browser that forbids it, has none; then nothing is kept.
    web_sys::window().and_then(|w| w.local_storage().ok().flatten())
}

/// The theme that was chosen before, or what the system prefers.
pub fn first_theme() -> Theme {
    match storage().and_then(|s| s.get_item(THEME_KEY).ok().flatten()).as_deref() {
        Some("dark") => return Theme::Dark,
        Some("light") => return Theme::Light,
        _ => {}
    }
    let dark = web_sys::window()
        .and_then(|w| w.match_media("(prefers-color-scheme: dark)").ok().flatten())
        .is_some_and(|m| m.matches());
    if dark { Theme::Dark } else { Theme::Light }
}

/// Keeps the theme for the next visit.
pub fn keep_theme(theme: Theme) {
    if let Some(storage) = storage() {
        let _ = storage.set_item(THEME_KEY, theme_name(theme));
    }
}

/// Tells the style sheet which theme it is.
pub fn show_theme(theme: Theme) {
    if let Some(root) = web_sys::window().and_then(|w| w.document()).and_then(|d| d.document_element()) {
        let _ = root.set_attribute("data-theme", theme_name(theme));
    }
}

/// The language that the browser asks for, without its country.
pub fn first_language() -> Option<String> {
    let wanted = web_sys::window()?.navigator().language()?;
    Some(wanted.split('-').next().unwrap_or_default().to_owned())
}

/// Keeps a choice for the next visit.
pub fn keep(name: &str, value: &str) {
    if let Some(storage) = storage() {
        let _ = storage.set_item(&format!("countlight.{name}"), value);
    }
}

/// A choice that was kept.
pub fn kept(name: &str) -> Option<String> {
    storage().and_then(|s| s.get_item(&format!("countlight.{name}")).ok().flatten())
}

/// Whether the address ends in this and nothing else stands behind the page's own address: "" or "#present".
pub fn address_says(hash: &str) -> bool {
    let Some(location) = web_sys::window().map(|w| w.location()) else { return false };
    location.hash().is_ok_and(|own| own == hash) && location.search().is_ok_and(|search| search.is_empty())
}

/// Tells the style sheet that the sheet is for a room.
pub fn show_present(on: bool) {
    if let Some(root) = web_sys::window().and_then(|w| w.document()).and_then(|d| d.document_element()) {
        let _ = if on { root.set_attribute("data-present", "1") } else { root.remove_attribute("data-present") };
    }
}

fn theme_name(theme: Theme) -> &'static str {
    match theme {
        Theme::Light => "light",
        Theme::Dark => "dark",
    }
}

/// Opens a scene or a kept bench from the bytes of a file; one that cannot be read changes nothing and says why.
pub fn open_file(store: &Store, name: &str, bytes: &[u8]) {
    if let Err(why) = crate::keep::open::file(store, name, bytes) {
        store.ui.dispatch(Action::Notice(why));
    }
}

/// A file was dropped on the page.
pub fn dropped(store: &Store, event: &DragEvent) {
    event.prevent_default();
    store.ui.dispatch(Action::Dropping(false));
    let lesson = event.data_transfer().map_or(Vec::new(), |data| folder::lesson_of(&data));
    if !lesson.is_empty() {
        return folder::open(store.clone(), lesson);
    }
    let file = event.data_transfer().and_then(|d| d.files()).and_then(|files| files.get(0));
    match file {
        Some(file) => read_file(store.clone(), file),
        None => store.ui.dispatch(Action::Notice(
            "Drop a scene file (.toml), a kept bench (.json) or the folder of a lesson on the page.".into(),
        )),
    }
}

/// Reads a file that the person chose or dropped, and opens it.
pub fn read_file(store: Store, file: File) {
    let name = file.name();
    let most = if name.ends_with(".json") { crate::keep::kept::LARGEST } else { lessons::LARGEST_FILE };
    if file.size() > most as f64 {
        // Refused before it is read: the reader's own words, without the bytes.
        let too_large = format!(
            "{name}: the file has {:.0} bytes; at most {most} are read\n  To mend it: choose a scene file (.toml) or a kept bench (.json); a recording or picture is neither.",
            file.size(),
        );
        store.ui.dispatch(Action::Notice(too_large));
        return;
    }
    read_bytes(store, file, open_file);
}

/// Reads the record of somebody of a class.
pub fn read_record(store: Store, file: File) {
    read_bytes(store, file, |store, name, bytes| match Record::read(&String::from_utf8_lossy(bytes)) {
        Ok(record) => store.ui.dispatch(Action::Lesson(LessonDeed::Hand(Handed::Record(Rc::new(record))))),
        Err(why) => store.ui.dispatch(Action::Notice(format!("{name}: {why}"))),
    });
}

/// Hands over each file that was chosen in a field, which is then ready for the same ones again.
pub fn chosen_files(event: &Event, take: impl Fn(File)) {
    let Some(input) = event.target_dyn_into::<HtmlInputElement>() else { return };
    let Some(files) = input.files() else { return };
    (0..files.length()).filter_map(|i| files.get(i)).for_each(take);
    input.set_value("");
}

/// Gives the bytes of a file to somebody.
pub fn read_bytes(store: Store, file: File, take: fn(&Store, &str, &[u8])) {
    let name = file.name();
    let Ok(reader) = FileReader::new() else { return };
    let done = {
        let reader = reader.clone();
        Closure::once_into_js(move || match reader.result() {
            Ok(buffer) => take(&store, &name, &js_sys::Uint8Array::new(&buffer).to_vec()),
            Err(_) => store.ui.dispatch(Action::Notice(format!("{name}: the browser could not read this file."))),
        })
    };
    reader.set_onloadend(Some(done.unchecked_ref()));
    let _ = reader.read_as_array_buffer(&file);
}
