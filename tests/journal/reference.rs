//! The fold against one written anew here from its description, out of the lines' JSON alone.

use crate::common::scanning_day::{START_MS, entering};
use crate::{lambs, met, scanned};
use evenfold::io;
use evenfold::journal::{Journal, Topic, What};
use proptest::prelude::*;
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

/// Lambs by tag as the description has them, and the tags in doubt. Only meeting, scanning and undoing are known.
fn reference(text: &str) -> (BTreeMap<String, u64>, BTreeSet<String>) {
    let mut events: Vec<Value> =
        text.lines().skip(1).map(|line| serde_json::from_str(line).unwrap()).collect();
    events.sort_by_key(|event| {
        let number = |value: &Value| value.as_u64().unwrap();
        let at = (number(&event["at"][0]), number(&event["at"][1]));
        (at, event["device"].as_str().unwrap().to_owned(), number(&event["sequence"]))
    });
    let id = |event: &Value| event["id"].as_str().unwrap().to_owned();
    // An event counts unless an undo that counts, later than it, names it: by recursion over later events.
    fn counts(events: &[Value], at: usize) -> bool {
        let id = &events[at]["id"];
        !(at + 1..events.len()).any(|later| {
            let what = &events[later]["what"];
            what["kind"] == "undone"
                && what["events"].as_array().unwrap().contains(id)
                && counts(events, later)
        })
    }
    let scans: Vec<&Value> = (0..events.len())
        .filter(|&at| events[at]["what"]["kind"] == "scanned" && counts(&events, at))
        .map(|at| &events[at])
        .collect();
    let saw = |one: &Value, other: &Value| {
        let number = other["sequence"].as_u64().unwrap();
        if one["device"] == other["device"] {
            one["sequence"].as_u64().unwrap() > number
        } else {
            one["seen"][other["device"].as_str().unwrap()].as_u64().unwrap_or(0) >= number
        }
    };
    let (mut taken, mut doubt) = (BTreeMap::new(), BTreeSet::new());
    let tags: BTreeSet<&str> =
        scans.iter().map(|scan| scan["what"]["ewe"]["tag"].as_str().unwrap()).collect();
    for tag in tags {
        let hers: Vec<&&Value> = scans.iter().filter(|scan| scan["what"]["ewe"]["tag"] == tag).collect();
        let day = hers.iter().map(|scan| scan["day"].as_str().unwrap()).max().unwrap();
        let of_day: Vec<&&Value> = hers.into_iter().filter(|scan| scan["day"] == day).collect();
        let left = of_day
            .iter()
            .filter(|scan| !of_day.iter().any(|other| id(other) != id(scan) && saw(other, scan)));
        let values: BTreeSet<u64> = left.map(|scan| scan["what"]["lambs"].as_u64().unwrap()).collect();
        taken.insert(tag.to_owned(), *values.last().unwrap());
        if values.len() > 1 {
            doubt.insert(tag.to_owned());
        }
    }
    (taken, doubt)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_fold_is_what_its_description_says(
        steps in proptest::collection::vec((0..2_usize, 0..2000_u64, 0..9_u8, 0..3_usize, 0..5_u8, 0.0..1.0_f64), 1..30)
    ) {
        let mut journals = [Journal::new(), Journal::new()];
        for (device, minutes, kind, ewe, litter, share) in steps {
            let at = entering(device, START_MS + minutes * 60_000);
            let tag = ewe.to_string();
            let what = match kind {
                0 => {
                    let other = journals[1 - device].clone();
                    journals[device].merge(&other);
                    continue;
                }
                1 => met(&tag),
                2 | 3 => {
                    let journal = &journals[device];
                    let place = (share * journal.len() as f64) as usize;
                    let Some(entry) = journal.entries().nth(place) else { continue };
                    What::Undone { events: vec![entry.event.id.clone()] }
                }
                _ => scanned(&tag, litter),
            };
            journals[device].append(&at, vec![what]);
        }
        let [mut whole, other] = journals;
        whole.merge(&other);
        let (taken, doubt) = reference(&io::write_journal(&whole));
        let found: BTreeMap<String, u64> = whole
            .state()
            .ewes()
            .filter_map(|ewe| Some((ewe.called(), u64::from(lambs(&whole, &ewe.called())?))))
            .collect();
        prop_assert_eq!(found, taken);
        let in_doubt: BTreeSet<String> = whole
            .state()
            .ewes()
            .filter(|ewe| ewe.standing(Topic::Scanned).is_some_and(|standing| !standing.against.is_empty()))
            .map(evenfold::journal::Ewe::called)
            .collect();
        prop_assert_eq!(in_doubt, doubt);
    }
}
