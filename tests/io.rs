//! Files as they come from outside, against what a person reads in them.

use evenfold::day::{DateOrder, Day};
use evenfold::flock::{AgeClass, DayOf, Due, Ewe, Litter, MatingGroup, Score};
use evenfold::io;
use evenfold::pen::{Face, Feeding, Floor};
use evenfold::problem::{Problem, Severity};
use evenfold::quantity::{GramPerDay, Kg, Metre, SquareMetre};

fn day(iso: &str) -> Day {
    Day::from_iso(iso).expect("the test's dates are dates")
}

fn blue() -> MatingGroup {
    MatingGroup {
        name: "blue".to_owned(),
        first_day: day("2026-10-05"),
        last_day: day("2026-10-21"),
        of: DayOf::Service,
        row: 2,
    }
}

/// The codes of problems with their rows and columns, notes left out: `2 condition out-of-range`.
fn said(problems: &[Problem]) -> Vec<String> {
    let said = problems.iter().filter(|problem| problem.severity > Severity::Note).map(|problem| {
        let mark = if problem.is_error() { "" } else { "?" };
        let (row, column) = (problem.row.map(|row| row.to_string()), problem.column.clone());
        [row, column, Some(format!("{}{mark}", problem.code))]
            .into_iter()
            .flatten()
            .collect::<Vec<_>>()
            .join(" ")
    });
    said.collect()
}

#[track_caller]
fn check_flock(text: &str, expected: &[&str]) -> io::FlockReading {
    let groups = [blue()];
    let found = io::flock(text.as_bytes(), Some(&groups), None);
    assert_eq!(said(&found.reading.problems), expected, "{text}");
    for problem in &found.reading.problems {
        assert!(problem.message.ends_with('.') && problem.hint.ends_with('.'), "{problem:?}");
    }
    found
}

#[track_caller]
fn check_pens(text: &str, expected: &[&str]) -> Vec<evenfold::pen::Pen> {
    let found = io::pens(text.as_bytes());
    assert_eq!(said(&found.problems), expected, "{text}");
    found.records
}

#[track_caller]
fn check_groups(text: &str, expected: &[&str]) -> Vec<MatingGroup> {
    let (found, _) = io::groups(text.as_bytes(), None);
    assert_eq!(said(&found.problems), expected, "{text}");
    found.records
}

fn only(found: io::FlockReading) -> Ewe {
    assert_eq!(found.reading.records.len(), 1, "{:?}", found.reading.problems);
    found.reading.records.into_iter().next().expect("there is one")
}

// ---- the shape of the file ----

#[test]
fn a_full_row_is_read_cell_by_cell() {
    let text = "tag,eid,litter,condition,due,group,age,weight_kg,growth_g_per_day,shorn,notes,vet\n\
                0417,999000000000017,2,2.75,2027-03-08,blue,shearling,71.5,30,yes,\"lame, left\",Tues\n";
    let found = check_flock(text, &[]);
    assert_eq!(found.reading.unknown_columns, ["vet"]);
    let note = found.reading.problems.first().expect("a note");
    assert_eq!((note.code.as_str(), note.severity), ("unknown-columns", Severity::Note));
    assert!(note.message.contains("'vet'"), "{}", note.message);
    let expected = Ewe {
        tag: "0417".to_owned(),
        eid: Some("999000000000017".to_owned()),
        litter: Litter::of(2),
        condition: Score::of(2.75),
        due: Due::On(day("2027-03-08")),
        age: Some(AgeClass::Shearling),
        weight: Some(Kg::new(71.5)),
        growth: Some(GramPerDay::new(30.0)),
        shorn: true,
        notes: Some("lame, left".to_owned()),
        extra: vec![("vet".to_owned(), "Tues".to_owned()), ("group".to_owned(), "blue".to_owned())],
        row: 2,
    };
    assert_eq!(only(found), expected);
}

#[test]
fn blank_cells_are_missing_and_blank_rows_nothing() {
    let found = check_flock("tag,litter,condition,due,age,weight_kg,shorn,notes\n\n7,,,,,,,\n,,,,,,,\n", &[]);
    assert!(found.faulty.is_empty());
    let ewe = only(found);
    assert_eq!(ewe.row, 3);
    assert_eq!((ewe.litter, ewe.condition, ewe.due, ewe.age), (None, None, Due::Unknown, None));
    assert_eq!((ewe.weight, ewe.shorn, ewe.notes, ewe.eid), (None, false, None, None));
}

