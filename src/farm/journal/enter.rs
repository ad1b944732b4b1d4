//! Entering what was seen or decided; what is asked or refused first.
//!
//! What cannot be is refused. What hardly ever is, or could be a slip, is asked: the same request with `sure`
//! enters it. Limits of figures are those of the files (`io`), asked there by writing a row and reading it.

use crate::arrange::Arrange as _;
use crate::day::Day;
use crate::farm::journal::document::EweState;
use crate::farm::journal::{files, look, report, words};
use crate::io;
use crate::journal::{Entering, EventId, Journal, Name, Now, Topic, Value, What};
use crate::problem::{Problem, Severity};
use serde::{Deserialize, Serialize};

/// What to enter, and in what circumstances.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(deny_unknown_fields)]
pub struct AppendRequest {
    /// The device's name, its own among all devices: letters, digits, `-` and `_`.
    pub device: String,
    /// What its clock shows.
    pub now: Now,
    /// Who enters it.
    #[serde(default)]
    #[cfg_attr(target_arch = "wasm32", tsify(optional))]
    pub by: Option<String>,
    /// The day that it is about, where it is not today.
    #[serde(default)]
    #[cfg_attr(target_arch = "wasm32", tsify(optional, type = "string"))]
    pub day: Option<Day>,
    /// What is entered, as one act.
    pub what: Vec<What>,
    /// Whether what was asked about is meant so.
    #[serde(default)]
    #[cfg_attr(target_arch = "wasm32", tsify(optional))]
    pub sure: bool,
}

/// A line of the journal's file, to be stored.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct EventLine {
    /// The event's name.
    pub id: String,
    /// The line, without its end.
    pub line: String,
}

/// What is otherwise than before.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct Changed {
    /// The ewes meant, as they are now.
    pub ewes: Vec<EweState>,
}

/// What came of it.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum AppendReply {
    /// Entered.
    Appended {
        /// The lines to store, before anything is shown as saved.
        lines: Vec<EventLine>,
        /// What is otherwise than before.
        changed: Changed,
        /// Worth knowing.
        problems: Vec<Problem>,
    },
    /// Nothing was entered: is it meant so? The same request with `sure` enters it.
    Asked {
        /// What is in question.
        questions: Vec<Problem>,
    },
    /// Nothing was entered: it cannot be.
    Refused {
        /// Why.
        problems: Vec<Problem>,
    },
}

/// Enters, asks or refuses.
pub(super) fn append(journal: &mut Journal, request: AppendRequest) -> AppendReply {
    let day = request.day.unwrap_or_else(|| request.now.day());
    let mut found: Vec<Problem> = device_fault(&request.device).into_iter().collect();
    if request.what.is_empty() {
        let hint = "Enter something about her first.";
        found.push(Problem::new(
            Severity::Error,
            "nothing-entered",
            "the entry",
            "There is nothing in it.",
            hint,
        ));
    }
    found.extend(day_doubt(journal, &request.device, day, request.now.day()));
    for what in &request.what {
        found.extend(fault(what));
        found.extend(doubt(journal, what, day, &request.device));
    }
    let errors: Vec<Problem> = found.iter().filter(|problem| problem.is_error()).cloned().collect();
    if !errors.is_empty() {
        return AppendReply::Refused { problems: errors };
    }
    let questions: Vec<Problem> =
        found.iter().filter(|problem| problem.severity == Severity::Warning).cloned().collect();
    if !questions.is_empty() && !request.sure {
        return AppendReply::Asked { questions };
    }
    let entering = Entering {
        device: request.device,
        now: request.now,
        by: request.by.filter(|by| !by.trim().is_empty()),
        day: request.day,
    };
    appended(journal, &entering, request.what, found)
}

