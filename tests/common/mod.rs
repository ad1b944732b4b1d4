//! What several test files share: a generator of their own, invented flocks, and the command line.
#![allow(clippy::unwrap_used, dead_code, missing_docs, unreachable_pub)]

mod dice;
pub mod invented;
pub mod scanning_day;

pub use dice::Dice;

use std::path::PathBuf;
use std::process::{Command, Output};

/// An invented flock as CSV: due in the six weeks from 1 March 2027.
pub fn flock_csv(dice: &mut Dice, ewes: usize) -> String {
    let mut text = String::from("tag,litter,condition,due,age,weight_kg,shorn\n");
    for number in 0..ewes {
        let litter = [1, 1, 2, 2, 2, 3][dice.below(6)];
        let condition = 1.5 + 0.5 * dice.below(5) as f64;
        let due = dice.below(42);
        let (month, day) = if due < 31 { (3, due + 1) } else { (4, due - 30) };
        let age = ["mature", "mature", "mature", "shearling", "ewe lamb"][dice.below(5)];
        let weight = if age == "ewe lamb" { dice.between(42.0, 55.0) } else { dice.between(60.0, 95.0) };
        let shorn = ["yes", "no"][dice.below(2)];
        text.push_str(&format!(
            "E{number:05},{litter},{condition},2027-{month:02}-{day:02},{age},{weight:.1},{shorn}\n"
        ));
    }
    text
}

/// The same flock scored again some weeks on, 30 % of the ewes changed half a score, 2 % lost a lamb.
pub fn later_csv(dice: &mut Dice, flock: &str) -> String {
    let change = |line: &str| {
        let mut cells: Vec<String> = line.split(',').map(str::to_owned).collect();
        if cells[0] == "tag" {
            return line.to_owned();
        }
        let mut condition: f64 = cells[2].parse().expect("a figure");
        if dice.below(100) < 30 {
            condition = (condition + [-0.5, 0.5][dice.below(2)]).clamp(1.0, 5.0);
        }
        if dice.below(100) < 2 && cells[1] != "1" {
            cells[1] = (cells[1].parse::<u8>().expect("a figure") - 1).to_string();
        }
        cells[2] = condition.to_string();
        cells.join(",")
    };
    flock.lines().map(change).collect::<Vec<_>>().join("\n")
}

/// Invented pens as CSV that hold about `slack` times the ewes.
pub fn pens_csv(dice: &mut Dice, pens: usize, ewes: usize, slack: f64) -> String {
    let mut text = String::from("pen,trough_m,area_m2,feeding,floor\n");
    let shares: Vec<f64> = (0..pens).map(|_| dice.between(0.6, 1.4)).collect();
    let whole: f64 = shares.iter().sum();
    for (number, share) in shares.iter().enumerate() {
        let head = ewes as f64 * share / whole * slack;
        let (trough, area) = (head * 0.53, head * 1.32);
        let name = char::from(b'A' + number as u8);
        text.push_str(&format!("{name},{trough:.2},{area:.2},restricted,straw\n"));
    }
    text
}

/// A folder of its own for a test's files.
pub fn folder(name: &str) -> PathBuf {
    let path = std::env::temp_dir().join(format!("evenfold-test-{}-{name}", std::process::id()));
    std::fs::create_dir_all(&path).expect("a temporary folder");
    path
}

/// Runs the command line.
pub fn evenfold(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_evenfold")).args(arguments).output().expect("the command runs")
}

/// What it printed on standard output.
pub fn stdout(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("UTF-8")
}

/// What it printed on standard error.
pub fn stderr(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).expect("UTF-8")
}

/// A document that keeps its schema in `data/schema`.
pub fn valid(schema: &str, text: &str) -> serde_json::Value {
    let schema: serde_json::Value =
        serde_json::from_str(&std::fs::read_to_string(format!("data/schema/{schema}.schema.json")).unwrap())
            .unwrap();
    let document: serde_json::Value = serde_json::from_str(text).expect("one JSON document");
    let validator = jsonschema::validator_for(&schema).expect("a valid schema");
    let faults: Vec<String> = validator.iter_errors(&document).map(|fault| fault.to_string()).collect();
    assert!(faults.is_empty(), "{faults:#?}");
    document
}