#[test]
fn encodings_line_ends_and_delimiters_do_not_matter() {
    let utf8 = "tag,weight_kg,notes\n0417,70.5,caf\u{e9} \u{a3}5\n";
    let expected = only(check_flock(utf8, &[]));
    assert_eq!(expected.notes.as_deref(), Some("café £5"));
    let windows = b"tag,weight_kg,notes\n0417,70.5,caf\xe9 \xa35\n".to_vec();
    let utf16: Vec<u8> =
        [0xFF, 0xFE].into_iter().chain(utf8.encode_utf16().flat_map(u16::to_le_bytes)).collect();
    let files: [(&str, Vec<u8>); 8] = [
        ("BOM", format!("\u{feff}{utf8}").into_bytes()),
        ("Windows-1252", windows),
        ("UTF-16", utf16),
        ("CRLF", utf8.replace('\n', "\r\n").into_bytes()),
        ("CR", utf8.replace('\n', "\r").into_bytes()),
        ("semicolon", "tag;weight_kg;notes\n0417;70,5;café £5\n".to_owned().into_bytes()),
        ("tab", "tag\tweight_kg\tnotes\n0417\t70,5\tcafé £5\n".to_owned().into_bytes()),
        ("sep=", "sep=;\ntag;weight_kg;notes\n0417;70.5;café £5\n".to_owned().into_bytes()),
    ];
    for (name, bytes) in files {
        let found = io::flock(&bytes, None, None);
        assert_eq!(found.reading.records, [expected.clone()], "{name}");
        let notes: Vec<_> = found.reading.problems.iter().map(|problem| problem.code.as_str()).collect();
        let expected_notes: &[&str] = if name == "Windows-1252" { &["read-as-windows-1252"] } else { &[] };
        assert_eq!(notes, expected_notes, "{name}");
    }
}

#[test]
fn a_quoted_decimal_comma_is_read_in_a_comma_file_and_a_bare_one_is_an_extra_cell() {
    let found = check_flock("tag,weight_kg\n1,\"70,5\"\n2,70,5\n", &["3 cell-count"]);
    assert_eq!(found.faulty.first().map(|faulty| faulty.tag.as_str()), Some("2"));
    assert_eq!(only(found).weight, Some(Kg::new(70.5)));
}

#[test]
fn header_names_have_many_spellings() {
    for header in [
        "Tag,Litter,Condition,Weight_kg,Growth g per day",
        "EAR TAG NUMBER,Lambs scanned,BCS,Live-weight (kg),growth (g/day)",
        "ear_tag,scan,condition score (1-5),Weight [kg],Growth g/day",
        " tag no. ,no. of lambs,Body Condition,LIVEWEIGHT,daily gain (g)",
    ] {
        let ewe = only(check_flock(&format!("{header}\n0417,2,2.5,70,30\n"), &[]));
        assert_eq!(
            (ewe.tag.as_str(), ewe.litter, ewe.condition),
            ("0417", Litter::of(2), Score::of(2.5)),
            "{header}"
        );
        assert_eq!((ewe.weight, ewe.growth), (Some(Kg::new(70.0)), Some(GramPerDay::new(30.0))), "{header}");
    }
}

#[test]
fn our_own_name_is_surer_than_another_spelling() {
    let ewe = only(check_flock("id,tag\n99,0417\n", &[]));
    assert_eq!((ewe.tag.as_str(), ewe.extra), ("0417", vec![("id".to_owned(), "99".to_owned())]));
}

