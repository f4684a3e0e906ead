//! What the page knows of call-outs: the leaf that is open, the visit in progress, results that were handed in. What is
//! hidden stays in the text of the case until the debrief; nothing of it is shown or kept before.

use lessons::callout::Case;
use lessons::callout::debrief::Debrief;
use lessons::callout::play::{Ask, Entry, NoteText, Standing, Told};
use lessons::callout::score::PARTS;
use std::collections::BTreeSet;
use std::rc::Rc;

/// A leaf of the call-outs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CallLeaf {
    /// The work orders.
    Orders,
    /// At the machine.
    Site,
    /// What learners handed in.
    Results,
}

/// What a technician turns to at the machine.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Turn {
    /// Operator and log.
    #[default]
    Ask,
    /// Readings with power.
    Measure,
    /// Making safe, and what is done on a dead machine.
    Safe,
    /// Remedies.
    Mend,
    /// Proof and note.
    Close,
}

impl Turn {
    /// All of them with their names.
    pub const ALL: [(Self, &'static str); 5] = [
        (Self::Ask, "Ask"),
        (Self::Measure, "Measure"),
        (Self::Safe, "Lock out"),
        (Self::Mend, "Put right"),
        (Self::Close, "Prove and close"),
    ];
}

/// What the learner thinks it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Guess {
    /// How many things had been done.
    pub after: usize,
    /// Name of the family of causes.
    pub family: String,
    /// How sure, 0..100.
    pub percent: u8,
}

/// A visit.
#[derive(Clone, Debug, PartialEq)]
pub struct OnSite {
    /// Letters of its ticket.
    pub ticket: String,
    /// Its case.
    pub case: Rc<Case>,
    /// Text of the case.
    pub text: Rc<str>,
    /// Its draw.
    pub seed: u32,
    /// What was done.
    pub entries: Vec<Entry>,
    /// How the machine stands.
    pub now: Standing,
    /// What is being done at this moment.
    pub doing: Option<String>,
    /// What the technician turned to.
    pub turn: Turn,
    /// Entries that were marked as evidence.
    pub pinned: BTreeSet<usize>,
    /// What the learner thought, one after the other.
    pub guesses: Vec<Guess>,
    /// The service note.
    pub note: NoteText,
    /// Everything about it, once the note was signed.
    pub debrief: Option<Rc<Debrief>>,
}

impl OnSite {
    /// The arrival at a case.
    pub fn arrive(ticket: String, case: Case, text: &str, seed: u32) -> Self {
        Self {
            ticket,
            case: Rc::new(case),
            text: text.into(),
            seed,
            entries: Vec::new(),
            now: Standing::default(),
            doing: None,
            turn: Turn::default(),
            pinned: BTreeSet::new(),
            guesses: Vec::new(),
            note: NoteText { causes: Vec::new(), words: vec![String::new(); PARTS.len()] },
            debrief: None,
        }
    }

    /// What was done, as scripts name it.
    pub fn acts(&self) -> Vec<String> {
        self.entries.iter().map(|entry| entry.act.clone()).collect()
    }

    /// Asks to play the first `upto` things that were done and then some more.
    pub fn ask(&self, upto: usize, more: &[String]) -> Ask {
        let mut acts = self.acts();
        acts.truncate(upto);
        acts.extend_from_slice(more);
        Ask {
            id: self.case.id.clone(),
            case: self.text.to_string(),
            seed: self.seed,
            known: upto.min(self.entries.len()),
            acts,
            close: None,
        }
    }

    /// Why the note cannot be signed yet.
    pub fn unfinished(&self) -> Option<&'static str> {
        if self.note.causes.is_empty() {
            return Some("Say in the note what it was.");
        }
        self.note.words.iter().any(|words| words.trim().is_empty()).then_some("A part of the note is empty.")
    }
}

/// A result that was handed in and played again here.
#[derive(Clone, Debug, PartialEq)]
pub struct Graded {
    /// Name of the learner.
    pub name: String,
    /// Title of the case.
    pub title: String,
    /// Its time and cost.
    pub now: Standing,
    /// The debrief.
    pub debrief: Rc<Debrief>,
}

/// Call-outs on the page.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Calls {
    /// The leaf over the sheet.
    pub leaf: Option<CallLeaf>,
    /// The visit.
    pub visit: Option<Rc<OnSite>>,
    /// Results, newest last.
    pub graded: Vec<Graded>,
    /// What is being computed for the leaf, in words.
    pub busy: Option<&'static str>,
}

/// A change.
#[derive(Clone, Debug, PartialEq)]
pub enum CallDeed {
    /// Opens a leaf, or puts call-outs away.
    Leaf(Option<CallLeaf>),
    /// Arrives.
    Arrive(Rc<OnSite>),
    /// Something is being done, or nothing any more.
    Doing(Option<String>),
    /// What came of it.
    Told(Box<Told>),
    /// Turns to something.
    Turn(Turn),
    /// Marks an entry as evidence, or takes the mark away.
    Pin(usize),
    /// Writes down what it may be.
    Guess(String, u8),
    /// Names a cause in the note, or takes it out.
    Cause(String),
    /// Writes a part of the note.
    Write(usize, String),
    /// Leaves the machine for good.
    Leave,
    /// A result was played.
    Graded(Box<Graded>),
    /// Clears the results.
    NoResults,
    /// Something is computed.
    Busy(Option<&'static str>),
}

impl Calls {
    /// After a deed.
    #[must_use]
    pub fn after(mut self, deed: CallDeed) -> Self {
        match deed {
            CallDeed::Leaf(leaf) => self.leaf = leaf,
            CallDeed::Arrive(visit) => {
                (self.visit, self.leaf, self.busy) = (Some(visit), Some(CallLeaf::Site), None);
            }
            CallDeed::Leave => (self.visit, self.leaf) = (None, Some(CallLeaf::Orders)),
            CallDeed::Graded(graded) => {
                self.graded.push(*graded);
                self.busy = None;
            }
            CallDeed::NoResults => self.graded.clear(),
            CallDeed::Busy(busy) => self.busy = busy,
            deed => {
                if let Some(visit) = &mut self.visit {
                    Rc::make_mut(visit).change(deed);
                }
            }
        }
        self
    }
}

impl OnSite {
    fn change(&mut self, deed: CallDeed) {
        match deed {
            CallDeed::Doing(doing) => self.doing = doing,
            CallDeed::Told(told) => {
                self.doing = None;
                self.entries.extend(told.entries);
                self.now = told.now;
                self.debrief = told.debrief.map(Rc::new);
            }
            CallDeed::Turn(turn) => self.turn = turn,
            CallDeed::Pin(at) if self.pinned.remove(&at) => {}
            CallDeed::Pin(at) => drop(self.pinned.insert(at)),
            CallDeed::Guess(family, percent) => {
                self.guesses.push(Guess { after: self.entries.len(), family, percent: percent.min(100) });
            }
            CallDeed::Cause(name) => {
                let before = self.note.causes.len();
                self.note.causes.retain(|other| *other != name);
                if self.note.causes.len() == before {
                    self.note.causes.push(name);
                }
            }
            CallDeed::Write(part, words) => {
                if let Some(place) = self.note.words.get_mut(part) {
                    *place = words;
                }
            }
            _ => {}
        }
    }
}
