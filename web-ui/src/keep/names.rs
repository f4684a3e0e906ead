//! Benches kept under a name in the browser, and where the person was at the last visit.

use super::shelf::{NoRoom, Shelf};
use lessons::kept::Kept;
use lessons::tree::Tree;
use sim_core::setup::BenchId;

/// What the names of kept benches begin with on the shelf.
const NAMED: &str = "countlight.bench.";
/// Where the person is now.
const LAST: &str = "countlight.last";
/// Where the person was in the visit before, if it was not gone on with.
const EARLIER: &str = "countlight.earlier";

/// Most benches that are kept under names.
pub const MOST: usize = 24;
/// Most letters of a name.
pub const LONGEST_NAME: usize = 60;

/// One line of the list.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// The name it is kept under.
    pub name: String,
    /// What it holds; `None` when that cannot be read.
    pub what: Option<About>,
}

/// What a kept bench is, without reading all of it.
#[derive(Clone, Debug, PartialEq)]
pub struct About {
    /// Title of its scene.
    pub title: String,
    /// Machine and axis.
    pub machine: &'static str,
    /// When it was kept, milliseconds since the start of 1970 (UTC).
    pub saved_ms: f64,
}

fn about(text: &str) -> Option<About> {
    let head = Tree::of_json(text).ok()?;
    let saved_ms = head.get("saved_ms")?.number().filter(|ms| (0.0..8.64e15).contains(ms))?;
    let bench: BenchId = lessons::kept::of_tree(head.get("bench")?.get("setup")?.get("bench")?).ok()?;
    Some(About { title: head.get("title")?.text()?.to_owned(), machine: bench.title(), saved_ms })
}

/// The list, newest first; those that cannot be read at its end.
pub fn list(shelf: &impl Shelf) -> Vec<Line> {
    let names = shelf.names().into_iter().filter_map(|key| key.strip_prefix(NAMED).map(str::to_owned));
    let line = |name: String| {
        let what = shelf.get(&format!("{NAMED}{name}")).as_deref().and_then(about);
        Line { name, what }
    };
    let mut lines: Vec<Line> = names.map(line).collect();
    let newest = |line: &Line| line.what.as_ref().map_or(f64::INFINITY, |what| -what.saved_ms);
    lines.sort_by(|a, b| newest(a).total_cmp(&newest(b)).then_with(|| a.name.cmp(&b.name)));
    lines
}

/// A name as it is kept: without blanks around it.
///
/// # Errors
/// It is empty or too long.
fn tidy(name: &str) -> Result<String, String> {
    let name = name.split_whitespace().collect::<Vec<_>>().join(" ");
    match name.chars().count() {
        0 => Err("Give it a name first, such as \"Smear at 1.5 m\".".to_owned()),
        letters if letters > LONGEST_NAME => {
            Err(format!("The name has {letters} letters; {LONGEST_NAME} are allowed. Choose a shorter one."))
        }
        _ => Ok(name),
    }
}

/// Keeps a bench under a name, in place of one of the same name. Gives the name as it is kept.
///
/// # Errors
/// In words: no name, too many benches, no room.
pub fn keep(shelf: &impl Shelf, name: &str, kept: &Kept) -> Result<String, String> {
    let name = tidy(name)?;
    let lines = list(shelf);
    if lines.len() >= MOST && !lines.iter().any(|line| line.name == name) {
        return Err(format!(
            "{MOST} benches are kept here, which is the most. Delete one first, or save this one as a file."
        ));
    }
    let no_room = "The browser has no room left for it. Delete a kept bench, or save this one as a file.";
    shelf.put(&format!("{NAMED}{name}"), &kept.text()).map_err(|NoRoom| no_room.to_owned())?;
    Ok(name)
}

/// The text of a kept bench.
pub fn text_of(shelf: &impl Shelf, name: &str) -> Option<String> {
    shelf.get(&format!("{NAMED}{name}"))
}

/// Gives a kept bench another name.
///
/// # Errors
/// In words: no name, the name is taken, no room.
pub fn rename(shelf: &impl Shelf, from: &str, to: &str) -> Result<String, String> {
    let to = tidy(to)?;
    if to == from {
        return Ok(to);
    }
    let (old, new) = (format!("{NAMED}{from}"), format!("{NAMED}{to}"));
    if shelf.get(&new).is_some() {
        return Err(format!("\"{to}\" is taken. Choose another name, or delete that one first."));
    }
    let Some(text) = shelf.get(&old) else { return Err(format!("\"{from}\" is no longer kept here.")) };
    shelf.put(&new, &text).map_err(|NoRoom| "The browser has no room left. Delete a kept bench first.".to_owned())?;
    shelf.remove(&old);
    Ok(to)
}

/// Throws a kept bench away.
pub fn delete(shelf: &impl Shelf, name: &str) {
    shelf.remove(&format!("{NAMED}{name}"));
}

/// What was left at the last visit: its text, and what it is.
pub fn last(shelf: &impl Shelf) -> Option<(String, About)> {
    [LAST, EARLIER].into_iter().find_map(|key| {
        let text = shelf.get(key)?;
        let about = about(&text)?;
        Some((text, about))
    })
}

/// Where the person was at the visit before this one, once this one is being kept.
pub fn earlier(shelf: &impl Shelf) -> Option<(String, About)> {
    let text = shelf.get(EARLIER)?;
    let about = about(&text)?;
    Some((text, about))
}

/// A new visit begins to be kept: what was left at the last one moves aside.
pub fn set_aside(shelf: &impl Shelf) {
    if let Some(text) = shelf.get(LAST).filter(|text| about(text).is_some()) {
        let _ = shelf.put(EARLIER, &text);
    }
}

/// Keeps where the person is. Without room nothing is kept, and nothing is said: it was not asked for.
pub fn keep_last(shelf: &impl Shelf, text: &str) {
    let _ = shelf.put(LAST, text);
}

#[cfg(test)]
#[path = "names_tests.rs"]
mod tests;
