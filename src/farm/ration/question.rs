//! What may be asked about a pen's ration.

use crate::day::DateOrder;
use crate::farm::need::refuse;
use crate::feed::Stocked;
use crate::flock::Litter;
use crate::problem::Problem;
use crate::quantity::{GramPerDay, Kg, MgPerKgDm, MjPerDay, MjPerKgDm};
use crate::ration::{Asked, COPPER, Held, MOST_FEEDS, MOST_STRAIGHTS, PROTEIN_WEEKS, Pen, Way};
use crate::requirement::{Afrc1993, Standard, State};
use serde::{Deserialize, Serialize};

/// The question. All but the first six have a usual value.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(default, deny_unknown_fields)]
pub struct RationQuestion {
    /// Energy needed, MJ ME a day.
    pub need_me_mj_per_day: f64,
    /// Metabolisable protein needed, g a day.
    pub need_mp_g_per_day: f64,
    /// Live weight without the lambs, kg.
    pub weight_kg: f64,
    /// Lambs carried, 0 to 5.
    pub litter: u8,
    /// Weeks to lambing.
    pub weeks_to_lambing: f64,
    /// How the pen is fed: `mixed`, `topup`, `separate`, `nuts` or `straw`.
    pub way: String,
    /// Whether the trough is rationed and empty at times.
    pub restricted: bool,
    /// Most feeds of concentrate a day, 1 to 3.
    pub most_feeds: u32,
    /// Most straights at a time.
    pub most_straights: u32,
    /// Concentrate given last week, kg fresh a day.
    #[cfg_attr(target_arch = "wasm32", tsify(optional))]
    pub last_week_kg: Option<f64>,
    /// Ewes that eat from the store.
    #[cfg_attr(target_arch = "wasm32", tsify(optional))]
    pub ewes: Option<u32>,
    /// Days that the store must last.
    pub days: u32,
    /// Most copper of the whole ration, mg a kg DM; lower for susceptible breeds, never higher than the law.
    #[cfg_attr(target_arch = "wasm32", tsify(optional))]
    pub copper_most_mg_per_kg_dm: Option<f64>,
    /// Weeks before lambing from which protein is asked for; before it is only shown.
    pub protein_weeks: f64,
    /// With `topup`: energy that the common mix is made for, MJ a day.
    #[cfg_attr(target_arch = "wasm32", tsify(optional))]
    pub mix_me_mj_per_day: Option<f64>,
    /// With `topup`: protein that it is made for, g a day.
    #[cfg_attr(target_arch = "wasm32", tsify(optional))]
    pub mix_mp_g_per_day: Option<f64>,
    /// Order of day and month in the feeds file, where it does not tell.
    #[cfg_attr(target_arch = "wasm32", tsify(optional))]
    pub dates: Option<DateOrder>,
}

impl RationQuestion {
    /// The question with everything else as usual.
    pub fn new(me: f64, mp: f64, weight_kg: f64, litter: u8, weeks: f64, way: &str) -> Self {
        Self {
            need_me_mj_per_day: me,
            need_mp_g_per_day: mp,
            weight_kg,
            litter,
            weeks_to_lambing: weeks,
            way: way.to_owned(),
            restricted: false,
            most_feeds: 2,
            most_straights: MOST_STRAIGHTS as u32,
            last_week_kg: None,
            ewes: None,
            days: 7,
            copper_most_mg_per_kg_dm: None,
            protein_weeks: PROTEIN_WEEKS,
            mix_me_mj_per_day: None,
            mix_mp_g_per_day: None,
            dates: None,
        }
    }