#[test]
fn a_file_that_is_no_flock_list_is_named_for_what_it_is() {
    for (bytes, code, word) in [
        (&b"PK\x03\x04rest"[..], "not-a-csv", "XLSX"),
        (b"\xD0\xCF\x11\xE0\xA1\xB1", "not-a-csv", "XLS"),
        (b"%PDF-1.7", "not-a-csv", "PDF"),
        (b"<!doctype html><p>", "not-a-csv", "web page"),
        (b"tag,notes\n1,a\0b\n", "not-a-csv", "zero"),
        (b"\xFF\xFEt\0a\0g", "not-a-csv", "damaged"),
        (b"", "empty-file", "empty"),
        (b" \r\n\r\n,,,\n", "empty-file", "empty"),
        (b"\xEF\xBB\xBF", "empty-file", "empty"),
        (b"tag,litter\n", "no-rows", "no rows"),
        (b"sheep,litter\n1,2\n", "column-missing", "'tag'"),
        (b"tag,litter,tag\n1,2,3\n", "duplicate-column", "'tag'"),
        (b"ear tag,litter,id\n1,2,3\n", "duplicate-column", "'ear tag' and 'id'"),
        (b"tag,weight (lb)\n1,154\n", "wrong-unit", "lb"),
        (b"tag,weight_lbs\n1,154\n", "wrong-unit", "lb"),
        (b"\"tag,litter\n1,2\n", "broken-quotes", "quote"),
    ] {
        let found = io::flock(bytes, None, None);
        let codes: Vec<_> = found.reading.problems.iter().map(|problem| problem.code.as_str()).collect();
        assert_eq!(codes, [code], "{:?}", String::from_utf8_lossy(bytes));
        let problem = found.reading.problems.first().expect("one");
        assert!(problem.is_error() && problem.message.contains(word), "{problem:?}");
        assert_eq!(problem.file.as_deref(), Some("flock"));
        assert!(found.reading.records.is_empty() && found.faulty.is_empty());
    }
}

#[test]
fn swapped_files_are_recognised() {
    let pens = b"pen,trough_m,area_m2\nA,20,60\n";
    let found = io::flock(pens, None, None);
    assert!(found.reading.problems.iter().any(|problem| problem.hint.contains("pens file")));
}

#[test]
fn a_row_that_cannot_be_split_is_named_and_the_rest_is_read() {
    let text = "tag,litter,notes\n1,2\n2,2,x,y\n3,2,\"a\"b\n4,2,\"line\nbreak\"\n5,7,\n6,2,\"open\n";
    let expected =
        ["2 cell-count", "3 cell-count", "4 broken-quotes", "6 litter litter-unknown", "7 broken-quotes"];
    let found = check_flock(text, &expected);
    let faulty: Vec<_> = found.faulty.iter().map(|faulty| (faulty.row, faulty.tag.as_str())).collect();
    assert_eq!(faulty, [(2, "1"), (3, "2"), (4, "row 4"), (6, "5"), (7, "row 7")]);
    assert_eq!(only(found).notes.as_deref(), Some("line\nbreak"));
}

#[test]
fn very_wide_very_long_and_very_large_files_are_read() {
    let megabyte = "x".repeat(1_000_000);
    let ewe = only(check_flock(&format!("tag,notes\n1,{megabyte}\n"), &[]));
    assert_eq!(ewe.notes.map(|notes| notes.len()), Some(1_000_000));
    let found = io::flock(format!("tag,litter\n1,{megabyte}\n").as_bytes(), None, None);
    let problem = found.reading.problems.first().expect("not a litter");
    assert_eq!(problem.found.as_ref().map(String::len), Some(1_000_000));
    assert!(problem.message.len() < 200);
    let wide = format!("tag{}\n{}", ",".repeat(200_000), "1\n".repeat(200_000));
    assert_eq!(io::flock(wide.as_bytes(), None, None).faulty.len(), 199_999);
}

// ---- identity ----

#[test]
fn tags_are_text() {
    let text = "tag\n0417\n \u{a0}UK 012 3\t\n1E5\n000\n";
    let found = check_flock(text, &[]);
    let tags: Vec<_> = found.reading.records.iter().map(|ewe| ewe.tag.as_str()).collect();
    assert_eq!(tags, ["0417", "UK 012 3", "1E5", "000"]);
}

