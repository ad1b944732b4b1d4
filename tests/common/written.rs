//! A problem written down for solvers that are not ours.
#![allow(dead_code, missing_docs, unreachable_pub)]

use evenfold::solve::instance::{Instance, Slopes};
use serde_json::json;

/// The problem to the last figure, as `solve::instance` documents it.
pub fn numbers(instance: &Instance) -> serde_json::Value {
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
