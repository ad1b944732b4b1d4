//! The sort judged from outside: everything that the JSON document says is recomputed from the document
//! alone, by a reckoning of the tests' own, and small farms are enumerated.
// A test may say what it expects by failing.
#![allow(clippy::unwrap_used)]

mod common;

use common::{Dice, flock_csv, pens_csv};
use evenfold::farm::settings::Settings;
use evenfold::farm::{Answer, FaultyRows, Files, sort};
use serde_json::Value;

fn document(flock: &str, pens: &str, settings: &Settings) -> Value {
    let files = Files { flock: flock.as_bytes(), pens: pens.as_bytes(), groups: None };
    let answer = sort(files, settings, FaultyRows::Refuse);
    serde_json::from_str(&answer.to_json()).expect("valid JSON")
}

fn number(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}

fn list<'a>(value: &'a Value, name: &str) -> &'a Vec<Value> {
    value[name].as_array().expect("a list")
}

/// The weighted quantile's loss is least where `under / (under + over)` of the needs lie at or below it; the
/// test tries every need and both limits instead.
fn least_loss(needs: &[f64], under: f64, over: f64, low: f64, high: f64) -> f64 {
    needs
        .iter()
        .map(|need| need.clamp(low, high))
        .chain([low, high])
        .map(|level| {
            needs.iter().map(|x| under * (x - level).max(0.0) + over * (level - x).max(0.0)).sum::<f64>()
        })
        .fold(f64::INFINITY, f64::min)
}

/// Recomputes a document by the design's formula; every limit is checked on the way.
fn judge(document: &Value) {
    let (under, over) = (number(&document["weights"]["under"]), number(&document["weights"]["over"]));
    let (low, high) = (number(&document["level_limits"][0]), number(&document["level_limits"][1]));
    let ewes = list(document, "ewes");
    let days = list(document, "mean_intake_kg_dm");
    assert_eq!(days.len() as u64, document["period_days"].as_u64().unwrap());
    let density = |ewe: &Value, day: usize| {
        number(&ewe["needs"][day]["me_mj_per_day"]) / number(&ewe["needs"][day]["intake_kg_dm_per_day"])
    };
    for (day, mean) in days.iter().enumerate() {
        let sum: f64 = ewes.iter().map(|ewe| number(&ewe["needs"][day]["intake_kg_dm_per_day"])).sum();
        assert!((sum / ewes.len() as f64 - number(&mean["value"])).abs() < 1e-9, "mean intake of day {day}");
    }
    let mut misfit = 0.0;
    let mut penned = 0;
    for pen in list(document, "pens") {
        let members: Vec<&Value> = ewes.iter().filter(|ewe| ewe["pen"] == pen["pen"]).collect();
        penned += members.len();
        assert_eq!(pen["head"].as_u64().unwrap() as usize, members.len());
        let sum = |name: &str| members.iter().map(|ewe| number(&ewe[name])).sum::<f64>();
        assert!((sum("trough_m") - number(&pen["trough_used_m"])).abs() < 1e-9);
        assert!((sum("area_m2") - number(&pen["area_used_m2"])).abs() < 1e-9);
        assert!(sum("trough_m") <= number(&pen["trough_m"]) + 1e-9, "trough of pen {}", pen["pen"]);
        assert!(sum("area_m2") <= number(&pen["area_m2"]) + 1e-9, "floor of pen {}", pen["pen"]);
        for limit in ["max_head", "places_head"] {
            assert!(
                members.len() as u64 <= pen[limit].as_u64().unwrap_or(u64::MAX),
                "head of pen {}",
                pen["pen"]
            );
        }
        let lambs = members.iter().filter(|ewe| ewe["age"] == "ewe_lamb").count();
        assert!(lambs == 0 || lambs == members.len(), "ewe lambs stand apart");
        let mut of_pen = 0.0;
        for (day, mean) in days.iter().enumerate().take(list(pen, "levels").len()) {
            let level = number(&pen["levels"][day]["me_mj_per_kg_dm"]);
            assert!((low..=high).contains(&level));
            let needs: Vec<f64> = members.iter().map(|ewe| density(ewe, day)).collect();
            let here: f64 =
                needs.iter().map(|x| under * (x - level).max(0.0) + over * (level - x).max(0.0)).sum();
            let least = least_loss(&needs, under, over, low, high);
            assert!(here <= least + 1e-9, "pen {} day {day}: {here} above {least}", pen["pen"]);
            of_pen += number(&mean["value"]) * here;
        }
        assert!((of_pen - number(&pen["misfit_mj"])).abs() < 1e-6 * of_pen.max(1.0));
        misfit += of_pen;
    }
    assert_eq!(penned, ewes.len(), "every ewe is in a pen that exists");
    let close = |name: &str, expected: f64| {
        let found = number(&document[name]);
        assert!((found - expected).abs() < 1e-6 * expected.max(1.0), "{name}: {found}, not {expected}");
    };
    close("misfit_mj", misfit);
    close("objective", misfit);
    let bound = number(&document["lower_bound"]);
    assert!(bound <= number(&document["objective"]));
    match document["gap_percent"].as_f64() {
        Some(gap) if bound > 0.0 => {
            assert!((gap - 100.0 * (misfit - bound) / bound).abs() < 1e-6);
        }
        Some(gap) => assert!(gap == 0.0 && misfit == 0.0),
        None => assert!(bound == 0.0 && misfit > 0.0),
    }
}

