//! A given assignment judged from outside: scored as a sort is, with every limit that it breaks.
// A test may say what it expects by failing.
#![allow(clippy::unwrap_used)]

mod common;

use common::{Dice, evenfold, flock_csv, folder, pens_csv, stderr, stdout, valid};
use evenfold::farm::settings::Settings;
use evenfold::farm::{Answer, FaultyRows, Files, evaluate, sort};
use serde_json::Value;

fn files<'a>(flock: &'a str, pens: &'a str) -> Files<'a> {
    Files { flock: flock.as_bytes(), pens: pens.as_bytes(), groups: None }
}

fn json(answer: &Answer) -> Value {
    serde_json::from_str(&answer.to_json()).expect("one JSON document")
}

fn list<'a>(value: &'a Value, name: &str) -> &'a Vec<Value> {
    value[name].as_array().expect("a list")
}

fn number(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}

fn scored(flock: &str, pens: &str, assignment: &str, settings: &Settings) -> Value {
    valid(
        "sort",
        &evaluate(files(flock, pens), &[assignment.as_bytes()], settings, FaultyRows::Refuse).to_json(),
    )
}

/// The limits broken, as an independent reader finds them in the document: pen and limit.
fn found_broken(document: &Value) -> Vec<(String, &'static str)> {
    let ewes = list(document, "ewes");
    let mut broken = Vec::new();
    for pen in list(document, "pens") {
        let members: Vec<&Value> = ewes.iter().filter(|ewe| ewe["pen"] == pen["pen"]).collect();
        let Some(first) = members.first() else { continue };
        let mut add = |limit| broken.push((pen["pen"].as_str().unwrap().to_owned(), limit));
        let sum = |name: &str| members.iter().map(|ewe| number(&ewe[name])).sum::<f64>();
        let of_kind = ewes.iter().filter(|ewe| ewe["kind"] == first["kind"]).count();
        if sum("trough_m") > number(&pen["trough_m"]) + 1e-9 {
            add("trough");
        }
        if sum("area_m2") > number(&pen["area_m2"]) + 1e-9 {
            add("floor");
        }
        if members.len() as u64 > pen["max_head"].as_u64().unwrap_or(u64::MAX) {
            add("max_head");
        }
        if members.len() < of_kind.min(pen["min_head"].as_u64().unwrap() as usize) {
            add("min_head");
        }
        if members.iter().any(|ewe| !list(pen, "takes").contains(&ewe["age"])) {
            add("age");
        }
        if members.iter().any(|ewe| ewe["kind"] != first["kind"]) {
            add("apart");
        }
    }
    broken
}

#[test]
fn a_sort_put_back_in_scores_what_it_said_and_breaks_nothing() {
    let mut tried = 0;
    for seed in 0..12 {
        let mut dice = Dice(900 + seed);
        let ewes = 6 + dice.below(80);
        let flock = flock_csv(&mut dice, ewes);
        let pens = pens_csv(&mut dice, 2 + seed as usize % 4, ewes, 1.4);
        let settings = Settings { period_days: [None, Some(1)][dice.below(2)], ..Settings::default() };
        let Answer::Sorted(farm) = sort(files(&flock, &pens), &settings, FaultyRows::Refuse) else {
            continue;
        };
        tried += 1;
        let before = json(&Answer::Sorted(farm));
        let Answer::Sorted(farm) = sort(files(&flock, &pens), &settings, FaultyRows::Refuse) else {
            panic!()
        };
        // The page's CSV: all pens' lists one after another.
        let after = scored(&flock, &pens, &farm.pen_csv(None).unwrap(), &settings);
        assert_eq!(after["status"], "evaluated");
        assert!(list(&after, "limits_broken").is_empty());
        for name in ["objective", "lower_bound", "gap_percent", "pens"] {
            assert_eq!(before[name], after[name], "{name}");
        }
    }
    assert!(tried >= 6, "{tried} sorted");
}

