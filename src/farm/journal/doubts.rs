//! What in a journal somebody should look at: names that two ewes have, events missing or twice, what is not
//! understood.

use crate::farm::journal::words;
use crate::journal::{Journal, Said};
use crate::problem::{Problem, Severity};
use crate::sort::shortfall::count_words;
use std::collections::BTreeMap;

/// At most so many events stand in one message.
const MOST_NAMED: usize = 5;

/// All of it, the gravest first.
pub(super) fn all(journal: &Journal, here: Option<&str>) -> Vec<Problem> {
    let mut problems = twice(journal, here);
    problems.extend(out_of_order(journal, here));
    problems.extend(unread(journal));
    problems.extend(missing(journal, here));
    problems.extend(tags_of_two(journal));
    problems.extend(not_understood(journal, here));
    problems
}

/// Different contents under one name.
fn twice(journal: &Journal, here: Option<&str>) -> Vec<Problem> {
    let clash = |(id, entries): (&crate::journal::EventId, &[std::sync::Arc<crate::journal::Entry>])| {
        let name = words::entry(id, here);
        let message = match here {
            None => format!("{} different entries have the name {name}.", entries.len()),
            Some(_) => format!("{} different entries are {name}.", entries.len()),
        };
        Problem::new(
            Severity::Error,
            "event-twice",
            if here.is_none() { format!("event {name}") } else { name },
            message,
            "All are kept and the earliest counts. Give each device a name of its own; check these entries.",
        )
    };
    journal.clashes().map(clash).collect()
}

/// A device as a subject: by its name, or seen from a device.
fn device_words(device: &str, here: Option<&str>) -> String {
    here.map_or_else(|| format!("device {device}"), |here| words::tablet(device, here).to_owned())
}

/// Events of one device whose stamps do not rise with their numbers: made by something else than this.
fn out_of_order(journal: &Journal, here: Option<&str>) -> Vec<Problem> {
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
        Problem::new(Severity::Warning, "events-out-of-order", device_words(device, here), message, hint)
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

fn missing(journal: &Journal, here: Option<&str>) -> Vec<Problem> {
    let gap = |(device, last, missing): (&str, u64, u64)| {
        (missing > 0).then(|| {
            Problem::new(
                Severity::Warning,
                "events-missing",
                device_words(device, here),
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

fn not_understood(journal: &Journal, here: Option<&str>) -> Vec<Problem> {
    let mut kinds: BTreeMap<(&str, &str), Vec<String>> = BTreeMap::new();
    for entry in journal.entries() {
        if let Said::Unknown { kind, why } = &entry.event.said {
            kinds.entry((kind, why)).or_default().push(words::entry(&entry.event.id, here));
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
