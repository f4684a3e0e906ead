//! The command line: which verb, and its options.

use clap::{Parser, Subcommand};

use crate::progress::Progress;
use crate::{Result, build, bundle, causes, check, link, serve, trace};

/// Countlight, a bench on which people learn how an optical position encoder works and fails.
///
/// Without a verb it builds the page, serves it on this machine only, and prints its address.
#[derive(Debug, Parser)]
#[command(
    name = "countlight",
    version,
    args_conflicts_with_subcommands = true,
    disable_help_subcommand = true,
    after_help = "Examples:\n  countlight               build and serve the page\n  \
        countlight --port 0      the same on any free port\n  \
        countlight bundle countlight.html\n  \
        countlight trace wide-smear\n  \
        countlight check my-scenes\n  \
        countlight causes window-film\n  \
        countlight link wide-smear\n\n\
        From the source folder write `cargo run --` in place of `countlight`.\n\
        Exit codes: 0 done, 1 something failed, 2 wrong use of the command line."
)]
pub struct Cli {
    #[command(flatten)]
    serve: serve::Args,
    #[command(subcommand)]
    verb: Option<Verb>,
}

#[derive(Debug, Subcommand)]
enum Verb {
    Build(build::Args),
    Bundle(bundle::Args),
    Trace(trace::Args),
    Check(check::Args),
    Causes(causes::Args),
    Link(link::Args),
}

impl Cli {
    /// Does what the command line asks for.
    ///
    /// # Errors
    /// Whatever the verb reports.
    pub fn run(&self) -> Result<()> {
        let progress = Progress::on_stderr();
        match &self.verb {
            None => serve::run(&self.serve, progress),
            Some(Verb::Build(args)) => build::run(args, progress),
            Some(Verb::Bundle(args)) => bundle::run(args, progress),
            Some(Verb::Trace(args)) => trace::run(args, progress),
            Some(Verb::Check(args)) => check::run(args),
            Some(Verb::Causes(args)) => causes::run(args, progress),
            Some(Verb::Link(args)) => link::run(args),
        }
    }
}

#[cfg(test)]
mod tests {
    use clap::CommandFactory;

    use super::*;

    #[test]
    fn the_command_line_is_well_formed() {
        Cli::command().debug_assert();
    }

    #[test]
    fn every_verb_explains_itself_with_an_example() {
        let mut cli = Cli::command();
        cli.build();
        assert!(cli.render_long_help().to_string().contains("Example"));
        for verb in cli.get_subcommands_mut() {
            let help = verb.render_long_help().to_string();
            assert!(verb.get_about().is_some(), "{}", verb.get_name());
            assert!(help.contains("Example:\n  countlight "), "{help}");
        }
    }

    #[test]
    fn no_verb_means_serve() {
        let cli = Cli::try_parse_from(["countlight", "--port", "0"]).unwrap();
        assert!(cli.verb.is_none());
        assert_eq!(cli.serve.port, 0);
        assert!(Cli::try_parse_from(["countlight", "--port", "70000"]).is_err());
    }
}
