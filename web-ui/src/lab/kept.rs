//! Taking the bench at its exact moment, and going on with one that was kept.

use super::{Lab, Watchers};
use crate::lab::ghost::Healthy;
use sim_core::bench::Sim;
use sim_core::scene::Scene;

impl Lab {
    /// Goes on with a kept bench. `waiting` of the scene's last steps are still to come; pace and run state of the clock
    /// stay.
    pub fn resume(&mut self, id: &str, scene: Scene, waiting: usize, sim: Sim) {
        let (clock, acts) = (self.clock.restarted(), self.acts + 1);
        let done = scene.steps.len().saturating_sub(waiting);
        *self = Self {
            watchers: Watchers { before: *sim.record(), ..Watchers::default() },
            clock,
            waiting: scene.steps.iter().skip(done).cloned().collect(),
            healthy: Healthy::of(&sim),
            scene,
            scene_id: id.to_owned(),
            acts,
            sim,
        };
    }

    /// Steps of the scene that are still to come.
    pub fn waiting(&self) -> usize {
        self.waiting.len()
    }

    /// Grows with everything that the person does: commands, scenes.
    pub fn acts(&self) -> u64 {
        self.acts
    }
}
