//! The command line: files in, words or JSON out. No rule of husbandry is here.
//!
//! Exit codes: 0 done; 2 something in the call or a file must be put right; 3 the pens cannot hold the flock.

mod card;
mod draft;
mod evaluate;
mod farm_arguments;
mod journal;
mod need;
mod need_words;
mod pens;
mod plan;
mod print;
mod ration;
mod regroup;
mod sort;

use clap::error::ErrorKind;
use clap::{Parser, Subcommand};
use std::process::ExitCode;

/// Done.
const DONE: u8 = 0;
/// Something in the call or in a file must be put right.
const WRONG: u8 = 2;
/// The pens cannot hold the flock.
const IMPOSSIBLE: u8 = 3;

/// Which feeding pen each housed, in-lamb ewe goes to, and what the pen must be fed.
#[derive(Debug, Parser)]
#[command(name = "evenfold", version, about, after_help = crate::farm::CAUTION)]
pub struct Command {
    #[command(subcommand)]
    task: Task,
}

#[derive(Debug, Subcommand)]
enum Task {
    /// Sort a flock list into feeding pens.
    Sort(sort::SortArguments),
    /// Score an assignment of ewes to pens, whoever made it.
    Evaluate(evaluate::EvaluateArguments),
    /// Which moves are worth making, from where the ewes stand.
    Regroup(regroup::RegroupArguments),
    /// A rule card for the race: points or three questions that need no tablet.
    Card(card::CardArguments),
    /// How many pens: what each number of them comes to, and which they are.
    Pens(pens::PensArguments),
    /// Draft a flock at the race: ewes one at a time, each told her pen at once.
    Draft(draft::DraftArguments),
    /// What one ewe needs a day, with how it is worked out.
    Need(need::NeedArguments),
    /// What people entered: merge the journals of several devices, look, check, take out.
    Journal(journal::JournalArguments),
    /// What to feed one pen in one week.
    Ration(ration::RationArguments),
    /// The feeding plan to the last lambing: rations, load sheet, feed orders, stores.
    Plan(plan::PlanArguments),
}

/// A call that could not be read, in farm words where it is a figure that is none; or help, which was asked for.
pub fn misread(error: &clap::Error) -> ExitCode {
    if error.kind() != ErrorKind::ValueValidation {
        error.exit();
    }
    let text = error.to_string();
    let text =
        text.replace("invalid float literal", "not a number: digits alone and a point, such as 70 or 3.5");
    print::err(text.replace("invalid digit found in string", "not a whole number").trim_end());
    ExitCode::from(WRONG)
}

/// Runs a command; the exit code says how it went.
pub fn run(command: &Command) -> ExitCode {
    let code = match &command.task {
        Task::Sort(arguments) => sort::run(arguments),
        Task::Evaluate(arguments) => evaluate::run(arguments),
        Task::Regroup(arguments) => regroup::run(arguments),
        Task::Card(arguments) => card::run(arguments),
        Task::Pens(arguments) => pens::run(arguments),
        Task::Draft(arguments) => draft::run(arguments),
        Task::Need(arguments) => need::run(arguments),
        Task::Journal(arguments) => journal::run(arguments),
        Task::Ration(arguments) => ration::run(arguments),
        Task::Plan(arguments) => plan::run(arguments),
    };
    ExitCode::from(code)
}
