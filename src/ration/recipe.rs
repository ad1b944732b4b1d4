//! Need, limits and feeds as a linear programme with named rows.

use crate::feed::protein::Rumen;
use crate::feed::{Class, Feed, Stocked};
use crate::quantity::KgPerDay;
use crate::ration::asked::{Asked, Way, withheld};
use crate::ration::content::Content;
use crate::ration::limit::{self, weighed};
use crate::ration::rule::{Frame, Key, Rule, Strength, rules};
use crate::requirement::intake::Trough;
use crate::solve::programme::Programme;
use crate::solve::programme::practical::Grain;

/// One thing that may be fed.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Part {
    /// Its place among the feeds asked; nothing for the common mix.
    pub(super) feed: Option<usize>,
    pub(super) name: String,
    pub(super) class: Option<Class>,
    /// What a kg fresh brings.
    pub(super) content: Content,
    /// Pence a kg fresh.
    pub(super) cost: f64,
    /// Most a day, kg fresh, and whether the store is what limits it.
    pub(super) most: f64,
    pub(super) is_by_stock: bool,
}

/// A ration to find.
#[derive(Debug, Clone)]
pub(super) struct Recipe {
    pub(super) parts: Vec<Part>,
    pub(super) rules: Vec<Rule>,
    pub(super) frame: Frame,
    /// Its first columns are the parts, then what each soft limit misses.
    pub(super) programme: Programme,
    /// The programme's row of each rule; nothing for those only shown.
    pub(super) rows: Vec<Option<usize>>,
    /// The main forage: a feed's place among those asked.
    pub(super) main: usize,
    /// The column of all concentrate, where it has a recipe.
    pub(super) blend: Option<usize>,
    /// The first column of what falls since the week before; they are the last ones.
    pub(super) falls_from: usize,
    /// Whether weight ends a meal and not fill.
    pub(super) is_by_weight: bool,
}

/// Pence in the money that a tonne's price is in (common practice, no source).
const PENCE: f64 = 100.0;
/// kg in a tonne (by definition; common practice, no source).
const KG_A_TONNE: f64 = 1000.0;

/// Feeds that may be fed, by place.
pub(super) fn allowed(asked: &Asked) -> Vec<usize> {
    let blend = &asked.held.blend;
    let in_recipe = |place: usize| blend.is_empty() || blend.iter().any(|(feed, _)| *feed == place);
    let may = |place: usize, stocked: &Stocked| {
        !asked.held.out.contains(&place)
            && withheld(stocked, asked.way).is_none()
            && (!stocked.feed.class.is_concentrate() || in_recipe(place))
    };
    (0..asked.feeds.len())
        .filter(|place| asked.feeds.get(*place).is_some_and(|stocked| may(*place, stocked)))
        .collect()
}

/// Pence a kg.
pub(super) fn pence_a_kg(feed: &Stocked) -> f64 {
    PENCE * feed.price.value() / KG_A_TONNE
}

/// The price of a tonne that is so many pence a kg.
pub(super) fn a_tonne(pence_a_kg: f64) -> f64 {
    pence_a_kg * KG_A_TONNE / PENCE
}

/// The name of the rows that keep the main forage the main one.
pub(super) const MAIN_FORAGE: &str = "main forage";

