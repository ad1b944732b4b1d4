//! A card in words: what stands on it, and how good it is.

use crate::farm::card::beyond::beyond;
use crate::farm::card::{CardAnswer, CardSheet};
use crate::farm::view::{DateQuestion, ImpossibleView};
use crate::farm::{CAUTION, present};
use crate::problem::Problem;
use crate::sort::card::judge::share;
use crate::sort::card::{
    Branch, Feature, Kind, PointLine, Rules, Span, days_words, points_words, span_words, write,
};
use crate::sort::shortfall::count_words;
use serde::Serialize;

/// The answer to "find a card for this flock".
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum CardReply {
    /// A card and how good it is.
    Card {
        /// What to draw.
        view: Box<CardView>,
        /// What is wrong or worth knowing in the files.
        problems: Vec<Problem>,
    },
    /// The pens cannot hold the flock.
    Impossible {
        /// What to say.
        view: ImpossibleView,
    },
    /// Something must be put right or answered first.
    Unreadable {
        /// One line for the top.
        headline: String,
        /// What is wrong.
        problems: Vec<Problem>,
        /// Day or month first?
        question: Option<DateQuestion>,
    },
}

/// The answer as the page draws it.
pub(super) fn reply(answer: &CardAnswer) -> CardReply {
    match answer {
        CardAnswer::Card(sheet) => {
            CardReply::Card { view: Box::new(view(sheet)), problems: sheet.problems.clone() }
        }
        CardAnswer::Impossible { shortfall, problems } => {
            CardReply::Impossible { view: present::impossible(shortfall, problems) }
        }
        CardAnswer::Refused { problems, question } => CardReply::Unreadable {
            headline: present::refused_headline("There is no card", problems, question.is_some()),
            problems: problems.clone(),
            question: question.clone(),
        },
    }
}

/// A card, ready to draw.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct CardView {
    /// "Points card".
    pub title: String,
    /// "For 917 ewes in 6 pens, fed from 1 February 2027 for 21 days".
    pub lead: String,
    /// How the card is used, in a line.
    pub how: String,
    /// Points, a table for each thing looked at; empty on a tree.
    pub tables: Vec<CardTable>,
    /// Which totals go to which pen; empty on a tree.
    pub totals: Vec<CardRow>,
    /// The questions; empty on a points card.
    pub questions: Vec<CardQuestionLine>,
    /// Where ewe lambs go that are kept apart; empty where there are none.
    pub ewe_lambs: String,
    /// What else a person must know to use it.
    pub rules: Vec<String>,
    /// How good it is.
    pub figures: Vec<CardFigure>,
    /// The card in its written form, which can be edited and tried.
    pub text: String,
    /// The caution that every screen and print carries.
    pub caution: String,
}

/// A table of points.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct CardTable {
    /// What is looked at: "Lambs".
    pub title: String,
    /// Its lines.
    pub rows: Vec<CardRow>,
}

/// A line of a table.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct CardRow {
    /// Whom it is for: "3 or more", "blue, by 17 Mar".
    pub label: String,
    /// What follows: "6", "pen C".
    pub value: String,
}

/// A question of a tree.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct CardQuestionLine {
    /// Its number.
    pub number: u32,
    /// "Lambs: 3 or more?"
    pub question: String,
    /// "pen B", "question 2".
    pub yes: String,
    /// The same for no.
    pub no: String,
}

/// A figure with its words.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct CardFigure {
    /// What it is.
    pub name: String,
    /// The figure: "91 %".
    pub value: String,
    /// What it means.
    pub words: String,
}

