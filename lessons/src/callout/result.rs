//! What a learner hands in: what was done on which job and the note that closed it. An instructor's page plays it again,
//! so the points come from the bench and not from the file.

use super::act::Act;
use super::code::Ticket;
use super::score::Note;
use super::visit::Visit;
use crate::tree::Tree;
use diagnosis::family::FAMILIES;
use diagnosis::{Baseline, Family, Table};
use serde::{Deserialize, Serialize};
use sim_core::names::nearest_hint;
use std::rc::Rc;

/// The format of files that this program writes and the newest that it reads.
pub const HANDED_FORMAT: u32 = 1;
/// Largest file that is read, bytes.
pub const LARGEST_HANDED: usize = 256 << 10;
/// Most things that are done in a visit.
const MOST_ACTS: usize = 500;
/// Most letters of a name, and of a part of the note.
const LONGEST_NAME: usize = 80;
const LONGEST_WORDS: usize = 4000;

/// What is handed in.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Handed {
    /// [`HANDED_FORMAT`].
    pub format: u32,
    /// Name of the learner; may be empty.
    pub name: String,
    /// Letters of the job, see [`Ticket::letters`].
    pub ticket: String,
    /// What was done, as scripts name it, see [`Act::read`].
    pub acts: Vec<String>,
    /// Names of the families that the note names as causes.
    pub causes: Vec<String>,
    /// The seven parts of the note.
    pub words: Vec<String>,
}

impl Handed {
    /// What was done in a visit and the note that closed it.
    #[must_use]
    pub fn of(name: &str, ticket: &Ticket, visit: &Visit, note: &Note) -> Self {
        Self {
            format: HANDED_FORMAT,
            name: name.to_owned(),
            ticket: ticket.letters(),
            acts: visit.done().iter().map(|done| done.act.to_string()).collect(),
            causes: note.causes.iter().map(|family| family.name.to_owned()).collect(),
            words: note.words.to_vec(),
        }
    }

    /// Its text.
    #[must_use]
    pub fn text(&self) -> String {
        // Numbers, texts and lists alone: all of them have a form in JSON.
        serde_json::to_string(self).unwrap_or_default()
    }

    /// The note.
    ///
    /// # Errors
    /// A family that is unknown, or not seven parts.
    pub fn note(&self) -> Result<Note, String> {
        let parts = || {
            format!(
                "the note has {} parts where seven are wanted; hand in the file as the page made it",
                self.words.len()
            )
        };
        let words = self.words.clone().try_into().map_err(|_| parts())?;
        Ok(Note { causes: self.causes.iter().map(|name| family(name)).collect::<Result<_, _>>()?, words })
    }

    /// Everything that was done on a machine that hangs, or does not.
    fn done(&self, hangs: bool) -> Result<Vec<Act>, String> {
        let mut acts = Vec::new();
        for (i, line) in self.acts.iter().enumerate() {
            let read = Act::read(line, hangs).map_err(|(what, mend)| format!("act {}: {what}; {mend}", i + 1))?;
            acts.extend(read);
        }
        Ok(acts)
    }
}

fn family(name: &str) -> Result<&'static Family, String> {
    Family::by_name(name).ok_or_else(|| {
        format!("there is no cause \"{name}\"; {}", nearest_hint(name, FAMILIES.iter().map(|family| family.name)))
    })
}

/// Reads what was handed in.
///
/// # Errors
/// What is wrong with it, where, and how to mend it.
pub fn read(text: &str) -> Result<Handed, String> {
    if text.len() > LARGEST_HANDED {
        let bytes = text.len();
        return Err(format!(
            "this file is too large: {bytes} bytes, where {LARGEST_HANDED} are allowed; choose what the page saved"
        ));
    }
    let tree = Tree::of_json(text)
        .map_err(|why| format!("this is no file that a learner handed in: {why}; choose what the page saved"))?;
    match tree.get("format").map(Tree::whole) {
        Some(Some(found)) if found == i64::from(HANDED_FORMAT) => {}
        Some(Some(found)) if found > i64::from(HANDED_FORMAT) => {
            return Err(format!(
                "this file has format {found}; this program reads format {HANDED_FORMAT}: open it with a newer Countlight"
            ));
        }
        _ => {
            return Err(
                "this is no file that a learner handed in: it has no format number that is known; choose what \
                        the page saved"
                    .to_owned(),
            );
        }
    }
    let handed: Handed = crate::kept::of_tree(&tree)
        .map_err(|why| format!("this is no file that a learner handed in: {why}; choose what the page saved"))?;
    let too_long = |what: &str, most: usize| Err(format!("{what} is too long; {most} are allowed, shorten it"));
    if handed.name.chars().count() > LONGEST_NAME {
        return too_long("the name", LONGEST_NAME);
    }
    if handed.acts.len() > MOST_ACTS {
        return too_long("what was done", MOST_ACTS);
    }
    if let Some(i) = handed.words.iter().position(|words| words.chars().count() > LONGEST_WORDS) {
        return too_long(&format!("part {} of the note", i + 1), LONGEST_WORDS);
    }
    if handed.causes.len() > FAMILIES.len() {
        return too_long("the list of causes", FAMILIES.len());
    }
    handed.note()?;
    handed.done(false)?;
    Ticket::read(&handed.ticket).map_err(|why| format!("its job: {why}"))?;
    Ok(handed)
}

