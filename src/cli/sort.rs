//! `evenfold sort`: a flock list becomes feeding pens.

use crate::cli::farm_arguments::{FarmArguments, KeepArguments, make_folder, read, write};
use crate::cli::{DONE, IMPOSSIBLE, WRONG, print};
use crate::farm::settings::Settings;
use crate::farm::{Answer, Farm, Files, sort, sort_from};
use crate::problem::Problem;
use clap::Args;
use std::path::{Path, PathBuf};

/// Sort a flock list into feeding pens.
#[derive(Debug, Args)]
pub(super) struct SortArguments {
    /// The flock list, CSV or XLSX: tag, litter, condition, due or group, age, weight_kg, ...
    flock: PathBuf,
    /// The pens, CSV or XLSX: pen, trough_m or places, area_m2, feeding, floor, ...
    #[arg(long)]
    pens: PathBuf,
    #[command(flatten)]
    farm: FarmArguments,
    #[command(flatten)]
    kept: KeepArguments,
    /// Where the ewes stand now, CSV or XLSX: tag, pen. Each ewe who goes to another pen then counts for the cost of a
    /// move. May be given several times, one list a pen.
    #[arg(long, value_name = "OLD", requires = "move_cost")]
    from: Vec<PathBuf>,
    /// What moving a ewe counts for, weighted MJ; with --from alone.
    #[arg(long, value_name = "MJ", requires = "from")]
    move_cost: Option<f64>,
    /// Prove how near the best possible the sort is, as well as it can be: takes some seconds.
    #[arg(long)]
    prove: bool,
    /// Print the whole answer as one JSON document (data/schema/sort.schema.json).
    #[arg(long)]
    json: bool,
    /// Write a CSV list for each pen into this folder.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Write all pens' lists, and the ewes set apart, into this spreadsheet file (XLSX).
    #[arg(long, value_name = "FILE")]
    xlsx: Option<PathBuf>,
}

/// Sorts and prints; the exit code.
pub(super) fn run(arguments: &SortArguments) -> u8 {
    let mut answer = answer(arguments)
        .unwrap_or_else(|problem| Answer::Refused { problems: vec![*problem], question: None });
    if arguments.prove
        && let Answer::Sorted(farm) = &mut answer
    {
        prove(farm);
    }
    if arguments.json {
        print::out(&answer.to_json());
    }
    match &answer {
        Answer::Sorted(farm) => {
            if !arguments.json {
                print::out(&print::sorted(&farm.view()));
            }
            let lists = arguments.out.as_deref().map_or(Ok(()), |folder| write_lists(farm, folder));
            let workbook = || arguments.xlsx.as_deref().map_or(Ok(()), |path| write(path, &farm.workbook()));
            match lists.and_then(|()| workbook()) {
                Ok(()) => DONE,
                Err(problem) => {
                    print::problems(&[*problem]);
                    WRONG
                }
            }
        }
        Answer::Impossible { shortfall, problems } => {
            if !arguments.json {
                print::problems(problems);
                print::err(&print::impossible(shortfall));
            }
            IMPOSSIBLE
        }
        Answer::Refused { problems, .. } => {
            if !arguments.json {
                print::problems(problems);
                print::err(print::refused(problems));
            }
            WRONG
        }
    }
}

/// Raises the bound as far as it goes, with a word of progress to standard error now and then.
fn prove(farm: &mut Farm) {
    const STEPS_A_WORD: u32 = 10;
    let Some(mut certificate) = farm.certificate() else { return };
    while !certificate.is_done() {
        certificate.step();
        let proof = farm.take_proof(&certificate);
        if proof.steps.is_multiple_of(STEPS_A_WORD) && !proof.is_done {
            print::err(&format!("step {} of at most {}: {}", proof.steps, proof.most_steps, proof.quality));
        }
    }
}

fn answer(arguments: &SortArguments) -> Result<Answer, Box<Problem>> {
    let flock = read(&arguments.flock)?;
    let pens = read(&arguments.pens)?;
    let groups = arguments.farm.read_groups()?;
    let settings = Settings { keep: arguments.kept.keep.clone(), ..arguments.farm.settings() };
    let files = Files { flock: &flock, pens: &pens, groups: groups.as_deref() };
    let faulty_rows = arguments.farm.faulty_rows();
    let Some(move_cost_mj) = arguments.move_cost else { return Ok(sort(files, &settings, faulty_rows)) };
    let lists = arguments.from.iter().map(|list| read(list)).collect::<Result<Vec<_>, _>>()?;
    let lists: Vec<&[u8]> = lists.iter().map(Vec::as_slice).collect();
    Ok(sort_from(files, &lists, &settings, faulty_rows, move_cost_mj))
}

/// A CSV list for each pen that holds somebody, and one for the ewes set apart.
fn write_lists(farm: &Farm, folder: &Path) -> Result<(), Box<Problem>> {
    make_folder(folder)?;
    let mut lists: Vec<(String, String)> = Vec::new();
    for pen in farm.pen_names() {
        if let Some(list) = farm.pen_csv(Some(pen)) {
            lists.push((format!("pen-{}.csv", file_name(pen)), list));
        }
    }
    lists.push(("set-apart.csv".to_owned(), farm.set_apart_csv()));
    for (index, (name, list)) in lists.iter().enumerate() {
        // Two names may come out alike once letters that no file may have are gone.
        let taken = lists[..index].iter().any(|(other, _)| other.eq_ignore_ascii_case(name));
        let name =
            if taken { format!("{}-{index}.csv", name.trim_end_matches(".csv")) } else { name.clone() };
        let path = folder.join(name);
        write(&path, list.as_bytes())?;
    }
    Ok(())
}

/// A pen's name as part of a file name: letters and digits, the rest as hyphens.
fn file_name(pen: &str) -> String {
    pen.chars().map(|letter| if letter.is_alphanumeric() { letter } else { '-' }).collect()
}
