//! What stops a need from being met, and what would meet it. Each way out is tried before it is named.

use crate::arrange::Arrange as _;
use crate::feed::{Class, Feed, Stocked};
use crate::quantity::{MjPerKgDm, PricePerTonne};
use crate::ration::asked::{Asked, Way};
use crate::ration::limit::{self, charge};
use crate::ration::rule::{Key, Strength};
use crate::ration::settle::{Outcome, Ration, settle_exactly};
use crate::solve::programme::{Status, solve};

/// Most ways out that are named (chosen here; common practice, no source).
const NAMED: usize = 3;
/// A way out must take this share off what is missed (chosen here; common practice, no source).
const WORTH: f64 = 0.05;
/// Energy by which a better forage is better, MJ a kg DM: an earlier cut (common practice, no source).
const BETTER_MJ: f64 = 1.0;
/// Feeds of the table that are tried where they are not on the farm (chosen here; common practice, no source).
const BOUGHT: [&str; 12] = [
    "straw_bar",
    "hay_good",
    "barley",
    "maize",
    "msbp",
    "beans",
    "sbm",
    "rsm",
    "nut20",
    "p_fat",
    "lime",
    "premix",
];

/// A change that might help.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    /// So many feeds a day.
    Feeds(u32),
    /// Everything mixed.
    Mix,
    /// Straw always there, with more concentrate than beside other forage.
    Straw,
    /// Forage better by a MJ, eaten accordingly better; its name.
    BetterForage(String),
    /// A feed that is not on the farm; its name.
    Buy(String),
    /// As much as is wanted of a feed that runs short.
    MoreOf(String),
    /// The step from last week taken over more weeks.
    Later,
}

/// A change and what came of it.
#[derive(Debug, Clone)]
pub struct Tried {
    /// The change.
    pub change: Change,
    /// Energy still short, MJ a day.
    pub me_short: f64,
    /// Protein still short, g a day.
    pub mp_short: f64,
    /// Feed, pence a ewe a day; a bought feed counts nothing, as its price is not known.
    pub pence: f64,
    /// kg fresh of the bought feed.
    pub kg: f64,
    /// What both are charged.
    charged: f64,
}

/// What there is to mend.
#[derive(Debug, Clone, Copy)]
pub enum Trouble<'r> {
    /// A ration that misses a need.
    Short(&'r Ration),
    /// No ration at all.
    Impossible,
}

/// Hard limits that keep the need from being met, worst first, with what a unit of slack would be worth, charged.
pub fn stops(ration: &Ration) -> Vec<(Key, f64)> {
    let mut free = ration.recipe.programme.clone();
    // Only what is missed counts here, whatever feed costs.
    free.columns.iter_mut().take(ration.recipe.parts.len()).for_each(|column| column.cost = 0.0);
    let Status::Optimal(optimum) = solve(&free) else { return Vec::new() };
    let rules = ration.recipe.rules.iter().zip(&ration.recipe.rows);
    let mut found: Vec<(Key, f64)> = rules
        .filter(|(rule, _)| rule.strength == Strength::Hard)
        .filter_map(|(rule, row)| {
            let price = optimum.prices.rows.get((*row)?).copied()?;
            let size = rule.low.or(rule.high).unwrap_or(0.0).abs();
            // Worth of a twentieth of the limit, so that limits in unlike units can be ranked.
            let worth = price.abs() * 0.05 * if rule.per.is_some() { size * ration.whole.dm } else { size };
            (worth > 1e-3).then_some((rule.key, worth))
        })
        .collect();
    found.arrange_by(|a, b| b.1.total_cmp(&a.1));
    found
}

/// The nearest ways out, best first, and how many changes were tried. `table` is the feed table.
pub fn ways_out(asked: &Asked, table: &[Feed], trouble: Trouble<'_>) -> (Vec<Tried>, usize) {
    let before = match trouble {
        Trouble::Short(ration) => missed(asked, ration).2,
        Trouble::Impossible => f64::INFINITY,
    };
    let changes = changes(asked, table, trouble);
    let count = changes.len();
    let mut tried: Vec<Tried> =
        changes.into_iter().filter_map(|(change, asked)| attempt(change, &asked)).collect();
    tried.retain(|tried| before.is_infinite() || tried.charged <= before * (1.0 - WORTH));
    // What is bought is not in its pence: of two that do as much, the one without it is told first.
    let hundredths = |pence: f64| libm::round(100.0 * pence);
    let is_bought = |tried: &Tried| matches!(tried.change, Change::Buy(_));
    tried.arrange_by(|a, b| {
        let by_need = hundredths(a.charged).total_cmp(&hundredths(b.charged));
        by_need.then(is_bought(a).cmp(&is_bought(b))).then(a.pence.total_cmp(&b.pence))
    });
    tried.truncate(NAMED);
    (tried, count)
}

