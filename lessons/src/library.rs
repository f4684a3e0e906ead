//! The scenes that come with the program, embedded in it.

use include_dir::{Dir, include_dir};

static SCENES: Dir<'static> = include_dir!("$CARGO_MANIFEST_DIR/scenes");

/// A scene file that comes with the program.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shipped {
    /// File name without its ending: the scene's stable id.
    pub id: &'static str,
    /// Folder that it stands in below `scenes`, such as `faults`; empty for the first scenes.
    pub group: &'static str,
    /// The text of the file.
    pub text: &'static str,
}

/// All scenes that come with the program, the first ones before those in folders, in order of their id.
pub fn shipped() -> Vec<Shipped> {
    let of = |dir: &'static Dir<'static>, group: &'static str| -> Vec<Shipped> {
        let read = |file: &'static include_dir::File<'static>| {
            let id = file.path().file_name()?.to_str()?.strip_suffix(".toml")?;
            Some(Shipped { id, group, text: file.contents_utf8()? })
        };
        dir.files().filter_map(read).collect()
    };
    let mut scenes = of(&SCENES, "");
    for dir in SCENES.dirs() {
        scenes.extend(of(dir, dir.path().to_str().unwrap_or_default()));
    }
    scenes.sort_by_key(|scene| (scene.group, scene.id));
    scenes
}

/// The shipped scene of an id.
pub fn shipped_by_name(id: &str) -> Option<Shipped> {
    shipped().into_iter().find(|scene| scene.id == id)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_shipped_scene_is_readable_and_survives_a_round_trip() {
        let scenes = shipped();
        assert!(scenes.len() >= 6);
        for shipped in scenes {
            let scene = crate::read(shipped.id, shipped.text).unwrap_or_else(|e| panic!("{e}"));
            let again = crate::read(shipped.id, &crate::write(&scene)).unwrap_or_else(|e| panic!("{e}"));
            assert_eq!(scene, again, "{}", shipped.id);
        }
    }
}
