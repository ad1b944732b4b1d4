//! Identity, figures and words.

use crate::{check_flock, only};
use evenfold::flock::{AgeClass, Litter, Score};
use evenfold::io;
use evenfold::problem::Problem;

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