    /// Checks it; what is asked, or what is wrong.
    pub(super) fn asked(&self, feeds: Vec<Stocked>) -> Result<Asked, Box<Problem>> {
        let [least_kg, most_kg] = State::WEIGHT_KG;
        within("need-me", self.need_me_mj_per_day, [1.0, 60.0], "MJ a day")?;
        within("need-mp", self.need_mp_g_per_day, [1.0, 500.0], "g a day")?;
        within("weight", self.weight_kg, [least_kg, most_kg], "kg")?;
        within("weeks-to-lambing", self.weeks_to_lambing, [0.0, 21.0], "weeks")?;
        within("most-feeds", f64::from(self.most_feeds), [1.0, f64::from(MOST_FEEDS)], "feeds a day")?;
        within("most-straights", f64::from(self.most_straights), [1.0, 20.0], "straights")?;
        within("protein-weeks", self.protein_weeks, [0.0, 21.0], "weeks")?;
        within("days", f64::from(self.days), [1.0, 365.0], "days")?;
        if let Some(kg) = self.last_week_kg {
            within("last-week", kg, [0.0, 5.0], "kg")?;
        }
        if let Some(ewes) = self.ewes {
            within("ewes", f64::from(ewes), [1.0, 100_000.0], "ewes")?;
        }
        if let Some(copper) = self.copper_most_mg_per_kg_dm {
            within("copper-most", copper, [4.0, COPPER], "mg a kg DM")?;
        }
        let way = way(&self.way)?;
        let litter = Litter::of(self.litter).ok_or_else(|| {
            let message = format!("{} lambs is more than the tables reach.", self.litter);
            refuse("out-of-range", "litter", self.litter.to_string(), message, "Give 0 to 5.")
        })?;
        let mix_for = match (way, self.mix_me_mj_per_day, self.mix_mp_g_per_day) {
            (Way::TopUp, Some(me), Some(mp)) => {
                within("mix-me", me, [1.0, 60.0], "MJ a day")?;
                within("mix-mp", mp, [1.0, 500.0], "g a day")?;
                Some((MjPerDay::new(me), GramPerDay::new(mp)))
            }
            (Way::TopUp, ..) => {
                let message = "A top-up needs to know what the common mix is made for.".to_owned();
                let hint = "Give --mix-me and --mix-mp: the need of the pen that gets the mix alone.";
                return Err(refuse("missing", "mix-me", String::new(), message, hint));
            }
            _ => None,
        };
        let weight = Kg::new(self.weight_kg);
        Ok(Asked {
            me: MjPerDay::new(self.need_me_mj_per_day),
            mp: GramPerDay::new(self.need_mp_g_per_day),
            maintenance: maintenance(weight),
            weight,
            litter,
            weeks: self.weeks_to_lambing,
            way,
            feeds,
            is_restricted: self.restricted,
            most_feeds: self.most_feeds,
            most_straights: self.most_straights as usize,
            last_week: self.last_week_kg.map(Kg::new),
            pen: self.ewes.map(|ewes| Pen { ewes, days: self.days }),
            copper_most: MgPerKgDm::new(self.copper_most_mg_per_kg_dm.unwrap_or(COPPER)),
            protein_weeks: self.protein_weeks,
            mix_for,
            held: Held::default(),
        })
    }
}

impl Default for RationQuestion {
    /// A usual ewe, to change: 70 kg, twins, three weeks before lambing.
    fn default() -> Self {
        Self::new(15.0, 110.0, 70.0, 2, 3.0, "separate")
    }
}

/// The way of feeding of that name.
pub(in crate::farm) fn way(id: &str) -> Result<Way, Box<Problem>> {
    Way::ALL.into_iter().find(|(_, own)| *own == id).map(|(way, _)| way).ok_or_else(|| {
        let ids: Vec<&str> = Way::ALL.into_iter().map(|(_, id)| id).collect();
        let message = format!("There is no way of feeding '{id}' here.");
        refuse("way-unknown", "way", id.to_owned(), message, &format!("Give one of: {}.", ids.join(", ")))
    })
}

/// Energy density at which maintenance is reckoned, MJ a kg DM (common practice, no source).
const USUAL_DIET: f64 = 11.0;

/// What keeps her as she is, barren (AFRC 1993).
pub(in crate::farm) fn maintenance(weight: Kg) -> MjPerDay {
    Afrc1993.need(&State::housed(weight, Litter::BARREN, 0, MjPerKgDm::new(USUAL_DIET))).me
}

/// Refuses a figure outside its range.
pub(in crate::farm) fn within(
    input: &'static str,
    found: f64,
    [least, most]: [f64; 2],
    unit: &str,
) -> Result<(), Box<Problem>> {
    if (least..=most).contains(&found) {
        return Ok(());
    }
    let most = libm::round(most * 10.0) / 10.0;
    let message = format!("{input} is {found} {unit}; it can be {least} to {most}.");
    Err(refuse("out-of-range", input, found.to_string(), message, &format!("Give {least} to {most} {unit}.")))
}