/// Enters what has been checked, and says what is otherwise.
pub(super) fn appended(
    journal: &mut Journal,
    entering: &Entering,
    whats: Vec<What>,
    problems: Vec<Problem>,
) -> AppendReply {
    let mut names: Vec<Name> = Vec::new();
    let undone = whats.iter().filter_map(|what| match what {
        What::Undone { events } => Some(events),
        _ => None,
    });
    let about = |id: &EventId| journal.event(id).and_then(|event| event.what().and_then(What::ewe));
    names.extend(undone.flatten().filter_map(about));
    names.extend(whats.iter().filter_map(What::ewe));
    names.arrange_by(Ord::cmp);
    names.dedup();
    let added = journal.append(entering, whats);
    if added.is_empty() {
        let message = "The device has no number left for another entry.";
        let hint = "Give the device another name in the settings.";
        let problem = Problem::new(Severity::Error, "device-name", "the device", message, hint);
        return AppendReply::Refused { problems: vec![problem] };
    }
    let state = journal.state();
    let mut ewes: Vec<EweState> = Vec::new();
    for ewe in names.iter().filter_map(|name| state.find(name)).map(report::ewe) {
        if !ewes.contains(&ewe) {
            ewes.push(ewe);
        }
    }
    AppendReply::Appended {
        lines: added
            .iter()
            .map(|entry| EventLine { id: entry.event.id.to_string(), line: entry.line.clone() })
            .collect(),
        changed: Changed { ewes },
        problems,
    }
}

/// Why a device cannot be called so.
pub(super) fn device_fault(device: &str) -> Option<Problem> {
    (!EventId::is_device(device)).then(|| {
        let message = "The device needs a name of its own, of letters, digits, - and _, at most 40.";
        Problem::new(Severity::Error, "device-name", "the device", message, "Give it one in the settings.")
    })
}

fn question(code: &str, subject: impl Into<String>, message: impl Into<String>, hint: &str) -> Problem {
    Problem::new(Severity::Warning, code, subject, message, hint)
}

/// A tablet whose date is wrong shows by a day before one that it entered earlier, or far from today.
fn day_doubt(journal: &Journal, device: &str, day: Day, today: Day) -> Option<Problem> {
    if day > today {
        let message = format!("{} is after today, {}.", day.in_words(), today.in_words());
        return Some(question("day-to-come", "the day", message, "Check the day."));
    }
    if day < today {
        // Chosen by hand: entered from paper, say.
        return None;
    }
    let last = journal.entries().rev().find(|entry| entry.event.id.device == device)?.event.day;
    (day < last).then(|| {
        let message = format!(
            "The device says that today is {}, but its last entry was on {}.",
            day.in_words(),
            last.in_words()
        );
        question(
            "day-before-last",
            "the day",
            message,
            "Check the device's date. The order of entries is kept either way.",
        )
    })
}

/// What cannot be, or hardly ever is, by itself.
fn fault(what: &What) -> Vec<Problem> {
    if let Some(fault) = what.fault() {
        let message = format!("It cannot be entered: {fault}.");
        let subject =
            what.ewe().map_or_else(|| "the entry".to_owned(), |ewe| format!("ewe {}", words::name(&ewe)));
        return vec![Problem::new(Severity::Error, "entry-cannot-be", subject, message, "Correct it.")];
    }
    let mut problems = match what {
        // A weight that the files would refuse is asked all the same: the scales have said it.
        What::Weighed { weight_kg, .. } => {
            let file = files::weight_file(*weight_kg);
            let found = io::flock(file.as_bytes(), None, None).reading.problems;
            found.into_iter().map(|problem| Problem { severity: Severity::Warning, ..problem }).collect()
        }
        What::PenDescribed(row) => io::pens(files::pen_file(row).as_bytes()).problems,
        What::GroupDescribed { .. } => {
            let file = files::group_file(what).unwrap_or_default();
            io::groups(file.as_bytes(), None).0.problems
        }
        _ => Vec::new(),
    };
    for problem in &mut problems {
        // There is no file: the place is the entry itself.
        let column = problem.column.clone().unwrap_or_else(|| "the entry".to_owned());
        (problem.file, problem.row, problem.tag) = (None, None, None);
        problem.subject = column;
    }
    problems
}

