//! Taking the bench at its exact moment, and going on with one that was kept.

use super::Lab;
use sim_core::bench::Sim;
use sim_core::scene::Scene;

impl Lab {
    /// Goes on with a kept bench. `waiting` of the scene's last steps are still to come; pace and run state of the clock
    /// stay.
    pub fn resume(&mut self, id: &str, scene: Scene, waiting: usize, sim: Sim) {
        let clock = self.clock.restarted();
        let done = scene.steps.len().saturating_sub(waiting);
        let waiting = scene.steps.iter().skip(done).cloned().collect();
        self.become_another(Self { clock, wall_s: self.wall_s, ..Self::with(id, scene, sim, waiting) });
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
