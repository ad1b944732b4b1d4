//! Header names to columns: the spellings that are understood, and the units they may carry.
//!
//! Spellings are compared without case, blanks, underscores, hyphens and other marks, and without what
//! stands in brackets, which is looked at for a unit or an order of day and month.

use crate::day::DateOrder;

/// A column of one of our files.
#[derive(Debug)]
pub(super) struct Column {
    /// Our name for it.
    pub(super) name: &'static str,
    /// Other names that mean the same, as [`plain`] writes them, most usual first.
    pub(super) spellings: &'static [&'static str],
    /// The units in which it may be given, as [`plain`] writes them. The first is ours.
    pub(super) units: &'static [&'static str],
}

/// Units that mean a length, area or weight other than ours; a column in one of these is not read.
const FOREIGN_UNITS: [&str; 28] = [
    "lb", "lbs", "pound", "pounds", "st", "stone", "stones", "g", "kg", "mm", "cm", "ft", "foot", "feet",
    "in", "inch", "inches", "yd", "yards", "sqft", "ft2", "ft²", "ha", "acre", "acres", "cm2", "percent",
    "pc",
];

const METRES: &[&str] = &["m", "metre", "metres", "meter", "meters"];
const SQUARE_METRES: &[&str] = &["m2", "m²", "sqm", "squaremetres", "squaremeters", "squaremetre"];
const KILOGRAMS: &[&str] = &["kg", "kgs", "kilo", "kilos", "kilogram", "kilograms"];
const GRAMS: &[&str] = &["g", "gday", "gd", "gperday", "gaday", "gms", "grams", "gramsperday", "gramsaday"];
const PER_TONNE: &[&str] = &["pert", "perton", "pertonne", "t", "tonne", "at", "atonne"];
const TONNES: &[&str] = &["t", "tonne", "tonnes", "ton", "tons"];
const GRAMS_A_KG: &[&str] = &["gkg", "gkgdm", "gperkg", "gperkgdm", "g"];
const MILLIGRAMS_A_KG: &[&str] = &["mgkg", "mgkgdm", "mgperkg", "mgperkgdm", "mg", "ppm"];
const MEGAJOULES: &[&str] = &["mj", "mjkg", "mjkgdm", "mjperkg", "mjperkgdm"];

macro_rules! columns {
    ($($name:literal $units:expr => $($spelling:literal)*;)*) => {
        &[$(Column { name: $name, spellings: &[$($spelling),*], units: $units }),*]
    };
}

/// Whether a column of ours holds names, in which no sign may change.
pub(super) fn names_something(column: &str) -> bool {
    ["tag", "eid", "pen", "group", "feed", "like"].contains(&column)
}

/// The columns of the flock file.
pub(super) const FLOCK: &[Column] = columns! {
    "tag" &[] => "eartag" "eartagnumber" "eartagno" "tagnumber" "tagno" "ewetag" "ewe" "eweid" "ewenumber" "eweno"
        "managementtag" "managementnumber" "flocktag" "visualtag" "visualid" "id";
    "eid" &[] => "eidnumber" "eidno" "eidtag" "electronicid" "electronicidentifier" "electronictag"
        "electronicnumber" "rfid" "transponder" "chip" "microchip";
    "litter" &[] => "littersize" "lambs" "lambsscanned" "lambscarried" "lambnumber" "numberoflambs" "nooflambs"
        "scan" "scanned" "scancount" "scanresult" "scanning" "scanningresult" "scannedlambs" "carrying" "foetuses"
        "fetuses";
    "condition" &[] => "conditionscore" "condscore" "bcs" "bodycondition" "bodyconditionscore" "cs" "score";
    "due" &[] => "duedate" "datedue" "duetolamb" "lambingdate" "lambingdue" "lambingduedate"
        "expectedlambing" "expectedlambingdate" "lambdate" "duelambing";
    "group" &[] => "matinggroup" "raddle" "raddlecolour" "raddlecolor" "colour" "color" "crayon" "tup" "tupgroup"
        "ram" "ramgroup" "servicegroup" "tuppinggroup" "breedinggroup";
    "age" &[] => "ageclass" "agegroup" "agecategory" "class";
    "weight_kg" KILOGRAMS => "weight" "liveweight" "liveweightkg" "lw" "lwkg" "lwt" "lwtkg" "wt" "wtkg" "bodyweight"
        "bodyweightkg" "eweweight" "eweweightkg" "matingweight" "matingweightkg" "kg";
    "growth_g_per_day" GRAMS => "growth" "growthg" "growthgday" "growthgd" "growthrate" "growthwanted"
        "targetgrowth" "gain" "gaingperday" "gaingday" "dailygain" "targetgain" "targetgaingperday";
    "shorn" &[] => "shornathousing" "housedshorn" "wintershorn" "clipped" "wintershearing";
    "notes" &[] => "note" "remarks" "remark" "comments" "comment" "memo";
};

