//! The shape of the file.

use crate::{check_flock, day, only};
use evenfold::flock::{AgeClass, Due, Ewe, Litter, Score};
use evenfold::io;
use evenfold::problem::Severity;
use evenfold::quantity::{GramPerDay, Kg};

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
        assert_eq!(found.reading.records, std::slice::from_ref(&expected), "{name}");
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
        (&b"PK\x03\x04rest"[..], "workbook-damaged", "XLSX"),
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
