//! A visit as it crosses between a page and the helper that computes beside it: what was done goes in, what came of it
//! comes out. The same acts on the same case give the same, wherever they are played.

use super::act::Act;
use super::case::{Case, Trust};
use super::cost;
use super::debrief::{Debrief, debrief};
use super::read;
use super::score::Note;
use super::visit::{Done, Visit};
use diagnosis::measure::Picture;
use diagnosis::{Baseline, Table};
use serde::{Deserialize, Serialize};
use sim_core::bench::Bench;
use sim_core::bench::command::SafetyAct;
use sim_core::inspect::Figure;
use sim_core::record::Doing;
use sim_core::setup::Setup;
use std::rc::Rc;

/// What is to be played.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Ask {
    /// Id of the case.
    pub id: String,
    /// Text of its file.
    pub case: String,
    /// Its draw.
    pub seed: u32,
    /// Everything that was done, in its order, as scripts name it.
    pub acts: Vec<String>,
    /// How many of them are known to whoever asks: only what came of the others is told.
    pub known: usize,
    /// The note that closes the visit, and the text of the machine's table of outcomes; then the debrief is told.
    pub close: Option<(NoteText, String)>,
}

/// A service note as text.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct NoteText {
    /// Names of the families of causes.
    pub causes: Vec<String>,
    /// Its parts in the order of [`super::score::PARTS`].
    pub words: Vec<String>,
}

impl NoteText {
    /// The note; causes that nobody knows are left out.
    #[must_use]
    pub fn note(&self) -> Note {
        let family = |name: &String| diagnosis::family::FAMILIES.iter().find(|family| family.name == name);
        let mut note = Note { causes: self.causes.iter().filter_map(family).collect(), ..Note::default() };
        note.words.iter_mut().zip(&self.words).for_each(|(words, text)| words.clone_from(text));
        note
    }
}

/// A check that was made.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Shown {
    /// Its name in files.
    pub check: String,
    /// Which of its outcomes.
    pub outcome: u8,
    /// Figures by name, their value, and that of the healthy machine.
    pub figures: Vec<(String, f64, Option<f64>)>,
    /// What the instrument shows.
    pub picture: Option<Picture>,
    /// What it shows on the healthy machine.
    pub usual: Option<Picture>,
}

/// Something that was done.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Entry {
    /// What, as scripts name it.
    pub act: String,
    /// When it began, min from the arrival.
    pub from_min: u32,
    /// How long it took, min.
    pub minutes: u16,
    /// What came of it, in words.
    pub told: String,
    /// What was read.
    pub shown: Option<Shown>,
}

/// How the machine stands.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Standing {
    /// Since the arrival, min.
    pub minutes: u32,
    /// Time and parts so far.
    pub cost: u32,
    /// Steps of making safe that stand.
    pub safe: Vec<SafetyAct>,
    /// The disconnector is open.
    pub isolated: bool,
    /// The table can come down by itself.
    pub hangs: bool,
    /// A break-out is fitted at the head.
    pub break_out: bool,
    /// An alarm stands.
    pub tripped: bool,
    /// The drive is on.
    pub drive_on: bool,
    /// Zero is taken.
    pub referenced: bool,
    /// Where the readout says the table is, m.
    pub readout_m: f64,
    /// How the last proof run came out, when nothing was mended since.
    pub proof: Option<bool>,
}

/// What comes out.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Told {
    /// What came of the acts that were not known.
    pub entries: Vec<Entry>,
    /// How the machine stands now.
    pub now: Standing,
    /// Everything about it, once the note is written.
    pub debrief: Option<Debrief>,
}

/// Plays visits; the last one is kept, so that one act more costs that act alone.
#[derive(Default)]
pub struct Player {
    record: Option<(Setup, Rc<Baseline>)>,
    kept: Option<Kept>,
}

struct Kept {
    text: String,
    seed: u32,
    visit: Visit,
}

impl Player {
    /// Plays what is asked; `progress` is told the share that is done, 0..1.
    ///
    /// # Errors
    /// Why the case cannot be read, or why the last act was refused; then nothing has changed.
    pub fn play(&mut self, ask: &Ask, progress: &mut dyn FnMut(f64)) -> Result<Told, String> {
        let visit = self.visit(ask, progress)?;
        let from = ask.known.min(visit.done().len());
        let entries = visit.done()[from..].iter().map(|done| entry(done, visit)).collect();
        let debrief = match &ask.close {
            None => None,
            Some((note, table)) => {
                let table = Table::read(table).map_err(|why| why.to_string())?;
                Some(debrief(visit, &note.note(), &table))
            }
        };
        Ok(Told { entries, now: standing(visit), debrief })
    }