#[test]
fn the_limits_broken_are_those_that_a_reader_of_the_document_finds() {
    let (mut breaking, mut keeping) = (0, 0);
    for seed in 0..60 {
        let mut dice = Dice(1300 + seed);
        let ewes = 8 + dice.below(30);
        let mut flock = flock_csv(&mut dice, ewes);
        if seed % 3 == 0 {
            flock = flock.replace("ewe lamb", "mature");
        }
        let slack = [1.1, 2.5][dice.below(2)];
        let mut pens = pens_csv(&mut dice, 3, ewes, slack);
        if seed % 2 == 0 {
            pens = pens.replace("floor\n", "floor,max_head,not\n").replace("straw\n", "straw,9,ewe lamb\n");
        }
        let mut assignment = String::from("Tag;Pen\n");
        for ewe in 0..ewes {
            assignment.push_str(&format!("E{ewe:05};{}\n", ["A", "B", "C"][dice.below(3)]));
        }
        let document = scored(&flock, &pens, &assignment, &Settings::default());
        let named: Vec<(String, &str)> = list(&document, "limits_broken")
            .iter()
            .map(|broken| (broken["pen"].as_str().unwrap().to_owned(), broken["limit"].as_str().unwrap()))
            .collect();
        let mut found = found_broken(&document);
        let mut sorted = named.clone();
        found.sort();
        sorted.sort();
        assert_eq!(sorted, found, "farm {seed}");
        for broken in list(&document, "limits_broken") {
            let (used, there) = (number(&broken["used"]), number(&broken["available"]));
            assert!(if broken["limit"] == "min_head" { used < there } else { used > there }, "{broken}");
            assert!(broken["words"].as_str().unwrap().contains(broken["pen"].as_str().unwrap()));
        }
        if named.is_empty() {
            keeping += 1;
            assert!(number(&document["lower_bound"]) <= number(&document["objective"]));
            assert!(document["gap_percent"].as_f64().is_some() || number(&document["lower_bound"]) == 0.0);
        } else {
            breaking += 1;
            assert!(document["gap_percent"].is_null());
        }
    }
    assert!(breaking > 10 && keeping > 3, "{breaking} break limits, {keeping} keep them");
}

#[test]
fn rows_that_are_wrong_are_named_and_ewes_left_out_too() {
    let flock = "tag,litter,condition,due,weight_kg\nA1,2,3,2027-03-05,70\nA2,2,3,2027-03-06,70\n\
                 A3,1,3,2027-03-07,70\nA4,1,3,2027-03-08,70\nA5,0,3,,70\n";
    let pens = "pen,trough_m,area_m2\nA,9,30\nB,9,30\n";
    let assignment = "ear tag,pen name,shelf\nA1,A,x\nA1,B,\na 2,A,\nA3,Z,\n,A,\nA5,B,\n";
    let ask = |faulty| evaluate(files(flock, pens), &[assignment.as_bytes()], &Settings::default(), faulty);
    let refused = json(&ask(FaultyRows::Refuse));
    assert_eq!(refused["status"], "refused");
    let code = |code: &str| {
        list(&refused, "problems")
            .iter()
            .find(|problem| problem["code"] == code)
            .unwrap_or_else(|| panic!("no {code} in {:#?}", refused["problems"]))
    };
    for (name, row) in [("duplicate-tag", 3), ("tag-unknown", 4), ("pen-unknown", 5), ("tag-missing", 6)] {
        assert_eq!(code(name)["row"], row, "{name}");
        assert_eq!(code(name)["file"], "assignment");
    }
    assert!(code("tag-unknown")["message"].as_str().unwrap().contains("a 2"));
    assert!(code("unknown-columns")["message"].as_str().unwrap().contains("shelf"));
    let missing = code("ewes-without-pen")["message"].as_str().unwrap();
    assert!(missing.contains("A2, A4") && !missing.contains("A3"), "{missing}");
    assert!(code("not-sorted")["message"].as_str().unwrap().contains("pen B"));
    // Set aside, what is left is scored.
    let rest = json(&ask(FaultyRows::SetAside));
    assert_eq!(rest["status"], "evaluated");
    assert_eq!(list(&rest, "ewes").len(), 1);
    let apart: Vec<&Value> = list(&rest, "set_apart").iter().map(|apart| &apart["tag"]).collect();
    assert_eq!(apart, ["A2", "A3", "A4", "A5"]);
}

