//! Scenes in TOML against toml's own reader and writer.

use super::{Node, Tree, TreeError, toml_text};
use serde::Deserialize;
use sim_core::bench::Sim;
use sim_core::scene::Scene;

fn ours(text: &str) -> Result<Scene, TreeError> {
    Scene::deserialize(Node(&Tree::of_toml(text)?))
}

/// The shipped scenes that say all that a scene holds: the reader of scene files has a start of its own where none is
/// written.
fn whole() -> Vec<crate::Shipped> {
    let all: Vec<_> = crate::shipped().into_iter().filter(|shipped| theirs(shipped.text).is_ok()).collect();
    assert!(all.len() > 40, "{}", all.len());
    all
}

fn theirs(text: &str) -> Result<Scene, TreeError> {
    toml::from_str(text).map_err(|why| TreeError::new(why.message(), why.span()))
}

#[test]
fn scenes_are_read_as_by_the_reference() {
    for shipped in whole() {
        assert_eq!(ours(shipped.text).unwrap(), theirs(shipped.text).unwrap(), "{}", shipped.id);
    }
}

/// Every line left out, given another value, another name or a neighbour: the same scene or the same words at the same
/// place. Of several things that are wrong either may be told first.
#[test]
fn damage_is_told_as_by_the_reference() {
    let (mut same, mut all) = (0, 0);
    for shipped in whole() {
        let lines: Vec<&str> = shipped.text.lines().collect();
        for (i, line) in lines.iter().enumerate() {
            let (name, value) = line.split_once('=').unwrap_or((line, ""));
            let changed = [
                String::new(),
                format!("{name}= \"odd\""),
                format!("{name}= 7.5"),
                format!("{name}= -1"),
                format!("{name}= 123456789012345678901"),
                format!("{name}= [1]"),
                format!("{name}= {{}}"),
                format!("{name}= {{ odd = 1 }}"),
                format!("{name}= 2026-01-01"),
                format!("odd ={value}"),
                format!("{line}\nodd = 1"),
                line.replace("_mm", "_mn"),
                line.replace("{ ", "{ odd = 1, "),
            ];
            for line in &changed {
                let mut lines = lines.clone();
                lines[i] = line;
                let text = lines.join("\n");
                let (ours, theirs) = (ours(&text), theirs(&text));
                all += 1;
                same += usize::from(ours == theirs);
                assert_eq!(ours.is_ok(), theirs.is_ok(), "{}: {line}: {ours:?} {theirs:?}", shipped.id);
                if ours != theirs && std::env::var("SHOW").is_ok() {
                    eprintln!("{}: {line}\n   {:?}\n   {:?}", shipped.id, ours.err(), theirs.err());
                }
            }
        }
    }
    assert!(all > 10_000 && same * 100 > all * 99, "{same} of {all}");
}

#[test]
fn scenes_are_written_as_by_the_reference() {
    for shipped in whole() {
        let scene = ours(shipped.text).unwrap();
        assert_eq!(toml_text(&scene).unwrap(), toml::to_string(&scene).unwrap(), "{}", shipped.id);
        let mut sim = Sim::of_scene(&scene);
        sim.advance_unwatched(4_000);
        let kept = crate::share::scene_of_bench(&sim, "kept \"so\"", "a\nb", 7);
        assert_eq!(toml_text(&kept).unwrap(), toml::to_string(&kept).unwrap(), "{}", shipped.id);
    }
}
