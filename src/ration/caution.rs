//! What may hurt a ewe, said beside the ration that it concerns. Each names its source and defers to vet or adviser.

use crate::feed::Class;
use crate::ration::asked::Asked;
use crate::ration::limit;
use crate::ration::rule::Key;
use crate::ration::settle::Ration;

/// A caution.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Caution {
    /// What it is about, in a word.
    pub about: &'static str,
    /// What to watch or do.
    pub words: String,
    /// Where it comes from.
    pub source: &'static str,
}

/// Energy missed from which pregnancy toxaemia is named, share of need (common practice, no source).
const SHORT_SHARE: f64 = 0.02;
/// Weeks before lambing in which it threatens (common practice, no source).
const TOXAEMIA_WEEKS: f64 = 6.0;
/// Concentrate from which acidosis is named, kg fresh a day: over 0.45 in two feeds (FWI, 2002 from memory of
/// the year).
const ACIDOSIS_KG: f64 = 0.45;

/// Dry matter under which silage is called wet, g a kg (common practice, no source; that 8 % more was eaten of wilted
/// silage: Animal Science, three trials with 144 Greyface ewes, author and year not read).
const WET: f64 = 200.0;

/// The cautions that a ration calls for.
pub fn cautions(asked: &Asked, ration: &Ration) -> Vec<Caution> {
    let mut found = Vec::new();
    let mut add = |about, words: String, source| {
        found.push(Caution { about, words: format!("{words} Ask your vet or feed adviser."), source });
    };
    let whole = &ration.whole;
    let per_dm = |grams: f64| if whole.dm > 0.0 { grams / whole.dm } else { 0.0 };
    let fed = || ration.feeds().into_iter().filter_map(|(place, _)| asked.feeds.get(place));
    let has = |class: Class| fed().any(|stocked| stocked.feed.class == class);
    let concentrate: f64 = ration
        .feeds()
        .into_iter()
        .filter_map(|(place, kg)| Some((asked.feeds.get(place)?.feed.class.is_concentrate(), kg)))
        .filter(|(is_concentrate, _)| *is_concentrate)
        .map(|(_, kg)| kg)
        .sum();
    if concentrate > ACIDOSIS_KG || per_dm(whole.starch + whole.sugar) > 0.8 * limit::STARCH_SUGAR {
        add(
            "acidosis",
            format!(
                "{concentrate:.2} kg of concentrate a day: no more than {} kg at a feed, room at the trough for all \
                 at once, fibre first, and up to this amount by 50 g every two or three days.",
                limit::CONCENTRATE_A_FEED
            ),
            "ADAS (Rees) 1996, http://www.fwi.co.uk/news/adas-straw-advice.htm; steps: common practice, no source",
        );
    }
    if whole.forage < limit::ROUGHAGE {
        add(
            "little roughage",
            format!(
                "She is reckoned to eat only {:.2} kg of dry forage beside this concentrate, and needs about a pound \
                 (0.45 kg as it lies) to chew: put out twice what she eats, so that she can pick, fresh each day, and \
                 part the concentrate into as many feeds as you can. Better forage is safer.",
                whole.forage
            ),
            "http://www.farminfo.org/livestock/sheep-m.htm (a pound); twice: Irish Farmers Journal, high-concentrate diets",
        );
    }
    if asked.last_week.is_none() && concentrate > 0.0 {
        add(
            "sudden change",
            format!(
                "Last week's concentrate was not given, so no step was checked: raise it by no more than {} kg a \
                 week, and change silage over five to seven days. The rumen needs 10 to 14 days.",
                limit::RISE
            ),
            "http://www.fwi.co.uk/news/lifts-lamb-crop.htm; 0.2 kg: common practice, no source",
        );
    }
    let missed = ration.missed(Key::Me);
    if missed > SHORT_SHARE * asked.me.value() && asked.weeks <= TOXAEMIA_WEEKS && asked.litter.lambs() >= 2 {
        add(
            "pregnancy toxaemia",
            format!(
                "{missed:.1} MJ short with {}: she will take it off her back. Watch for ewes that hang behind or do \
                 not come to the trough, and let none miss a feed.",
                asked.litter.in_words()
            ),
            "Vet Times 2017, pre-lambing preparation; Merck Veterinary Manual",
        );
    }
    if has(Class::Cereal) || ration.missed(Key::Calcium) > 0.0 {
        add(
            "low calcium",
            "Cereals hold little calcium: limestone with them, and no gathering or yarding off feed in the last \
             four weeks."
                .to_owned(),
            "Agriculture Victoria, hypocalcaemia in sheep (2023, 2025)",
        );
    }
    if ration.missed(Key::Magnesium) > 0.0 {
        add(
            "low magnesium",
            "The ration holds less magnesium than is worked with; the danger is greatest four to six weeks after \
             lambing."
                .to_owned(),
            "Scientific Reports 2024, 53908, Table 1; New Zealand plasma line 0.7 mmol/l (sciquest 35380)",
        );
    }
    let copper = per_dm(whole.cu);
    if copper > limit::COPPER_CAUTION || has(Class::Distillers) {
        add(
            "copper",
            format!(
                "{copper:.1} mg a kg DM in the whole ration; the legal most is {:.1}. Housed ewes store it: Texels \
                 and North Ronaldsays are in danger from about 10 where molybdenum is low. Check the declared \
                 copper of nuts, and give no copper beside this.",
                limit::COPPER
            ),
            "Regulation (EU) 2018/1039; In Practice 1997, 19(9), 503",
        );
    }
    if ration.degradable_share() > limit::DEGRADABLE_MOST {
        add(
            "wasted protein",
            format!(
                "{:.0} % of the degradable protein that the energy can use: the rest leaves as urea.",
                100.0 * ration.degradable_share()
            ),
            "common practice, no source",
        );
    }
    if asked.feeds.iter().any(|stocked| stocked.feed.class == Class::Urea) {
        add(
            "urea",
            "Urea is never put into a ration here; 12 g in one feed has killed sheep, and hungry or thin ewes die \
             first."
                .to_owned(),
            "https://flockandherd.net.au/archive/transcribed/1958/reader/nitrogen-supplement.html",
        );
    }
    if has(Class::Silage) || has(Class::WholeCrop) {
        add("silage hygiene", silage_words(asked, ration), "FAS Scotland, avoiding listeria");
    }
    if has(Class::Hay) || has(Class::Haylage) || has(Class::Straw) {
        add(
            "mouldy feed",
            "No visible mould to ewes in lamb: throw it out, and do not let them pick it over as bedding."
                .to_owned(),
            "https://farmersjournal.ie/amp/news/news/starting-to-feed-silage-193490",
        );
    }
    if has(Class::Cereal) {
        let forage = if has(Class::Silage) || has(Class::WholeCrop) { "Roll" } else { "Feed whole" };
        add(
            "grain",
            format!(
                "{forage} the grain: with silage 13 % of whole barley passes through whole, with hay 5 %. Milled fine \
                 it brings acidosis."
            ),
            "Vipond, Hunter and Lewis 1985",
        );
    }
    if !asked.is_restricted {
        add(
            "appetite",
            "What she eats is a working model: weigh what is left in the trough, and tell it if it is under 2 % or over \
             10 %."
                .to_owned(),
            "put together from Orr and Treacher 1984 and 1989; refusals from memory",
        );
    }
    found
}