/// The columns of the pens file.
pub(super) const PENS: &[Column] = columns! {
    "pen" &[] => "penname" "penno" "pennumber" "penid" "name" "id";
    "trough_m" METRES => "trough" "troughlength" "troughlengthm" "troughmetres" "feedface" "feedfacem"
        "feedfacelength" "feedbarrier" "feedbarrierm" "feedspace" "feedspacem" "face" "facem";
    "places" &[] => "feedingplaces" "feedplaces" "headplaces" "feedingspaces" "feedspaces" "singleplaces";
    "area_m2" SQUARE_METRES => "area" "areasqm" "aream²" "floorarea" "flooraream2" "floorareasqm" "floorspace"
        "floorspacem2" "lyingarea" "lyingaream2";
    "feeding" &[] => "feed" "fed" "feedaccess" "feedingsystem" "feedingmethod";
    "floor" &[] => "flooring" "floortype" "bedding";
    "blocked_corners" &[] => "corners" "cornersblocked" "blocked";
    "only" &[] => "onlyfor" "onlytakes" "takesonly" "onlyage" "onlyages";
    "not" &[] => "notfor" "takesnot" "nottaken" "never" "except" "excluded" "notage" "notages";
    "max_head" &[] => "max" "maximum" "maximumhead" "maxewes" "mostewes" "headlimit" "most";
};

/// The columns of the mating groups file.
pub(super) const GROUPS: &[Column] = columns! {
    "group" &[] => "groupname" "name" "matinggroup" "raddle" "raddlecolour" "raddlecolor" "colour" "color" "crayon"
        "tup" "ram" "tupgroup" "ramgroup" "servicegroup" "tuppinggroup" "breedinggroup";
    "first_day" &[] => "first" "firstdate" "from" "start" "startdate" "startday" "tupin" "tupsin" "ramin" "ramsin";
    "last_day" &[] => "last" "lastdate" "to" "until" "end" "enddate" "endday" "tupout" "tupsout" "ramout" "ramsout";
    "of" &[] => "daysof" "datesof" "dates" "datesare" "daysare" "meaning" "kind" "type";
};

/// The columns of an assignment; our own pen lists have these two among others.
pub(super) const ASSIGNMENT: &[Column] = columns! {
    "tag" &[] => "eartag" "eartagnumber" "eartagno" "tagnumber" "tagno" "ewetag" "ewe" "eweid" "ewenumber" "eweno"
        "managementtag" "managementnumber" "flocktag" "visualtag" "visualid" "id";
    "pen" &[] => "penname" "penno" "pennumber" "penid" "penletter" "feedingpen" "inpen" "standsin";
};

