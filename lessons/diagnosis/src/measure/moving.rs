//! Checks that move the axis.

use super::{Measured, Picture, View, ends_m, ready, turns_m};
use crate::check::Check;
use sim_core::bench::Sim;
use sim_core::inspect::drive::move_to;
use sim_core::inspect::survey::LEVELS;
use sim_core::inspect::{Figure, count_return, home_repeat, play, scan};
use sim_core::instrument::readings::Readings;
use sim_core::instrument::travel::{Place, Travel};
use sim_core::record::{Sample, Tap};

/// Shares of the highest speed: at work, while the amplitude is written down, while the current is, at a creep.
const FAST: f64 = 0.85;
const AMPLITUDE: f64 = 0.5;
const CURRENT: f64 = 0.5;
const CREEP: f64 = 0.05;
/// Homings of a test.
const HOMINGS: u32 = 4;
/// Of the levels of a survey those that a figure shows: amplitudes, offsets, phase, noise.
const SHOWN: usize = 6;
/// Share of the middle amplitude under which a place counts as weak.
const WEAK: f64 = 0.85;

fn speed_mps(sim: &Sim, share: f64) -> f64 {
    share * sim.params().machine.limits.speed
}

/// Out and back at speed.
pub fn traverse(sim: &mut Sim) -> Measured {
    let (from_m, to_m) = ends_m(sim);
    let speed_mps = speed_mps(sim, FAST);
    let run = ready(sim).and_then(|()| count_return::figures(sim, from_m, to_m, speed_mps));
    Measured::of(run.map(|figures| figures.to_vec()))
}

/// The amplitude at each millimetre, one way.
pub fn amplitudes(sim: &mut Sim) -> Measured {
    let (from_m, to_m) = ends_m(sim);
    let speed_mps = speed_mps(sim, AMPLITUDE);
    let begun = ready(sim).and_then(|()| move_to(sim, from_m, speed_mps, &mut ()));
    let turns_m = turns_m(sim);
    let Ok(mut travel) = Travel::new(sim.params().scale.period_m, from_m + turns_m, to_m + turns_m) else {
        return Measured::default();
    };
    let run = begun.and_then(|()| move_to(sim, to_m, speed_mps, &mut travel));
    let places: Vec<Place> = travel.places().iter().flatten().copied().collect();
    let mut figures = Vec::new();
    if places.len() >= 20 {
        let mut sorted: Vec<f64> = places.iter().map(|place| place.vector_v).collect();
        sorted.sort_by(f64::total_cmp);
        let middle_v = sorted[sorted.len() / 2];
        let weak = sorted.iter().filter(|v| **v < WEAK * middle_v).count() as f64 / sorted.len() as f64;
        let shortest_v = places.iter().map(|place| place.shortest_v).fold(f64::INFINITY, f64::min);
        let fade = travel.slope().map_or(0.0, |slope| slope.vector_v_per_m * (to_m - from_m) / middle_v.max(1e-6));
        figures = vec![
            Figure::new("middle_v", middle_v, 0.02),
            Figure::new("least_v", sorted[0], 0.03),
            Figure::new("shortest_v", shortest_v, 0.03),
            Figure::new("weak_percent", weak * 100.0, 1.0),
            Figure::new("fade_percent", fade * 100.0, 5.0),
        ];
    }
    let line = places.iter().map(|place| [(place.table_m - turns_m) * 1e3, place.vector_v]).collect();
    Measured { figures, stopped: run.err(), picture: Picture::of(View::Amplitude, [line]) }
}

/// Keeps A and B as they come.
#[derive(Default)]
struct Trail(Vec<[f64; 2]>);

impl Tap for Trail {
    fn sample(&mut self, sample: &Sample) {
        self.0.push([sample.a_v, sample.b_v]);
    }
}

/// A few millimetres at a creep around the place where the axis stands.
pub fn figure(sim: &mut Sim) -> Measured {
    let length_m = (200.0 * sim.params().scale.period_m).clamp(4e-3, 0.05);
    let (from_m, to_m) = ends_m(sim);
    let start_m = sim.record().command_m.clamp(from_m, to_m - length_m);
    let speed_mps = speed_mps(sim, CREEP);
    let (mut readings, mut trail) = (Readings::new(sim.params()), Trail::default());
    let run = ready(sim)
        .and_then(|()| move_to(sim, start_m, 4.0 * speed_mps, &mut ()))
        .and_then(|()| move_to(sim, start_m + length_m, speed_mps, &mut (&mut readings, &mut trail)));
    let read = readings.figures();
    let figures = LEVELS[..SHOWN]
        .iter()
        .filter_map(|(name, resolution)| Some(Figure::new(name, read.get(name)?, *resolution)))
        .collect();
    Measured { figures, stopped: run.err(), picture: Picture::of(View::Figure, [trail.0]) }
}

/// Current, following error and both encoders at each millimetre, out and back.
pub fn scan_both_ways(check: Check, sim: &mut Sim) -> Measured {
    if let Err(stopped) = ready(sim) {
        return Measured::ended(stopped);
    }
    let (from_m, to_m) = ends_m(sim);
    let lead_m = std::f64::consts::TAU * sim.params().machine.mechanics.ratio;
    let speed_mps = speed_mps(sim, CURRENT);
    let scanned = scan::scan(sim, from_m, to_m, speed_mps);
    let current = check == Check::CurrentScan;
    let line = |places: &[scan::Place]| {
        places.iter().map(|p| [p.at_m * 1e3, if current { p.current_a } else { p.mismatch_m * 1e3 }]).collect()
    };
    let view = if current { View::Current } else { View::Mismatch };
    let picture = Picture::of(view, [line(&scanned.up), line(&scanned.down)]);
    Measured { figures: scanned.figures(lead_m), stopped: scanned.stopped, picture }
}

/// Homing again and again.
pub fn home(sim: &mut Sim) -> Measured {
    let run = ready(sim).and_then(|()| home_repeat::run(sim, HOMINGS)).map(|homings| {
        let turns_m = turns_m(sim);
        let off_um = homings.iter().map(|homing| (homing.off_m + turns_m) * 1e6).sum::<f64>() / homings.len() as f64;
        let resolution = 3e6 * sim.params().metres_per_count();
        let mut figures = vec![
            Figure::new("off_um", off_um, resolution),
            Figure::new("spread_um", home_repeat::spread_m(&homings) * 1e6, resolution),
        ];
        let marks: Option<Vec<f64>> = homings.iter().map(|homing| homing.switch_to_mark_m).collect();
        if let Some(marks) = marks {
            let middle_um = marks.iter().sum::<f64>() / marks.len() as f64 * 1e6;
            figures.push(Figure::new("switch_to_mark_um", middle_um, 500.0));
        }
        figures
    });
    Measured::of(run)
}

/// Lost motion in the middle of the travel.
pub fn indicator(sim: &mut Sim) -> Measured {
    let place_m = whole_mm(0.5 * sim.params().machine.travel);
    let speed_mps = speed_mps(sim, 2.0 * CREEP);
    Measured::of(ready(sim).and_then(|()| play::figure(sim, place_m, speed_mps)).map(|figure| vec![figure]))
}

/// The nearest whole millimetre, m.
fn whole_mm(place_m: f64) -> f64 {
    (place_m * 1e3).round() * 1e-3
}
