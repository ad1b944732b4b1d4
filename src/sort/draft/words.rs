//! The reason for a pen, and for holding a ewe, in a line of farm English.

use crate::solve::instance::RESOURCES;
use crate::solve::online::{Company, Item, NoPlace, Offer, Online};
use crate::sort::draft::{Draft, Move, RunnerUp};
use crate::sort::plan::PlannedEwe;
use crate::sort::shortfall::count_words;

/// Misfits nearer than this, weighted MJ, are as good as equal (common practice, no source).
const ALIKE_MJ: f64 = 0.05;
/// From so many in a pen it is said whom she joins, where two in three of them carry alike (our choice, no
/// source).
const ENOUGH: usize = 5;
const RESOURCE_WORDS: [(&str, &str); RESOURCES] = [("trough", "m"), ("floor", "m²")];

/// "Two lambs, thin: with the triplets; 12 places left in pen C."
pub(super) fn reason(
    draft: &Draft,
    ewe: &PlannedEwe,
    (best, runner_up): (&Offer, Option<RunnerUp>),
    places_left: usize,
) -> String {
    let name = |pen: usize| draft.pens[pen].name.as_str();
    let mut words = format!(
        "{}: {}; {} left in pen {}.",
        crate::sort::reason::capital(&who(draft, ewe)),
        company(draft, best.bin),
        count_words(places_left, "place"),
        name(best.bin)
    );
    match runner_up {
        None => words.push_str(" No other pen can take her."),
        Some(next) => {
            let more = next.loss_mj - best.loss;
            let risky = if next.risky { ", and somebody later may find no place" } else { "" };
            if more > ALIKE_MJ {
                words.push_str(&format!(
                    " Next is pen {}: {more:.1} MJ more misfit for her over the period{risky}.",
                    name(next.pen)
                ));
            } else if more < -ALIKE_MJ {
                let because =
                    if next.risky { "somebody later may find no place" } else { "others need its room more" };
                words.push_str(&format!(
                    " Pen {} would suit her better by {:.1} MJ over the period, but {because}.",
                    name(next.pen),
                    -more
                ));
            } else {
                words.push_str(&format!(" Pen {} would suit her as well{risky}.", name(next.pen)));
            }
        }
    }
    words
}

/// "two lambs, thin, late".
fn who(draft: &Draft, ewe: &PlannedEwe) -> String {
    let lambs = match ewe.litter.lambs() {
        1 => "one lamb",
        2 => "two lambs",
        3 => "three lambs",
        4 => "four lambs",
        _ => "five lambs",
    };
    let score = ewe.filled.condition;
    let body = if ewe.ewe.condition.is_none() {
        ", not scored"
    } else if score <= ewe.target - 0.5 {
        ", thin"
    } else if score >= ewe.target + 1.0 {
        ", fat"
    } else {
        ""
    };
    format!("{lambs}{body}, {}", days(ewe.days_to_lambing(draft.settings.on)))
}

fn days(days: u32) -> String {
    match days {
        0 => "due now".to_owned(),
        1..=13 => format!("due in {}", count_words(days as usize, "day")),
        _ => format!("due in {}", count_words((days / 7) as usize, "week")),
    }
}

/// Whom she joins, or what the pen will be fed.
fn company(draft: &Draft, pen: usize) -> String {
    let there: Vec<u8> =
        draft.placed.iter().filter(|(_, other)| *other == pen).map(|(ewe, _)| ewe.litter.lambs()).collect();
    for (lambs, words) in [(1, "with the singles"), (2, "with the twins"), (3, "with the triplets")] {
        let alike = there.iter().filter(|&&other| other.min(3) == lambs).count();
        if there.len() >= ENOUGH && alike * 3 >= there.len() * 2 {
            return words.to_owned();
        }
    }
    draft.online.levels(pen).and_then(<[f64]>::first).map_or_else(
        || "where there is room".to_owned(),
        |level| format!("with those fed about {level:.1} MJ a kg DM"),
    )
}

/// Why no pen can take her.
pub(super) fn hold(
    draft: &Draft,
    online: &Online,
    ewe: &PlannedEwe,
    item: &Item,
    company: &Company,
) -> String {
    let pens: Vec<String> = (0..online.frame().bins.len())
        .filter_map(|pen| {
            let why = online.fits(item, company, pen).err()?;
            let name = &draft.pens[pen].name;
            Some(match why {
                NoPlace::NoSuchBin => format!("there is no pen {name}"),
                NoPlace::NotHere => format!("pen {name} does not take her"),
                NoPlace::Head => format!("pen {name} holds as many as it may"),
                NoPlace::Room(resource) => {
                    let (what, unit) = RESOURCE_WORDS[resource];
                    let left = online.left(pen)[resource] as f64 / 1000.0;
                    format!("pen {name} has {left:.2} {unit} of {what} left")
                }
            })
        })
        .collect();
    let kind = online.frame().bins.first().map_or(0, |bin| bin.space_type);
    let [trough, floor] = ewe.room.get(kind).copied().unwrap_or_default();
    let with = if company.head > 0 {
        format!(", with {} who must share her pen", count_words(company.head, "other ewe"))
    } else {
        String::new()
    };
    format!(
        "hold her: no pen has a place for her (about {:.2} m of trough and {:.2} m² of floor{with}): {}{}",
        f64::from(trough) / 1000.0,
        f64::from(floor) / 1000.0,
        if pens.is_empty() { "there is no pen".to_owned() } else { pens.join(", ") },
        room_made(draft, draft.moves_for(item, company))
    )
}

/// Who moves so that she has a place.
fn room_made(draft: &Draft, moves: Option<(Vec<Move>, usize)>) -> String {
    let name = |pen: usize| draft.pens.get(pen).map_or("", |pen| pen.name.as_str());
    let Some((moves, pen)) = moves else { return String::new() };
    match moves.as_slice() {
        [one] => {
            format!("; move {} to pen {} and there is a place in pen {}", one.tag, name(one.to), name(pen))
        }
        [one, other] => format!(
            "; let {} of pen {} and {} of pen {} change places and there is a place in pen {}",
            one.tag,
            name(one.from),
            other.tag,
            name(other.from),
            name(pen)
        ),
        _ => String::new(),
    }
}

/// Why a ewe may not be put into a pen.
pub(super) fn refused(draft: &Draft, why: NoPlace, pen: usize) -> String {
    let name = draft.pens.get(pen).map_or("", |pen| pen.name.as_str());
    match why {
        NoPlace::NoSuchBin => "There is no such pen.".to_owned(),
        NoPlace::NotHere => {
            format!("Pen {name} does not take her: by her age, by who is in it, or because it is out of use.")
        }
        NoPlace::Head => format!("Pen {name} holds as many as it may."),
        NoPlace::Room(resource) => {
            let (what, unit) = RESOURCE_WORDS[resource];
            let left = draft.online.left(pen)[resource] as f64 / 1000.0;
            format!("Pen {name} has {left:.2} {unit} of {what} left, less than she needs.")
        }
    }
}