#[test]
fn the_lists_of_a_sort_can_be_given_back_to_the_command() {
    let folder = folder("evaluate");
    let farm =
        ["--pens", "data/example/pens.csv", "--groups", "data/example/groups.csv", "--on", "2027-02-01"];
    let out = folder.to_str().unwrap();
    let sorted = evenfold(&[&["sort", "data/example/flock.csv", "--out", out, "--json"][..], &farm].concat());
    let before = valid("sort", &stdout(&sorted));
    let mut lists: Vec<String> = std::fs::read_dir(&folder)
        .unwrap()
        .map(|entry| entry.unwrap().path().to_str().unwrap().to_owned())
        .filter(|path| path.contains("pen-"))
        .collect();
    lists.sort();
    let lists: Vec<&str> = lists.iter().map(String::as_str).collect();
    let call = [&["evaluate"][..], &lists, &["--flock", "data/example/flock.csv"], &farm].concat();
    let after = evenfold(&[&call[..], &["--json"]].concat());
    assert_eq!(after.status.code(), Some(0), "{}", stderr(&after));
    let after = valid("sort", &stdout(&after));
    assert_eq!(after["status"], "evaluated");
    assert_eq!(before["objective"], after["objective"]);
    assert_eq!(before["lower_bound"], after["lower_bound"]);
    let words = stdout(&evenfold(&call));
    assert!(words.contains("from the best possible") && !words.contains("broken"), "{words}");
    // One pen's list alone leaves the others out.
    let part = evenfold(&[&["evaluate", lists[0], "--flock", "data/example/flock.csv"][..], &farm].concat());
    assert_eq!(part.status.code(), Some(2));
    assert!(stderr(&part).contains("have no pen"), "{}", stderr(&part));
    std::fs::remove_dir_all(folder).unwrap();
}

#[test]
fn ties_by_hand_and_pens_out_of_use_are_named_where_they_are_broken() {
    let mut dice = Dice(77);
    let flock = flock_csv(&mut dice, 24).replace("ewe lamb", "mature");
    let pens = pens_csv(&mut dice, 3, 24, 3.0);
    let mut assignment = String::from("tag,pen\n");
    for ewe in 0..24 {
        assignment.push_str(&format!("E{ewe:05},{}\n", ["A", "B", "C"][ewe % 3]));
    }
    let tags = |ewes: &[usize]| ewes.iter().map(|ewe| format!("E{ewe:05}")).collect::<Vec<_>>();
    let broken = |settings: &Settings| -> Vec<(String, String)> {
        list(&scored(&flock, &pens, &assignment, settings), "limits_broken")
            .iter()
            .map(|broken| (broken["pen"].as_str().unwrap().into(), broken["limit"].as_str().unwrap().into()))
            .collect()
    };
    let named = |pen: &str, limit: &str| vec![(pen.to_owned(), limit.to_owned())];
    assert_eq!(broken(&Settings::default()), []);
    let kept =
        Settings { together: vec![tags(&[0, 3])], apart: vec![tags(&[0, 1, 2])], ..Settings::default() };
    assert_eq!(broken(&kept), []);
    let parted = Settings { together: vec![tags(&[1, 3])], ..Settings::default() };
    assert_eq!(broken(&parted), named("B", "keep_together"));
    let joined = Settings { apart: vec![tags(&[2, 5])], ..Settings::default() };
    assert_eq!(broken(&joined), named("C", "keep_apart"));
    let closed = Settings { out_of_use: vec!["A".to_owned()], ..Settings::default() };
    assert_eq!(broken(&closed), named("A", "out_of_use"));
}

#[test]
fn a_list_that_places_nobody_is_refused_not_scored_as_an_empty_shed() {
    let mut dice = Dice(77);
    let (flock, pens) = (flock_csv(&mut dice, 12), pens_csv(&mut dice, 2, 12, 2.0));
    for list in ["tag,pen\nE00001,Q\n", "tag,pen\nE00001,\n"] {
        let settings = Settings::default();
        let scored = evaluate(files(&flock, &pens), &[list.as_bytes()], &settings, FaultyRows::SetAside);
        let document = valid("sort", &scored.to_json());
        assert_eq!(document["status"], "refused", "{list}");
        assert!(list_of_codes(&document).contains(&"nobody-placed".to_owned()), "{document}");
    }
}

fn list_of_codes(document: &Value) -> Vec<String> {
    list(document, "problems").iter().map(|problem| problem["code"].as_str().unwrap().to_owned()).collect()
}
