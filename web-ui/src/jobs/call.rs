//! A call-out, played beside the page. The last visit is kept there, so that one act more costs that act alone; what
//! comes out is the same without it.

use super::text;
use diagnosis::Table;
use lessons::callout::code::Ticket;
use lessons::callout::made;
use lessons::callout::play::{Ask, Player, Told};
use lessons::callout::write::text_of;
use serde::{Deserialize, Serialize};
use sim_core::bench::Bench;
use sim_core::bench::command::SettingList;
use sim_core::fault::Active;
use sim_core::setup::BenchId;
use std::cell::RefCell;

thread_local! {
    static PLAYER: RefCell<Player> = RefCell::new(Player::default());
}

/// What is wanted.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CallJob {
    /// The case of a ticket that has to be made.
    Open {
        /// Its letters.
        ticket: String,
        /// Text of the machine's table of outcomes.
        table: Option<String>,
    },
    /// A visit.
    Play(Ask),
    /// The bench as it stands in a visit.
    Bench(Ask),
    /// A ticket for what is broken on a bench.
    Hide {
        /// The machine.
        bench: BenchId,
        /// Its settings.
        set: SettingList,
        /// What is broken.
        faults: Vec<Active>,
        /// What the work order is called; computed when empty.
        title: String,
        /// Its text; computed when empty.
        order: String,
        /// Text of the machine's table of outcomes.
        table: Option<String>,
    },
}

/// What came of it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CallOutcome {
    /// Text of the case.
    Case(String),
    /// What came of the acts.
    Told(Box<Told>),
    /// The bench.
    Bench(#[serde(with = "text::bench")] Box<Bench>),
    /// Letters of the ticket.
    Ticket(String),
}

/// Does it.
pub fn run(job: CallJob, progress: &mut dyn FnMut(f64)) -> Result<CallOutcome, String> {
    match job {
        CallJob::Open { ticket, table } => {
            let ticket = Ticket::read(&ticket).map_err(|why| why.to_string())?;
            Ok(CallOutcome::Case(text_of(&ticket.case(read(table)?.as_ref())?)))
        }
        CallJob::Play(ask) => {
            PLAYER.with_borrow_mut(|player| player.play(&ask, progress)).map(|told| CallOutcome::Told(Box::new(told)))
        }
        CallJob::Bench(ask) => PLAYER
            .with_borrow_mut(|player| player.bench(&ask, progress))
            .map(|bench| CallOutcome::Bench(Box::new(bench))),
        CallJob::Hide { bench, set, faults, title, order, table } => {
            let table = read(table)?;
            let case = made::hide(set, bench, &faults, &title, &order, table.as_ref())?;
            Ok(CallOutcome::Ticket(Ticket::hidden(case).letters()))
        }
    }
}

fn read(table: Option<String>) -> Result<Option<Table>, String> {
    table.map(|text| Table::read(&text).map_err(|why| why.to_string())).transpose()
}