#[test]
fn what_a_spreadsheet_did_to_identifiers_is_named() {
    let text = "tag;eid\n9.82E+14;\n1;9,82E+14\n2;8.26E+14\n3;826000000000000\n4;82612345678901\n5;#N/A\n";
    let expected = [
        "2 tag identifier-rounded",
        "3 eid identifier-rounded",
        "4 eid identifier-rounded",
        "5 eid eid-maybe-rounded?",
        "6 eid eid-length?",
        "7 eid spreadsheet-error",
    ];
    let found = check_flock(text, &expected);
    let problem = found.reading.problems.first().expect("the first");
    assert_eq!(problem.found.as_deref(), Some("9.82E+14"));
    assert_eq!(problem.tag.as_deref(), Some("9.82E+14"));
    assert!(problem.hint.contains("text"), "{}", problem.hint);
}

#[test]
fn a_second_row_with_a_tag_or_identifier_is_the_faulty_one() {
    let text = "tag,eid\n7,999000000000001\n7,999000000000001\n8,999000000000001\n07,\n,999000000000002\n";
    let expected = ["3 tag duplicate-tag", "4 eid duplicate-eid", "5 tag tags-alike?", "6 tag tag-missing"];
    let found = check_flock(text, &expected);
    let rows: Vec<_> = found.reading.records.iter().map(|ewe| ewe.row).collect();
    assert_eq!(rows, [2, 5]);
    let faulty: Vec<_> = found.faulty.iter().map(|faulty| (faulty.row, faulty.tag.as_str())).collect();
    assert_eq!(faulty, [(3, "7"), (4, "8"), (6, "row 6")]);
    assert!(found.reading.problems.first().is_some_and(|problem| problem.message.contains("row 2")));
    for faulty in &found.faulty {
        assert!(
            faulty.problems.iter().all(|&at| found.reading.problems.get(at).is_some_and(Problem::is_error))
        );
    }
}

// ---- figures and words ----

#[test]
fn condition_scores() {
    for (text, score) in [("2,75", 2.75), ("2.5", 2.5), ("2½", 2.5), ("3", 3.0), ("1", 1.0), ("5.00", 5.0)] {
        let ewe = only(check_flock(&format!("tag;condition\n1;{text}\n"), &[]));
        assert_eq!(ewe.condition, Score::of(score), "{text}");
    }
    for (text, code) in [
        ("2.6", "condition-not-quarter"),
        ("7", "out-of-range"),
        ("0.75", "out-of-range"),
        ("-2", "out-of-range"),
        ("fat", "not-a-number"),
        ("2-3", "not-a-number"),
    ] {
        check_flock(&format!("tag;condition\n1;{text}\n"), &[&format!("2 condition {code}")]);
    }
    let found = io::flock(b"tag,condition\n1,2.6\n", None, None);
    assert!(found.reading.problems.iter().any(|problem| problem.hint == "Write 2.5 or 2.75."));
}

#[test]
fn litters() {
    for (text, lambs) in [
        ("0", 0),
        ("2", 2),
        ("5", 5),
        ("2.0", 2),
        ("single", 1),
        ("Twins", 2),
        ("TRIPLETS", 3),
        ("quads", 4),
        ("barren", 0),
        ("empty", 0),
    ] {
        assert_eq!(
            only(check_flock(&format!("tag,litter\n1,{text}\n"), &[])).litter,
            Litter::of(lambs),
            "{text}"
        );
    }
    for text in ["6", "-1", "1.5", "T", "some", "2 lambs"] {
        check_flock(&format!("tag,litter\n1,{text}\n"), &["2 litter litter-unknown"]);
    }
}

#[test]
fn weights_and_growth() {
    for (text, said) in [
        ("24.9", &["2 weight_kg out-of-range"][..]),
        ("25", &["2 weight_kg unlikely?"]),
        ("34.9", &["2 weight_kg unlikely?"]),
        ("35", &[]),
        ("130", &[]),
        ("131", &["2 weight_kg unlikely?"]),
        ("160", &["2 weight_kg unlikely?"]),
        ("160.1", &["2 weight_kg out-of-range"]),
        ("70 kg", &[]),
        ("70 lb", &["2 weight_kg not-a-number"]),
        ("NaN", &["2 weight_kg not-a-number"]),
        ("1,234.5", &["2 weight_kg number-unclear"]),
    ] {
        let found = check_flock(&format!("tag;weight_kg\n1;{text}\n"), said);
        assert_eq!(found.faulty.is_empty(), said.iter().all(|said| said.ends_with('?')), "{text}");
    }
    check_flock(
        "tag,growth_g_per_day\n1,300\n2,301\n3,-1\n",
        &["3 growth_g_per_day out-of-range", "4 growth_g_per_day out-of-range"],
    );
}

