//! Every lesson that comes with the program proves what it says: table-driven over all content, no lesson or task exempt.

use lessons::lesson::draw::{self, Judged};
use lessons::lesson::trial::{play, unproven};
use lessons::lesson::{ExitKind, Lesson, Numbers, all, course};
use sim_core::bench::command::Command;

fn lessons() -> Vec<Lesson> {
    all().unwrap_or_else(|e| panic!("{e}"))
}

#[test]
fn every_task_is_met_by_its_solution_and_by_nothing_else() {
    for lesson in lessons() {
        for task in &lesson.tasks {
            let name = format!("{}/{}", lesson.id, task.id);
            let scene = &lesson.scenes[&task.scene];
            let run = |script| play(&task.goal, scene, script, task.run_s);
            let solved = run(&task.solution);
            assert!(solved.met_s.is_some() && solved.refused.is_empty(), "{name}: {solved:#?}");
            assert!(solved.met_s.unwrap() > 0.0 && solved.state.met, "{name}");
            let nothing = run(&[]);
            assert!(nothing.met_s.is_none() && !nothing.state.met, "{name}, nothing done: {nothing:#?}");
            let wrong = run(&task.attempt);
            assert!(wrong.met_s.is_none() && wrong.refused.is_empty(), "{name}, wrong attempt: {wrong:#?}");
            assert_ne!(task.solution, task.attempt, "{name}");
            // A goal not met says what was measured instead.
            assert!(
                wrong.state.conditions.iter().any(|c| !c.met && c.now != "nothing measured yet"),
                "{name}: {wrong:#?}"
            );
        }
    }
}

/// What a task begins with was found so: the log does not name the cause that is to be found.
#[test]
fn the_log_of_a_task_does_not_tell_its_cause() {
    for lesson in lessons() {
        for task in &lesson.tasks {
            let steps = &lesson.scenes[&task.scene].steps;
            let told = steps.iter().find(|step| matches!(step.command, Command::Break(_)));
            assert!(told.is_none(), "{}/{}: write it into the table as_found: {told:?}", lesson.id, task.id);
        }
    }
}

#[test]
fn every_wrong_answer_has_words_and_a_scene_that_shows_what_it_claims() {
    for lesson in lessons() {
        assert_eq!(unproven(&lesson), [], "{}", lesson.id);
        let text = lesson.text("en");
        let mut scenes = 0_usize;
        for (id, wrong) in lesson.answers() {
            assert!(text.body(&id).split_whitespace().count() >= 8, "{}/{id} says too little", lesson.id);
            assert!(wrong.believes.is_none() || wrong.show.is_some(), "{}/{id}", lesson.id);
            if let Some(show) = &wrong.show {
                assert!(!lesson.scenes[show].expects.is_empty(), "{}/{id}", lesson.id);
                scenes += 1;
            }
        }
        assert!(scenes >= lesson.predicts.iter().map(|p| p.wrongs.len()).sum::<usize>(), "{}", lesson.id);
    }
}

#[test]
fn lessons_fit_together_and_each_belief_that_is_named_is_broken() {
    let lessons = lessons();
    assert_eq!(lessons.len(), 14);
    assert_eq!(course::misfits(&lessons), []);
    let coverage = course::coverage(&lessons);
    assert_eq!(coverage.len(), 38);
    for covered in &coverage {
        assert_eq!(covered.taught.len(), 1, "{covered:?}");
        assert!(!covered.checked.is_empty() && covered.again, "{covered:?}");
    }
    insta::assert_snapshot!(course::table(&lessons));
}

/// Numbers differ between learners, the same learner gets the same ones, and every answer is judged as it should be.
#[test]
fn exit_checks_are_drawn_and_judged() {
    for lesson in lessons() {
        for learner in 0..40 {
            let items = draw::items(&lesson, learner, 0);
            assert_eq!(items.len(), draw::ITEMS, "{}", lesson.id);
            for (item, again) in items.iter().zip(draw::items(&lesson, learner, 0)) {
                let name = format!("{}/{} {:?}", lesson.id, item.exit.id, item.drawn);
                assert_eq!(item.drawn, again.drawn, "{name}");
                match &item.exit.kind {
                    ExitKind::Number { wrongs, unit, .. } => {
                        let right = item.right().expect("a number");
                        assert!(matches!(item.judge(&format!("{right}")), Judged::Right), "{name}");
                        let comma = format!("{right} {}", unit.name).replace('.', ",");
                        assert!(matches!(item.judge(&comma), Judged::Right), "{name}: {comma}");
                        assert!(
                            matches!(item.judge(&format!("{}", right * 1.7 + 3.1)), Judged::Wrong | Judged::Known(_)),
                            "{name}"
                        );
                        for (wrong, sum) in wrongs {
                            let value = sum.value(&|n| item.drawn.get(n).copied()).expect("a number");
                            let judged = item.judge(&value.to_string());
                            assert!(matches!(judged, Judged::Known(_)), "{name}: {} gave {judged:?}", wrong.id);
                        }
                    }
                    ExitKind::Choice(options) => {
                        let right = item.right_option().expect("one is right");
                        for (option, _) in options {
                            let judged = item.judge(&option.id);
                            assert_eq!(matches!(judged, Judged::Right), option.id == right, "{name}: {judged:?}");
                        }
                    }
                }
            }
        }
        let numbers = |learner| draw::items(&lesson, learner, 0).iter().map(|i| i.drawn.clone()).collect::<Vec<_>>();
        let different = (1..40).filter(|l| numbers(*l) != numbers(0)).count();
        assert!(different >= 38, "{}: only {different} learners of 39 have other numbers", lesson.id);
        assert_ne!(
            draw::items(&lesson, 1, 0).iter().map(|i| &i.drawn).collect::<Vec<_>>(),
            draw::items(&lesson, 1, 1).iter().map(|i| &i.drawn).collect::<Vec<_>>(),
            "{}: a second attempt has fresh numbers",
            lesson.id
        );
    }
}

/// No brace is left in what a learner reads, and nothing that could not be worked out.
#[test]
fn all_numbers_in_the_words_are_worked_out() {
    for lesson in lessons() {
        let numbers = Numbers::of(&lesson);
        for (language, text) in &lesson.texts {
            for block in text.blocks() {
                let part = block.id.split('.').next().unwrap_or_default();
                let item = lesson.exits.iter().find(|e| e.id == part).map(|exit| draw::item(&lesson, exit, 7, 1));
                let more = |name: &str| {
                    let item = item.as_ref()?;
                    if name == "answer" { item.right().or(Some(0.0)) } else { item.drawn.get(name).copied() }
                };
                for words in [&block.title, &block.body] {
                    let filled = numbers.fill(words, &more);
                    assert!(!filled.contains(['{', '}']), "{}/{language}/{}: {filled}", lesson.id, block.id);
                    assert_eq!(
                        filled.matches('?').count(),
                        words.matches('?').count(),
                        "{}/{language}/{}: {filled}",
                        lesson.id,
                        block.id
                    );
                }
            }
        }
    }
}
