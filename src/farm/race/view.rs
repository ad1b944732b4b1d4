//! What the screen shows beside the ewe: pens, tally, rate, last acts.

use crate::day::Day;
use crate::farm::journal::{Act, Now, season};
use crate::farm::race::gate::{Way, WayPens};
use crate::farm::race::ground::Ground;
use crate::farm::race::{Race, words};
use crate::flock::{AgeClass, Litter};
use crate::journal::{Topic, Value, What};
use crate::problem::Problem;
use crate::sort::shortfall::count_words;
use serde::Serialize;
use std::collections::BTreeMap;

/// So many of the last acts are listed.
const LAST_ACTS: usize = 30;
/// A rate is said from so many ewes on: fewer say nothing of a day (our choice).
const FEWEST_FOR_A_RATE: usize = 5;
/// The rate is that of the last so many minutes (our choice: long enough to be steady, short enough to be now).
const RATE_MINUTES: u64 = 30;

/// What the screen shows.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct RaceView {
    /// The flock's name; null where nobody named it.
    pub flock: Option<String>,
    /// Whether anything was ever entered or brought in.
    pub is_empty: bool,
    /// Entries in the journal.
    pub events: usize,
    /// Ewes on record.
    pub ewes: usize,
    /// Ewes seen today.
    pub today: usize,
    /// The same in words: `23 ewes today, 48 lambs`.
    pub today_words: String,
    /// How fast they go: `118 ewes an hour`; empty where too few passed.
    pub rate: String,
    /// Today's ewes by lambs carried.
    pub tally: Vec<TallyLine>,
    /// The pens as they fill.
    pub pens: Vec<PenFill>,
    /// What the pens told stand on; empty until the draft is made.
    pub stands_on: String,
    /// The ways of the gate with the pens behind each; empty where every pen has its own.
    pub ways: Vec<WayPens>,
    /// Why no pen can be told, where none can.
    pub unplanned: Vec<Problem>,
    /// The lambing groups that may be chosen.
    pub groups: Vec<String>,
    /// The last acts, latest first.
    pub acts: Vec<Act>,
    /// The last act that stands: what one tap on undo takes back.
    pub last_act: Option<Act>,
    /// What to say when somebody comes back: `Resumed: 23 ewes today, the last 0417 at 14:05.`
    pub resumed: String,
    /// Ewes on this season's record who were not seen since the first day of the race.
    pub unseen: Vec<String>,
    /// The same in words.
    pub unseen_words: String,
    /// What somebody should look at: contradictions, gaps, lines that cannot be read.
    pub doubts: Vec<Problem>,
}

/// Ewes of one litter size.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct TallyLine {
    /// `twins`.
    pub what: String,
    /// How many.
    pub ewes: usize,
}

/// A pen as it fills.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct PenFill {
    /// Its name.
    pub pen: String,
    /// Its place among the pens, from 0.
    pub at: usize,
    /// Ewes in it.
    pub ewes: usize,
    /// How full it is, 0 to 1: the scarcest of trough, floor and head.
    pub full: f64,
    /// Whether a grown ewe has no place left.
    pub is_full: bool,
    /// `12 in, 30 left`.
    pub words: String,
    /// The way of the gate that leads there, where the gate has fewer ways than there are pens.
    pub way: Option<Way>,
}

/// All of it, or what the gate shows: the last acts, who was not seen and what is in doubt are long, and stand
/// beside it.
pub(super) fn view(race: &Race, device: &str, now: Now, whole: bool) -> RaceView {
    let journal = race.book.journal();
    let state = journal.state();
    let day = now.day();
    let since = race.since.unwrap_or(day);
    let drafted = race.ground.as_ref().zip(race.drafting.as_ref());
    let (mut ewes, mut today, mut lambs) = (0, 0, 0_u32);
    let mut litters: BTreeMap<(bool, Option<Litter>), usize> = BTreeMap::new();
    let mut times: Vec<u64> = Vec::new();
    let mut unseen = Vec::new();
    let mut last: Option<(crate::journal::Stamp, String)> = None;
    for ewe in state.ewes() {
        ewes += 1;
        let of_today = |day: Day| ewe.readings.iter().rev().find(|event| event.day == day);
        if let Some(event) = of_today(day) {
            today += 1;
            let carried = match season::value(ewe, Topic::Scanned, race.season.as_ref()) {
                Some(Value::Scanned(litter)) => Some(litter),
                _ => None,
            };
            lambs += carried.map_or(0, |litter| u32::from(litter.lambs()));
            *litters.entry((carried.is_none(), carried)).or_default() += 1;
            if event.id.device == device {
                times.push(event.at.ms);
            }
            if last.as_ref().is_none_or(|(at, _)| *at < event.at) {
                let time = event.time().map(|time| format!(" at {time}")).unwrap_or_default();
                last = Some((event.at, format!("{}{time}", ewe.called())));
            }
        }
        let is_seen = ewe.readings.iter().any(|event| event.day >= since);
        if !is_seen && race.season.as_ref().is_none_or(|season| season.of(ewe).is_of_it()) {
            unseen.push(ewe.called());
        }
    }
    let today_words = match today {
        0 => "No ewe yet today".to_owned(),
        _ => format!("{} today, {}", count_words(today, "ewe"), count_words(lambs as usize, "lamb")),
    };
    let tally = litters.into_iter().map(|((_, litter), ewes)| TallyLine {
        what: litter.map_or("not scanned", litter_words).to_owned(),
        ewes,
    });
    let unseen_words = match unseen.len() {
        0 => String::new(),
        many => format!("{} on record not seen at the race.", count_words(many, "ewe")),
    };
    RaceView {
        flock: state.flock.as_ref().and_then(|event| match event.what()? {
            What::FlockNamed { name } => Some(name.clone()),
            _ => None,
        }),
        is_empty: journal.is_empty(),
        events: journal.len(),
        ewes,
        today,
        today_words,
        rate: rate(times, now),
        tally: tally.collect(),
        pens: pens(race),
        stands_on: drafted
            .map(|(ground, drafting)| words::stands_on(ground, &drafting.draft))
            .unwrap_or_default(),
        ways: drafted
            .map(|(ground, drafting)| {
                drafting.gate.all(&ground.pens.iter().map(|pen| pen.name.clone()).collect::<Vec<_>>())
            })
            .unwrap_or_default(),
        unplanned: race.unplanned.clone(),
        groups: state
            .groups
            .iter()
            .filter_map(|event| match event.what()? {
                What::GroupDescribed { group, .. } => Some(group.clone()),
                _ => None,
            })
            .collect(),
        acts: if whole { race.book.history_here(LAST_ACTS, device) } else { Vec::new() },
        last_act: last_act(race, device),
        resumed: last
            .map(|(_, last)| format!("Resumed: {}, the last {last}.", count_words(today, "ewe")))
            .unwrap_or_default(),
        unseen: if whole { unseen } else { Vec::new() },
        unseen_words,
        doubts: if whole { race.book.doubts_from(race.standpoint()) } else { Vec::new() },
    }
}

