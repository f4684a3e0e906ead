//! Recorded fingerprints of the shipped scenes: a change of one bit anywhere in the model shows here. See
//! `recorded/digests.toml` for what a change means.

use std::collections::BTreeMap;
use std::fmt::Write;

use sim_core::bench;
use sim_core::instrument::digest::Digest;
use sim_core::numbers::Within;

/// Set to 1 to write the fingerprints anew.
const RECORD: &str = "COUNTLIGHT_RECORD";

/// Longest run that is taken in full, s; of the scene that lasts an hour the first minute is enough.
const LONGEST_S: f64 = 600.0;

const FILE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/recorded/digests.toml");

const HEAD: &str = "\
# Fingerprints of the shipped scenes: of every sample, every step and every line of the log.
#
# A fingerprint that changes says that a run came out differently. That is right only when the model, a preset or a
# scene was changed on purpose. Then look at what changed (`countlight trace SCENE` before and after), say so in the
# commit and record anew: COUNTLIGHT_RECORD=1 cargo test -p system-tests --test fingerprints
# If nothing was meant to change, this is a fault: rounding, order, a random stream, a forgotten state.
";

fn digests() -> BTreeMap<String, String> {
    lessons::shipped()
        .into_iter()
        .map(|shipped| {
            let mut scene = lessons::read(shipped.id, shipped.text).unwrap_or_else(|e| panic!("{e}"));
            if scene.duration_s.get() > LONGEST_S {
                scene.duration_s = Within::nearest(60.0);
            }
            let mut digest = Digest::default();
            bench::run(&scene, &mut digest);
            (shipped.id.to_owned(), digest.hex())
        })
        .collect()
}

#[test]
fn the_shipped_scenes_run_as_recorded() {
    let now = digests();
    if std::env::var(RECORD).is_ok_and(|value| value == "1") {
        let mut text = HEAD.to_owned();
        for (id, digest) in &now {
            writeln!(text, "{id} = \"{digest}\"").expect("a string takes all");
        }
        std::fs::write(FILE, text).expect("the file of fingerprints can be written");
    }
    let text = std::fs::read_to_string(FILE).expect("the fingerprints are kept in the repository");
    let recorded: BTreeMap<String, String> = toml::from_str(&text).expect("the fingerprints are TOML");
    assert_eq!(now, recorded, "left: now, right: recorded; {FILE} says what this means");
}