/// Writes the programme. `main` is the forage that brings most; `mix` is the common mix's kg of each feed, where there is one.
pub(super) fn recipe(
    asked: &Asked,
    rumen: Rumen,
    main: usize,
    mix: Option<&[(usize, f64)]>,
    unfilled: f64,
) -> Recipe {
    let beside = asked.feeds.get(main).map(|stocked| &stocked.feed);
    let trough = match asked.way {
        _ if mix.is_some() => Trough::Mixed,
        Way::Mixed => Trough::Mixed,
        Way::Straw => Trough::Straw,
        _ => Trough::Apart,
    };
    let frame = Frame { rumen, appetite: asked.appetite(trough) };
    let parts = parts(asked, rumen, beside, mix);
    let rules = rules(asked, &frame, unfilled);
    let mut programme = Programme::default();
    for part in &parts {
        programme.column(part.name.clone(), part.cost, 0.0, part.most);
    }
    // Both rows of protein miss the same protein.
    let mut missed_protein = None;
    let rows = rules
        .iter()
        .map(|rule| {
            let limits = |limit: f64| -> Vec<(usize, f64)> {
                let weight = |part: &Part| {
                    let by = rule.per.map_or(0.0, |per| per(&part.content));
                    (rule.of)(&part.content, &frame) - limit * by
                };
                parts.iter().enumerate().map(|(place, part)| (place, weight(part))).collect()
            };
            let (mut terms, low, high) = match (rule.per, rule.low, rule.high) {
                (None, low, high) => {
                    (limits(0.0), low.unwrap_or(f64::NEG_INFINITY), high.unwrap_or(f64::INFINITY))
                }
                (Some(_), Some(low), _) => (limits(low), 0.0, f64::INFINITY),
                (Some(_), None, Some(high)) => (limits(high), f64::NEG_INFINITY, 0.0),
                (Some(_), None, None) => return None,
            };
            match rule.strength {
                Strength::Shown => return None,
                Strength::Hard => {}
                Strength::Soft(charge) => {
                    let mut missing =
                        || programme.column(format!("missed {}", rule.name), charge, 0.0, f64::INFINITY);
                    let column = match rule.key {
                        Key::MpEnergy | Key::MpNitrogen => *missed_protein.get_or_insert_with(missing),
                        _ => missing(),
                    };
                    terms.push((column, if rule.low.is_some() { 1.0 } else { -1.0 }));
                }
            }
            Some(programme.row(rule.name, terms, low, high))
        })
        .collect();
    let forages = |part: &Part| part.class.is_some_and(Class::is_forage);
    if let Some(first) = parts.iter().position(|part| part.feed == Some(main)) {
        let dm = |place: usize| parts.get(place).map_or(0.0, |part| part.content.dm);
        for other in
            (0..parts.len()).filter(|other| *other != first && parts.get(*other).is_some_and(forages))
        {
            programme.row(MAIN_FORAGE, [(first, dm(first)), (other, -dm(other))], 0.0, f64::INFINITY);
        }
    }
    share(&mut programme, &parts, mix.unwrap_or_default());
    let blend = tie(&mut programme, &parts, &asked.held.blend);
    let falls_from = programme.columns.len();
    if blend.is_none() {
        keep(&mut programme, &parts, &asked.held.last);
    }
    let is_by_weight = asked.held.is_by_weight;
    Recipe { parts, rules, frame, programme, rows, main, blend, falls_from, is_by_weight }
}

/// A feed of the common mix that is also a top-up has one limit, and one store, for both.
fn share(programme: &mut Programme, parts: &[Part], mix: &[(usize, f64)]) {
    let whole: f64 = mix.iter().map(|(_, kg)| kg).sum();
    let Some(common) = parts.iter().position(|part| part.feed.is_none()).filter(|_| whole > 0.0) else {
        return;
    };
    for (feed, kg) in mix {
        let apart = parts.iter().enumerate().find(|(_, part)| part.feed == Some(*feed));
        if let Some((place, part)) = apart.filter(|(_, part)| part.most.is_finite()) {
            let name = format!("most of {}", part.name);
            programme.row(name, [(place, 1.0), (common, kg / whole)], f64::NEG_INFINITY, part.most);
        }
    }
}