#[test]
fn a_decimal_comma_in_the_file_makes_a_point_before_three_digits_unclear() {
    check_flock("tag;weight_kg\n1;70,5\n2;70.125\n", &["3 weight_kg number-unclear"]);
    check_flock("tag;weight_kg\n1;70.5\n2;70.125\n", &[]);
}

#[test]
fn ages_and_yes_or_no() {
    for (text, age) in [
        ("ewe lamb", AgeClass::EweLamb),
        ("Hogg", AgeClass::EweLamb),
        ("shearling", AgeClass::Shearling),
        ("gimmer", AgeClass::Shearling),
        ("theave", AgeClass::Shearling),
        ("two-tooth", AgeClass::Shearling),
        ("Mature", AgeClass::Mature),
        ("ewe_lamb", AgeClass::EweLamb),
    ] {
        assert_eq!(only(check_flock(&format!("tag,age\n1,{text}\n"), &[])).age, Some(age), "{text}");
    }
    for text in ["3", "young"] {
        check_flock(&format!("tag,age\n1,{text}\n"), &["2 age age-unknown"]);
    }
    for (text, shorn) in
        [("yes", true), ("Y", true), ("1", true), ("TRUE", true), ("no", false), ("0", false)]
    {
        assert_eq!(only(check_flock(&format!("tag,shorn\n1,{text}\n"), &[])).shorn, shorn, "{text}");
    }
    check_flock("tag,shorn\n1,maybe\n", &["2 shorn not-yes-or-no"]);
}

// ---- dates ----

#[test]
fn dates_that_can_be_read_one_way_only() {
    for text in [
        "2027-03-01",
        "2027/3/1",
        "2027-03-01T00:00:00Z",
        "2027-03-01 00:00",
        "20270301",
        "01.03.2027",
        "1.3.2027",
        "1 Mar 2027",
        "01-Mar-2027",
        "1 March 2027",
        "March 1 2027",
        "\"March 1, 2027\"",
        "1st of March 2027",
        "Monday 1 March 2027",
        "2027-Mar-01",
        "1 MAR 2027 12:30:00",
    ] {
        assert_eq!(
            only(check_flock(&format!("tag,due\n1,{text}\n"), &[])).due,
            Due::On(day("2027-03-01")),
            "{text}"
        );
    }
}

#[test]
fn dates_that_are_none() {
    for (text, code) in [
        ("31/02/2027", "date-no-such-day"),
        ("2027-02-30", "date-no-such-day"),
        ("31.02.2027", "date-no-such-day"),
        ("30 Feb 2027", "date-no-such-day"),
        ("32/13/2027", "date-no-such-day"),
        ("00/00/2027", "date-no-such-day"),
        ("01/03/27", "date-two-digit-year"),
        ("01-Mar-27", "date-two-digit-year"),
        ("1.3.27", "date-two-digit-year"),
        ("46447", "date-day-number"),
        ("2127-03-01", "date-year"),
        ("0027-03-01", "date-year"),
        ("01/03/1927", "date-year"),
        ("soon", "not-a-date"),
        ("7", "not-a-date"),
        ("March 2027", "not-a-date"),
        ("2027-03", "not-a-date"),
        ("1/3-2027", "not-a-date"),
        ("-2027-03-01", "not-a-date"),
        ("1 Mar Apr 2027", "not-a-date"),
        ("１/３/2027", "not-a-date"),
        ("12:30", "not-a-date"),
    ] {
        check_flock(&format!("tag,due\n1,{text}\n"), &[&format!("2 due {code}")]);
    }
    let found = io::flock(b"tag,due\n1,46447\n", None, None);
    assert!(found.reading.problems.iter().any(|problem| problem.message.contains("1 March 2027")));
}

