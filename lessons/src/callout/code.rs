//! How a case goes from hand to hand: letters for a message, a slip of paper or a square code.
//!
//! ```text
//! a shipped case and its draw, a random case by level and seed, or a whole case -> text -> veil -> "job1." before it
//! ```
//!
//! A link to a bench begins with a number (`1.`), a job with its word, so a page can tell them apart.

use super::case::Case;
use super::made;
use super::read::{CASE_FORMAT, read};
use super::veil::{unveil, veil};
use super::write::text_of;
use crate::error::SceneError;
use crate::share::{LONGEST_LINK, LONGEST_PASTE, ShareError, tight};
use crate::sum::crc32;
use diagnosis::Table;
use sim_core::fault::hidden::Level;
use sim_core::names::nearest_hint;
use sim_core::setup::BenchId;

/// The word before the version.
pub const WORD: &str = "job";
/// The version that this program writes and reads.
const VERSION: u32 = 1;
/// What to do when letters are missing or wrong.
const COPY_AGAIN: &str = "copy it again, from its first letter to its last; small and capital letters differ.";

/// A case as it is handed out.
#[derive(Clone, Debug, PartialEq)]
pub enum Ticket {
    /// A case that comes with the program, and the seed of its draw.
    Shipped {
        /// Id of the case.
        id: String,
        /// Seed of the draw and of all noise.
        seed: u32,
    },
    /// A case that chance makes.
    Random {
        /// The machine.
        bench: BenchId,
        /// How hard it is.
        level: Level,
        /// Seed of the draw.
        seed: u64,
    },
    /// A case that an instructor made.
    Hidden {
        /// The case.
        case: Box<Case>,
    },
}

/// Why letters were refused.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{}; {}", self.what(), self.mend())]
pub enum TicketError {
    /// Not a job at all.
    NotAJob,
    /// Made by a newer program.
    Newer {
        /// Its version.
        found: u32,
    },
    /// More letters than any job has.
    TooLong {
        /// How many.
        letters: usize,
    },
    /// The letters were changed, lost or doubled.
    Letters(ShareError),
    /// Whole, but not of a case that this program knows.
    Unknown {
        /// What it does not know.
        what: String,
    },
    /// Whole, but what it holds is no case.
    Case(SceneError),
}

impl TicketError {
    /// What is wrong.
    #[must_use]
    pub fn what(&self) -> String {
        match self {
            Self::NotAJob => "these are not the letters of a job".to_owned(),
            Self::Newer { found } => format!("this job has version {found}; this program reads version {VERSION}"),
            Self::TooLong { letters } => {
                format!("this is too long: {letters} letters, where {LONGEST_LINK} are allowed")
            }
            Self::Letters(ShareError::Letter { letter, place }) => {
                format!("{letter:?} at place {place} behind the point is in no job")
            }
            Self::Letters(ShareError::CutOff) => "this job is cut off: its end is missing".to_owned(),
            Self::Letters(ShareError::TooLarge) => "this holds more than a job".to_owned(),
            Self::Letters(_) => "a letter of this job was changed, lost or doubled".to_owned(),
            Self::Unknown { what } => format!("this program does not know this job: {what}"),
            Self::Case(error) => format!("this holds a case that cannot be: {}", error.what),
        }
    }

    /// How to mend it.
    #[must_use]
    pub fn mend(&self) -> &'static str {
        match self {
            Self::NotAJob => "copy them again; they begin with job1 and a point.",
            Self::Newer { .. } => "open it with a newer Countlight.",
            Self::TooLong { .. } | Self::Letters(ShareError::TooLarge) | Self::Case(_) => {
                "ask whoever made it for a new one."
            }
            Self::Letters(_) => COPY_AGAIN,
            Self::Unknown { .. } => "open it with the program that it was made with, or a newer one.",
        }
    }
}

impl Ticket {
    /// A job of a case that an instructor made. The case gets the id that whoever reads the job will see, so that both
    /// play the same.
    #[must_use]
    pub fn hidden(mut case: Case) -> Self {
        case.id = id_of(&text_of(&case));
        Self::Hidden { case: Box::new(case) }
    }

    /// Its letters: those that every address may hold, `job1.` before them.
    #[must_use]
    pub fn letters(&self) -> String {
        let text = match self {
            Self::Shipped { id, seed } => format!("shipped {seed} {id}"),
            Self::Random { bench, level, seed } => format!("random {seed} {} {}", level.number(), bench.name()),
            Self::Hidden { case } => {
                let text = text_of(case);
                let first = format!("format = {CASE_FORMAT}\n");
                format!("hidden {}", text.strip_prefix(&first).unwrap_or(&text))
            }
        };
        format!("{WORD}{VERSION}.{}", veil(&text))
    }

    /// The whole address: that of the page, then the letters.
    #[must_use]
    pub fn address(&self, base: &str) -> String {
        let page = base.split('#').next().unwrap_or_default();
        format!("{page}#{}", self.letters())
    }

