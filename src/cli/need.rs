//! `evenfold need`: what one ewe needs a day.

use crate::cli::{DONE, WRONG, need_words, print};
use crate::day::Day;
use crate::farm::need::{ConditionQuestion, DueQuestion, Forage, Housing, NeedQuestion, WeightTaken, need};
use crate::farm::settings::System;
use crate::flock::AgeClass;
use clap::{Args, ValueEnum};

/// What one ewe needs a day.
#[derive(Debug, Args)]
pub(super) struct NeedArguments {
    /// Live weight without the lambs, at mating or scanning, kg.
    #[arg(long)]
    weight: f64,
    /// Lambs carried, 0 to 5.
    #[arg(long)]
    litter: u8,
    /// Days to lambing; term is day 147. Not needed at litter 0, nor with a day of service or scan.
    #[arg(long)]
    days_to_lambing: Option<u32>,
    /// The feeding standard: afrc1993, inra2007, csiro2007 or nrc2007.
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
    /// The weight was taken with the lambs, on the day asked about: take them off.
    #[arg(long)]
    with_lambs: bool,
    /// Weight at condition 3, grown up, kg: what a score weighs is a share of it.
    #[arg(long)]
    mature_weight: Option<f64>,
    /// Where she lives.
    #[arg(long, value_enum, default_value_t = Home::Housed)]
    housing: Home,
    /// Shorn for housing. No equation uses it; the answer says so.
    #[arg(long)]
    shorn: bool,
    /// Clean wool grown, g a day.
    #[arg(long)]
    wool: Option<f64>,
    /// Age class.
    #[arg(long, value_enum, default_value_t = Age::Mature)]
    age: Age,
    /// Age in years, where known.
    #[arg(long)]
    age_years: Option<f64>,
    /// What she is fed on, for the table of intakes.
    #[arg(long, value_enum, default_value_t = Fed::GoodSilage)]
    forage: Fed,
    #[command(flatten)]
    condition: ConditionArguments,
    #[command(flatten)]
    due: DueArguments,
    /// Show every standard side by side, and what they assume differently.
    #[arg(long)]
    compare: bool,
    /// Show how far each figure that is from memory, fitted or often wrong moves the answer.
    #[arg(long)]
    sensitivity: bool,
    /// Show what several sources make of her intake.
    #[arg(long)]
    intake: bool,
    /// Print the answer as one JSON document.
    #[arg(long)]
    json: bool,
}

#[derive(Debug, Args)]
struct ConditionArguments {
    /// Her condition score, 1 to 5 in quarters: adds what reaching her target takes.
    #[arg(long)]
    condition: Option<f64>,
    /// A second person's score on the same day.
    #[arg(long, requires = "condition")]
    second_condition: Option<f64>,
    /// Mean condition of her class: her score is drawn towards it by its error.
    #[arg(long, requires = "condition")]
    class_condition: Option<f64>,
    /// Kind of farm, which decides the target.
    #[arg(long, value_enum, default_value_t = Kind::Lowland)]
    system: Kind,
    /// Whose target at lambing: fas2024, wales2016, teagasc, beef-lamb-nz, cranston2017, lifetimewool,
    /// victoria2017.
    #[arg(long, default_value = "fas2024")]
    target_by: String,
    /// Your own target, in its place.
    #[arg(long, requires = "condition")]
    target: Option<f64>,
    /// kg for a whole score as a share of weight at score 3; 0.10 to 0.19 in print.
    #[arg(long)]
    kg_per_score: Option<f64>,
    /// MJ ME to gain a kg; 38 to 100 in print.
    #[arg(long)]
    mj_per_kg: Option<f64>,
}