/// The last act that is not undone, however far back.
fn last_act(race: &Race, device: &str) -> Option<Act> {
    let (mut most, events) = (1, race.book.size().0);
    loop {
        let found = race.book.history_here(most, device).into_iter().find(|act| !act.undone);
        if found.is_some() || most >= events {
            return found;
        }
        most *= 8;
    }
}

fn litter_words(litter: Litter) -> &'static str {
    match litter.lambs() {
        1 => "singles",
        _ => litter.in_words(),
    }
}

/// Ewes an hour over the last half hour, from the first of them to the last.
fn rate(mut times: Vec<u64>, now: Now) -> String {
    times.sort_unstable();
    let since = now.ms.saturating_sub(RATE_MINUTES * 60_000);
    let times: Vec<u64> = times.into_iter().filter(|at| *at >= since).collect();
    let (Some(first), Some(last)) = (times.first(), times.last()) else { return String::new() };
    let took = last - first;
    if times.len() < FEWEST_FOR_A_RATE || took == 0 {
        return String::new();
    }
    let an_hour = (times.len() as u64 - 1) * 3_600_000 / took;
    format!("{an_hour} ewes an hour")
}

fn pens(race: &Race) -> Vec<PenFill> {
    let Some(ground) = &race.ground else { return Vec::new() };
    let gate = race.drafting.as_ref().map(|drafting| &drafting.gate);
    let fill = |(at, (pen, Places { ewes, left, over })): (usize, (&crate::pen::Pen, Places))| {
        let full = if ewes == 0 { 0.0 } else { ewes as f64 / (ewes as f64 + left as f64) };
        let words = match (left, over) {
            (0, 0) => format!("{ewes} in, full"),
            (0, over) => format!("{ewes} in, {over} over"),
            (left, _) => format!("{ewes} in, {left} left"),
        };
        let way = gate.and_then(|gate| gate.way_of(at));
        PenFill { pen: pen.name.clone(), at, ewes, full, is_full: left == 0, words, way }
    };
    ground.pens.iter().zip(places(race, ground)).enumerate().map(fill).collect()
}

/// Who is in a pen, and its places for grown ewes of usual weight.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Places {
    /// Ewes in it.
    pub(super) ewes: usize,
    /// Places left.
    pub(super) left: u64,
    /// How many such ewes would have to leave it until nobody is short of trough, floor or head.
    pub(super) over: u64,
}

/// The places in each pen: the one count that the screen shows, whoever stands at the gate.
pub(super) fn places(race: &Race, ground: &Ground) -> Vec<Places> {
    let usual =
        crate::flock::Ewe { age: Some(AgeClass::Mature), ..crate::flock::Ewe::unknown(String::new()) };
    let count = |(at, bin): (usize, &crate::solve::instance::Bin)| {
        let stands = race.stands.values().filter(|(place, _)| *place == at);
        let (ewes, used) = stands.fold((0, [0_u64; 2]), |(head, used), (_, room)| {
            (head + 1, [used[0] + room[0], used[1] + room[1]])
        });
        // Trough and floor, each with what is used and what one more takes; and heads, of which one takes one.
        let room = bin.capacity.into_iter().zip(used).zip(ground.room(&usual, at));
        let rooms = room.map(|((has, used), takes)| (has, used, takes));
        let rooms: Vec<_> = rooms.chain([(bin.max_head as u64, ewes as u64, 1)]).collect();
        let left = |&(has, used, takes): &(u64, u64, u64)| has.saturating_sub(used).checked_div(takes);
        let over = |&(has, used, takes): &(u64, u64, u64)| match takes {
            0 => 0,
            takes => used.saturating_sub(has).div_ceil(takes),
        };
        Places {
            ewes,
            left: rooms.iter().filter_map(left).min().unwrap_or_default(),
            over: rooms.iter().map(over).max().unwrap_or_default(),
        }
    };
    ground.bins.iter().enumerate().map(count).collect()
}
