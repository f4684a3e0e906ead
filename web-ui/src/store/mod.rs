//! The one store of the page: what the screen shows (`Ui`), and the bench with its recorders (`Lab`).
//! Components read both, send [`Action`]s for screen matters and [`sim_core::bench::command::Command`]s for the bench.

pub mod calls;
pub mod cover;
pub mod lesson;
pub mod pen;
pub mod poll;
pub mod present;
pub mod room;
mod state;
pub mod tour;

pub use state::{Action, Page, Tool, Ui};

use crate::lab::Lab;
use sim_core::bench::command::Command;
use std::cell::RefCell;
use std::rc::Rc;
use yew::prelude::*;

/// A shared handle on the lab; equal when it is the same lab.
#[derive(Clone)]
pub struct LabHandle(pub Rc<RefCell<Lab>>);

impl PartialEq for LabHandle {
    fn eq(&self, other: &Self) -> bool {
        Rc::ptr_eq(&self.0, &other.0)
    }
}

/// What every component gets by context.
#[derive(Clone, PartialEq)]
pub struct Store {
    /// What the screen shows.
    pub ui: UseReducerHandle<Ui>,
    /// The bench and its recorders.
    pub lab: LabHandle,
}

impl Store {
    /// Does something to the bench and shows the outcome at once; a refusal becomes a notice.
    pub fn command(&self, command: Command) {
        self.try_command(command);
    }

    /// True when it was done.
    fn try_command(&self, command: Command) -> bool {
        let outcome = self.lab.0.borrow_mut().command(&command);
        let done = outcome.is_ok();
        if let Err(why) = outcome {
            self.ui.dispatch(Action::Notice(why));
        }
        crate::recovery::keep(&self.lab.0.borrow());
        self.ui.dispatch(Action::Tick);
        done
    }

    /// Like [`Store::command`]; the clock runs when it was done.
    pub fn command_and_run(&self, command: Command) {
        if self.try_command(command) {
            self.change(|lab| lab.clock.running = true);
        }
    }

    /// Takes the last change back, or makes it again.
    pub fn undo(&self, undo: bool) {
        let outcome = self.lab.0.borrow_mut().undo(undo);
        if let Err(why) = outcome {
            self.ui.dispatch(Action::Notice(why));
        }
        self.ui.dispatch(Action::Tick);
    }

    /// Changes the lab (clock, scene) and shows the outcome at once.
    pub fn change<R>(&self, change: impl FnOnce(&mut Lab) -> R) -> R {
        let result = change(&mut self.lab.0.borrow_mut());
        crate::recovery::keep(&self.lab.0.borrow());
        self.ui.dispatch(Action::Tick);
        result
    }
}

/// The store of the page.
///
/// # Panics
/// Outside the page's root, which is a mistake in the program.
#[hook]
pub fn use_store() -> Store {
    use_context::<Store>().expect("components live inside the page's root")
}
