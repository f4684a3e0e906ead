//! What goes with a lesson to paper: pictures of its demonstrations, computed by the model, at a moment of motion.

use super::picture::{Drawing, PICTURES, drawing};
use crate::lab::{Lab, PACES};
use crate::pictures::PictureKind;
use crate::store::cover::Cover;
use lessons::lesson::Lesson;
use sim_core::record::STEP_S;
use sim_core::scene::Scene;

/// Letters of the variants: each has numbers of its own.
pub const VARIANTS: [char; 6] = ['A', 'B', 'C', 'D', 'E', 'F'];
/// Steps between two looks at the table.
const LOOK: u64 = 200;
/// Periods that a picture of the channels shows at least.
const PERIODS: f64 = 4.0;
/// Longest run of a scene for a picture, s.
const LONGEST_S: f64 = 60.0;

/// The seed of a variant's numbers.
#[must_use]
pub fn seed_of(variant: char) -> u32 {
    VARIANTS.iter().position(|letter| *letter == variant).unwrap_or(0) as u32 + 1
}

/// A picture with its title.
pub type Picture = (String, String);

/// Pictures of what the bench answers to each question, with the instrument that the lesson is about.
pub fn pictures(lesson: &Lesson) -> Vec<Picture> {
    let kind = instrument_of(lesson);
    let Some((_, key, name, size)) = PICTURES.iter().find(|row| row.0 == kind) else { return Vec::new() };
    let of = |(i, predict): (usize, &lessons::lesson::Predict)| {
        let scene = lesson.scenes.get(&predict.show)?;
        let lab = in_motion(scene);
        let text = drawing(&lab, kind, *size, Cover::default()).inside(&format!("{key}-{i}"));
        Some((format!("{}: {name}", scene.title), text))
    };
    lesson.predicts.iter().enumerate().filter_map(of).collect()
}

/// The machine of the lesson's bench, as it stands.
pub fn machine(lesson: &Lesson) -> Option<Drawing> {
    let scene = lesson.scenes.get(&lesson.bench)?;
    let (.., size) = PICTURES.iter().find(|row| row.0 == PictureKind::Machine)?;
    let mut lab = Lab::new(&lesson.bench, scene.clone());
    lab.advance(LOOK);
    Some(drawing(&lab, PictureKind::Machine, *size, Cover::default()))
}

/// The instrument that tells most about what a lesson teaches.
fn instrument_of(lesson: &Lesson) -> PictureKind {
    let teaches = |ids: &[&str]| lesson.teaches.iter().any(|k| ids.contains(&k.id));
    if teaches(&["K12", "K13"]) {
        PictureKind::Figure
    } else if teaches(&["K25", "K27", "K28"]) {
        PictureKind::Travel
    } else if teaches(&["K19", "K20", "K21"]) {
        PictureKind::Error
    } else {
        PictureKind::Channels
    }
}

/// A lab with a scene at the moment when half of its way is done.
fn in_motion(scene: &Scene) -> Lab {
    let end = (scene.duration_s.get().min(LONGEST_S) / STEP_S) as u64;
    let mut lab = Lab::new("paper", scene.clone());
    lab.clock.pause_at_alarm = false;
    let (mut way, mut ways) = (0.0, Vec::new());
    let mut before = lab.sim().record().table_m;
    for _ in 0..end / LOOK {
        lab.advance(LOOK);
        let now = lab.sim().record().table_m;
        way += (now - before).abs();
        ways.push((way, (now - before).abs() / (LOOK as f64 * STEP_S)));
        before = now;
    }
    let at = ways.iter().position(|(done, _)| *done >= 0.5 * way).unwrap_or(0);
    let speed = ways.get(at).map_or(0.0, |(_, speed)| *speed);
    let mut lab = Lab::new("paper", scene.clone());
    lab.clock.pause_at_alarm = false;
    // The shortest window that shows enough periods at this speed.
    let wanted_s = PERIODS * lab.sim().params().scale.period_m / speed.max(1e-6);
    for pace in (0..PACES.len()).rev() {
        lab.clock.set_pace(pace);
        if lab.clock.window_s() >= wanted_s {
            break;
        }
    }
    lab.advance((at as u64 + 1) * LOOK);
    lab
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_lesson_has_a_picture_for_each_question_and_its_machine() {
        for lesson in lessons::lesson::all().unwrap() {
            let pictures = pictures(&lesson);
            assert_eq!(pictures.len(), lesson.predicts.len(), "{}", lesson.id);
            for (title, text) in &pictures {
                assert!(text.matches("<path").count() + text.matches("<line").count() > 8, "{}: {title}", lesson.id);
            }
            assert!(machine(&lesson).is_some_and(|drawing| drawing.shapes.len() > 20), "{}", lesson.id);
        }
    }

    #[test]
    fn variants_have_seeds_of_their_own() {
        let seeds: std::collections::BTreeSet<u32> = VARIANTS.iter().map(|v| seed_of(*v)).collect();
        assert_eq!(seeds.len(), VARIANTS.len());
        assert!(!seeds.contains(&0), "the room has its own");
    }
}
