//! Moves that are not free: ewes kept by hand while others move, and a sort from where the ewes stand. Small
//! farms are enumerated; larger ones are held against the curve of moves.
// A test may say what it expects by failing.
#![allow(clippy::unwrap_used)]

mod common;

use common::{Dice, evenfold, flock_csv, folder, later_csv, pens_csv, stderr, stdout, valid};
use evenfold::farm::document::SortDocument;
use evenfold::farm::settings::{Keep, Settings};
use evenfold::farm::{Answer, FaultyRows, Files, prepare, sort_from};
use evenfold::solve::front::front;
use evenfold::sort::Plan;

/// A small farm as text: flock, pens and where the ewes stand, within the limits.
struct Small {
    flock: String,
    pens: String,
    settings: Settings,
    plan: Plan,
    old: Vec<usize>,
}

fn prepared(flock: &str, pens: &str, settings: &Settings) -> Plan {
    let files = Files { flock: flock.as_bytes(), pens: pens.as_bytes(), groups: None };
    prepare(files, settings, FaultyRows::Refuse).expect("invented files are sound").plan
}

fn small(seed: u64) -> Option<Small> {
    let mut dice = Dice(seed);
    let ewes = 6 + dice.below(2);
    let flock = flock_csv(&mut dice, ewes).replace("ewe lamb", "mature");
    let pens = pens_csv(&mut dice, 3, ewes, 1.6);
    let settings = Settings {
        period_days: Some(1 + 2 * (seed as u32 % 2)),
        min_head: 1 + seed as u32 % 2,
        ..Settings::default()
    };
    let plan = prepared(&flock, &pens, &settings);
    let old = (0..400).find_map(|_| {
        let old: Vec<usize> = (0..ewes).map(|_| dice.below(3)).collect();
        plan.instance.is_feasible(&old).then_some(old)
    })?;
    Some(Small { flock, pens, settings, plan, old })
}

fn moved(old: &[usize], new: &[usize]) -> usize {
    old.iter().zip(new).filter(|(old, new)| old != new).count()
}

/// Every assignment within the limits, with what it loses.
fn every(plan: &Plan) -> Vec<(Vec<usize>, f64)> {
    let (items, bins) = (plan.instance.items(), plan.pens.len());
    (0..bins.pow(items as u32))
        .map(|code| (0..items).map(|item| code / bins.pow(item as u32) % bins).collect::<Vec<usize>>())
        .filter(|new| plan.instance.is_feasible(new))
        .map(|new| {
            let loss = plan.instance.cost(&new);
            (new, loss)
        })
        .collect()
}

fn list(plan: &Plan, old: &[usize]) -> String {
    let row = |(ewe, &pen): (usize, &usize)| format!("{},{}\n", plan.ewes[ewe].ewe.tag, plan.pens[pen].name);
    format!("tag,pen\n{}", old.iter().enumerate().map(row).collect::<String>())
}

#[test]
fn with_a_ewe_kept_by_hand_the_curve_is_the_best_that_leaves_her() {
    let (mut farms, mut would_move) = (0, 0);
    for seed in 0..24 {
        let Some(Small { plan, old, .. }) = small(7100 + seed) else { continue };
        let kept = seed as usize % old.len();
        let keep = Keep { tag: plan.ewes[kept].ewe.tag.clone(), pen: plan.pens[old[kept]].name.clone() };
        let all = every(&plan);
        let best_of_all = all.iter().min_by(|a, b| a.1.total_cmp(&b.1)).unwrap();
        would_move += usize::from(best_of_all.0[kept] != old[kept]);
        // The enumeration knows nothing of keeping but that she stays.
        let staying: Vec<_> = all.iter().filter(|(new, _)| new[kept] == old[kept]).collect();
        let keeping = plan.keeping(&[keep]);
        let best = staying.iter().min_by(|a, b| a.1.total_cmp(&b.1)).unwrap();
        let points = front(&keeping.instance, &old, Some(&best.0)).unwrap();
        for moves in 0..=old.len() {
            let least = staying.iter().filter(|(new, _)| moved(&old, new) <= moves).map(|(_, loss)| *loss);
            let least = least.fold(f64::INFINITY, f64::min);
            let found = points.iter().filter(|point| point.moves <= moves).map(|point| point.loss);
            let found = found.fold(f64::INFINITY, f64::min);
            assert!(
                (found - least).abs() < 1e-6 * least.max(1.0),
                "farm {seed}, {moves} moves: {found}, {least}"
            );
        }
        assert!(points.iter().all(|point| point.assignment[kept] == old[kept]));
        farms += 1;
    }
    assert!(farms >= 15 && would_move >= 4, "{farms} farms, in {would_move} she would have moved");
}

