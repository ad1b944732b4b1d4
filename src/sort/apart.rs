//! Ewes that are not sorted, why, and what each still needs: a place and feed.

use crate::day::Day;
use crate::flock::{Ewe, Litter};
use crate::problem::{Problem, Severity};
use crate::quantity::Kg;
use crate::requirement::{Afrc1993, Standard, State, TERM_DAYS};
use crate::sort::gaps::Filled;
use crate::sort::plan::diet;
use crate::sort::settings::Settings;
use crate::sort::space;

/// How far past her due day a ewe may be before her date is taken to be wrong (common practice, no source:
/// the longest gestations met are 159 days, 12 over term).
const MOST_OVERDUE: i32 = 12;

/// A ewe that is not sorted.
#[derive(Debug, Clone, PartialEq)]
pub struct Apart {
    /// Her tag, or her row where it could not be read.
    pub tag: String,
    /// Why.
    pub why: String,
    /// What she still needs.
    pub needs: String,
    /// Her live weight, where she is barren and is to be kept as she is.
    pub kept_at: Option<Kg>,
    /// Her record, where only the scan is missing: until then she is fed.
    pub unscanned: Option<Box<Unscanned>>,
    /// The line of the file.
    pub row: u32,
}

/// A ewe whose litter is not known.
#[derive(Debug, Clone, PartialEq)]
pub struct Unscanned {
    /// Her record.
    pub ewe: Ewe,
    /// The same without gaps but for the litter.
    pub filled: Filled,
    /// The day she is due, as used.
    pub due: Day,
}

/// Lambs for which a ewe is fed until she is scanned (common practice, no source: what most of a lowland flock carries,
/// and short feeding of twins hurts more than full feeding of one).
pub(super) const UNTIL_SCANNED: u8 = 2;

/// What a ewe without lambs takes: used for those set apart.
fn place_words(filled: &Filled, shorn: bool, settings: &Settings) -> String {
    let [trough, area] =
        space::room(filled.weight, shorn, settings.system, settings.horned_trough_percent)[0];
    format!("{:.2} m of trough and {:.1} m²", f64::from(trough) / 1000.0, f64::from(area) / 1000.0)
}

fn need_words(weight: Kg, lambs: u8, days_to_lambing: u32, settings: &Settings) -> Option<String> {
    let state = State::housed(weight, Litter::of(lambs)?, days_to_lambing, diet(settings));
    let need = Afrc1993.need(&state);
    Some(format!("{:.1} MJ ME and {:.0} g MP a day", need.me.value(), need.mp.value()))
}

/// A barren ewe: maintenance, away from the others.
pub(super) fn barren(ewe: &Ewe, filled: &Filled, settings: &Settings) -> Apart {
    let feed = need_words(filled.weight, 0, 0, settings).unwrap_or_default();
    Apart {
        tag: ewe.tag.clone(),
        why: "scanned barren".to_owned(),
        needs: format!(
            "a place ({}) away from the in-lamb ewes, and feed for maintenance: {feed}",
            place_words(filled, ewe.shorn, settings)
        ),
        kept_at: Some(filled.weight),
        unscanned: None,
        row: ewe.row,
    }
}

/// A ewe whose litter is not known.
pub(super) fn unscanned(ewe: &Ewe, filled: &Filled, settings: &Settings) -> Apart {
    let days = filled.due.map_or(0, |due| due.since(settings.on).clamp(0, TERM_DAYS as i32) as u32);
    let feed = need_words(filled.weight, UNTIL_SCANNED, days, settings).unwrap_or_default();
    let datable =
        filled.due.filter(|due| *due >= settings.on && wrong_date(ewe, *due, settings.on).is_none());
    let unscanned = datable.map(|due| Box::new(Unscanned { ewe: ewe.clone(), filled: filled.clone(), due }));
    Apart {
        tag: ewe.tag.clone(),
        why: "no scan result: scan her".to_owned(),
        needs: format!(
            "a place ({}); until she is scanned feed her as if for twins: {feed}",
            place_words(filled, ewe.shorn, settings)
        ),
        kept_at: None,
        unscanned,
        row: ewe.row,
    }
}

/// Neither she nor anybody else has a date.
pub(super) fn no_dates(ewe: &Ewe) -> Problem {
    Problem::cell(
        Severity::Error,
        "no-due-date",
        ("flock", ewe.row, "due"),
        "",
        "No ewe of this flock has a due date or a group, so nothing stands in for hers.",
        "Give a due date, or a group with the groups file.",
    )
    .about(&ewe.tag)
}

/// A ewe whose date is missing or cannot be right.
pub(super) fn undatable(ewe: &Ewe, problem: &Problem) -> Apart {
    Apart {
        tag: ewe.tag.clone(),
        why: problem.message.clone(),
        needs: "the right date or a mating group; until then a place and feed".to_owned(),
        kept_at: None,
        unscanned: None,
        row: ewe.row,
    }
}

/// A due date that cannot be right on the day of the sort.
pub(super) fn wrong_date(ewe: &Ewe, due: Day, on: Day) -> Option<Problem> {
    let days = due.since(on);
    let (code, message, hint) = if days > TERM_DAYS as i32 {
        (
            "due-too-far",
            format!(
                "Due {} lies {days} days after {}, longer than a pregnancy.",
                due.in_words(),
                on.in_words()
            ),
            "Correct the year or the month, or sort on a later day.",
        )
    } else if days < -MOST_OVERDUE {
        (
            "due-past",
            format!("Due {} lies {} days before {}.", due.in_words(), -days, on.in_words()),
            "Correct the date; if she has lambed, take her off the list.",
        )
    } else {
        return None;
    };
    let place = ("flock", ewe.row, "due");
    Some(Problem::cell(Severity::Error, code, place, &due.to_string(), message, hint).about(&ewe.tag))
}