/// Ties the concentrates to their recipe: a column of its own for all of it, and a row for each part.
fn tie(programme: &mut Programme, parts: &[Part], blend: &[(usize, f64)]) -> Option<usize> {
    if blend.is_empty() {
        return None;
    }
    let whole = programme.column(BLEND, 0.0, 0.0, f64::INFINITY);
    let mut is_whole = true;
    for (feed, share) in blend {
        match parts.iter().position(|part| part.feed == Some(*feed)) {
            Some(part) => {
                programme.row(BLEND, [(part, 1.0), (whole, -share)], 0.0, 0.0);
            }
            None => is_whole = false,
        }
    }
    // With a part missing there is nothing to make it of.
    if !is_whole {
        programme.row(BLEND, [(whole, 1.0)], 0.0, 0.0);
    }
    Some(whole)
}

/// Counts what falls of each concentrate of the week before, so that recipes do not change to and fro for a trifle.
fn keep(programme: &mut Programme, parts: &[Part], last: &[(usize, f64)]) {
    for (feed, kg) in last {
        if let Some(part) = parts.iter().position(|part| part.feed == Some(*feed)) {
            let fallen = programme.column("less than last week", limit::FALL, 0.0, f64::INFINITY);
            programme.row("less than last week", [(part, 1.0), (fallen, 1.0)], *kg, f64::INFINITY);
        }
    }
}

/// What all concentrate by one recipe is called.
pub(super) const BLEND: &str = "the recipe of the concentrate";

fn parts(asked: &Asked, rumen: Rumen, beside: Option<&Feed>, mix: Option<&[(usize, f64)]>) -> Vec<Part> {
    let part = |place: usize| {
        let stocked = asked.feeds.get(place)?;
        let table = match (asked.way, stocked.feed.class) {
            // The table's limit is beside forage; on straw the limit a day and a feed takes its place.
            (Way::Straw, Class::Compound) => limit::CONCENTRATE_A_DAY_STRAW,
            _ => stocked.feed.most.map_or(f64::INFINITY, KgPerDay::value),
        };
        // A farm may be more careful than the table, never less.
        let advised = stocked.most.map_or(table, |own| own.value().min(table));
        let store = match (asked.held.most.get(place), stocked.stock, asked.pen) {
            (Some(most), ..) => *most,
            (None, Some(stock), Some(pen)) => {
                stock.value() / f64::from(pen.ewes.max(1)) / f64::from(pen.days.max(1))
            }
            _ => f64::INFINITY,
        };
        Some(Part {
            feed: Some(place),
            name: stocked.feed.name.clone(),
            class: Some(stocked.feed.class),
            content: Content::of(&stocked.feed, rumen, beside),
            cost: pence_a_kg(stocked),
            most: advised.min(store),
            is_by_stock: store < advised,
        })
    };
    let Some(mix) = mix else { return allowed(asked).into_iter().filter_map(part).collect() };
    let whole: f64 = mix.iter().map(|(_, kg)| kg).sum();
    let share = |kg: f64| if whole > 0.0 { kg / whole } else { 0.0 };
    let mixed: Vec<(Part, f64)> =
        mix.iter().filter_map(|&(place, kg)| Some((part(place)?, share(kg)))).collect();
    let content = Content::sum(mixed.iter().map(|(part, share)| (&part.content, *share)));
    let limits =
        mixed.iter().filter(|(_, share)| *share > 0.0).map(|(part, share)| (part.most / share, part));
    let (most, is_by_stock) =
        limits.fold(
            (f64::INFINITY, false),
            |(most, by), (own, part)| {
                if own < most { (own, part.is_by_stock) } else { (most, by) }
            },
        );
    let common = Part {
        feed: None,
        name: "common mix".to_owned(),
        class: None,
        // What is mixed in is not fed apart.
        content: Content { concentrate: 0.0, ..content },
        cost: mixed.iter().map(|(part, share)| part.cost * share).sum(),
        most,
        is_by_stock,
    };
    let top_up = allowed(asked).into_iter().filter_map(part);
    let top_up = top_up
        .filter(|part| part.class.is_some_and(|class| class.is_concentrate() || class == Class::Mineral));
    std::iter::once(common).chain(top_up).collect()
}