/// What is in question, or cannot be, because of what is known.
fn doubt(journal: &Journal, what: &What, day: Day, here: &str) -> Vec<Problem> {
    match what {
        What::IdentitySet { ewe, eid, tag } => {
            let eid = eid.clone().map(Name::Eid);
            let names = eid.into_iter().chain(tag.clone().map(Name::Tag));
            names.filter_map(|name| taken(journal, ewe, &name)).collect()
        }
        What::EweMet { eid: Some(eid), tag: Some(tag), .. } => {
            taken(journal, &Name::Eid(eid.clone()), &Name::Tag(tag.clone())).into_iter().collect()
        }
        What::PenGiven { ewe, pen, .. } => no_such_pen(journal, ewe, pen).into_iter().collect(),
        What::Settled { ewe, holds, over } => {
            let fits = std::iter::once(holds).chain(over).all(|id| is_reading_of(journal, ewe, id));
            if fits { Vec::new() } else { vec![not_hers(ewe)] }
        }
        What::Undone { events } => {
            let unknown = events.iter().find(|id| journal.event(id).is_none());
            let problem = |id: &EventId| {
                let message = format!("There is no entry {id}.");
                let hint = "Choose one from the list of the last acts.";
                Problem::new(Severity::Error, "nothing-to-undo", "undo", message, hint)
            };
            unknown.map(problem).into_iter().collect()
        }
        _ => read_already(journal, what, day, here).into_iter().collect(),
    }
}

/// Another reading of the same thing today: a correction, or another ewe?
fn read_already(journal: &Journal, what: &What, day: Day, here: &str) -> Option<Problem> {
    let topic =
        Topic::of(what).filter(|topic| matches!(topic, Topic::Scanned | Topic::Condition | Topic::Weight))?;
    let name = what.ewe()?;
    let ewe = journal.state().find(&name)?;
    let standing = ewe.on(topic, day)?;
    let new = match what {
        What::Scanned { lambs, .. } => Value::Scanned(*lambs),
        What::ConditionScored { score, .. } => Value::Condition(*score),
        What::Weighed { weight_kg, .. } => Value::Weight(*weight_kg),
        _ => return None,
    };
    if Value::of(standing.holds) == Some(new) {
        return None;
    }
    let message = format!(
        "{} was read today already: {}; now {}.",
        ewe.called(),
        look::in_words(&standing, Some(here)).unwrap_or_default(),
        words::value(new)
    );
    Some(
        question(
            "read-already",
            format!("ewe {}", ewe.called()),
            message,
            "Is this a correction? If she is another ewe, check the tag.",
        )
        .about(&ewe.called()),
    )
}

/// A name that is another ewe's now.
fn taken(journal: &Journal, ewe: &Name, name: &Name) -> Option<Problem> {
    let state = journal.state();
    let other = state.find(name).filter(|_| state.is_current(name))?;
    let own = state.find(ewe);
    if own.is_some_and(|own| std::ptr::eq(own, other)) {
        return None;
    }
    // One known by her identifier alone and one known by her tag alone are what this joins.
    let joins = match (own, name) {
        (None, Name::Eid(_)) => other.tag.is_none(),
        (None, Name::Tag(_)) => other.eid.is_none(),
        (Some(own), _) => {
            own.tag.is_none() && other.eid.is_none() || other.tag.is_none() && own.eid.is_none()
        }
    };
    if joins {
        return None;
    }
    let message = format!("{} is already the name of ewe {}.", words::name(name), other.called());
    Some(
        question(
            "name-taken",
            format!("ewe {}", words::name(ewe)),
            message,
            "Are they one ewe? If not, check both tags.",
        )
        .about(&words::name(ewe)),
    )
}

/// A pen that nobody described, where pens were.
fn no_such_pen(journal: &Journal, ewe: &Name, pen: &str) -> Option<Problem> {
    let pens = &journal.state().pens;
    let is_there =
        pens.iter().any(|event| matches!(event.what(), Some(What::PenDescribed(row)) if row.pen == pen));
    (!pens.is_empty() && !is_there).then(|| {
        let message = format!("There is no pen {pen}.");
        question(
            "pen-unknown",
            format!("ewe {}", words::name(ewe)),
            message,
            "Choose another, or describe that pen.",
        )
    })
}

fn is_reading_of(journal: &Journal, ewe: &Name, id: &EventId) -> bool {
    let known = journal.state().find(ewe);
    known.is_some_and(|known| known.readings.iter().any(|event| event.id == *id))
}

fn not_hers(ewe: &Name) -> Problem {
    let message = "These are not all readings of her that count.";
    let hint = "Choose from the readings that differ.";
    Problem::new(Severity::Error, "not-a-reading", format!("ewe {}", words::name(ewe)), message, hint)
}
