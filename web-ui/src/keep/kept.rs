//! A kept bench: its exact moment as JSON, in a file or on the browser's shelf.

use crate::lab::Lab;
use crate::later::later;
use lessons::kept::{FORMAT, KIND, Kept};
use lessons::share::scene_of_bench;
use lessons::tree::Tree;
use sim_core::bench::Sim;
use sim_core::scene::Scene;

/// Largest kept bench that is read, bytes: one whose scale is dirty all over is well below it.
pub const LARGEST: usize = 4 << 20;

/// A kept bench that was read and can go on.
#[derive(Clone, Debug)]
pub struct Ready {
    /// The scene that it belongs to.
    pub scene: Scene,
    /// Its id.
    pub scene_id: String,
    /// Steps of the scene still to come.
    pub waiting: usize,
    /// The bench.
    pub sim: Sim,
}

/// Why a kept bench was refused: which file, what is wrong, how to mend it.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{file}: {what}\n  To mend it: {mend}")]
pub struct KeptError {
    /// File name, or the name on the shelf.
    pub file: String,
    /// What is wrong.
    pub what: String,
    /// How to mend it.
    pub mend: &'static str,
}

/// The bench of the page now.
pub fn kept_of(lab: &Lab, saved_ms: f64) -> Kept {
    Kept {
        format: FORMAT,
        kind: KIND.to_owned(),
        title: lab.scene().title.clone(),
        saved_ms,
        seed: lab.scene().seed,
        scene_id: lab.scene_id().to_owned(),
        scene: Some(lab.scene_text().to_owned()),
        waiting: lab.waiting(),
        bench: lab.sim_now().bench().clone(),
    }
}

/// Whether bytes look like a kept bench rather than a scene: a scene never begins with a bracket like this.
pub fn looks_kept(bytes: &[u8]) -> bool {
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    bytes.iter().find(|b| !b.is_ascii_whitespace()) == Some(&b'{')
}

/// [`read`] as a part gives it.
pub type Read = fn(&str, &[u8]) -> Result<Ready, KeptError>;

later! {
    /// [`read`], fetched: a page that only runs has no use for the readers of a whole bench.
    pub fn read_later() -> Read, in desk = read
}

/// Reads a kept bench; `file` is the name for messages.
///
/// # Errors
/// The first thing that is wrong.
pub fn read(file: &str, bytes: &[u8]) -> Result<Ready, KeptError> {
    const AGAIN: &str = "get the whole file again, or save the bench once more.";
    let refuse = |what: String, mend| Err(KeptError { file: file.to_owned(), what, mend });
    if bytes.len() > LARGEST {
        let what = format!("the file has {} bytes; a kept bench has at most {LARGEST}", bytes.len());
        return refuse(what, "choose a file that this page has saved (.json).");
    }
    let Ok(text) = std::str::from_utf8(bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes)) else {
        return refuse("this is not text".to_owned(), "choose a file that this page has saved (.json).");
    };
    let tree = match Tree::of_json(text) {
        Ok(tree) => tree,
        Err(e) if e.is_eof() => return refuse("the file is cut off: its end is missing".to_owned(), AGAIN),
        Err(e) => {
            return refuse(format!("the file is damaged at line {}, letter {}", e.line(), e.column()), AGAIN);
        }
    };
    if tree.get("kind").and_then(Tree::text) != Some(KIND) {
        return refuse(
            "this is not a kept bench".to_owned(),
            "choose a file that this page has saved (.json), or a scene (.toml).",
        );
    }
    match tree.get("format").and_then(Tree::whole) {
        Some(n) if n > i64::from(FORMAT) => {
            let what = format!("this kept bench has format {n}; this program reads format {FORMAT}");
            return refuse(what, "open it with a newer Countlight.");
        }
        Some(1) => {}
        _ => return refuse(format!("the format must be the whole number {FORMAT}"), AGAIN),
    }
    let kept = match lessons::kept::kept_of(&tree) {
        Ok(kept) => kept,
        Err(e) => return refuse(format!("something in it is missing or wrong: {e}"), AGAIN),
    };
    let newer = kept.bench.format > sim_core::bench::BENCH_FORMAT;
    let sim = match Sim::resume(kept.bench) {
        Ok(sim) => sim,
        Err(e) if newer => return refuse(e.to_string(), "open it with a newer Countlight."),
        Err(e) => return refuse(format!("a number in it cannot be: {e}"), AGAIN),
    };
    let scene = match kept.scene.as_deref().map(|text| lessons::read(file, text)) {
        None => scene_of_bench(&sim, &kept.title, "", kept.seed),
        Some(Ok(scene)) if scene.bench == sim.bench().setup.bench => scene,
        Some(Ok(_)) => return refuse("its scene belongs to another bench".to_owned(), AGAIN),
        Some(Err(e)) => return refuse(format!("the scene in it is wrong: {}", e.what), AGAIN),
    };
    Ok(Ready { scene, scene_id: kept.scene_id, waiting: kept.waiting, sim })
}

#[cfg(test)]
#[path = "kept_tests.rs"]
mod tests;