impl Recipe {
    /// What amounts of the parts bring together.
    pub(super) fn whole(&self, amounts: &[f64]) -> Content {
        Content::sum(self.parts.iter().map(|part| &part.content).zip(amounts.iter().copied()))
    }

    /// What amounts of the parts cost, pence, without any charge.
    pub(super) fn pence(&self, amounts: &[f64]) -> f64 {
        self.parts.iter().zip(amounts).map(|(part, kg)| part.cost * kg).sum()
    }

    /// What amounts of all columns are charged for what they miss.
    pub(super) fn charged(&self, amounts: &[f64]) -> f64 {
        let missed = self.programme.columns.iter().zip(amounts).take(self.falls_from).skip(self.parts.len());
        missed.map(|(column, amount)| column.cost * amount).sum()
    }

    /// The part that is always there and so is not weighed out: the forage, or the mix, that brings most.
    pub(super) fn always_there(&self, asked: &Asked, amounts: &[f64]) -> Option<usize> {
        if asked.is_restricted || asked.way == Way::Mixed {
            return None;
        }
        let forage = |part: &Part| part.class.is_none_or(Class::is_forage);
        let eaten = self.parts.iter().zip(amounts).enumerate().filter(|(_, (part, _))| forage(part));
        let most =
            eaten.max_by(|(_, (a, x)), (_, (b, y))| (a.content.dm * *x).total_cmp(&(b.content.dm * *y)));
        most.filter(|(_, (_, kg))| **kg > 0.0).map(|(place, _)| place)
    }

    /// Columns of these feeds, by their places among the feeds asked.
    pub(super) fn columns_of(&self, feeds: &[usize]) -> Vec<usize> {
        let places = self.parts.iter().enumerate();
        let of = places.filter(|(_, part)| part.feed.is_none_or(|feed| feeds.contains(&feed)));
        if feeds.is_empty() { Vec::new() } else { of.map(|(place, _)| place).chain(self.blend).collect() }
    }

    /// How each column is weighed out.
    pub(super) fn grains(&self, asked: &Asked, always_there: Option<usize>) -> Vec<Option<Grain>> {
        let held = &asked.held;
        let is_new = |part: &Part| {
            let is_forage = part.class.is_some_and(Class::is_forage);
            is_forage && !held.before.is_empty() && part.feed.is_some_and(|feed| !held.before.contains(&feed))
        };
        let is_concentrate = |part: &Part| part.class.is_some_and(Class::is_concentrate);
        let grain = |(place, part): (usize, &Part)| {
            // By a recipe all concentrate is measured out together.
            if Some(place) == always_there || (self.blend.is_some() && is_concentrate(part)) {
                return None;
            }
            let (step, least) = match part.class {
                // Protected fat is given in less than a bucket can be read to; it goes in with the minerals.
                Some(Class::Mineral | Class::Fat) => (weighed::MINERAL, weighed::MINERAL),
                Some(Class::Straw | Class::Hay) => (weighed::BUCKET, weighed::LEAST_DRY),
                Some(Class::Silage | Class::Haylage | Class::WholeCrop | Class::Root) | None => {
                    (weighed::FORAGE, weighed::LEAST_WET)
                }
                Some(_) => (weighed::BUCKET, weighed::BUCKET),
            };
            let counts = part.class != Some(Class::Mineral);
            let handling = if is_new(part) { held.handling + limit::NEW_FORAGE } else { held.handling };
            Some(Grain { step, least, counts, handling: if counts { handling } else { 0.0 } })
        };
        let parts = self.parts.iter().enumerate().map(grain);
        let whole =
            Grain { step: weighed::BUCKET, least: weighed::BUCKET, counts: true, handling: held.handling };
        let others = self.parts.len()..self.programme.columns.len();
        parts.chain(others.map(|column| (self.blend == Some(column)).then_some(whole))).collect()
    }
}