fn attempt(change: Change, asked: &Asked) -> Option<Tried> {
    let Outcome::Fed(ration) = settle_exactly(asked) else { return None };
    let bought = match &change {
        Change::Buy(name) => asked.feeds.iter().position(|stocked| stocked.feed.name == *name),
        _ => None,
    };
    let kg = bought.map_or(0.0, |bought| {
        ration.feeds().into_iter().find(|(feed, _)| *feed == bought).map_or(0.0, |(_, kg)| kg)
    });
    if bought.is_some() && kg <= 0.0 {
        return None;
    }
    let (me_short, mp_short, charged) = missed(asked, &ration);
    Some(Tried { change, me_short, mp_short, pence: ration.pence, kg, charged })
}

/// Energy and protein missed, and what they are charged: a way out is one for these, not for a mineral.
fn missed(asked: &Asked, ration: &Ration) -> (f64, f64, f64) {
    let me = ration.missed(Key::Me);
    let mp = ration.missed(Key::MpEnergy).max(ration.missed(Key::MpNitrogen));
    let mp = if asked.weeks <= asked.protein_weeks { mp } else { 0.0 };
    (me, mp, charge::ME * me + charge::MP * mp)
}

/// Whether straw is all the forage that may be fed.
fn has_straw_alone(asked: &Asked) -> bool {
    let feeds = asked.feeds.iter().enumerate().filter(|(place, _)| !asked.held.out.contains(place));
    let mut forages =
        feeds.map(|(_, stocked)| stocked.feed.class).filter(|class| class.is_forage()).peekable();
    forages.peek().is_some() && forages.all(|class| class == Class::Straw)
}

/// Every change worth trying, with what is then asked.
fn changes(asked: &Asked, table: &[Feed], trouble: Trouble<'_>) -> Vec<(Change, Asked)> {
    let mut changes = Vec::new();
    if !asked.way.is_mixed() && asked.most_feeds < limit::MOST_FEEDS {
        let most_feeds = asked.most_feeds + 1;
        changes.push((Change::Feeds(most_feeds), Asked { most_feeds, ..asked.clone() }));
    }
    if matches!(asked.way, Way::Separate | Way::Nuts | Way::Straw) && asked.last_week.is_none() {
        changes.push((Change::Mix, Asked { way: Way::Mixed, ..asked.clone() }));
    }
    if asked.way != Way::Straw && has_straw_alone(asked) {
        changes.push((Change::Straw, Asked { way: Way::Straw, mix_for: None, ..asked.clone() }));
    }
    if asked.last_week.is_some() {
        changes.push((Change::Later, Asked { last_week: None, ..asked.clone() }));
    }
    if let Trouble::Short(ration) = trouble {
        let mut eaten = ration.feeds();
        eaten
            .retain(|(feed, _)| asked.feeds.get(*feed).is_some_and(|stocked| stocked.feed.class.is_forage()));
        let main = eaten.into_iter().max_by(|a, b| a.1.total_cmp(&b.1)).map(|(feed, _)| feed);
        if let Some(main) = main {
            let mut better = asked.clone();
            if let Some(stocked) =
                better.feeds.get_mut(main).filter(|stocked| stocked.feed.class != Class::Straw)
            {
                let feed = &mut stocked.feed;
                feed.values.me = MjPerKgDm::new(feed.values.me.value() + BETTER_MJ);
                feed.appetite = feed.appetite.map(|appetite| appetite + feed.appetite_per_mj * BETTER_MJ);
                changes.push((Change::BetterForage(feed.name.clone()), better));
            }
        }
    }
    for (place, stocked) in asked.feeds.iter().enumerate().filter(|(_, stocked)| stocked.stock.is_some()) {
        let mut more = asked.clone();
        if let Some(own) = more.feeds.get_mut(place) {
            own.stock = None;
        }
        changes.push((Change::MoreOf(stocked.feed.name.clone()), more));
    }
    let bought = BOUGHT.iter().filter_map(|id| table.iter().find(|feed| feed.id == *id));
    for feed in bought.filter(|feed| asked.way.takes(feed.class)) {
        let is_here = asked.feeds.iter().any(|stocked| stocked.like == feed.id);
        if is_here {
            continue;
        }
        let mut with = asked.clone();
        with.feeds.push(Stocked {
            feed: feed.clone(),
            like: feed.id.clone(),
            price: PricePerTonne::new(0.0),
            stock: None,
            counted_on: None,
            most: None,
            analysis: None,
            row: 0,
        });
        changes.push((Change::Buy(feed.name.clone()), with));
    }
    changes
}
