//! `evenfold plan`: the feeding plan to the last lambing, with its load sheet and feed orders.

use crate::cli::farm_arguments::{FarmArguments, make_folder, read, write};
use crate::cli::ration::Fed;
use crate::cli::{DONE, IMPOSSIBLE, WRONG, print};
use crate::farm::Files;
use crate::farm::plan::{HANDLING_PENCE, PlanAnswer, PlanFiles, PlanQuestion, PlanView, Planned, plan};
use crate::problem::Problem;
use clap::Args;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

/// The feeding plan to the last lambing: a ration for each pen each week, what to load, what to order.
#[derive(Debug, Args)]
pub(super) struct PlanArguments {
    /// The flock list, CSV or XLSX: tag, litter, condition, due or group, age, weight_kg, ...
    flock: PathBuf,
    /// The pens, CSV or XLSX: pen, trough_m or places, area_m2, feeding, floor, ...
    #[arg(long)]
    pens: PathBuf,
    /// The feeds on the farm, CSV or XLSX, one a row: feed, price_per_t, and stock_t and analyses where there are any.
    #[arg(long)]
    feeds: PathBuf,
    #[command(flatten)]
    farm: FarmArguments,
    /// Where the ewes stand, CSV or XLSX: tag, pen; if left out, they are sorted. May be given several times.
    #[arg(long, value_name = "FILE")]
    assign: Vec<PathBuf>,
    /// What was loaded and what was left, CSV or XLSX: pen, day, feed, kg_loaded, kg_left. It is laid beside the plan,
    /// and the pens' appetite is scaled by it.
    #[arg(long, value_name = "FILE")]
    loads: Option<PathBuf>,
    /// How pens are fed.
    #[arg(long, value_enum, default_value_t = Fed::Separate)]
    way: Fed,
    /// The same concentrate every week instead of as much as each week needs.
    #[arg(long)]
    flat: bool,
    /// One recipe of the concentrate for all pens and weeks: only how much is fed changes.
    #[arg(long)]
    one_recipe: bool,
    /// Most feeds of concentrate a day, 1 to 3; each holds at most 0.5 kg.
    #[arg(long, default_value_t = 2)]
    most_feeds: u32,
    /// Most straights at a time.
    #[arg(long, default_value_t = 5)]
    most_straights: u32,
    /// What a feed in use counts for beside its price, for fetching and weighing it: pence a ewe a day.
    #[arg(long, default_value_t = HANDLING_PENCE, value_name = "PENCE")]
    handling: f64,
    /// Concentrate given last week, kg fresh a ewe a day: it rises by no more than 0.2 kg.
    #[arg(long, value_name = "KG")]
    last_week: Option<f64>,
    /// A feed that is not to be used, as if it were not on the farm. May be given several times.
    #[arg(long, value_name = "FEED")]
    without: Vec<String>,
    /// What the mixer wagon holds, kg: loads are parted so that it is filled to nine tenths at most.
    #[arg(long, value_name = "KG")]
    wagon_kg: Option<f64>,
    /// Most copper of the whole ration, mg a kg DM, where the breed is susceptible; never more than the law.
    #[arg(long, value_name = "MG")]
    copper_most: Option<f64>,
    /// Weeks before lambing from which protein is asked for.
    #[arg(long, default_value_t = 4.0)]
    protein_weeks: f64,
    /// Amounts to the last gram instead of such as can be weighed.
    #[arg(long)]
    exact: bool,
    /// Print the load sheet too.
    #[arg(long)]
    sheet: bool,
    /// Print the whole answer as one JSON document (data/schema/plan.schema.json).
    #[arg(long)]
    json: bool,
    /// Write the load sheet (loads.csv) and the feed orders (orders.csv) into this folder.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Write the load sheet and the feed orders into this spreadsheet file (XLSX).
    #[arg(long, value_name = "FILE")]
    xlsx: Option<PathBuf>,
}

impl PlanArguments {
    fn question(&self) -> PlanQuestion {
        PlanQuestion {
            way: self.way.id().to_owned(),
            flat: self.flat,
            one_recipe: self.one_recipe,
            most_feeds: self.most_feeds,
            most_straights: self.most_straights,
            handling_pence: self.handling,
            last_week_kg: self.last_week,
            without: self.without.clone(),
            wagon_kg: self.wagon_kg,
            copper_most_mg_per_kg_dm: self.copper_most,
            protein_weeks: self.protein_weeks,
            exact: self.exact,
            dates: None,
        }
    }

    fn answer(&self) -> Result<PlanAnswer, Box<Problem>> {
        let (flock, pens, feeds) = (read(&self.flock)?, read(&self.pens)?, read(&self.feeds)?);
        let groups = self.farm.read_groups()?;
        let lists = self.assign.iter().map(|list| read(list)).collect::<Result<Vec<_>, _>>()?;
        let lists: Vec<&[u8]> = lists.iter().map(Vec::as_slice).collect();
        let files = Files { flock: &flock, pens: &pens, groups: groups.as_deref() };
        let loads = self.loads.as_deref().map(read).transpose()?;
        let own = PlanFiles { feeds: &feeds, lists: &lists, loads: loads.as_deref() };
        Ok(plan(files, own, &self.farm.settings(), self.farm.faulty_rows(), &self.question()))
    }
}

