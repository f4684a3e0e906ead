//! The survey: every inspection that a technician has time for, on one bench, as readings by name. Two benches that
//! differ in no reading cannot be told apart by it.
//!
//! Each stage begins on a bench of its own with the same faults, so that an alarm in one does not end the others.

use std::collections::BTreeMap;

use super::drive::{Stopped, move_to, order, settle, wait};
use super::stand::Stand;
use super::{Figure, count_return, play, rest, scan, stored, weekend};
use crate::axis::homing::HomingState;
use crate::bench::Sim;
use crate::bench::command::{Command, SettingList};
use crate::fault::Active;
use crate::instrument::readings::Readings;
use crate::names::{Setting, Value};
use crate::setup::{BenchId, Setup};

/// Seed of every survey: noise is the same, so that only the cause differs.
const SEED: u32 = 20;

/// Stretch of the axis that is scanned, m; faults with a place sit in its middle.
const STRETCH_M: (f64, f64) = (0.05, 0.35);
/// Where faults with a place are put, m.
pub const PLACE_M: f64 = 0.2;

/// What an oscilloscope and a level meter say of the signals, with the difference that means something.
pub const LEVELS: [(&str, f64); 15] = [
    ("amplitude_a_v", 0.02),
    ("amplitude_b_v", 0.02),
    ("offset_a_mv", 10.0),
    ("offset_b_mv", 10.0),
    ("phase_error_deg", 2.0),
    ("noise_mv", 0.25),
    ("position_error_nm", 60.0),
    ("corrected_error_nm", 40.0),
    ("lowest_amplitude_a_v", 0.03),
    ("highest_amplitude_a_v", 0.03),
    ("shortest_vector_v", 0.03),
    ("lowest_contrast_percent", 2.0),
    ("lowest_light_percent", 2.0),
    ("illegal_transitions", 0.5),
    ("count_stands", 0.5),
];

/// What a survey read.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Survey {
    /// Figures by `stage.name`, with the difference that means something.
    pub figures: BTreeMap<String, (f64, f64)>,
    /// What ended a stage early, in words, by its name.
    pub stops: BTreeMap<&'static str, String>,
}

/// How a reading differs from the healthy one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Shift {
    /// Less.
    Down,
    /// More.
    Up,
    /// Ended by something else, or not at all; or not to be had.
    Other,
}

impl Shift {
    /// Its sign in a table.
    #[must_use]
    pub fn sign(self) -> char {
        match self {
            Shift::Down => '-',
            Shift::Up => '+',
            Shift::Other => '!',
        }
    }
}

impl Survey {
    fn add(&mut self, stage: &'static str, figures: impl IntoIterator<Item = Figure>) {
        for figure in figures {
            self.figures.insert(format!("{stage}.{}", figure.name), (figure.value, figure.resolution));
        }
    }

    fn stop(&mut self, stage: &'static str, stopped: &Stopped) {
        let words = match stopped {
            Stopped::ByMonitor { kind, .. } => kind.title().to_owned(),
            Stopped::Refused { .. } => "refused".to_owned(),
            Stopped::Late { .. } => "does not come to rest".to_owned(),
        };
        self.stops.insert(stage, words);
    }

    /// Readings that differ from those of a healthy bench by more than their resolution.
    #[must_use]
    pub fn against(&self, healthy: &Survey) -> BTreeMap<String, Shift> {
        let mut shifts = BTreeMap::new();
        for (name, (usual, resolution)) in &healthy.figures {
            match self.figures.get(name) {
                None => {
                    shifts.insert(name.clone(), Shift::Other);
                }
                Some((found, _)) if (found - usual).abs() <= *resolution => {}
                Some((found, _)) if found < usual => {
                    shifts.insert(name.clone(), Shift::Down);
                }
                Some(_) => {
                    shifts.insert(name.clone(), Shift::Up);
                }
            }
        }
        for stage in self.stops.keys().chain(healthy.stops.keys()) {
            if self.stops.get(stage) != healthy.stops.get(stage) {
                shifts.insert(format!("{stage}.stopped"), Shift::Other);
            }
        }
        shifts
    }
}

/// Surveys a bench with faults in.
#[must_use]
pub fn survey(stand: Stand, faults: &[Active]) -> Survey {
    let mut sim = Sim::start(stand.setup(), SEED, 0.1);
    sim.put_in(faults);
    let mut survey = survey_of(&sim, &mut |_| {});
    if stand == Stand::WarmMill {
        warm(&mut survey, &mut sim);
    }
    survey
}

/// A healthy bench of a kind where a survey begins, to hold another against.
#[must_use]
pub fn healthy(bench: BenchId) -> Sim {
    Sim::start(Setup::healthy(bench), SEED, 0.1)
}

/// One stage, on a copy of the bench.
type Stage = fn(&mut Survey, Sim);

/// The stages of [`survey_of`] in their order, each with its time in steps of a twentieth of the whole, about.
const STAGES: [(Stage, u32); 9] = [
    (|survey, mut sim| at_rest(survey, &mut sim), 1),
    (|survey, mut sim| scans(survey, &mut sim, "slow", 0.2), 5),
    (|survey, mut sim| scans(survey, &mut sim, "fast", 0.85), 2),
    (cleaned, 5),
    (|survey, mut sim| returns(survey, &mut sim), 2),
    (|survey, mut sim| motor_loop(survey, &mut sim), 2),
    (|survey, mut sim| home(survey, &mut sim), 1),
    (|survey, mut sim| mains(survey, &mut sim), 1),
    (|survey, sim| values(survey, &sim), 1),
];

