//! What a pen was seen to eat, against what the model says.

use crate::ration::appetite::fill;
use crate::ration::asked::{Asked, Way};
use crate::requirement::intake::Trough;

/// What is eaten as a share of what the model says: kg fresh a ewe a day of each feed, by place. Nothing where no
/// forage was eaten, since what concentrate fills depends on it.
pub fn seen_appetite(asked: &Asked, eaten: &[(usize, f64)]) -> Option<f64> {
    let feed = |place: usize| asked.feeds.get(place).map(|stocked| &stocked.feed);
    let dm = |place: usize, kg: f64| feed(place).map_or(0.0, |feed| kg * feed.values.dry_share());
    let forages = eaten.iter().filter(|(place, _)| feed(*place).is_some_and(|feed| feed.class.is_forage()));
    let main = forages.max_by(|a, b| dm(a.0, a.1).total_cmp(&dm(b.0, b.1))).filter(|(_, kg)| *kg > 0.0)?;
    let main = feed(main.0);
    let filled: f64 =
        eaten.iter().filter_map(|(place, kg)| Some(dm(*place, *kg) * fill(feed(*place)?, main))).sum();
    let trough = match asked.way {
        Way::Mixed | Way::TopUp => Trough::Mixed,
        Way::Straw => Trough::Straw,
        Way::Separate | Way::Nuts => Trough::Apart,
    };
    let capacity = asked.appetite(trough).capacity;
    (capacity > 0.0).then(|| filled / capacity)
}
