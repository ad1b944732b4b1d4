//! The command line: `evenfold journal`.

use crate::common::scanning_day::scanning_day;
use crate::common::{evenfold, folder, stderr, stdout, valid};
use evenfold::io::write_journal;
use std::path::{Path, PathBuf};

fn path(folder: &Path, name: &str) -> String {
    folder.join(name).to_str().unwrap().to_owned()
}

/// A folder with the journals of two races.
fn races(name: &str) -> PathBuf {
    let folder = folder(name);
    let [a, b] = scanning_day(8, 60);
    std::fs::write(folder.join("a.jsonl"), write_journal(&a)).unwrap();
    std::fs::write(folder.join("b.jsonl"), write_journal(&b)).unwrap();
    folder
}

#[test]
fn merging_gives_the_same_file_in_any_order_and_again() {
    let folder = races("journal-merge");
    let [a, b, ab, ba] = ["a.jsonl", "b.jsonl", "ab.jsonl", "ba.jsonl"].map(|name| path(&folder, name));
    for (files, out) in [([&a, &b], &ab), ([&b, &a], &ba)] {
        let output = evenfold(&["journal", "merge", files[0], files[1], "--out", out]);
        assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
        assert!(stderr(&output).contains("new,"), "{}", stderr(&output));
        assert!(stdout(&output).is_empty());
    }
    let read = |file: &str| std::fs::read_to_string(file).unwrap();
    assert_eq!(read(&ab), read(&ba));
    // Into one of the files itself, and printed.
    assert_eq!(evenfold(&["journal", "merge", &ab, &a, &ab, "--out", &ab]).status.code(), Some(0));
    assert_eq!(read(&ab), read(&ba));
    assert_eq!(stdout(&evenfold(&["journal", "merge", &b, &a])), read(&ba));
    assert_eq!(std::fs::read_dir(&folder).unwrap().count(), 4, "nothing else is left behind");
    std::fs::remove_dir_all(folder).unwrap();
}

#[test]
fn the_state_is_said_in_words_and_in_json() {
    let folder = races("journal-state");
    let [a, b, both] = ["a.jsonl", "b.jsonl", "both.jsonl"].map(|name| path(&folder, name));
    evenfold(&["journal", "merge", &a, &b, "--out", &both]);
    let output = evenfold(&["journal", "state", &both]);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    let words = stdout(&output);
    for part in [
        "Invented flock: ",
        " ewes, ",
        "twins",
        "Condition  ",
        "Pen A: ",
        "Readings that differ",
        "not a substitute",
    ] {
        assert!(words.contains(part), "no '{part}' in:\n{words}");
    }
    let document = valid("state", &stdout(&evenfold(&["journal", "state", &both, "--json"])));
    assert_eq!(document["devices"].as_array().unwrap().len(), 2);
    std::fs::remove_dir_all(folder).unwrap();
}

#[test]
fn checking_tells_by_its_exit_code() {
    let folder = races("journal-check");
    let a = path(&folder, "a.jsonl");
    let sound = evenfold(&["journal", "check", &a]);
    assert_eq!(sound.status.code(), Some(0), "{}", stderr(&sound));
    assert!(stdout(&sound).ends_with("To look at: 0.\n"), "{}", stdout(&sound));
    let text = std::fs::read_to_string(&a).unwrap();
    std::fs::write(&a, &text[..text.len() - 20]).unwrap();
    let torn = evenfold(&["journal", "check", &a]);
    assert_eq!(torn.status.code(), Some(2));
    let line = text.lines().count();
    assert!(stderr(&torn).contains(&format!("error: journal line {line}: found")), "{}", stderr(&torn));
    // It is taken all the same by everything else.
    assert_eq!(evenfold(&["journal", "state", &a]).status.code(), Some(0));
    std::fs::write(&a, "tag,litter\n1,2\n").unwrap();
    for task in ["check", "state", "flock", "merge"] {
        let output = evenfold(&["journal", task, &a]);
        assert_eq!(output.status.code(), Some(2), "{task}");
        assert!(stderr(&output).contains("[not-a-journal]"), "{task}: {}", stderr(&output));
    }
    let missing = evenfold(&["journal", "merge", &a, "no-such-file.jsonl"]);
    assert_eq!(missing.status.code(), Some(2));
    std::fs::remove_dir_all(folder).unwrap();
}

#[test]
fn a_journal_is_sorted() {
    let folder = races("journal-flock");
    let [a, flock, pens, groups] =
        ["a.jsonl", "flock.csv", "pens.csv", "groups.csv"].map(|name| path(&folder, name));
    let out = evenfold(&["journal", "flock", &a, "--out", &flock, "--pens", &pens, "--groups", &groups]);
    assert_eq!(out.status.code(), Some(0), "{}", stderr(&out));
    let ewes = std::fs::read_to_string(&flock).unwrap().lines().count() - 1;
    let sorted = evenfold(&[
        "sort",
        &flock,
        "--pens",
        &pens,
        "--groups",
        &groups,
        "--on",
        "2027-01-20",
        "--period-days",
        "1",
        "--json",
    ]);
    assert_eq!(sorted.status.code(), Some(0), "{}", stderr(&sorted));
    let document = valid("sort", &stdout(&sorted));
    let count = |list: &str| document[list].as_array().unwrap().len();
    assert_eq!(count("ewes") + count("set_apart"), ewes);
    let all = evenfold(&["journal", "flock", &a]);
    assert_eq!(stdout(&all), std::fs::read_to_string(&flock).unwrap());
    assert!(stderr(&all).is_empty(), "{}", stderr(&all));
    // The same season, and a year on.
    let of_race = |day| stdout(&evenfold(&["journal", "flock", &a, "--on", day]));
    assert_eq!(of_race("2027-01-12"), stdout(&all));
    assert_eq!(of_race("2028-01-12").lines().count(), 1);
    // Where another season is in the journal it is said.
    let later = r#"{"v":1,"id":"t-1","device":"t","sequence":1,"at":[1831278600000,0],"day":"2028-01-12","what":{"kind":"scanned","ewe":{"tag":"new"},"lambs":2}}"#;
    std::fs::write(&a, format!("{}{later}\n", std::fs::read_to_string(&a).unwrap())).unwrap();
    assert!(stderr(&evenfold(&["journal", "flock", &a])).contains("--on"));
    let now = of_race("2028-01-12");
    assert!(now.lines().count() == 2 && now.contains("new,,2,"), "{now}");
    std::fs::remove_dir_all(folder).unwrap();
}