#[track_caller]
fn check_dues(header: &str, dates: &[&str], asked: Option<DateOrder>, said_of: &[&str], expected: &[&str]) {
    let rows: String = dates.iter().enumerate().map(|(tag, text)| format!("t{tag},{text}\n")).collect();
    let found = io::flock(format!("tag,{header}\n{rows}").as_bytes(), None, asked);
    assert_eq!(said(&found.reading.problems), said_of);
    let days = found.reading.records.iter().map(|ewe| match &ewe.due {
        Due::On(day) => day.to_string(),
        other => format!("{other:?}"),
    });
    assert_eq!(days.collect::<Vec<_>>(), expected);
    assert_eq!(found.reading.records.len() + found.faulty.len(), dates.len());
}

#[test]
fn the_order_of_day_and_month_is_decided_over_the_column() {
    check_dues("due", &["03/04/2027", "13/04/2027"], None, &[], &["2027-04-03", "2027-04-13"]);
    check_dues("due", &["03/04/2027", "04-13-2027"], None, &[], &["2027-03-04", "2027-04-13"]);
    check_dues("due", &["04/04/2027", "2027-03-01"], None, &[], &["2027-04-04", "2027-03-01"]);
    check_dues("due", &["03/04/2027"], Some(DateOrder::Dmy), &[], &["2027-04-03"]);
    check_dues("due", &["03/04/2027"], Some(DateOrder::Mdy), &[], &["2027-03-04"]);
    check_dues("due (dd/mm/yyyy)", &["03/04/2027"], None, &[], &["2027-04-03"]);
    // Dots say nothing about slashes.
    check_dues("due", &["03/04/2027", "13.04.2027"], None, &["due date-order-unclear"], &["2027-04-13"]);
}

#[test]
fn dates_against_the_others_are_row_errors() {
    check_dues(
        "due",
        &["13/04/2027", "14/04/2027", "04/15/2027", "03/04/2027"],
        None,
        &["due date-order-mixed?", "4 due date-against-order"],
        &["2027-04-13", "2027-04-14", "2027-04-03"],
    );
    check_dues(
        "due",
        &["13/04/2027"],
        Some(DateOrder::Mdy),
        &["due date-order-mixed?", "2 due date-against-order"],
        &[],
    );
    // One against one decides nothing, so what can be read two ways is asked.
    check_dues(
        "due",
        &["13/04/2027", "04/15/2027", "03/04/2027"],
        None,
        &["due date-order-unclear"],
        &["2027-04-13", "2027-04-15"],
    );
}

#[test]
fn an_open_order_is_asked_with_the_dates_in_words() {
    let text =
        "tag,due\n1,03/04/2027\n2,05/06/2027\n3,03/04/2027\n4,7/7/2027\n5,1/2/2027\n6,2/3/2027\n7,2/13/27\n";
    let found = check_flock(text, &["due date-order-unclear", "8 due date-two-digit-year"]);
    let question = found.date_question.expect("it is open");
    assert_eq!(question.column, "due");
    assert_eq!(question.samples, ["03/04/2027", "05/06/2027", "1/2/2027"]);
    assert_eq!(question.dmy_words, ["3 April 2027", "5 June 2027", "1 February 2027"]);
    assert_eq!(question.mdy_words, ["4 March 2027", "6 May 2027", "2 January 2027"]);
    let problem = found.reading.problems.first().expect("the question");
    assert!(problem.hint.contains("--dates dmy") && problem.hint.contains("--dates mdy"));
    assert_eq!(found.reading.records.iter().map(|ewe| ewe.row).collect::<Vec<_>>(), [5]);
    assert_eq!(
        found.faulty.iter().map(|faulty| faulty.problems.clone()).collect::<Vec<_>>(),
        [vec![0], vec![0], vec![0], vec![0], vec![0], vec![1],]
    );
}

// ---- groups ----

#[test]
fn a_group_tells_when_she_is_due() {
    // 147 days after 5 October 2026 is 1 March 2027; after 21 October, 17 March.
    let ewe = only(check_flock("tag,Raddle\n1, BLUE \n", &[]));
    let expected =
        Due::Between { group: "blue".to_owned(), first: day("2027-03-01"), last: day("2027-03-17") };
    assert_eq!(ewe.due, expected);
    assert!(ewe.extra.is_empty());
    let due =
        MatingGroup { of: DayOf::Due, first_day: day("2027-03-02"), last_day: day("2027-03-03"), ..blue() };
    let found = io::flock(b"tag,group\n1,blue\n", Some(&[due]), None);
    let expected =
        Due::Between { group: "blue".to_owned(), first: day("2027-03-02"), last: day("2027-03-03") };
    assert_eq!(only(found).due, expected);
}