#[test]
fn a_document_can_be_recomputed_from_itself_alone() {
    let mut sorted = 0;
    for seed in 0..40 {
        let mut dice = Dice(seed);
        let ewes = 5 + dice.below(150);
        let flock = flock_csv(&mut dice, ewes);
        let count = 2 + dice.below(5);
        let slack = dice.between(1.02, 1.5);
        let pens = pens_csv(&mut dice, count, ewes, slack);
        let settings =
            Settings { period_days: [None, Some(0), Some(1), Some(7)][dice.below(4)], ..Settings::default() };
        let document = document(&flock, &pens, &settings);
        if document["status"] == "sorted" {
            sorted += 1;
            judge(&document);
        }
    }
    assert!(sorted >= 15, "{sorted} sorted");
}

fn demo_farm() -> Box<evenfold::farm::Farm> {
    let demo = evenfold::farm::DemoFiles::new();
    let files = Files {
        flock: demo.flock.as_bytes(),
        pens: demo.pens.as_bytes(),
        groups: Some(demo.groups.as_bytes()),
    };
    let Answer::Sorted(farm) = sort(files, &Settings::default(), FaultyRows::Refuse) else {
        panic!("the demo farm sorts");
    };
    farm
}

#[test]
fn the_demo_farm_can_be_recomputed_from_its_document() {
    let farm = demo_farm();
    let document: Value = serde_json::from_str(&farm.document_json()).unwrap();
    judge(&document);
    assert!(list(&document, "ewes").len() > 200);
    assert!(number(&document["gap_percent"]) < 8.0, "gap {}", document["gap_percent"]);
}

/// The least misfit of a small farm over every assignment, from the document's own needs and room.
fn enumerated(document: &Value) -> f64 {
    let ewes = list(document, "ewes");
    let pens = list(document, "pens");
    let days = list(document, "mean_intake_kg_dm");
    let (under, over) = (number(&document["weights"]["under"]), number(&document["weights"]["over"]));
    let (low, high) = (number(&document["level_limits"][0]), number(&document["level_limits"][1]));
    let mut best = f64::INFINITY;
    for code in 0..pens.len().pow(ewes.len() as u32) {
        let pen_of = |ewe: usize| code / pens.len().pow(ewe as u32) % pens.len();
        let mut loss = 0.0;
        let mut keeps = true;
        for (number_of_pen, pen) in pens.iter().enumerate() {
            let members: Vec<&Value> =
                (0..ewes.len()).filter(|&ewe| pen_of(ewe) == number_of_pen).map(|ewe| &ewes[ewe]).collect();
            let sum = |name: &str| members.iter().map(|ewe| number(&ewe[name])).sum::<f64>();
            let lambs = members.iter().filter(|ewe| ewe["age"] == "ewe_lamb").count();
            let of_kind = ewes.iter().filter(|ewe| (ewe["age"] == "ewe_lamb") == (lambs > 0)).count();
            keeps = keeps
                && (members.is_empty() || members.len() >= of_kind.min(4))
                && sum("trough_m") <= number(&pen["trough_m"]) + 1e-9
                && sum("area_m2") <= number(&pen["area_m2"]) + 1e-9
                && (lambs == 0 || lambs == members.len());
            if !keeps || members.is_empty() {
                continue;
            }
            for (day, mean) in days.iter().enumerate() {
                let needs: Vec<f64> = members
                    .iter()
                    .map(|ewe| {
                        number(&ewe["needs"][day]["me_mj_per_day"])
                            / number(&ewe["needs"][day]["intake_kg_dm_per_day"])
                    })
                    .collect();
                loss += number(&mean["value"]) * least_loss(&needs, under, over, low, high);
            }
        }
        if keeps {
            best = best.min(loss);
        }
    }
    best
}

