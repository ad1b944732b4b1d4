//! What in a journal somebody should look at: names that two ewes have, events missing or twice, what is not
//! understood.

use crate::journal::{Journal, Said};
use crate::problem::{Problem, Severity};
use crate::sort::shortfall::count_words;
use std::collections::BTreeMap;

/// At most so many events stand in one message.
const MOST_NAMED: usize = 5;

/// All of it, the gravest first.
pub(super) fn all(journal: &Journal) -> Vec<Problem> {
    let mut problems = twice(journal);
    problems.extend(out_of_order(journal));
    problems.extend(unread(journal));
    problems.extend(missing(journal));
    problems.extend(tags_of_two(journal));
    problems.extend(not_understood(journal));
    problems
}

/// Different contents under one name.
fn twice(journal: &Journal) -> Vec<Problem> {
    let clash = |(id, entries): (&crate::journal::EventId, &[std::sync::Arc<crate::journal::Entry>])| {
        Problem::new(
            Severity::Error,
            "event-twice",
            format!("event {id}"),
            format!("{} different entries have the name {id}.", entries.len()),
            "All are kept and the earliest counts. Give each device a name of its own; check these entries.",
        )
    };
    journal.clashes().map(clash).collect()
}

/// Events of one device whose stamps do not rise with their numbers: made by something else than this.
fn out_of_order(journal: &Journal) -> Vec<Problem> {
    let mut last: BTreeMap<&str, u64> = BTreeMap::new();
    let mut wrong: BTreeMap<&str, usize> = BTreeMap::new();
    for entry in journal.entries() {
        let id = &entry.event.id;
        let before = last.entry(&id.device).or_default();
        if id.sequence < *before {
            *wrong.entry(&id.device).or_default() += 1;
        }
        *before = id.sequence.max(*before);
    }
    let problem = |(device, count): (&str, usize)| {
        let message =
            format!("{} stand before earlier ones of the same device.", count_words(count, "event"));
        let hint = "They are taken in the order of their stamps. Check what was entered about then.";
        Problem::new(Severity::Warning, "events-out-of-order", format!("device {device}"), message, hint)
    };
    wrong.into_iter().map(problem).collect()
}

fn unread(journal: &Journal) -> Option<Problem> {
    let count = journal.unread().count();
    (count > 0).then(|| {
        Problem::new(
            Severity::Warning,
            "lines-unread",
            "the journal",
            format!("{} could not be read.", count_words(count, "line")),
            "They are kept as they are. Merge another copy, which may have them whole.",
        )
    })
}

fn missing(journal: &Journal) -> Vec<Problem> {
    let gap = |(device, last, missing): (&str, u64, u64)| {
        (missing > 0).then(|| {
            Problem::new(
                Severity::Warning,
                "events-missing",
                format!("device {device}"),
                format!(
                    "{} of its {last} are missing.",
                    count_words(usize::try_from(missing).unwrap_or(usize::MAX), "event")
                ),
                "Merge its own file or a later backup.",
            )
        })
    };
    journal.devices().filter_map(gap).collect()
}

fn tags_of_two(journal: &Journal) -> Vec<Problem> {
    let mut tags: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    for ewe in journal.state().ewes() {
        if let Some(tag) = &ewe.tag {
            let eid =
                ewe.eid.as_ref().map_or_else(|| "no identifier".to_owned(), |eid| eid.digits().to_owned());
            tags.entry(tag).or_default().push(eid);
        }
    }
    let problem = |(tag, eids): (&str, Vec<String>)| {
        Problem::new(
            Severity::Warning,
            "tag-of-two-ewes",
            format!("tag {tag}"),
            format!("{} have the tag {tag}: {}.", count_words(eids.len(), "ewe"), eids.join(" and ")),
            "Correct the tag of one; or, if they are one ewe, attach the identifier to the tag.",
        )
        .about(tag)
    };
    tags.into_iter().filter(|(_, eids)| eids.len() > 1).map(problem).collect()
}

fn not_understood(journal: &Journal) -> Vec<Problem> {
    let mut kinds: BTreeMap<(&str, &str), Vec<String>> = BTreeMap::new();
    for entry in journal.entries() {
        if let Said::Unknown { kind, why } = &entry.event.said {
            kinds.entry((kind, why)).or_default().push(entry.event.id.to_string());
        }
    }
    let problem = |((kind, why), ids): ((&str, &str), Vec<String>)| {
        let shown = ids.iter().take(MOST_NAMED).map(String::as_str).collect::<Vec<_>>().join(", ");
        let more = if ids.len() > MOST_NAMED { ", ..." } else { "" };
        let message = format!(
            "{} of kind '{kind}' not understood ({shown}{more}): {}.",
            count_words(ids.len(), "event"),
            why.trim_end_matches('.')
        );
        let hint = "They are kept and handed on, and not counted. A newer version may understand them.";
        Problem::new(Severity::Note, "event-not-understood", "the journal", message, hint)
    };
    kinds.into_iter().map(problem).collect()
}
