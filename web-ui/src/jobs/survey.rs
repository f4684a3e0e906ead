//! Every inspection of the bench, beside the same on a healthy one.

use super::rest::bring_to_rest;
use serde::{Deserialize, Serialize};
use sim_core::bench::Sim;
use sim_core::inspect::survey::{Survey, healthy, survey_of};
use std::collections::BTreeMap;

/// What a survey read.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Surveyed {
    /// Figures by `stage.name`; the ending is the unit.
    pub figures: BTreeMap<String, f64>,
    /// The same of a healthy bench.
    pub healthy: BTreeMap<String, f64>,
    /// Figures that differ from the healthy ones by more than they scatter, and which way: `+`, `-`, or `!` for one
    /// that ended differently or is not to be had.
    pub shifts: BTreeMap<String, char>,
    /// What ended a stage early, in words, by its name.
    pub stops: BTreeMap<String, String>,
}

fn values(survey: &Survey) -> BTreeMap<String, f64> {
    survey.figures.iter().map(|(name, (value, _))| (name.clone(), *value)).collect()
}

/// Surveys the bench.
pub fn run(mut sim: Sim, progress: &mut dyn FnMut(f64)) -> Result<Surveyed, String> {
    bring_to_rest(&mut sim)?;
    let found = survey_of(&sim, &mut |share| progress(0.5 * share));
    let usual = survey_of(&healthy(sim.bench().setup.bench), &mut |share| progress(0.5 + 0.5 * share));
    Ok(Surveyed {
        shifts: found.against(&usual).into_iter().map(|(name, shift)| (name, shift.sign())).collect(),
        figures: values(&found),
        healthy: values(&usual),
        stops: found.stops.iter().map(|(stage, words)| ((*stage).to_owned(), words.clone())).collect(),
    })
}