#[test]
fn small_farms_are_sorted_to_the_enumerated_optimum() {
    let mut sorted = 0;
    for seed in 100..130 {
        let mut dice = Dice(seed);
        let ewes = 6 + dice.below(3);
        let flock = flock_csv(&mut dice, ewes);
        let pens = pens_csv(&mut dice, 2 + seed as usize % 2, ewes, 1.6);
        let settings = Settings { period_days: Some(1 + 2 * (seed as u32 % 2)), ..Settings::default() };
        let document = document(&flock, &pens, &settings);
        if document["status"] == "sorted" {
            sorted += 1;
            judge(&document);
            let least = enumerated(&document);
            let found = number(&document["objective"]);
            assert!((found - least).abs() < 1e-6 * least.max(1.0), "farm {seed}: {found}, not {least}");
            assert!(number(&document["gap_percent"]) < 1e-9);
        }
    }
    assert!(sorted >= 10, "{sorted} sorted");
}

#[test]
fn renaming_and_reordering_ewes_does_not_change_the_misfit() {
    let mut dice = Dice(7);
    let flock = flock_csv(&mut dice, 60);
    let pens = pens_csv(&mut dice, 4, 60, 1.3);
    let first = document(&flock, &pens, &Settings::default());
    let mut lines: Vec<String> = flock.lines().map(str::to_owned).collect();
    lines[1..].reverse();
    let turned = document(&lines.join("\n"), &pens, &Settings::default());
    let renamed = document(&flock.replace("\nE", "\nZ"), &pens, &Settings::default());
    let objective = |document: &Value| number(&document["objective"]);
    assert!((objective(&first) - objective(&renamed)).abs() < 1e-9);
    // The order of rows may lead the search another way, but never beyond what it says of itself.
    let gap = 1.0 + number(&first["gap_percent"]).max(number(&turned["gap_percent"])) / 100.0;
    assert!(objective(&turned) <= objective(&first) * gap && objective(&first) <= objective(&turned) * gap);
}

#[test]
fn what_would_mend_a_shortfall_does() {
    let mut tried = 0;
    for seed in 0..8 {
        let mut dice = Dice(500 + seed);
        let flock = flock_csv(&mut dice, 40);
        let pens = pens_csv(&mut dice, 3, 40, 0.8);
        let document = document(&flock, &pens, &Settings::default());
        assert_eq!(document["status"], "impossible", "farm {seed}");
        assert!(document["ewes_over"].as_u64().unwrap() > 0);
        for mend in list(&document, "mends") {
            let words: Vec<&str> = mend.as_str().unwrap().split(' ').collect();
            // "6.3 m more trough in pen B would do."
            let ["m" | "m²", "more", what, "in", "pen", pen, ..] = words[1..] else { continue };
            let extra: f64 = words[0].parse().unwrap();
            let column = if what == "trough" { 1 } else { 2 };
            let mended: Vec<String> = pens
                .lines()
                .map(|line| {
                    let mut cells: Vec<String> = line.split(',').map(str::to_owned).collect();
                    if cells[0] == pen {
                        cells[column] = (cells[column].parse::<f64>().unwrap() + extra).to_string();
                    }
                    cells.join(",")
                })
                .collect();
            let mended = again(&flock, &mended.join("\n"));
            assert_eq!(mended["status"], "sorted", "farm {seed}: {mend}");
            tried += 1;
        }
        // "One more pen of X m of trough and Y m² of floor for N ewes, would do."
        let another = list(&document, "mends").last().unwrap().as_str().unwrap().to_owned();
        let figures: Vec<f64> = another.split(' ').filter_map(|word| word.parse().ok()).collect();
        let more = format!("{pens}Z,{},{},restricted,straw\n", figures[0], figures[1]);
        assert_eq!(again(&flock, &more)["status"], "sorted", "farm {seed}: {another}");
    }
    println!("{tried} single mends tried");
}

