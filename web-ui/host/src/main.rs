//! The native program. Exit codes: 0 done, 1 something failed and the message says what, 2 wrong use of the command line.
use std::process::ExitCode;

use clap::Parser;
use countlight_host::cli::Cli;

fn main() -> ExitCode {
    match Cli::parse().run() {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("{error}");
            ExitCode::FAILURE
        }
    }
}
