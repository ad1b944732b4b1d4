//! Moving one ewe by hand, judged from outside: the same assignment given to `evaluate` must come to the same.
// A test may say what it expects by failing.
#![allow(clippy::unwrap_used)]

mod common;

use common::{Dice, flock_csv, pens_csv, valid};
use evenfold::farm::settings::{Keep, Settings};
use evenfold::farm::view::{MoveReply, PutView};
use evenfold::farm::{Answer, DemoOldPens, Farm, FaultyRows, Files, evaluate, sort};
use serde_json::Value;
use std::collections::BTreeMap;

fn files<'a>(flock: &'a str, pens: &'a str) -> Files<'a> {
    Files { flock: flock.as_bytes(), pens: pens.as_bytes(), groups: None }
}

/// Small farms of all sorts: soft terms, a second kind, pens with head limits, somebody kept by the sort.
fn farms() -> Vec<(String, String, Settings, Farm)> {
    let mut farms = Vec::new();
    for seed in 0..20_u64 {
        let mut dice = Dice(7000 + seed);
        // Over 30 ewes, so that no exact search is spent on the answer that each case is compared with.
        let ewes = 31 + dice.below(12);
        let mut flock = flock_csv(&mut dice, ewes);
        if seed % 3 != 0 {
            flock = flock.replace("ewe lamb", "mature");
        }
        let mut pens = pens_csv(&mut dice, 2 + seed as usize % 3, ewes, 1.6);
        if seed % 2 == 0 {
            pens = pens.replace("floor\n", "floor,max_head,not\n").replace("straw\n", "straw,26,shearling\n");
        }
        let mut settings = Settings {
            period_days: Some([1, 5][seed as usize % 2]),
            min_head: 1 + seed as u32 % 4,
            ..Settings::default()
        };
        if seed % 4 == 1 {
            settings.soft.body_size_mj_per_kg = 0.3;
            settings.soft.even_filling_mj_per_ewe = 2.0;
        }
        if seed % 5 == 1 {
            settings.keep = vec![Keep { tag: "E00002".to_owned(), pen: "A".to_owned() }];
        }
        if let Answer::Sorted(farm) = sort(files(&flock, &pens), &settings, FaultyRows::Refuse) {
            farms.push((flock, pens, settings, *farm));
        }
    }
    assert!(farms.len() >= 8, "{} sorted", farms.len());
    farms
}

/// Where everybody stands, by the JSON document.
fn standing(farm: &Farm) -> BTreeMap<String, String> {
    let document: Value = serde_json::from_str(&farm.document_json()).unwrap();
    let text = |value: &Value| value.as_str().unwrap().to_owned();
    document["ewes"].as_array().unwrap().iter().map(|ewe| (text(&ewe["tag"]), text(&ewe["pen"]))).collect()
}

/// The same assignment as somebody else's, scored: its objective and the limits that it breaks.
fn judged(flock: &str, pens: &str, settings: &Settings, at: &BTreeMap<String, String>) -> (f64, Vec<String>) {
    let rows: String = at.iter().map(|(tag, pen)| format!("{tag},{pen}\n")).collect();
    let list = format!("tag,pen\n{rows}");
    let answer = evaluate(files(flock, pens), &[list.as_bytes()], settings, FaultyRows::Refuse);
    let document: Value = serde_json::from_str(&answer.to_json()).unwrap();
    let limits = document["limits_broken"].as_array().unwrap();
    let words = limits.iter().map(|limit| limit["words"].as_str().unwrap().to_owned()).collect();
    (document["objective"].as_f64().unwrap(), words)
}

fn puts(farm: &Farm, tag: &str) -> Vec<PutView> {
    farm.picked(tag).expect("she is sorted").places
}

#[test]
fn what_a_pen_says_is_what_the_same_pens_given_by_somebody_come_to() {
    let (mut taken, mut broken, mut saving) = (0, 0, 0);
    for (flock, pens, settings, farm) in farms() {
        let before = standing(&farm);
        let (objective, none) = judged(&flock, &pens, &settings, &before);
        assert!(none.is_empty(), "{none:?}");
        // A few ewes of each farm: every answer costs a whole sort to compare with.
        for (tag, here) in before.iter().step_by(5) {
            for put in puts(&farm, tag) {
                assert_eq!(put.here, put.pen == *here);
                if put.here {
                    continue;
                }
                let mut after = before.clone();
                after.insert(tag.clone(), put.pen.clone());
                let (then, limits) = judged(&flock, &pens, &settings, &after);
                assert_eq!(put.limits, limits, "{tag} to {}", put.pen);
                assert_eq!(put.allowed, limits.is_empty());
                match put.change_mj {
                    Some(change) => {
                        taken += 1;
                        saving += usize::from(change < -1e-6);
                        assert!(
                            (change - (then - objective)).abs() < 1e-9,
                            "{change} of {objective} to {then}"
                        );
                    }
                    None => broken += 1,
                }
            }
        }
    }
    assert!(taken > 20 && broken > 20, "{taken} taken, {broken} broken");
    // One ewe alone can make a sort better only where somebody was kept against it.
    assert!(saving <= taken / 10, "{saving} of {taken} save");
}