fn again(flock: &str, pens: &str) -> Value {
    document(flock, pens, &Settings::default())
}

#[test]
fn a_wrong_pen_is_left_out_and_said_and_too_many_pens_are_refused() {
    let mut dice = Dice(3);
    let flock = flock_csv(&mut dice, 30).replace("ewe lamb", "mature");
    let pens = format!("{}Z,,40,restricted,straw\n", pens_csv(&mut dice, 3, 30, 1.4));
    let files = Files { flock: flock.as_bytes(), pens: pens.as_bytes(), groups: None };
    let codes = |answer: &Answer| -> Vec<String> {
        let document: Value = serde_json::from_str(&answer.to_json()).unwrap();
        list(&document, "problems")
            .iter()
            .map(|problem| problem["code"].as_str().unwrap().to_owned())
            .collect()
    };
    let refused = sort(files, &Settings::default(), FaultyRows::Refuse);
    assert!(matches!(refused, Answer::Refused { .. }));
    let sorted = sort(files, &Settings::default(), FaultyRows::SetAside);
    assert!(matches!(sorted, Answer::Sorted(_)));
    assert!(codes(&sorted).contains(&"pens-left-out".to_owned()), "{:?}", codes(&sorted));
    let rows: String = (0..65).map(|pen| format!("P{pen},9,30\n")).collect();
    let many = format!("pen,trough_m,area_m2\n{rows}");
    let files = Files { flock: flock.as_bytes(), pens: many.as_bytes(), groups: None };
    let answer = sort(files, &Settings::default(), FaultyRows::SetAside);
    assert!(matches!(answer, Answer::Refused { .. }));
    assert!(codes(&answer).contains(&"too-many-pens".to_owned()));
}

#[test]
fn a_flock_without_a_ewe_to_sort_and_a_shed_of_64_pens_are_answered() {
    let settings = Settings::default();
    let barren = "tag,litter,condition,due\nB1,0,3,\nB2,0,3,\n";
    let empty = document(barren, "pen,trough_m,area_m2\nA,9,30\n", &settings);
    assert_eq!((empty["status"].as_str(), list(&empty, "set_apart").len()), (Some("sorted"), 2));
    assert_eq!(empty["gap_percent"], 0.0);
    let mut dice = Dice(5);
    let flock = flock_csv(&mut dice, 300);
    let rows: String = (0..64).map(|pen| format!("P{pen},{},{}\n", 4 + pen % 5, 11 + pen % 7)).collect();
    let wide = document(&flock, &format!("pen,trough_m,area_m2\n{rows}"), &settings);
    assert_eq!(wide["status"], "sorted");
    judge(&wide);
}

#[test]
fn a_ewe_asked_about_alone_needs_what_the_sort_says() {
    let farm = demo_farm();
    let document = farm.document();
    let mut asked = 0;
    for ewe in document.ewes.iter().filter(|ewe| !ewe.assumed.contains(&"condition")) {
        let question = farm.ewe(&ewe.tag).expect("a sorted ewe").question;
        let alone = evenfold::farm::need::need(&question).expect("a legal question");
        let first = &ewe.needs[0];
        assert!((alone.me_mj_per_day - first.me_mj_per_day).abs() < 1e-9, "{}: energy", ewe.tag);
        assert!((alone.mp_g_per_day - first.mp_g_per_day).abs() < 1e-9, "{}: protein", ewe.tag);
        assert!(
            (alone.intake_kg_dm_per_day - first.intake_kg_dm_per_day).abs() < 1e-9,
            "{}: intake",
            ewe.tag
        );
        asked += 1;
    }
    assert!(asked > 200, "{asked} ewes asked about");
}