/// Surveys a bench as it stands, at rest and without an alarm; each stage begins on a copy of it. After each stage
/// `done` is told which share of the whole is done, 0..1.
#[must_use]
pub fn survey_of(sim: &Sim, done: &mut dyn FnMut(f64)) -> Survey {
    let mut survey = Survey::default();
    let whole: u32 = STAGES.iter().map(|(_, time)| time).sum();
    let mut so_far = 0;
    for (stage, time) in STAGES {
        stage(&mut survey, sim.clone());
        so_far += time;
        done(f64::from(so_far) / f64::from(whole));
    }
    survey
}

/// The slow scan once more on a wiped scale.
fn cleaned(survey: &mut Survey, mut sim: Sim) {
    match order(&mut sim, &Command::WipeAll) {
        Ok(()) => scans(survey, &mut sim, "cleaned", 0.2),
        Err(stopped) => survey.stop("cleaned", &stopped),
    }
}

fn at_rest(survey: &mut Survey, sim: &mut Sim) {
    survey.add("gauge", rest::gaps(sim));
    survey.add("gauge", [rest::gap_at(sim, "gap_at_place_um", PLACE_M)]);
    match rest::figures(sim) {
        Ok(figures) => survey.add("rest", figures),
        Err(stopped) => survey.stop("rest", &stopped),
    }
}

fn scans(survey: &mut Survey, sim: &mut Sim, stage: &'static str, share: f64) {
    let machine = &sim.params().machine;
    let speed_mps = share * machine.limits.speed;
    let lead_m = std::f64::consts::TAU * machine.mechanics.ratio;
    let mut readings = Readings::new(sim.params());
    let scanned = scan::scan_with(sim, STRETCH_M.0, STRETCH_M.1, speed_mps, &mut readings);
    survey.add(stage, scanned.figures(lead_m));
    if let Some(stopped) = &scanned.stopped {
        survey.stop(stage, stopped);
    }
    levels(survey, stage, &readings);
}

/// What an oscilloscope and a level meter say, with the differences that mean something.
fn levels(survey: &mut Survey, stage: &'static str, readings: &Readings) {
    let figures = readings.figures();
    for (name, resolution) in LEVELS {
        if let Some(value) = figures.get(name) {
            survey.add(stage, [Figure::new(name, value, resolution)]);
        }
    }
}

fn returns(survey: &mut Survey, sim: &mut Sim) {
    let speed_mps = 0.85 * sim.params().machine.limits.speed;
    match count_return::figures(sim, STRETCH_M.0, STRETCH_M.1, speed_mps) {
        Ok(figures) => survey.add("return", figures),
        Err(stopped) => survey.stop("return", &stopped),
    }
}

/// The loop on the motor encoder, the indicator on the table.
fn motor_loop(survey: &mut Survey, sim: &mut Sim) {
    let word = Value::Word("motor".to_owned());
    let set = Command::Set(SettingList(vec![(Setting::ServoFeedback, word)]));
    let speed_mps = 0.1 * sim.params().machine.limits.speed;
    let mut readings = Readings::new(sim.params());
    let count_m = sim.params().metres_per_count();
    let mut run = || {
        order(sim, &set)?;
        // The scale is only looked at, so that a wrong one does not drive the axis.
        let (from, count) = (sim.record().table_m, sim.record().count);
        move_to(sim, PLACE_M - 0.02, 2.0 * speed_mps, &mut readings)?;
        let went_m = sim.record().table_m - from;
        let counted = (sim.record().count - count) as f64 * count_m / went_m;
        let lost = play::figure(sim, PLACE_M, speed_mps)?;
        let far_um = (sim.record().command_m - sim.record().table_m) * 1e6;
        Ok([
            lost,
            Figure::new("off_at_place_um", far_um, 4.0),
            Figure::new("current_a", readings.summary.current_a, 0.3),
            Figure::new("counts_per_count", counted, 0.02),
        ])
    };
    match run() {
        Ok(figures) => survey.add("motor", figures),
        Err(stopped) => survey.stop("motor", &stopped),
    }
    levels(survey, "motor", &readings);
}

fn home(survey: &mut Survey, sim: &mut Sim) {
    let ended = order(sim, &Command::Home).and_then(|()| settle(sim, 120.0, &mut ()));
    if let Err(stopped) = &ended {
        survey.stop("home", stopped);
    }
    let off_um = (sim.record().counted_m - sim.record().table_m) * 1e6;
    let resolution = 2e6 * sim.params().metres_per_count();
    survey.add(
        "home",
        [
            Figure::new("referenced", f64::from(u8::from(sim.record().referenced)), 0.5),
            Figure::new("off_um", off_um, resolution),
        ],
    );
    if let HomingState::Referenced { switch_to_mark } = sim.bench().state.axis.homing.state {
        survey.add("home", [Figure::new("switch_to_mark_um", switch_to_mark * 1e6, 40.0)]);
    }
}

fn mains(survey: &mut Survey, sim: &mut Sim) {
    let (figures, stopped) = weekend::figures(sim);
    if let Some(stopped) = &stopped {
        survey.stop("mains", stopped);
    }
    survey.add("mains", figures);
}

fn values(survey: &mut Survey, sim: &Sim) {
    survey.add("values", stored::figures(sim));
}

/// Five minutes at rest, warming up.
fn warm(survey: &mut Survey, sim: &mut Sim) {
    let apart_um = |sim: &Sim| (sim.record().counted_m - sim.record().motor_m) * 1e6;
    // As far from the fixed bearing as the stretch goes.
    let moved = move_to(sim, STRETCH_M.1, 0.1, &mut ());
    let before = apart_um(sim);
    match moved.and_then(|()| wait(sim, 300.0, &mut ())) {
        Ok(()) => survey.add("warm", [Figure::new("mismatch_um", apart_um(sim) - before, 1.5)]),
        Err(stopped) => survey.stop("warm", &stopped),
    }
}