/// A flock three weeks on in three pens, written into a folder: the call's files, and the plan.
fn written(name: &str, seed: u64) -> (Vec<String>, Plan, Vec<usize>) {
    let mut dice = Dice(seed);
    let flock = flock_csv(&mut dice, 60).replace("ewe lamb", "mature");
    let pens = pens_csv(&mut dice, 3, 60, 1.3);
    let settings = Settings { period_days: Some(3), ..Settings::default() };
    let before = prepared(&flock, &pens, &settings);
    let evenfold::sort::Outcome::Sorted(sorted) = evenfold::sort::into_pens(&before) else {
        panic!("the invented farm sorts")
    };
    let old = sorted.assignment;
    let flock = later_csv(&mut dice, &flock);
    let folder = folder(name);
    let files = [("old.csv", list(&before, &old)), ("flock.csv", flock.clone()), ("pens.csv", pens.clone())];
    let paths = files.map(|(name, text)| {
        let path = folder.join(name);
        std::fs::write(&path, text).unwrap();
        path.to_str().unwrap().to_owned()
    });
    (paths.to_vec(), prepared(&flock, &pens, &settings), old)
}

fn call<'a>(task: &'a str, paths: &'a [String], more: &[&'a str]) -> Vec<&'a str> {
    let [old, flock, pens] = paths else { panic!("three files") };
    let mut words = match task {
        "regroup" => vec!["regroup", old, "--flock", flock],
        _ => vec!["sort", flock, "--from", old],
    };
    words.extend(["--pens", pens, "--on", "2027-02-01", "--period-days", "3"]);
    words.extend(more);
    words
}

#[test]
fn regroup_moves_nobody_who_is_kept_and_moves_one_who_stands_elsewhere_to_her_pen() {
    let (paths, plan, old) = written("moves-keep", 61);
    let all = evenfold(&call("regroup", &paths, &["--moves", "20", "--json"]));
    assert_eq!(all.status.code(), Some(0), "{}", stderr(&all));
    let document = valid("regroup", &stdout(&all));
    assert_eq!(document["kept"], serde_json::json!([]));
    let first = document["moves"][0].clone();
    let (tag, from, to) =
        (first["tag"].as_str().unwrap(), first["from"].as_str().unwrap(), first["to"].as_str().unwrap());
    let here = format!("{tag}={from}");
    let keeping = evenfold(&call("regroup", &paths, &["--moves", "20", "--json", "--keep", &here]));
    let document = valid("regroup", &stdout(&keeping));
    assert_eq!(document["kept"][0]["tag"], tag);
    let moves = document["moves"].as_array().unwrap();
    assert!(!moves.is_empty() && moves.iter().all(|entry| entry["tag"] != tag), "{tag} is moved");
    let words = stdout(&evenfold(&call("regroup", &paths, &["--keep", &here])));
    assert!(words.contains(&format!("not moved: {tag} in pen {from}")), "{words}");
    // Kept where she does not stand: a limit is broken, and she is moved there before all else.
    let there = format!("{tag}={to}");
    let sent = evenfold(&call("regroup", &paths, &["--moves", "20", "--json", "--keep", &there]));
    let document = valid("regroup", &stdout(&sent));
    assert!(document["forced_moves"].as_u64().unwrap() >= 1);
    let words = document["limits_broken"][0]["words"].as_str().unwrap();
    assert!(words.contains(tag) && words.contains("by hand"), "{words}");
    let moves = document["moves"].as_array().unwrap();
    assert!(moves.iter().any(|entry| entry["tag"] == tag && entry["to"] == to));
    // Somebody whom the flock does not know is named and nothing else changes.
    let nobody = evenfold(&call("regroup", &paths, &["--moves", "20", "--json", "--keep", "Q1=A"]));
    let document = valid("regroup", &stdout(&nobody));
    assert!(document["problems"].as_array().unwrap().iter().any(|problem| problem["code"] == "cannot-keep"));
    assert_eq!((plan.ewes.len(), old.len()), (60, 60));
}

