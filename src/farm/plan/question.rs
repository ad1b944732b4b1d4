//! What may be asked of a feeding plan.

use crate::day::DateOrder;
use crate::farm::ration::question::{way, within};
use crate::farm::ration::trial::place_of;
use crate::feed::Stocked;
use crate::problem::Problem;
use crate::ration::season::{Pattern, Wish};
use crate::ration::{COPPER, MOST_FEEDS, MOST_STRAIGHTS, PROTEIN_WEEKS, Way};
use serde::{Deserialize, Serialize};

/// What a feed in use counts for beside its price, pence a ewe a day: some two or three minutes a day to fetch and
/// weigh it for a pen of forty (common practice, no source).
pub const HANDLING_PENCE: f64 = 0.5;

/// The question; all of it has a usual value.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(default, deny_unknown_fields)]
pub struct PlanQuestion {
    /// How pens are fed: `mixed`, `topup`, `separate`, `nuts` or `straw`.
    pub way: String,
    /// Whether concentrate is the same every week (`true`) or goes with the need.
    pub flat: bool,
    /// Whether one recipe of the concentrate is held for all pens and weeks.
    pub one_recipe: bool,
    /// Most feeds of concentrate a day, 1 to 3.
    pub most_feeds: u32,
    /// Most straights at a time.
    pub most_straights: u32,
    /// What a feed in use counts for beside its price, pence a ewe a day.
    pub handling_pence: f64,
    /// Concentrate given last week, kg fresh a ewe a day.
    #[cfg_attr(target_arch = "wasm32", tsify(optional))]
    pub last_week_kg: Option<f64>,
    /// Feeds that are not to be used, by name.
    pub without: Vec<String>,
    /// What the mixer wagon holds, kg; with none, a pen's mix is one load.
    #[cfg_attr(target_arch = "wasm32", tsify(optional))]
    pub wagon_kg: Option<f64>,
    /// Most copper of the whole ration, mg a kg DM; lower for susceptible breeds, never higher than the law.
    #[cfg_attr(target_arch = "wasm32", tsify(optional))]
    pub copper_most_mg_per_kg_dm: Option<f64>,
    /// Weeks before lambing from which protein is asked for; before it is only shown.
    pub protein_weeks: f64,
    /// Whether amounts are to the last gram instead of such as can be weighed.
    pub exact: bool,
    /// Order of day and month in the feeds and loads files, where they do not tell.
    #[cfg_attr(target_arch = "wasm32", tsify(optional))]
    pub dates: Option<DateOrder>,
}

impl Default for PlanQuestion {
    fn default() -> Self {
        Self {
            way: Way::Separate.id().to_owned(),
            flat: false,
            one_recipe: false,
            most_feeds: 2,
            most_straights: MOST_STRAIGHTS as u32,
            handling_pence: HANDLING_PENCE,
            last_week_kg: None,
            without: Vec::new(),
            wagon_kg: None,
            copper_most_mg_per_kg_dm: None,
            protein_weeks: PROTEIN_WEEKS,
            exact: false,
            dates: None,
        }
    }
}

impl PlanQuestion {
    /// Checks it; the way of feeding and what is wished, or what is wrong.
    pub(super) fn checked(&self) -> Result<(Way, Wish), Box<Problem>> {
        within("most-feeds", f64::from(self.most_feeds), [1.0, f64::from(MOST_FEEDS)], "feeds a day")?;
        within("most-straights", f64::from(self.most_straights), [1.0, 20.0], "straights")?;
        within("protein-weeks", self.protein_weeks, [0.0, 21.0], "weeks")?;
        within("handling", self.handling_pence, [0.0, 100.0], "p a ewe a day")?;
        if let Some(kg) = self.last_week_kg {
            within("last-week", kg, [0.0, 5.0], "kg")?;
        }
        if let Some(kg) = self.wagon_kg {
            within("wagon-kg", kg, [20.0, 50_000.0], "kg")?;
        }
        if let Some(copper) = self.copper_most_mg_per_kg_dm {
            within("copper-most", copper, [4.0, COPPER], "mg a kg DM")?;
        }
        let wish = Wish {
            to_weigh: !self.exact,
            handling: self.handling_pence,
            one_recipe: self.one_recipe,
            pattern: if self.flat { Pattern::Flat } else { Pattern::Stepped },
        };
        Ok((way(&self.way)?, wish))
    }

    /// The feeds without those that are not to be used, and the short names of those.
    pub(super) fn left(&self, mut feeds: Vec<Stocked>) -> Result<(Vec<Stocked>, Vec<String>), Box<Problem>> {
        let mut out = Vec::new();
        for name in &self.without {
            let at = place_of(&feeds, name, "without")?;
            out.push(feeds.remove(at).like);
        }
        Ok((feeds, out))
    }
}