pub(super) fn view(sheet: &CardSheet) -> CardView {
    let (mut tables, mut totals, mut questions) = (Vec::new(), Vec::new(), Vec::new());
    match &sheet.card.rules {
        Rules::Points { lines, totals: cuts } => {
            tables = Feature::ALL.into_iter().filter_map(|feature| table(feature, lines)).collect();
            let total = |span: Span| match (span.from, span.to) {
                (Some(from), Some(to)) if from == to => points_words(to),
                (Some(from), Some(to)) => {
                    format!("{} to {}", span_words(None, Span::one(from)), points_words(to))
                }
                (None, Some(to)) => format!("{} or less", points_words(to)),
                (Some(from), None) => format!("{} or more", points_words(from)),
                (None, None) => "any total".to_owned(),
            };
            totals = cuts
                .iter()
                .map(|line| CardRow { label: total(line.span), value: format!("pen {}", line.pen) })
                .collect();
        }
        Rules::Tree { questions: asked } => {
            let leads = |branch: &Branch| match branch {
                Branch::Pen(pen) => format!("pen {pen}"),
                Branch::Question(number) => format!("question {number}"),
            };
            questions = asked
                .iter()
                .map(|question| CardQuestionLine {
                    number: question.number,
                    question: format!(
                        "{}: {}?",
                        title(question.feature),
                        labelled(question.feature, question.span, &question.label)
                    ),
                    yes: leads(&question.yes),
                    no: leads(&question.no),
                })
                .collect();
        }
    }
    CardView {
        title: match (sheet.card.kind(), sheet.tried) {
            (Kind::Points, false) => "Points card".to_owned(),
            (Kind::Points, true) => "Points card, tried".to_owned(),
            (Kind::Tree, false) => "Card of questions".to_owned(),
            (Kind::Tree, true) => "Card of questions, tried".to_owned(),
        },
        lead: format!(
            "For {} in {}, fed from {} for {}.",
            count_words(sheet.plan.ewes.len(), "ewe"),
            count_words(sheet.plan.pens.len(), "pen"),
            sheet.plan.settings.on.in_words(),
            count_words(sheet.plan.days.len(), "day"),
        ),
        how: match sheet.card.kind() {
            Kind::Points => "Add up her points; the total names her pen.".to_owned(),
            Kind::Tree => "Begin with question 1; the last answer names her pen.".to_owned(),
        },
        tables,
        totals,
        questions,
        ewe_lambs: ewe_lambs(sheet),
        rules: rules(sheet),
        figures: figures(sheet),
        text: text(sheet),
        caution: CAUTION.to_owned(),
    }
}

/// The written form with how good the card is as remarks.
pub(super) fn text(sheet: &CardSheet) -> String {
    let mut remarks: Vec<String> = figures(sheet)
        .into_iter()
        .map(|figure| format!("{}: {}. {}", figure.name, figure.value, figure.words))
        .collect();
    remarks.push(CAUTION.to_owned());
    write(&sheet.card, &remarks)
}

const fn title(feature: Feature) -> &'static str {
    match feature {
        Feature::Lambs => "Lambs",
        Feature::Condition => "Condition",
        Feature::Due => "Due",
        Feature::Weight => "Weight",
    }
}

fn table(feature: Feature, lines: &[PointLine]) -> Option<CardTable> {
    let rows: Vec<CardRow> = lines
        .iter()
        .filter(|line| line.feature == feature)
        .map(|line| CardRow {
            label: labelled(feature, line.span, &line.label),
            value: span_words(None, Span::one(line.half_points)),
        })
        .collect();
    (!rows.is_empty()).then(|| CardTable { title: title(feature).to_owned(), rows })
}

/// A span with its name in front: "blue, by 17 Mar".
fn labelled(feature: Feature, span: Span, label: &str) -> String {
    let words = if feature == Feature::Due { days_words(span) } else { span_words(Some(feature), span) };
    if label.is_empty() { words } else { format!("{label}, {words}") }
}

fn ewe_lambs(sheet: &CardSheet) -> String {
    match (sheet.apart(), sheet.card.ewe_lambs.as_slice()) {
        (0, _) | (_, []) => String::new(),
        (_, [pen]) => format!("Ewe lambs: pen {pen}, whatever else is known of them."),
        (_, pens) => format!(
            "Ewe lambs: pen {}, one after another as each is full, whatever else is known of them.",
            pens.join(", pen ")
        ),
    }
}

