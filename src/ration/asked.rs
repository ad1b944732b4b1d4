//! What is asked of one pen's ration.

use crate::feed::{Block, Class, Stocked};
use crate::flock::Litter;
use crate::quantity::{GramPerDay, Kg, MgPerKgDm, MjPerDay};
use crate::ration::limit;
use crate::requirement::intake::{Appetite, Trough};

/// How the pen is fed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// One mixed ration, always there.
    Mixed,
    /// A mix made for a smaller need, always there, and concentrate on top.
    TopUp,
    /// Forage always there, concentrate in one, two or three feeds.
    Separate,
    /// Hay always there, and bought-in nuts.
    Nuts,
    /// Straw always there, and concentrate.
    Straw,
}

impl Way {
    /// Every way, with its name in documents (names chosen here; common practice, no source).
    pub const ALL: [(Self, &str); 5] = [
        (Self::Mixed, "mixed"),
        (Self::TopUp, "topup"),
        (Self::Separate, "separate"),
        (Self::Nuts, "nuts"),
        (Self::Straw, "straw"),
    ];

    /// Its name in documents.
    pub fn id(self) -> &'static str {
        Self::ALL.into_iter().find(|(way, _)| *way == self).map_or("", |(_, id)| id)
    }

    /// In words.
    pub const fn in_words(self) -> &'static str {
        match self {
            Self::Mixed => "one mixed ration, always there",
            Self::TopUp => "the common mix always there, with a top-up",
            Self::Separate => "forage always there, with concentrate fed apart",
            Self::Nuts => "hay always there, with bought-in nuts",
            Self::Straw => "straw always there, with concentrate",
        }
    }

    /// Whether everything stands mixed in the trough.
    pub const fn is_mixed(self) -> bool {
        matches!(self, Self::Mixed)
    }

    /// Whether a feed of this class belongs to it.
    pub const fn takes(self, class: Class) -> bool {
        match self {
            Self::Mixed | Self::TopUp | Self::Separate => true,
            Self::Nuts => matches!(class, Class::Hay | Class::Haylage | Class::Compound | Class::Mineral),
            Self::Straw => class.is_concentrate() || matches!(class, Class::Straw | Class::Mineral),
        }
    }
}

/// How many ewes eat from the store, for how long.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pen {
    /// Ewes.
    pub ewes: u32,
    /// Days that the store must last.
    pub days: u32,
}

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    /// Energy needed.
    pub me: MjPerDay,
    /// Metabolisable protein needed.
    pub mp: GramPerDay,
    /// Energy that keeps her as she is, barren: the level of feeding is counted by it.
    pub maintenance: MjPerDay,
    /// Live weight without her lambs.
    pub weight: Kg,
    /// Lambs carried.
    pub litter: Litter,
    /// Weeks to lambing.
    pub weeks: f64,
    /// How the pen is fed.
    pub way: Way,
    /// What is on the farm.
    pub feeds: Vec<Stocked>,
    /// Whether the trough is rationed and empty at times; otherwise feed is always there.
    pub is_restricted: bool,
    /// Most feeds of concentrate a day.
    pub most_feeds: u32,
    /// Most straights at a time.
    pub most_straights: usize,
    /// Concentrate given last week, kg fresh a day.
    pub last_week: Option<Kg>,
    /// Ewes and days, for what is in store.
    pub pen: Option<Pen>,
    /// Most copper of the whole ration.
    pub copper_most: MgPerKgDm,
    /// Weeks before lambing from which protein is asked for.
    pub protein_weeks: f64,
    /// The need that the common mix is made for.
    pub mix_for: Option<(MjPerDay, GramPerDay)>,
    /// What a plan over pens and weeks holds it to.
    pub held: Held,
}

/// Ewes at one trough that are alike.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Eater {
    /// Live weight without her lambs.
    pub weight: Kg,
    /// Lambs carried.
    pub litter: Litter,
    /// Weeks to lambing.
    pub weeks: f64,
    /// How much she counts: days that she stands there.
    pub days: f64,
}

