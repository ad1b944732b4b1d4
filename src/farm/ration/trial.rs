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

/// Prices are tried up to a multiple of this, money a tonne, above twice the feed's own (common practice, no source).
const PRICE_STEP: f64 = 100.0;
/// Energies of forage that a slider offers, MJ ME a kg DM: poor straw to the best leafy silage (common practice, no
/// source).
const FORAGES: [f64; 2] = [5.0, 12.5];
/// Weights that it offers, kg: small hill ewes to the largest lowland ones (common practice, no source).
const WEIGHTS_KG: [f64; 2] = [40.0, 110.0];
/// Weeks that it offers: those in which rations are made for lambs (common practice, no source).
const WEEKS: [f64; 2] = [0.0, 10.0];

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
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct FeedOffer {
    /// Its name.
    pub name: String,
    /// Money a tonne.
    pub price_per_t: f64,
    /// MJ ME a kg DM.
    pub me_mj_per_kg_dm: f64,
    /// Prices worth trying, least and most, money a tonne: from nothing to about twice its own.
    pub try_prices: [f64; 2],
    /// Energies worth trying, least and most, MJ ME a kg DM; null where it hardly differs, as of cereals.
    pub try_energies: Option<[f64; 2]>,
}

/// The feeds on the farm, and what may be asked of a ewe beside them.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct Trying {
    /// The feeds.
    pub feeds: Vec<FeedOffer>,
    /// Live weights that a slider offers, kg.
    pub weights_kg: [f64; 2],
    /// Weeks to lambing that it offers.
    pub weeks: [f64; 2],
}

/// The feeds of a file that can be read, with what may be tried; what cannot be read is told where a ration is asked for.
pub fn trying(feeds: &[u8]) -> Trying {
    let records = io::feed_table().map(|table| io::feeds(feeds, &table, None).0.records).unwrap_or_default();
    Trying { feeds: records.into_iter().map(offer).collect(), weights_kg: WEIGHTS_KG, weeks: WEEKS }
}

fn offer(stocked: Stocked) -> FeedOffer {
    let (price, me) = (stocked.price.value(), stocked.feed.values.me.value());
    let most = PRICE_STEP * libm::ceil(2.0 * price / PRICE_STEP);
    FeedOffer {
        price_per_t: price,
        me_mj_per_kg_dm: me,
        try_prices: [PRICES[0], most.min(PRICES[1]).max(price)],
        try_energies: stocked.feed.class.is_forage().then(|| [FORAGES[0].min(me), FORAGES[1].max(me)]),
        name: stocked.feed.name,
    }
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
        let input = match trial.price_per_t {
            _ if trial.is_left_out => "without",
            Some(_) => "price",
            None => "energy",
        };
        let at = place_of(&feeds, &trial.feed, input)?;
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