/// Plays what was handed in once more, from the letters of its job. `table` is that of the machine
/// ([`Ticket::bench`]); with another one the par path of a random case may be another.
///
/// # Errors
/// The job cannot be had, or something that was done is refused; which, and why.
pub fn replay(handed: &Handed, table: Option<&Table>) -> Result<(Visit, Note), String> {
    let ticket = Ticket::read(&handed.ticket).map_err(|why| format!("its job: {why}"))?;
    let case = Rc::new(ticket.case(table)?);
    let setup = case.setup();
    let acts = handed.done(setup.machine().spec().mechanics.incline > 0.0)?;
    let note = handed.note()?;
    let mut visit = Visit::arrive(&case, &Rc::new(Baseline::of(&setup)), ticket.seed());
    for (i, act) in acts.iter().enumerate() {
        visit.act(*act).map_err(|why| format!("act {}, {act}, is refused: {why}", i + 1))?;
    }
    Ok((visit, note))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::callout::script;
    use proptest::prelude::*;

    fn handed() -> Handed {
        let id = "J25-stops-by-itself".to_owned();
        let note = script::note(vec![family("limits-wrong").unwrap()]);
        Handed {
            format: HANDED_FORMAT,
            name: "Ada".to_owned(),
            ticket: Ticket::Shipped { id, seed: 3 }.letters(),
            acts: ["ask 1", "log", "check loop-values", "remedy values", "ready", "prove"].map(str::to_owned).to_vec(),
            causes: vec!["limits-wrong".to_owned()],
            words: note.words.to_vec(),
        }
    }

    #[test]
    fn what_was_handed_in_is_played_again_to_the_bit() {
        let first = read(&handed().text()).unwrap();
        assert_eq!(first, handed());
        let (visit, note) = replay(&first, None).unwrap();
        assert_eq!((visit.proof(), visit.minutes()), (Some(true), 4 + 2 + 4 + 5 + 3 + 8));
        assert_eq!(note, script::truth(&visit));
        let ticket = Ticket::read(&first.ticket).unwrap();
        let again = Handed::of("Ada", &ticket, &visit, &note);
        assert_eq!(again, first);
        let (other, _) = replay(&again, None).unwrap();
        assert_eq!((other.done(), other.sim().record()), (visit.done(), visit.sim().record()));
    }

    #[test]
    fn slips_are_told_with_their_place() {
        let with = |change: fn(&mut Handed)| {
            let mut other = handed();
            change(&mut other);
            other.text()
        };
        let texts = [
            String::new(),
            "[]".to_owned(),
            handed().text().replace("\"format\":1", "\"format\":2"),
            handed().text().replace("\"name\":\"Ada\",", ""),
            with(|h| h.name = "a".repeat(LONGEST_NAME + 1)),
            with(|h| h.acts = vec!["log".to_owned(); MOST_ACTS + 1]),
            with(|h| h.words[2] = "a".repeat(LONGEST_WORDS + 1)),
            with(|h| drop(h.words.pop())),
            with(|h| h.causes = vec!["limit-wrong".to_owned()]),
            with(|h| h.causes = vec!["play".to_owned(); FAMILIES.len() + 1]),
            with(|h| h.acts[3] = "remedy hope".to_owned()),
            with(|h| h.acts[1] = "sleep".to_owned()),
            with(|h| h.ticket.truncate(20)),
            " ".repeat(LARGEST_HANDED + 1),
        ];
        let told: Vec<String> = texts.iter().map(|text| read(text).unwrap_err()).collect();
        insta::assert_snapshot!(told.join("\n"));
        // What cannot be done on the machine is found when it is played.
        let mut locked = handed();
        locked.acts = vec!["lockout".to_owned(), "prove".to_owned()];
        let why = replay(&read(&locked.text()).unwrap(), None).err().unwrap();
        assert!(why.starts_with("act 7, prove, is refused: ") && why.contains("take the lock off"), "{why}");
    }

    proptest! {
        #[test]
        fn no_text_makes_the_reader_fall_over(text in "\\PC{0,120}", cut in any::<prop::sample::Index>()) {
            let _ = read(&text);
            let good = handed().text();
            let mut at = cut.index(good.len());
            while !good.is_char_boundary(at) {
                at -= 1;
            }
            let _ = read(&format!("{}{text}{}", &good[..at], &good[at..]));
        }
    }
}
