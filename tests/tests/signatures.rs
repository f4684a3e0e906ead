//! Every shipped scene bears out its claims, and scenes that look alike are told apart by the reading that they name.

use std::collections::BTreeSet;

use lessons::{read, shipped, shipped_by_name, told_apart, unmet};
use sim_core::bench::command::Command;
use sim_core::fault::{Group, TABLE};
use sim_core::scene::Scene;

fn scenes() -> Vec<(&'static str, Scene)> {
    shipped().into_iter().map(|s| (s.id, read(s.id, s.text).unwrap_or_else(|e| panic!("{e}")))).collect()
}

#[test]
fn every_run_bears_out_what_its_scene_claims() {
    let wrong: Vec<String> = scenes()
        .iter()
        .flat_map(|(id, scene)| unmet(scene).into_iter().map(move |unmet| format!("{id}: {unmet}")))
        .collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn look_alikes_differ_in_the_reading_that_they_name() {
    let mut pairs = 0;
    for (id, scene) in scenes() {
        for alike in &scene.look_alikes {
            let other = shipped_by_name(&alike.scene).unwrap_or_else(|| panic!("{id}: there is no {}", alike.scene));
            let other = read(other.id, other.text).unwrap_or_else(|e| panic!("{e}"));
            if let Err(slip) = told_apart(&scene, &other, alike) {
                panic!("{id} and {}: {}", alike.scene, slip.what);
            }
            pairs += 1;
        }
    }
    assert!(pairs >= 20, "{pairs} pairs");
}

/// A fault of the signal chain comes with a scene that shows it and says by which readings.
#[test]
fn every_fault_of_the_signal_chain_has_its_scene() {
    let shown: BTreeSet<String> = scenes()
        .iter()
        .filter(|(_, scene)| !scene.expects.is_empty())
        .flat_map(|(_, scene)| scene.steps.iter())
        .filter_map(|step| match &step.command {
            Command::Break(b) => Some(b.fault.row().name.to_owned()),
            _ => None,
        })
        .collect();
    let missing: Vec<&str> = TABLE
        .iter()
        .filter(|row| matches!(row.group, Group::Scale | Group::Head | Group::Cable))
        .map(|row| row.name)
        .filter(|name| !shown.contains(*name))
        .collect();
    assert!(missing.is_empty(), "{missing:?}");
}