/// The columns of the feeds file.
pub(super) const FEEDS: &[Column] = columns! {
    "feed" &[] => "feedname" "feedid" "name" "feedstuff" "id";
    "like" &[] => "islike" "sameas" "tablefeed" "feedlike" "similarto";
    "price_per_t" PER_TONNE => "price" "pricet" "pricepertonne" "priceperton" "costpert" "costpertonne" "cost";
    "stock_t" TONNES => "stock" "stocktonnes" "instore" "store" "storet" "tonnes" "tonnesinstore";
    "counted_on" &[] => "counted" "stockon" "storecounted" "measuredon" "weighedon" "stockdate";
    "kg_most" KILOGRAMS => "mostkg" "maxkg" "kgmax" "maximumkg" "mostkgaday";
    "analysed_on" &[] => "analysed" "analyzedon" "analysisdate" "dateofanalysis" "sampled" "sampledon" "sampledate";
    "dm_g_per_kg" GRAMS_A_KG => "dm" "drymatter" "dmgkg" "drymattergkg" "ovendm" "ovendrymatter";
    "me_mj_per_kg_dm" MEGAJOULES => "me" "energy" "memj" "memjkg" "memjkgdm";
    "d_value" &["%", "percent"] => "d" "domd";
    "cp_g_per_kg_dm" GRAMS_A_KG => "cp" "crudeprotein" "protein" "cpgkg" "cpgkgdm";
    "ph" &["ph"] => "acidity";
    "ash_g_per_kg_dm" GRAMS_A_KG => "ash" "ashgkg" "ashgkgdm";
    "ndf_g_per_kg_dm" GRAMS_A_KG => "ndf" "ndfgkg" "ndfgkgdm" "fibre";
    "starch_g_per_kg_dm" GRAMS_A_KG => "starch" "starchgkg" "starchgkgdm";
    "sugar_g_per_kg_dm" GRAMS_A_KG => "sugar" "sugars" "sugargkg" "sugargkgdm" "wsc";
    "oil_g_per_kg_dm" GRAMS_A_KG => "oil" "fat" "oilgkg" "oilgkgdm" "etherextract";
    "ca_g_per_kg_dm" GRAMS_A_KG => "ca" "calcium" "cagkg" "cagkgdm";
    "p_g_per_kg_dm" GRAMS_A_KG => "p" "phosphorus" "pgkg" "pgkgdm";
    "mg_g_per_kg_dm" GRAMS_A_KG => "mg" "magnesium" "mggkg" "mggkgdm";
    "na_g_per_kg_dm" GRAMS_A_KG => "na" "sodium" "nagkg" "nagkgdm";
    "cu_mg_per_kg_dm" MILLIGRAMS_A_KG => "cu" "copper" "cumgkg" "cumgkgdm";
};

/// The columns of the loads file.
pub(super) const LOADS: &[Column] = columns! {
    "pen" &[] => "penname" "penno" "pennumber" "penid" "penletter" "feedingpen";
    "day" &[] => "date" "on" "loadedon" "fedon";
    "feed" &[] => "feedname" "feedid" "name" "feedstuff";
    "kg_loaded" KILOGRAMS => "loaded" "loadedkg" "kgin" "fed" "kgfed" "load" "kg";
    "kg_left" KILOGRAMS => "left" "leftkg" "kgout" "refused" "refusals" "kgrefused" "leftover" "leftovers";
};

/// Letters and digits only, in lower case: what two spellings of the same name have in common.
pub(super) fn plain(text: &str) -> String {
    text.chars().filter(|c| c.is_alphanumeric() || *c == '²').flat_map(char::to_lowercase).collect()
}

/// A header cell, taken apart.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Header {
    /// The name without what stands in brackets, plainly written.
    pub(super) name: String,
    /// What stood in brackets, as it stood.
    pub(super) bracket: Option<String>,
}

impl Header {
    /// Takes `text` apart. Only brackets at the end count; others belong to the name.
    pub(super) fn of(text: &str) -> Self {
        let text = text.trim();
        let pairs = [('(', ')'), ('[', ']')];
        let split = pairs.iter().find_map(|&(open, close)| text.strip_suffix(close)?.rsplit_once(open));
        match split {
            // `plain` would drop the mark, and 14 % would be read as 14 g.
            Some((name, bracket)) if !plain(name).is_empty() && bracket.contains('%') => {
                Self { name: plain(name), bracket: Some("percent".to_owned()) }
            }
            Some((name, bracket)) if !plain(name).is_empty() => {
                Self { name: plain(name), bracket: Some(bracket.trim().to_owned()) }
            }
            _ => Self { name: plain(text), bracket: text.contains('%').then(|| "percent".to_owned()) },
        }
    }

