//! The presenter view: a sheet for a room, and the prepared scenes that the instructor steps through.

use super::{Action, Store};
use crate::layout::Part;

/// Where a prepared scene stands.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Turn {
    /// The machine stands at the start, the cause is covered.
    Question,
    /// It runs, the cause is covered.
    Run,
    /// The cause is shown.
    #[default]
    Reveal,
}

impl Turn {
    /// Its name on the sheet.
    pub fn title(self) -> &'static str {
        match self {
            Turn::Question => "Question",
            Turn::Run => "Run",
            Turn::Reveal => "Reveal",
        }
    }
}

/// What the strip at the foot has open.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Choosing {
    /// Nothing.
    #[default]
    Nothing,
    /// Which instruments are shown.
    Instruments,
    /// Which scenes are prepared.
    Scenes,
}

/// Pieces of the parts that can be chosen one by one: key, name, part.
pub const PIECES: [(&str, &str, Part); 7] = [
    ("section", "section", Part::Optics),
    ("plan", "plan", Part::Optics),
    ("channels", "channels", Part::Charts),
    ("squares", "count", Part::Charts),
    ("error", "following error", Part::Charts),
    ("xy", "A against B", Part::Side),
    ("log", "what happened", Part::Side),
];

/// What is shown at the first visit.
const FIRST: [&str; 3] = ["section", "channels", "error"];

/// A lesson at the front of a room.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Room {
    /// Id of the lesson.
    pub lesson: String,
    /// Place of the leaf among [`lessons::lesson::room::leaves`].
    pub at: usize,
}

/// State of the presenter view.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Present {
    /// It is on.
    pub on: bool,
    /// Where the scene stands.
    pub turn: Turn,
    /// The sheet is blank.
    pub blank: bool,
    /// What the strip has open.
    pub choosing: Choosing,
    /// Keys of the pieces and parts that are shown.
    pub shown: Vec<String>,
    /// The lesson that is taught, and its leaf.
    pub room: Option<Room>,
    /// Ids of the prepared scenes; empty for those that come with the program.
    pub prepared: Vec<String>,
}

impl Default for Present {
    fn default() -> Self {
        let shown = FIRST.iter().map(|key| (*key).to_owned()).collect();
        let (turn, choosing) = (Turn::default(), Choosing::default());
        Self { on: false, turn, blank: false, choosing, shown, room: None, prepared: Vec::new() }
    }
}

/// A change of the presenter view.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PresentDeed {
    /// Enters or leaves it.
    On(bool),
    /// The scene has come to a turn.
    Turn(Turn),
    /// Blanks the sheet, or brings it back.
    Blank(bool),
    /// Opens something of the strip.
    Choosing(Choosing),
    /// Shows or hides a piece or part.
    Show(String, bool),
    /// Turns to a leaf of a lesson, or puts the lesson away.
    Room(Option<Room>),
    /// Sets the prepared scenes.
    Prepared(Vec<String>),
}

impl Present {
    /// The view as it was kept: what is shown and what is prepared, as words with spaces between them.
    pub fn kept(shown: Option<String>, prepared: Option<String>) -> Self {
        let words = |text: String| text.split_whitespace().map(str::to_owned).collect::<Vec<_>>();
        let first = Self::default();
        Self { shown: shown.map_or(first.shown.clone(), words), prepared: prepared.map_or(Vec::new(), words), ..first }
    }

    /// Whether a piece or part is shown.
    pub fn shows(&self, key: &str) -> bool {
        self.shown.iter().any(|shown| shown == key)
    }

    /// What can be shown: key and name; the pieces, then every part that is not made of pieces.
    pub fn choices() -> Vec<(&'static str, &'static str)> {
        let pieces = PIECES.iter().map(|(key, name, _)| (*key, *name));
        let whole = Part::ALL.iter().filter(|(part, ..)| *part != Part::Machine && !in_pieces(*part));
        pieces.chain(whole.map(|(_, key, name)| (*key, *name))).collect()
    }

    /// The parts of which anything is shown.
    pub fn parts(&self) -> Vec<Part> {
        let any = |part: Part| PIECES.iter().any(|(key, _, of)| *of == part && self.shows(key));
        let shown = |part: &Part| any(*part) || (!in_pieces(*part) && self.shows(part.key()));
        Part::ALL.iter().map(|row| row.0).filter(|part| *part != Part::Machine).filter(shown).collect()
    }

    /// Pieces that are not shown, for the style sheet.
    pub fn off(&self) -> String {
        let off: Vec<&str> = PIECES.iter().map(|row| row.0).filter(|key| !self.shows(key)).collect();
        off.join(" ")
    }

    /// Ids of the prepared scenes.
    pub fn scenes(&self) -> Vec<String> {
        let own: Vec<String> =
            self.prepared.iter().filter(|id| lessons::shipped_by_name(id).is_some()).cloned().collect();
        if !own.is_empty() {
            return own;
        }
        lessons::shipped().iter().filter(|scene| scene.group.is_empty()).map(|scene| scene.id.to_owned()).collect()
    }

