//! `evenfold card`: rules for the race that need no tablet, and how good they are.

use crate::cli::farm_arguments::{FarmArguments, KeepArguments, file_problem, read};
use crate::cli::{DONE, IMPOSSIBLE, WRONG, print};
use crate::farm::Files;
use crate::farm::card::{CardAnswer, CardQuestion, CardView, Kind, card};
use crate::farm::settings::Settings;
use crate::problem::Problem;
use clap::{Args, ValueEnum};
use std::fmt::Write as _;
use std::path::PathBuf;

/// A rule card for the race: points or three questions that name each ewe's pen without the tablet.
#[derive(Debug, Args)]
pub(super) struct CardArguments {
    /// The flock list, CSV or XLSX: tag, litter, condition, due or group, age, weight_kg, ...
    flock: PathBuf,
    /// The pens, CSV or XLSX: pen, trough_m or places, area_m2, feeding, floor, ...
    #[arg(long)]
    pens: PathBuf,
    #[command(flatten)]
    farm: FarmArguments,
    #[command(flatten)]
    kept: KeepArguments,
    /// What kind of card to find.
    #[arg(long, value_enum, default_value = "points")]
    kind: CardKind,
    /// Let the card ask for weight: only where ewes are weighed at the race.
    #[arg(long)]
    weight_classes: bool,
    /// Try this card on the flock instead of finding one.
    #[arg(long = "try", value_name = "CARD.txt")]
    tried: Option<PathBuf>,
    /// Write the card to this file, to print or to edit.
    #[arg(long, value_name = "CARD.txt")]
    write: Option<PathBuf>,
    /// Print the whole answer as one JSON document (data/schema/card.schema.json).
    #[arg(long)]
    json: bool,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum CardKind {
    /// Points for lambs, condition and due date; pens cut on the sum.
    Points,
    /// At most three yes/no questions.
    Tree,
}

/// Finds or tries a card and prints; the exit code.
pub(super) fn run(arguments: &CardArguments) -> u8 {
    let answer = answer(arguments)
        .unwrap_or_else(|problem| CardAnswer::Refused { problems: vec![*problem], question: None });
    if arguments.json {
        print::out(&answer.to_json());
    }
    match &answer {
        CardAnswer::Card(sheet) => {
            if !arguments.json {
                print::out(&words(&sheet.view()));
            }
            let Some(path) = &arguments.write else { return DONE };
            match std::fs::write(path, sheet.text()) {
                Ok(()) => DONE,
                Err(fault) => {
                    let hint = "Check that the folder can be written.";
                    print::problems(&[*file_problem("not-written", path, &fault, hint)]);
                    WRONG
                }
            }
        }
        CardAnswer::Impossible { shortfall, problems } => {
            if !arguments.json {
                print::problems(problems);
                print::err(&print::impossible(shortfall));
            }
            IMPOSSIBLE
        }
        CardAnswer::Refused { problems, .. } => {
            if !arguments.json {
                print::problems(problems);
            }
            WRONG
        }
    }
}

fn answer(arguments: &CardArguments) -> Result<CardAnswer, Box<Problem>> {
    let flock = read(&arguments.flock)?;
    let pens = read(&arguments.pens)?;
    let groups = arguments.farm.read_groups()?;
    let tried = arguments.tried.as_deref().map(read).transpose()?;
    let tried = tried.map(|bytes| String::from_utf8_lossy(&bytes).into_owned());
    let question = CardQuestion {
        kind: match arguments.kind {
            CardKind::Points => Kind::Points,
            CardKind::Tree => Kind::Tree,
        },
        weight_classes: arguments.weight_classes,
        tried: tried.as_deref(),
    };
    let files = Files { flock: &flock, pens: &pens, groups: groups.as_deref() };
    let settings = Settings { keep: arguments.kept.keep.clone(), ..arguments.farm.settings() };
    Ok(card(files, &settings, arguments.farm.faulty_rows(), question))
}

/// The card laid out for a terminal.
fn words(view: &CardView) -> String {
    let mut text = format!("{}\n{}\n{}\n\n", view.title, view.lead, view.how);
    for table in &view.tables {
        let rows: Vec<String> =
            table.rows.iter().map(|row| format!("{} = {}", row.label, row.value)).collect();
        let _ = writeln!(text, "  {}: {}", table.title, rows.join("; "));
    }
    for row in &view.totals {
        let _ = writeln!(text, "  {}: {}", row.label, row.value);
    }
    for line in &view.questions {
        let _ = writeln!(text, "  {}. {} Yes: {}. No: {}.", line.number, line.question, line.yes, line.no);
    }
    if !view.ewe_lambs.is_empty() {
        let _ = writeln!(text, "  {}", view.ewe_lambs);
    }
    for rule in &view.rules {
        let _ = writeln!(text, "  {rule}");
    }
    text.push('\n');
    for figure in &view.figures {
        let _ = writeln!(text, "{}: {}. {}", figure.name, figure.value, figure.words);
    }
    let _ = write!(text, "\n{}\n", view.caution);
    text
}
