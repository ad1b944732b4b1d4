//! Lists brought into the journal: what was known of the flock before the race.
//!
//! A list says what was known before today, so its entries are of the day before: a ewe on it counts as seen
//! today only once she stands there. Only what is new or otherwise is entered, as one act, so that one undo takes
//! all of it back and bringing the same list again changes nothing.

use crate::day::{DateOrder, Day};
use crate::farm::journal::season::{self, Season};
use crate::farm::journal::{AppendReply, AppendRequest, Book, Name, Now, What};
use crate::farm::view::DateQuestion;
use crate::flock::{Due, Eid, Ewe, MatingGroup};
use crate::io;
use crate::journal::{PenRow, Topic, Value};
use crate::pen::{Face, Pen};
use crate::problem::Problem;
use crate::sort::draft::is_of_earlier_year;
use crate::sort::shortfall::count_words;
use serde::{Deserialize, Serialize};

/// Whose lists, and when.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(deny_unknown_fields)]
pub struct BringRequest {
    /// The device's name.
    pub device: String,
    /// What its clock shows.
    pub now: Now,
    /// The flock's name, to be given with them.
    #[serde(default)]
    #[cfg_attr(target_arch = "wasm32", tsify(optional))]
    pub flock_name: Option<String>,
    /// How to read dates whose day and month could be either way round.
    #[serde(default)]
    #[cfg_attr(target_arch = "wasm32", tsify(optional))]
    pub dates: Option<DateOrder>,
    /// Of which year the flock list is; absent: as its days due tell.
    #[serde(default)]
    #[cfg_attr(target_arch = "wasm32", tsify(optional))]
    pub list_of: Option<ListOf>,
}

/// Of which year a flock list is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "snake_case")]
pub enum ListOf {
    /// Of the ewes who are to come now.
    ThisYear,
    /// Of an earlier year: it says what may come, and nobody on it counts as one of this year's ewes.
    EarlierYear,
}

/// The lists, as bytes.
#[derive(Debug, Clone, Copy, Default)]
pub struct Bringing<'a> {
    /// The flock list.
    pub flock: Option<&'a [u8]>,
    /// The pens.
    pub pens: Option<&'a [u8]>,
    /// The mating groups.
    pub groups: Option<&'a [u8]>,
}

/// What came of it.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct BringReply {
    /// What the journal made of it; null where there is nothing new.
    pub reply: Option<AppendReply>,
    /// How many ewes, pens and groups were read.
    pub words: String,
    /// Rows that could not be read, with the reason and what to do; the rest is in.
    pub problems: Vec<Problem>,
    /// Day or month first? Then nothing was brought in.
    pub question: Option<DateQuestion>,
}

/// Brings lists in, as known before a day; feeding begins on another.
pub(super) fn bring(
    book: &mut Book,
    before: Day,
    on: Day,
    request: BringRequest,
    files: Bringing<'_>,
) -> BringReply {
    let mut problems = Vec::new();
    let mut what = Vec::new();
    if let Some(name) = request.flock_name.filter(|name| !name.trim().is_empty()) {
        what.push(What::FlockNamed { name: name.trim().to_owned() });
    }
    let pens = files.pens.map(io::pens).unwrap_or_default();
    problems.extend(pens.problems);
    let (groups, asks_groups) =
        files.groups.map(|bytes| io::groups(bytes, request.dates)).unwrap_or_default();
    problems.extend(groups.problems);
    let groups_known =
        book.groups_csv().map(|file| io::groups(file.as_bytes(), None).0.records).unwrap_or_default();
    let all_groups = if groups.records.is_empty() { groups_known } else { groups.records.clone() };
    let of_groups = (!all_groups.is_empty()).then_some(all_groups.as_slice());
    let flock = files.flock.map(|bytes| io::flock(bytes, of_groups, request.dates)).unwrap_or_default();
    problems.extend(flock.reading.problems);
    let asked: Vec<io::DateAmbiguity> = asks_groups.into_iter().chain(flock.date_question).collect();
    if let Some(question) = crate::farm::read::question(&asked) {
        return BringReply { reply: None, words: String::new(), problems, question: Some(question) };
    }
    what.extend(pens.records.iter().map(pen));
    what.extend(groups.records.iter().map(group));
    let rows = &flock.reading.records;
    let is_earlier =
        request.list_of.map_or_else(|| is_of_earlier_year(rows, on), |of| of == ListOf::EarlierYear);
    if is_earlier {
        what.extend(rows.iter().filter_map(earlier));
    } else {
        let season = book.season(before);
        what.extend(rows.iter().flat_map(|row| ewe(book, &season, row)));
    }
    let stands = book.journal();
    what.retain(|new| !is_known(stands, new));
    let words = [(rows.len(), "ewe"), (pens.records.len(), "pen"), (groups.records.len(), "group")]
        .into_iter()
        .filter(|(count, _)| *count > 0)
        .map(|(count, noun)| count_words(count, noun))
        .collect::<Vec<_>>()
        .join(", ");
    let words = if words.is_empty() { "Nothing could be read.".to_owned() } else { format!("{words} read.") };
    let words = if is_earlier && !rows.is_empty() {
        format!(
            "{words} The flock list is taken as an earlier year's: it says what may come, and nobody on it counts as \
             one of this year's ewes."
        )
    } else {
        words
    };
    if what.is_empty() {
        return BringReply { reply: None, words, problems, question: None };
    }
    let day = Some(before.min(request.now.day()).plus(-1));
    let append = AppendRequest { device: request.device, now: request.now, by: None, day, what, sure: true };
    BringReply { reply: Some(book.append(append)), words, problems, question: None }
}