    /// Whether what stands behind `#` in an address, or was pasted, looks like a job and not like a link to a bench.
    #[must_use]
    pub fn looks_like(text: &str) -> bool {
        version(&body(&tight(text.get(..LONGEST_PASTE).unwrap_or(text)))).is_some()
    }

    /// Reads letters; takes a whole address too, with the blanks and line breaks that mail programs put in.
    ///
    /// # Errors
    /// What is wrong with them and how to mend it.
    pub fn read(text: &str) -> Result<Self, TicketError> {
        if text.len() > LONGEST_PASTE {
            return Err(TicketError::TooLong { letters: text.len() });
        }
        let body = body(&tight(text));
        let letters = match version(&body) {
            Some((VERSION, letters)) => letters,
            Some((found, _)) if found > VERSION => return Err(TicketError::Newer { found }),
            _ => return Err(TicketError::NotAJob),
        };
        if body.len() > LONGEST_LINK {
            return Err(TicketError::TooLong { letters: body.len() });
        }
        Self::of_text(&unveil(letters).map_err(TicketError::Letters)?)
    }

    fn of_text(text: &str) -> Result<Self, TicketError> {
        let unknown = |what: String| TicketError::Unknown { what };
        let (kind, rest) = text.split_once(' ').unwrap_or((text, ""));
        match kind {
            "shipped" => {
                let (seed, id) = rest.split_once(' ').unwrap_or((rest, ""));
                let seed = seed.parse().map_err(|_| unknown(format!("its seed is \"{seed}\"")))?;
                Ok(Self::Shipped { id: id.to_owned(), seed })
            }
            "random" => {
                let [seed, level, bench] = rest.split(' ').collect::<Vec<_>>()[..] else {
                    return Err(unknown(format!("\"{rest}\" is not a seed, a level and a machine")));
                };
                let seed = seed.parse().map_err(|_| unknown(format!("its seed is \"{seed}\"")))?;
                let known = |other: &Level| other.number().to_string() == level;
                let level = Level::ALL.into_iter().find(known).ok_or_else(|| unknown(format!("level {level}")))?;
                let named = |other: &BenchId| other.name() == bench;
                let bench = BenchId::ALL.into_iter().find(named);
                let bench =
                    bench.ok_or_else(|| unknown(format!("machine \"{}\"", rest.rsplit(' ').next().unwrap_or(""))))?;
                Ok(Self::Random { bench, level, seed })
            }
            "hidden" => {
                let text = format!("format = {CASE_FORMAT}\n{rest}");
                let mut case = read("job", &text).map_err(TicketError::Case)?;
                case.id = id_of(&text);
                Ok(Self::Hidden { case: Box::new(case) })
            }
            _ => Err(unknown(format!("its kind is \"{kind}\""))),
        }
    }

    /// Seed with which the visit arrives.
    #[must_use]
    pub fn seed(&self) -> u32 {
        match self {
            Self::Shipped { seed, .. } => *seed,
            Self::Random { .. } | Self::Hidden { .. } => made::SEED,
        }
    }

    /// The machine, where it is known.
    #[must_use]
    pub fn bench(&self) -> Option<BenchId> {
        match self {
            Self::Shipped { id, .. } => shipped(id).ok().map(|case| case.bench),
            Self::Random { bench, .. } => Some(*bench),
            Self::Hidden { case } => Some(case.bench),
        }
    }

    /// The case; `table` is that of its machine and serves the par path of a random one.
    ///
    /// # Errors
    /// There is no such case, or chance finds none.
    pub fn case(&self, table: Option<&Table>) -> Result<Case, String> {
        match self {
            Self::Shipped { id, .. } => shipped(id),
            Self::Random { bench, level, seed } => made::random(*bench, *level, *seed, table),
            Self::Hidden { case } => Ok((**case).clone()),
        }
    }
}

/// The id of a case that travels: the check sum of its text.
fn id_of(text: &str) -> String {
    format!("hidden-{:08x}", crc32(text.as_bytes()))
}

fn shipped(id: &str) -> Result<Case, String> {
    let Some((id, text)) = crate::cases().find(|(other, _)| *other == id) else {
        let hint = nearest_hint(id, crate::cases().map(|(id, _)| id).collect::<Vec<_>>().into_iter());
        return Err(format!("there is no case \"{id}\" here; {hint}"));
    };
    read(id, text).map_err(|why| why.to_string())
}

/// What stands behind the last `#` of an address, or the text itself.
fn body(tight: &str) -> String {
    tight.rsplit('#').next().unwrap_or_default().to_owned()
}

/// Version and letters of a job.
fn version(body: &str) -> Option<(u32, &str)> {
    let (number, letters) = body.strip_prefix(WORD)?.split_once('.')?;
    Some((number.parse().ok()?, letters))
}

#[cfg(test)]
#[path = "code_tests.rs"]
mod tests;