#[test]
fn a_date_of_her_own_wins_over_the_group() {
    let text = "tag,due,group\n1,2027-02-19,blue\n2,2027-02-18,blue\n3,2027-03-27,blue\n4,2027-03-28,blue\n\
                5,2027-03-28,red\n6,,red\n";
    let expected = [
        "3 due due-outside-group?",
        "5 due due-outside-group?",
        "6 group group-unknown?",
        "7 group group-unknown",
    ];
    let found = check_flock(text, &expected);
    assert_eq!(found.reading.records.len(), 5);
    assert!(found.reading.records.iter().all(|ewe| matches!(ewe.due, Due::On(_)) && ewe.extra.len() == 1));
}

#[test]
fn a_missing_groups_file_is_said_once() {
    let text = b"tag,due,group\n1,,blue\n2,,blue\n3,2027-03-01,blue\n4,,\n";
    let found = io::flock(text, None, None);
    assert_eq!(said(&found.reading.problems), ["group groups-file-missing"]);
    assert!(found.reading.problems.first().is_some_and(|p| p.hint.contains("--groups GROUPS.csv")));
    assert_eq!(
        found.faulty.iter().map(|f| (f.row, f.problems.clone())).collect::<Vec<_>>(),
        [(2, vec![0]), (3, vec![0]),]
    );
    assert_eq!(found.reading.records.iter().map(|ewe| ewe.row).collect::<Vec<_>>(), [4, 5]);
    assert!(io::flock(b"tag,due,group\n3,2027-03-01,blue\n", None, None).reading.problems.is_empty());
}

#[test]
fn groups_are_read() {
    let groups = check_groups(
        "Colour;From;To;Of\nblue;05.10.2026;21.10.2026;service\ngreen;2027-03-18;2027-04-03;Due\n",
        &[],
    );
    assert_eq!(groups.first(), Some(&blue()));
    assert_eq!(groups.get(1).map(|group| (group.of, group.row)), Some((DayOf::Due, 3)));
}

#[test]
fn groups_at_fault() {
    let head = "group,first_day,last_day,of\n";
    for (row, expected) in [
        ("a,2027-03-02,2027-03-01,due\n", &["2 last_day days-reversed"][..]),
        ("a,2027-03-01,2027-04-29,due\n", &[]),
        ("a,2027-03-01,2027-04-30,due\n", &["2 last_day long-window?"]),
        ("a,,2027-04-30,due\n", &["2 first_day day-missing"]),
        ("a,2027-03-01,2027-04-01,\n", &["2 of days-of-unknown"]),
        ("a,2027-03-01,2027-04-01,birth\n", &["2 of days-of-unknown"]),
        (",2027-03-01,2027-04-01,due\n", &["2 group group-missing"]),
        ("a,2027-03-01,2027-04-01,due\nA,2027-03-01,2027-04-01,due\n", &["3 group duplicate-group"]),
        ("a,31/02/2027,2027-04-01,due\n", &["2 first_day date-no-such-day"]),
        ("a,2027-03-01\n", &["2 cell-count"]),
    ] {
        check_groups(&format!("{head}{row}"), expected);
    }
    check_groups("group,first_day,last_day\na,2027-03-01,2027-03-02\n", &["column-missing"]);
}

#[test]
fn both_days_of_groups_decide_the_order_together() {
    let text = b"group,first_day,last_day,of\nblue,05/10/2026,21/10/2026,service\n";
    let (found, question) = io::groups(text, None);
    assert_eq!((found.records, question), (vec![blue()], None));
    let text = b"group,first_day,last_day,of\nblue,05/10/2026,06/10/2026,service\n";
    let (found, question) = io::groups(text, None);
    assert_eq!(said(&found.problems), ["first_day and last_day date-order-unclear"]);
    assert_eq!(
        question.map(|q| (q.column, q.samples)),
        Some(("first_day and last_day".to_owned(), vec!["05/10/2026".to_owned(), "06/10/2026".to_owned()]))
    );
    let (found, question) = io::groups(text, Some(DateOrder::Mdy));
    assert_eq!(question, None);
    assert_eq!(found.records.first().map(|group| group.last_day), Some(day("2026-06-10")));
}

