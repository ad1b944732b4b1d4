//! A plan in words, for the page and the command line.

use crate::day::MONTHS;
use crate::farm::plan::document::{FeedSumEntry, PlanDocument, PlanPenEntry, PlanWeekEntry};
use crate::farm::plan::sheet::{self, PlanLoadView};
use crate::farm::plan::words;
use crate::farm::ration::document::CautionEntry;
use crate::problem::Problem;
use crate::sort::shortfall::count_words;
use serde::Serialize;

/// What the page draws.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct PlanView {
    /// Whether every pen is met, and what it costs.
    pub headline: String,
    /// What goes with it: the way, the pattern, the recipe.
    pub lines: Vec<String>,
    /// The weeks: columns of the calendar.
    pub weeks: Vec<PlanWeekView>,
    /// The pens: its rows.
    pub pens: Vec<PlanPenView>,
    /// The load sheet, in the order of the weeks.
    pub loads: Vec<PlanLoadView>,
    /// Feeds to order and stores.
    pub stores: Vec<PlanStoreView>,
    /// What was loaded and left, where it was told.
    pub happened: Vec<String>,
    /// Feeds on the farm that are not fed, and why.
    pub withheld: Vec<String>,
    /// What may hurt a ewe.
    pub cautions: Vec<CautionEntry>,
    /// What the figures stand on.
    pub basis: String,
    /// The caution that every screen carries.
    pub caution: String,
    /// What is wrong or worth knowing.
    pub problems: Vec<Problem>,
}

/// A week of the calendar.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct PlanWeekView {
    /// "Week 3".
    pub name: String,
    /// "from 15 Feb".
    pub from: String,
}

/// A pen of the calendar.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct PlanPenView {
    /// Its name.
    pub name: String,
    /// "Pen A", or which ewes of no pen.
    pub place: String,
    /// Whether it is no pen.
    pub is_apart: bool,
    /// Ewes on the first day.
    pub head: String,
    /// Room at the trough.
    pub trough: String,
    /// Whether the trough is too short for all.
    pub trough_short: bool,
    /// Its weeks, the first first; it ends with its last lambing.
    pub weeks: Vec<PlanCellView>,
}

/// A pen in one week.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct PlanCellView {
    /// `met`, `near`, `short` or `impossible`.
    pub state: String,
    /// "0.45 kg": concentrate a ewe a day; "none".
    pub title: String,
    /// Concentrate, kg fresh a ewe a day, for a bar.
    pub concentrate_kg: f64,
    /// Feed by feed.
    pub feeds: Vec<PlanFeedView>,
    /// Level, who is served, changes, what is short, water.
    pub words: Vec<String>,
    /// What stops it; in the pen's worst week all that does.
    pub stopped_by: Vec<String>,
    /// Ways out, each tried; only in the pen's worst week.
    pub ways_out: Vec<String>,
}

/// A feed to list.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct PlanFeedView {
    /// Its name.
    pub name: String,
    /// kg fresh, or what else belongs beside it.
    pub words: String,
}

/// A feed over the whole plan.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct PlanStoreView {
    /// The feed.
    pub name: String,
    /// Tonnes, money, what is left or when it is used up.
    pub words: String,
    /// By month, in words.
    pub months: Vec<String>,
    /// Share of the store left after each week; empty where it has no store.
    pub left: Vec<f64>,
}

/// Concentrate under which there is none, kg fresh a ewe a day: half a gram.
const NO_KG: f64 = 0.0005;

pub(super) fn view(document: &PlanDocument) -> PlanView {
    let weeks = document.pens.iter().flat_map(|pen| &pen.weeks);
    let most = document.pens.iter().max_by_key(|pen| pen.weeks.len());
    let short = weeks.clone().filter(|week| matches!(week.status, "short" | "impossible")).count();
    let near = weeks.filter(|week| week.status == "near").count();
    PlanView {
        headline: headline(document, short, near),
        lines: lines(document),
        weeks: most
            .into_iter()
            .flat_map(|pen| &pen.weeks)
            .map(|week| PlanWeekView {
                name: format!("Week {}", week.week),
                from: format!("from {}", week.first_day.short()),
            })
            .collect(),
        pens: document.pens.iter().map(pen).collect(),
        loads: sheet::loads(document),
        stores: document.feeds.iter().map(store).collect(),
        happened: document.happened.iter().map(|happened| happened.words.clone()).collect(),
        withheld: document.withheld.iter().map(|held| format!("{}: {}", held.feed, held.words)).collect(),
        cautions: document.cautions.clone(),
        basis: document.basis.clone(),
        caution: document.caution.to_owned(),
        problems: document.problems.clone(),
    }
}