    /// Which of `columns` it means, and how surely.
    pub(super) fn meaning(&self, columns: &[Column]) -> Meaning {
        if self.name.is_empty() {
            return Meaning::Unknown;
        }
        for (index, column) in columns.iter().enumerate() {
            if column.name.bytes().filter(|&byte| byte != b'_').eq(self.name.bytes()) {
                return self.in_unit(index, column, true);
            }
        }
        for (index, column) in columns.iter().enumerate() {
            if column.spellings.contains(&self.name.as_str()) {
                return self.in_unit(index, column, false);
            }
        }
        for (index, column) in columns.iter().enumerate().filter(|(_, column)| !column.units.is_empty()) {
            for unit in FOREIGN_UNITS {
                let stem = self.name.strip_suffix(unit).unwrap_or_default();
                if is_stem_of(stem, column) && !column.units.contains(&unit) {
                    return Meaning::WrongUnit { column: index, unit: unit.to_owned() };
                }
            }
        }
        Meaning::Unknown
    }

    fn in_unit(&self, index: usize, column: &Column, own_name: bool) -> Meaning {
        let unit = self.bracket.as_deref().map(plain).unwrap_or_default();
        if !column.units.is_empty()
            && FOREIGN_UNITS.contains(&unit.as_str())
            && !column.units.contains(&unit.as_str())
        {
            return Meaning::WrongUnit { column: index, unit };
        }
        if own_name { Meaning::OwnName(index) } else { Meaning::Spelling(index) }
    }

    /// The order of day and month that the bracket states, as in `due (dd/mm/yyyy)`.
    pub(super) fn date_order(&self) -> Option<DateOrder> {
        match self.bracket.as_deref().map(plain)?.trim_end_matches('y') {
            "ddmm" | "dm" => Some(DateOrder::Dmy),
            "mmdd" | "md" => Some(DateOrder::Mdy),
            _ => None,
        }
    }
}

fn is_stem_of(stem: &str, column: &Column) -> bool {
    let bare = column.name.split('_').next().unwrap_or_default();
    !stem.is_empty() && (stem == bare || column.spellings.contains(&stem))
}

/// What a header cell means.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Meaning {
    /// Our own name of the column at this index.
    OwnName(usize),
    /// Another spelling of the column at this index.
    Spelling(usize),
    /// A column of ours in a unit that is not ours.
    WrongUnit {
        /// The column's index.
        column: usize,
        /// The unit as written.
        unit: String,
    },
    /// Nothing to us.
    Unknown,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_spelling_is_plain_and_means_one_column() {
        for columns in [FLOCK, PENS, GROUPS, ASSIGNMENT, FEEDS, LOADS] {
            let mut seen = std::collections::BTreeSet::new();
            for column in columns {
                let own = plain(column.name);
                for spelling in column.spellings.iter().copied().chain([own.as_str()]) {
                    assert_eq!(plain(spelling), spelling);
                    assert!(spelling.chars().all(|c| c.is_ascii() || c == '²'), "{spelling}");
                    assert!(seen.insert(spelling.to_owned()), "{spelling} means two columns");
                }
            }
        }
    }

    #[test]
    fn a_foreign_unit_is_never_taken_for_ours() {
        let foreign =
            |text: &str, columns| matches!(Header::of(text).meaning(columns), Meaning::WrongUnit { .. });
        for text in ["weight (lb)", "Weight_lbs", "live weight stone", "WEIGHT [st]", "weight g"] {
            assert!(foreign(text, FLOCK), "{text}");
        }
        for text in ["trough (cm)", "trough_mm", "area (sq ft)", "area ha"] {
            assert!(foreign(text, PENS), "{text}");
        }
        for text in ["cp %", "CP (%)", "crude protein (% DM)", "ndf_percent", "price (kg)"] {
            assert!(foreign(text, FEEDS), "{text}");
        }
        for text in ["cp (g/kg DM)", "D-value (%)", "D value", "cp_g_per_kg_dm", "stock (t)", "me (MJ/kg DM)"]
        {
            assert!(!foreign(text, FEEDS), "{text}");
        }
        for text in ["weight (kg)", "condition (1-5)", "growth g/day", "Growth (g per day)", "litter (in)"] {
            assert!(!foreign(text, FLOCK), "{text}");
        }
    }

    #[test]
    fn a_bracket_may_state_the_order_of_dates() {
        assert_eq!(Header::of("Due (dd/mm/yyyy)").date_order(), Some(DateOrder::Dmy));
        assert_eq!(Header::of("due [M/D/Y]").date_order(), Some(DateOrder::Mdy));
        assert_eq!(Header::of("due (yyyy-mm-dd)").date_order(), None);
    }
}