// ---- pens ----

#[test]
fn a_full_pen_is_read() {
    let text = "Pen;Trough (m);Area (m²);Feeding;Floor;Blocked corners;Only;Not;Max head;places\n\
                A;12,5;45;always;slats;2;ewe lamb / shearling;;30;\nB;;40;;;;;Ewe lambs and hoggs;;24\n";
    let pens = check_pens(text, &[]);
    let [a, b] = pens.as_slice() else { panic!("{pens:?}") };
    assert_eq!((a.face, a.area), (Face::Trough(Metre::new(12.5)), SquareMetre::new(45.0)));
    assert_eq!(
        (a.feeding, a.floor, a.blocked_corners, a.max_head),
        (Feeding::Always, Floor::Slats, 2, Some(30))
    );
    assert_eq!(a.only, [AgeClass::EweLamb, AgeClass::Shearling]);
    assert_eq!((b.face, b.feeding, b.floor, b.row), (Face::Places(24), Feeding::Restricted, Floor::Straw, 3));
    assert_eq!((b.not.as_slice(), b.blocked_corners, b.max_head), (&[AgeClass::EweLamb][..], 0, None));
}

#[test]
fn pens_at_fault() {
    let head = "pen,trough_m,places,area_m2,feeding,floor,blocked_corners,only,not,max_head\n";
    for (row, expected) in [
        ("A,10,,40,,,,,,\n", &[][..]),
        ("A,10,8,40,,,,,,\n", &["2 places face-twice"]),
        ("A,,,40,,,,,,\n", &["2 trough_m face-missing"]),
        ("A,10,,,,,,,,\n", &["2 area_m2 area-missing"]),
        ("A,-1,,40,,,,,,\n", &["2 trough_m out-of-range"]),
        ("A,0,,40,,,,,,\n", &["2 trough_m out-of-range"]),
        ("A,501,,40,,,,,,\n", &["2 trough_m out-of-range"]),
        ("A,150,,40,,,,,,\n", &["2 trough_m unlikely?"]),
        ("A,10,,5001,,,,,,\n", &["2 area_m2 out-of-range"]),
        ("A,10,,0,,,,,,\n", &["2 area_m2 out-of-range"]),
        ("A,10,,1500,,,,,,\n", &["2 area_m2 unlikely?"]),
        ("A,10m,,40 m2,,,,,,\n", &[]),
        ("A,10ft,,40,,,,,,\n", &["2 trough_m not-a-number"]),
        ("A,,7.5,40,,,,,,\n", &["2 places out-of-range"]),
        ("A,,8,40,,,1,,,\n", &["2 blocked_corners corners-without-trough"]),
        ("A,10,,40,sometimes,,,,,\n", &["2 feeding feeding-unknown"]),
        ("A,10,,40,,sand,,,,\n", &["2 floor floor-unknown"]),
        ("A,10,,40,,,-1,,,\n", &["2 blocked_corners out-of-range"]),
        ("A,10,,40,,,1.5,,,\n", &["2 blocked_corners out-of-range"]),
        ("A,10,,40,,,,lambs,,\n", &["2 only age-unknown"]),
        ("A,10,,40,,,,ewe lamb,hogg,\n", &["2 not pen-takes-none"]),
        ("A,10,,40,,,,,ewe lamb+shearling|mature,\n", &["2 not pen-takes-none"]),
        ("A,10,,40,,,,,,0\n", &["2 max_head out-of-range"]),
        (",10,,40,,,,,,\n", &["2 pen pen-missing"]),
        ("A,10,,40,,,,,,\nA,10,,40,,,,,,\n", &["3 pen duplicate-pen"]),
        ("A,10,,40,,,,,,\na,10,,40,,,,,,\n", &["3 pen pens-alike?"]),
        ("A,10,,40\n", &["2 cell-count"]),
    ] {
        let pens = check_pens(&format!("{head}{row}"), expected);
        let errors = expected.iter().filter(|said| !said.ends_with('?')).count();
        assert_eq!(pens.len(), row.lines().count() - errors, "{row}");
    }
    check_pens("pen,area_m2\nA,40\n", &["column-missing"]);
}
