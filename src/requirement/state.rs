//! The inputs of the equations, checked against the range in which they hold.

use crate::flock::{AgeClass, Litter};
use crate::quantity::{GramPerDay, Kg, MjPerKgDm};
use crate::requirement::litter_weight::litter_weight;
use serde::{Deserialize, Serialize};

/// Days from conception to birth on which the tables stand (AFRC 1993, whose table counts 147 days).
pub const TERM_DAYS: u32 = 147;

/// A ewe on one day, as the equations see her. Build it with [`State::checked`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct State {
    /// Live weight without the lambs, at mating or scanning.
    pub weight: Kg,
    /// Lambs carried.
    pub litter: Litter,
    /// Days to lambing; of no account for a barren ewe.
    pub days_to_lambing: u32,
    /// Growth wanted, for a ewe lamb.
    pub growth: GramPerDay,
    /// Weight of the whole litter at birth, where the farm knows its own; otherwise reckoned.
    pub litter_weight: Option<Kg>,
    /// Energy density of the diet, on which the efficiency of use stands.
    pub diet: MjPerKgDm,
    /// Where she lives, which decides how much she moves.
    pub housing: Housing,
    /// Clean wool grown; the standard's own allowance where not given.
    pub wool: Option<GramPerDay>,
    /// Age in years, which only CSIRO 2007 uses.
    pub age_years: f64,
}

/// Where a ewe lives.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "snake_case")]
pub enum Housing {
    /// Indoors.
    #[default]
    Housed,
    /// Outdoors on lowland.
    Lowland,
    /// Outdoors on a hill.
    Hill,
}

impl Housing {
    /// Every one.
    pub const ALL: [Self; 3] = [Self::Housed, Self::Lowland, Self::Hill];

    /// The name in documents.
    pub const fn id(self) -> &'static str {
        match self {
            Self::Housed => "housed",
            Self::Lowland => "lowland",
            Self::Hill => "hill",
        }
    }

    /// In words.
    pub const fn in_words(self) -> &'static str {
        match self {
            Self::Housed => "housed",
            Self::Lowland => "outdoors on lowland",
            Self::Hill => "outdoors on a hill",
        }
    }
}

/// Age in years at lambing of a ewe lamb, a shearling and a mature ewe, the last as the middle of a flock
/// kept to six years (common practice, no source).
const YEARS: [f64; 3] = [1.0, 2.0, 4.0];

/// Years of an age class, where only the class is known.
pub fn usual_years(age: AgeClass) -> f64 {
    YEARS[age as usize]
}

/// An input outside the range in which the equations hold.
#[derive(Debug, Clone, PartialEq)]
pub struct OutOfRange {
    /// Which input, by the name of its flag.
    pub input: &'static str,
    /// What was given.
    pub found: f64,
    /// The least that is possible.
    pub least: f64,
    /// The most that is possible.
    pub most: f64,
    /// The unit.
    pub unit: &'static str,
}

impl std::fmt::Display for OutOfRange {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Self { input, found, least, most, unit } = self;
        write!(f, "{input} is {found} {unit}; the equations hold from {least} to {most} {unit}")
    }
}

impl State {
    /// Least and greatest live weight: hill ewe lambs to heavy lowland ewes, with room (common practice,
    /// no source; the published table behind the equations is for a 60 kg ewe).
    pub const WEIGHT_KG: [f64; 2] = [25.0, 160.0];
    /// Least and greatest growth of a ewe lamb, g a day (common practice, no source).
    pub const GROWTH_G: [f64; 2] = [0.0, 300.0];
    /// Least and greatest energy density of a diet: poor straw to neat cereal (common practice, no source).
    pub const DIET_MJ: [f64; 2] = [5.0, 14.0];
    /// Least and greatest weight of a litter (common practice, no source).
    pub const LITTER_KG: [f64; 2] = [1.0, 30.0];

    /// Least and greatest growth of clean wool, g a day (common practice, no source).
    pub const WOOL_G: [f64; 2] = [0.0, 30.0];
    /// Least and greatest age, years (common practice, no source).
    pub const AGE_YEARS: [f64; 2] = [0.5, 15.0];

    /// A mature housed ewe that need not grow, her litter's weight reckoned.
    pub fn housed(weight: Kg, litter: Litter, days_to_lambing: u32, diet: MjPerKgDm) -> Self {
        Self {
            weight,
            litter,
            days_to_lambing,
            growth: GramPerDay::new(0.0),
            litter_weight: None,
            diet,
            housing: Housing::Housed,
            wool: None,
            age_years: usual_years(AgeClass::Mature),
        }
    }

    /// The litter's weight at birth, given or reckoned.
    pub fn birth_weight(&self) -> Kg {
        self.litter_weight.unwrap_or_else(|| litter_weight(self.weight, self.litter))
    }

    /// The state, or the input that lies outside the range.
    pub fn checked(self) -> Result<Self, OutOfRange> {
        within("weight", self.weight.value(), Self::WEIGHT_KG, Kg::UNIT)?;
        within("growth", self.growth.value(), Self::GROWTH_G, GramPerDay::UNIT)?;
        within("diet", self.diet.value(), Self::DIET_MJ, MjPerKgDm::UNIT)?;
        if let Some(litter_weight) = self.litter_weight {
            within("litter-weight", litter_weight.value(), Self::LITTER_KG, Kg::UNIT)?;
        }
        if let Some(wool) = self.wool {
            within("wool", wool.value(), Self::WOOL_G, GramPerDay::UNIT)?;
        }
        within("age-years", self.age_years, Self::AGE_YEARS, "years")?;
        if self.litter.lambs() > 0 {
            within("days-to-lambing", f64::from(self.days_to_lambing), [0.0, f64::from(TERM_DAYS)], "days")?;
        }
        Ok(self)
    }

    /// Days from conception.
    pub fn days_pregnant(&self) -> f64 {
        f64::from(TERM_DAYS.saturating_sub(self.days_to_lambing))
    }
}

fn within(
    input: &'static str,
    found: f64,
    [least, most]: [f64; 2],
    unit: &'static str,
) -> Result<(), OutOfRange> {
    // Written so that a NaN fails too.
    if (least..=most).contains(&found) { Ok(()) } else { Err(OutOfRange { input, found, least, most, unit }) }
}