fn silage_words(asked: &Asked, ration: &Ration) -> String {
    let mut words =
        "No top, shoulder or spoiled silage and no punctured bale; clear the trough before filling it."
            .to_owned();
    for (place, _) in ration.feeds() {
        let Some(stocked) = asked.feeds.get(place) else { continue };
        if !matches!(stocked.feed.class, Class::Silage | Class::WholeCrop) {
            continue;
        }
        let name = &stocked.feed.name;
        let dm = stocked.feed.values.dry_matter.value();
        if dm < WET {
            words.push_str(&format!(
                " {name} is wet, {dm:.0} g DM a kg: ewes ate 8 % less dry matter of unwilted silage than of wilted, so \
                 weigh what is left."
            ));
        }
        match &stocked.analysis {
            None => words.push_str(&format!(" {name} has no analysis of its own: pH and ash are not known.")),
            Some(analysis) => {
                if analysis.ph.is_some_and(|ph| ph >= limit::PH_LISTERIA) {
                    words.push_str(&format!(" {name}: Listeria grow from pH 5.5."));
                }
                if analysis.ash.is_some_and(|ash| ash.value() > limit::ASH_WATCH) {
                    words.push_str(&format!(" {name}: ash over 80 g a kg DM hints at soil."));
                }
            }
        }
    }
    words
}
