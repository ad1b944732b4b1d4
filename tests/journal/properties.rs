//! What must hold for any journals, however they came about.

use crate::common::scanning_day::{eid, scanning_day};
use evenfold::day::Day;
use evenfold::flock::{AgeClass, Litter, Score};
use evenfold::io;
use evenfold::journal::{Advice, Entering, Entry, Journal, Mark, Name, Now, PenRow, What};
use proptest::prelude::*;

const DEVICES: [&str; 3] = ["a", "b", "c"];

/// A few ewes only, so that they meet often.
fn name() -> impl Strategy<Value = Name> {
    prop_oneof![
        (0..5_usize).prop_map(|number| Name::Tag(number.to_string())),
        (0..3_usize).prop_map(|number| Name::Eid(eid(number))),
    ]
}

fn tags() -> impl Strategy<Value = Option<String>> {
    proptest::option::of((0..5_usize).prop_map(|number| number.to_string()))
}

fn eids() -> impl Strategy<Value = Option<evenfold::flock::Eid>> {
    proptest::option::of((0..3_usize).prop_map(eid))
}

fn mark() -> impl Strategy<Value = Mark> {
    prop_oneof![Just(Mark::Lame), Just(Mark::Cull)]
}

/// Everything that may be said, but for what names other events.
pub(crate) fn what() -> impl Strategy<Value = What> {
    prop_oneof![
        (eids(), tags()).prop_filter_map("a name", |(eid, tag)| {
            (eid.is_some() || tag.is_some()).then_some(What::EweMet { eid, tag, read: None })
        }),
        (name(), eids(), tags()).prop_filter_map("a name", |(ewe, eid, tag)| {
            (eid.is_some() || tag.is_some()).then_some(What::IdentitySet { ewe, eid, tag })
        }),
        (name(), 0..=4_u8).prop_map(|(ewe, lambs)| What::Scanned { ewe, lambs: Litter::of(lambs).unwrap() }),
        (name(), 4..=20_u8).prop_map(|(ewe, quarters)| What::ConditionScored {
            ewe,
            score: Score::of(f64::from(quarters) / 4.0).unwrap()
        }),
        (name(), 0..3_usize).prop_map(|(ewe, age)| What::AgeGiven { ewe, age: AgeClass::ALL[age] }),
        (name(), tags(), proptest::option::of(0..40_i32)).prop_map(|(ewe, group, due)| What::DueGiven {
            ewe,
            group,
            due: due.map(|days| Day::of(2027, 3, 1).unwrap().plus(days))
        }),
        (name(), 400..900_u32)
            .prop_map(|(ewe, tenths)| What::Weighed { ewe, weight_kg: f64::from(tenths) / 10.0 }),
        (name(), proptest::bool::ANY).prop_map(|(ewe, shorn)| What::FleeceSeen { ewe, shorn }),
        (eids(), tags(), 0..=4_u8).prop_filter_map("a name", |(eid, tag, lambs)| {
            let (lambs, due) = (Litter::of(lambs), Day::of(2026, 3, 1));
            let (score, age, weight_kg) = (Score::of(3.0), None, Some(70.5));
            (eid.is_some() || tag.is_some()).then_some(What::PriorListed {
                eid,
                tag,
                lambs,
                score,
                age,
                due,
                weight_kg,
            })
        }),
        (name(), mark()).prop_map(|(ewe, mark)| What::Marked { ewe, mark, words: None }),
        (name(), mark()).prop_map(|(ewe, mark)| What::MarkCleared { ewe, mark }),
        (proptest::option::of(name()), "[a-zé\"\\\\]{1,6}")
            .prop_map(|(ewe, words)| What::Noted { ewe, words }),
        (name(), "[AB]").prop_map(|(ewe, pen)| What::PenGiven {
            ewe,
            advised: Some(Advice { pen: pen.clone(), words: "why".to_owned() }),
            pen
        }),
        (name(), "[AB]").prop_map(|(ewe, pen)| What::PenLeft { ewe, pen }),
        ("[AB]", 1..9_u32).prop_map(|(pen, area)| What::PenDescribed(PenRow {
            pen,
            trough_m: Some(4.0),
            places: None,
            area_m2: f64::from(area) * 10.0,
            feeding: None,
            floor: None,
            blocked_corners: None,
            only: vec![AgeClass::EweLamb],
            not: Vec::new(),
            max_head: Some(12)
        })),
        "[AB]".prop_map(|pen| What::PenRemoved { pen }),
    ]
}

