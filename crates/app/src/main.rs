//! `firstchip`: the command line. Files, clock and terminal live here and in `folder`; everything
//! computed comes from `engine` and `geometry`.
#![allow(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "this is where results are printed"
)]

mod cache;
mod cli;
mod commands;
mod contract;
mod cut_args;
mod drawings;
mod output;
mod pairs;
mod plans;
mod progress;
mod stopping;
mod terminal;

use clap::Parser;
use std::process::ExitCode;

fn main() -> ExitCode {
    let cli = cli::Cli::parse();
    let outcome = match &cli.command {
        cli::Command::Study(args) => commands::study::run(args),
        cli::Command::Ask(args) => commands::ask::run(args),
        cli::Command::Part(args) => commands::part::run(args),
        cli::Command::Step(args) => commands::step::run(args),
        cli::Command::Cut(what) => commands::cut::run(what),
        cli::Command::Supply(args) => commands::supply::run(args),
        cli::Command::Floor(args) => commands::floor::run(args),
        cli::Command::Route(args) => commands::route::run(args),
        cli::Command::New(args) => commands::new::run(args),
    };
    match outcome {
        Ok(outcome) => outcome.code(),
        Err(error) => {
            output::complain(&error);
            output::Outcome::Unreadable.code()
        }
    }
}
