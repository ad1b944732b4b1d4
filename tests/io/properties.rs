//! What must hold for any file.

use crate::blue;
use evenfold::day::{DateOrder, Day};
use evenfold::flock::{AgeClass, Due, Ewe, Litter, MatingGroup, Score};
use evenfold::io::{self, pen_list};
use evenfold::quantity::{GramPerDay, Kg};
use proptest::prelude::*;

const COLUMNS: [&str; 12] = [
    "tag",
    "eid",
    "litter",
    "condition",
    "due",
    "group",
    "age",
    "weight_kg",
    "growth_g_per_day",
    "shorn",
    "notes",
    "vet",
];

/// Text that a cell may hold: no white space at its ends, for that is taken off.
fn text() -> impl Strategy<Value = Option<String>> {
    proptest::option::of("[ -~é£½\n\"',;\t]{0,12}[!-~é]".prop_map(|text| text.trim().to_owned()))
}

prop_compose! {
    fn ewe()(
        eid in proptest::option::of("999[0-9]{11}[1-9]"),
        litter in proptest::option::of(0_u8..=5),
        condition in proptest::option::of(4_u8..=20),
        due in 0..4_u8,
        day in 0..400_i32,
        age in proptest::option::of(0..3_usize),
        weight in proptest::option::of(350_u32..=1300),
        growth in proptest::option::of(0_u32..=300),
        shorn in any::<bool>(),
        notes in text(),
        vet in text(),
    ) -> Ewe {
        let blue = blue();
        Ewe {
            tag: String::new(),
            eid,
            litter: litter.and_then(Litter::of),
            condition: condition.and_then(|quarters| Score::of(f64::from(quarters) / 4.0)),
            due: match due {
                0 => Due::Unknown,
                1 => Due::Between {
                    first: blue.first_day.plus(147),
                    last: blue.last_day.plus(147),
                    group: blue.name,
                },
                _ => Due::On(Day::of(2027, 1, 1).expect("new year").plus(day)),
            },
            age: age.map(|age| AgeClass::ALL[age]),
            weight: weight.map(|tenths| Kg::new(f64::from(tenths) / 10.0)),
            growth: growth.map(|grams| GramPerDay::new(f64::from(grams))),
            shorn,
            notes,
            extra: vet.map(|vet| ("vet".to_owned(), vet)).into_iter().collect(),
            row: 0,
        }
    }
}

/// A flock with tags of its own and no identifier twice, laid out from row 2 on.
fn flock() -> impl Strategy<Value = Vec<Ewe>> {
    proptest::collection::btree_map("[A-Z]{0,3}0?[0-9]{1,4}( [0-9])?", ewe(), 1..30).prop_map(|ewes| {
        let mut eids = std::collections::BTreeSet::new();
        let laid_out = (2..).zip(ewes).map(|(row, (tag, mut ewe))| {
            ewe.eid = ewe.eid.filter(|eid| eids.insert(eid.clone()));
            Ewe { tag, row, ..ewe }
        });
        laid_out.collect()
    })
}

fn cells(ewe: &Ewe) -> Vec<String> {
    let (due, group) = match &ewe.due {
        Due::On(day) => (day.to_string(), String::new()),
        Due::Between { group, .. } => (String::new(), group.clone()),
        Due::Unknown => (String::new(), String::new()),
    };
    vec![
        ewe.tag.clone(),
        ewe.eid.clone().unwrap_or_default(),
        ewe.litter.map(|litter| litter.lambs().to_string()).unwrap_or_default(),
        ewe.condition.map(|score| score.to_string()).unwrap_or_default(),
        due,
        group,
        ewe.age.map(|age| age.in_words().to_owned()).unwrap_or_default(),
        ewe.weight.map(|kg| kg.value().to_string()).unwrap_or_default(),
        ewe.growth.map(|grams| grams.value().to_string()).unwrap_or_default(),
        if ewe.shorn { "yes" } else { "no" }.to_owned(),
        ewe.notes.clone().unwrap_or_default(),
        ewe.extra.first().map(|(_, vet)| vet.clone()).unwrap_or_default(),
    ]
}

fn groups() -> [MatingGroup; 1] {
    [blue()]
}

/// Pieces of which files are made that are nearly right.
fn nearly_a_file() -> impl Strategy<Value = Vec<u8>> {
    let piece = prop_oneof![
        Just("tag"),
        Just("due"),
        Just("litter"),
        Just("condition"),
        Just("pen"),
        Just("trough_m"),
        Just("area_m2"),
        Just("group"),
        Just("first_day"),
        Just("last_day"),
        Just("of"),
        Just(","),
        Just(","),
        Just(","),
        Just("\n"),
        Just("\n"),
        Just(";"),
        Just("\""),
        Just("\r"),
        Just(" "),
        Just("1"),
        Just("0417"),
        Just("2,5"),
        Just("13/04/2027"),
        Just("04/13/2027"),
        Just("03/04/2027"),
        Just("46447"),
        Just("1 Mar 2027"),
        Just("½"),
        Just("service"),
        Just("twins"),
        Just("9.8E+14"),
        Just("é"),
        Just("T00:00"),
        Just("-"),
    ];
    proptest::collection::vec(piece, 0..60).prop_map(|pieces| pieces.concat().into_bytes())
}