fn rules(sheet: &CardSheet) -> Vec<String> {
    let asks = |feature: Feature| match &sheet.card.rules {
        Rules::Points { lines, .. } => lines.iter().any(|line| line.feature == feature),
        Rules::Tree { questions } => questions.iter().any(|question| question.feature == feature),
    };
    let mut rules = Vec::new();
    if asks(Feature::Condition) {
        rules.push("A quarter score counts as the half below it.".to_owned());
    }
    if asks(Feature::Due) {
        rules.push("A ewe of whom only her mating group is known counts by its first day.".to_owned());
    }
    if asks(Feature::Weight) {
        rules.push("Weight is without the lambs, at mating or scanning, in whole kg.".to_owned());
    }
    if let [_, .., _] = sheet.card.pens.as_slice() {
        rules.push(format!(
            "Where her pen is full, take the next pen to the right in this row, and where all to the right are \
             full, the nearest to the left: {}.",
            sheet.card.pens.join(", ")
        ));
    }
    rules.extend(beyond(&sheet.plan).into_iter().map(|note| note.message));
    rules
}

fn figures(sheet: &CardSheet) -> Vec<CardFigure> {
    let all = &sheet.figures;
    let of = |misfit: f64| share(all.one_ration_mj, misfit, all.optimum.misfit_mj);
    let percent = |share: Option<f64>| {
        share.map_or_else(|| "none".to_owned(), |share| format!("{:.0} %", 100.0 * share))
    };
    let figure =
        |name: &str, value: String, words: String| CardFigure { name: name.to_owned(), value, words };
    let mut figures = vec![figure(
        "On this flock",
        percent(of(all.card.misfit_mj)),
        match of(all.card.misfit_mj) {
            Some(_) => {
                "Of what sorting can gain over one ration for all, the card takes this share.".to_owned()
            }
            None => "Sorting gains nothing here: one ration does as well.".to_owned(),
        },
    )];
    if let Some(halves) = &all.halves {
        figures.push(figure(
            "On ewes that it was not found with",
            percent(halves.card_share()),
            "Found on half of the flock and judged on the other half, both ways round: expect this of ewes \
             still to come."
                .to_owned(),
        ));
    } else if sheet.tried {
        let found = all
            .found
            .map(|found| format!(" A card found for this flock takes {}.", percent(of(found.misfit_mj))));
        figures.push(figure(
            "Tried",
            "as written".to_owned(),
            format!("Nothing of it was fitted to this flock.{}", found.unwrap_or_default()),
        ));
    } else {
        figures.push(figure(
            "On ewes that it was not found with",
            "not known".to_owned(),
            "Half of this flock could not be sorted alone, so the card could not be put to the test."
                .to_owned(),
        ));
    }
    if let Some(litter) = all.litter_only {
        let out = all
            .halves
            .as_ref()
            .map(|halves| format!(" On ewes not seen before: {}.", percent(halves.litter_only_share())));
        figures.push(figure(
            "Sorting by lambs alone",
            percent(of(litter.misfit_mj)),
            format!("The best that lambs alone can do here.{}", out.unwrap_or_default()),
        ));
    }
    figures.push(better(sheet));
    figures.push(figure(
        "Short by more than a tenth on some day",
        count_words(all.card.short, "ewe"),
        format!("By the sort: {}.", count_words(all.optimum.short, "ewe")),
    ));
    figures.push(figure(
        "Fed above need",
        format!("{:.0} MJ", all.card.fed_over_need_mj),
        format!("In the whole period; by the sort {:.0} MJ.", all.optimum.fed_over_need_mj),
    ));
    figures.push(figure(
        "In another pen than by the sort",
        count_words(sheet.moves, "ewe"),
        format!(
            "{} found the pen full and went on; {} moved at the end.",
            count_words(sheet.run.spilled, "ewe"),
            count_words(sheet.run.put_right, "ewe"),
        ),
    ));
    figures
}

/// By how much the sort is better.
fn better(sheet: &CardSheet) -> CardFigure {
    let (card, optimum) = (sheet.figures.card.misfit_mj, sheet.figures.optimum.misfit_mj);
    let words = if optimum > 0.0 && card > optimum {
        format!(
            "The tablet's sort has the least misfit found; the card has {:.2} times as much ({:.0} against \
             {:.0} weighted MJ over the period).",
            card / optimum,
            card,
            optimum
        )
    } else {
        "The card does as well as the tablet's sort here.".to_owned()
    };
    CardFigure {
        name: "The sort is better by".to_owned(),
        value: format!("{:.0} MJ", (card - optimum).max(0.0)),
        words,
    }
}
