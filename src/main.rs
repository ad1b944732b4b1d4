//! The command line: parse, ask the engine, print, and say by the exit code how it went.

use clap::Parser;
use evenfold::cli::{Command, misread, run};
use std::process::ExitCode;

fn main() -> ExitCode {
    match Command::try_parse() {
        Ok(command) => run(&command),
        Err(error) => misread(&error),
    }
}