/// Something that happens on one of three devices.
#[derive(Debug, Clone)]
enum Step {
    Enter(Vec<What>),
    /// Undo one of the events known: the share of the way from the first to the last.
    Undo(f64),
    /// Settle the first contradiction known for one of its readings.
    Settle(bool),
    /// Take in all that another device knows.
    Merge(usize),
}

fn steps() -> impl Strategy<Value = Vec<(usize, i64, Step)>> {
    let step = prop_oneof![
        6 => proptest::collection::vec(what(), 1..4).prop_map(Step::Enter),
        2 => (0.0..1.0_f64).prop_map(Step::Undo),
        1 => any::<bool>().prop_map(Step::Settle),
        1 => (0..3_usize).prop_map(Step::Merge),
    ];
    // Clocks run on by minutes, and now and then go back by days.
    let minutes = prop_oneof![9 => 0..30_i64, 1 => -3000..3000_i64];
    proptest::collection::vec((0..3_usize, minutes, step), 1..40)
}

/// The three devices' journals after the steps.
fn played(steps: &[(usize, i64, Step)]) -> [Journal; 3] {
    let mut journals = [Journal::new(), Journal::new(), Journal::new()];
    let mut clock: i64 = 1_799_742_600_000;
    for (device, minutes, step) in steps {
        clock += minutes * 60_000;
        let entering = Entering {
            device: DEVICES[*device].to_owned(),
            now: Now { ms: clock.unsigned_abs(), offset_minutes: 0 },
            by: None,
            day: None,
        };
        match step {
            Step::Enter(whats) => {
                journals[*device].append(&entering, whats.clone());
            }
            Step::Undo(share) => {
                let journal = &mut journals[*device];
                let at = (*share * journal.len() as f64) as usize;
                let id = journal.entries().nth(at).map(|entry| entry.event.id.clone());
                journal
                    .append(&entering, id.map(|id| What::Undone { events: vec![id] }).into_iter().collect());
            }
            Step::Settle(first) => {
                let journal = &mut journals[*device];
                let settled = journal.state().ewes().find_map(|ewe| {
                    let (_, standing) = ewe.contradictions().into_iter().next()?;
                    let (one, other) = (standing.holds.id.clone(), standing.against[0].id.clone());
                    let (holds, over) = if *first { (one, other) } else { (other, one) };
                    Some(What::Settled { ewe: ewe.name()?, holds, over: vec![over] })
                });
                journal.append(&entering, settled.into_iter().collect());
            }
            Step::Merge(from) => {
                let other = journals[*from].clone();
                journals[*device].merge(&other);
            }
        }
    }
    journals
}

/// All of it read afresh, in the order given.
fn afresh(entries: Vec<Entry>) -> Journal {
    let mut journal = Journal::new();
    journal.take(entries, Vec::new());
    journal
}

fn merged(journals: &[&Journal]) -> Journal {
    let mut whole = Journal::new();
    for journal in journals {
        whole.merge(journal);
    }
    whole
}

