//! The bench as it stands as a scene.

use sim_core::bench::Sim;
use sim_core::bench::command::{PlaceMm, SettingList};
use sim_core::names::ROWS;
use sim_core::numbers::Within;
use sim_core::scene::{AsFound, FORMAT, Scene};
use sim_core::setup::Setup;
use sim_core::upkeep::Upkeep;

/// Length of the run that a kept bench is given, s.
const DURATION_S: f64 = 60.0;

/// A scene that opens the bench as it is set up, broken and dirty now, at the place where its table is, at rest. What
/// moves and what was counted is not in it: the exact moment is what a kept [`sim_core::bench::Bench`] holds.
pub fn scene_of_bench(sim: &Sim, title: &str, about: &str, seed: u32) -> Scene {
    let arrangement = sim.arrangement();
    let healthy = Setup::healthy(arrangement.setup.bench);
    let differs = ROWS.iter().filter(|row| row.setting.get(&healthy) != row.setting.get(&arrangement.setup));
    let mut differs: Vec<_> = differs.collect();
    // The order of files, so that reading gives the same scene.
    differs.sort_by_key(|row| row.name);
    let set = differs.iter().map(|row| (row.setting, row.setting.get(&arrangement.setup))).collect();
    let upkeep = Some(arrangement.upkeep).filter(|upkeep| *upkeep != Upkeep::new(u64::from(seed)));
    let found = AsFound { faults: arrangement.faults, dirt: arrangement.dirt, upkeep };
    let machine = &sim.params().machine;
    let (table_mm, travel_mm) = (sim.record().table_m * 1e3, machine.travel * 1e3);
    // An axis that turns for ever comes back to the same place after each turn.
    let place_mm = if machine.endless { table_mm.rem_euclid(travel_mm) } else { table_mm.clamp(0.0, travel_mm) };
    Scene {
        format: FORMAT,
        title: title.to_owned(),
        about: about.to_owned(),
        bench: arrangement.setup.bench,
        seed,
        duration_s: Within::nearest(DURATION_S),
        start_mm: PlaceMm::nearest((place_mm * 1e3).round() / 1e3),
        set: SettingList(set),
        as_found: Some(found).filter(|found| *found != AsFound::default()),
        steps: Vec::new(),
        expects: Vec::new(),
        look_alikes: Vec::new(),
    }
}
