//! `evenfold pens`: how many pens, and which.

use crate::cli::farm_arguments::{FarmArguments, read};
use crate::cli::{DONE, IMPOSSIBLE, WRONG, print};
use crate::farm::pen_count::{PenCountAnswer, PenCountQuestion, PenCountView, USUAL_PENS, pen_count};
use crate::problem::Problem;
use clap::Args;
use std::fmt::Write as _;
use std::path::PathBuf;

/// How many pens: misfit and feed for each number, and what each further pen buys.
#[derive(Debug, Args)]
pub(super) struct PensArguments {
    /// The flock list, CSV or XLSX: tag, litter, condition, due or group, age, weight_kg, ...
    flock: PathBuf,
    /// The pens that stand, CSV or XLSX; if left out, equal pens yet to be built, with the size that each must have.
    #[arg(long)]
    pens: Option<PathBuf>,
    #[command(flatten)]
    farm: FarmArguments,
    /// The most pens to look at.
    #[arg(long, default_value_t = USUAL_PENS)]
    most: usize,
    /// What one pen costs over the feeding period, in any money; needs --feed-price.
    #[arg(long, value_name = "MONEY")]
    pen_cost: Option<f64>,
    /// What a tonne of dry matter of feed costs, in the same money.
    #[arg(long, value_name = "MONEY")]
    feed_price: Option<f64>,
    /// ME of that feed, MJ a kg DM; if left out, as --diet-me.
    #[arg(long, value_name = "MJ")]
    feed_me: Option<f64>,
    /// Print the whole answer as one JSON document (data/schema/pens.schema.json).
    #[arg(long)]
    json: bool,
}

/// Asks and prints; the exit code.
pub(super) fn run(arguments: &PensArguments) -> u8 {
    let answer =
        answer(arguments).unwrap_or_else(|problem| PenCountAnswer::Refused { problems: vec![*problem] });
    if arguments.json {
        print::out(&answer.to_json());
    }
    match &answer {
        PenCountAnswer::Counted(document) => {
            if !arguments.json {
                print::out(&words(&document.view()));
            }
            DONE
        }
        PenCountAnswer::Impossible { shortfall, problems } => {
            if !arguments.json {
                print::problems(problems);
                print::out(&print::impossible(shortfall));
            }
            IMPOSSIBLE
        }
        PenCountAnswer::Refused { problems } => {
            if !arguments.json {
                print::problems(problems);
                print::err(print::refused(problems));
            }
            WRONG
        }
    }
}

fn answer(arguments: &PensArguments) -> Result<PenCountAnswer, Box<Problem>> {
    let flock = read(&arguments.flock)?;
    let pens = arguments.pens.as_deref().map(read).transpose()?;
    let groups = arguments.farm.read_groups()?;
    let question = PenCountQuestion {
        flock: &flock,
        pens: pens.as_deref(),
        groups: groups.as_deref(),
        most: arguments.most,
        pen_cost: arguments.pen_cost,
        feed_price_per_t_dm: arguments.feed_price,
        feed_me_mj_per_kg_dm: arguments.feed_me,
    };
    Ok(pen_count(question, &arguments.farm.settings(), arguments.farm.faulty_rows()))
}

fn words(view: &PenCountView) -> String {
    let mut text = format!("{}\n{}\n\n{}\n", view.headline, view.advice, view.chart_title);
    for point in &view.points {
        let mark = if point.is_best { ">" } else { " " };
        let _ = writeln!(text, "{mark} {}", point.words);
    }
    if view.best_pens.is_some() {
        let _ = writeln!(text, "> {}", view.best_words);
    }
    text.push('\n');
    for note in &view.notes {
        let _ = writeln!(text, "{note}");
    }
    let _ = write!(text, "{}\n{}", view.basis, view.caution);
    text
}
