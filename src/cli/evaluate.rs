//! `evenfold evaluate`: any given assignment, scored like a sort.

use crate::cli::farm_arguments::{FarmArguments, read};
use crate::cli::{DONE, IMPOSSIBLE, WRONG, print};
use crate::farm::{Answer, Files, evaluate};
use crate::problem::Problem;
use clap::Args;
use std::path::PathBuf;

/// Score an assignment of ewes to pens, whoever made it.
#[derive(Debug, Args)]
pub(super) struct EvaluateArguments {
    #[command(flatten)]
    given: GivenArguments,
    /// Print the whole answer as one JSON document (data/schema/sort.schema.json).
    #[arg(long)]
    json: bool,
}

/// An assignment and the farm that it is of.
#[derive(Debug, Args)]
pub(super) struct GivenArguments {
    /// Where the ewes stand, CSV or XLSX: tag, pen. The lists that `sort --out` writes do, all pens given together.
    #[arg(required = true)]
    assignment: Vec<PathBuf>,
    /// The flock list, CSV or XLSX: tag, litter, condition, due or group, age, weight_kg, ...
    #[arg(long)]
    flock: PathBuf,
    /// The pens, CSV or XLSX: pen, trough_m or places, area_m2, feeding, floor, ...
    #[arg(long)]
    pens: PathBuf,
    #[command(flatten)]
    pub(super) farm: FarmArguments,
}

impl GivenArguments {
    /// Reads the files and asks a question about them.
    pub(super) fn ask<T>(&self, question: impl FnOnce(Files<'_>, &[&[u8]]) -> T) -> Result<T, Box<Problem>> {
        let lists = self.assignment.iter().map(|list| read(list)).collect::<Result<Vec<_>, _>>()?;
        let lists: Vec<&[u8]> = lists.iter().map(Vec::as_slice).collect();
        let (flock, pens) = (read(&self.flock)?, read(&self.pens)?);
        let groups = self.farm.read_groups()?;
        let files = Files { flock: &flock, pens: &pens, groups: groups.as_deref() };
        Ok(question(files, &lists))
    }
}

/// Scores and prints; the exit code.
pub(super) fn run(arguments: &EvaluateArguments) -> u8 {
    let farm = &arguments.given.farm;
    let answer = arguments
        .given
        .ask(|files, lists| evaluate(files, lists, &farm.settings(), farm.faulty_rows()))
        .unwrap_or_else(|problem| Answer::Refused { problems: vec![*problem], question: None });
    if arguments.json {
        print::out(&answer.to_json());
    }
    match &answer {
        Answer::Sorted(farm) => {
            if !arguments.json {
                let broken = print::broken(farm.limits_broken());
                if !broken.is_empty() {
                    print::out(&format!("{broken}\n"));
                }
                print::out(&print::sorted(&farm.view()));
            }
            DONE
        }
        // An assignment is scored even where no sort keeps every limit.
        Answer::Impossible { .. } => IMPOSSIBLE,
        Answer::Refused { problems, .. } => {
            if !arguments.json {
                print::problems(problems);
                print::err(print::refused(problems));
            }
            WRONG
        }
    }
}
