//! The parts of a lesson, made from its front matter.

use super::front::{Front, FrontPredict, FrontTask, FrontWrong, Word};
use super::{Around, Read};
use crate::lesson::goal::Goal;
use crate::lesson::ids::{self, COMPETENCIES, Competency, MISCONCEPTIONS, Misconception};
use crate::lesson::model::{Lesson, Predict, Task, Wrong};
use crate::lesson::text::is_id;
use crate::tree::Spanned;
use sim_core::names::nearest_hint;
use sim_core::scene::Timed;
use sim_core::setup::Setup;
use std::collections::BTreeMap;

/// Fewest and most hints of a task.
const HINTS: std::ops::RangeInclusive<usize> = 3..=4;

impl Around<'_> {
    pub fn lesson(&self, folder: &str, front: &Front) -> Read<Lesson> {
        self.version(&front.version)?;
        self.unlike(front)?;
        if front.teaches.is_empty() {
            let what = "a lesson must teach something";
            return Err(self.fault(
                front.version.span(),
                what,
                "write teaches = [\"K01\"] with the ids of competencies.",
            ));
        }
        if front.predict.is_empty() || front.task.is_empty() || front.exit.is_empty() {
            let (part, table) = match (front.predict.is_empty(), front.task.is_empty()) {
                (true, _) => ("question to predict", "[[predict]]"),
                (_, true) => ("task", "[[task]]"),
                _ => ("item for the exit check", "[[exit]]"),
            };
            let mend = format!("write at least one table {table}.");
            return Err(self.fault(front.version.span(), format!("this lesson has no {part}"), &mend));
        }
        let bench = self.scene(&front.bench)?;
        let lesson = Lesson {
            id: folder.to_owned(),
            version: front.version.get_ref().clone(),
            minutes: front.minutes.get(),
            teaches: self.competencies(&front.teaches)?,
            needs: self.competencies(&front.needs)?,
            predicts: front.predict.iter().map(|p| self.predict(p)).collect::<Read<_>>()?,
            tasks: front.task.iter().map(|t| self.task(t, &bench)).collect::<Read<_>>()?,
            exits: front.exit.iter().map(|e| self.exit(e)).collect::<Read<_>>()?,
            bench,
            texts: BTreeMap::new(),
            scenes: BTreeMap::new(),
        };
        for (taught, word) in lesson.teaches.iter().zip(&front.teaches) {
            if !lesson.checks().any(|(k, _)| k.id == taught.id) {
                let what = format!("{} is taught here, but no part of the lesson checks it", taught.id);
                let mend = format!("write checks = [\"{}\"] in a task or an exit item that does.", taught.id);
                return Err(self.fault(word.span(), what, &mend));
            }
        }
        Ok(lesson)
    }

    fn version(&self, word: &Word) -> Read<()> {
        let parts: Vec<&str> = word.get_ref().split('.').collect();
        if parts.len() == 3 && parts.iter().all(|p| p.parse::<u32>().is_ok()) {
            return Ok(());
        }
        let what = format!("\"{}\" is no version", word.get_ref());
        Err(self.fault(
            word.span(),
            what,
            "write three numbers with points, as 1.0.0; raise it when the lesson changes.",
        ))
    }

    /// Ids of parts differ from each other and from the fixed headings.
    fn unlike(&self, front: &Front) -> Read<()> {
        let parts = front.predict.iter().map(|p| &p.id);
        let parts = parts.chain(front.task.iter().map(|t| &t.id)).chain(front.exit.iter().map(|e| &e.id));
        let mut seen: Vec<&str> = vec!["title", "see", "why", "words", "notes"];
        for id in parts {
            self.id(id)?;
            if seen.contains(&id.get_ref().as_str()) {
                let what = format!("the id \"{}\" is taken", id.get_ref());
                return Err(self.fault(id.span(), what, "give each part of the lesson an id of its own."));
            }
            seen.push(id.get_ref());
        }
        Ok(())
    }

    pub fn id(&self, id: &Word) -> Read<()> {
        if is_id(id.get_ref()) && !id.get_ref().contains('.') {
            return Ok(());
        }
        let what = format!("\"{}\" is no id", id.get_ref());
        Err(self.fault(id.span(), what, "use small letters, digits and hyphens, as \"slow-and-fast\"."))
    }

    pub fn competencies(&self, words: &[Word]) -> Read<Vec<&'static Competency>> {
        words.iter().map(|word| self.competency(word)).collect()
    }

    fn competency(&self, word: &Word) -> Read<&'static Competency> {
        ids::competency(word.get_ref()).ok_or_else(|| {
            let known = nearest_hint(word.get_ref(), COMPETENCIES.iter().map(|k| k.id));
            let what = format!("there is no competency \"{}\"; {known}", word.get_ref());
            self.fault(word.span(), what, "write K and two digits, K01 to K38.")
        })
    }

    fn misconception(&self, word: &Word) -> Read<&'static Misconception> {
        ids::misconception(word.get_ref()).ok_or_else(|| {
            let known = nearest_hint(word.get_ref(), MISCONCEPTIONS.iter().map(|m| m.id));
            let what = format!("there is no misconception \"{}\"; {known}", word.get_ref());
            self.fault(word.span(), what, "write M and two digits, M01 to M30.")
        })
    }

    fn predict(&self, p: &FrontPredict) -> Read<Predict> {
        if p.wrong.is_empty() {
            let what = format!("the question \"{}\" has no wrong answers", p.id.get_ref());
            return Err(self.fault(p.id.span(), what, "write a table [[predict.wrong]] for each of them."));
        }
        let wrongs = p.wrong.iter().map(|w| {
            let wrong = self.wrong(w, &p.wrong)?;
            match (&wrong.believes, &wrong.show, &w.value) {
                (None, ..) => Err(self.fault(
                    w.id.span(),
                    format!("the wrong answer \"{}\" does not say what is believed", wrong.id),
                    "write believes = \"M01\" with the id of the misconception.",
                )),
                (_, _, Some(value)) => Err(self.fault(
                    value.span(),
                    "an answer to a question has no value",
                    "values belong to [[exit.wrong]]; take the line out.",
                )),
                _ => Ok(wrong),
            }
        });
        Ok(Predict {
            id: p.id.get_ref().clone(),
            checks: self.competencies(&p.checks)?,
            wrongs: wrongs.collect::<Read<_>>()?,
            show: self.demonstration(&p.show)?,
        })
    }

    /// A wrong answer; `all` are those of its part.
    pub fn wrong(&self, w: &FrontWrong, all: &[FrontWrong]) -> Read<Wrong> {
        self.id(&w.id)?;
        let id = w.id.get_ref();
        if id == "right" || id == "hints" || id == "answer" || id == "done" {
            let what = format!("\"{id}\" is kept for other words of the part");
            return Err(self.fault(w.id.span(), what, "choose another id."));
        }
        if all.iter().filter(|other| other.id.get_ref() == id).count() > 1 {
            let what = format!("the id \"{id}\" stands twice in this part");
            return Err(self.fault(w.id.span(), what, "give each answer an id of its own."));
        }
        if w.believes.is_some() && w.show.is_none() {
            let what = format!("nothing shows that the answer \"{id}\" is wrong");
            return Err(self.fault(
                w.id.span(),
                what,
                "write show = \"...\" with the name of a scene that breaks the belief.",
            ));
        }
        Ok(Wrong {
            id: id.clone(),
            believes: w.believes.as_ref().map(|m| self.misconception(m)).transpose()?,
            show: w.show.as_ref().map(|s| self.demonstration(s)).transpose()?,
        })
    }

    /// A scene that shows something must say what.
    fn demonstration(&self, word: &Word) -> Read<String> {
        let name = self.scene(word)?;
        if self.scenes.get(&name).is_some_and(|scene| scene.expects.is_empty()) {
            let what = format!("the scene \"{name}\" does not say what it shows");
            return Err(self.fault(
                word.span(),
                what,
                "write an [[expect]] into it with a reading that proves the point.",
            ));
        }
        Ok(name)
    }

    fn task(&self, t: &FrontTask, bench: &str) -> Read<Task> {
        let id = t.id.get_ref();
        let scene = t.scene.as_ref().map_or(Ok(bench.to_owned()), |word| self.scene(word))?;
        let goal = Goal::parse(t.goal.get_ref()).map_err(|slip| self.inner(&t.goal, &slip))?;
        for (script, name) in [(&t.solution, "solution"), (&t.attempt, "attempt")] {
            if script.is_empty() {
                let what = format!("the task \"{id}\" has no {name}");
                let why =
                    if name == "solution" { "meets the goal" } else { "does something wrong and does not meet it" };
                let mend = format!("write steps [[task.{name}]] with at_s and do: a script that {why}.");
                return Err(self.fault(t.id.span(), what, &mend));
            }
            self.script(script, &scene, t.run_s.get_ref().get())?;
        }
        let hints = self.words.items(&format!("{id}.hints")).len();
        if let Some(block) = self.words.get(&format!("{id}.hints"))
            && !HINTS.contains(&hints)
        {
            let what = format!("the task \"{id}\" has {hints} hints; 3 or 4 are wanted");
            let mend = "write a list: where to look, what to compare, the principle, the step.";
            return Err(self.fault(block.at.clone(), what, mend));
        }
        Ok(Task {
            id: id.clone(),
            checks: self.competencies(&t.checks)?,
            scene,
            goal,
            run_s: t.run_s.get_ref().get(),
            solution: t.solution.iter().map(|s| s.get_ref().clone()).collect(),
            attempt: t.attempt.iter().map(|s| s.get_ref().clone()).collect(),
        })
    }

    /// A script must fit its bench and its time.
    fn script(&self, script: &[Spanned<Timed>], scene: &str, run_s: f64) -> Read<()> {
        let setup = self.scenes.get(scene).map(|scene| Setup::healthy(scene.bench));
        let mut last_s = 0.0;
        for step in script {
            let at_s = step.get_ref().at_s.get();
            if at_s < last_s {
                let what = format!("this step at {at_s} s stands after a step at {last_s} s");
                return Err(self.fault(step.span(), what, "put the steps in the order of at_s."));
            }
            if at_s > run_s {
                let what = format!("this step is at {at_s} s, but the script ends at {run_s} s");
                return Err(self.fault(step.span(), what, "make run_s longer, or move the step forward."));
            }
            if let Some(Err(why)) = setup.as_ref().map(|setup| step.get_ref().command.check(setup)) {
                return Err(self.fault(step.span(), why, "correct the numbers of this step."));
            }
            last_s = at_s;
        }
        Ok(())
    }
}
