//! `evenfold ration`: what to feed one pen in one week.

use crate::cli::{DONE, IMPOSSIBLE, WRONG, print};
use crate::day::DateOrder;
use crate::farm::ration::{FeedTrial, RationAnswer, RationQuestion, RationView, feed_table, ration};
use crate::problem::{Problem, Severity};
use clap::{Args, ValueEnum};
use std::fmt::Write as _;
use std::path::PathBuf;

/// What to feed one pen in one week: least cost inside safe limits, and why.
#[derive(Debug, Args)]
pub(super) struct RationArguments {
    /// Energy needed, MJ ME a day (`evenfold need` and `evenfold sort` say how much); by AFRC (1993) for this ewe,
    /// housed and in condition, where not given.
    #[arg(long, value_name = "MJ")]
    need_me: Option<f64>,
    /// Metabolisable protein needed, g a day; likewise.
    #[arg(long, value_name = "G")]
    need_mp: Option<f64>,
    /// Live weight without the lambs, kg.
    #[arg(long, value_name = "KG", required_unless_present = "list_feeds")]
    weight: Option<f64>,
    /// Lambs carried, 0 to 5.
    #[arg(long, required_unless_present = "list_feeds")]
    litter: Option<u8>,
    /// Weeks to lambing.
    #[arg(long, value_name = "WEEKS", required_unless_present = "list_feeds")]
    weeks_to_lambing: Option<f64>,
    /// The feeds on the farm, one a row: feed, price_per_t, and stock_t and analyses where there are any.
    #[arg(long, value_name = "FILE", required_unless_present = "list_feeds")]
    feeds: Option<PathBuf>,
    /// How the pen is fed.
    #[arg(long, value_enum, default_value_t = Fed::Separate)]
    way: Fed,
    /// The trough is rationed and empty at times.
    #[arg(long)]
    restricted: bool,
    /// Most feeds of concentrate a day, 1 to 3; each holds at most 0.5 kg.
    #[arg(long, default_value_t = 2)]
    most_feeds: u32,
    /// Most straights at a time.
    #[arg(long, default_value_t = 5)]
    most_straights: u32,
    /// Concentrate given last week, kg fresh a ewe a day: it rises by no more than 0.2 kg.
    #[arg(long, value_name = "KG")]
    last_week: Option<f64>,
    /// Ewes that eat from the store, so that stocks count.
    #[arg(long)]
    ewes: Option<u32>,
    /// Days that the store must last.
    #[arg(long, default_value_t = 7)]
    days: u32,
    /// Most copper of the whole ration, mg a kg DM, where the breed is susceptible; never more than the law.
    #[arg(long, value_name = "MG")]
    copper_most: Option<f64>,
    /// Weeks before lambing from which protein is asked for.
    #[arg(long, default_value_t = 4.0)]
    protein_weeks: f64,
    /// With `--way topup`: energy that the common mix is made for, MJ a day.
    #[arg(long, value_name = "MJ")]
    mix_me: Option<f64>,
    /// With `--way topup`: protein that it is made for, g a day.
    #[arg(long, value_name = "G")]
    mix_mp: Option<f64>,
    /// Leave a feed out; once for each.
    #[arg(long, value_name = "FEED")]
    without: Vec<String>,
    /// Another price, money a tonne; once for each feed.
    #[arg(long, value_name = "FEED=MONEY", value_parser = figure_of)]
    price: Vec<(String, f64)>,
    /// Another energy, MJ ME a kg DM; once for each feed.
    #[arg(long, value_name = "FEED=MJ", value_parser = figure_of)]
    energy: Vec<(String, f64)>,
    /// Order of day and month in the feeds file, where it does not tell.
    #[arg(long, value_enum)]
    dates: Option<Order>,
    /// Name the feeds of the table, and stop.
    #[arg(long)]
    list_feeds: bool,
    /// Print the whole answer as one JSON document (data/schema/ration.schema.json).
    #[arg(long)]
    json: bool,
}

/// How pens are fed.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub(super) enum Fed {
    /// One mixed ration, always there.
    Mixed,
    /// A common mix, always there, and a top-up of concentrate.
    Topup,
    /// Forage always there, concentrate apart in one, two or three feeds.
    Separate,
    /// Hay and bought-in nuts.
    Nuts,
    /// Straw and concentrate.
    Straw,
}

impl Fed {
    /// Its name in questions.
    pub(super) const fn id(self) -> &'static str {
        match self {
            Self::Mixed => "mixed",
            Self::Topup => "topup",
            Self::Separate => "separate",
            Self::Nuts => "nuts",
            Self::Straw => "straw",
        }
    }
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Order {
    /// Day first.
    Dmy,
    /// Month first.
    Mdy,
}

/// Reads `FEED=FIGURE`.
fn figure_of(text: &str) -> Result<(String, f64), String> {
    let parts = text.rsplit_once('=').and_then(|(feed, figure)| Some((feed, figure.parse::<f64>().ok()?)));
    match parts {
        Some((feed, figure)) if figure.is_finite() => Ok((feed.to_owned(), figure)),
        _ => Err(format!("'{text}' is not a feed and a figure; write, for example, 'hay=135'")),
    }
}

