//! `evenfold need`: what one ewe needs a day.

use crate::cli::{DONE, WRONG, print};
use crate::farm::need::{NeedQuestion, need};
use clap::Args;

/// What one ewe needs a day.
#[derive(Debug, Args)]
pub(super) struct NeedArguments {
    /// Live weight without the lambs, at mating or scanning, kg.
    #[arg(long)]
    weight: f64,
    /// Lambs carried, 0 to 5.
    #[arg(long)]
    litter: u8,
    /// Days to lambing; term is day 147. Not needed at litter 0.
    #[arg(long)]
    days_to_lambing: Option<u32>,
    /// The feeding standard.
    #[arg(long, default_value = "afrc1993")]
    standard: String,
    /// Energy density of the diet, MJ ME a kg DM.
    #[arg(long, default_value_t = 11.5)]
    diet_me: f64,
    /// Growth wanted, g a day.
    #[arg(long, default_value_t = 0.0)]
    growth: f64,
    /// Weight of the whole litter at birth where the farm knows its own, kg.
    #[arg(long)]
    litter_weight: Option<f64>,
    /// Print the answer as one JSON document.
    #[arg(long)]
    json: bool,
}

/// Answers and prints; the exit code.
pub(super) fn run(arguments: &NeedArguments) -> u8 {
    let question = NeedQuestion {
        weight_kg: arguments.weight,
        litter: arguments.litter,
        days_to_lambing: arguments.days_to_lambing,
        standard: arguments.standard.clone(),
        diet_me_mj_per_kg_dm: arguments.diet_me,
        growth_g_per_day: arguments.growth,
        litter_weight_kg: arguments.litter_weight,
    };
    match need(&question) {
        Ok(answer) => {
            print::out(&if arguments.json { print::json(&answer) } else { print::need(&answer) });
            DONE
        }
        Err(problem) => {
            if arguments.json {
                print::out(&print::json(&crate::farm::document::RefusedDocument::new(&[*problem])));
            } else {
                print::problems(&[*problem]);
            }
            WRONG
        }
    }
}