/// The document of a sort from where the ewes stand.
fn from(small: &Small, cost: f64) -> SortDocument {
    let files = Files { flock: small.flock.as_bytes(), pens: small.pens.as_bytes(), groups: None };
    let old = list(&small.plan, &small.old);
    match sort_from(files, &[old.as_bytes()], &small.settings, FaultyRows::Refuse, cost) {
        Answer::Sorted(farm) => farm.document(),
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_sort_from_here_is_the_best_of_all_with_its_moves_counted() {
    let (mut farms, mut between) = (0, 0);
    for seed in 0..16 {
        let Some(small) = small(7300 + seed) else { continue };
        let all = every(&small.plan);
        for cost in [0.0, 0.5, 2.0, 8.0, 1e6] {
            let least = all
                .iter()
                .map(|(new, loss)| loss + cost * moved(&small.old, new) as f64)
                .fold(f64::INFINITY, f64::min);
            let document = from(&small, cost);
            let near = |value: f64| (value - least).abs() < 1e-6 * least.max(1.0);
            assert!(near(document.objective), "farm {seed}, {cost} MJ: {} not {least}", document.objective);
            assert!(document.lower_bound <= least * (1.0 + 1e-9));
            let moves = document.terms.iter().find(|term| term.term == "moves").unwrap();
            let told = document.ewes.iter().filter(|ewe| ewe.stood_in.as_ref() != Some(&ewe.pen)).count();
            assert!(moves.value == told as f64 && moves.weight_mj_per_unit == cost);
            between += usize::from(told > 0 && cost > 0.0);
        }
        farms += 1;
    }
    assert!(farms >= 10 && between >= 8, "{farms} farms, moves that paid in {between}");
}

#[test]
fn a_sort_from_here_is_never_worse_than_staying_or_than_any_point_of_the_curve() {
    for seed in 0..3 {
        let (paths, plan, old) = written(&format!("moves-from-{seed}"), 80 + seed);
        let stay = plan.instance.cost(&old);
        for cost in [0.0, 3.0, 30.0, 1e6] {
            let told = cost.to_string();
            let output = evenfold(&call("sort", &paths, &["--move-cost", &told, "--json"]));
            assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
            let document = valid("sort", &stdout(&output));
            let objective = document["objective"].as_f64().unwrap();
            assert!(document["lower_bound"].as_f64().unwrap() <= objective);
            let terms = document["terms"].as_array().unwrap();
            let sum: f64 = terms
                .iter()
                .map(|term| term["value"].as_f64().unwrap() * term["weight_mj_per_unit"].as_f64().unwrap())
                .sum();
            assert!((document["misfit_mj"].as_f64().unwrap() + sum - objective).abs() < 1e-6 * objective);
            assert!(objective <= stay * (1.0 + 1e-9), "{objective} with {cost} MJ a move, {stay} staying");
            for point in front(&plan.instance, &old, None).unwrap() {
                let there = point.loss + cost * point.moves as f64;
                assert!(objective <= there * (1.0 + 1e-9), "{objective}, {there} with {} moves", point.moves);
            }
            let moves = terms.iter().find(|term| term["term"] == "moves").unwrap();
            assert!(cost < 1e6 || moves["value"] == 0.0, "somebody moves at {cost} MJ");
        }
    }
}

#[test]
fn a_sort_from_here_that_cannot_be_is_refused_or_impossible_and_never_panics() {
    let (paths, ..) = written("moves-wrong", 91);
    for (more, code) in [
        (&["--move-cost", "-1"][..], 2),
        (&["--move-cost", "nan"][..], 2),
        (&["--move-cost", "1e300"][..], 2),
        (&[][..], 2),
        (&["--move-cost", "5", "--out-of-use", "A", "--out-of-use", "B"][..], 3),
    ] {
        let output = evenfold(&call("sort", &paths, more));
        assert_eq!(output.status.code(), Some(code), "{more:?}: {}{}", stdout(&output), stderr(&output));
    }
    let [old, flock, pens] = paths.as_slice() else { panic!("three files") };
    let without = evenfold(&["sort", flock, "--pens", pens, "--on", "2027-02-01", "--move-cost", "3"]);
    assert_eq!(without.status.code(), Some(2), "a cost of moves from nowhere");
    std::fs::write(old, "tag,pen\nE00000,A\n").unwrap();
    let most_missing = evenfold(&call("sort", &paths, &["--move-cost", "5"]));
    assert_eq!(most_missing.status.code(), Some(2), "{}", stdout(&most_missing));
    let words = stdout(&evenfold(&["sort", "--help"]));
    assert!(words.contains("--from") && words.contains("--move-cost") && words.contains("--keep"), "{words}");
}
