//! Undo and redo: what people made of the bench, step by step.

use sim_core::bench::Arrangement;
use sim_core::bench::command::Command;

/// Steps that are kept; older ones cannot be undone any more.
const KEPT: usize = 100;
/// Changes of one control closer together than this are one step, s of the person's time.
const TOGETHER_S: f64 = 0.8;

/// One step back or forward.
#[derive(Clone, Debug)]
struct Step {
    /// What was done ("Gap at machine zero").
    name: String,
    /// The bench on the other side of it.
    to: Box<Arrangement>,
}

/// The history of one bench.
#[derive(Clone, Debug, Default)]
pub struct History {
    back: Vec<Step>,
    forward: Vec<Step>,
    /// When the newest step was last added to, s of the person's time.
    last_s: f64,
}

impl History {
    /// Notes that `name` was done: `before` is the bench ahead of it.
    pub fn note(&mut self, name: String, before: Arrangement, now_s: f64) {
        let same = self.back.last().is_some_and(|step| step.name == name);
        let goes_on = same && self.forward.is_empty() && now_s - self.last_s < TOGETHER_S;
        self.last_s = now_s;
        self.forward.clear();
        if goes_on {
            return;
        }
        if self.back.len() == KEPT {
            self.back.remove(0);
        }
        self.back.push(Step { name, to: Box::new(before) });
    }

    /// What undo would take back.
    pub fn undo_name(&self) -> Option<&str> {
        self.back.last().map(|step| step.name.as_str())
    }

    /// What redo would do again.
    pub fn redo_name(&self) -> Option<&str> {
        self.forward.last().map(|step| step.name.as_str())
    }

    /// The bench that undo (`true`) or redo goes to.
    pub fn target(&self, undo: bool) -> Option<&Arrangement> {
        let side = if undo { &self.back } else { &self.forward };
        side.last().map(|step| &*step.to)
    }

    /// The step was made; `from` is the bench that it left.
    pub fn went(&mut self, undo: bool, from: Arrangement) {
        let (side, other) =
            if undo { (&mut self.back, &mut self.forward) } else { (&mut self.forward, &mut self.back) };
        if let Some(step) = side.pop() {
            other.push(Step { name: step.name, to: Box::new(from) });
        }
        self.last_s = f64::NEG_INFINITY;
    }
}

/// What a command is called in the history.
pub fn name_of(command: &Command) -> String {
    match command {
        Command::Set(list) => match list.0.as_slice() {
            [(setting, _)] => setting.row().label.to_owned(),
            _ => "Several settings".to_owned(),
        },
        Command::Break(b) => b.fault.row().title.to_owned(),
        Command::Mend(id) => format!("Mended: {}", id.row().title),
        Command::MendAll => "Everything mended".to_owned(),
        Command::Smear(_) => "Smear".to_owned(),
        Command::SmearWindow(_) => "Dirt on the head's window".to_owned(),
        Command::PickChips(_) => "Chips picked off".to_owned(),
        Command::Age(_) => "Time that passed".to_owned(),
        _ => "Cleaning".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use sim_core::bench::Sim;
    use sim_core::setup::{BenchId, Setup};

    fn bench(gap_um: f64) -> Arrangement {
        let mut setup = Setup::healthy(BenchId::TeachingRail);
        setup.head.gap_um = gap_um;
        Sim::start(setup, 1, 0.1).arrangement()
    }

    #[test]
    fn a_drag_is_one_step_and_two_changes_are_two() {
        let mut history = History::default();
        history.note("Gap".into(), bench(800.0), 0.0);
        history.note("Gap".into(), bench(810.0), 0.3);
        history.note("Gap".into(), bench(820.0), 0.6);
        history.note("Gap".into(), bench(830.0), 5.0);
        history.note("Tilt".into(), bench(900.0), 5.1);
        assert_eq!(history.undo_name(), Some("Tilt"));
        history.went(true, bench(900.0));
        assert_eq!(history.target(true), Some(&bench(830.0)));
        history.went(true, bench(900.0));
        assert_eq!(history.target(true), Some(&bench(800.0)));
        assert_eq!(history.redo_name(), Some("Gap"));
        history.went(true, bench(830.0));
        assert_eq!(history.undo_name(), None);
        // Something new forgets what was undone.
        history.note("Yaw".into(), bench(800.0), 9.0);
        assert_eq!(history.redo_name(), None);
    }

    #[test]
    fn it_does_not_grow_without_end() {
        let mut history = History::default();
        for i in 0..300 {
            history.note(format!("{i}"), bench(800.0), f64::from(i) * 10.0);
        }
        let mut steps = 0;
        while history.undo_name().is_some() {
            history.went(true, bench(800.0));
            steps += 1;
        }
        assert_eq!(steps, KEPT);
    }
}
