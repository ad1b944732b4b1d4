//! What an analysis tells about a feed.

use crate::quantity::{GramPerKg, GramPerKgDm, MgPerKgDm, MjPerKgDm, PerHour};

/// What a feed holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Values {
    /// Dry matter.
    pub dry_matter: GramPerKg,
    /// Metabolisable energy.
    pub me: MjPerKgDm,
    /// Share of the energy that is fermented already (maize silage, whole crop, distillers' feeds).
    pub fermented: f64,
    /// Crude protein.
    pub crude_protein: GramPerKgDm,
    /// Share of the nitrogen that is released at once: AFRC's a.
    pub quick: f64,
    /// Share that is broken down slowly: b.
    pub slow: f64,
    /// How fast: c.
    pub rate: PerHour,
    /// Nitrogen bound to fibre by acid detergent, g a kg DM.
    pub adin: GramPerKgDm,
    /// Fibre by neutral detergent.
    pub ndf: GramPerKgDm,
    /// Starch.
    pub starch: GramPerKgDm,
    /// Sugar.
    pub sugar: GramPerKgDm,
    /// Oil.
    pub oil: GramPerKgDm,
    /// Calcium.
    pub calcium: GramPerKgDm,
    /// Phosphorus.
    pub phosphorus: GramPerKgDm,
    /// Magnesium.
    pub magnesium: GramPerKgDm,
    /// Sodium.
    pub sodium: GramPerKgDm,
    /// Copper.
    pub copper: MgPerKgDm,
}

impl Values {
    /// kg of dry matter in a kg as it lies in the store.
    pub fn dry_share(&self) -> f64 {
        self.dry_matter.value() / 1000.0
    }
}