#[derive(Debug, Args)]
struct DueArguments {
    /// Day of service, or first day of a raddle colour: 2026-10-20.
    #[arg(long, value_parser = day, requires = "on", conflicts_with = "scanned")]
    service: Option<Day>,
    /// Last day of the colour.
    #[arg(long, value_parser = day, requires = "service")]
    service_until: Option<Day>,
    /// Day of a scan that aged the lambs.
    #[arg(long, value_parser = day, requires = "on", requires = "scanned_age")]
    scanned: Option<Day>,
    /// Days of pregnancy as the scanner put them.
    #[arg(long, requires = "scanned")]
    scanned_age: Option<u32>,
    /// The day asked about.
    #[arg(long, value_parser = day)]
    on: Option<Day>,
    /// Breed class: usual, meat, prolific, finn, hair, fine-wool.
    #[arg(long, default_value = "usual")]
    breed: String,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Home {
    /// Indoors.
    Housed,
    /// Outdoors on lowland.
    Lowland,
    /// Outdoors on a hill.
    Hill,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Age {
    /// In lamb in her first winter.
    EweLamb,
    /// In lamb in her second.
    Shearling,
    /// Older.
    Mature,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Kind {
    /// Lowland ewes.
    Lowland,
    /// Upland ewes.
    Upland,
    /// Hill ewes.
    Hill,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Fed {
    /// Good silage, chopped short.
    GoodSilage,
    /// Good silage, long or in bales.
    GoodSilageLong,
    /// Poor silage.
    PoorSilage,
    /// Average hay.
    Hay,
    /// A mixed ration.
    Mixed,
}

fn day(text: &str) -> Result<Day, String> {
    Day::from_iso(text).ok_or_else(|| "write year, month and day, such as 2027-02-01".to_owned())
}

impl NeedArguments {
    fn question(&self) -> NeedQuestion {
        NeedQuestion {
            weight_taken: if self.with_lambs { WeightTaken::With } else { WeightTaken::Without },
            mature_weight_kg: self.mature_weight,
            standard: self.standard.clone(),
            diet_me_mj_per_kg_dm: self.diet_me,
            growth_g_per_day: self.growth,
            litter_weight_kg: self.litter_weight,
            housing: match self.housing {
                Home::Housed => Housing::Housed,
                Home::Lowland => Housing::Lowland,
                Home::Hill => Housing::Hill,
            },
            shorn: self.shorn,
            wool_g_per_day: self.wool,
            age: match self.age {
                Age::EweLamb => AgeClass::EweLamb,
                Age::Shearling => AgeClass::Shearling,
                Age::Mature => AgeClass::Mature,
            },
            age_years: self.age_years,
            forage: match self.forage {
                Fed::GoodSilage => Forage::GoodSilage,
                Fed::GoodSilageLong => Forage::GoodSilageLong,
                Fed::PoorSilage => Forage::PoorSilage,
                Fed::Hay => Forage::Hay,
                Fed::Mixed => Forage::Mixed,
            },
            condition: self.condition.question(),
            due: self.due.question(),
            compare: self.compare,
            sensitivity: self.sensitivity,
            ..NeedQuestion::new(self.weight, self.litter, self.days_to_lambing)
        }
    }
}

impl ConditionArguments {
    fn question(&self) -> Option<ConditionQuestion> {
        let usual = ConditionQuestion::new(self.condition?);
        Some(ConditionQuestion {
            second_score: self.second_condition,
            class_mean: self.class_condition,
            system: match self.system {
                Kind::Lowland => System::Lowland,
                Kind::Upland => System::Upland,
                Kind::Hill => System::Hill,
            },
            target_by: self.target_by.clone(),
            target: self.target,
            kg_per_score_share: self.kg_per_score.unwrap_or(usual.kg_per_score_share),
            mj_per_kg_gained: self.mj_per_kg.unwrap_or(usual.mj_per_kg_gained),
            ..usual
        })
    }
}

impl DueArguments {
    fn question(&self) -> Option<DueQuestion> {
        Some(DueQuestion {
            on: self.on?,
            since: self.scanned.or(self.service)?,
            until: self.service_until,
            scanned_age_days: self.scanned.and(self.scanned_age),
            breed: self.breed.clone(),
        })
    }
}

/// Answers and prints; the exit code.
pub(super) fn run(arguments: &NeedArguments) -> u8 {
    match need(&arguments.question()) {
        Ok(answer) => {
            print::out(&if arguments.json {
                print::json(&answer)
            } else {
                need_words::need(&answer, arguments.intake)
            });
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
