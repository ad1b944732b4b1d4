//! `evenfold journal`: merge, look at, check and take out what people entered.

use crate::cli::farm_arguments::{day, file_problem, read};
use crate::cli::{DONE, WRONG, print};
use crate::day::Day;
use crate::farm::journal::Book;
use crate::farm::journal::document::StateDocument;
use crate::problem::Problem;
use clap::{Args, Subcommand};
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

/// What people entered: merge, look, check, take out.
#[derive(Debug, Args)]
pub(super) struct JournalArguments {
    #[command(subcommand)]
    task: Task,
}

#[derive(Debug, Subcommand)]
enum Task {
    /// Put the journals of several devices together: the same result in any order.
    Merge {
        /// The journals.
        #[arg(required = true)]
        journals: Vec<PathBuf>,
        /// Write the result here instead of printing it; may be one of the journals.
        #[arg(long)]
        out: Option<PathBuf>,
    },
    /// What the entries add up to: ewes, pens, tally, contradictions.
    State {
        /// The journal.
        journal: PathBuf,
        /// Print all of it as one JSON document (data/schema/state.schema.json).
        #[arg(long)]
        json: bool,
    },
    /// Whether every line can be read and nothing is in doubt; exit code 2 where a line is damaged.
    Check {
        /// The journal.
        journal: PathBuf,
    },
    /// The ewes as the flock list that `evenfold sort` reads; pens and groups likewise.
    Flock {
        /// The journal.
        journal: PathBuf,
        /// Write the flock list here instead of printing it.
        #[arg(long)]
        out: Option<PathBuf>,
        /// Write the pens here, if any were described.
        #[arg(long)]
        pens: Option<PathBuf>,
        /// Write the mating groups here, if any were described.
        #[arg(long)]
        groups: Option<PathBuf>,
        /// The day of the race, such as 2027-02-01: leaves out what is of an earlier season.
        #[arg(long, value_parser = day)]
        on: Option<Day>,
    },
}

/// Does it; the exit code.
pub(super) fn run(arguments: &JournalArguments) -> u8 {
    let done = match &arguments.task {
        Task::Merge { journals, out } => merge(journals, out.as_deref()),
        Task::State { journal, json } => state(journal, *json),
        Task::Check { journal } => check(journal),
        Task::Flock { journal, out, pens, groups, on } => {
            flock(journal, out.as_deref(), pens.as_deref(), groups.as_deref(), *on)
        }
    };
    done.unwrap_or_else(|problems| {
        print::problems(&problems);
        WRONG
    })
}

type Done = Result<u8, Vec<Problem>>;

fn merge(journals: &[PathBuf], out: Option<&Path>) -> Done {
    let mut book = Book::new();
    for journal in journals {
        let words = take(&mut book, journal)?;
        print::err(&format!("{}: {words}", journal.display()));
    }
    write(out, &book.file())?;
    Ok(DONE)
}

fn state(journal: &Path, json: bool) -> Done {
    let book = open(journal)?;
    if json {
        print::out(&book.state_json());
    } else {
        print::out(&in_words(&book.state()));
    }
    Ok(DONE)
}

fn check(journal: &Path) -> Done {
    let mut book = Book::new();
    let reply = book.take(&read(journal).map_err(|problem| vec![*problem])?);
    let mut problems = reply.problems;
    problems.extend(book.doubts());
    print::problems(&problems);
    let (events, devices) = book.size();
    print::out(&format!("Entries: {events}. Devices: {devices}. To look at: {}.", problems.len()));
    Ok(if problems.iter().any(Problem::is_error) { WRONG } else { DONE })
}

fn flock(
    journal: &Path,
    out: Option<&Path>,
    pens: Option<&Path>,
    groups: Option<&Path>,
    on: Option<Day>,
) -> Done {
    let book = open(journal)?;
    print::problems(&book.doubts());
    if on.is_none() && book.has_earlier_seasons() {
        print::err(
            "What was read in earlier seasons is among it: --on with the day of the race leaves it out.",
        );
    }
    write(out, &on.map_or_else(|| book.flock_csv(), |on| book.flock_csv_on(on)))?;
    for (path, text) in [(pens, book.pens_csv()), (groups, book.groups_csv())] {
        if let (Some(path), Some(text)) = (path, text) {
            write(Some(path), &text)?;
        }
    }
    Ok(DONE)
}

fn open(journal: &Path) -> Result<Book, Vec<Problem>> {
    let mut book = Book::new();
    take(&mut book, journal)?;
    Ok(book)
}

/// Takes a file in; damaged lines are named and the rest is taken.
fn take(book: &mut Book, journal: &Path) -> Result<String, Vec<Problem>> {
    let reply = book.take(&read(journal).map_err(|problem| vec![*problem])?);
    if !reply.taken {
        return Err(reply.problems);
    }
    print::problems(&reply.problems);
    Ok(reply.words)
}

/// Writes a file whole or not at all: what stood there stays until the new file is complete.
fn write(out: Option<&Path>, text: &str) -> Result<(), Vec<Problem>> {
    let Some(path) = out else {
        print::out(text);
        return Ok(());
    };
    let mut beside = path.as_os_str().to_owned();
    beside.push(".part");
    let fault =
        |fault| vec![*file_problem("not-written", path, &fault, "Check that the folder can be written.")];
    std::fs::write(&beside, text).map_err(fault)?;
    std::fs::rename(&beside, path).map_err(fault)
}

fn in_words(state: &StateDocument) -> String {
    let mut text = String::new();
    let tally = &state.tally;
    let _ = writeln!(text, "{}", state.headline);
    for count in &tally.by_litter {
        let _ = writeln!(text, "  {}", count.words);
    }
    let scores = tally.by_condition.iter().map(|count| match count.score {
        Some(score) => format!("{score}: {}", count.ewes),
        None => format!("not scored: {}", count.ewes),
    });
    let _ = writeln!(text, "Condition  {}", scores.collect::<Vec<_>>().join(", "));
    for pen in &state.pens {
        let _ = writeln!(text, "{}", pen.words);
    }
    let marked = state.ewes.iter().filter(|ewe| !ewe.marks.is_empty()).count();
    let _ = writeln!(text, "Marked  {marked}");
    if !state.conflicts.is_empty() {
        let _ = writeln!(text, "\nReadings that differ ({})", state.conflicts.len());
    }
    for conflict in &state.conflicts {
        let _ = writeln!(text, "  {}", conflict.words);
    }
    if !state.problems.is_empty() {
        let _ = writeln!(text, "\nTo look at");
    }
    for problem in &state.problems {
        let _ = writeln!(text, "  {problem}");
    }
    let _ = write!(text, "\n{}", state.caution);
    text
}
