//! What every command about a flock asks alike: the groups, the day, the settings; and reading files.

use crate::day::{DateOrder, Day};
use crate::farm::FaultyRows;
use crate::farm::settings::{Keep, Settings, Soft, System};
use crate::problem::{Problem, Severity};
use clap::{Args, ValueEnum};
use std::path::{Path, PathBuf};

/// The groups, the day and the settings.
#[derive(Debug, Args)]
pub(super) struct FarmArguments {
    /// The mating groups, CSV or XLSX: group, first_day, last_day, of.
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
    /// What a MJ below need counts for by litter size: singles, twins, triplets, more; such as 3,5,7.
    #[arg(long, value_delimiter = ',', value_name = "WEIGHTS")]
    under_by_litter: Vec<f64>,
    /// What a MJ above need counts for by litter size.
    #[arg(long, value_delimiter = ',', value_name = "WEIGHTS")]
    over_by_litter: Vec<f64>,
    /// What a gram of protein below need counts for in MJ: turns the second need on; about 0.125 puts both on
    /// one footing.
    #[arg(long, default_value_t = 0.0, value_name = "MJ")]
    protein: f64,
    /// What a ewe off an even filling of the pens counts for, MJ.
    #[arg(long, default_value_t = 0.0, value_name = "MJ")]
    even_filling: f64,
    /// What a kilogram between a ewe and her pen's median weight counts for, MJ.
    #[arg(long, default_value_t = 0.0, value_name = "MJ")]
    body_size: f64,
    /// What a day between a ewe's lambing and her pen's median counts for, MJ.
    #[arg(long, default_value_t = 0.0, value_name = "MJ")]
    lambing_spread: f64,
    /// Ewes that must share a pen, by tag: A,B,C. May be given several times.
    #[arg(long, value_name = "TAGS")]
    together: Vec<String>,
    /// Ewes of whom no two may share a pen, by tag: A,B,C. May be given several times.
    #[arg(long, value_name = "TAGS")]
    apart: Vec<String>,
    /// A pen that is not to be used. May be given several times.
    #[arg(long, value_name = "PEN")]
    out_of_use: Vec<String>,
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
    /// Sort the rest where rows are wrong, and list those ewes apart.
    #[arg(long)]
    set_aside: bool,
}

/// Ewes kept by hand.
#[derive(Debug, Args)]
pub(super) struct KeepArguments {
    /// Keep a ewe in a pen by hand: TAG=PEN. May be given several times.
    #[arg(long, value_parser = keep)]
    pub(super) keep: Vec<Keep>,
}

fn keep(text: &str) -> Result<Keep, String> {
    // A tag may hold anything; the pen's name comes after the last sign.
    let (tag, pen) = text.rsplit_once('=').ok_or("write TAG=PEN, such as 0417=B")?;
    Ok(Keep { tag: tag.to_owned(), pen: pen.to_owned() })
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

pub(super) fn day(text: &str) -> Result<Day, String> {
    Day::from_iso(text).ok_or_else(|| "write year, month and day, such as 2027-02-01".to_owned())
}

impl FarmArguments {
    /// The settings as they were asked for.
    pub(super) fn settings(&self) -> Settings {
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
            under_by_litter: self.under_by_litter.clone(),
            over_by_litter: self.over_by_litter.clone(),
            soft: Soft {
                protein_mj_per_g: self.protein,
                even_filling_mj_per_ewe: self.even_filling,
                body_size_mj_per_kg: self.body_size,
                lambing_spread_mj_per_day: self.lambing_spread,
            },
            together: sets(&self.together),
            apart: sets(&self.apart),
            out_of_use: self.out_of_use.clone(),
            ..Settings::default()
        }
    }

    /// What to do with rows that are wrong.
    pub(super) fn faulty_rows(&self) -> FaultyRows {
        if self.set_aside { FaultyRows::SetAside } else { FaultyRows::Refuse }
    }

    /// The groups file, where one is given.
    pub(super) fn read_groups(&self) -> Result<Option<Vec<u8>>, Box<Problem>> {
        self.groups.as_deref().map(read).transpose()
    }
}

/// Sets of tags, each written with commas between.
fn sets(written: &[String]) -> Vec<Vec<String>> {
    written.iter().map(|set| set.split(',').map(|tag| tag.trim().to_owned()).collect()).collect()
}

/// A file's bytes.
pub(super) fn read(path: &Path) -> Result<Vec<u8>, Box<Problem>> {
    std::fs::read(path)
        .map_err(|fault| file_problem("file-unreadable", path, &fault, "Check the name and the folder."))
}

/// Makes a folder, where it is not there yet.
pub(super) fn make_folder(folder: &Path) -> Result<(), Box<Problem>> {
    std::fs::create_dir_all(folder).map_err(|fault| not_written(folder, &fault))
}

/// Writes a file.
pub(super) fn write(path: &Path, bytes: &[u8]) -> Result<(), Box<Problem>> {
    std::fs::write(path, bytes).map_err(|fault| not_written(path, &fault))
}

fn not_written(path: &Path, fault: &std::io::Error) -> Box<Problem> {
    file_problem("not-written", path, fault, "Check that the folder can be written.")
}

/// What went wrong with a file.
pub(super) fn file_problem(code: &str, path: &Path, fault: &std::io::Error, hint: &str) -> Box<Problem> {
    Box::new(Problem::new(Severity::Error, code, path.display().to_string(), format!("{fault}."), hint))
}
