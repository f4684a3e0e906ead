//! Cases made from faults: by chance, or by an instructor who hides what should be found.
//!
//! ```text
//!  faults ──> shop: every check on a bench with them in ──> what shows
//!     │                                                       ├─> order: what office and operator say
//!     │                                                       ├─> proof: checks that fail with a fault in
//!     └──────────────────────────────────────────────────────┴─> way: the par path ──> played, or refused
//! ```
//!
//! A made case is as good as a written one: its par path is played before it is given away, and ends with a machine that
//! proves to be right. Fault, texts and proof depend on machine, level and seed alone; the par path also on the table of
//! outcomes, where there is one.

mod cure;
mod order;
mod shop;
mod way;

use super::case::{Case, Hidden};
use super::score::zero_is_right;
use super::script;
use super::visit::Visit;
use super::write::text_of;
use super::{Act, hazard::Hazard};
use crate::sum::crc32;
use diagnosis::{Baseline, Table};
use shop::Shop;
use sim_core::bench::command::SettingList;
use sim_core::fault::Active;
use sim_core::fault::hidden::{self, Level};
use sim_core::num::math::nearest;
use sim_core::num::random::word_at;
use sim_core::setup::{BenchId, Setup};
use std::rc::Rc;

/// Machines that call-outs are made to.
pub const MACHINES: [BenchId; 5] =
    [BenchId::RouterGantry, BenchId::SmallMill, BenchId::GantryLift, BenchId::MillHead, BenchId::RotaryTable];
/// Seed with which a visit to a made case arrives: that with which it was tried.
pub const SEED: u32 = 1;
/// Most faults of a case.
pub const MOST_FAULTS: usize = 4;
/// Draws that are tried until one can be found and put right.
const TRIES: u64 = 24;
/// Key of the draws after the first.
const NEXT: u64 = 0x6d61_6465_2063_6173;
/// Most letters of an instructor's title and order.
const LONGEST_TITLE: usize = 120;
const LONGEST_ORDER: usize = 4000;

/// A case by chance, the same on every device. What shows in no check is not handed out: then the next draw of the same
/// seed is taken. `table` is that of the machine.
///
/// # Errors
/// The machine takes no call-outs, the table is that of another one, or no draw can be found and put right.
pub fn random(bench: BenchId, level: Level, seed: u64, table: Option<&Table>) -> Result<Case, String> {
    check_machine(bench, table)?;
    let setup = Setup::healthy(bench);
    random_on(&Rc::new(Baseline::of(&setup)), bench, level, seed, table)
}

/// The same with the baseline of the machine as it is delivered, where that is at hand.
///
/// # Errors
/// As [`random`].
pub fn random_on(
    baseline: &Rc<Baseline>,
    bench: BenchId,
    level: Level,
    seed: u64,
    table: Option<&Table>,
) -> Result<Case, String> {
    check_machine(bench, table)?;
    let setup = Setup::healthy(bench);
    for k in 0..TRIES {
        let drawn = hidden::draw(&setup, level, if k == 0 { seed } else { word_at(seed ^ NEXT, k) });
        let shop = Shop::open(bench, &SettingList::default(), baseline);
        let mut case = blank(bench, SettingList::default(), &drawn);
        case.id = format!("random-{}-{}-{seed}", bench.name(), level.number());
        case.level = match level {
            Level::Clear => 1,
            Level::Any => 3,
            Level::Partial => 4,
        };
        case.title = format!("A call from the {}, no. {seed}", order::short(bench));
        if let Ok(case) = finish(case, &shop, table) {
            return Ok(case);
        }
    }
    Err(format!("seed {seed} gives no fault that can be found on this machine; choose another seed"))
}

/// A case from faults that an instructor put in, on a machine with these settings. Without a title or an order they are
/// worked out from what the machine does. `table` is that of the machine.
///
/// # Errors
/// Nothing is broken, too much is, the machine or a setting does not fit, or a fault shows in no check.
pub fn hide(
    settings: SettingList,
    bench: BenchId,
    faults: &[Active],
    title: &str,
    order: &str,
    table: Option<&Table>,
) -> Result<Case, String> {
    check_machine(bench, table)?;
    let mut setup = Setup::healthy(bench);
    for (setting, value) in &settings.0 {
        setting.check_on(&setup, value).map_err(|why| format!("{why}; choose a value that this machine can have"))?;
        let _ = setting.set(&mut setup, value);
    }
    let faults: Vec<Active> = faults.iter().copied().filter(|fault| fault.severity > 0.0).collect();
    check_faults(&setup, &faults)?;
    for (what, words, most) in [("title", title, LONGEST_TITLE), ("order", order, LONGEST_ORDER)] {
        if words.chars().count() > most {
            return Err(format!("the {what} is too long; {most} letters are allowed, shorten it"));
        }
    }
    let baseline = Rc::new(Baseline::of(&setup));
    let shop = Shop::open(bench, &settings, &baseline);
    let mut case = blank(bench, settings, &faults);
    let worst = faults.iter().map(|fault| fault.severity).fold(0.0, f64::max);
    case.level = match faults.len() {
        1 if worst >= Level::Clear.severity().0 => 2,
        1 => 3,
        2 => 4,
        _ => 5,
    };
    title.trim().clone_into(&mut case.title);
    order.trim().clone_into(&mut case.order);
    if case.title.is_empty() {
        let number = crc32(format!("{:?}", case.hidden).as_bytes()) % 900 + 100;
        case.title = format!("A call from the {}, no. {number}", order::short(bench));
    }
    let mut case = finish(case, &shop, table)?;
    case.id = format!("hidden-{:08x}", crc32(text_of(&case).as_bytes()));
    Ok(case)
}

