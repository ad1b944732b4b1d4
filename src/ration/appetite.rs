//! What feeds add to a ewe's appetite: how much each of them fills her.
//!
//! Her appetite itself is [`intake`](crate::requirement::intake)'s, and the sort's too.

use crate::feed::{Class, Feed};

/// How much a kg DM of it fills; `beside` is the main forage.
pub(super) fn fill(feed: &Feed, beside: Option<&Feed>) -> f64 {
    if let Some(appetite) = feed.appetite.filter(|appetite| *appetite > 0.0) {
        return 100.0 / appetite;
    }
    match (feed.class, beside) {
        (Class::Mineral, _) | (_, None) => 0.0,
        (_, Some(forage)) => substitution(forage) * beside.map_or(0.0, |forage| fill(forage, None)),
    }
}

/// kg of this forage that a kg DM of concentrate displaces. Fitted to the six silages of Orr and Treacher 1989,
/// within 0.1; hay 0.63 (their hay of 1984, of 0.56 digestible organic matter; haylage as hay); straw 0.1.
fn substitution(forage: &Feed) -> f64 {
    match forage.class {
        Class::Hay | Class::Haylage => 0.63,
        Class::Straw => 0.1,
        _ => (0.25 * (forage.values.me.value() - 9.6)).clamp(0.06, 0.65),
    }
}
