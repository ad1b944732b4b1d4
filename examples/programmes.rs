//! Linear programmes and the engine's answers to them, one JSON line each, for `tests/programmes.mjs`: an
//! independent solver is to solve them too.

use evenfold::solve::programme::{Programme, Status, solve};
use serde_json::{Value, json};

#[path = "../tests/common/programmes.rs"]
mod programmes;

/// How many programmes are drawn.
const DRAWN: u64 = 500;

fn main() {
    for seed in 0..DRAWN {
        let programme = programmes::drawn(seed);
        println!(
            "{}",
            json!({ "seed": seed, "programme": figures(&programme), "answer": answer(&programme) })
        );
    }
}

/// The programme to the last figure; no limit is null.
fn figures(programme: &Programme) -> Value {
    let limit = |value: f64| if value.is_finite() { json!(value) } else { Value::Null };
    json!({
        "columns": programme.columns.iter()
            .map(|column| json!([column.cost, limit(column.low), limit(column.high)]))
            .collect::<Vec<_>>(),
        "rows": programme.rows.iter()
            .map(|row| json!({ "terms": row.terms, "low": limit(row.low), "high": limit(row.high) }))
            .collect::<Vec<_>>(),
    })
}

fn answer(programme: &Programme) -> Value {
    match solve(programme) {
        Status::Optimal(optimum) => json!({
            "status": "Optimal",
            "cost": optimum.cost,
            "fault": programme.fault(&optimum.amounts),
            "gap": optimum.prices.gap,
        }),
        Status::Infeasible(conflict) => json!({
            "status": "Infeasible",
            "rows": conflict.rows,
            "columns": conflict.columns,
        }),
        Status::Unbounded => json!({ "status": "Unbounded" }),
        Status::Failed(why) => json!({ "status": "Failed", "why": why }),
    }
}
