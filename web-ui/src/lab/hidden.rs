//! A hidden fault: put in by a seed, guessed or given up. The bench is rearranged without a word in the log, and the
//! history knows it only as "A hidden fault".

use super::recorder::Deed;
use super::{Lab, PAST};
use sim_core::fault::hidden::{Level, draw};
use sim_core::fault::{Active, FaultId};

/// What the history calls it.
pub const NAME: &str = "A hidden fault";

/// A draw of hidden faults.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawn {
    /// How hard.
    pub level: Level,
    /// The number that a class shares.
    pub seed: u64,
    /// What was put in.
    pub faults: Vec<Active>,
    /// What was guessed, in order.
    pub guesses: Vec<FaultId>,
    /// Whether it was given up.
    pub given_up: bool,
}

impl Drawn {
    /// The hidden faults that were guessed.
    pub fn found(&self) -> impl Iterator<Item = FaultId> {
        self.faults.iter().map(|fault| fault.id).filter(|id| self.guesses.contains(id))
    }

    /// Whether nothing is hidden any more: all found, or given up.
    pub fn is_open(&self) -> bool {
        self.given_up || self.found().count() == self.faults.len()
    }
}

/// How a guess turned out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Guess {
    /// It was that, and nothing else is hidden.
    Right,
    /// It was that, and another one is still hidden.
    RightOneLeft,
    /// It is not that.
    Wrong,
}

impl Lab {
    /// Draws a hidden fault and puts it in; one that was drawn before comes out.
    ///
    /// # Errors
    /// Why the bench cannot be changed now.
    pub fn surprise(&mut self, level: Level, seed: u64) -> Result<(), String> {
        if self.past.is_some() {
            return Err(PAST.to_owned());
        }
        let faults = draw(&self.now.bench().setup, level, seed);
        self.hide(Drawn { level, seed, faults, guesses: Vec::new(), given_up: false })
    }

    fn hide(&mut self, drawn: Drawn) -> Result<(), String> {
        let before = self.now.arrangement();
        let mut to = before.clone();
        let old = self.drawn.as_ref().map_or(&[][..], |old| &old.faults);
        to.faults.retain(|f| !old.contains(f) && drawn.faults.iter().all(|new| new.id != f.id));
        to.faults.extend(&drawn.faults);
        self.now.arrange(&to)?;
        self.recorder.note(&self.now, Deed::Arrange(Box::new(to)));
        // Two draws shortly after each other are two steps of the history all the same.
        self.wall_s += 1.0;
        self.history.note(NAME.to_owned(), before, self.wall_s);
        self.healthy.follow(&self.now);
        self.drawn = Some(drawn);
        Ok(())
    }

    /// The scene began again; what was hidden in it still is.
    pub(super) fn hide_again(&mut self, drawn: Option<Drawn>) {
        if let Some(drawn) = drawn.filter(|drawn| !drawn.is_open()) {
            // It was in before, so it can be put in.
            let _ = self.hide(drawn);
        }
    }

    /// The draw, hidden or open, as long as any of its faults is on the bench, now or at the moment that is shown.
    pub fn drawn(&self) -> Option<&Drawn> {
        let is_in = |fault: &Active| self.now.faults().contains(fault) || self.sim().faults().contains(fault);
        self.drawn.as_ref().filter(|drawn| drawn.faults.iter().any(is_in))
    }

    /// Whether something is on the bench that the person is to find.
    pub fn hides(&self) -> bool {
        self.drawn().is_some_and(|drawn| !drawn.is_open())
    }

    /// A guess at the hidden fault.
    pub fn guess(&mut self, id: FaultId) -> Guess {
        let Some(drawn) = &mut self.drawn else { return Guess::Wrong };
        if !drawn.guesses.contains(&id) {
            drawn.guesses.push(id);
        }
        match drawn.faults.iter().any(|fault| fault.id == id) {
            true if drawn.is_open() => Guess::Right,
            true => Guess::RightOneLeft,
            false => Guess::Wrong,
        }
    }

    /// Gives up: the fault is shown.
    pub fn give_up(&mut self) {
        if let Some(drawn) = &mut self.drawn {
            drawn.given_up = true;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use sim_core::bench::command::Command;

    fn lab() -> Lab {
        let shipped = lessons::shipped_by_name("first-look").unwrap();
        Lab::new(shipped.id, lessons::read(shipped.id, shipped.text).unwrap())
    }

    #[test]
    fn a_hidden_fault_is_in_without_a_word_and_undo_takes_it_out() {
        let mut lab = lab();
        lab.surprise(Level::Clear, 4).unwrap();
        assert!(lab.hides() && lab.sim().faults().len() == 1);
        assert!(lab.log().next().is_none(), "the log gives nothing away");
        assert_eq!(lab.undo_name(true), Some(NAME));
        lab.undo(true).unwrap();
        assert!(!lab.hides() && lab.sim().faults().is_empty());
        assert_eq!(lab.undo_name(false), Some(NAME));
        lab.undo(false).unwrap();
        assert!(lab.hides(), "made again it is hidden again");
        lab.surprise(Level::Clear, 5).unwrap();
        assert_eq!(lab.sim().faults().len(), 1, "the new one takes the place of the old one");
        lab.command(&Command::MendAll).unwrap();
        assert!(!lab.hides());
    }

    #[test]
    fn guesses_are_right_or_wrong_and_two_faults_want_two() {
        let mut lab = lab();
        let seed = (0..99)
            .find(|seed| {
                lab.surprise(Level::Partial, *seed).unwrap();
                lab.drawn().unwrap().faults.len() == 2
            })
            .unwrap();
        let ids: Vec<FaultId> = draw(&lab.sim().bench().setup, Level::Partial, seed).iter().map(|f| f.id).collect();
        let wrong = [FaultId::TapeSmear, FaultId::GapWide, FaultId::HeadYaw].into_iter().find(|id| !ids.contains(id));
        assert_eq!(lab.guess(wrong.unwrap()), Guess::Wrong);
        assert_eq!(lab.guess(ids[1]), Guess::RightOneLeft);
        assert!(lab.hides());
        assert_eq!(lab.guess(ids[0]), Guess::Right);
        assert!(!lab.hides() && lab.drawn().is_some());
    }

    #[test]
    fn starting_again_keeps_it_hidden_and_another_scene_does_not() {
        let mut lab = lab();
        lab.surprise(Level::Clear, 9).unwrap();
        lab.restart();
        assert!(lab.hides());
        lab.give_up();
        assert!(!lab.hides() && lab.drawn().is_some_and(Drawn::is_open));
        let shipped = lessons::shipped_by_name("wide-smear").unwrap();
        lab.load(shipped.id, lessons::read(shipped.id, shipped.text).unwrap());
        assert!(lab.drawn().is_none());
    }
}
