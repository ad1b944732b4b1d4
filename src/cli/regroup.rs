//! `evenfold regroup`: which moves are worth making, from where the ewes stand.

use crate::cli::evaluate::GivenArguments;
use crate::cli::farm_arguments::KeepArguments;
use crate::cli::{DONE, IMPOSSIBLE, WRONG, print};
use crate::farm::regroup::{RegroupAnswer, Wish, regroup};
use crate::farm::settings::Settings;
use clap::Args;
use std::fmt::Write as _;

/// Which moves are worth making, from where the ewes stand.
#[derive(Debug, Args)]
pub(super) struct RegroupArguments {
    #[command(flatten)]
    given: GivenArguments,
    #[command(flatten)]
    kept: KeepArguments,
    /// List the moves for at most so many ewes, whatever pays best.
    #[arg(long)]
    moves: Option<usize>,
    /// What moving a ewe costs, weighted MJ; if left out, reckoned from the intake that a move loses.
    #[arg(long, value_name = "MJ")]
    move_cost: Option<f64>,
    /// Print the whole answer as one JSON document (data/schema/regroup.schema.json).
    #[arg(long)]
    json: bool,
}

/// Asks and prints; the exit code.
pub(super) fn run(arguments: &RegroupArguments) -> u8 {
    let farm = &arguments.given.farm;
    let wish = Wish { moves: arguments.moves, move_cost_mj: arguments.move_cost };
    let answer = arguments
        .given
        .ask(|files, lists| {
            let settings = Settings { keep: arguments.kept.keep.clone(), ..farm.settings() };
            regroup(files, lists, &settings, farm.faulty_rows(), wish)
        })
        .unwrap_or_else(|problem| RegroupAnswer::Refused { problems: vec![*problem] });
    if arguments.json {
        print::out(&answer.to_json());
    }
    match &answer {
        RegroupAnswer::Regrouped(regrouped) => {
            if !arguments.json {
                let view = regrouped.view();
                let mut text = format!("{}\n{}\n\n{}\n", view.headline, view.advice, view.curve_title);
                for point in view.curve.iter().filter(|point| point.in_table) {
                    let _ = writeln!(text, "  {}", point.words);
                }
                if !view.moves.is_empty() {
                    let _ = writeln!(text, "\n{}", view.moves_title);
                }
                for line in &view.moves {
                    let _ = writeln!(text, "  {}", line.words);
                }
                let _ = write!(text, "\n{}\n{}", view.basis, view.caution);
                print::out(&text);
            }
            DONE
        }
        RegroupAnswer::Impossible { shortfall, problems } => {
            if !arguments.json {
                print::problems(problems);
                print::out(&print::impossible(shortfall));
            }
            IMPOSSIBLE
        }
        RegroupAnswer::Refused { problems } => {
            if !arguments.json {
                print::problems(problems);
                print::err(print::refused(problems));
            }
            WRONG
        }
    }
}