fn is_same(one: &Journal, other: &Journal) -> Result<(), TestCaseError> {
    prop_assert_eq!(io::write_journal(one), io::write_journal(other));
    prop_assert!(one.state() == other.state(), "the states differ");
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn merging_is_a_union(steps in steps()) {
        let [a, b, c] = played(&steps);
        let whole = merged(&[&a, &b, &c]);
        is_same(&whole, &merged(&[&c, &b, &a]))?;
        is_same(&whole, &merged(&[&a, &merged(&[&b, &c])]))?;
        is_same(&whole, &merged(&[&whole, &whole, &b]))?;
        let mut again = whole.clone();
        prop_assert_eq!(again.merge(&b).new, 0);
    }

    #[test]
    fn adding_one_by_one_is_replaying_all(steps in steps(), order in any::<prop::sample::Index>()) {
        let journals = played(&steps);
        for journal in &journals {
            is_same(journal, &afresh(journal.entries().cloned().collect()))?;
        }
        // One event at a time, in an order that has nothing to do with theirs.
        let whole = merged(&[&journals[0], &journals[1], &journals[2]]);
        let mut entries: Vec<Entry> = whole.entries().cloned().collect();
        let by = order.index(97) + 1;
        entries.sort_by_key(|entry| (entry.event.id.sequence as usize * by) % 101);
        let mut one_by_one = Journal::new();
        for entry in entries {
            one_by_one.take(vec![entry], Vec::new());
        }
        is_same(&whole, &one_by_one)?;
    }

    #[test]
    fn what_was_written_is_read(steps in steps()) {
        for journal in played(&steps) {
            let text = io::write_journal(&journal);
            let reading = io::journal(text.as_bytes());
            prop_assert!(reading.problems.iter().all(|problem| problem.code == "empty-file"), "{:?}", reading.problems);
            is_same(&journal, &afresh(reading.entries))?;
        }
    }

    #[test]
    fn a_device_keeps_its_own_order_whatever_its_clock_does(steps in steps()) {
        let [a, b, c] = played(&steps);
        let whole = merged(&[&a, &b, &c]);
        for device in DEVICES {
            let of_device = whole.entries().filter(|entry| entry.event.id.device == device);
            let numbers: Vec<u64> = of_device.map(|entry| entry.event.id.sequence).collect();
            prop_assert_eq!(&numbers, &(1..=numbers.len() as u64).collect::<Vec<_>>());
        }
        // Whatever an event knew of comes before it.
        let entries: Vec<&Entry> = whole.entries().collect();
        for (at, entry) in entries.iter().enumerate() {
            prop_assert!(entries[at..].iter().all(|later| !entry.event.saw(&later.event)));
        }
    }

    #[test]
    fn every_name_means_one_ewe_and_nothing_read_is_lost(steps in steps()) {
        let [a, b, c] = played(&steps);
        let whole = merged(&[&a, &b, &c]);
        let state = whole.state();
        let mut readings = 0;
        for ewe in state.ewes() {
            let name = ewe.name();
            prop_assert!(name.is_some(), "a ewe without a name: {ewe:?}");
            readings += ewe.readings.len() + ewe.notes.len();
            for former in &ewe.former {
                prop_assert!(state.find(former).is_some_and(|found| std::ptr::eq(found, ewe)));
            }
            if let Some(eid) = &ewe.eid {
                prop_assert!(state.find(&Name::Eid(eid.clone())).is_some_and(|found| std::ptr::eq(found, ewe)));
            }
        }
        let counted = whole.entries().filter(|entry| whole.counts(entry));
        let expected = counted.filter(|entry| match entry.event.what() {
            Some(What::Noted { ewe, .. }) => ewe.is_some(),
            Some(what) => evenfold::journal::Topic::of(what).is_some(),
            None => false,
        });
        prop_assert_eq!(readings, expected.count());
    }
}

/// The same with a real day's length, so that kept states to go back to are used.
#[test]
fn a_long_day_merged_in_pieces_is_the_day_read_at_once() {
    let [a, b] = scanning_day(3, 300);
    let whole = merged(&[&a, &b]);
    assert!(whole.len() > 1500, "{}", whole.len());
    let mut pieces = Journal::new();
    let (of_a, of_b): (Vec<Entry>, Vec<Entry>) =
        (a.entries().cloned().collect(), b.entries().cloned().collect());
    for size in [1, 7, 64, 200] {
        let (mut one, mut other) = (of_a.chunks(size), of_b.chunks(size).rev());
        loop {
            let parts = [one.next(), other.next()];
            if parts == [None, None] {
                break;
            }
            for part in parts.into_iter().flatten() {
                pieces.take(part.to_vec(), Vec::new());
            }
        }
        assert_eq!(pieces.len(), whole.len());
        assert!(pieces.state() == whole.state(), "the states differ");
        assert!(io::write_journal(&pieces) == io::write_journal(&whole), "the files differ");
        pieces = Journal::new();
    }
}