fn check_machine(bench: BenchId, table: Option<&Table>) -> Result<(), String> {
    if !MACHINES.contains(&bench) {
        let names: Vec<&str> = MACHINES.iter().map(|bench| bench.title()).collect();
        let (title, names) = (bench.title(), names.join(", "));
        return Err(format!("nobody is called out to this bench ({title}); choose one of these: {names}"));
    }
    match table {
        Some(table) if table.machine.bench != bench => Err(format!(
            "the table of outcomes is that of another machine ({}); take that of {}",
            table.machine.bench.name(),
            bench.name()
        )),
        _ => Ok(()),
    }
}

fn check_faults(setup: &Setup, faults: &[Active]) -> Result<(), String> {
    if faults.is_empty() {
        return Err("nothing is broken; put a fault in first".to_owned());
    }
    if faults.len() > MOST_FAULTS {
        let found = faults.len();
        return Err(format!("{found} faults are in, and {MOST_FAULTS} may be hidden; take some out"));
    }
    for fault in faults {
        let title = fault.id.row().title;
        if !fault.id.fits(setup) {
            return Err(format!("this machine has nothing that \"{title}\" could break; take it out"));
        }
        if !fault.severity.is_finite() || !fault.at_m.is_finite() || fault.severity > 1.0 {
            return Err(format!("\"{title}\" has no severity of 0 to 100 % or no place; put it in again"));
        }
        if faults.iter().filter(|other| other.id == fault.id).count() > 1 {
            return Err(format!("\"{title}\" is in twice; take one out"));
        }
    }
    Ok(())
}

/// A case with faults at whole per cent and whole millimetres, as case files write them, and nothing else yet.
fn blank(bench: BenchId, set: SettingList, faults: &[Active]) -> Case {
    let travel_mm = Setup::healthy(bench).machine().spec().travel * 1e3;
    let mut hidden: Vec<Hidden> = faults
        .iter()
        .map(|fault| {
            let severity = nearest(fault.severity * 100.0).clamp(1.0, 100.0) / 100.0;
            let place_mm = nearest(fault.at_m * 1e3).clamp(0.0, travel_mm);
            let at_m = if fault.id.row().has_place { place_mm * 1e-3 } else { 0.0 };
            Hidden { fault: fault.id, severity: (severity, severity), at_m: (at_m, at_m) }
        })
        .collect();
    hidden.sort_by_key(|hidden| hidden.fault);
    Case {
        id: String::new(),
        title: String::new(),
        level: 1,
        bench,
        set,
        order: String::new(),
        statements: Vec::new(),
        hidden,
        before: Vec::new(),
        before_s: 1.0,
        par: Vec::new(),
        proof: Vec::new(),
        lesson: String::new(),
    }
}

/// Works out what is missing in a case and tries it.
fn finish(mut case: Case, shop: &Shop, table: Option<&Table>) -> Result<Case, String> {
    let found = shop.look(&case)?;
    (case.before, case.before_s) = shop.before();
    if case.order.is_empty() {
        case.order = order::order(case.bench, &found);
    }
    case.statements = order::statements(shop, &found);
    case.lesson = order::lesson(&case.draw(SEED));
    let mut barred = Vec::new();
    let mut way = None;
    loop {
        case.proof = found.proof(&barred)?;
        let found_way = match &way {
            Some(way) => way,
            None => way.insert(way::find(&case, shop, &found, table)?),
        };
        case.par.clone_from(found_way);
        match tried(&case, shop) {
            Ok(()) => return Ok(case),
            // A check of the proof may not go with the others: the last one is left out, and another one taken.
            Err(why) => match case.proof.last() {
                Some(last) if case.proof.len() > 1 && barred.len() < 3 => barred.push(*last),
                _ => return Err(why),
            },
        }
    }
}

/// Plays a case: the proof fails as long as anything is wrong, and the par path ends well.
fn tried(case: &Case, shop: &Shop) -> Result<(), String> {
    let fails = |case: Case| {
        let mut visit = Visit::arrive(&Rc::new(case), &shop.baseline, SEED);
        script::play(&mut visit, &[Act::Ready, Act::Prove])?;
        match visit.proof() {
            Some(false) => Ok(()),
            _ => Err("the proof run passes with a fault in; make it more severe".to_owned()),
        }
    };
    fails(case.clone())?;
    if case.hidden.len() > 1 {
        for hidden in &case.hidden {
            fails(Case { hidden: vec![hidden.clone()], ..case.clone() })?;
        }
    }
    let mut visit = Visit::arrive(&Rc::new(case.clone()), &shop.baseline, SEED);
    script::play(&mut visit, &case.par)?;
    let hazards: Vec<&Hazard> = visit.done().iter().flat_map(|done| &done.hazards).collect();
    match () {
        () if visit.proof() != Some(true) => Err("the machine does not prove to be right after the repair".to_owned()),
        () if !hazards.is_empty() => Err("there is no safe way to put it right".to_owned()),
        () if !visit.sim().faults().is_empty() => Err("no remedy takes all of it away".to_owned()),
        () if !zero_is_right(&visit) => Err("the zero is not right after the repair".to_owned()),
        () => Ok(()),
    }
}

#[cfg(test)]
#[path = "made_tests.rs"]
mod tests;