fn is_known(journal: &crate::journal::Journal, what: &What) -> bool {
    let state = journal.state();
    match what {
        What::FlockNamed { .. } => state.flock.as_ref().and_then(|event| event.what()) == Some(what),
        What::PenDescribed(_) => state.pens.iter().any(|event| event.what() == Some(what)),
        What::PriorListed { .. } => what.ewe().is_some_and(|name| state.prior_of(&name) == Some(what)),
        What::GroupDescribed { .. } => state.groups.iter().any(|event| event.what() == Some(what)),
        _ => false,
    }
}

fn pen(pen: &Pen) -> What {
    let (trough_m, places) = match pen.face {
        Face::Trough(metres) => (Some(metres.value()), None),
        Face::Places(places) => (None, Some(places)),
    };
    What::PenDescribed(PenRow {
        pen: pen.name.clone(),
        trough_m,
        places,
        area_m2: pen.area.value(),
        feeding: Some(pen.feeding),
        floor: Some(pen.floor),
        blocked_corners: (pen.blocked_corners > 0).then_some(pen.blocked_corners),
        only: pen.only.clone(),
        not: pen.not.clone(),
        max_head: pen.max_head,
    })
}

fn group(group: &MatingGroup) -> What {
    What::GroupDescribed {
        group: group.name.clone(),
        first_day: group.first_day,
        last_day: group.last_day,
        of: group.of,
    }
}

/// Her identifier and her tag.
fn names(row: &Ewe) -> (Option<Eid>, Option<String>) {
    let digits = row.eid.as_deref().map(|eid| eid.chars().filter(|c| !c.is_whitespace()).collect::<String>());
    let eid = digits.as_deref().and_then(Eid::from_digits);
    let tag =
        (!row.tag.trim().is_empty() && digits.as_deref() != Some(row.tag.as_str())).then(|| row.tag.clone());
    (eid, tag)
}

/// A row of an earlier year's list; nothing where it names nobody.
fn earlier(row: &Ewe) -> Option<What> {
    let (eid, tag) = names(row);
    if eid.is_none() && tag.is_none() {
        return None;
    }
    let due = match &row.due {
        Due::On(day) | Due::Between { first: day, .. } => Some(*day),
        Due::Unknown => None,
    };
    let (lambs, score, age) = (row.litter, row.condition, row.age);
    Some(What::PriorListed { eid, tag, lambs, score, age, due, weight_kg: row.weight.map(|kg| kg.value()) })
}

/// What a row says of a ewe and is not on record yet.
fn ewe(book: &Book, season: &Season, row: &Ewe) -> Vec<What> {
    let state = book.journal().state();
    let (eid, tag) = names(row);
    let name = match (&eid, &tag) {
        (Some(eid), _) => Name::Eid(eid.clone()),
        (None, Some(tag)) => Name::Tag(tag.clone()),
        (None, None) => return Vec::new(),
    };
    let known = state.find(&name);
    let stands =
        |topic, new: Value<'_>| known.and_then(|ewe| season::value(ewe, topic, Some(season))) == Some(new);
    let mut what = Vec::new();
    let met = known.is_some_and(|ewe| {
        season.of(ewe).is_of_it() && (tag.is_none() || ewe.tag == tag) && (eid.is_none() || ewe.eid == eid)
    });
    if !met {
        what.push(What::EweMet { eid, tag, read: None });
    }
    if let Some(lambs) = row.litter.filter(|lambs| !stands(Topic::Scanned, Value::Scanned(*lambs))) {
        what.push(What::Scanned { ewe: name.clone(), lambs });
    }
    if let Some(score) = row.condition.filter(|score| !stands(Topic::Condition, Value::Condition(*score))) {
        what.push(What::ConditionScored { ewe: name.clone(), score });
    }
    if let Some(age) = row.age.filter(|age| !stands(Topic::Age, Value::Age(*age))) {
        what.push(What::AgeGiven { ewe: name.clone(), age });
    }
    let (group, due) = match &row.due {
        Due::On(day) => (None, Some(*day)),
        Due::Between { group, .. } => (Some(group.clone()), None),
        Due::Unknown => (None, None),
    };
    if (group.is_some() || due.is_some()) && !stands(Topic::Due, Value::Due(group.as_deref(), due)) {
        what.push(What::DueGiven { ewe: name.clone(), group, due });
    }
    if let Some(weight) = row.weight.filter(|weight| !stands(Topic::Weight, Value::Weight(weight.value()))) {
        what.push(What::Weighed { ewe: name.clone(), weight_kg: weight.value() });
    }
    // A list without that column says nothing of her fleece.
    if row.shorn && !stands(Topic::Fleece, Value::Fleece(true)) {
        what.push(What::FleeceSeen { ewe: name, shorn: true });
    }
    what
}
