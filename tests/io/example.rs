//! The demo farm reads without a fault, and its faulty rows are all named.

use crate::said;
use evenfold::flock::Due;
use evenfold::io;

const FLOCK: &[u8] = include_bytes!("../../data/example/flock.csv");
const PENS: &[u8] = include_bytes!("../../data/example/pens.csv");
const GROUPS: &[u8] = include_bytes!("../../data/example/groups.csv");
const WRONG_FLOCK: &[u8] = include_bytes!("../../data/example/wrong/flock.csv");
const WRONG_PENS: &[u8] = include_bytes!("../../data/example/wrong/pens.csv");

#[test]
fn the_demo_farm_has_no_fault_and_the_gaps_that_its_readme_tells() {
    let (groups, _) = io::groups(GROUPS, None);
    let flock = io::flock(FLOCK, Some(&groups.records), None);
    let pens = io::pens(PENS);
    assert_eq!([groups.problems, flock.reading.problems, pens.problems], [vec![], vec![], vec![]]);
    let ewes = flock.reading.records;
    assert_eq!((ewes.len(), pens.records.len(), groups.records.len()), (240, 7, 3));
    let count = |missing: fn(&evenfold::flock::Ewe) -> bool| ewes.iter().filter(|ewe| missing(ewe)).count();
    assert_eq!(count(|ewe| ewe.condition.is_none()), 6);
    assert_eq!(count(|ewe| ewe.weight.is_none()), 4);
    assert_eq!(count(|ewe| ewe.litter.is_none()), 3);
    assert_eq!(count(|ewe| ewe.due == Due::Unknown), 2);
    assert_eq!(count(|ewe| ewe.age.is_none()), 1);
    assert_eq!(count(|ewe| ewe.litter.is_some_and(|litter| litter.lambs() == 0)), 10);
    assert!(ewes.iter().all(|ewe| ewe.eid.as_ref().is_some_and(|eid| eid.starts_with("999"))));
}

#[test]
fn every_faulty_row_of_the_wrong_flock_is_named() {
    assert_eq!(said(&io::pens(WRONG_PENS).problems), [""; 0]);
    let flock = io::flock(WRONG_FLOCK, None, None);
    let expected = [
        "5 condition out-of-range",
        "8 condition condition-not-quarter",
        "10 due date-no-such-day",
        "13 due date-two-digit-year",
        "16 litter litter-unknown",
        "19 tag identifier-rounded",
        "22 tag duplicate-tag",
        "26 cell-count",
    ];
    assert_eq!(said(&flock.reading.problems), expected);
    assert_eq!((flock.reading.records.len(), flock.faulty.len()), (20, 8));
}
