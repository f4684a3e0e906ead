//! Lessons that are dropped on the page: a folder, or its files together.

use crate::store::lesson::{Leaf, LessonDeed, shipped_later};
use crate::store::{Action, Store};
use js_sys::{Array, Function, Promise, Reflect, Uint8Array};
use lessons::lesson::LessonFile;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{DataTransfer, File};

/// Folder of files that were dropped without one.
const LOOSE: &str = "L99-dropped";
/// Most files of a folder.
const MOST: usize = 400;

type Tried<T> = Result<T, JsValue>;

/// Something that was dropped: an entry of the file system where the browser has one, or a bare file.
pub enum Dropped {
    /// A folder or a file of the file system.
    Entry(JsValue),
    /// A file.
    Bare(File),
}

impl Dropped {
    fn name(&self) -> String {
        match self {
            Self::Entry(entry) => name_of(entry),
            Self::Bare(file) => file.name(),
        }
    }

    fn is_directory(&self) -> bool {
        matches!(self, Self::Entry(entry) if is_directory(entry))
    }
}

/// What is dropped, if it is a lesson: a folder, or a Markdown file among the files; nothing otherwise. The entries must
/// be taken at once, since the browser forgets them when the event is over.
pub fn lesson_of(data: &DataTransfer) -> Vec<Dropped> {
    let items = data.items();
    let of = |i: u32| {
        let item = items.get(i)?;
        let entry = method(&item, "webkitGetAsEntry").and_then(|get| get.call0(&item)).unwrap_or(JsValue::NULL);
        if entry.is_object() {
            return Some(Dropped::Entry(entry));
        }
        item.get_as_file().ok().flatten().map(Dropped::Bare)
    };
    let dropped: Vec<Dropped> = (0..items.length()).filter_map(of).collect();
    let is_lesson = |one: &Dropped| one.is_directory() || one.name().ends_with(".md");
    if dropped.iter().any(is_lesson) { dropped } else { Vec::new() }
}

/// Reads the entries and puts the lessons among the others.
pub fn open(store: Store, dropped: Vec<Dropped>) {
    wasm_bindgen_futures::spawn_local(async move {
        let said = match read(dropped).await {
            Err(_) => Err("The browser could not read what was dropped. Drop the folder of one lesson.".to_owned()),
            Ok(folders) => take(&store, folders).await,
        };
        match said {
            Ok(said) => {
                store.ui.dispatch(Action::Lesson(LessonDeed::Leaf(Some(Leaf::Lessons))));
                store.ui.dispatch(Action::Notice(said));
            }
            Err(why) => store.ui.dispatch(Action::Notice(why)),
        }
    });
}

/// Puts folders among the lessons; what is wrong with them changes nothing.
async fn take(store: &Store, folders: Vec<(String, Vec<LessonFile>)>) -> Result<String, String> {
    let mut shelf = match &store.ui.learning.shelf {
        Some(shelf) => shelf.clone(),
        None => shipped_later().await.map_err(|missing| missing.to_string())??,
    };
    let mut names = Vec::new();
    for (folder, files) in folders {
        shelf = shelf.with(&folder, files)?;
        names.push(folder);
    }
    if names.is_empty() {
        return Err(
            "There is no lesson in what was dropped. A lesson is a folder with a file lesson.en.md and scenes."
                .to_owned(),
        );
    }
    store.ui.dispatch(Action::Lesson(LessonDeed::Shelve(shelf)));
    Ok(format!("{} stands among the lessons until the page is closed.", names.join(", ")))
}

/// Lessons in what was dropped: a folder with a Markdown file is one, and so is each such folder inside a folder.
async fn read(dropped: Vec<Dropped>) -> Tried<Vec<(String, Vec<LessonFile>)>> {
    let mut folders: Vec<(String, Vec<LessonFile>)> = Vec::new();
    let mut loose = Vec::new();
    let mut waiting: Vec<JsValue> = Vec::new();
    for one in dropped {
        match one {
            Dropped::Entry(entry) if is_directory(&entry) => waiting.push(entry),
            Dropped::Entry(entry) => loose.push(file_of(&entry).await?),
            Dropped::Bare(file) => loose.push(bytes_of(file).await?),
        }
    }
    while let Some(folder) = waiting.pop() {
        let mut files = Vec::new();
        for entry in children(&folder).await? {
            if is_directory(&entry) {
                waiting.push(entry);
            } else if [".md", ".toml"].iter().any(|ending| name_of(&entry).ends_with(ending)) && files.len() < MOST {
                files.push(file_of(&entry).await?);
            }
        }
        if files.iter().any(|file| file.name.ends_with(".md")) {
            folders.push((name_of(&folder), files));
        }
    }
    if !loose.is_empty() {
        folders.push((LOOSE.to_owned(), loose));
    }
    Ok(folders)
}

async fn children(folder: &JsValue) -> Tried<Vec<JsValue>> {
    let reader = method(folder, "createReader")?.call0(folder)?;
    let read = method(&reader, "readEntries")?;
    let mut all = Vec::new();
    // The browser hands them out in pieces; an empty one is the last.
    loop {
        let piece = Array::from(&told(&read, &reader).await?);
        if piece.length() == 0 {
            return Ok(all);
        }
        all.extend(piece.iter());
    }
}

async fn file_of(entry: &JsValue) -> Tried<LessonFile> {
    bytes_of(told(&method(entry, "file")?, entry).await?.dyn_into()?).await
}

async fn bytes_of(file: File) -> Tried<LessonFile> {
    if file.size() > 4.0 * lessons::LARGEST_FILE as f64 {
        // Too large for a lesson in any case; the reader says so by the number of bytes.
        return Ok(LessonFile { name: file.name(), bytes: vec![b' '; lessons::LARGEST_FILE + 1] });
    }
    let buffer = JsFuture::from(file.array_buffer()).await?;
    Ok(LessonFile { name: file.name(), bytes: Uint8Array::new(&buffer).to_vec() })
}

/// What a function tells to its first callback; an error goes to the second.
async fn told(function: &Function, this: &JsValue) -> Tried<JsValue> {
    let promise = Promise::new(&mut |resolve, reject| {
        let _ = function.call2(this, &resolve, &reject);
    });
    JsFuture::from(promise).await
}

fn method(of: &JsValue, name: &str) -> Tried<Function> {
    Reflect::get(of, &name.into())?.dyn_into()
}

fn is_directory(entry: &JsValue) -> bool {
    Reflect::get(entry, &"isDirectory".into()).is_ok_and(|value| value.is_truthy())
}

fn name_of(entry: &JsValue) -> String {
    Reflect::get(entry, &"name".into()).ok().and_then(|name| name.as_string()).unwrap_or_default()
}