#[test]
fn she_alone_moves_and_taking_back_leaves_no_trace() {
    let mut moved = 0;
    for (flock, pens, settings, mut farm) in farms() {
        let mut trail = vec![(farm.document_json(), farm.view())];
        let mut dice = Dice(trail[0].0.len() as u64);
        for _ in 0..5 {
            let before = standing(&farm);
            let tags: Vec<&String> = before.keys().collect();
            let tag = tags[dice.below(tags.len())];
            let places = puts(&farm, tag);
            let put = &places[dice.below(places.len())];
            match farm.put_into(tag, &put.pen) {
                MoveReply::Moved { view, keep, said } => {
                    moved += 1;
                    assert!(put.allowed && !put.here);
                    assert!(said.contains(tag.as_str()) && said.contains(&put.cost), "{said}");
                    let mut expected = before.clone();
                    expected.insert(tag.clone(), put.pen.clone());
                    assert_eq!(standing(&farm), expected);
                    assert!(keep.contains(&Keep { tag: tag.clone(), pen: put.pen.clone() }));
                    let marks = view.pens.iter().flat_map(|pen| pen.ewes.iter().map(move |ewe| (pen, ewe)));
                    for (pen, ewe) in marks.filter(|(_, ewe)| ewe.tag == *tag) {
                        assert!(pen.name == put.pen && ewe.kept);
                    }
                    assert_eq!(view.moved.len(), trail.len());
                    assert!(!view.by_hand.is_empty() && !view.can_prove);
                    let document = valid("sort", &farm.document_json());
                    assert_eq!(document["status"], "evaluated");
                    let (objective, limits) = judged(&flock, &pens, &settings, &expected);
                    assert!(limits.is_empty());
                    assert_eq!(document["objective"].as_f64(), Some(objective));
                    assert!(document["lower_bound"].as_f64().unwrap() <= objective);
                    trail.push((farm.document_json(), farm.view()));
                }
                MoveReply::Refused { problem } => {
                    assert!(put.here || !put.allowed);
                    assert!(put.limits.iter().all(|limit| problem.message.contains(limit)));
                    assert_eq!(farm.document_json(), trail.last().unwrap().0);
                }
            }
        }
        trail.pop();
        while let Some((document, view)) = trail.pop() {
            assert!(matches!(farm.take_back(), Some(MoveReply::Moved { .. })));
            assert_eq!(farm.document_json(), document);
            assert_eq!(farm.view(), view);
        }
        assert!(farm.take_back().is_none());
    }
    assert!(moved > 10, "{moved} moved");
}

#[test]
fn who_is_not_there_is_refused_in_words() {
    let (_, _, _, mut farm) = farms().swap_remove(0);
    assert!(farm.picked("nobody").is_none());
    let before = farm.document_json();
    for (tag, pen) in [("nobody", "A"), ("E00001", "no such pen")] {
        let MoveReply::Refused { problem } = farm.put_into(tag, pen) else { panic!("{tag} was moved") };
        assert!(problem.message.contains(tag) && problem.message.contains(pen));
    }
    assert_eq!(farm.document_json(), before);
}

#[test]
fn the_demos_old_pens_are_all_its_ewes_and_say_that_they_are_invented() {
    let old = DemoOldPens::new().expect("the demo can be sorted");
    assert!(old.name.contains("invented") && old.words.starts_with("Invented"));
    let file = |name: &str| std::fs::read(format!("data/example/{name}.csv")).unwrap();
    let (flock, pens, groups) = (file("flock"), file("pens"), file("groups"));
    let files = Files { flock: &flock, pens: &pens, groups: Some(&groups) };
    let Answer::Sorted(farm) =
        evaluate(files, &[old.list.as_bytes()], &Settings::default(), FaultyRows::SetAside)
    else {
        panic!("the old pens cannot be read")
    };
    assert!(farm.limits_broken().is_empty(), "{:?}", farm.limits_broken());
    let Answer::Sorted(sorted) = sort(files, &Settings::default(), FaultyRows::SetAside) else { panic!() };
    let (then, now) = (standing(&farm), standing(&sorted));
    assert_eq!(then.keys().collect::<Vec<_>>(), now.keys().collect::<Vec<_>>());
    assert!(then.iter().filter(|(tag, pen)| now[*tag] != **pen).count() > 10);
}
