//! The inputs of the equations, checked against the range in which they hold.

use crate::flock::Litter;
use crate::quantity::{GramPerDay, Kg, MjPerKgDm};

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

    /// The state, or the input that lies outside the range.
    pub fn checked(self) -> Result<Self, OutOfRange> {
        within("weight", self.weight.value(), Self::WEIGHT_KG, Kg::UNIT)?;
        within("growth", self.growth.value(), Self::GROWTH_G, GramPerDay::UNIT)?;
        within("diet", self.diet.value(), Self::DIET_MJ, MjPerKgDm::UNIT)?;
        if let Some(litter_weight) = self.litter_weight {
            within("litter-weight", litter_weight.value(), Self::LITTER_KG, Kg::UNIT)?;
        }
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
