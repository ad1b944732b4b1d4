//! Middling problems and the solver's answers to them, one JSON line each, for `tests/highs.mjs`: an
//! independent solver is to close them.

use evenfold::solve::certificate;
use evenfold::solve::instance::{Instance, Slopes};
use evenfold::solve::search::{Effort, Status, solve};
use serde_json::json;

#[path = "../tests/common/problems.rs"]
mod problems;

use problems::{Dice, problem};

/// How many problems are drawn.
const DRAWN: u64 = 100;

fn main() {
    for seed in 0..DRAWN {
        let mut dice = Dice(7000 + seed);
        let (items, bins) = (9 + dice.below(10), 2 + dice.below(2));
        let instance = problem(dice, items, bins, seed % 2 == 1);
        println!("{}", json!({ "seed": seed, "problem": numbers(&instance), "answer": answer(&instance) }));
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

/// The problem to the last figure, as `solve::instance` documents it.
fn numbers(instance: &Instance) -> serde_json::Value {
    let items = 0..instance.items();
    let slopes: Vec<[f64; 2]> = match &instance.slopes {
        Slopes::Same(slopes) => vec![*slopes; instance.items()],
        Slopes::Each(slopes) => slopes.clone(),
    };
    json!({
        "axes": instance.axes.iter().map(|axis| [axis.low, axis.high]).collect::<Vec<_>>(),
        "weight": instance.weight,
        "leading": instance.leading,
        "need": items.clone().map(|item| instance.need_of(item)).collect::<Vec<_>>(),
        "slopes": slopes,
        "kind": instance.kind,
        "may": items.clone()
            .map(|item| (0..instance.bins.len()).map(|bin| instance.may(item, bin)).collect::<Vec<_>>())
            .collect::<Vec<_>>(),
        "place_cost": items.clone()
            .map(|item| (0..instance.bins.len()).map(|bin| instance.place_cost(item, bin)).collect::<Vec<_>>())
            .collect::<Vec<_>>(),
        "even": instance.even,
        "together": instance.together,
        "apart": instance.apart,
        "bins": (0..instance.bins.len())
            .map(|bin| {
                let record = &instance.bins[bin];
                json!({
                    "capacity": record.capacity,
                    "max_head": record.max_head,
                    "min_head": record.min_head,
                    "fair_head": record.fair_head,
                    "room": items.clone().map(|item| instance.room_in(item, bin)).collect::<Vec<_>>(),
                })
            })
            .collect::<Vec<_>>(),
    })
}