impl RationArguments {
    fn question(&self) -> RationQuestion {
        let usual = RationQuestion::default();
        RationQuestion {
            need_me_mj_per_day: self.need_me,
            need_mp_g_per_day: self.need_mp,
            weight_kg: self.weight.unwrap_or(usual.weight_kg),
            litter: self.litter.unwrap_or(usual.litter),
            weeks_to_lambing: self.weeks_to_lambing.unwrap_or(usual.weeks_to_lambing),
            way: self.way.id().to_owned(),
            restricted: self.restricted,
            most_feeds: self.most_feeds,
            most_straights: self.most_straights,
            last_week_kg: self.last_week,
            ewes: self.ewes,
            days: self.days,
            copper_most_mg_per_kg_dm: self.copper_most,
            protein_weeks: self.protein_weeks,
            mix_me_mj_per_day: self.mix_me,
            mix_mp_g_per_day: self.mix_mp,
            trials: self.trials(),
            dates: self.dates.map(|order| match order {
                Order::Dmy => DateOrder::Dmy,
                Order::Mdy => DateOrder::Mdy,
            }),
        }
    }

    /// What is tried on the feeds, one after the other.
    fn trials(&self) -> Vec<FeedTrial> {
        let price = |(feed, price): &(String, f64)| FeedTrial {
            feed: feed.clone(),
            price_per_t: Some(*price),
            ..FeedTrial::default()
        };
        let energy = |(feed, me): &(String, f64)| FeedTrial {
            feed: feed.clone(),
            me_mj_per_kg_dm: Some(*me),
            ..FeedTrial::default()
        };
        let left_out =
            |feed: &String| FeedTrial { feed: feed.clone(), is_left_out: true, ..FeedTrial::default() };
        let changed = self.price.iter().map(price).chain(self.energy.iter().map(energy));
        changed.chain(self.without.iter().map(left_out)).collect()
    }

    fn answer(&self) -> RationAnswer {
        let path = self.feeds.clone().unwrap_or_default();
        match std::fs::read(&path) {
            Ok(bytes) => ration(&self.question(), &bytes),
            Err(why) => {
                let message = format!("{} could not be read: {why}.", path.display());
                let hint = "Check the name and that the file is there.";
                let problem = Problem::new(Severity::Error, "file-unreadable", "feeds file", message, hint);
                RationAnswer::Refused { problems: vec![problem] }
            }
        }
    }
}

/// Asks and prints; the exit code.
pub(super) fn run(arguments: &RationArguments) -> u8 {
    if arguments.list_feeds {
        return list_feeds(arguments.json);
    }
    let answer = arguments.answer();
    if arguments.json {
        print::out(&answer.to_json());
    }
    match &answer {
        RationAnswer::Fed(fed) => {
            if !arguments.json {
                print::problems(&fed.document.problems);
                print::out(&words(&fed.view));
            }
            DONE
        }
        RationAnswer::Impossible(document) => {
            if !arguments.json {
                print::problems(&document.problems);
                let mut text = format!("{}\n", document.headline);
                let ways: Vec<&str> = document.ways_out.iter().map(|way| way.words.as_str()).collect();
                print::section_of(&mut text, "Ways out, each tried", &ways);
                if ways.is_empty() {
                    let _ =
                        writeln!(text, "{} changes were tried; none gives a ration.", document.ways_tried);
                }
                let held: Vec<String> =
                    document.withheld.iter().map(|held| format!("{}: {}", held.feed, held.words)).collect();
                print::section_of(&mut text, "On the farm, not fed", &held);
                let _ = writeln!(text, "\n{}", document.caution);
                print::out(&text);
            }
            IMPOSSIBLE
        }
        RationAnswer::Refused { problems } => {
            if !arguments.json {
                print::problems(problems);
                print::err("No ration was made. Put this right first.");
            }
            WRONG
        }
    }
}

fn words(view: &RationView) -> String {
    let mut text = format!("{}\n{}\n", view.headline, view.way);
    let feeds: Vec<String> =
        view.feeds.iter().map(|feed| format!("{:<44} {}", feed.name, feed.words)).collect();
    print::section_of(&mut text, "Feed, a ewe a day", &feeds);
    let _ = writeln!(text, "  {:<44} {}\n  {}", "all together", view.total, view.weighing);
    print::section_of(&mut text, "Short", &view.shortfalls);
    print::section_of(&mut text, "What stops it", &view.stopped_by);
    print::section_of(&mut text, "Ways out, each tried", &view.ways_out);
    let limits: Vec<String> =
        view.limits.iter().map(|limit| format!("{:<44} {}", limit.name, limit.words)).collect();
    print::section_of(&mut text, "Supply against limit", &limits);
    print::section_of(&mut text, "What limits cost", &view.prices);
    print::section_of(&mut text, "Not used", &view.unused);
    print::section_of(&mut text, "On the farm, not fed", &view.withheld);
    print::cautions(&mut text, &view.cautions);
    let _ = write!(text, "\n{}\n{}\n", view.basis, view.caution);
    text
}

fn list_feeds(as_json: bool) -> u8 {
    match feed_table() {
        Ok(lines) if as_json => print::out(&print::json(&lines)),
        Ok(lines) => {
            let mut text = String::new();
            for line in lines {
                let _ = writeln!(text, "{:<11} {}: {}", line.id, line.name, line.words);
            }
            print::out(&text);
        }
        Err(problem) => {
            print::problems(&[*problem]);
            return WRONG;
        }
    }
    DONE
}
