//! Middling problems and the solver's answers to them, one JSON line each, for `tests/highs.mjs`: an
//! independent solver is to close them.

use evenfold::solve::certificate;
use evenfold::solve::instance::Instance;
use evenfold::solve::search::{Effort, Status, solve};
use serde_json::json;

#[path = "../tests/common/problems.rs"]
mod problems;
#[path = "../tests/common/written.rs"]
mod written;

use problems::{Dice, problem};

/// How many problems are drawn.
const DRAWN: u64 = 100;

fn main() {
    for seed in 0..DRAWN {
        let mut dice = Dice(7000 + seed);
        let (items, bins) = (9 + dice.below(10), 2 + dice.below(2));
        let instance = problem(dice, items, bins, seed % 2 == 1);
        println!(
            "{}",
            json!({ "seed": seed, "problem": written::numbers(&instance), "answer": answer(&instance) })
        );
    }
}

fn answer(instance: &Instance) -> serde_json::Value {
    match solve(instance, 1, Effort::default()) {
        Status::Impossible => json!({ "status": "impossible" }),
        Status::Undecided => json!({ "status": "undecided" }),
        Status::Solved(mut found) => {
            let quick = found.bound;
            let proof = format!("{:?}", found.proof);
            if let Some(mut certificate) = found.certificate(instance, certificate::Effort::default()) {
                while !certificate.is_done() {
                    certificate.step();
                }
                found.raise(&certificate);
            }
            json!({ "status": "solved", "loss": found.loss, "quick_bound": quick, "bound": found.bound,
                    "proof": proof, "bins": found.assignment })
        }
    }
}
