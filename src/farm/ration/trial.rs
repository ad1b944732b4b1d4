//! What is tried on the feeds: one left out, another price, another energy.

use crate::farm::need::refuse;
use crate::farm::ration::question::within;
use crate::feed::Stocked;
use crate::io;
use crate::problem::Problem;
use crate::quantity::{MjPerKgDm, PricePerTonne};
use serde::{Deserialize, Serialize};

/// Money a tonne that may be tried.
const PRICES: [f64; 2] = [0.0, 10_000.0];
/// MJ ME a kg DM that may be tried: from straw that is hardly worth eating to fat-rich grain.
const ENERGIES: [f64; 2] = [4.0, 16.0];

/// A feed, and how it is tried.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(default, deny_unknown_fields)]
pub struct FeedTrial {
    /// Its name in the feeds file.
    pub feed: String,
    /// Whether it is left out.
    pub is_left_out: bool,
    /// Another price, money a tonne.
    #[cfg_attr(target_arch = "wasm32", tsify(optional))]
    pub price_per_t: Option<f64>,
    /// Another energy, MJ ME a kg DM; what she eats of it moves with it, protein and the rest stay as they are.
    #[cfg_attr(target_arch = "wasm32", tsify(optional))]
    pub me_mj_per_kg_dm: Option<f64>,
}

/// A feed on the farm, to try things on.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct FeedOffer {
    /// Its name.
    pub name: String,
    /// Money a tonne.
    pub price_per_t: f64,
    /// MJ ME a kg DM.
    pub me_mj_per_kg_dm: f64,
    /// Whether its energy is worth trying: forage differs from cut to cut, cereals hardly.
    pub is_forage: bool,
}

/// The feeds of a file that can be read; what cannot is told where a ration is asked for.
pub fn feeds_on_farm(feeds: &[u8]) -> Vec<FeedOffer> {
    let Ok(table) = io::feed_table() else { return Vec::new() };
    let offer = |stocked: Stocked| FeedOffer {
        price_per_t: stocked.price.value(),
        me_mj_per_kg_dm: stocked.feed.values.me.value(),
        is_forage: stocked.feed.class.is_forage(),
        name: stocked.feed.name,
    };
    io::feeds(feeds, &table, None).0.records.into_iter().map(offer).collect()
}

/// Where the feed of this name stands, whether it is called as on screen, as in the file or as in the feed table.
pub(in crate::farm) fn place_of(
    feeds: &[Stocked],
    name: &str,
    input: &'static str,
) -> Result<usize, Box<Problem>> {
    let plain = |text: &str| text.trim().to_lowercase();
    let is_it = |stocked: &Stocked| {
        let names = [&stocked.feed.name, &stocked.feed.id, &stocked.like];
        names.iter().any(|own| plain(own) == plain(name))
    };
    feeds.iter().position(is_it).ok_or_else(|| {
        let names: Vec<&str> = feeds.iter().map(|stocked| stocked.feed.name.as_str()).collect();
        let message = format!("There is no feed '{name}' in the feeds file.");
        let hint = format!("Give one of: {}.", names.join(", "));
        refuse("feed-unknown", input, name.to_owned(), message, &hint)
    })
}

/// The feeds as they are tried.
pub(super) fn tried(mut feeds: Vec<Stocked>, trials: &[FeedTrial]) -> Result<Vec<Stocked>, Box<Problem>> {
    for trial in trials {
        let at = place_of(&feeds, &trial.feed, "trials")?;
        if trial.is_left_out {
            feeds.remove(at);
            continue;
        }
        let Some(stocked) = feeds.get_mut(at) else { continue };
        if let Some(price) = trial.price_per_t {
            within("price", price, PRICES, "a tonne")?;
            stocked.price = PricePerTonne::new(price);
        }
        if let Some(me) = trial.me_mj_per_kg_dm {
            within("energy", me, ENERGIES, "MJ a kg DM")?;
            let before = std::mem::replace(&mut stocked.feed.values.me, MjPerKgDm::new(me));
            stocked.feed.appetite_follows(before);
        }
    }
    Ok(feeds)
}
