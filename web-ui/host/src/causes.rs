//! The verb `causes`: lists the fault catalogue, or tells all that is known of one fault.

mod json;
mod page;
mod signatures;

use std::io::Write;

use sim_core::fault::service::{SERVICES, Service, service_of};
use sim_core::names::nearest_hint;

use crate::progress::Progress;
use crate::target_file::Target;
use crate::{Error, Result};

/// Lists the causes of a position fault; with a name, tells how it shows, what tells it from others, how it is mended
/// and what to beware of.
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  countlight causes\n  countlight causes window-film\n  \
    countlight causes --json | less\n  countlight causes --signatures\n\n\
    Minutes are those of the remedy. Parts are classes of money in any currency. What it tells is for learning: local\n\
    rules, the machine maker's manual and licensed practice come first.")]
pub struct Args {
    /// The cause to tell about, by its name in the list. Without it all are listed.
    #[arg(value_name = "NAME")]
    pub name: Option<String>,
    /// Prints JSON for other programs.
    #[arg(long)]
    pub json: bool,
    /// Instead of the words: what each cause does to a survey of its bench, worked out by the simulation now.
    #[arg(long)]
    pub signatures: bool,
}

/// Runs the verb.
///
/// # Errors
/// There is no such cause, or the standard output cannot be written.
pub fn run(args: &Args, progress: Progress) -> Result<()> {
    let one = args.name.as_deref().map(find).transpose()?;
    let told = match (one, args.json) {
        _ if args.signatures => {
            let made = signatures::make(one.map(|one| one.name), progress);
            if args.json { signatures::json(&made)? } else { signatures::page(&made) }
        }
        (Some(one), true) => json::text(std::slice::from_ref(one))?,
        (None, true) => json::text(&SERVICES)?,
        (Some(one), false) => page::entry(one),
        (None, false) => page::list(&SERVICES),
    };
    let mut writing = Target::Output.begin()?;
    match writing.write_all(told.as_bytes()) {
        Err(e) if !writing.reader_left(&e) => Err(Error::file("print the causes", writing.place(), &e)),
        _ => writing.finish(),
    }
}

fn find(name: &str) -> Result<&'static Service> {
    service_of(name).ok_or_else(|| {
        let hint = nearest_hint(name, SERVICES.iter().map(|s| s.name));
        // All names would be a screenful; the list tells them with their titles.
        let (hint, mend) = if hint.starts_with("did you mean") {
            (format!("; {hint}"), "correct the spelling, or look it up in the list of `countlight causes`")
        } else {
            (String::new(), "take a name from the list of `countlight causes`")
        };
        Error::new(format!("there is no cause \"{name}\"{hint}"), "the catalogue of causes", mend)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_near_miss_is_offered_and_a_wild_guess_is_sent_to_the_list() {
        assert_eq!(find("tape-smear").map(|s| s.name), Ok("tape-smear"));
        let near = find("window-flim").expect_err("a slip");
        assert!(near.what.contains("did you mean") && near.what.contains("window-film"), "{near}");
        let wild = find("gremlins").expect_err("a guess");
        assert_eq!(wild.what, "there is no cause \"gremlins\"");
        assert!(wild.mend.contains("countlight causes"), "{wild}");
    }
}