/// Plans and prints; the exit code.
pub(super) fn run(arguments: &PlanArguments) -> u8 {
    let answer = arguments
        .answer()
        .unwrap_or_else(|problem| PlanAnswer::Refused { problems: vec![*problem], question: None });
    if arguments.json {
        print::out(&answer.to_json());
    }
    match &answer {
        PlanAnswer::Planned(planned) => {
            if !arguments.json {
                print::problems(&planned.view.problems);
                print::out(&words(&planned.view, arguments.sheet));
            }
            let lists = arguments.out.as_deref().map_or(Ok(()), |folder| write_lists(planned, folder));
            let workbook =
                || arguments.xlsx.as_deref().map_or(Ok(()), |path| write(path, &planned.workbook()));
            match lists.and_then(|()| workbook()) {
                Ok(()) => DONE,
                Err(problem) => {
                    print::problems(&[*problem]);
                    WRONG
                }
            }
        }
        PlanAnswer::Impossible { shortfall, problems } => {
            if !arguments.json {
                print::problems(problems);
                print::err(&print::impossible(shortfall));
            }
            IMPOSSIBLE
        }
        PlanAnswer::Refused { problems, .. } => {
            if !arguments.json {
                print::problems(problems);
                print::err("Nothing was planned. Put this right first.");
            }
            WRONG
        }
    }
}

fn write_lists(planned: &Planned, folder: &Path) -> Result<(), Box<Problem>> {
    make_folder(folder)?;
    write(&folder.join("loads.csv"), planned.load_csv().as_bytes())?;
    write(&folder.join("orders.csv"), planned.orders_csv().as_bytes())
}

/// Width of a cell of the calendar.
const CELL: usize = 11;

fn words(view: &PlanView, with_sheet: bool) -> String {
    let mut text = format!("{}\n", view.headline);
    for line in &view.lines {
        let _ = writeln!(text, "{line}");
    }
    text.push_str("\nConcentrate, a ewe a day (~ within what can be weighed, ! short, X none safe)\n");
    let _ = write!(text, "  {:<12}", "");
    for week in &view.weeks {
        let _ = write!(text, "{:>CELL$}", week.from.trim_start_matches("from "));
    }
    text.push('\n');
    for pen in &view.pens {
        let _ = write!(text, "  {:<12}", pen.name);
        for week in &pen.weeks {
            let cell = match week.state.as_str() {
                "met" => week.title.clone(),
                "near" => format!("{}~", week.title),
                "short" => format!("{}!", week.title),
                _ => "X".to_owned(),
            };
            let _ = write!(text, "{cell:>CELL$}");
        }
        text.push('\n');
    }
    for pen in &view.pens {
        let _ = writeln!(text, "\n{}: {}. {}", pen.place, pen.head, pen.trough);
        for (week, names) in pen.weeks.iter().zip(&view.weeks) {
            let feeds: Vec<String> =
                week.feeds.iter().map(|feed| format!("{} {}", feed.name, feed.words)).collect();
            let _ = writeln!(text, "  {} {}: {}", names.name, names.from, feeds.join("; "));
            for line in &week.words {
                let _ = writeln!(text, "      {line}");
            }
            for line in &week.stopped_by {
                let _ = writeln!(text, "      Stopped by {line}");
            }
            for line in &week.ways_out {
                let _ = writeln!(text, "      Way out: {line}");
            }
        }
    }
    if with_sheet {
        text.push_str("\nLoad sheet\n");
        for load in &view.loads {
            let _ = writeln!(text, "  Week {} {}, pen {}: {}", load.week, load.from, load.pen, load.title);
            for part in &load.parts {
                let _ = writeln!(text, "      {:<44} {}", part.name, part.words);
            }
            for day in &load.days {
                let _ = writeln!(text, "      {:<18} {:<12} {}", day.days, day.head, day.amounts.join(", "));
            }
            for note in &load.notes {
                let _ = writeln!(text, "      {note}");
            }
        }
    }
    let stores: Vec<String> = view
        .stores
        .iter()
        .map(|store| match store.months.as_slice() {
            [] => format!("{}: {}", store.name, store.words),
            months => format!("{}: {} ({})", store.name, store.words, months.join("; ")),
        })
        .collect();
    print::section_of(&mut text, "Feeds to the last lambing", &stores);
    print::section_of(&mut text, "What happened", &view.happened);
    print::section_of(&mut text, "On the farm, not fed", &view.withheld);
    print::cautions(&mut text, &view.cautions);
    let _ = write!(text, "\n{}\n{}\n", view.basis, view.caution);
    text
}