/// What a plan over pens and weeks holds a ration to; for one ration alone, nothing.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Held {
    /// The ewes of the pen: what is eaten is their mean. Empty: the ewe that was asked about.
    pub eaters: Vec<Eater>,
    /// The common mix, made already: feeds by place, and kg.
    pub mix: Vec<(usize, f64)>,
    /// The recipe of the concentrate: feeds by place, and their shares of its weight, which sum to 1. Empty: free.
    pub blend: Vec<(usize, f64)>,
    /// Most of each feed that may be drawn from its store, kg fresh a ewe a day. Empty: `pen` says.
    pub most: Vec<f64>,
    /// Feeds that are kept for later weeks, by place.
    pub out: Vec<usize>,
    /// Least and most concentrate, kg fresh a day.
    pub concentrate: Option<[f64; 2]>,
    /// What a feed in use costs beside its price, pence a ewe a day: fetching and weighing it.
    pub handling: f64,
    /// Feeds of the week before, by place: they stay unless others are clearly cheaper.
    pub before: Vec<usize>,
    /// Concentrates of the week before, by place, kg fresh a ewe a day: less of one counts for something.
    pub last: Vec<(usize, f64)>,
    /// Most programmes to solve for amounts that can be weighed; nothing for as many as usual.
    pub solves: Option<u32>,
    /// What the pen was seen to eat against the model, where it was seen.
    pub appetite: Option<f64>,
    /// Whether it is weight that ends a meal and not fill: of a common mix made for another pen she may have had all
    /// the dry matter that she can eat before she is full.
    pub is_by_weight: bool,
}

impl Asked {
    /// What the trough really does: the mean of the ewes at it.
    pub(super) fn appetite(&self, trough: Trough) -> Appetite {
        let seen = self.held.appetite.unwrap_or(1.0);
        let of = |eater: &Eater| {
            let own = Appetite::of(eater.weight, eater.litter, eater.weeks, trough);
            Appetite { capacity: seen * own.capacity, most_kg: seen * own.most_kg }
        };
        let days: f64 = self.held.eaters.iter().map(|eater| eater.days).sum();
        if days <= 0.0 {
            let alone = Eater { weight: self.weight, litter: self.litter, weeks: self.weeks, days: 1.0 };
            return of(&alone);
        }
        let mean = |figure: fn(&Appetite) -> f64| {
            self.held.eaters.iter().map(|eater| eater.days * figure(&of(eater))).sum::<f64>() / days
        };
        Appetite { capacity: mean(|own| own.capacity), most_kg: mean(|own| own.most_kg) }
    }
}

/// Why a feed on the farm is not fed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Withheld {
    /// It may hold copper that kills sheep, and has not been analysed for it.
    Copper,
    /// Urea.
    Urea,
    /// Silage too little acid to keep.
    Acidity,
    /// Silage with soil in it.
    Soil,
    /// It does not belong to the way of feeding.
    Way,
    /// There is none in store.
    Empty,
}

/// Why a feed on the farm is not fed; nothing where it may be.
pub fn withheld(feed: &Stocked, way: Way) -> Option<Withheld> {
    let told = |column: &str| feed.analysis.as_ref().is_some_and(|analysis| analysis.tells(column));
    let ph = feed.analysis.as_ref().and_then(|analysis| analysis.ph);
    let ash = feed.analysis.as_ref().and_then(|analysis| analysis.ash);
    let is_silage = matches!(feed.feed.class, Class::Silage | Class::WholeCrop);
    match feed.feed.blocked {
        Some(Block::Urea) => return Some(Withheld::Urea),
        Some(Block::Copper) if !told("cu_mg_per_kg_dm") => return Some(Withheld::Copper),
        _ => {}
    }
    if is_silage
        && ph.is_some_and(|ph| ph > limit::PH_BLOCK)
        && feed.feed.values.dry_matter.value() < limit::PH_DRY
    {
        return Some(Withheld::Acidity);
    }
    if is_silage && ash.is_some_and(|ash| ash.value() > limit::ASH_BLOCK) {
        return Some(Withheld::Soil);
    }
    if !way.takes(feed.feed.class) {
        return Some(Withheld::Way);
    }
    feed.stock.is_some_and(|stock| stock.value() <= 0.0).then_some(Withheld::Empty)
}

impl Withheld {
    /// In words, with what to do.
    pub const fn in_words(self) -> &'static str {
        match self {
            Self::Copper => {
                "not fed: copper from stills can kill sheep. Have the load analysed for copper and enter \
                 cu_mg_per_kg_dm with its day; ask your vet or feed adviser."
            }
            Self::Urea => {
                "not fed: urea is off for ewes in lamb; 12 g in one feed has killed sheep. Ask your vet or feed \
                 adviser."
            }
            Self::Acidity => {
                "not fed: pH over 5.0 in wet silage, in which Listeria may grow. Ask your vet or feed adviser."
            }
            Self::Soil => {
                "not fed: ash over 100 g a kg DM means soil, and with it Listeria. Ask your vet or feed adviser."
            }
            Self::Way => "not part of this way of feeding.",
            Self::Empty => "none in store.",
        }
    }
}