    /// The bench as it stands after what is asked, with everything that is wrong with it.
    ///
    /// # Errors
    /// As [`Self::play`].
    pub fn bench(&mut self, ask: &Ask, progress: &mut dyn FnMut(f64)) -> Result<Bench, String> {
        Ok(self.visit(ask, progress)?.sim().bench().clone())
    }

    fn visit(&mut self, ask: &Ask, progress: &mut dyn FnMut(f64)) -> Result<&Visit, String> {
        let goes_on = self.kept.as_ref().is_some_and(|kept| {
            let done = kept.visit.done();
            kept.text == ask.case
                && kept.seed == ask.seed
                && done.len() <= ask.acts.len()
                && done.iter().zip(&ask.acts).all(|(done, act)| done.act.to_string() == *act)
        });
        if !goes_on {
            self.kept = None;
            let case = Rc::new(read(&ask.id, &ask.case).map_err(|why| why.to_string())?);
            let visit = Visit::arrive(&case, &self.record_of(&case), ask.seed);
            self.kept = Some(Kept { text: ask.case.clone(), seed: ask.seed, visit });
        }
        let kept = self.kept.as_mut().ok_or("the visit was lost")?;
        let (from, all) = (kept.visit.done().len(), ask.acts.len());
        for (i, line) in ask.acts.iter().enumerate().skip(from) {
            kept.visit.act(single(line)?)?;
            progress((i + 1 - from) as f64 / (all - from) as f64);
        }
        Ok(&kept.visit)
    }

    fn record_of(&mut self, case: &Case) -> Rc<Baseline> {
        let setup = case.setup();
        match &self.record {
            Some((of, record)) if *of == setup => Rc::clone(record),
            _ => {
                let record = Rc::new(Baseline::of(&setup));
                self.record = Some((setup, Rc::clone(&record)));
                record
            }
        }
    }
}

/// One act of a line that names one.
fn single(line: &str) -> Result<Act, String> {
    match Act::read(line, false) {
        Ok(acts) => match acts.as_slice() {
            [act] => Ok(*act),
            _ => Err(format!("\"{line}\" stands for more than one act")),
        },
        Err((what, mend)) => Err(format!("{what}: {mend}")),
    }
}

fn entry(done: &Done, visit: &Visit) -> Entry {
    let shown = done.reading.as_ref().map(|reading| {
        let usual = visit.baseline().get(reading.check);
        let figure = |f: &Figure| (f.name.to_owned(), f.value, usual.get(f.name));
        Shown {
            check: reading.check.row().name.to_owned(),
            outcome: reading.outcome,
            figures: reading.measured.figures.iter().map(figure).collect(),
            picture: reading.measured.picture.clone(),
            usual: usual.picture.clone(),
        }
    });
    Entry {
        act: done.act.to_string(),
        from_min: done.from_min,
        minutes: done.act.minutes(),
        told: done.told.clone(),
        shown,
    }
}

fn standing(visit: &Visit) -> Standing {
    let (sim, r) = (visit.sim(), visit.sim().record());
    let safety = &sim.bench().state.safety;
    let mut safe: Vec<SafetyAct> = SafetyAct::IN_ORDER.into_iter().filter(|act| safety.stands(*act)).collect();
    if safety.propped() {
        safe.push(SafetyAct::Prop);
    }
    Standing {
        minutes: visit.minutes(),
        cost: cost::of(visit),
        safe,
        isolated: safety.isolated(),
        hangs: sim.params().machine.mechanics.incline > 0.0,
        break_out: visit.break_out(),
        tripped: r.doing == Doing::Tripped,
        drive_on: !matches!(r.doing, Doing::Off | Doing::Tripped),
        referenced: r.referenced,
        readout_m: r.readout_m,
        proof: visit.proof(),
    }
}

/// What a statement of the operator was worth, in words.
#[must_use]
pub fn trust_words(trust: Trust) -> &'static str {
    match trust {
        Trust::True => "so it was",
        Trust::Vague => "that could mean many things",
        Trust::Wrong => "that was not so",
    }
}
