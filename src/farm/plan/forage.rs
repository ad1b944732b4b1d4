//! Changes of forage: the week in which a pen goes over to another, and from when each pen has one that runs short.

use crate::farm::plan::ground::Ground;
use crate::ration::Ration;

/// The forage that brings most dry matter, by place.
fn main_forage(ground: &Ground<'_>, ration: &Ration) -> Option<usize> {
    let dm = |(feed, kg): (usize, f64)| {
        let stocked = ground.feeds.get(feed).filter(|stocked| stocked.feed.class.is_forage())?;
        Some((feed, kg * stocked.feed.values.dry_share()))
    };
    let forages = ration.feeds().into_iter().filter_map(dm);
    forages.max_by(|a, b| a.1.total_cmp(&b.1)).map(|(feed, _)| feed)
}

/// From which forage to which a pen goes over in a week; nothing where the main one stays.
pub(super) fn change_over(ground: &Ground<'_>, before: &Ration, now: &Ration) -> Option<[String; 2]> {
    let (from, to) = (main_forage(ground, before)?, main_forage(ground, now)?);
    let name = |feed: usize| Some(ground.feeds.get(feed)?.feed.name.clone());
    if from == to { None } else { Some([name(from)?, name(to)?]) }
}

/// From when each pen has a forage that is short, in words; nothing where it is none, or none has it.
pub(super) fn kept(ground: &Ground<'_>, feed: usize) -> Option<String> {
    let is_forage = ground.feeds.get(feed).is_some_and(|stocked| stocked.feed.class.is_forage());
    let is_short = ground.season.scarce.get(feed).is_some_and(|worth| *worth > 0.0);
    if !is_forage || !is_short {
        return None;
    }
    let mut when: Vec<(u32, String)> = Vec::new();
    let mut without: Vec<String> = Vec::new();
    for pen in 0..ground.weeks.len() {
        let mut own = ground.all().filter(|(spell, _)| spell.pen == pen).peekable();
        if own.peek().is_none() {
            continue;
        }
        let name = ground.name(pen).to_owned();
        let first = own.find(|(_, fed)| {
            fed.ration()
                .is_some_and(|ration| ration.feeds().iter().any(|(own, kg)| *own == feed && *kg > 0.0))
        });
        match first.and_then(|(spell, _)| Some((spell.week as u32, ground.week(spell)?.first.short()))) {
            Some((0, _)) => when.push((0, format!("{name} from the first day"))),
            Some((week, day)) => when.push((week, format!("{name} from {day}"))),
            None => without.push(name),
        }
    }
    let mut parts: Vec<String> = when.into_iter().map(|(_, words)| words).collect();
    if !without.is_empty() {
        parts.push(format!("none for {}", without.join(", ")));
    }
    (!parts.is_empty()).then(|| format!("; kept for the weeks that need it most: {}", parts.join(", ")))
}