    /// The view after a change.
    #[must_use]
    pub fn after(mut self, deed: PresentDeed) -> Self {
        match deed {
            PresentDeed::On(on) => {
                (self.on, self.blank, self.choosing) = (on, false, Choosing::Nothing);
                self.room = self.room.filter(|_| on);
            }
            PresentDeed::Room(room) => self.room = room,
            PresentDeed::Turn(turn) => self.turn = turn,
            PresentDeed::Blank(blank) => self.blank = blank,
            PresentDeed::Choosing(choosing) => self.choosing = choosing,
            PresentDeed::Show(key, show) => {
                self.shown.retain(|shown| *shown != key);
                if show {
                    self.shown.push(key);
                }
            }
            PresentDeed::Prepared(ids) => self.prepared = ids,
        }
        self
    }
}

fn in_pieces(part: Part) -> bool {
    PIECES.iter().any(|(_, _, of)| *of == part)
}

/// What comes after, or before, a turn of the scene at a place in the list: place in the list and turn. Off the list, the
/// list begins.
pub fn next_of(at: Option<usize>, turn: Turn, forward: bool, count: usize) -> (usize, Turn) {
    let Some(at) = at else { return (0, Turn::Question) };
    match (turn, forward) {
        (Turn::Question, true) => (at, Turn::Run),
        (Turn::Run, true) => (at, Turn::Reveal),
        (Turn::Reveal, true) if at + 1 < count => (at + 1, Turn::Question),
        (Turn::Reveal, true) => (at, Turn::Reveal),
        (Turn::Reveal, false) => (at, Turn::Run),
        (Turn::Run, false) => (at, Turn::Question),
        (Turn::Question, false) => (at.saturating_sub(1), Turn::Question),
    }
}

/// Goes on to the next turn or scene, or back.
pub fn step(store: &Store, forward: bool) {
    if store.ui.present.room.is_some() {
        return super::room::step(store, forward);
    }
    let scenes = store.ui.present.scenes();
    let id = store.lab.0.borrow().scene_id().to_owned();
    let at = scenes.iter().position(|scene| *scene == id);
    let (to, turn) = next_of(at, store.ui.present.turn, forward, scenes.len());
    let Some(scene) = scenes.get(to) else { return };
    go(store, scene, turn);
}

/// Brings a scene to a turn.
fn go(store: &Store, id: &str, turn: Turn) {
    if turn == Turn::Question {
        let Some(shipped) = lessons::shipped_by_name(id) else { return };
        match lessons::read(shipped.id, shipped.text) {
            Ok(scene) => store.change(|lab| {
                lab.load(shipped.id, scene);
                lab.clock.running = false;
            }),
            Err(error) => return store.ui.dispatch(Action::Notice(error.to_string())),
        }
    } else {
        store.change(|lab| {
            lab.leave_past();
            lab.clock.running |= turn == Turn::Run;
        });
    }
    store.ui.dispatch(Action::CoverCause(turn != Turn::Reveal));
    store.ui.dispatch(Action::Present(PresentDeed::Turn(turn)));
}

/// Covers the cause, or shows it; in the presenter view the scene's turn follows. A hidden fault is given up.
pub fn cover(store: &Store, on: bool) {
    if !on && store.lab.0.borrow().hides() {
        store.change(crate::lab::Lab::give_up);
    }
    store.ui.dispatch(Action::CoverCause(on));
    store.ui.dispatch(Action::Present(PresentDeed::Turn(if on { Turn::Run } else { Turn::Reveal })));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_scene_goes_from_question_over_run_to_reveal_and_then_to_the_next() {
        let mut here = next_of(None, Turn::Reveal, true, 2);
        let mut seen = vec![here];
        for _ in 0..6 {
            here = next_of(Some(here.0), here.1, true, 2);
            seen.push(here);
        }
        let turns = [Turn::Question, Turn::Run, Turn::Reveal];
        let mut wanted: Vec<(usize, Turn)> = (0..2).flat_map(|i| turns.map(|turn| (i, turn))).collect();
        wanted.push((1, Turn::Reveal));
        assert_eq!(seen, wanted);
        assert_eq!(next_of(Some(1), Turn::Reveal, false, 2), (1, Turn::Run));
        assert_eq!(next_of(Some(1), Turn::Question, false, 2), (0, Turn::Question));
        assert_eq!(next_of(Some(0), Turn::Question, false, 2), (0, Turn::Question));
    }

    #[test]
    fn without_a_list_of_its_own_the_first_scenes_are_prepared() {
        let present = Present::default();
        assert!(present.scenes().contains(&"wide-smear".to_owned()) && !present.scenes().contains(&"tilt".to_owned()));
        let own = Present::kept(None, Some("tilt gone-since wide-smear".into()));
        assert_eq!(own.scenes(), ["tilt", "wide-smear"]);
    }

    #[test]
    fn what_is_shown_is_chosen_piece_by_piece() {
        let present = Present::kept(Some("channels log".into()), None);
        assert_eq!(present.parts(), [Part::Charts, Part::Side]);
        assert_eq!(present.off(), "section plan squares error xy");
        let less = present.after(PresentDeed::Show("log".into(), false));
        assert_eq!(less.parts(), [Part::Charts]);
    }
}
