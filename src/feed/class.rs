//! What kind of feed it is.

/// The kinds of feed, as `data/feeds.csv` names them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Class {
    /// Silage of grass or clover, from a clamp or a bale.
    Silage,
    /// Haylage.
    Haylage,
    /// Hay.
    Hay,
    /// Straw of cereals.
    Straw,
    /// Maize silage and whole-crop cereals.
    WholeCrop,
    /// Roots.
    Root,
    /// Cereal grain.
    Cereal,
    /// By-products of milling and sugar.
    ByProduct,
    /// By-products of distilling.
    Distillers,
    /// Beans, peas and lupins.
    Pulse,
    /// Meals of oilseeds.
    Protein,
    /// Bought-in nuts.
    Compound,
    /// Protected fat.
    Fat,
    /// Feed-grade urea.
    Urea,
    /// Minerals.
    Mineral,
}

impl Class {
    /// Every class, with its name in files (names chosen here; common practice, no source).
    pub const ALL: [(Self, &str); 15] = [
        (Self::Silage, "silage"),
        (Self::Haylage, "haylage"),
        (Self::Hay, "hay"),
        (Self::Straw, "straw"),
        (Self::WholeCrop, "whole crop"),
        (Self::Root, "root"),
        (Self::Cereal, "cereal"),
        (Self::ByProduct, "by-product"),
        (Self::Distillers, "distillers"),
        (Self::Pulse, "pulse"),
        (Self::Protein, "protein"),
        (Self::Compound, "compound"),
        (Self::Fat, "fat"),
        (Self::Urea, "urea"),
        (Self::Mineral, "mineral"),
    ];

    /// Its name in files.
    pub fn name(self) -> &'static str {
        Self::ALL.into_iter().find(|(class, _)| *class == self).map_or("", |(_, name)| name)
    }

    /// Long fodder that fills the rumen and keeps it turning over.
    pub const fn is_forage(self) -> bool {
        matches!(self, Self::Silage | Self::Haylage | Self::Hay | Self::Straw | Self::WholeCrop)
    }

    /// What is fed from a bag or bin and counts against the limit for one feed. Roots and minerals do not.
    pub const fn is_concentrate(self) -> bool {
        matches!(
            self,
            Self::Cereal
                | Self::ByProduct
                | Self::Distillers
                | Self::Pulse
                | Self::Protein
                | Self::Compound
                | Self::Fat
                | Self::Urea
        )
    }
}
