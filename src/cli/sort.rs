//! `evenfold sort`: a flock list becomes feeding pens.

use crate::cli::{DONE, IMPOSSIBLE, WRONG, print};
use crate::day::{DateOrder, Day};
use crate::farm::settings::{Keep, Settings, System};
use crate::farm::{Answer, Farm, FaultyRows, Files, sort};
use crate::problem::{Problem, Severity};
use clap::{Args, ValueEnum};
use std::path::{Path, PathBuf};

/// Sort a flock list into feeding pens.
#[derive(Debug, Args)]
pub(super) struct SortArguments {
    /// The flock list, CSV: tag, litter, condition, due or group, age, weight_kg, ...
    flock: PathBuf,
    /// The pens, CSV: pen, trough_m or places, area_m2, feeding, floor, ...
    #[arg(long)]
    pens: PathBuf,
    /// The mating groups, CSV: group, first_day, last_day, of.
    #[arg(long)]
    groups: Option<PathBuf>,
    /// The first day of the feeding period, such as 2027-02-01.
    #[arg(long, value_parser = day)]
    on: Day,
    /// Days in the feeding period; if left out, to the first lambing, at most 21. 0 and 1 mean that day alone.
    #[arg(long)]
    period_days: Option<u32>,
    /// How to read dates whose day and month could be either way round.
    #[arg(long, value_enum)]
    dates: Option<Order>,
    /// Kind of farm: sets target condition and floor space.
    #[arg(long, value_enum, default_value = "lowland")]
    system: Kind,
    /// What a MJ below need counts for.
    #[arg(long, default_value_t = 4.0)]
    under: f64,
    /// What a MJ above need counts for.
    #[arg(long, default_value_t = 1.0)]
    over: f64,
    /// Energy density of the diet on which efficiencies stand, MJ ME a kg DM.
    #[arg(long, default_value_t = 11.5)]
    diet_me: f64,
    /// More trough for horned ewes, in percent (no published figure was found).
    #[arg(long, default_value_t = 0.0)]
    horned: f64,
    /// The fewest head in a pen that is used.
    #[arg(long, default_value_t = 4)]
    min_head: u32,
    /// Let ewe lambs share pens with the rest.
    #[arg(long)]
    ewe_lambs_with_rest: bool,
    /// Keep a ewe in a pen by hand: TAG=PEN. May be given several times.
    #[arg(long, value_parser = keep)]
    keep: Vec<Keep>,
    /// Sort the rest where rows are wrong, and list those ewes apart.
    #[arg(long)]
    set_aside: bool,
    /// Print the whole answer as one JSON document (data/schema/sort.schema.json).
    #[arg(long)]
    json: bool,
    /// Write a CSV list for each pen into this folder.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Order {
    /// Day first.
    Dmy,
    /// Month first.
    Mdy,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Kind {
    /// Lowland ewes: target condition 3.0 at lambing.
    Lowland,
    /// Upland ewes: 2.5.
    Upland,
    /// Hill ewes: 2.0, and less floor.
    Hill,
}

fn day(text: &str) -> Result<Day, String> {
    Day::from_iso(text).ok_or_else(|| "write year, month and day, such as 2027-02-01".to_owned())
}

fn keep(text: &str) -> Result<Keep, String> {
    // A tag may hold anything; the pen's name comes after the last sign.
    let (tag, pen) = text.rsplit_once('=').ok_or("write TAG=PEN, such as 0417=B")?;
    Ok(Keep { tag: tag.to_owned(), pen: pen.to_owned() })
}

impl SortArguments {
    fn settings(&self) -> Settings {
        Settings {
            on: self.on,
            period_days: self.period_days,
            dates: self.dates.map(|order| match order {
                Order::Dmy => DateOrder::Dmy,
                Order::Mdy => DateOrder::Mdy,
            }),
            system: match self.system {
                Kind::Lowland => System::Lowland,
                Kind::Upland => System::Upland,
                Kind::Hill => System::Hill,
            },
            under: self.under,
            over: self.over,
            diet_me_mj_per_kg_dm: self.diet_me,
            horned_trough_percent: self.horned,
            min_head: self.min_head,
            ewe_lambs_apart: !self.ewe_lambs_with_rest,
            keep: self.keep.clone(),
        }
    }
}

/// Sorts and prints; the exit code.
pub(super) fn run(arguments: &SortArguments) -> u8 {
    let answer = match read_all(arguments) {
        Ok([flock, pens, groups]) => sort(
            Files {
                flock: &flock.unwrap_or_default(),
                pens: &pens.unwrap_or_default(),
                groups: groups.as_deref(),
            },
            &arguments.settings(),
            if arguments.set_aside { FaultyRows::SetAside } else { FaultyRows::Refuse },
        ),
        Err(problem) => Answer::Refused { problems: vec![*problem], question: None },
    };
    if arguments.json {
        print::out(&answer.to_json());
    }
    match &answer {
        Answer::Sorted(farm) => {
            if !arguments.json {
                print::out(&print::sorted(&farm.view()));
            }
            match arguments.out.as_deref().map_or(Ok(()), |folder| write_lists(farm, folder)) {
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

fn read_all(arguments: &SortArguments) -> Result<[Option<Vec<u8>>; 3], Box<Problem>> {
    let read = |path: &Path| {
        std::fs::read(path)
            .map(Some)
            .map_err(|fault| file_problem("file-unreadable", path, &fault, "Check the name and the folder."))
    };
    Ok([read(&arguments.flock)?, read(&arguments.pens)?, arguments.groups.as_deref().map_or(Ok(None), read)?])
}

fn file_problem(code: &str, path: &Path, fault: &std::io::Error, hint: &str) -> Box<Problem> {
    Box::new(Problem::new(Severity::Error, code, path.display().to_string(), format!("{fault}."), hint))
}

/// A CSV list for each pen that holds somebody, and one for the ewes set apart.
fn write_lists(farm: &Farm, folder: &Path) -> Result<(), Box<Problem>> {
    let hint = "Check that the folder can be written.";
    std::fs::create_dir_all(folder).map_err(|fault| file_problem("not-written", folder, &fault, hint))?;
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
        std::fs::write(&path, list).map_err(|fault| file_problem("not-written", &path, &fault, hint))?;
    }
    Ok(())
}

/// A pen's name as part of a file name: letters and digits, the rest as hyphens.
fn file_name(pen: &str) -> String {
    pen.chars().map(|letter| if letter.is_alphanumeric() { letter } else { '-' }).collect()
}
