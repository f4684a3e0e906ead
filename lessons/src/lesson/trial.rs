//! The proof of a lesson: its scripts and demonstrations are run.

use super::fill::{Numbers, UNKNOWN};
use super::goal::Goal;
use super::grade::{Grader, State};
use super::model::{Lesson, Task};
use crate::claims;
use sim_core::bench::Sim;
use sim_core::record::STEP_S;
use sim_core::scene::{Scene, Timed};

/// What came of a script.
#[derive(Clone, Debug)]
pub struct Played {
    /// How the goal stood at the end.
    pub state: State,
    /// When it was met, s.
    pub met_s: Option<f64>,
    /// Commands that the bench refused, with the reason.
    pub refused: Vec<String>,
}

/// Plays a script on a scene and holds a goal against it. The scene's own steps are played too.
#[must_use]
pub fn play(goal: &Goal, scene: &Scene, script: &[Timed], run_s: f64) -> Played {
    let mut sim = Sim::of_scene(scene);
    let mut grader = Grader::new(goal, &sim);
    let mut steps: Vec<&Timed> = scene.steps.iter().chain(script).collect();
    steps.sort_by(|a, b| a.at_s.get().total_cmp(&b.at_s.get()));
    let (mut refused, mut met_s) = (Vec::new(), None);
    let mut done = 0;
    let end = (run_s / STEP_S).round() as u64;
    // In pieces of a tenth of a second, to know when the goal was met.
    let piece = (0.1 / STEP_S) as u64;
    let mut next = steps.into_iter().peekable();
    while done < end {
        while let Some(timed) = next.next_if(|t| t.at_s.get() <= done as f64 * STEP_S + 1e-9) {
            match sim.command(&timed.command) {
                Ok(()) => grader.did(&timed.command, &sim),
                Err(why) => refused.push(format!("at {} s: {why}", timed.at_s.get())),
            }
        }
        let until = next.peek().map_or(end, |t| (t.at_s.get() / STEP_S).round() as u64);
        let steps = piece.min(until.saturating_sub(done).max(1)).min(end - done);
        sim.advance(steps, &mut grader);
        done += steps;
        if grader.met() && met_s.is_none() {
            met_s = Some(done as f64 * STEP_S);
        }
    }
    Played { state: grader.state(), met_s, refused }
}

/// Something that a lesson says of itself and that its run does not bear out.
#[derive(Clone, Debug, PartialEq)]
pub struct Unproven {
    /// The part: a task or a scene.
    pub part: String,
    /// What is wrong.
    pub what: String,
    /// How to mend it.
    pub mend: String,
}

/// Runs all scripts and demonstrations of a lesson: what was not borne out.
#[must_use]
pub fn unproven(lesson: &Lesson) -> Vec<Unproven> {
    let mut found: Vec<Unproven> = lesson.tasks.iter().flat_map(|task| of_task(lesson, task)).collect();
    // Scenes without claims are benches to work on; they may last an hour.
    for (name, scene) in lesson.scenes.iter().filter(|(_, scene)| !scene.expects.is_empty()) {
        found.extend(claims::unmet(scene).iter().map(|unmet| Unproven {
            part: format!("{name}.toml"),
            what: unmet.to_string(),
            mend: "look at the run with `countlight trace`, then correct the scene or the claim.".to_owned(),
        }));
    }
    let numbers = Numbers::of(lesson);
    for text in lesson.texts.values() {
        for block in text.blocks() {
            let filled = numbers.fill(&block.body, &|name| (!name.contains('.')).then_some(1.0));
            if filled.matches(UNKNOWN).count() > block.body.matches(UNKNOWN).count() {
                found.push(Unproven {
                    part: block.id.clone(),
                    what: "a number in these words is not given by the run of its scene".to_owned(),
                    mend: "name a reading that the run gives; `countlight trace` lists them.".to_owned(),
                });
            }
        }
    }
    found
}

fn of_task(lesson: &Lesson, task: &Task) -> Vec<Unproven> {
    let Some(scene) = lesson.scenes.get(&task.scene) else { return Vec::new() };
    let mut found = Vec::new();
    let mut tell = |what: String, mend: &str| {
        found.push(Unproven { part: task.id.clone(), what, mend: mend.to_owned() });
    };
    let solution = play(&task.goal, scene, &task.solution, task.run_s);
    if solution.met_s.is_none() {
        let how: Vec<String> = solution
            .state
            .conditions
            .iter()
            .map(|c| format!("{} ({})", c.asked, c.now))
            .chain(solution.refused)
            .collect();
        tell(
            format!("the solution does not meet the goal: {}", how.join("; ")),
            "correct the solution, the scene or the goal.",
        );
    }
    if play(&task.goal, scene, &[], task.run_s).met_s.is_some() {
        tell("the goal is met when nothing is done".to_owned(), "ask for something that must be done first.");
    }
    let attempt = play(&task.goal, scene, &task.attempt, task.run_s);
    if attempt.met_s.is_some() {
        tell(
            "the wrong attempt meets the goal".to_owned(),
            "make the goal tell right from wrong, or correct the attempt.",
        );
    }
    if let Some(why) = attempt.refused.first() {
        tell(
            format!("the bench refused a step of the wrong attempt {why}"),
            "let the attempt do what a learner can do.",
        );
    }
    found
}
