//! `evenfold draft`: a flock list as if its ewes came to the race one at a time.

use crate::cli::farm_arguments::{FarmArguments, read};
use crate::cli::{DONE, IMPOSSIBLE, WRONG, print};
use crate::farm::Files;
use crate::farm::draft::{Beforehand, DraftAnswer, DraftView, draft};
use crate::problem::Problem;
use clap::Args;
use std::fmt::Write as _;
use std::path::PathBuf;

/// Draft a flock at the race: its ewes in the order of the list, each answered knowing only those before her.
#[derive(Debug, Args)]
pub(super) struct DraftArguments {
    /// The flock list, CSV or XLSX: tag, litter, condition, due or group, age, weight_kg, ...
    flock: PathBuf,
    /// The pens, CSV or XLSX: pen, trough_m or places, area_m2, feeding, floor, ...
    #[arg(long)]
    pens: PathBuf,
    #[command(flatten)]
    farm: FarmArguments,
    /// What is known beforehand, CSV or XLSX: last year's flock list, or this season's records without the condition.
    #[arg(long, value_name = "LAST")]
    prior: Option<PathBuf>,
    /// How many ewes in lamb will come; if left out, as many as the prior list has, or this list.
    #[arg(long, value_name = "N")]
    expect: Option<usize>,
    /// How many of them are ewe lambs; if left out, counted in the list that tells how many ewes there are, or
    /// where that is given, in the flock list.
    #[arg(long, value_name = "N")]
    expect_ewe_lambs: Option<usize>,
    /// The ways of the gate, 2 or 3, where there are fewer than pens; the rest is sorted out in the evening.
    #[arg(long, value_name = "N")]
    ways: Option<usize>,
    /// Print the whole answer as one JSON document (data/schema/draft.schema.json).
    #[arg(long)]
    json: bool,
}

/// Drafts and prints; the exit code. A ewe who must be held means that the pens could not take all.
pub(super) fn run(arguments: &DraftArguments) -> u8 {
    let answer = answer(arguments)
        .unwrap_or_else(|problem| DraftAnswer::Refused { problems: vec![*problem], question: None });
    if arguments.json {
        print::out(&answer.to_json());
    }
    match &answer {
        DraftAnswer::Drafted(document) => {
            if !arguments.json {
                print::problems(&document.problems);
                print::out(&words(&document.view()));
            }
            if document.held.is_empty() { DONE } else { IMPOSSIBLE }
        }
        DraftAnswer::Refused { problems, .. } => {
            if !arguments.json {
                print::problems(problems);
                print::err(print::refused(problems));
            }
            WRONG
        }
    }
}

fn answer(arguments: &DraftArguments) -> Result<DraftAnswer, Box<Problem>> {
    let farm = &arguments.farm;
    let (flock, pens) = (read(&arguments.flock)?, read(&arguments.pens)?);
    let prior = arguments.prior.as_deref().map(read).transpose()?;
    let groups = farm.read_groups()?;
    let files = Files { flock: &flock, pens: &pens, groups: groups.as_deref() };
    let beforehand = Beforehand {
        prior: prior.as_deref(),
        expect: arguments.expect,
        ewe_lambs: arguments.expect_ewe_lambs,
        ways: arguments.ways,
    };
    Ok(draft(files, &farm.settings(), farm.faulty_rows(), beforehand))
}

fn words(view: &DraftView) -> String {
    let mut text = format!("{}\n{}\n", view.headline, view.belief);
    if !view.ways.is_empty() {
        let _ = writeln!(text, "{}", view.ways);
    }
    text.push('\n');
    for line in &view.lines {
        let _ = writeln!(text, "{}  {}  {}", line.tag, line.goes, line.words);
    }
    text.push('\n');
    for line in [&view.held, &view.set_apart, &view.result, &view.moves, &view.caution] {
        if !line.is_empty() {
            let _ = writeln!(text, "{line}");
        }
    }
    text
}