fn headline(document: &PlanDocument, short: usize, near: usize) -> String {
    let until = document.last_day.in_words();
    let pens = document.pens.iter().filter(|pen| !pen.is_apart()).count();
    let apart = |is_it: fn(&PlanPenEntry) -> bool, what: &str| {
        let head: u32 = document.pens.iter().filter(|pen| is_it(pen)).map(|pen| pen.head).sum();
        (head > 0).then(|| count_words(head as usize, what))
    };
    let apart = [apart(|pen| pen.is_unscanned, "unscanned ewe"), apart(|pen| pen.is_barren, "barren ewe")];
    let mut fed = count_words(pens, "pen");
    let mut apart = apart.into_iter().flatten().peekable();
    while let Some(words) = apart.next() {
        fed.push_str(if apart.peek().is_some() { ", " } else { " and " });
        fed.push_str(&words);
    }
    let state = match short {
        0 if near > 0 => "no pen short in any week".to_owned(),
        0 => "every week met".to_owned(),
        1 => "one pen short in one week".to_owned(),
        _ => {
            let all: usize = document.pens.iter().map(|pen| pen.weeks.len()).sum();
            format!("{short} of {all} weekly pen rations fall short")
        }
    };
    let state = match near {
        0 => state,
        near => format!("{state}, {near} more within what can be weighed"),
    };
    let weeks = || document.pens.iter().flat_map(|pen| &pen.weeks);
    let unsafe_weeks = weeks().filter(|week| week.status == "impossible").count();
    if unsafe_weeks > 0 && unsafe_weeks == weeks().count() {
        return format!(
            "Nothing can be fed safely of these feeds, in no week to {until}: each pen says below what is missing"
        );
    }
    let state = match unsafe_weeks {
        0 => state,
        1 => format!("{state}, one of them with nothing that is safe"),
        many => format!("{state}, {many} of them with nothing that is safe"),
    };
    format!(
        "{fed} fed to {until}: {state}; {:.0} in money, {:.2} a ewe",
        document.money, document.money_per_ewe
    )
}

fn lines(document: &PlanDocument) -> Vec<String> {
    let way = crate::ration::Way::ALL.into_iter().find(|(_, id)| *id == document.way);
    let mut lines = vec![format!(
        "Fed as {}; {:.0} kg of concentrate a ewe in all.",
        way.map_or("", |(way, _)| way.in_words()),
        document.concentrate_kg_per_ewe
    )];
    lines.push(match document.pattern {
        "flat" => "The same concentrate every week: short late is made up early. In a published trial flat and stepped \
                   feeding gave the same ewes and lambs; flat suits pens that lamb over many weeks."
            .to_owned(),
        _ => "Concentrate goes with each week's need. A flat plan can be asked for too: in a published trial both gave \
              the same ewes and lambs."
            .to_owned(),
    });
    lines.extend(words::short_in_all(document));
    if !document.recipe.is_empty() {
        let parts: Vec<String> =
            document.recipe.iter().map(|part| format!("{:.0} % {}", 100.0 * part.share, part.feed)).collect();
        lines.push(format!(
            "One recipe of concentrate for all: {}. Only how much is fed changes.",
            parts.join(", ")
        ));
    }
    lines
}

fn pen(entry: &PlanPenEntry) -> PlanPenView {
    PlanPenView {
        name: entry.pen.clone(),
        place: words::place(entry),
        is_apart: entry.is_apart(),
        head: count_words(entry.head as usize, "ewe"),
        trough: entry.trough.words.clone(),
        trough_short: entry.trough.needed_m > entry.trough.there_m + 0.005,
        weeks: entry.weeks.iter().map(cell).collect(),
    }
}

fn cell(week: &PlanWeekEntry) -> PlanCellView {
    let is_fed = week.status != "impossible";
    let mut lines = vec![words::level(week)];
    if is_fed {
        lines.push(words::served(week));
    }
    lines.extend(words::short(week));
    lines.extend(words::changes(week));
    if is_fed {
        let [low, high] = week.water_litres_per_day;
        lines.push(format!("Water: {low:.0} to {high:.0} l a day for the pen, always there and clean."));
    }
    let gone = week.head.first().copied().unwrap_or(0) - week.head.last().copied().unwrap_or(0);
    if week.head.len() > 1 && gone > 0 {
        lines
            .push(format!("{} due this week: load for those still here.", count_words(gone as usize, "ewe")));
    }
    PlanCellView {
        state: week.status.to_owned(),
        title: match is_fed {
            false => "none safe".to_owned(),
            true if week.concentrate_kg_fresh < NO_KG => "none".to_owned(),
            true => words::kg(week.concentrate_kg_fresh),
        },
        concentrate_kg: week.concentrate_kg_fresh,
        feeds: week
            .feeds
            .iter()
            .map(|feed| PlanFeedView {
                name: feed.feed.clone(),
                words: format!(
                    "{}{}",
                    words::kg(feed.kg_fresh),
                    if feed.is_always_there { ", always there" } else { "" }
                ),
            })
            .collect(),
        words: lines,
        stopped_by: week.stopped_by.clone(),
        ways_out: week.ways_out.iter().map(|way| way.words.clone()).collect(),
    }
}

/// "February" of `2027-02`.
fn month_name(month: &str) -> &str {
    let number = month.rsplit('-').next().and_then(|text| text.parse::<usize>().ok());
    number.and_then(|number| MONTHS.get(number.checked_sub(1)?)).copied().unwrap_or(month)
}

fn store(entry: &FeedSumEntry) -> PlanStoreView {
    let share = |left: &f64| entry.stock_t.filter(|stock| *stock > 0.0).map_or(0.0, |stock| left / stock);
    PlanStoreView {
        name: entry.feed.clone(),
        words: entry.words.clone(),
        months: entry
            .months
            .iter()
            .map(|month| {
                let used = words::tonnes(month.used_t);
                format!("{}: {used}, {}", month_name(&month.month), words::money(month.money))
            })
            .collect(),
        left: entry.left_after_week_t.iter().map(share).collect(),
    }
}
