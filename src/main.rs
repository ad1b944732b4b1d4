//! The command line: parse, ask the engine, print, and say by the exit code how it went.

use clap::Parser;
use evenfold::cli::{Command, run};
use std::process::ExitCode;

fn main() -> ExitCode {
    run(&Command::parse())
}