fn with_header(header: &'static str) -> impl Strategy<Value = Vec<u8>> {
    nearly_a_file().prop_map(move |rest| [header.as_bytes(), b"\n", &rest].concat())
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_was_written_is_read(ewes in flock(), delimiter in prop_oneof![Just(b','), Just(b';'), Just(b'\t')]) {
        let mut writer = csv::WriterBuilder::new().delimiter(delimiter).from_writer(Vec::new());
        writer.write_record(COLUMNS).expect("memory");
        for ewe in &ewes {
            writer.write_record(cells(ewe)).expect("memory");
        }
        let bytes = writer.into_inner().expect("memory");
        let found = io::flock(&bytes, Some(&groups()), None);
        prop_assert!(found.faulty.is_empty(), "{:?}", found.reading.problems);
        prop_assert_eq!(found.reading.records, ewes);
    }

    #[test]
    fn our_own_lists_are_read_back(ewes in flock()) {
        let rows: Vec<_> = ewes.iter().map(cells).collect();
        let found = io::flock(pen_list::write(&COLUMNS, &rows).as_bytes(), Some(&groups()), None);
        prop_assert_eq!(found.reading.records, ewes);
    }

    #[test]
    fn our_own_lists_are_csv_to_others(rows in proptest::collection::vec(proptest::collection::vec(".{0,8}", 3), 1..8)) {
        let text = pen_list::write(&["a", "b", "c"], &rows);
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let found: Vec<Vec<String>> = reader
            .records()
            .map(|record| record.expect("it is CSV").iter().map(str::to_owned).collect())
            .collect();
        prop_assert_eq!(found, rows);
    }

    #[test]
    fn the_order_of_columns_changes_nothing(
        ewes in flock(),
        order in Just((0..COLUMNS.len()).collect::<Vec<_>>()).prop_shuffle(),
    ) {
        let header: Vec<&str> = order.iter().map(|&column| COLUMNS[column]).collect();
        let rows: Vec<Vec<String>> =
            ewes.iter().map(|ewe| order.iter().map(|&column| cells(ewe)[column].clone()).collect()).collect();
        let found = io::flock(pen_list::write(&header, &rows).as_bytes(), Some(&groups()), None);
        prop_assert_eq!(found.reading.records, ewes);
    }

    #[test]
    fn any_bytes_are_read_or_refused(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        io::flock(&bytes, None, None);
        io::pens(&bytes);
        io::groups(&bytes, None);
    }

    #[test]
    fn nothing_is_lost(
        bytes in with_header("tag,due,litter,condition,group"),
        dates in prop_oneof![Just(None), Just(Some(DateOrder::Dmy)), Just(Some(DateOrder::Mdy))],
    ) {
        let found = io::flock(&bytes, Some(&groups()), dates);
        let mut rows: Vec<u32> = found.reading.records.iter().map(|ewe| ewe.row).collect();
        rows.extend(found.faulty.iter().map(|faulty| faulty.row));
        rows.sort_unstable();
        // Without quotes a row is a line, and a line holds something or nothing.
        let text = String::from_utf8_lossy(&bytes).replace("\r\n", "\n");
        if !text.contains('"') {
            let lines = text.split(['\n', '\r']).zip(1..);
            let filled = lines.filter(|(line, _)| !line.replace(',', "").trim().is_empty());
            prop_assert_eq!(&rows, &filled.map(|(_, row)| row).skip(1).collect::<Vec<u32>>());
        }
        rows.dedup();
        prop_assert_eq!(rows.len(), found.reading.records.len() + found.faulty.len());
        for faulty in &found.faulty {
            prop_assert!(!faulty.problems.is_empty());
            prop_assert!(faulty.problems.iter().all(|&at| found.reading.problems[at].is_error()));
        }
        prop_assert_eq!(found.date_question.is_some(),
            found.reading.problems.iter().any(|problem| problem.code == "date-order-unclear"));
    }

    #[test]
    fn pens_and_groups_are_never_lost(
        pens in with_header("pen,trough_m,area_m2"),
        groups in with_header("group,first_day,last_day,of"),
    ) {
        let found = io::pens(&pens);
        let (grouped, _) = io::groups(&groups, None);
        let named = |problems: &[evenfold::problem::Problem]| {
            problems.iter().filter(|p| p.is_error()).filter_map(|p| p.row).collect::<std::collections::BTreeSet<_>>()
        };
        prop_assert!(found.records.iter().all(|pen| !named(&found.problems).contains(&pen.row)));
        prop_assert!(grouped.records.iter().all(|group| !named(&grouped.problems).contains(&group.row)));
    }
}
